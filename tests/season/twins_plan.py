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

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_matrix
except ImportError as missing:
    skip(f"{missing}", "python3-scipy, python3-numpy")

SOLVER = sys.argv[1]
PROBLEMS = int(sys.argv[2]) if len(sys.argv) > 2 else 50
SEED = 20261126
UNIT = 1_000_000
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


def there(sire, day):
    return sire["pen"] and (sire["from"] is None or sire["from"] <= day) and (sire["to"] is None or day <= sire["to"])


def first_days(p):
    return [s["from"] if s["from"] is not None else -10**6 for s in p["sires"] if s["pen"]]


def by_scipy(p):
    """The optimum in money, or None if there is no plan."""
    d_count, s_count = len(p["does"]), len(p["sires"])
    x = lambda d, s: d * s_count + s
    o = lambda d: d_count * s_count + d
    y = lambda s: d_count * s_count + d_count + s
    n = d_count * s_count + d_count + s_count
    cost, high = numpy.zeros(n), numpy.ones(n)
    rows, low_sides, high_sides = [], [], []

    def limit(terms, low, high_side):
        rows.append(terms)
        low_sides.append(low)
        high_sides.append(high_side)

    for d, (may_be_open, locked) in enumerate(p["does"]):
        if may_be_open and locked is None and p["open"][d] is not None:
            cost[o(d)] = -p["open"][d] / UNIT
        else:
            high[o(d)] = 0
        for s in range(s_count):
            value = p["values"][d][s]
            if value is None or (locked is not None and locked != s):
                high[x(d, s)] = 0
            else:
                cost[x(d, s)] = -value / UNIT
            limit([(x(d, s), 1), (y(s), -1)], -numpy.inf, 0)
        limit([(x(d, s), 1) for s in range(s_count)] + [(o(d), 1)], 1, 1)
    for s, sire in enumerate(p["sires"]):
        cost[y(s)] = sire["hire"] / UNIT
        column = [(x(d, s), 1) for d in range(d_count)]
        limit(column + [(y(s), -1)], 0, numpy.inf)
        if sire["most"] is not None:
            limit(column + [(y(s), -sire["most"])], -numpy.inf, 0)
    if p["max_hired"] is not None:
        limit([(y(s), 1) for s in range(s_count) if not p["sires"][s]["own"]], -numpy.inf, p["max_hired"])
    if p["budget"] is not None:
        limit([(y(s), p["sires"][s]["hire"] / UNIT) for s in range(s_count)], -numpy.inf, p["budget"] / UNIT)
    if p["pens"] is not None:
        for day in first_days(p):
            limit([(y(s), 1) for s in range(s_count) if there(p["sires"][s], day)], -numpy.inf, p["pens"])
    matrix = lil_matrix((len(rows), n))
    for r, terms in enumerate(rows):
        for column, factor in terms:
            matrix[r, column] = factor
    answer = milp(cost, integrality=numpy.ones(n), bounds=Bounds(numpy.zeros(n), high),
                  constraints=LinearConstraint(matrix.tocsr(), low_sides, high_sides), options={"mip_rel_gap": 0})
    if answer.status == 2:
        return None
    if answer.status != 0:
        raise SystemExit(f"scipy: {answer.message}")
    return -answer.fun


def added_up(p, places, tag):
    """The objective by the definition, in millionths; says what is broken."""
    total, count = 0, [0] * len(p["sires"])
    for d, s in enumerate(places):
        may_be_open, locked = p["does"][d]
        if s is None:
            if locked is not None or not may_be_open or p["open"][d] is None:
                fail(f"{tag}: doe {d} is open")
                continue
            total += p["open"][d]
            continue
        if p["values"][d][s] is None or locked not in (None, s):
            fail(f"{tag}: doe {d} may not go to sire {s}")
            continue
        total += p["values"][d][s]
        count[s] += 1
    used = [s for s, c in enumerate(count) if c]
    for s in used:
        total -= p["sires"][s]["hire"]
        if p["sires"][s]["most"] is not None and count[s] > p["sires"][s]["most"]:
            fail(f"{tag}: sire {s} has {count[s]} does")
    if p["max_hired"] is not None and sum(not p["sires"][s]["own"] for s in used) > p["max_hired"]:
        fail(f"{tag}: too many hired")
    if p["budget"] is not None and sum(p["sires"][s]["hire"] for s in used) > p["budget"]:
        fail(f"{tag}: over the budget")
    if p["pens"] is not None and any(sum(there(p["sires"][s], day) for s in used) > p["pens"] for day in first_days(p)):
        fail(f"{tag}: too few pens")
    return total


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
    if added_up(p, [None if s == "-" else int(s) for s in places], tag) != int(objective):
        fail(f"{tag}: the objective does not add up")
if feasible < PROBLEMS // 3:
    fail(f"only {feasible} feasible problems: no test")
print(f"{PROBLEMS} problems, {feasible} feasible, seed {SEED}")
print("1 passed, 0 failed" if failures == 0 else f"0 passed, {failures} failed")
sys.exit(1 if failures else 0)
