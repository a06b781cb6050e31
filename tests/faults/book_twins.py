#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Faults of one gene in random small herd books: `rank --format json` against full enumeration.

    book_twins.py PROGRAM [BOOKS]

Every pair of every book: the joint copies of the parents, chances of the kid, carriers, grades, points of
the interval, any in the litter, with and without owners' words: to 1e-9. A book whose records contradict
each other must end with status 1 and name a record; with --set-aside it must be answered.
"""
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import numpy
except ImportError as missing:
    skip(f"{missing}", "python3-numpy")

from enumeration import Enumeration
from gene_rules import risks
from random_book import AS_OF, Book

PROGRAM = sys.argv[1]
BOOKS = int(sys.argv[2]) if len(sys.argv) > 2 else 60
SEED = 20350101
LIMIT = 1e-9
failures = []


def run(folder, *more):
    return subprocess.run([PROGRAM, "rank", str(folder), "--format", "json", "--quiet", "--as-of", AS_OF.isoformat(),
                           "--threads", "1", *more], capture_output=True, check=False, timeout=300, text=True)


def near(got, expected, what):
    if got is None or not abs(got - expected) <= LIMIT:
        failures.append(f"{what}: {got!r} instead of {expected!r}")


def compare(tag, entry, without, with_told, fault, x_linked, pair, litter):
    plain = risks(fault, x_linked, without.joint(*pair), litter)
    near(entry["affected"], plain["affected"], f"{tag} affected")
    used = plain
    if with_told:
        told = risks(fault, x_linked, with_told.joint(*pair), litter)
        near(entry["affected_told"], told["affected"], f"{tag} affected_told")
        if abs(told["affected"] - plain["affected"]) < LIMIT:
            return
        used = told if told["affected"] > plain["affected"] else plain
    elif entry["affected_told"] is not None:
        failures.append(f"{tag} affected_told: nothing is told")
    for i in range(9):
        near(entry["joint"][i], used["joint"][i], f"{tag} joint[{i}]")
    for name in ("affected_doe", "affected_buck", "any_in_litter", "carrier", "carrier_doe", "carrier_buck"):
        near(entry[name], used[name], f"{tag} {name}")
    for name in ("affected_low", "affected_high"):
        if not used[name + "_unsure"]:
            near(entry[name], used[name], f"{tag} {name}")
    for sex in ("doe", "buck"):
        if sex not in fault.shown:
            if entry["grades"][sex]:
                failures.append(f"{tag} grades {sex}: {entry['grades'][sex]} though that sex is not scored")
            continue
        for g, expected in enumerate(used["grades"][sex]):
            near(entry["grades"][sex][g], expected, f"{tag} grades {sex} {g}")
    if entry["method"] != "exact":
        failures.append(f"{tag} method {entry['method']}")


def names_records(complaint, folder):
    """It names lines that are there."""
    named = re.findall(r"(\w+\.csv):(\d+)", complaint)
    there = lambda file, line: (folder / file).exists() and 2 <= int(line) <= len((folder / file).read_text().splitlines())
    return "records-contradict" in complaint and named and all(there(*place) for place in named)


def loci(book):
    groups = {}
    for key, fault in book.faults.items():
        groups.setdefault(fault.same_as or key, []).append(key)
    return list(groups.values())


def check_book(book, folder, tag):
    """True: an answer was compared."""
    plain, told = {}, {}
    for keys in loci(book):
        plain[keys[0]] = Enumeration(book, keys, False)
        if any(c[1] in keys and c[6] == "told" for c in book.counts):
            told[keys[0]] = Enumeration(book, keys, True)
    impossible = [k for k, e in plain.items() if not e.weights.sum() > 0]
    impossible_told = [k for k, e in told.items() if not e.weights.sum() > 0]
    ended = run(folder)
    if impossible or impossible_told:
        if ended.returncode != 1 or not names_records(ended.stderr, folder) or ended.stdout:
            failures.append(f"{tag}: {impossible}{impossible_told} contradict: status {ended.returncode} {ended.stderr[:300]}")
        aside = run(folder, "--set-aside")
        if aside.returncode != 0:
            failures.append(f"{tag}: --set-aside ended with {aside.returncode}: {aside.stderr[:300]}")
        return False
    if ended.returncode != 0:
        failures.append(f"{tag}: status {ended.returncode}: {ended.stderr[:500]}")
        return False
    index = {a.id: i for i, a in enumerate(book.animals)}
    kidded = {a.dam for a in book.animals} | {k.doe for k in book.kiddings}
    for doe in json.loads(ended.stdout)["does"]:
        d = index[doe["doe"]]
        litter = 1.85 if d in kidded else 1.48
        for sire in doe["sires"]:
            pair = (index[sire["sire"]], d)
            for entry in sire["faults"]:
                fault = book.faults[entry["fault"]]
                base = fault.same_as or fault.key
                mine = any(c[1] in (k for k in book.faults if (book.faults[k].same_as or k) == base) and c[6] == "told"
                           for c in book.counts)
                compare(f"{tag} {sire['sire']} x {doe['doe']} {fault.key}", entry, plain[base], told[base] if mine else None,
                        fault, book.faults[base].x_linked, pair, litter)
    return True


def main():
    answered = 0
    with tempfile.TemporaryDirectory() as place:
        for trial in range(BOOKS):
            book = Book(random.Random(SEED + trial), 5 + trial % 4)
            folder = pathlib.Path(place)
            book.write(folder)
            before = len(failures)
            answered += check_book(book, folder, f"book {trial}")
            if len(failures) > before and len(sys.argv) > 3:
                import shutil
                shutil.copytree(folder, pathlib.Path(sys.argv[3]) / f"book{trial}", dirs_exist_ok=True)
    for line in dict(reversed([(" ".join(line.split()[:6]), line) for line in failures])).values():
        print("FAILED", line)
    print(f"{BOOKS} books, {answered} answered, {BOOKS - answered} contradict; {len(failures)} failures")
    if answered < BOOKS // 3:
        print("FAILED too few books without contradictions: the check would check little")
    return 1 if failures or answered < BOOKS // 3 else 0


if __name__ == "__main__":
    sys.exit(main())
