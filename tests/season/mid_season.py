#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""In the middle of the season: days that are past, and does not seen back in heat.

    mid_season.py PROGRAM DEMO

Values of `plan` with as-of inside the stays against a book in which every stay begins on as-of; chances after
no return by Bayes' rule, from what `calendar` says on the last day of the stay.
"""
import csv
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
CYCLING = [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]
NOTICED = 0.8
SENTENCE = "she may have stopped cycling: test her"
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


def said(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr}")
    return done.stdout


def asked(*words):
    return json.loads(said(*words, "--format", "json"))


def begin_on(book, day):
    rows = list(csv.DictReader((book / "sires.csv").open()))
    for row in rows:
        row["from"] = max(row["from"], day)
    with (book / "sires.csv").open("w", newline="") as out:
        writer = csv.DictWriter(out, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)


def past_days(root):
    today = "2026-10-25"
    book = root / "past"
    shutil.copytree(DEMO, book)
    (book / "services.csv").open("a").write("Vetch,Sedge,2026-10-12,,pen\n")
    before = asked("plan", book, "--as-of", "2026-10-04")
    now = asked("plan", book, "--as-of", today)
    begin_on(book, today)
    later = asked("plan", book, "--as-of", today)
    sires = [s["sire"] for s in now["problem"]["sires"]]
    fewer = 0
    for d, doe in enumerate(now["problem"]["does"]):
        for s, sire in enumerate(sires):
            mine, moved, whole = (p["problem"]["values"][d][s] for p in (now, later, before))
            if doe["doe"] == "Vetch" and sire == "Sedge" or doe["doe"] == "Nettle" and sire == "Larch":
                check(doe["locked"] == sire and mine != moved, f"{doe['doe']} was served: her days with him count")
                if doe["doe"] == "Nettle":
                    check(mine == whole, "Nettle was served before the stays began: as before")
                continue
            check((mine is None) == (moved is None), f"{doe['doe']} with {sire}: allowed in one book only")
            if mine is not None:
                check(abs(mine - moved) <= 1, f"{doe['doe']} with {sire}: {mine}, from today on {moved}")
                fewer += mine < whole
    check(fewer > 10, "past days make the rest worth less")
    check(all(s["from"] < today for s in now["problem"]["sires"] if s["sire"] == "Larch"), "pens are counted by the whole stay")
    over = said("plan", DEMO, "--as-of", "2026-12-15")
    check("the days of Larch, Alder, Bracken, Tamarisk and Sedge are over" in " ".join(over.split()), "stays that are over are said")
    gone = asked("plan", DEMO, "--as-of", "2026-12-15")
    check([p["doe"] for p in gone["pairings"]] == ["Nettle"], "nobody is put to a buck whose days are over")


def book_of(root, name, services, heats="", checks=""):
    book = root / name
    book.mkdir()
    (book / "animals.csv").write_text("id,sex,born\nBuck,buck,2020-03-01\nDoe,doe,2021-03-01\n")
    (book / "does.csv").write_text("doe,kids_for,weight_kg,grown_weight_kg,condition\nDoe,keep,60,60,3\n")
    (book / "sires.csv").write_text("sire,terms,from,to\nBuck,own,2026-10-01,2027-03-31\n")
    (book / "services.csv").write_text("doe,sire,from,to,how\n" + services)
    if heats:
        (book / "heats.csv").write_text("doe,date\n" + heats)
    if checks:
        (book / "pregnancy_checks.csv").write_text("doe,date,result,how\n" + checks)
    return book


def stands(book, day):
    rows = [e for e in asked("calendar", book, "--as-of", day)["events"] if e["doe"] == "Doe" and e["in_kid"] is not None]
    chances = {(e["in_kid"], e["may_have_stopped_cycling"]) for e in rows}
    check(len(chances) == 1, f"{book.name} on {day}: one chance for a doe")
    chance, stopped = chances.pop()
    check((SENTENCE in " ".join(said("calendar", book, "--as-of", day).split())) == stopped, f"{book.name} on {day}: the sentence in `calendar`")
    plan = asked("plan", book, "--as-of", day)
    mine = next((p for p in plan["pairings"] if p["doe"] == "Doe"), None)
    if mine:
        check((mine["in_kid"], mine["may_have_stopped_cycling"]) == (chance, stopped), f"{book.name} on {day}: `plan` says the same")
        check((SENTENCE in " ".join(said("plan", book, "--as-of", day).split())) == stopped, f"{book.name} on {day}: the sentence in `plan`")
    return chance, stopped


def quiet(p, share):
    return p / (p + (1 - p) * (1 - NOTICED * share))


def mean_share(*months):
    """(month, days) of a cycle."""
    return sum(CYCLING[month - 1] * days for month, days in months) / 21


def near(got, expected, what):
    check(abs(got - expected) < 1e-9, f"{what}: {got} instead of {expected}")


def no_return(root):
    # The last day is 10 October: the first cycle after it is 21 days of October, the second of November.
    pen = book_of(root, "pen", "Doe,Buck,2026-09-10,2026-10-10,pen\n")
    p, stopped = stands(pen, "2026-10-11")
    check(not stopped, "nothing to see yet")
    near(stands(pen, "2026-11-02")[0], p, "23 days after his last")
    once = quiet(p, CYCLING[9])
    near(stands(pen, "2026-11-03")[0], once, "24 days after his last")
    twice = quiet(once, CYCLING[10])
    chance, stopped = stands(pen, "2026-11-24")
    near(chance, twice, "45 days after his last")
    check(not stopped, "nearly all cycle in November")

    # Last day 26 January: 5 days of January, 16 of February; then 12 of February and 9 of March.
    late = book_of(root, "late", "Doe,Buck,2026-12-28,2027-01-26,pen\n")
    p, stopped = stands(late, "2027-01-27")
    check(not stopped, "nothing to see yet in January")
    chance, stopped = stands(late, "2027-02-19")
    near(chance, quiet(p, mean_share((1, 5), (2, 16))), "quiet in February")
    check(stopped, "half the does cycle in February")
    chance, stopped = stands(late, "2027-03-12")
    near(chance, quiet(quiet(p, mean_share((1, 5), (2, 16))), mean_share((2, 12), (3, 9))), "quiet in March")
    check(stopped, "few does cycle in March")
    tested = book_of(root, "tested", "Doe,Buck,2026-12-28,2027-01-26,pen\n", checks="Doe,2027-02-18,in kid,scan\n")
    check(not stands(tested, "2027-02-19")[1], "she was tested")

    # A service seen: the share of the day on which she should have come back.
    seen = book_of(root, "seen", "Doe,Buck,2027-01-15,,seen\n")
    p, _ = stands(seen, "2027-01-20")
    chance, stopped = stands(seen, "2027-02-08")
    near(chance, quiet(p, CYCLING[1]), "served, quiet in February")
    check(stopped, "served: half the does cycle in February")
    autumn = book_of(root, "autumn", "Doe,Buck,2026-10-15,,seen\n")
    check(not stands(autumn, "2026-11-10")[1], "served in October: no return says much")
    back = book_of(root, "back", "Doe,Buck,2026-12-28,2027-01-26,pen\n", heats="Doe,2027-02-10\n")
    chance, stopped = stands(back, "2027-02-19")
    check(chance < 0.3 and not stopped, "she came back after the stay")


with tempfile.TemporaryDirectory() as scratch:
    past_days(pathlib.Path(scratch))
    no_return(pathlib.Path(scratch))
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
