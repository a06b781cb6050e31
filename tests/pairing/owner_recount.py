#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`owner` counted again from the CSV files alone: the demo book and random books.

    owner_recount.py PROGRAM DATA-DEMO [BOOKS]

Written from the definition, not from the program: a doe counts once a kidding year, which is the
year of a kidding and of a service plus 150 days. Every book here serves in autumn, so that the year
parts the seasons; the program parts them by days.
"""
import csv
import datetime
import json
import pathlib
import random
import subprocess
import sys
import tempfile

DAY = datetime.timedelta(days=1)


def table(book, name):
    path = book / name
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def day(text):
    return datetime.date.fromisoformat(text)


def year_of(text):
    return int(text[:4])


def recount(book, sire, as_of):
    animals = table(book, "animals.csv")
    chance = {}  # kid: (his chance, or None where no sire is written down)
    lists = {}
    for row in table(book, "possible_sires.csv"):
        lists.setdefault(row["kid"], []).append(row)
    for row in animals:
        kid = row["id"]
        if kid in lists:
            given = sum(float(r["probability"]) for r in lists[kid] if r["probability"])
            blank = sum(1 for r in lists[kid] if not r["probability"])
            of = {r["sire"]: float(r["probability"]) if r["probability"] else (1 - given) / blank
                  for r in lists[kid]}
            chance[kid] = of.get(sire, 0.0)
        else:
            chance[kid] = None if not row["sire"] else float(row["sire"] == sire)
    services = [r for r in table(book, "services.csv") if r["from"] <= as_of]

    def kidding_year(row):
        return (day(row["from"]) + 150 * DAY).year

    mine, buck_of = {}, {}
    for row in services:
        key = row["doe"], kidding_year(row)
        buck_of.setdefault(key, set()).add(row["sire"])
        if row["sire"] == sire:
            mine.setdefault(key, []).append(row)
    litters = {}
    for row in table(book, "kiddings.csv"):
        litters.setdefault((row["doe"], year_of(row["date"])), {"row": None, "kids": []})["row"] = row
    for row in animals:
        if row["dam"]:
            key = row["dam"], year_of(row["born"])
            litters.setdefault(key, {"row": None, "kids": []})["kids"].append(row["id"])
    his = {}  # kid: chance
    for kid, value in chance.items():
        if value:
            his[kid] = value
    share = {}
    for key, litter in litters.items():
        named = litter["row"]["sire"] if litter["row"] else ""
        told = [chance[k] if chance[k] is not None else float(named == sire) if named else None
                for k in litter["kids"]]
        told = [t for t in told if t is not None]
        if told:
            share[key] = sum(told) / len(told)
        elif named:
            share[key] = float(named == sire)
        elif key in mine:
            share[key] = 1 / len(buck_of[key])
        else:
            share[key] = 0.0
        if share[key] > 0:
            for kid in litter["kids"]:
                if chance[kid] is None:
                    his[kid] = share[key]
    kidded = {key for key, part in share.items() if part > 0}
    elsewhere = {key for key, part in share.items() if part == 0}
    tested, in_kid = set(), set()
    for row in table(book, "pregnancy_checks.csv"):
        for key, rows in mine.items():
            first = min(day(r["from"]) for r in rows)
            last = max(day(r["to"] or r["from"]) for r in rows)
            end = last + 170 * DAY
            if key in litters:
                litter = litters[key]
                end = day(litter["row"]["date"]) if litter["row"] else min(
                    day(r["born"]) for r in animals if r["id"] in litter["kids"])
            if key[0] == row["doe"] and first + 20 * DAY <= day(row["date"]) <= end:
                tested.add(key)
                if row["result"] == "in kid":
                    in_kid.add(key)
    served = set(mine) | kidded
    counts = {"served": len(served), "tested": len(tested),
              "settled": len((in_kid - elsewhere) | kidded), "kidded": len(kidded)}
    for word in ("born", "alive", "raised"):
        total, blank = 0.0, 0
        for key in kidded:
            row, kids = litters[key]["row"], litters[key]["kids"]
            text = row[f"kids_{word}"] if row else ""
            if text:
                number = max(int(text), len(kids)) if word == "born" else int(text)
            elif word == "born" and kids:
                number = len(kids)
            else:
                blank += 1
                continue
            total += share[key] * number
        counts[word] = None if kidded and blank == len(kidded) else total
    looked = {row["animal"] for row in table(book, "examinations.csv")}
    counts["examined"] = sum(p for kid, p in his.items() if kid in looked)
    counts["not_examined"] = sum(p for kid, p in his.items() if kid not in looked)
    worst = {}
    for row in table(book, "examinations.csv"):
        if row["animal"] in his:
            worst.setdefault((row["animal"], row["fault"]), []).append(row["found"])
    found = {}
    for (kid, fault), grades in worst.items():
        order = ["no", "straight", "yes", "minor", "weak", "serious", "removed"]
        grade = max(grades, key=order.index)
        if grade not in ("no", "straight"):
            found[fault, grade] = found.get((fault, grade), 0.0) + his[kid]
    counts["found"] = found
    return counts


def same(a, b):
    if a is None or b is None:
        return a is b
    return abs(a - b) < 1e-9


def check(program, book, sire, as_of):
    ended = subprocess.run([program, "owner", str(book), sire, "--format", "json", "--quiet",
                            "--as-of", as_of], capture_output=True, text=True, check=False)
    if ended.returncode != 0:
        return [f"ended with {ended.returncode}: {ended.stderr}"]
    got, want = json.loads(ended.stdout), recount(book, sire, as_of)
    wrong = [f"{key}: program {got[key]}, counted {want[key]}"
             for key in want if key != "found" and not same(got[key], want[key])]
    got_found = {(f["fault"], f["grade"]): f["count"] for f in got["found"]}
    if set(got_found) != set(want["found"]) or any(
            not same(got_found[k], want["found"][k]) for k in got_found):
        wrong.append(f"found: program {got_found}, counted {want['found']}")
    return wrong


def random_book(place, rng):
    bucks, does = ["B1", "B2", "B3"], [f"D{i}" for i in range(1, 7)]
    rows = [[b, "", "", "buck", "2017-03-01"] for b in bucks]
    rows += [[d, "", "", "doe", "2017-04-01"] for d in does]
    services, checks, kiddings, possible, exams = [], [], [], [], []
    for doe in does:
        for year in range(2020, 2025):
            if rng.random() < 0.15:
                continue
            with_her = rng.sample(bucks, 2 if rng.random() < 0.25 else 1)
            first = datetime.date(year, 9, 15) + rng.randrange(30) * DAY
            written = rng.random() < 0.8
            if written:
                for buck in with_her:
                    services.append([doe, buck, first, first + 30 * DAY, "pen"])
            if rng.random() < 0.3:
                checks.append([doe, first + rng.choice([10, 45, 60]) * DAY,
                               rng.choice(["in kid", "empty", "unclear"])])
            if rng.random() < 0.15:
                continue
            born = first + (150 + rng.randrange(20)) * DAY
            number = rng.randrange(1, 4)
            if rng.random() < 0.85:
                kiddings.append([doe, born, rng.choice([number, number, ""]),
                                 rng.choice([number, ""]), rng.choice([number, ""]),
                                 rng.choice([with_her[0], ""])])
            for i in range(rng.randrange(number + 1)):
                kid, sire = f"{doe}-{year}-{i}", ""
                if len(with_her) == 2 and rng.random() < 0.6:
                    possible += [[kid, with_her[0], 0.6], [kid, with_her[1], ""]]
                elif rng.random() < 0.7:
                    sire = with_her[0]
                rows.append([kid, sire, doe, rng.choice(["doe", "wether"]), born])
                if rng.random() < 0.5:
                    exams.append([kid, "teats", rng.choice(["no", "no", "minor", "serious"]), born])
                if rng.random() < 0.2:
                    exams.append([kid, "teats", rng.choice(["no", "minor"]), born + 2 * DAY])

    def write(name, header, lines):
        with (place / name).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([header.split(",")] + lines)
    write("animals.csv", "id,sire,dam,sex,born", rows)
    write("services.csv", "doe,sire,from,to,how", services)
    write("pregnancy_checks.csv", "doe,date,result", checks)
    write("kiddings.csv", "doe,date,kids_born,kids_alive,kids_raised,sire", kiddings)
    write("possible_sires.csv", "kid,sire,probability", possible)
    write("examinations.csv", "animal,fault,found,date", exams)
    return bucks


def main():
    program, demo = sys.argv[1], pathlib.Path(sys.argv[2])
    books = int(sys.argv[3]) if len(sys.argv) > 3 else 40
    bad = 0
    for sire in ("Hornbeam", "Larch", "Hawthorn", "Rowan", "Bracken", "Alder"):
        for wrong in check(program, demo, sire, "2026-09-15"):
            print(f"demo, {sire}: {wrong}")
            bad += 1
    for seed in range(books):
        with tempfile.TemporaryDirectory() as place:
            book = pathlib.Path(place)
            for sire in random_book(book, random.Random(seed)):
                for wrong in check(program, book, sire, "2025-09-15"):
                    print(f"seed {seed}, {sire}: {wrong}")
                    bad += 1
    print(f"{books} random books and the demo: {bad} differences")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
