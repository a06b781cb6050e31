# SPDX-License-Identifier: MIT
"""Small herd books of chance with every kind of fact that speaks of one gene: an invention each, made
only so that the program and a recount by enumeration read the same files."""
import csv
import datetime
from dataclasses import dataclass

from random_genes import BUILT_IN, faults_of_chance

DAY = datetime.timedelta(days=1)
AS_OF = datetime.date(2035, 1, 1)
WORDS = {"birth": 0, "weaning": 90, "kidding": 365, "adult": 730}


@dataclass
class Animal:
    id: str
    sex: str = "doe"        # as written; "" is not known
    sire: int = None
    dam: int = None
    born: datetime.date = None
    breed: dict = None
    horns: str = ""
    litter: str = ""
    left: datetime.date = None
    left_why: str = ""
    draw: int = None        # of Book.draws: her sire is one of several
    kidding: int = None     # of Book.kiddings

    @property
    def male(self):
        """True, False, or None: not known. An intersex is a genetic doe."""
        return {"buck": True, "wether": True, "": None}.get(self.sex, False)


@dataclass
class Kidding:
    doe: int
    date: datetime.date
    sire: int
    born: int = None
    alive: int = None
    raised: int = None


@dataclass
class Look:
    animal: int
    fault: str
    found: str
    date: datetime.date = None
    age: str = ""


class Book:
    """Parents stand before their kids."""

    def __init__(self, rng, most=8):
        self.rng = rng
        self.animals, self.kiddings, self.draws = [], [], []   # a draw: [(buck, chance)], written chances
        self.faults = faults_of_chance(rng)
        self.looks, self.tests, self.counts, self.services = [], [], [], []
        self.founders()
        day = datetime.date(2016, 3, 1)
        while len(self.animals) < most - 1 and rng.random() < 0.95:
            day += DAY * rng.randrange(420, 500)
            self.litter(day, most)
        self.facts()

    def add(self, **what):
        self.animals.append(Animal(f"g{len(self.animals)}", **what))
        return len(self.animals) - 1

    def breed(self):
        return self.rng.choice([{"nubian": 1.0}, {"boer": 1.0}, {"nubian": 0.25, "boer": 0.75}])

    def founders(self):
        for sex in ["buck", "doe", "buck", "doe"][: self.rng.choice([3, 3, 4])]:
            born = datetime.date(2014, 2, 1) + DAY * self.rng.randrange(300) if self.rng.random() < 0.7 else None
            self.add(sex=sex, born=born, breed=self.breed(), horns=self.rng.choice(["", "horned", "polled"]))

    def litter(self, day, most):
        rng = self.rng
        of = lambda sex: [i for i, a in enumerate(self.animals) if a.sex == sex and not a.left]
        dam = rng.choice(of("doe")) if rng.random() < 0.85 else None
        bucks = of("buck")
        sire, draw = (rng.choice(bucks) if rng.random() < 0.85 else None), None
        if len(bucks) > 1 and rng.random() < 0.3:
            sire, draw = None, self.draw(bucks)
        kids = min(rng.choice([1, 1, 2]), most - len(self.animals))
        if kids > 1 and draw is not None and dam is None:
            kids = 1
        dated = rng.random() < 0.75
        first = len(self.animals)
        for k in range(kids):
            sex = rng.choice(["doe", "buck", "doe", "buck", "wether", "", "intersex"] if rng.random() < 0.4 else ["doe", "buck"])
            whole = sire is not None and dam is not None
            self.add(sex=sex, sire=sire, dam=dam, draw=draw, born=day if dated else None,
                     breed=None if whole and rng.random() < 0.6 else self.breed(),
                     horns=rng.choice(["", "horned", "polled"]) if rng.random() < 0.5 else "",
                     litter=f"L{first}" if not dated and kids > 1 else "")
            if dated and rng.random() < 0.25:
                kid = self.animals[-1]
                kid.left, kid.left_why = rng.choice([(day + DAY * 3, "died"), (day + DAY * 500, "sold"), (day + DAY * 10, "sold")])
        if draw is not None and kids == 2 and dated and dam is not None and rng.random() < 0.4:
            self.two_bucks_at_once(dam, day, first)
        elif dated and dam is not None and (sire is not None or draw is not None) and rng.random() < 0.6:
            self.kidding(dam, day, sire, list(range(first, first + kids)))

    def two_bucks_at_once(self, dam, day, first):
        """Then litter mates may have different sires: each draws for itself."""
        pairs, written = self.draws[self.animals[first].draw]
        self.draws.append((pairs, written))
        self.animals[first + 1].draw = len(self.draws) - 1
        self.services += [(dam, pairs[0][0], day - DAY * 150), (dam, pairs[1][0], day - DAY * 149)]

    def draw(self, bucks):
        rng = self.rng
        chosen = rng.sample(bucks, min(len(bucks), rng.choice([2, 2, 3])))
        kind = rng.random()
        if kind < 0.35:
            written = [0.5] + [None] * (len(chosen) - 1)
            chances = [0.5] + [0.5 / (len(chosen) - 1)] * (len(chosen) - 1)
        else:
            total = rng.choice([1.0, 0.8])
            cuts = [rng.randrange(1, 5) for _ in chosen]
            written = chances = [total * c / sum(cuts) for c in cuts]
        self.draws.append((list(zip(chosen, chances)), written))
        return len(self.draws) - 1

    def kidding(self, dam, day, sire, rows):
        rng = self.rng
        dead_rows = sum(1 for i in rows if self.animals[i].left_why == "died")
        here = Kidding(dam, day, sire)
        if rng.random() < 0.7:
            living = len(rows) - dead_rows + rng.choice([0, 0, 1])
            dead = dead_rows + rng.choice([0, 0, 1, 2])
            here.born = living + dead
            here.alive = rng.choice([here.born, living, None])
            here.raised = living if rng.random() < 0.7 or here.alive == here.born else None
        for i in rows:
            self.animals[i].kidding = len(self.kiddings)
        self.kiddings.append(here)

    def facts(self):
        rng = self.rng
        for fault in self.faults.values():
            if fault.built_in:
                continue
            for i, a in enumerate(self.animals):
                kid_dead = a.left_why == "died"
                if a.left and (a.left - (a.born or a.left)).days < 30 and fault.lethal:
                    if kid_dead and rng.random() < 0.3:
                        self.looks.append(Look(i, fault.key, rng.choice(["no", "yes"]), a.born, "birth"))
                    continue
                scored = a.male is None or ("buck" if a.male else "doe") in fault.shown
                while rng.random() < 0.35:
                    self.looks.append(self.look(i, a, fault, scored))
                while fault.same_as is None and rng.random() < 0.12:
                    self.tests.append(self.test(i, a, fault))
                if a.sex == "buck" and rng.random() < 0.15:
                    self.counts.append(self.count(i, fault))

    def look(self, i, a, fault, scored):
        rng = self.rng
        wanted = fault.grades[fault.wanted]
        usual = ["no", wanted] if scored else ["no"]
        found = rng.choice(usual if rng.random() < 0.7 else fault.grades + ["yes", "removed"])
        if fault.lethal:
            found = "no"
        date, age = None, ""
        if a.born and not (a.left and (a.left - a.born).days < 600):
            date = a.born + DAY * rng.choice([1, 100, 400, 800])
        if rng.random() < 0.5:
            age = rng.choice(list(WORDS) + ["0", "180", "200", "400"])
        return Look(i, fault.key, found, date, age)

    def test(self, i, a, fault):
        result = self.rng.choice(["clear", "affected"] if fault.x_linked and a.male is not False
                                 else ["clear", "carrier", "affected", "0", "1", "2"])
        return (i, fault.key, result, self.rng.choice(["2034-01-01", "2034-02-01", ""]), self.rng.choice(["A", "B", ""]))

    def count(self, i, fault):
        rng = self.rng
        examined = rng.randrange(1, 9)
        dams = [j for j, b in enumerate(self.animals) if b.sex == "doe" and not b.left and j != i]
        affected = rng.choice([0, 0, 1, examined // 2])
        return (i, fault.key, examined, min(affected, examined), rng.choice(dams) if rng.random() < 0.3 else None,
                rng.choice(["", "", "doe", "buck"]) if len(fault.shown) == 2 else rng.choice(["", "doe"]),
                rng.choice(["seen", "seen", "told", ""]))

    def name(self, i):
        return "" if i is None else self.animals[i].id

    def write(self, folder):
        for old in folder.iterdir():
            old.unlink()
        day = lambda d: d.isoformat() if d else ""
        share = lambda b: " ".join(f"{k}:{v}" for k, v in b.items()) if b else ""
        def table(file, header, rows):
            rows = list(rows)
            if rows:
                with open(folder / file, "w", newline="", encoding="utf-8") as out:
                    csv.writer(out).writerows([header.split(",")] + rows)
        table("animals.csv", "id,sire,dam,sex,born,breed,horns,litter,left,left_why",
              [[a.id, self.name(a.sire), self.name(a.dam), a.sex, day(a.born), share(a.breed), a.horns, a.litter, day(a.left),
                a.left_why] for a in self.animals])
        table("possible_sires.csv", "kid,sire,probability",
              [[a.id, self.name(b), "" if w is None else repr(w)] for a in self.animals if a.draw is not None
               for (b, _), w in zip(*self.draws[a.draw])])
        table("kiddings.csv", "doe,date,kids_born,kids_alive,kids_raised,sire",
              [[self.name(k.doe), day(k.date), *("" if x is None else x for x in (k.born, k.alive, k.raised)), self.name(k.sire)]
               for k in self.kiddings])
        table("services.csv", "doe,sire,from,how", [[self.name(d), self.name(s), day(t), "seen"] for d, s, t in self.services])
        table("gene_tests.csv", "animal,fault,result,date,laboratory", [[self.name(t[0]), *t[1:]] for t in self.tests])
        table("kid_counts.csv", "sire,fault,examined,affected,dam,sex,word",
              [[self.name(c[0]), c[1], c[2], c[3], self.name(c[4]), c[5], c[6]] for c in self.counts])
        if self.rng.random() < 0.5:
            table("examinations.csv", "animal,fault,found,date,age",
                  [[self.name(k.animal), k.fault, k.found, day(k.date), k.age] for k in self.looks])
        else:
            keys = [f for f in self.faults if not self.faults[f].built_in]
            table("examinations.csv", "animal,date,age," + ",".join(keys),
                  [[self.name(k.animal), day(k.date), k.age, *(k.found if f == k.fault else "" for f in keys)] for k in self.looks])
        table("does.csv", "doe,kids_for", [[a.id, self.rng.choice(["keep", "meat", "either", ""])] for a in self.animals
                                           if a.sex == "doe" and not a.left])
        table("sires.csv", "sire,terms,from,to", [[a.id, "own", "2035-01-05", "2035-02-15"] for a in self.animals
                                                  if a.sex == "buck" and not a.left])
        (folder / "faults.toml").write_text("\n".join(self.entries()), encoding="utf-8")
        (folder / "traits.toml").write_text("", encoding="utf-8")
        (folder / "season.toml").write_text("", encoding="utf-8")

    def entries(self):
        for key in BUILT_IN:
            if key not in self.faults:
                yield f"[{key}]\nuse = false"
        for f in self.faults.values():
            if f.built_in:
                continue
            yield f'[{f.key}]\nmodel = "locus"\ngrades = {f.grades}\nwanted = "{f.grades[f.wanted]}"'.replace("'", '"')
            yield f'inheritance = "{"x-linked" if f.x_linked else "autosomal"}"' if not f.same_as else f'same_locus_as = "{f.same_as}"'
            if not f.same_as:
                yield from (f"allele_frequency.{b} = {q}" for b, q in f.q.items()) if len(f.q) > 1 else [f"allele_frequency = {f.q['other']}"]
                yield f"test_error = {f.error}"
            yield from f.written
            yield f"detection = {f.detection}"
            yield f'repeat = "{f.repeat}"'
            if f.lethal:
                yield f"lethal_by_days = {f.lethal}"
