# SPDX-License-Identifier: MIT
"""The season's problem as a mixed-integer programme for scipy.optimize.milp (HiGHS inside), and the
objective added up by its definition.

A problem: {"sires": [{"hire", "most", "own", "pen", "from", "to"}], "does": [(may_be_open, locked)],
"values": [doe][sire], "open": [...], "max_hired", "pens", "budget"}; money in whole millionths, days as
whole numbers, None: no limit, not allowed.
"""
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_matrix
except ImportError as missing:
    skip(f"{missing}", "python3-scipy, python3-numpy")

UNIT = 1_000_000


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


def added_up(p, places):
    """The objective by the definition, in millionths, and what is broken."""
    total, count, broken = 0, [0] * len(p["sires"]), []
    for d, s in enumerate(places):
        may_be_open, locked = p["does"][d]
        if s is None:
            if locked is not None or not may_be_open or p["open"][d] is None:
                broken.append(f"doe {d} is open")
            total += p["open"][d] or 0
            continue
        if p["values"][d][s] is None or locked not in (None, s):
            broken.append(f"doe {d} may not go to sire {s}")
            continue
        total += p["values"][d][s]
        count[s] += 1
    used = [s for s, c in enumerate(count) if c]
    for s in used:
        total -= p["sires"][s]["hire"]
        if p["sires"][s]["most"] is not None and count[s] > p["sires"][s]["most"]:
            broken.append(f"sire {s} has {count[s]} does")
    if p["max_hired"] is not None and sum(not p["sires"][s]["own"] for s in used) > p["max_hired"]:
        broken.append("too many hired")
    if p["budget"] is not None and sum(p["sires"][s]["hire"] for s in used) > p["budget"]:
        broken.append("over the budget")
    if p["pens"] is not None and any(sum(there(p["sires"][s], day) for s in used) > p["pens"] for day in first_days(p)):
        broken.append("too few pens")
    return total, broken
