#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What bears on a chance from afar, through the built program. Standard library alone.

    far_kin.py PROGRAM

1. "Nothing known of him, as any buck" is said only of a buck whose own chance is any buck's: a daughter's gene test
   takes the words away (his chance by Bayes' rule, worked out here), a buck without such kin keeps them.
2. A count of 1,200 kids is a likelihood like any other, though its chance is below the smallest double.
3. Of a contradiction no named record can be left out: a look that could have missed the sign is not named where the
   animal's being a parent tells more; and --set-aside works without all that is named.
4. What each record moved in one family is the same whether or not another family stands in the book.
Sources: Bayes' rule and Mendel's; DEFINITIONS 3, 5.
"""
import json
import math
import pathlib
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
failures = []


def check(what, holds, shown=""):
    if not holds:
        failures.append(f"{what} {shown}".rstrip())


def book(folder, **files):
    path = pathlib.Path(folder)
    path.mkdir(exist_ok=True)
    for name, text in files.items():
        suffix = "toml" if name in ("faults", "season", "traits") else "csv"
        (path / f"{name}.{suffix}").write_text(text)
    return path


def run(*words):
    return subprocess.run([PROGRAM, *map(str, words), "--as-of", "2030-09-15"], capture_output=True, text=True)


def faults(path, *words):
    done = run("faults", path, "--format", "json", *words)
    check(f"{path.name}: status", done.returncode == 0, done.stderr)
    return {(one["id"], one["fault"]): one for one in json.loads(done.stdout or '{"animals": []}')["animals"]}


ONE = """[grey]
model = "locus"
allele_frequency = 0.1
pattern = "recessive"
test_error = 0
cost_shown_keep = 50
source = "assumed"
"""
ANIMALS = "id,sire,dam,sex,born\nS,,,buck,2025-01-05\nT,,,buck,2025-01-05\nD,,,doe,2025-02-01\nK,S,,doe,2027-02-01\n"

with tempfile.TemporaryDirectory() as place:
    root = pathlib.Path(place)

    # 1. K carries one copy: from S or from her unknown dam, a founder.
    q = 0.1
    prior = [(1 - q) ** 2, 2 * q * (1 - q), q * q]
    gives = [0.0, 0.5, 1.0]
    one_copy = [gives[s] * (1 - q) + (1 - gives[s]) * q for s in range(3)]
    total = sum(p * l for p, l in zip(prior, one_copy))
    carries = 1 - prior[0] * one_copy[0] / total
    far = book(root / "far", animals=ANIMALS, faults=ONE, gene_tests="animal,fault,result\nK,grey,carrier\n",
               sires="sire,terms\nS,own\nT,own\n", does="doe,kids_for\nD,keep\n")
    known = faults(far)["S", "grey"]["copies"]
    check("1: chance to carry", abs(known[1] + known[2] - carries) < 1e-12, known)
    text = " ".join(run("rank", far, "--doe", "D").stdout.split())
    of_grey = [part for part in text.split(" - ") if part.startswith("grey")]
    check("1: words", len(of_grey) == 2 and f"{100 * carries:.0f} in 100 that he carries it" in of_grey[0]
          and "nothing known of him" not in of_grey[0]
          and "nothing known of him: " in of_grey[1] and "as any buck" in of_grey[1], of_grey)

    # 2. Polled in 650 of 1,200 kids of unknown dams: dominant, so P(shown) = 1 - (1 - gives) (1 - q).
    dominant = ONE.replace("recessive", "dominant")
    many = book(root / "many", animals=ANIMALS, faults=dominant,
                kid_counts="sire,fault,examined,affected\nS,grey,1200,650\nS,grey,600,325\nT,grey,1200,0\n")
    for buck, examined, affected in (("S", 1800, 975), ("T", 1200, 0)):
        logs = []
        for s in range(3):
            p = 1 - (1 - gives[s]) * (1 - q)
            if (p == 1 and affected < examined) or (p == 0 and affected):
                logs.append(-math.inf)
            else:
                logs.append(math.log(prior[s]) + (affected * math.log(p) if affected else 0)
                            + ((examined - affected) * math.log1p(-p) if affected < examined else 0))
        # K is S's kid of which nothing is known: it changes nothing.
        best = max(logs)
        weights = [math.exp(l - best) for l in logs]
        expected = [w / sum(weights) for w in weights]
        copies = faults(many)[buck, "grey"]["copies"]
        check(f"2: {buck}", all(abs(a - b) < 1e-12 for a, b in zip(copies, expected)), copies)

    # 3. S was looked at as a kid, where half is missed, and is a sire: so he does not show it; the test says he must.
    lethal = ONE + "lethal_by_days = 30\ndetection = [[0, 0.5]]\n"
    clash = book(root / "clash", animals=ANIMALS, faults=lethal, gene_tests="animal,fault,result\nS,grey,affected\n",
                 examinations="animal,fault,found,age\nS,grey,no,birth\n")
    done = run("faults", clash)
    check("3: status", done.returncode == 1, done.returncode)
    check("3: named", "animals.csv:2 (S, which lived); gene_tests.csv:2 (S)" in done.stderr
          and "examinations.csv" not in done.stderr, done.stderr)
    done = run("faults", clash, "--set-aside", "--format", "json")
    check("3: set aside", done.returncode == 0, done.stderr)

    # 4. Two families apart and together.
    def family(mark):
        return (f"S{mark},,,buck,2020-01-05\nD{mark},,,doe,2020-01-05\nK{mark},S{mark},D{mark},doe,2022-02-01\n"
                f"L{mark},S{mark},D{mark},buck,2022-02-01\nG{mark},L{mark},K{mark},doe,2024-02-01\n")
    head = "id,sire,dam,sex,born\n"
    tests = "animal,fault,result\nKa,grey,carrier\nGa,grey,clear\n"
    looks = "animal,fault,found\nLb,grey,no\nGb,grey,yes\n"
    both = faults(book(root / "both", animals=head + family("a") + family("b"), faults=lethal, gene_tests=tests,
                       examinations=looks))
    alone = {**faults(book(root / "a", animals=head + family("a"), faults=lethal, gene_tests=tests)),
             **faults(book(root / "b", animals=head + family("b"), faults=lethal, examinations=looks))}
    moved = 0
    for key, one in alone.items():
        if key[1] != "grey":
            continue
        other = both[key]
        check(f"4: {key}", one["copies"] == other["copies"] and
              [(e["what"], e["effect"]) for e in one["evidence"]] == [(e["what"], e["effect"]) for e in other["evidence"]])
        moved += len(one["evidence"])
    check("4: some record moved something", moved > 20, moved)

for failure in failures:
    print(failure)
sys.exit(1 if failures else 0)
