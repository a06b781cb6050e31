#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The kiddings a plan expects, week by week, counted again in another way from the files of the book.

    weeks_of_demo.py PROGRAM DATA-DEMO

Conceptions of a stay: the renewal equation of heats on a grid of a tenth of a day (DEFINITIONS 8: cycles
N(21, 1.5), in equilibrium when he comes, does by the month in which they cycle). Kidding: a normal gestation
after a time of service, to the minute. The program works with whole days and Gauss points. Demo herd; the same
with kiddings over the end of a year; the same in the south.
"""
import csv
import datetime
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
from skip import skip  # noqa: E402

try:
    import numpy
    from scipy.stats import norm
except ImportError:
    skip("weeks are not counted again", "python3-scipy")

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
STEP = 10  # of a day
CYCLING = [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]
NEVER, BOER, OTHER = 0.05, (149, 3.5), (150, 3.0)
# Of the sires with a stay: chance per heat by age on the first day and record, infertile by kids known.
BY_AGE = {"buck_kid": 0.65, "yearling": 0.75, "grown": 0.80}
failures = 0


def fail(what):
    global failures
    failures += 1
    print("FAILED", what)


def day(text):
    return datetime.date.fromisoformat(text)


def rows(herd, file):
    with open(herd / file, newline="", encoding="utf-8") as text:
        return list(csv.DictReader(text))


def odds(herd, sire, first):
    """Chance per heat, and that he is infertile."""
    animals, offers = rows(herd, "animals.csv"), {r["sire"]: r for r in rows(herd, "sires.csv")}
    born = next(r["born"] for r in animals if r["id"] == sire)
    youngest = day(born + "-12-31"[3 * born.count("-"):] if len(born) < 10 else born)
    months = (first.year - youngest.year) * 12 + first.month - youngest.month - (first.day < youngest.day)
    c = BY_AGE["buck_kid" if months < 12 else "yearling" if months < 24 else "grown"]
    served, settled = offers[sire]["served"], offers[sire]["settled"]
    if served and settled:
        c = (10 * c + float(settled)) / (10 + float(served))
    possible = {r["sire"] for r in rows(herd, "possible_sires.csv")}
    kidded = {r.get("sire") for r in rows(herd, "kiddings.csv")}
    proven = any(r["sire"] == sire for r in animals) or sire in possible or sire in kidded or float(settled or 0) >= 1
    return c, 0.02 if proven else 0.05


def conceptions(c, first, last, south):
    """Chance by tenth of a day, one buck who is fertile, does that never settle counted in."""
    days = (last - first).days + 1
    n = days * STEP
    share = numpy.empty(n)
    for k in range(days):
        month = (first + datetime.timedelta(k)).month - 1
        share[k * STEP:(k + 1) * STEP] = CYCLING[(month + 6) % 12 if south else month]
    middle = (numpy.arange(n) + 0.5) / STEP
    new = norm.sf(middle, 21, 1.5) / 21 / STEP
    gaps = norm.pdf(numpy.arange(n) / STEP, 21, 1.5) / STEP
    can = min(1.0, c / (1 - NEVER))
    result, before = numpy.zeros(n), 0.0
    for level in sorted(set(share)):
        serves = numpy.where(share >= level, can, 0.0)
        heats = numpy.zeros(n)
        for t in range(n):
            heats[t] = new[t] + (heats[:t] * (1 - serves[:t])) @ gaps[t:0:-1]
        result += (level - before) * heats * serves
        before = level
    return (1 - NEVER) * result


def breed_of(animals, ident):
    own = animals[ident]["breed"] if ident in animals else ""
    if own:
        parts = [part.rsplit(":", 1) for part in own.split()] if ":" in own else [[own, "1"]]
        return {name.lower(): float(eval_share(share)) for name, share in parts}
    parents = [breed_of(animals, animals[ident][p]) for p in ("sire", "dam") if ident in animals and animals[ident][p]]
    parents = [p for p in parents if p]
    return {b: sum(p.get(b, 0) for p in parents) / len(parents) for p in parents for b in p}


def eval_share(text):
    over, _, under = text.partition("/")
    return float(over) / float(under or 1)


def counted(herd, plan, south):
    """Does expected to kid by week, from the Monday of the first week listed."""
    animals = {r["id"]: r for r in rows(herd, "animals.csv")}
    stays = {s["sire"]: s for s in plan["problem"]["sires"]}
    put = {p["doe"]: p["sire"] for p in plan["pairings"]}
    weeks = plan["kiddings"]["weeks"]
    monday = day(weeks[0]["from"])
    borders = 7 * numpy.arange(len(weeks) + 1)
    total, of_sire = numpy.zeros(len(weeks)), {}
    for doe in plan["kiddings"]["does"]:
        shares = breed_of(animals, doe["doe"])
        mean, sd = BOER if shares and min(shares, key=lambda b: (-shares[b], b)) == "boer" else OTHER
        if doe["served"]:  # the demo herd's one service seen
            service = [r["from"] for r in rows(herd, "services.csv") if r["doe"] == doe["doe"]][-1]
            c, infertile = odds(herd, put[doe["doe"]], day(service))
            later = (day(plan["as_of"]) - day(service)).days > 17  # what was seen since is counted elsewhere
            chance = doe["kids"] if later else c * (1 - infertile)
            first, chances = day(service), numpy.full(STEP, chance / STEP)
        else:
            sire = put[doe["doe"]]
            if sire not in of_sire:
                stay = stays[sire]
                if not stay["needs_pen"]:
                    fail(f"{sire}: this count knows stays alone")
                first = day(stay["from"])
                c, infertile = odds(herd, sire, first)
                of_sire[sire] = first, (1 - infertile) * conceptions(c, first, day(stay["to"]), south)
            first, chances = of_sire[sire]
        times = (first - monday).days + (numpy.arange(len(chances)) + 0.5) / STEP
        by = norm.cdf(borders[None, :] - times[:, None], mean, sd)
        total += chances @ numpy.diff(by, axis=1)
    return total


def judge(what, change, as_of, south=False):
    with tempfile.TemporaryDirectory() as folder:
        herd = pathlib.Path(folder) / "herd"
        shutil.copytree(DEMO, herd)
        change(herd)
        command = [PROGRAM, "plan", str(herd), "--as-of", as_of, "--quiet"]
        plan = json.loads(subprocess.run([*command, "--format", "json"], capture_output=True, text=True, check=True).stdout)
        kiddings = plan["kiddings"]
        mondays = [day(w["from"]) for w in kiddings["weeks"]]
        if any(d.isoweekday() != 1 for d in mondays) or any((b - a).days != 7 for a, b in zip(mondays, mondays[1:])):
            fail(f"{what}: weeks are not week after week from Monday")
        expected = numpy.array([w["expected"] for w in kiddings["weeks"]])
        if abs(expected.sum() - kiddings["expected"]) > 1e-4 or len(kiddings["does"]) < 3:
            fail(f"{what}: weeks do not add up")
        if abs(sum(d["kids"] for d in kiddings["does"]) - kiddings["expected"]) > 1e-6:
            fail(f"{what}: does do not add up")
        again = counted(herd, plan, south)
        worst = abs(again - expected).max()
        print(f"{what}: {len(mondays)} weeks from {mondays[0]}, {expected.sum():.3f} kiddings, at most {worst:.4f} apart")
        if worst > 0.0005 * len(kiddings["does"]):
            fail(f"{what}: {list(zip(map(str, mondays), expected.round(3), again.round(3)))}")
        text = subprocess.run([*command, "--format", "html"], capture_output=True, text=True, check=True).stdout
        for monday, number in zip(mondays, expected):
            said = f"{monday.day} {monday:%b}"
            if number >= 0.05 and not (f">{said}<" in text and f'class="count">{number:.1f}<' in text):
                fail(f"{what}: the page lacks {said} or {number:.1f}")
        return mondays


def lines(herd, file, change):
    path = herd / file
    path.write_text("\n".join(change(path.read_text(encoding="utf-8").splitlines())) + "\n", encoding="utf-8")


def stays_at(first, last):
    def change(herd):
        table = [r for r in rows(herd, "sires.csv") if r["sire"] in ("Larch", "Alder", "Sedge")]
        for row in table:
            row["from"], row["to"] = first, last
        with open(herd / "sires.csv", "w", newline="", encoding="utf-8") as out:
            writer = csv.DictWriter(out, table[0].keys())
            writer.writeheader()
            writer.writerows(table)
        lines(herd, "season.toml", lambda text: [t for t in text if not t.startswith(("kid_", "as_of"))])
    return change


def in_the_south(herd):
    stays_at("2027-03-20", "2027-05-05")(herd)
    lines(herd, "season.toml", lambda text: ['hemisphere = "south"', *text])


judge("the demo herd", lambda herd: None, "2026-09-15")
over = judge("over the end of a year", stays_at("2026-07-20", "2026-08-31"), "2026-07-01")
if not (over[0].year == 2026 and over[-1].year == 2027):
    fail(f"{over[0]} to {over[-1]} has no end of a year in it")
judge("in the south", in_the_south, "2027-03-01", south=True)
print(f"{failures} failures")
sys.exit(1 if failures else 0)
