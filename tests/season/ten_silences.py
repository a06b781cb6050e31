#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Ten things that must never happen silently, and no good choice at all: a small herd book each, the sentence that must
be said, and beside it a book in which it must not be.

    ten_silences.py PROGRAM
"""
import pathlib
import sys
import tempfile

from ask import asked, check, failures, said

AS_OF = ("--as-of", "2026-09-15")
ANIMALS = "id,sire,dam,sex,born,horns\n"
DOES = "doe,kids_for,weight_kg,grown_weight_kg,condition\n" + "".join(f"{d},keep,60,60,3\n" for d in ("Ivy", "Fern", "Moss"))
HERD = "".join(f"{row}\n" for row in (
    "Ivy,S1,D1,doe,2021-03-01,horned", "Fern,S1,D2,doe,2021-03-01,horned", "Moss,S2,D1,doe,2021-03-01,horned",
    "S1,,,buck,2018-03-01,horned", "S2,,,buck,2018-03-01,horned", "D1,,,doe,2018-03-01,horned", "D2,,,doe,2018-03-01,horned",
    "S3,,,buck,2017-03-01,horned", "S4,,,buck,2017-03-01,horned", "D3,,,doe,2017-03-01,horned"))
OAK = "Oak,S3,D3,buck,2020-03-01,horned\n"
ELM = "Elm,S4,D3,buck,2020-03-01,horned\n"
SIRES = "sire,terms,from,to,fee,served,settled,most_does\n"
HIRED = "Oak,hired,2026-10-01,2026-11-10,50,,,\nElm,hired,2026-10-01,2026-11-10,60,,,\n"
PRICES = "[kid]\nvalue_keep = 250.0\nvalue_meat = 110.0\n"
ROOT = None


def book(name, **files):
    folder = ROOT / name
    folder.mkdir()
    given = {"animals": ANIMALS + HERD + OAK + ELM, "does": DOES, "sires": SIRES + HIRED, "season": PRICES} | files
    for file, text in given.items():
        if text:
            (folder / (file + (".toml" if file in ("season", "faults") else ".csv"))).write_text(text)
    return folder


def speaks(what, sentence, there, elsewhere=None):
    check(sentence in there, f"{what}: nothing says '{sentence}'")
    check(elsewhere is None or sentence not in elsewhere, f"{what}: '{sentence}' is said where it is not so")


def thin_pedigree():
    thin = book("thin", animals=ANIMALS + HERD + OAK.replace("S3,D3", ",") + ELM, sires=SIRES + HIRED.replace("Elm,hired", "Elm,visit"))
    known = book("known", sires=SIRES + HIRED.replace("Elm,hired", "Elm,visit"))
    first = asked("rank", thin, *AS_OF)["does"][0]["sires"][0]
    check(first["sire"] == "Oak" and first["verdict"] == "caution", "thin pedigree: he heads the list, with caution")
    check(first["kid_inbreeding_used"] == 0.0625, "thin pedigree: counted as first cousins")
    for sentence in ("0 % of his pedigree to five generations is known; the blanks count for 6.25 %",
                     "neither of the two parents of Oak is known: ask for his papers"):
        speaks("thin pedigree", sentence, said("rank", thin, *AS_OF), said("rank", known, *AS_OF))


def two_names():
    rows = ("id,sire,dam,sex,born\nKid,Ash,,doe,2022-03-01\nBuck,Sire,,buck,2022-03-01\nAsh,Big Ben,,buck,2018-03-01\n"
            "Sire,{},,buck,2018-03-02\nBig Ben,,,buck,2014-03-01\n{},,,buck,2014-03-05\n")
    two = book("two-names", animals=rows.format("BigBen", "BigBen"), does="", sires="")
    other = book("other-names", animals=rows.format("Rufus", "Rufus"), does="", sires="")
    speaks("one grandsire under two names", "the id BigBen (line 7) is like the id Big Ben (line 6); one animal or two?",
           said("check", two, *AS_OF), said("check", other, *AS_OF))


def owners_word():
    seen = book("seen", kid_counts="sire,fault,examined,affected,word\nOak,teats,6,3,seen\n")
    told = book("told", kid_counts="sire,fault,examined,affected,word\nOak,teats,6,3,seen\nOak,teats,80,0,told\n")
    before, after = (next(s for s in asked("rank", b, *AS_OF)["does"][0]["sires"] if s["sire"] == "Oak") for b in (seen, told))
    teats = [next(f for f in s["faults"] if f["fault"] == "teats") for s in (before, after)]
    check(teats[1]["affected_told"] < teats[0]["affected"], "an owner's word: with it the risk would be lower")
    check(abs(teats[0]["affected"] - teats[1]["affected"]) < 1e-9, "an owner's word changes no chance")
    check(before["verdict"] == after["verdict"] and abs(before["value"] - after["value"]) < 1e-6, "an owner's word lowers no verdict")
    speaks("an owner's word", "by the owner's word", said("sire", told, "Oak", *AS_OF), said("sire", seen, "Oak", *AS_OF))


def removed_teats():
    look = "animal,fault,found,date\nIvy,teats,{0},2021-05-01\nOak,teats,{0},2020-05-01\n"
    removed, clear = book("removed", examinations=look.format("removed")), book("clear", examinations=look.format("no"))
    speaks("removed teats", "extra, split or blind teats: he has it himself; she has it herself",
           said("rank", removed, "--doe", "Ivy", *AS_OF), said("rank", clear, "--doe", "Ivy", *AS_OF))
    shows = [a["shows"] for a in asked("faults", removed, "--doe", "Ivy", *AS_OF)["animals"] if a["fault"] == "teats"]
    check(shows == [1], "removed teats: she shows it")


def horns_unknown():
    blank = book("blank-horns", animals=ANIMALS + (HERD + OAK + ELM).replace("horned", ""))
    horned = book("horned")
    speaks("horns unknown", "horns as born of Oak and of Ivy not recorded: polled to polled risks intersex doe kids",
           said("rank", blank, "--doe", "Ivy", *AS_OF), said("rank", horned, "--doe", "Ivy", *AS_OF))
    verdicts = {s["verdict"] for d in asked("rank", blank, *AS_OF)["does"] for s in d["sires"]}
    check(verdicts == {"caution"}, "horns unknown: caution, for keepers")


def one_unproven_buck():
    one = book("one", sires=SIRES + HIRED.replace("50,,", "10,,"))
    proven = book("proven", sires=SIRES + HIRED.replace("50,,", "10,20,18"))
    plan = asked("plan", one, *AS_OF)
    check(plan["on_one_unproven"] and len(plan["hired"]) == 1, "one unproven buck has them all")
    check(len(plan["with_two"]["hired"]) == 2, "the runner-up with two sires stands beside him")
    less = (plan["objective"] - plan["with_two"]["objective"]) / 1e6
    speaks("one unproven buck", "The whole season rests on Oak, who is unproven", said("plan", one, *AS_OF), said("plan", proven, *AS_OF))
    speaks("one unproven buck", f"With Oak and Elm it is worth {less:.0f} EUR less.", said("plan", one, *AS_OF))


def default_prices():
    """Each default price written down at half and at double: the set of sires changes just where it is said."""
    files = {"animals": ANIMALS + HERD + OAK.replace("2020", "2025") + ELM,
             "sires": SIRES + "Oak,hired,2026-10-01,2026-11-10,10,,,\nElm,hired,2026-10-01,2026-11-10,60,10,9,\n"}
    free = book("default-prices", season="", **files)
    plan = asked("plan", free, *AS_OF)
    now = sorted(h["sire"] for h in plan["hired"])
    expected = []
    for key, price in (("value_keep", 250.0), ("value_meat", 110.0)):
        for factor in (0.5, 2):
            at = book(f"{key}-{factor}", season=f"[kid]\n{key} = {price * factor}\n", **files)
            there = sorted(h["sire"] for h in asked("plan", at, *AS_OF)["hired"])
            if there != now:
                expected.append(("kid." + key, factor, there))
    got = [(c["price"], c["factor"], sorted(c["hired"])) for c in plan["too_close"] if c["price"].startswith("kid.")]
    check(expected and got == expected, f"default prices: {got}, by writing them down {expected}")
    text = said("plan", free, *AS_OF)
    check("Too close to call at these prices" in text[:600], "default prices: said in the first lines")
    fixed = asked("plan", book("set-prices", **files), *AS_OF)
    check(not [c for c in fixed["too_close"] if c["price"].startswith("kid.")], "prices that are set are not varied")


def only_the_years_grass():
    records = "animal,trait,value,group\nOak,weaning_weight,26,good year\nElm,weaning_weight,15,dry year\nIvy,weaning_weight,18,home\nFern,weaning_weight,17,home\n"
    grass = book("grass", records=records, animals=ANIMALS + HERD + OAK + ELM.replace("D3", "D4"))
    merit = asked("merit", grass, *AS_OF)
    mine = {a["id"]: a for a in merit["animals"] if a["trait"] == "weaning_weight"}
    check(abs(mine["Oak"]["breeding_value"]) < 1e-9 and mine["Oak"]["reliability"] < 1e-9 and not mine["Oak"]["linked"], "the year's grass is no breeding value")
    speaks("the year's grass", "there is little information, and a difference is no reason to choose", said("merit", grass, *AS_OF))
    speaks("the year's grass", "Oak 0.00 0.00 little information", said("merit", grass, *AS_OF))
    speaks("the year's grass", "level with Oak", said("rank", grass, "--doe", "Ivy", *AS_OF))


def unseen_return():
    kid = "id,sire,dam,sex,born\nKid,,Ivy,doe,2027-03-20\nIvy,,,doe,2021-03-01\nOak,,,buck,2020-01-01\nElm,,,buck,2020-01-01\n"
    files = {"does": "", "sires": "", "season": ""}
    # Served by Oak on 1 October, due 28 February; kidded on 20 March: she came back and nobody saw it.
    late = book("late-kid", animals=kid, services="doe,sire,from,to,how\nIvy,Oak,2026-10-01,,seen\nIvy,Elm,2026-10-10,2026-11-20,pen\n", **files)
    chance = {s["sire"]: s["probability"] for s in asked("whose", late, "--as-of", "2027-05-01")["kids"][0]["sires"]}
    check(chance["Elm"] > 0.9 > 0.1 > chance["Oak"], "an unseen return: she kidded to the other")
    alone = book("alone", animals=kid, services="doe,sire,from,to,how\nIvy,Oak,2026-10-01,,seen\n", **files)
    check(asked("whose", alone, "--as-of", "2027-05-01")["kids"][0]["unrecorded"] > 0.5, "an unseen return: a service nobody wrote down")
    speaks("an unseen return", "% a service nobody wrote down", said("whose", alone, "--as-of", "2027-05-01"))
    served = book("served", animals=kid.replace("Kid,,Ivy,doe,2027-03-20\n", ""), services="doe,sire,from,to,how\nIvy,Oak,2026-10-01,,seen\n", **files)
    text = said("calendar", served, "--as-of", "2026-10-05")
    speaks("an unseen return", "A return to heat that nobody saw moves a due date by about three weeks, and with another buck there it changes who the sire is", text)
    due = [e["why"] for e in asked("calendar", served, "--as-of", "2026-10-05")["events"] if e["what"] == "due"]
    check(len(due) == 1 and "a return to heat that nobody saw moves it by three weeks" in due[0], "an unseen return: said of the due date")


def papers_complete():
    tests = "animal,disease,result,date,laboratory\n" + "".join(f"{buck},{d},negative,2026-08-01,L\n" for buck in ("Oak", "Elm") for d in ("CAE", "CL"))
    complete, missing = book("complete", health_tests=tests), book("missing")
    speaks("papers complete", "health papers in order: what was tested then, no promise of health",
           said("plan", complete, *AS_OF), said("plan", missing, *AS_OF))
    speaks("papers complete", "Papers are facts of their date, no promise", said("sire", complete, "Oak", *AS_OF))
    for command in (("plan", complete), ("rank", complete), ("sire", complete, "Oak")):
        text = said(*command, *AS_OF).lower()
        check(not any(word in text.split() for word in ("safe", "healthy", "clean", "guaranteed")), f"{command[0]}: a word never said of an animal")


def no_good_choice():
    own = book("all-related", sires=SIRES + "S1,own,2026-10-01,2026-11-10,,,,\n")
    plan, text = asked("plan", own, *AS_OF), said("plan", own, *AS_OF)
    check({p["doe"]: p["standing"] for p in plan["pairings"]} == {"Ivy": "overruled", "Fern": "overruled", "Moss": "free"}, "all related: the least bad all the same")
    speaks("all related", "For Ivy and Fern every sire on offer is to be avoided; the plan uses the least bad all the same.", text)
    speaks("all related", "better would be a buck less related to her", text)
    speaks("all related", "inbreeding and faults take", text)
    carriers = book("all-carriers", gene_tests="animal,fault,result\n" + "".join(f"{a},mannosidosis,carrier\n" for a in ("Oak", "Elm", "Ivy", "Fern", "Moss")))
    plan, text = asked("plan", carriers, *AS_OF), said("plan", carriers, *AS_OF)
    check(len(plan["pairings"]) == 3 and plan["cost"] > 0 and len(plan["alternatives"]) >= 2, "all carriers: ranked, with its cost")
    speaks("all carriers", "better would be a buck with a gene test that finds no copy", text)
    for name, season, sires, sentence in (
            ("budget", "hire_budget = 20\n", HIRED, "Without the limit (at most 20 EUR for hire) it would be Oak: 50 EUR for hire"),
            ("none-hired", "max_hired = 0\n", HIRED, "Without the limit (at most 0 hired) it would be Oak: 50 EUR for hire"),
            ("both", "max_hired = 0\nhire_budget = 20\n", HIRED, "Without them it would be Oak: 50 EUR for hire"),
            ("dear", "", HIRED.replace("50,", "5000,").replace("60,", "6000,"), "The least bad would be Oak: 5000 EUR for hire")):
        poor = book(name, season=season + PRICES, sires=SIRES + sires)
        plan = asked("plan", poor, *AS_OF)
        check(not plan["pairings"] and len(plan["open"]) == 3, f"{name}: all stay open")
        check((plan["beyond_limits"] is not None) == (name != "dear"), f"{name}: what would be better")
        speaks(name, "Leave every doe open", said("plan", poor, *AS_OF))
        speaks(name, sentence, said("plan", poor, *AS_OF))
    never = book("never", does="doe,kids_for,weight_kg,grown_weight_kg,condition,not_sires\n" + "".join(f"{d},keep,60,60,3,Oak;Elm\n" for d in ("Ivy", "Fern", "Moss")))
    speaks("not_sires", "no sire on offer can be put to any of them; list more in sires.csv", said("plan", never, *AS_OF))


with tempfile.TemporaryDirectory() as scratch:
    ROOT = pathlib.Path(scratch)
    for silence in (thin_pedigree, two_names, owners_word, removed_teats, horns_unknown, one_unproven_buck, default_prices,
                    only_the_years_grass, unseen_return, papers_complete, no_good_choice):
        silence()
for failure in failures:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
