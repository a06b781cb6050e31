#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Plans of middling size against SciPy's mixed-integer solver (scipy.optimize.milp, HiGHS inside).

    twins_plan.py SOLVER [PROBLEMS]

The same problem as a mixed-integer programme: x(d,s) doe d to sire s, o(d) left open, y(s) used;
x <= y, sum of x over does >= y and <= most_does y, pens on each first day, max_hired, budget. Values are
whole millionths, scaled to money for SciPy; compared within its tolerances. Each solution is also held
against the limits here, and its objective added up again, exactly.
"""
import pathlib
import random
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from plan_model import UNIT, added_up, by_scipy

SOLVER = sys.argv[1]
PROBLEMS = int(sys.argv[2]) if len(sys.argv) > 2 else 50
SEED = 20261126
failures = 0


def fail(what):
    global failures
    failures += 1
    if failures <= 20:
        print("FAILED", what)


def problem(rng):
    """Values as in a herd: sires of differing worth, does of differing worth, and what the two make of it."""
    does, sires = rng.randrange(8, 41), rng.randrange(3, 16)
    money = lambda low, high: round(rng.uniform(low, high) * UNIT)
    p = {"sires": [], "does": [], "values": [], "open": []}
    worth_s = [rng.gauss(0, 25) for _ in range(sires)]
    for s in range(sires):
        start = rng.choice([None, rng.randrange(0, 60)])
        stay = rng.choice([None, rng.randrange(0, 45)])
        p["sires"].append({
            "hire": money(-20, 0) if rng.random() < .05 else money(0, 250),
            "most": rng.choice([None, rng.randrange(0, 12), rng.randrange(4, 20)]),
            "own": rng.random() < .2, "pen": rng.random() < .6,
            "from": start, "to": None if stay is None else (start or 0) + stay})
    for _ in range(does):
        worth_d = rng.gauss(90, 30)
        locked = rng.randrange(sires) if rng.random() < .04 else None
        p["does"].append((rng.random() > .1, locked))
        p["open"].append(None if rng.random() < .1 else money(-30, 40))
        row = [None if rng.random() < .15 else round((worth_d + worth_s[s] + rng.gauss(0, 20)) * UNIT) for s in range(sires)]
        if locked is not None and row[locked] is None and rng.random() < .9:
            row[locked] = money(0, 100)
        p["values"].append(row)
    p["max_hired"] = rng.choice([None, 1, 2, 3, 5])
    p["pens"] = rng.choice([None, None, 1, 2, 3])
    p["budget"] = rng.choice([None, None, money(100, 800)])
    return p


def written(p):
    dash = lambda x: "-" if x is None else str(int(x))
    words = [len(p["does"]), len(p["sires"]), dash(p["max_hired"]), dash(p["pens"]), dash(p["budget"])]
    for s in p["sires"]:
        words += [s["hire"], dash(s["most"]), int(s["own"]), int(s["pen"]), dash(s["from"]), dash(s["to"])]
    for (may_be_open, locked), open_value, row in zip(p["does"], p["open"], p["values"]):
        words += [int(may_be_open), dash(locked), dash(open_value)] + [dash(v) for v in row]
    return " ".join(map(str, words)) + "\n"


rng = random.Random(SEED)
problems = [problem(rng) for _ in range(PROBLEMS)]
ended = subprocess.run([SOLVER], input="".join(map(written, problems)), capture_output=True, text=True, check=False, timeout=600)
if ended.returncode != 0:
    raise SystemExit(f"{SOLVER}: {ended.returncode}: {ended.stderr[:2000]}")
lines = ended.stdout.splitlines()
if len(lines) != PROBLEMS:
    fail(f"{len(lines)} solutions of {PROBLEMS} problems")
feasible = 0
for number, (p, line) in enumerate(zip(problems, lines)):
    tag = f"problem {number} of seed {SEED}"
    said, proven, objective, gap, _, *places = line.split()
    expected = by_scipy(p)
    if (said == "1") != (expected is not None):
        fail(f"{tag}: feasible {said}, SciPy says {expected}")
        continue
    if proven != "1" or gap != "0":
        fail(f"{tag}: not proven, gap {gap}")
    if expected is None:
        continue
    feasible += 1
    if abs(int(objective) / UNIT - expected) > 1e-5 * max(1, abs(expected)):
        fail(f"{tag}: objective {int(objective) / UNIT}, SciPy {expected}")
    total, broken = added_up(p, [None if s == "-" else int(s) for s in places])
    for what in broken:
        fail(f"{tag}: {what}")
    if total != int(objective):
        fail(f"{tag}: the objective does not add up")
if feasible < PROBLEMS // 3:
    fail(f"only {feasible} feasible problems: no test")
print(f"{PROBLEMS} problems, {feasible} feasible, seed {SEED}")
print("1 passed, 0 failed" if failures == 0 else f"0 passed, {failures} failed")
sys.exit(1 if failures else 0)
