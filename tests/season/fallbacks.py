#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Who serves a doe when the plan's sire has failed her: nobody who is not there any more.

    fallbacks.py PROGRAM DEMO

A doe is known to have failed a cycle of 21 days after his first day with her. What the others are then worth to her is
what `rank` says in a book in which every sire begins on that day at the earliest.
"""
import csv
import datetime
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
CYCLE = datetime.timedelta(21)
ANIMALS = "id,sire,dam,sex,born,breed,owner\n" + "".join(f"{row}\n" for row in (
    "A,,,buck,2020-03-01,nubian,Other", "C,,,buck,2020-03-02,boer,", "E,,,buck,2020-03-02,boer,Other",
    "K1,C,,wether,2023-03-02,boer,", "K2,A,,wether,2023-03-02,boer,", "K3,E,,wether,2023-03-02,boer,",
    "D1,,,doe,2020-03-03,nubian,", "D2,,,doe,2020-03-04,nubian,", "D3,,,doe,2020-03-05,nubian,"))
SIRES = "sire,terms,from,to,fee,fee_per_doe,most_does\n"
failures = []
compared = 0


def check(holds, what):
    if not holds:
        failures.append(what)


def asked(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--quiet", "--format", "json"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr}")
    return json.loads(done.stdout)


def rows(book, file):
    path = book / file
    return list(csv.DictReader(path.open(encoding="utf-8"))) if path.is_file() else []


def begun_on(book, day, root):
    moved = root / f"{book.name}-{day}"
    if not moved.is_dir():
        shutil.copytree(book, moved)
        table = rows(book, "sires.csv")
        for row in table:
            row["from"] = max(row["from"], str(day))
        table = [row for row in table if row["from"] <= row["to"]]
        with (moved / "sires.csv").open("w", newline="", encoding="utf-8") as out:
            writer = csv.DictWriter(out, table[0].keys())
            writer.writeheader()
            writer.writerows(table)
    return moved


def by_definition(book, plan, pair, root):
    """The fallback of a pair that is not served before, from `problem` and `rank`."""
    sires = {s["sire"]: s for s in plan["problem"]["sires"]}
    doe = next(d for d, row in enumerate(plan["problem"]["does"]) if row["doe"] == pair["doe"])
    as_of = datetime.date.fromisoformat(plan["as_of"])
    day = max(as_of, datetime.date.fromisoformat(sires[pair["sire"]]["from"])) + CYCLE
    worth = {}
    if any(row["to"] >= str(day) for row in sires.values()):
        then = asked("rank", begun_on(book, day, root), "--doe", pair["doe"])["does"][0]
        worth = {s["sire"]: s["value"] for s in then["sires"]}
    used = {s["sire"] for s in plan["hired"]}
    can = []
    for s, (sire, row) in enumerate(sires.items()):
        value = plan["problem"]["values"][doe][s]
        if sire == pair["sire"] or value is None or sire not in worth:
            continue
        check(row["to"] >= str(day), f"{sire} is not there on {day}")
        if worth[sire] > plan["problem"]["open_values"][doe] / 1e6:
            can.append((-round(worth[sire] * 1e6) + (0 if sire in used else row["hire_cost"]), sire))
    return min(can)[1] if can else None


def compare(book, root):
    global compared
    plan = asked("plan", book)
    for pair in plan["pairings"]:
        if pair["in_kid"] is not None:
            continue
        expected = by_definition(book, plan, pair, root)
        check(pair["fallback"] == expected, f"{book.name}: {pair['doe']} falls back on {pair['fallback']}, not {expected}")
        compared += 1
    return {pair["doe"]: pair["fallback"] for pair in plan["pairings"]}


def small(root, name, sires, services="", as_of="2026-08-15", does="D1,meat\nD2,meat\nD3,meat\n"):
    book = root / name
    book.mkdir()
    (book / "animals.csv").write_text(ANIMALS)
    (book / "does.csv").write_text("doe,kids_for\n" + does)
    (book / "sires.csv").write_text(SIRES + sires)
    (book / "season.toml").write_text(f"as_of = {as_of}\n")
    if services:
        (book / "services.csv").write_text("doe,sire,from,to,how\n" + services)
    return book


def small_books(root):
    gone = compare(small(root, "gone", "A,hired,2026-10-01,2026-11-20,5,,\nC,visit,2026-09-01,2026-09-10,,,\n"), root)
    check(set(gone.values()) == {None}, "C can be had in September alone and is nobody's fallback")
    turns = compare(small(root, "turns", "A,hired,2026-10-01,2026-10-20,5,,2\nC,own,2026-10-21,2026-11-20,,,2\n"), root)
    check(sorted(turns.values(), key=str) == ["C", None, None], "A has left when a doe of C comes back")
    hired = compare(small(root, "hired", "A,hired,2026-10-01,2026-12-20,50,,\nE,hired,2026-10-01,2026-12-20,60,,\n"), root)
    check(set(hired.values()) == {"E"}, "a buck that is still to be had may be hired for it")
    dear = "A,own,2026-10-01,2026-12-20,,,\nC,visit,2026-10-01,2026-12-20,,30,\nE,hired,2026-10-01,2026-12-20,{},,\n"
    check(set(compare(small(root, "dear", dear.format(60)), root).values()) == {"C"}, "a visit for 30 before a hire of 60")
    check(set(compare(small(root, "cheap", dear.format(20)), root).values()) == {"E"}, "a hire of 20 before a visit for 30")
    short = "A,own,2026-10-01,2026-12-20,,,\nC,visit,2026-09-01,{},,,\n"
    for last, fallback in (("2026-10-21", None), ("2026-10-22", "C")):
        plan = asked("plan", small(root, f"last-{last}", short.format(last) , does="D1,meat\n"))
        check([p["fallback"] for p in plan["pairings"]] == [fallback], f"she fails by 22 October, C is there until {last}")
    # Served by him on 1 October: back on 22 October; today is later.
    late = small(root, "served", "A,own,2026-10-01,2026-12-20,,,\nC,visit,2026-09-01,2026-11-01,,,\n", "D1,A,2026-10-01,,seen\n",
                 does="D1,meat\n")
    for today, fallback in (("2026-10-05", "C"), ("2026-11-01", "C"), ("2026-11-02", None)):
        pair = asked("plan", late, "--as-of", today)["pairings"][0]
        check(pair["fallback"] == fallback, f"served, as of {today}: falls back on {pair['fallback']}")


with tempfile.TemporaryDirectory() as scratch:
    scratch = pathlib.Path(scratch)
    small_books(scratch)
    demo = scratch / "demo"
    shutil.copytree(DEMO, demo)
    compare(demo, scratch)
    check(compared > 20, f"only {compared} pairs compared")
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{compared} fallbacks compared, {len(failures)} failed")
sys.exit(1 if failures else 0)
