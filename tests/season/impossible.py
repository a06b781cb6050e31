#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Books in which no plan keeps to all that is asked: what the sum counts, and what is said.

    impossible.py PROGRAM
"""
import pathlib
import sys
import tempfile

import ask
from ask import check, failures, said

ANIMALS = "id,sire,dam,sex,born,breed,owner\n" + "".join(f"{row}\n" for row in (
    "A,,,buck,2020-03-01,nubian,Other", "B,,,buck,2020-03-02,boer,Other", "C,,,buck,2020-03-02,boer,",
    "D1,,,doe,2020-03-03,nubian,", "D2,,,doe,2020-03-04,nubian,", "D3,,,doe,2020-03-05,nubian,"))
BOTH = "A,hired,2026-10-01,2026-11-04,50\nB,hired,2026-10-01,2026-11-04,50\n"
ROOT = None


def asked(book):
    return ask.asked("plan", book)


def speaks(book, *sentences, never=()):
    for form in ("text", "html"):
        words = said("plan", book, "--format", form)
        for sentence in sentences:
            check(sentence in words, f"{book.name}, {form}: nothing says '{sentence}'")
        for sentence in never:
            check(sentence not in words, f"{book.name}, {form}: '{sentence}' is said")


def book(name, does, sires=BOTH, season="", as_of="2026-09-15", services="", animals=ANIMALS):
    folder = ROOT / name
    folder.mkdir()
    (folder / "animals.csv").write_text(animals)
    (folder / "does.csv").write_text("doe,kids_for,sire\n" + does)
    (folder / "sires.csv").write_text("sire,terms,from,to,fee\n" + sires)
    (folder / "season.toml").write_text(f"as_of = {as_of}\n{season}")
    if services:
        (folder / "services.csv").write_text("doe,sire,from,to,how\n" + services)
    return folder


def adds_up(folder):
    """INTERFACE: the sum of values, open values and hire costs over what the plan does."""
    plan = asked(folder)
    problem = plan["problem"]
    sires = [s["sire"] for s in problem["sires"]]
    place = {pair["doe"]: sires.index(pair["sire"]) for pair in plan["pairings"]}
    total = 0
    for d, doe in enumerate(problem["does"]):
        s = place.get(doe["doe"])
        total += problem["open_values"][d] if s is None else problem["values"][d][s]
    total -= sum(problem["sires"][s]["hire_cost"] for s in set(place.values()))
    check(plan["objective"] == total, f"{folder.name}: objective {plan['objective']}, added up {total}")
    return plan


def one_hired():
    folder = book("one-hired", "D1,meat,A\nD2,meat,A\nD3,meat,B\n", season="max_hired = 1\n[open]\nvalue = -40.0\n")
    plan = adds_up(folder)
    check([o["doe"] for o in plan["open"]] == ["D3"] and not plan["feasible"], "D3 is left open, her buck may not be hired")
    speaks(folder, "It would do to give up the sires you have set for does or at most 1 hired", never=("or by a service",))


def no_budget():
    folder = book("no-budget", "D1,meat,A\nD2,meat,\nD3,meat,\n", season="hire_budget = 20\n")
    check(adds_up(folder)["objective"] == 0, "everybody stays open")
    speaks(folder, "Leave every doe open: within your limits there is no place for the sire set for D1.",
           "or at most 20 EUR for hire", never=("no pairing is worth its cost",))


def not_on_offer():
    folder = book("not-on-offer", "D1,meat,C\nD2,meat,C\n")
    adds_up(folder)
    speaks(folder, "Leave every doe open: the sires set for them, by you or by a service, are not on offer",
           never=("no pairing is worth its cost",))


def all_related():
    kin = ANIMALS + "D9,A,D1,doe,2022-03-01,nubian,\n"
    for name, season, here, gone in (("kin-served", "", "the plan uses the least bad all the same", "she stays open"),
                                     ("kin-open", "[open]\nvalue = 200.0\n", "she stays open", "the least bad all the same")):
        folder = book(name, "D9,meat,\n", "A,hired,2026-10-01,2026-11-04,5\n", season, animals=kin)
        adds_up(folder)
        words = said("plan", folder)
        check("For D9 every sire on offer is to be avoided; " + here in words and gone not in words, f"{name}: what the plan does with D9")


def in_use():
    stays = "A,hired,2026-10-01,2026-12-10,50\nC,own,2026-10-20,2026-12-20,\n"
    limits = "max_hired = 0\nhire_budget = 20\npens = 1\n"
    folder = book("in-use", "D1,meat,\nD2,meat,\nD3,meat,\n", stays, limits, "2026-11-25", "D1,A,2026-10-10,,seen\n")
    plan = adds_up(folder)
    check(plan["in_the_way"] == [], "no single limit would do, and a service cannot be given up")
    speaks(folder, "Served already, beyond your limits", "To give up one of your limits alone would not do",
           "raise them, for he is in use", never=("It would do to give up",))
    check("Left open" not in said("plan", folder), "a served doe is not left open")
    single = book("in-use-one-limit", "D1,meat,\nD2,meat,B\n", stays + "B,hired,2026-10-01,2026-12-10,5\n", "max_hired = 1\n",
                  "2026-11-25", "D1,A,2026-10-10,,seen\n")
    check(adds_up(single)["in_the_way"] == ["locked", "max_hired"], "there the keeper's own word can be given up")


with tempfile.TemporaryDirectory() as scratch:
    ROOT = pathlib.Path(scratch)
    one_hired()
    no_budget()
    not_on_offer()
    all_related()
    in_use()
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
