#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`stay`: which length pays, worked out again from `rank`, the tables and the settings.

    stay_twins.py PROGRAM DEMO

Gains of the does, cost and worth of every length from the files and `rank`'s chances; the recommended row
by trying every length as the one on offer. Settled shares are taken as printed (tests/timing recounts them).
"""
import csv
import datetime
import io
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "pairing"))
from skip import skip

try:
    import tomllib  # noqa: F401
except ImportError as missing:
    skip(f"{missing}", "python3 3.11 or later")
from money import Season

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
failures = []
wide = {}


def check(holds, what):
    if not holds:
        failures.append(what)


def run(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr}")
    return done.stdout


def asked(*words):
    return json.loads(run(*words, "--format", "json"))


def cost_of(season, sire, days):
    n = lambda column: season.number(sire, column)
    if season.sires[sire]["terms"] == "hired":
        days += season.season["papers"]["isolation_days"]
    lost = 1 - (1 - season.season["risk"]["loss_per_month"]) ** (days / 30.4375)
    return n("fee") + n("haul") + n("tests_cost") + n("cost_per_day") * days + n("value_if_lost") * lost


def gains_of(season, book, sire):
    """Of the does that may go to him, the largest first."""
    services = list(csv.DictReader((book / "services.csv").open())) if (book / "services.csv").exists() else []
    rank, gains = asked("rank", book), []
    for doe in rank["does"]:
        row = season.does[doe["doe"]]
        mine = next(s for s in doe["sires"] if s["sire"] == sire)
        # what is done stays done: the demo book has one doe served this season
        served = [s["sire"] for s in services if s["doe"] == doe["doe"] and s["from"] > "2026-06"]
        held = row.get("sire") or (served[-1] if served else "")
        others = [s for s in doe["sires"] if s["verdict"] != "avoid"]
        if held and held != sire:
            continue
        if not held and doe["fit"] in ("wait", "no"):
            continue
        forced = not others and sire not in (row.get("not_sires") or "").split(";")
        if mine["verdict"] == "avoid" and held != sire and not forced:
            continue
        gain = mine["kids_per_kidding"] * mine["value_per_kid"] - season.season["open"]["value"]
        if gain > 0:
            gains.append(gain)
    most = next(s for s in [asked("sire", book, sire)["sire"]])["most_does"]
    gains.sort(reverse=True)
    return gains if most is None else gains[:most]


def recount(book, starter, sire, what):
    season = Season(book, starter)
    answer = asked("stay", book, sire)
    gains = gains_of(season, book, sire)
    check(answer["does_counted"] == len(gains), f"{what}: {answer['does_counted']} does, recounted {len(gains)}")
    check(abs(answer["gain"] - sum(gains)) < 1e-6, f"{what}: gain {answer['gain']}, recounted {sum(gains)}")
    fees = season.number(sire, "fee_per_doe") * len(gains)
    before = None
    for stay in answer["stays"]:
        cost = cost_of(season, sire, stay["days"])
        worth = stay["settled"] * sum(gains) - cost - fees
        check(abs(cost - stay["cost"]) < 1e-6, f"{what}: cost of {stay['days']} days")
        check(abs(worth - stay["worth"]) < 1e-6, f"{what}: worth of {stay['days']} days")
        if before:
            day = (worth - before[1]) / (stay["days"] - before[0])
            check(abs(day - stay["worth_of_a_day"]) < 1e-6, f"{what}: a day up to {stay['days']}")
        else:
            check(stay["worth_of_a_day"] is None, f"{what}: the first has no day before it")
        before = stay["days"], worth
    best = [s for s in answer["stays"] if s["recommended"]]
    check(len(best) == (answer["recommended_why"] is None), f"{what}: {len(best)} recommended, {answer['recommended_why']}")
    last = answer["no_later_than"] or "9999"
    if best:
        check(best[0]["to"] <= last, f"{what}: runs past the window")
        check(best[0]["worth"] > 0, f"{what}: recommended at a loss")
        check(all(s["worth"] <= best[0]["worth"] + 1e-6 for s in answer["stays"] if s["to"] <= last),
              f"{what}: a listed length is worth more")
    rows = list(csv.DictReader(io.StringIO(run("stay", book, sire, "--format", "csv"))))
    check([r["recommended"] for r in rows] == [str(s["recommended"]).lower() for s in answer["stays"]], f"{what}: CSV marks")
    check([float(r["worth"]) for r in rows] == [s["worth"] for s in answer["stays"]], f"{what}: CSV worth")
    text = run("stay", book, sire)
    check(text.count("<- keep him") == len(best), f"{what}: the row marked in the text")
    return answer, best[0] if best else None


def set_to(book, sire, day):
    rows = list(csv.DictReader((book / "sires.csv").open()))
    for row in rows:
        if row["sire"] == sire:
            row["to"] = str(day)
            first = datetime.date.fromisoformat(row["from"])
    with (book / "sires.csv").open("w", newline="") as out:
        writer = csv.DictWriter(out, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return first


def every_length(folder, starter, sire, what):
    """Each length put on offer by itself: the best of them all is the one that was recommended."""
    _, best = recount(folder, starter, sire, what)
    worths = {}
    first = set_to(folder, sire, "2026-12-31")
    for days in range(1, 64):
        set_to(folder, sire, first + datetime.timedelta(days=days - 1))
        answer = asked("stay", folder, sire)
        offered = next(s for s in answer["stays"] if s["offered"])
        check(offered["days"] == days, f"{what}: {days} days on offer")
        worths[days] = offered["worth"]
        last = answer["no_later_than"] or "9999"
        if offered["to"] > last:
            del worths[days]
    winner = max(worths, key=lambda days: (round(worths[days] * 1e6), -days))
    check(best is not None and best["days"] == winner, f"{what}: recommended {best and best['days']}, every length tried {winner}")


def copy(root, name, season=lambda text: text, sires=lambda text: text):
    folder = root / name
    shutil.copytree(DEMO, folder)
    for file, change in (("season.toml", season), ("sires.csv", sires)):
        before = (folder / file).read_text()
        (folder / file).write_text(change(before))
    return folder


def without(text, key):
    return "".join(line for line in text.splitlines(True) if not line.startswith(key))


with tempfile.TemporaryDirectory() as scratch:
    root = pathlib.Path(scratch)
    subprocess.run([PROGRAM, "start", str(root / "starter")], check=True, capture_output=True)
    starter = root / "starter"
    demo = copy(root, "demo")
    for sire in ("Alder", "Larch", "Sedge"):
        recount(demo, starter, sire, f"demo {sire}")
    check(asked("stay", demo, "Bracken")["recommended_why"] == "no-stay", "a visit has no stay")

    dear = copy(root, "dear", sires=lambda t: t.replace("150,,1.2,45", "150,4,9,45"))
    _, best = recount(dear, starter, "Alder", "dear days")
    check(best["days"] < 42, "dear days shorten his stay")
    few = copy(root, "few", sires=lambda t: t.replace("2026-11-20,12,150", "2026-11-20,2,150"))
    answer, _ = recount(few, starter, "Alder", "two does")
    check(answer["does_counted"] == 2, "no more does than he may serve")
    lost = copy(root, "lost", sires=lambda t: t.replace("2026-11-20,12,150", "2026-11-20,1,950"))
    answer, _ = recount(lost, starter, "Alder", "dear hire")
    check(answer["recommended_why"] == "no-gain", "no length pays")
    early = copy(root, "early", season=lambda t: t.replace("kid_to = 2027-05-10", "kid_to = 2027-04-01"))
    answer, best = recount(early, starter, "Alder", "early window")
    check(answer["no_later_than"] == best["to"] == "2026-11-02", "the window ends his stay")
    none = copy(root, "none", season=lambda t: t.replace("value = -40.0", "value = 4000.0"))
    answer, _ = recount(none, starter, "Alder", "open does are worth more")
    check(answer["recommended_why"] == "no-doe", "no doe gains by settling")

    for sire in ("Alder", "Sedge"):
        every_length(copy(root, "all-" + sire, season=lambda t: without(t, "keepers_wanted")), starter, sire, f"every length of {sire}")

for failure in failures[:20]:
    print(failure)
if failures:
    raise SystemExit(f"{len(failures)} differences")
print("stay: every length worked out again")
