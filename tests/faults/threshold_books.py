#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Threshold faults in small herd books: `rank --format json` against quadrature by scipy.

    threshold_books.py PROGRAM [BOOKS]

Nothing known gives every incidence (1e-9). One or two animals looked at (parents, kids, other kin, inbred or
not), thresholds by sex, detection, incidence known or uncertain: chances, grades, litters and points of the
interval. Counts of kids elsewhere, seen and told: the same. DEFINITIONS 4, 5 and 11 alone.

The model is that of Falconer (1965, Ann. Hum. Genet. 29:51) with grades in order (Gianola and Foulley 1983,
Genet. Sel. Evol. 15:201); every sum here is scipy's. Chances must be within 0.005, also after a fault of which
both ends are unwanted was found without saying which end. Where the program takes a distribution for normal
that is not, it is further off, as measured with 400 books, and the limits say so: after a count of kids up to
0.0055; points of the interval, once somebody was looked at, up to 0.029.
"""
import itertools
import json
import pathlib
import random
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import numpy
    from scipy.stats import multivariate_normal, norm
except ImportError as missing:
    skip(f"{missing}", "python3-numpy, python3-scipy")

from random_genes import BUILT_IN

PROGRAM = sys.argv[1]
BOOKS = int(sys.argv[2]) if len(sys.argv) > 2 else 60
SEED = 20370101
EXACT, LIMIT = 1e-9, 0.005
COUNTS, POINTS = 0.0075, 0.03
SEXES = ("doe", "buck")
failures, worst = [], {}

# Animals by name: (sire, dam, sex). The pairs asked are every doe with every buck.
FAMILIES = [
    {"S": (None, None, "buck"), "D": (None, None, "doe"), "K": ("S", "D", "doe"), "L": ("S", "D", "buck"), "H": ("S", None, "doe")},
    {"S": (None, None, "buck"), "D": (None, None, "doe"), "E": ("S", "D", "doe"), "G": ("S", "E", "doe"), "B": ("S", "E", "buck")},
    {"P": (None, None, "buck"), "S": ("P", None, "buck"), "T": ("P", None, "buck"), "D": (None, None, "doe"), "K": ("S", "D", "doe")},
]


class Liability:
    """One fault: what the entry says, thresholds by sex, and how uncertain the incidence is."""

    def __init__(self, rng):
        self.h2 = rng.choice([0.25, 0.4, 0.6])
        self.grades = rng.choice([["no", "yes"], ["no", "minor", "serious"], ["roached", "straight", "weak"]])
        self.wanted = 1 if self.grades[0] == "roached" else 0
        top = rng.choice([0.04, 0.1, 0.25])
        self.any = [top, top / 4][: len(self.grades) - 1] if self.wanted == 0 else [1 - top / 2, top]
        self.by_sex = {}
        if rng.random() < 0.4:
            shift = rng.choice([0.5, 1.5])
            self.by_sex = {"doe": [self.any[0] * shift if self.wanted == 0 else 0.95]}
            if len(self.any) == 2 and rng.random() < 0.5:
                self.by_sex["doe"].append(self.any[1] * shift)
        self.worth = rng.choice([None, 20, 50])
        self.detection = rng.choice([[[0, 1.0]], [[0, 0.6]], [[0, 0.5], [180, 1.0]]])

    def incidences(self, sex):
        own = self.by_sex.get(sex, [])
        if len(own) == len(self.any):
            return own
        t = norm.isf(self.any)
        return list(norm.sf(t - t[0] + norm.isf(own[0]))) if own else self.any

    def s2(self):
        if self.worth is None:
            return 0.0
        shares = []
        if self.wanted > 0:
            shares.append(numpy.mean([1 - self.incidences(s)[self.wanted - 1] for s in SEXES]))
        if self.wanted < len(self.grades) - 1:
            shares.append(numpy.mean([self.incidences(s)[self.wanted] for s in SEXES]))
        k = max(shares)
        return k * (1 - k) / ((self.worth + 1) * norm.pdf(norm.isf(k)) ** 2)

    def borders(self, sex):
        t = norm.isf(self.incidences(sex)) * numpy.sqrt(1 + self.s2())
        return numpy.concatenate([[-numpy.inf], t, [numpy.inf]])

    def unwanted(self, mean, sd, sex):
        b = self.borders(sex)
        return 1 - (norm.cdf((b[self.wanted + 1] - mean) / sd) - norm.cdf((b[self.wanted] - mean) / sd))

    def entry(self):
        yield f'[thing]\nmodel = "threshold"\nheritability = {self.h2}\nwanted = "{self.grades[self.wanted]}"'
        yield f"grades = {self.grades}".replace("'", '"')
        yield f"incidence_above.any = {self.any}" if self.by_sex else f"incidence_above = {self.any}"
        yield from (f"incidence_above.{s} = {k}" for s, k in self.by_sex.items())
        yield f"detection = {self.detection}"
        if self.worth is not None:
            yield f"incidence_worth = {self.worth}"

    def boxes(self, found, age, sex):
        """What was found, as weighted ranges of the liability."""
        d = [x for start, x in self.detection if age >= start][-1]
        b = self.borders(sex)
        ranges = [(b[g], b[g + 1]) for g in range(len(self.grades))]
        bad = [g for g in range(len(self.grades)) if g != self.wanted]
        if found in ("yes", "removed") and "yes" not in self.grades:
            return [(d, *ranges[g]) for g in bad]
        g = self.wanted if found == "no" else self.grades.index(found)
        if g != self.wanted:
            return [(d, *ranges[g])]
        return [(1.0, *ranges[g])] + [(1 - d, *ranges[k]) for k in bad if d < 1]


def relationships(family):
    names = list(family)
    at = {name: i for i, name in enumerate(names)}
    a = numpy.zeros((len(names), len(names)))
    for i, (sire, dam, _) in enumerate(family.values()):
        for j in range(i):
            a[i, j] = a[j, i] = sum(a[at[p], j] for p in (sire, dam) if p) / 2
        a[i, i] = 1 + (a[at[sire], at[dam]] / 2 if sire and dam else 0)
    return names, a


def box_chance(mean, cov, low, high):
    """P(low < x < high) for every row of means; one or two dimensions."""
    if cov.shape[0] == 0:
        return numpy.ones(len(mean))
    if cov.shape[0] == 1:
        sd = numpy.sqrt(cov[0, 0])
        return norm.cdf((high[0] - mean[:, 0]) / sd) - norm.cdf((low[0] - mean[:, 0]) / sd)
    total = numpy.zeros(len(mean))
    for corner in itertools.product((0, 1), repeat=len(low)):
        x = numpy.array([high[i] if c else low[i] for i, c in enumerate(corner)])
        if numpy.any(x == -numpy.inf):
            continue
        sign = (-1) ** (len(low) - sum(corner))
        total += sign * multivariate_normal.cdf(numpy.clip(x, -40, 40) - mean, cov=cov)
    return total


def expected(fault, family, looks, sire, doe, litter):
    """Every number of the entry by summing over the kid's expected liability m."""
    names, a = relationships(family)
    s, d = names.index(sire), names.index(doe)
    seen = [names.index(x) for x, _, _ in looks]
    s2, h2 = fault.s2(), fault.h2
    var_m = s2 + h2 * (a[s, s] + a[d, d] + 2 * a[s, d]) / 4
    m = numpy.linspace(-7, 7, 401 if len(looks) > 1 else 2001) * numpy.sqrt(var_m)
    with_m = numpy.array([s2 + h2 * (a[i, s] + a[i, d]) / 2 for i in seen])
    cov = s2 + h2 * a[numpy.ix_(seen, seen)] + (1 - h2) * numpy.eye(len(seen)) - numpy.outer(with_m, with_m) / var_m
    mean = numpy.outer(m, with_m / var_m)
    weight = numpy.zeros(len(m))
    boxes = [fault.boxes(found, age, family[x][2]) for x, found, age in looks]
    for choice in itertools.product(*boxes):
        factor = numpy.prod([c[0] for c in choice])
        weight += factor * box_chance(mean, cov, [c[1] for c in choice], [c[2] for c in choice])
    weight *= norm.pdf(m / numpy.sqrt(var_m))
    weight /= weight.sum()
    sd = numpy.sqrt(h2 / 2 * (1 - (a[s, s] + a[d, d] - 2) / 2) + 1 - h2)
    p = {x: fault.unwanted(m, sd, x) for x in SEXES}
    both = (p["doe"] + p["buck"]) / 2
    out = {"affected_" + x: weight @ p[x] for x in SEXES}
    out |= {"affected": weight @ both, "any_in_litter": 1 - weight @ (1 - both) ** litter}
    order = numpy.argsort(both, kind="stable")
    sums = numpy.cumsum(weight[order])
    for name, level in (("affected_low", 0.05), ("affected_high", 0.95)):
        out[name] = numpy.interp(level, sums, both[order])
    for x in SEXES:
        b = fault.borders(x)
        for g in range(len(fault.grades)):
            out[f"grades {x} {g}"] = weight @ (norm.cdf((b[g + 1] - m) / sd) - norm.cdf((b[g] - m) / sd))
    return out


def counted(fault, examined, affected, sex):
    """Chance of the next kid of an unrelated doe after a count of kids elsewhere; the sire a founder."""
    a, mu = numpy.meshgrid(numpy.linspace(-7, 7, 301), numpy.linspace(-7, 7, 121 if fault.s2() else 1), indexing="ij")
    if not fault.s2():
        mu = mu * 0
    weight = norm.pdf(a) * norm.pdf(mu)
    a, mu = a * numpy.sqrt(fault.h2), mu * numpy.sqrt(fault.s2())
    p = {x: fault.unwanted(mu + a / 2, numpy.sqrt(1 - fault.h2 / 4), x) for x in SEXES}
    of = p[sex] if sex else (p["doe"] + p["buck"]) / 2
    found = of * min(d for _, d in fault.detection)
    weight = weight * found ** affected * (1 - found) ** (examined - affected)
    return (weight * (p["doe"] + p["buck"]) / 2).sum() / weight.sum()


def write(folder, fault, family, looks, count):
    for old in folder.iterdir():
        old.unlink()
    day = lambda i: f"{2020 + 2 * i}-03-01"
    rows = [f"{x},{s or ''},{d or ''},{sex},{day(i)}" for i, (x, (s, d, sex)) in enumerate(family.items())]
    (folder / "animals.csv").write_text("\n".join(["id,sire,dam,sex,born", *rows]) + "\n")
    if looks:
        (folder / "examinations.csv").write_text("\n".join(["animal,fault,found,age"] + [f"{x},thing,{f},{g}" for x, f, g in looks]) + "\n")
    if count:
        (folder / "kid_counts.csv").write_text("sire,fault,examined,affected,sex,word\n" + ",".join(map(str, count)) + "\n")
    for key, sex in (("doe", "doe"), ("sire", "buck")):
        (folder / f"{key}s.csv").write_text("\n".join([key] + [x for x, v in family.items() if v[2] == sex]) + "\n")
    (folder / "faults.toml").write_text("\n".join([f"[{k}]\nuse = false" for k in BUILT_IN] + list(fault.entry())) + "\n")


def answer(folder, tag):
    ended = subprocess.run([PROGRAM, "rank", str(folder), "--format", "json", "--quiet", "--as-of", "2035-01-01", "--threads", "1"],
                           capture_output=True, check=False, timeout=300, text=True)
    if ended.returncode != 0:
        failures.append(f"{tag}: status {ended.returncode}: {ended.stderr[:300]}")
        return
    for doe in json.loads(ended.stdout)["does"]:
        for sire in doe["sires"]:
            yield sire["sire"], doe["doe"], sire["faults"][0]


def near(got, want, limit, what):
    if limit is None:
        return
    if got is None or not abs(got - want) <= limit:
        failures.append(f"{what}: {got!r} instead of {want!r}")
    else:
        worst[limit] = max(worst.get(limit, 0.0), abs(got - want))


def one_book(rng, folder, trial):
    fault, family = Liability(rng), FAMILIES[trial % len(FAMILIES)]
    kind, looks, count, tag = trial % 5, [], None, f"book {trial}"
    if kind in (1, 2, 3):
        for name in rng.sample(list(family), 1 if kind == 1 else 2):
            looks.append((name, rng.choice(["no", "no", "yes", *fault.grades]), rng.choice([0, 200])))
    if kind == 4:
        examined = rng.randrange(1, 15)
        count = ("S" if family["S"][0] is None else "P", "thing", examined, min(rng.choice([0, 0, 1, 3]), examined),
                 rng.choice(["", "doe", "buck"]), rng.choice(["seen", "told"]))
    write(folder, fault, family, looks, count)
    dams = {d for _, d, _ in family.values()}
    for sire, doe, entry in answer(folder, tag):
        what = f"{tag} {sire} x {doe}"
        if count:
            if sire != count[0] or family[doe][:2] != (None, None):
                continue
            name = "affected_told" if count[5] == "told" else "affected"
            near(entry[name], counted(fault, *count[2:5]), COUNTS, f"{what} {name} after {count}")
            continue
        want = expected(fault, family, looks, sire, doe, 1.85 if doe in dams else 1.48)
        for key, value in want.items():
            got = entry["grades"][key.split()[1]][int(key[-1])] if key.startswith("grades") else entry[key]
            near(got, value, POINTS if key in ("affected_low", "affected_high") else LIMIT, f"{what} {key} after {looks}")
        if not looks and family[sire][:2] == family[doe][:2] == (None, None):
            for x in SEXES:
                k = [1.0, *fault.incidences(x), 0.0]
                near(entry["affected_" + x], 1 - (k[fault.wanted] - k[fault.wanted + 1]), EXACT, f"{what} nothing known, {x}")


def main():
    with tempfile.TemporaryDirectory() as place:
        for trial in range(BOOKS):
            one_book(random.Random(SEED + trial), pathlib.Path(place), trial)
    for line in failures[:40]:
        print("FAILED", line)
    print(f"{BOOKS} books; largest differences by limit {worst}; {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
