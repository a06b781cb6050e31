#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Is he a dud: random books of stays and services against enumeration.

    dud_twins.py PROGRAM

Enumerated for each doe: whether she never settles, how many months she cycles in, and the day of her first heat.
Two readings of the buck, what was seen under each, Bayes' rule. Nothing of the program's sums is used.
"""
import csv
import datetime
import json
import pathlib
import random
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
CYCLING = [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]
C, NEVER, DUD, TODAY = 0.7, 0.05, 0.05, datetime.date(2026, 12, 20)
BOOKS, DOES = 40, 4


def day(n):
    return datetime.date(2026, 8, 1) + datetime.timedelta(days=n)


def share(n):
    return CYCLING[day(n).month - 1]


def states(first):
    """(weight, never settles, heats) for every doe there can be; heats by day number."""
    levels = sorted(set(CYCLING)) + [1.0]
    below = 0.0
    for level in levels:
        for phase in range(21):
            heats = {n for n in range(first + phase, first + 200, 21) if share(n) >= level}
            yield (level - below) / 21 * (1 - NEVER), False, heats
            yield (level - below) / 21 * NEVER, True, heats
        below = level


def open_after(heats, served, never, dud):
    """Chance that she is open after her heats on the days on which he served."""
    failing = 1 - C / (1 - NEVER)
    return 1.0 if never or dud else failing ** sum(1 for n in served if n in heats)


def chance(doe, dud):
    """Of what was seen of this doe."""
    first, last, kind, seen = doe
    total = 0.0
    for weight, never, heats in states(first):
        if kind == "empty":
            total += weight * open_after(heats, range(first, min(last, seen - 20) + 1), never, dud)
        elif seen in heats:  # seen in heat, and she was open
            total += weight * open_after(heats, range(first, min(last, seen - 1) + 1), never, dud)
    return total


def random_doe(luck):
    """First and last day of her stay, what was seen, and when; nothing that was not seen afterwards tells."""
    first = luck.randrange(0, 40)
    last = first + luck.choice([9, 20, 27, 34, 41, 60])
    kind = luck.choice(["empty", "heat after", "heat in"])
    if kind == "empty":
        return first, last, "empty", luck.randrange(max(first + 30, last), last + 35)
    if kind == "heat after":
        return first, last, "heat", luck.randrange(last + 1, last + 21)
    last = (TODAY - day(0)).days - luck.randrange(0, 23)
    first = last - luck.choice([25, 34, 41, 60])
    return first, last, "heat", luck.randrange(first + 21, last + 1)


def write(path, header, rows):
    with path.open("w", newline="") as out:
        csv.writer(out).writerows([header, *rows])


def odds_of(book):
    done = subprocess.run([PROGRAM, "sire", str(book), "Alder", "--format", "json", "--quiet", "--as-of",
                           TODAY.isoformat()], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(done.stderr)
    return json.loads(done.stdout)["sire"]["infertile"]


def one_book(root, seed):
    luck = random.Random(seed)
    does = {f"Doe {k}": random_doe(luck) for k in range(DOES)}
    write(root / "animals.csv", ["id", "sex", "born"],
          [["Alder", "buck", "2020-03-01"], *([name, "doe", "2021-03-01"] for name in does)])
    write(root / "sires.csv", ["sire", "terms", "from", "to", "conception"],
          [["Alder", "own", "2026-08-01", "2026-12-31", C]])
    write(root / "services.csv", ["doe", "sire", "from", "to", "how"],
          [[name, "Alder", day(d[0]), day(d[1]), "pen"] for name, d in does.items()])
    write(root / "heats.csv", ["doe", "date"],
          [[name, day(d[3])] for name, d in does.items() if d[2] == "heat"])
    write(root / "pregnancy_checks.csv", ["doe", "date", "result", "how"],
          [[name, day(d[3]), "empty", "scan"] for name, d in does.items() if d[2] == "empty"])
    fertile, dud = 1 - DUD, DUD
    for doe in does.values():
        fertile, dud = fertile * chance(doe, False), dud * chance(doe, True)
    return does, odds_of(root), dud / (dud + fertile)


def main():
    worst, failures = 0.0, []
    for seed in range(BOOKS):
        with tempfile.TemporaryDirectory() as root:
            does, said, expected = one_book(pathlib.Path(root), seed)
        worst = max(worst, abs(said["probability"] - expected))
        if abs(said["probability"] - expected) > 1e-9 or said["call_fallback"] != (expected > 0.5):
            failures.append(f"book {seed}: {said} but {expected} of {does}")
    for failure in failures:
        print(failure)
    print(f"{BOOKS - len(failures)} of {BOOKS} books agree, largest difference {worst:.1e}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
