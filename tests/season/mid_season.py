#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""In the middle of the season: days that are past, does not seen back in heat, checks while a pen runs.

    mid_season.py PROGRAM DEMO

Values of `plan` with as-of inside the stays against a book in which every stay begins on as-of; chances after
no return by Bayes' rule, from what `calendar` says on the last day of the stay.
"""
import csv
import json
import pathlib
import shutil
import sys
import tempfile

from ask import asked, check, failures, printed as said

DEMO = pathlib.Path(sys.argv[2])
CYCLING = [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]
NOTICED = 0.8
SENTENCE = "she may have stopped cycling: test her"


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


SCAN = (0.99, 0.98)  # the chances that check_odds() names


def by_bayes(by, day, shown, result):
    """From the chances to have conceived by a day (`by`, of the same pen without a check): what was
    conceived 20 days before the check shows, what came later reads as an open doe does."""
    hit, miss = (SCAN[0], 1 - SCAN[1]) if result == "in kid" else (1 - SCAN[0], SCAN[1])
    early, late, still = by[shown] * hit, (by[day] - by[shown]) * miss, (1 - by[day]) * miss
    return (early + late) / (early + late + still)


def checks_in_a_running_pen(root):
    pen = "Doe,Buck,2026-10-01,,pen\n"
    days = {"2026-10-31": None, "2026-11-25": None, "2026-12-20": None}
    plain = book_of(root, "running", pen)
    for day in days:
        days[day] = stands(plain, day)[0]
    for result in ("in kid", "empty"):
        book = book_of(root, "running-" + result.replace(" ", "-"), pen, checks=f"Doe,2026-11-20,{result},scan\n")
        for day in ("2026-11-25", "2026-12-20"):
            near(stands(book, day)[0], by_bayes(days, day, "2026-10-31", result), f"running pen, {result}, {day}")
        rows = {e["what"]: e for e in asked("calendar", book, "--as-of", "2026-11-25")["events"] if e["doe"] == "Doe"}
        if result == "empty":
            check(set(rows) == {"found-empty"}, f"found empty: nothing else is due, {sorted(rows)}")
            check("found empty on 2026-11-20" in rows["found-empty"]["why"], "the check is named")
        else:
            check(not set(rows) & {"scan", "blood-test", "return-heat", "found-empty"}, "scanned: no test is left")
            check("due" in rows and rows["query"]["date"] == "2027-04-06", "overdue by the last day that the scan can have shown")
    early = book_of(root, "running-early", pen, checks="Doe,2026-10-18,empty,scan\n")
    near(stands(early, "2026-11-25")[0], days["2026-11-25"], "17 days after the pen began a check says nothing")
    seen = book_of(root, "scanned", "Doe,Buck,2026-10-01,,seen\n", checks="Doe,2026-11-20,in kid,blood\n")
    left = {e["what"] for e in asked("calendar", seen, "--as-of", "2026-11-22")["events"] if e["doe"] == "Doe"}
    check("scan" in left and not left & {"blood-test", "return-heat"}, f"a blood test counts no kids: the scan stays, {sorted(left)}")


def one_in_kid(root):
    """A check clears the buck and moves no number that the optimum is taken over."""
    service, day = "Doe,Buck,2026-10-05,,seen\n", "2026-11-25"
    before = book_of(root, "not-checked", service)
    after = book_of(root, "in-kid", service, checks="Doe,2026-11-20,in kid,scan\n")
    plan, cleared = (asked("plan", book, "--as-of", day) for book in (before, after))
    check(plan["problem"] == cleared["problem"] and plan["objective"] == cleared["objective"], "the same problem")
    check(plan["pairings"][0]["settle_probability"] == cleared["pairings"][0]["settle_probability"], "settles as defined")
    check(plan["hired"][0]["all_open_probability"] > 0.05, "not checked: she may be open")
    check(cleared["hired"][0]["all_open_probability"] == 0, "found in kid: not all of his does are open")
    text = " ".join(said("plan", after, "--as-of", day).split())
    check(text.startswith("No doe is left to be put to a buck. Done: 1 doe served, 1 of them found in kid."), text[:90])
    check("stay open" not in text, "nothing is said of seasons in which all stay open")
    empty = book_of(root, "found-empty", service, checks="Doe,2026-11-20,empty,scan\n")
    text = " ".join(said("plan", empty, "--as-of", day).split())
    check(text.startswith("Left to do: put Doe (found empty on 2026-11-20 by a scan) to Buck, until 2027-03-31."), text[:90])
    today = [e["in_kid"] for e in asked("calendar", empty, "--as-of", day)["events"] if e["what"] == "found-empty"]
    does = {d["doe"]: d for d in asked("does", empty, "--as-of", day)["does"]}
    check(does["Doe"]["answer"] == "go" and [does["Doe"]["in_kid"]] == today, "`does` says the same of her")


def lists_of_does(root):
    """In which list of `does` she stands, by what the book has of her."""
    service, heat = "Doe,Buck,2026-10-05,,seen\n", "Doe,2026-10-26\n"
    in_kid, empty = "Doe,2026-11-20,in kid,scan\n", "Doe,2026-11-20,empty,scan\n"
    cases = {
        "unserved": (("", "", ""), "Go"),
        "quiet": ((service, "", ""), "In kid, or served and not seen back: leave her"),
        "back-in-heat": ((service, heat, ""), "Back in heat: put her to a buck again"),
        "scan-empty": ((service, "", empty), "Found empty: test her again or put her back"),
        "scan-in-kid": ((service, heat, in_kid), "In kid, or served and not seen back: leave her"),
        "heat-in-kid": ((service, "Doe,2026-12-01\n", in_kid), "In kid, or served and not seen back: leave her"),
    }
    for name, ((services, heats, checks), title) in cases.items():
        book = book_of(root, "list-" + name, services, heats=heats, checks=checks)
        lines = said("does", book, "--as-of", "2026-12-10").splitlines()
        titles = [line for line in lines[1:lines.index("Young does by age and weight, all by condition and rest since kidding; your own")]
                  if line and not line.startswith(" ") and not line.endswith(".")]
        check(titles == [title], f"{name}: {titles}")
        doe = asked("does", book, "--as-of", "2026-12-10")["does"][0]
        check(doe["answer"] == "go", f"{name}: the answer is of her fitness alone")
        check((doe["in_kid"] is None) == (name == "unserved"), f"{name}: a chance for a served doe")
    text = " ".join(said("does", root / "list-heat-in-kid", "--as-of", "2026-12-10").split())
    check("in heat on 2026-12-01 all the same: test her again" in text, "a heat after the scan is said")
    left = " ".join(said("plan", root / "list-back-in-heat", "--as-of", "2026-12-10").split())
    check(left.startswith("Left to do: put back Doe (back in heat on 2026-10-26): Buck is to be had until 2027-03-31."), left[:110])


def page_of_a_pen(root):
    """The page names both chances of a doe in a running pen: today's, and that by the end of the stay."""
    book = book_of(root, "page", "Doe,Buck,2026-11-01,,pen\n")
    day = "2026-11-10"
    plan = asked("plan", book, "--as-of", day)
    today, end = plan["pairings"][0]["in_kid"], plan["kiddings"]["does"][0]["kids"]
    check(end > today + 0.3, "most of the stay is to come")
    text = said("plan", book, "--as-of", day, "--format", "html")
    check(f"in kid {100 * today:.0f} in 100 as of today, {100 * end:.0f} by the end of his stay" in text, "both are named on the page")


def days_of_bucks(root):
    """A day of isolation that has passed is said as passed; more bucks than pens are not all expected."""
    book = book_of(root, "bucks", "")
    (book / "animals.csv").open("a").write("Other,buck,2021-03-01\n")
    (book / "sires.csv").write_text("sire,terms,from,to\nBuck,hired,2026-09-10,2026-10-25\nOther,own,2026-10-01,2026-11-30\n")
    (book / "season.toml").write_text("pens = 1\n")
    for day, begins in (("2026-08-10", True), ("2026-08-15", False)):
        text = " ".join(said("calendar", book, "--as-of", day).split())
        check(("isolation begins" in text) == begins, f"isolation on {day}")
        check(("isolation was to begin" in text) != begins, f"isolation on {day}, passed")
        check("The days of 2 bucks overlap, and there is 1 pen: not all of them can come." in text, "more bucks than pens")
    check("not all of them can come" not in said("calendar", book, "--as-of", "2026-10-26"), "one is over")
    (book / "season.toml").write_text("pens = 2\n")
    check("not all of them can come" not in said("calendar", book, "--as-of", "2026-08-15"), "two pens do for two bucks")


def since_then(root):
    """What `plan --since` says has happened is what the book has between the two days, and no more."""
    first = book_of(root, "before", "")
    earlier = root / "earlier.json"
    earlier.write_text(said("plan", first, "--as-of", "2026-09-20", "--format", "json"))
    book = book_of(root, "since", "Doe,Buck,2026-10-05,,seen\nDoe,Buck,2026-10-26,,seen\n",
                   heats="Doe,2026-10-26\nDoe,2026-12-30\n", checks="Doe,2026-12-01,in kid,scan\n")
    changes = asked("plan", book, "--as-of", "2026-12-10", "--since", earlier)["changes"]
    check([(f["date"], f["what"], f["sire"]) for f in changes["happened"]] ==
          [("2026-10-05", "served", "Buck"), ("2026-10-26", "served", "Buck"), ("2026-10-26", "returned", None),
           ("2026-12-01", "found-in-kid", None)], f"{changes['happened']}")
    check(changes["does"] == [], "her sire has not changed")
    check(changes["objective_before"] == json.loads(earlier.read_text())["objective"], "the worth of the earlier plan")
    check("Nothing has changed" not in said("plan", book, "--as-of", "2026-12-10", "--since", earlier), "something has")
    same = said("plan", first, "--as-of", "2026-09-21", "--since", earlier)
    check("Nothing has changed since the plan of 2026-09-20." in same, "nothing has")


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
    checks_in_a_running_pen(pathlib.Path(scratch))
    one_in_kid(pathlib.Path(scratch))
    since_then(pathlib.Path(scratch))
    lists_of_does(pathlib.Path(scratch))
    page_of_a_pen(pathlib.Path(scratch))
    days_of_bucks(pathlib.Path(scratch))
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
