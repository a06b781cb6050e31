#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`plan`'s worth of knowing, by writing each answer into the book and running the program again.

    worth_twins.py PROGRAM DEMO

The plan after each answer is that of the book with the answer's row; chances of the answers of a gene test and of
kids of one gene from what `faults` says of the sire and Mendel's rules; then the mean, less the plan now. For faults of
many genes the chances must leave the plan that stands where it is on average, within five in a thousand of its worth: its fits
are approximate.
"""
import csv
import json
import pathlib
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
failures = []
seen = {}


def check(holds, what):
    if not holds:
        failures.append(what)


def asked(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--format", "json", "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr}")
    return json.loads(done.stdout)


def with_row(book, scratch, file, head, row):
    other = scratch / "other"
    shutil.rmtree(other, ignore_errors=True)
    shutil.copytree(book, other)
    path = other / file
    old = list(csv.DictReader(path.open())) if path.exists() else []
    columns = list(old[0].keys()) if old else head.split(",")
    cells = dict(zip(head.split(","), row.split(",")))
    with path.open("w", newline="") as out:
        writer = csv.DictWriter(out, columns)
        writer.writeheader()
        writer.writerows(old + [{c: cells.get(c, "") for c in columns}])
    return other


def entry(book, starter, fault):
    own = tomllib.loads((book / "faults.toml").read_text()) if (book / "faults.toml").exists() else {}
    return {**tomllib.loads((starter / "faults.toml").read_text()), **own}[fault]


def copies_of(book, sire, fault):
    return next(a["copies"] for a in asked("faults", book, "--sire", sire)["animals"] if a["id"] == sire and a["fault"] == fault)


def of_test(p, e):
    return [p[0] * (1 - e) + p[1] * e / 2, (p[0] + p[2]) * e + p[1] * (1 - e), p[2] * (1 - e) + p[1] * e / 2]


def of_recessive_kids(p, q, kids):
    """A kid shows it with two copies; dams are unknown, half of their alleles q."""
    total = [0.0] * (kids + 1)
    for copies, chance in enumerate(p):
        shows = copies / 2 * q
        ways = 1
        for k in range(kids + 1):
            total[k] += chance * ways * shows ** k * (1 - shows) ** (kids - k)
            ways = ways * (kids - k) // (k + 1)
    return total


def value_of(plan, problem):
    """The plan that stands, at the values of another book: None if a pair of it is not allowed there."""
    index = {s["sire"]: i for i, s in enumerate(problem["sires"])}
    place = {p["doe"]: index[p["sire"]] for p in plan["pairings"]}
    total = -sum(problem["sires"][s]["hire_cost"] for s in set(place.values()))
    for d, doe in enumerate(problem["does"]):
        value = problem["values"][d][place[doe["doe"]]] if doe["doe"] in place else problem["open_values"][d]
        if value is None:
            return None
        total += value
    return total


def check_book(book, starter, scratch, name):
    plan = asked("plan", book)
    for worth in plan["worth_knowing"]:
        what = f"{name}: {worth['what']} of {worth['sire']} for {worth['fault']}"
        seen[worth["what"]] = seen.get(worth["what"], 0) + 1
        check(worth["worth"] >= 0.5, f"{what}: not worth saying")
        if worth["what"] == "papers":
            check(worth["at_most"] and not worth["answers"], f"{what}: a bound, no answers")
            continue
        fault = entry(book, starter, worth["fault"])
        stays = []
        for answer in worth["answers"]:
            if worth["what"] == "gene-test":
                other = with_row(book, scratch, "gene_tests.csv", "animal,fault,result,laboratory",
                                 f"{worth['sire']},{worth['fault']},{answer['found']},asked")
            else:
                other = with_row(book, scratch, "kid_counts.csv", "sire,fault,examined,affected",
                                 f"{worth['sire']},{worth['fault']},{worth['kids']},{answer['found']}")
            after = asked("plan", other)
            check(abs(after["objective"] - answer["objective"]) <= 100, f"{what}: {answer['found']}: {answer['objective']}, run again {after['objective']}")
            stays.append(value_of(plan, after["problem"]))
            check(stays[-1] is None or abs(stays[-1] - answer["kept"]) <= 100, f"{what}: kept {answer['kept']}, added up {stays[-1]}")
        chances = [a["chance"] for a in worth["answers"]]
        check(abs(sum(chances) - 1) < 1e-9, f"{what}: chances add up to {sum(chances)}")
        expected = None
        if worth["what"] == "gene-test":
            expected = of_test(copies_of(book, worth["sire"], worth["fault"]), fault.get("test_error", 0.005))
        elif fault["model"] == "locus" and fault.get("pattern") == "recessive" and fault.get("penetrance", 1.0) == 1.0:
            q = fault["allele_frequency"]
            if not isinstance(q, dict):
                expected = of_recessive_kids(copies_of(book, worth["sire"], worth["fault"]), q, worth["kids"])
        if expected:
            seen["recounted"] = seen.get("recounted", 0) + 1
            check(all(abs(a - b) < 1e-9 for a, b in zip(chances, expected)), f"{what}: chances {chances}, recounted {expected}")
        exact = fault["model"] == "locus"
        mean = sum(p * (a["objective"] - (plan["objective"] if exact else a["kept"])) for p, a in zip(chances, worth["answers"])) / 1e6
        check(abs(worth["worth"] - max(0.0, mean)) < 1e-3, f"{what}: worth {worth['worth']}, recounted {mean}")
        # One gene: only a kid that dies of it is not a carrier that costs, and keepers_wanted hangs on verdicts.
        drift = sum(p * (a["kept"] - plan["objective"]) for p, a in zip(chances, worth["answers"])) / 1e6
        check(abs(drift) < (0.05 if exact else 0.005 * abs(plan["objective"]) / 1e6), f"{what}: the plan that stands drifts by {drift}")
    return plan


def changed(scratch, name, file, change):
    book = scratch / name
    shutil.copytree(DEMO, book)
    (book / file).write_text(change((book / file).read_text()))
    return book


with tempfile.TemporaryDirectory() as place:
    scratch = pathlib.Path(place)
    subprocess.run([PROGRAM, "start", str(scratch / "starter")], check=True, capture_output=True)
    check_book(DEMO, scratch / "starter", scratch, "demo")
    for row in ("Alder,", "Larch,"):
        book = changed(scratch, "without " + row[:-1], "sires.csv", lambda text: "".join(line for line in text.splitlines(True) if not line.startswith(row)))
        check_book(book, scratch / "starter", scratch, book.name)
    dear = changed(scratch, "dear keepers", "season.toml", lambda text: text.replace("value_keep = 240.0", "value_keep = 900.0"))
    check_book(dear, scratch / "starter", scratch, "dear keepers")
check(seen.get("gene-test", 0) >= 2 and seen.get("kids", 0) >= 2 and seen.get("papers", 0) >= 2 and seen.get("recounted", 0) >= 3, f"too little was checked: {seen}")
print(seen)
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
