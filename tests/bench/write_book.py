#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes a herd book of many animals, to measure with: herds of 40 does and two bucks over 40 years,
bucks bought every three years, one parent in `blank` of a hundred not known. The same for the same
arguments.

    write_book.py FOLDER [--animals 1000000] [--blank 5] [--dates] [--seed 1]
"""
import argparse
import pathlib
import random

YEARS, DOES, KIDS = 40, 40, 70


def rows(animals, blank, seed):
    """(id, sire, dam, sex, year), parents first."""
    source = random.Random(seed)
    count = max(2, animals // (YEARS * KIDS))
    number = 0

    def name():
        nonlocal number
        number += 1
        return f"G-{number * 7919 % 99999989:08d}"

    herds = []
    for _ in range(count):
        herd = {"does": [], "bucks": [], "f": [], "m": []}
        for sex, role, size in (("doe", "does", DOES), ("buck", "bucks", 2)):
            for _ in range(size):
                herd[role].append(name())
                yield herd[role][-1], "", "", sex, 1979
        herds.append(herd)
    for year in range(YEARS):
        for herd in herds:
            herd["f"], herd["m"] = [], []
            for k in range(KIDS):
                if number >= animals:
                    return
                kid = name()
                sire = "" if source.random() * 100 < blank else herd["bucks"][source.randrange(2)]
                dam = "" if source.random() * 100 < blank else source.choice(herd["does"])
                yield kid, sire, dam, "doe" if k % 2 == 0 else "buck", 1981 + year
                herd["f" if k % 2 == 0 else "m"].append(kid)
        for h, herd in enumerate(herds):
            for _ in range(DOES // 5):
                herd["does"][source.randrange(DOES)] = source.choice(herd["f"])
            if year % 3 == h % 3:
                others = herds[source.randrange(max(1, count // 20))], herds[(h + 1) % count], herd
                for b in range(2):
                    herd["bucks"][b] = source.choice(others[source.choice((0, 0, 0, 1, 2))]["m"])


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--animals", type=int, default=1_000_000)
    parser.add_argument("--blank", type=float, default=5.0)
    parser.add_argument("--dates", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    with open(asked.folder / "animals.csv", "w", encoding="utf-8") as out:
        out.write("id,sire,dam,sex,born\n" if asked.dates else "id,sire,dam,sex\n")
        for row in rows(asked.animals, asked.blank, asked.seed):
            out.write(",".join(row[:4]) + (f",{row[4]}-03-01\n" if asked.dates else "\n"))


if __name__ == "__main__":
    main()
