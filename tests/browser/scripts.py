#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes a herd book of five full generations with long names, in many scripts.

    scripts.py FOLDER

No real data. The sire of both parents is the same, so that the chart has a thread.
"""
import csv
import pathlib
import sys

NAMES = ["Königin Adelheid von der Hohen Wiese zu Tannenbach", "Ÿvonne-Gwendolyn’s Midnight Thunder over Snowdon II",
         "白雪公主的大女儿山羊", "Θεοδώρα η Μεγάλη", "Мария-Антуанетта Северная", "فاطمة الزهراء", "लक्ष्मीबाई बकरी",
         "さくらの山の姫", "Żółta Łąka św. Jadwigi", "Ngā Puāwai o te Rangi", "Þórdís Ægisdóttir hin fagra", "עדינה הקטנה",
         "MMMMMMMMMMMMMMMMMMMMMMMMMMMMMM", "Çağla Şirin Işıl", "ሰላም ፍየል"]
rows = []


def add(generation, sex):
    row = {"id": f"G{len(rows)}", "sex": sex, "born": 2025 - 3 * generation}
    rows.append(row)
    row["name"] = f"{NAMES[(len(rows) - 1) % len(NAMES)]} {len(rows)}"
    if generation < 5:
        row["sire"], row["dam"] = add(generation + 1, "buck"), add(generation + 1, "doe")
    return row["id"]


add(0, "doe")
by_id = {row["id"]: row for row in rows}
first = by_id["G0"]
by_id[first["dam"]]["sire"] = by_id[first["sire"]]["sire"]
folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
with open(folder / "animals.csv", "w", newline="", encoding="utf-8") as out:
    writer = csv.DictWriter(out, ["id", "sire", "dam", "name", "sex", "born"], restval="")
    writer.writeheader()
    writer.writerows(rows)
