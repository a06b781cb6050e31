#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What `rank --doe` says would put another sire first, put into the herd book and ranked again.

    would_lead.py PROGRAM DEMO

For every doe of the demo book and of variants of it: with the clear kids or the gene test that a question
names the sire must come first, with one kid fewer (or without the test) he must not. Where nothing is said of
the second sire, forty clear kids for either of his two dearest faults must not put him first.
"""
import csv
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import tomllib
except ImportError as missing:
    skip(f"{missing}", "python3 3.11 or later")

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
KIDS = re.compile(r"if (\d+) more kids? of (\S+) (?:were|was) looked at for (.+) and "
                  r"(?:none had it|did not have it), he would come first for (\S+)")
TEST = re.compile(r"if a gene test of (\S+) for (.+) read clear, he would come first for (\S+)")
MOST = 40
failures = []


def run(*words):
    ended = subprocess.run([PROGRAM, *map(str, words), "--quiet"], capture_output=True, text=True, check=False, timeout=300)
    if ended.returncode != 0:
        raise SystemExit(f"{words}: {ended.returncode}: {ended.stderr[:2000]}")
    return ended.stdout


def ranked(herd, doe):
    return json.loads(run("rank", herd, "--format", "json", "--doe", doe))["does"][0]


def fault_keys(herd, scratch):
    """Key of each fault by its name: the built-in ones as `start` writes them, and the book's own."""
    start = scratch / "start"
    if not start.exists():
        run("start", start)
    keys = {}
    for folder in (start, herd):
        file = folder / "faults.toml"
        entries = tomllib.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
        keys |= {entry["name"]: key for key, entry in entries.items() if "name" in entry}
    return keys


def with_row(herd, scratch, file, row):
    copy = scratch / "with"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(herd, copy)
    with open(herd / file, newline="", encoding="utf-8") as text:
        table = list(csv.reader(text))
    table.append([row.get(column, "") for column in table[0]])
    with open(copy / file, "w", newline="", encoding="utf-8") as text:
        csv.writer(text).writerows(table)
    return copy


def leads(herd, scratch, doe, sire, fault, kids):
    if kids is None:
        row, file = {"animal": sire, "fault": fault, "result": "clear"}, "gene_tests.csv"
    else:
        row, file = {"sire": sire, "fault": fault, "examined": kids, "affected": 0, "word": "seen"}, "kid_counts.csv"
    first = ranked(with_row(herd, scratch, file, row | {"date": "2026-09-15"}), doe)["sires"][0]
    return first["sire"] == sire and first["verdict"] != "avoid"


def check_doe(name, herd, scratch, doe, keys):
    found = ranked(herd, doe)["sires"]
    asked = 0
    for pair in found:
        for question in [one for one in pair["questions"] if "he would come first" in one]:
            asked += 1
            kids, test = KIDS.fullmatch(question), TEST.fullmatch(question)
            if not (kids or test):
                failures.append(f"{name}, {doe}: not understood: {question}")
                continue
            number = int(kids[1]) if kids else None
            sire, fault, whom = (kids or test).groups()[-3:]
            if (sire, whom) != (pair["sire"], doe) or pair["rank"] == 1:
                failures.append(f"{name}, {doe}: another pair is meant: {question}")
            if not leads(herd, scratch, doe, sire, keys[fault], number):
                failures.append(f"{name}, {doe}: {question}: he does not")
            if kids and number > 1 and leads(herd, scratch, doe, sire, keys[fault], number - 1):
                failures.append(f"{name}, {doe}: {question}: one kid fewer does it too")
    if asked == 0 and len(found) > 1 and found[1]["verdict"] != "avoid" and found[0]["verdict"] != "avoid":
        own = [fault for fault in found[1]["faults"] if fault["carrier"] is None and fault["cost"] > 0]
        for fault in sorted(own, key=lambda one: -one["cost"])[:2]:
            if leads(herd, scratch, doe, found[1]["sire"], fault["fault"], MOST):
                failures.append(f"{name}, {doe}: nobody said that {MOST} clear kids for {fault['fault']} would do it")
    return asked


def dear(herd):
    with open(herd / "faults.toml", "a", encoding="utf-8") as text:
        text.write('\n[folded_ears]\nname = "folded or wrongly set ears"\nmodel = "threshold"\nheritability = 0.40\n'
                   'grades = ["no", "yes"]\nincidence_above = [0.10]\nincidence_worth = 20\nseen_by = "weaning"\n'
                   'cost_keep = [0.0, 150.0]\ncost_meat = [0.0, 40.0]\n')


def dear_backs(herd):
    with open(herd / "faults.toml", "a", encoding="utf-8") as text:
        text.write('\n[topline]\nname = "topline"\nmodel = "threshold"\nheritability = 0.25\n'
                   'grades = ["roached", "straight", "weak"]\nwanted = "straight"\nincidence_above = [0.97, 0.07]\n'
                   'incidence_worth = 20\ndetection = [[0, 0.5], [180, 1.0]]\nseen_by = "kidding"\n'
                   'cost_keep = [200.0, 0.0, 300.0]\ncost_meat = [30.0, 0.0, 60.0]\n')


def untested(herd):
    with open(herd / "gene_tests.csv", newline="", encoding="utf-8") as text:
        table = [row for row in csv.reader(text) if row[0] != "Alder"]
    with open(herd / "gene_tests.csv", "w", newline="", encoding="utf-8") as text:
        csv.writer(text).writerows(table)


VARIANTS = {"demo": lambda herd: None, "folded ears are dear": dear, "bad backs are dear": dear_backs,
             "Alder was never tested": untested}


def main():
    asked = 0
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        for name, change in VARIANTS.items():
            herd = scratch / name.replace(" ", "-")
            shutil.copytree(DEMO, herd)
            change(herd)
            keys = fault_keys(herd, scratch)
            with open(herd / "does.csv", newline="", encoding="utf-8") as text:
                does = [row["doe"] for row in csv.DictReader(text)]
            asked += sum(check_doe(name, herd, scratch, doe, keys) for doe in does)
    if asked < 8:
        failures.append(f"only {asked} questions were checked")
    for failure in failures:
        print("FAILED", failure)
    print(f"{asked} questions checked")
    sys.exit(1 if failures else 0)


main()
