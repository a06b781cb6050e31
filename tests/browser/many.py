#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes a herd book of a chosen size, to see what a page of many does and sires weighs.

    many.py FOLDER DOES SIRES FAULTS.TOML

No real data: ids are numbers, parents and findings follow a fixed rule, so that most pairs are related and
some faults of FAULTS.TOML are recorded of most.
"""
import csv
import pathlib
import shutil
import sys

folder, does, sires = pathlib.Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
folder.mkdir(parents=True, exist_ok=True)
shutil.copy(sys.argv[4], folder / "faults.toml")


def table(name, header, rows):
    with open(folder / name, "w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([header, *rows])


animals = [[f"F{k}", "", "", "buck" if k < 8 else "doe", "2014", "horned"] for k in range(32)]
for k in range(does + sires):  # parents of those put forward and on offer
    animals.append([f"P{k}", f"F{k % 8}", f"F{8 + k % 24}", "buck" if k % 2 else "doe", "2017", "horned"])
def parents(k):
    return f"P{(2 * k + 1) % (does + sires) | 1}", f"P{(2 * k) % (does + sires) & ~1}"
for k in range(does):
    animals.append([f"Doe{k:02d}", *parents(k), "doe", "2022-03-01", "horned"])
for k in range(sires):
    animals.append([f"Buck{k:02d}", *parents(k + 7), "buck", "2022-03-01", "horned"])
table("animals.csv", ["id", "sire", "dam", "sex", "born", "horns"], animals)
table("does.csv", ["doe", "kids_for", "weight_kg", "weighed", "grown_weight_kg", "condition"],
      [[f"Doe{k:02d}", ("keep", "either", "meat")[k % 3], "60", "2026-09-01", "62", "3"] for k in range(does)])
table("sires.csv", ["sire", "terms", "from", "to", "fee"],
      [[f"Buck{k:02d}", "hired", "2026-10-05", "2026-11-20", str(50 + 5 * k)] for k in range(sires)])
table("examinations.csv", ["animal", "fault", "found", "date"],
      [[f"{who}{k:02d}", fault, "yes" if (k + n) % 7 == 0 else "no", "2024-05-01"]
       for who, many in (("Doe", does), ("Buck", sires)) for k in range(many)
       for n, fault in enumerate(("jaw", "teats", "topline"))])
