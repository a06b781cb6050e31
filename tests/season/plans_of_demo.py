#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Plans that the program writes for the demo herd and variants of it, solved again by SciPy.

    plans_of_demo.py PROGRAM DATA-DEMO

The `problem` in the JSON goes to scipy.optimize.milp: the same objective. Then everything that can be
added up is added up again, and the rules of what a plan may use are held against the JSON of `rank`.
"""
import csv
import datetime
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from plan_model import UNIT, added_up, by_scipy

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
failures = 0


def fail(what):
    global failures
    failures += 1
    print("FAILED", what)


def rows(herd, file):
    with open(herd / file, newline="", encoding="utf-8") as text:
        return list(csv.DictReader(text))


def write(herd, file, table):
    with open(herd / file, "w", newline="", encoding="utf-8") as text:
        writer = csv.DictWriter(text, table[0].keys())
        writer.writeheader()
        writer.writerows(table)


def setting(herd, key, line):
    old = (herd / "season.toml").read_text(encoding="utf-8").splitlines()
    new = [line if row.split("=")[0].strip() == key else row for row in old]
    assert old != new, key
    (herd / "season.toml").write_text("\n".join(new) + "\n", encoding="utf-8")


def change(herd, file, key, ident, **cells):
    table = rows(herd, file)
    hit = [row for row in table if row[key] == ident]
    assert hit, ident
    hit[0].update(cells)
    write(herd, file, table)


def only_sires(herd, *ids):
    write(herd, "sires.csv", [row for row in rows(herd, "sires.csv") if row["sire"] in ids])


def cramped(herd):
    change(herd, "sires.csv", "sire", "Larch", most_does="2")
    change(herd, "sires.csv", "sire", "Sedge", most_does="3")
    change(herd, "sires.csv", "sire", "Alder", most_does="4")


def held(herd):
    change(herd, "does.csv", "doe", "Tansy", sire="Alder")      # avoid: both carry
    change(herd, "does.csv", "doe", "Speedwell", sire="Larch")  # on hold
    change(herd, "does.csv", "doe", "Bryony", not_sires="Sedge; Alder")
    change(herd, "does.csv", "doe", "Thistle", decision="go")


def too_many_held(herd):
    change(herd, "sires.csv", "sire", "Alder", most_does="1")
    change(herd, "does.csv", "doe", "Hazel", sire="Alder")
    change(herd, "does.csv", "doe", "Mallow", sire="Alder")


VARIANTS = {
    "demo": lambda herd: None,
    "one pen": lambda herd: setting(herd, "pens", "pens = 1"),
    "nobody hired": lambda herd: (setting(herd, "max_hired", "max_hired = 0"), only_sires(herd, "Larch", "Alder")),
    "little money": lambda herd: setting(herd, "hire_budget", "hire_budget = 100"),
    "nobody of one's own": lambda herd: only_sires(herd, "Alder", "Bracken", "Tamarisk"),
    "only a near kinsman": lambda herd: only_sires(herd, "Larch"),
    "few does a sire": cramped,
    "held by the keeper": held,
    "more held than he serves": too_many_held,
    "open does are worth much": lambda herd: setting(herd, "value", "value = 170.0"),
}
INFEASIBLE = {"more held than he serves"}
RULES_CHECKED = {"demo", "nobody of one's own", "only a near kinsman", "held by the keeper"}  # a run of rank each


def asked(command, herd):
    ended = subprocess.run([PROGRAM, command, str(herd), "--format", "json", "--quiet"], capture_output=True,
                           text=True, check=False, timeout=300)
    if ended.returncode != 0:
        raise SystemExit(f"{command}: {ended.returncode}: {ended.stderr[:2000]}")
    return json.loads(ended.stdout)


def day(text):
    return None if text is None else datetime.date.fromisoformat(text).toordinal()


def as_model(problem):
    index = {sire["sire"]: s for s, sire in enumerate(problem["sires"])}
    return {
        "sires": [{"hire": s["hire_cost"], "most": s["most_does"], "own": s["own"], "pen": s["needs_pen"],
                   "from": day(s["from"]), "to": day(s["to"])} for s in problem["sires"]],
        "does": [(d["may_be_open"], None if d["locked"] is None else index[d["locked"]]) for d in problem["does"]],
        "values": problem["values"], "open": problem["open_values"], "max_hired": problem["max_hired"],
        "pens": problem["pens"], "budget": problem["hire_budget"]}, index


def check_sums(name, plan, model, index):
    problem = plan["problem"]
    place = {pair["doe"]: index[pair["sire"]] for pair in plan["pairings"]}
    if len(place) + len(plan["open"]) != len(problem["does"]):
        fail(f"{name}: a doe is missing or stands twice")
    total, broken = added_up(model, [place.get(doe["doe"]) for doe in problem["does"]])
    for what in broken:
        fail(f"{name}: {what}")
    if total != plan["objective"]:
        fail(f"{name}: the objective does not add up: {total}, {plan['objective']}")
    cost = 0.0
    for d, doe in enumerate(problem["does"]):
        s = place.get(doe["doe"])
        if s is not None:
            cost += problem["doe_costs"][d][s] / UNIT
    cost += sum(problem["sires"][s]["hire_cost"] for s in set(place.values())) / UNIT
    if abs(cost - plan["cost"]) > 1e-5:
        fail(f"{name}: cost {plan['cost']}, added up {cost}")
    for sire in plan["hired"]:
        if sire["does"] != sum(pair["sire"] == sire["sire"] for pair in plan["pairings"]):
            fail(f"{name}: {sire['sire']} has another number of does")
    if sorted(sire["sire"] for sire in plan["hired"]) != sorted({pair["sire"] for pair in plan["pairings"]}):
        fail(f"{name}: hired is not who gets a doe")


def check_fallbacks(name, plan, index):
    of = {doe["doe"]: d for d, doe in enumerate(plan["problem"]["does"])}
    for pair in plan["pairings"]:
        row = plan["problem"]["values"][of[pair["doe"]]]
        if abs(row[index[pair["sire"]]] / UNIT - pair["value"]) > 1e-6:
            fail(f"{name}: {pair['doe']} has another value in the problem")
        if pair["fallback"] == pair["sire"]:
            fail(f"{name}: {pair['doe']} falls back on the same sire")
        if pair["fallback"] is not None and row[index[pair["fallback"]]] is None:
            fail(f"{name}: {pair['doe']} falls back on a sire who is not allowed")


def check_allowed(name, herd, plan):
    """Null where the pair is `avoid`: unless locked, or she has no other; never an avoid on a hold."""
    ranked = asked("rank", herd)
    hold = {doe["doe"] for doe in asked("does", herd)["does"] if doe["answer"] in ("wait", "no")}
    not_sires = {row["doe"]: [s.strip() for s in row["not_sires"].split(";")] for row in rows(herd, "does.csv")}
    there = {sire["sire"] for sire in plan["problem"]["sires"]}
    served = {"Nettle": "Larch"}  # services.csv, 8 September
    for d, account in enumerate(ranked["does"]):
        doe, locked = plan["problem"]["does"][d], plan["problem"]["does"][d]["locked"]
        own = {row["doe"]: row["sire"] for row in rows(herd, "does.csv")}[account["doe"]]
        wanted = own or served.get(account["doe"])
        if locked != (wanted if wanted in there else None):
            fail(f"{name}: {account['doe']} is locked to {locked}")
        verdict = {pair["sire"]: pair["verdict"] for pair in account["sires"]}
        nobody_else = all(v == "avoid" for v in verdict.values())
        for s, sire in enumerate(plan["problem"]["sires"]):
            at = verdict[sire["sire"]]
            if sire["sire"] == locked:
                expected = True
            elif wanted and not locked:
                expected = False
            elif at != "avoid":
                expected = True
            else:
                expected = (nobody_else and not wanted and account["doe"] not in hold
                            and sire["sire"] not in not_sires[account["doe"]])
            if (plan["problem"]["values"][d][s] is not None) != expected:
                fail(f"{name}: {account['doe']} with {sire['sire']}: allowed should be {expected}")


for name, alter in VARIANTS.items():
    with tempfile.TemporaryDirectory() as place:
        herd = pathlib.Path(place) / "herd"
        shutil.copytree(DEMO, herd)
        alter(herd)
        plan = asked("plan", herd)
        if name in RULES_CHECKED:
            check_allowed(name, herd, plan)
    model, index = as_model(plan["problem"])
    expected = by_scipy(model)
    if plan["feasible"] != (expected is not None) or plan["feasible"] == (name in INFEASIBLE):
        fail(f"{name}: feasible is {plan['feasible']}, SciPy says {expected}")
        continue
    check_fallbacks(name, plan, index)
    if expected is None:
        if "most_does" not in plan["in_the_way"]:
            fail(f"{name}: in the way: {plan['in_the_way']}")
        continue
    check_sums(name, plan, model, index)
    if not plan["proven_optimal"] or plan["gap"] != 0:
        fail(f"{name}: not proven")
    if abs(plan["objective"] / UNIT - expected) > 1e-5 * max(1, abs(expected)):
        fail(f"{name}: objective {plan['objective'] / UNIT}, SciPy {expected}")
    if any(other["objective"] > plan["objective"] for other in plan["alternatives"]):
        fail(f"{name}: an alternative is better")
print(f"{len(VARIANTS)} plans")
print("1 passed, 0 failed" if failures == 0 else f"0 passed, {failures} failed")
sys.exit(1 if failures else 0)
