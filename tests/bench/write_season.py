#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes the herd book of one large season, to measure with: many does with many sires on offer, out of
herds of the neighbourhood over fifteen years. Every fault is looked at on `looked` of a hundred animals,
kiddings are recorded and kids weighed. Genes and liabilities are drawn, so that no records contradict
each other. The same for the same arguments.

    write_season.py FOLDER [--does 60] [--sires 40] [--animals 800] [--looked 10] [--seed 1]
"""
import argparse
import csv
import pathlib
import random

FIRST, LAST = 2011, 2025
SCORED = {"teats": (0.40, (("serious", 2.326), ("minor", 1.751))), "folded_ears": (0.40, (("yes", 1.645),)),
          "topline": (0.25, (("weak", 1.476), ("straight", -1.881), ("roached", -9.0)))}
GENES = {"polled": 0.05, "mannosidosis": 0.03, "g6s": 0.08, "myotonia": 0.005}


class Goat:
    def __init__(self, number, source, sex, year, herd, sire=None, dam=None, litter=1):
        self.id, self.sex, self.year, self.herd = f"G{number:04d}", sex, year, herd
        self.sire, self.dam, self.litter = sire, dam, litter
        self.born = f"{year}-{2 + number % 3:02d}-{1 + number % 28:02d}" if dam is None else dam.kids[year]
        self.kids = {}
        self.genes = {}
        for gene, often in GENES.items():
            hands = [source.random() < (often if parent is None else parent.genes[gene] / 2) for parent in (sire, dam)]
            self.genes[gene] = sum(hands)
        self.additive = {}
        for fault, (heritable, _) in SCORED.items():
            mean, own = 0.0, heritable
            for parent in (sire, dam):
                if parent is not None:
                    mean, own = mean + parent.additive[fault] / 2, own - heritable / 4
            self.additive[fault] = mean + source.gauss(0, own ** 0.5)

    def found(self, fault, source):
        if fault in SCORED:
            heritable, grades = SCORED[fault]
            liability = self.additive[fault] + source.gauss(0, (1 - heritable) ** 0.5)
            return next((grade for grade, border in grades if liability > border), "no")
        if fault == "intersex":
            return "no"  # does of the book that are, have no kids and are sold as kids
        shows = {"g6s": self.genes["g6s"] == 2, "myotonia": self.genes["myotonia"] == 2}
        return "yes" if shows.get(fault) else "no"


def goats(wanted, source):
    """Goats with both sexes of every year, parents first; does kid from two years on."""
    all_goats, herds = [], 8
    def add(*what, **kin):
        all_goats.append(Goat(len(all_goats), source, *what, **kin))
        return all_goats[-1]
    for herd in range(herds):
        for k in range(6):
            add("buck" if k == 0 else "doe", FIRST, herd)
    a_year = max(1, (wanted - len(all_goats)) // (LAST - FIRST - 1))
    for year in range(FIRST + 2, LAST + 1):
        grown = [goat for goat in all_goats if goat.year <= year - 2]
        recent = [goat for goat in grown if goat.year >= year - 6]
        bucks, does = ([goat for goat in recent if goat.sex == sex] for sex in ("buck", "doe"))
        young = 0
        while young < a_year and does:
            dam = does.pop(source.randrange(len(does)))
            near = [buck for buck in bucks if (buck.herd - dam.herd) % herds <= 1 and not buck.genes["polled"]]
            sire = source.choice(near or [buck for buck in bucks if not buck.genes["polled"]])
            dam.kids[year] = f"{year}-{2 + young % 3:02d}-{1 + source.randrange(28):02d}"
            dam.mates = getattr(dam, "mates", {}) | {year: sire}
            for _ in range(source.choice((1, 2, 2, 2, 3))):
                kid = add(source.choice(("buck", "doe")), year, dam.herd, sire=sire, dam=dam)
                if kid.genes["mannosidosis"] == 2 or (kid.genes["polled"] == 2):
                    all_goats.pop()  # did not live, or could not breed
                young += 1
    return all_goats


def table(folder, name, header, rows):
    with open(folder / name, "w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([header, *rows])


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=pathlib.Path)
    for name, usual in (("does", 60), ("sires", 40), ("animals", 800), ("looked", 10), ("seed", 1)):
        parser.add_argument(f"--{name}", type=int, default=usual)
    asked = parser.parse_args()
    folder, source = asked.folder, random.Random(asked.seed)
    folder.mkdir(parents=True, exist_ok=True)
    book = goats(asked.animals, source)
    does = [goat for goat in book if goat.sex == "doe" and 2018 <= goat.year <= LAST - 1][-asked.does:]
    sires = [goat for goat in book if goat.sex == "buck" and goat.year <= LAST - 1][-asked.sires:]
    (folder / "season.toml").write_text("as_of = 2026-09-15\nkid_from = 2027-03-01\nkid_to = 2027-05-10\n", "utf-8")
    table(folder, "animals.csv", ["id", "sire", "dam", "sex", "born", "breed", "horns", "owner"],
          [[g.id, g.sire.id if g.sire else "", g.dam.id if g.dam else "", g.sex, g.born, "" if g.dam else "nubian",
            ("polled" if g.genes["polled"] else "horned") if source.random() < 0.8 else "", f"Farm {g.herd}"]
           for g in book])
    table(folder, "does.csv", ["doe", "kids_for", "weight_kg", "weighed", "grown_weight_kg", "condition"],
          [[g.id, ("keep", "either", "meat")[k % 3], 60, "2026-09-01", 62, 3] for k, g in enumerate(does)])
    table(folder, "sires.csv", ["sire", "terms", "from", "to", "fee"],
          [[g.id, "hired", "2026-10-05", "2026-11-20", 50 + 5 * k] for k, g in enumerate(sires)])
    table(folder, "examinations.csv", ["animal", "fault", "found", "date"],
          [[g.id, fault, g.found(fault, source), f"{g.year + 1}-03-20"]
           for fault in (*SCORED, "g6s", "myotonia") for g in book if source.random() * 100 < asked.looked])
    table(folder, "gene_tests.csv", ["animal", "fault", "result", "date"],
          [[g.id, gene, ("clear", "carrier", "affected")[g.genes[gene]], f"{g.year + 1}-05-02"]
           for gene in ("mannosidosis", "g6s") for g in book if source.random() * 100 < asked.looked])
    litters = {}
    for g in book:
        if g.dam:
            litters.setdefault((g.dam.id, g.year), []).append(g)
    table(folder, "kiddings.csv", ["doe", "date", "kids_born", "kids_raised", "help", "sire"],
          [[dam, kids[0].born, len(kids), len(kids), source.choice(("none", "none", "none", "some", "hard")),
            kids[0].sire.id] for (dam, _), kids in litters.items()])
    weighed = [g for g in book if g.dam]
    table(folder, "records.csv", ["animal", "trait", "value", "date", "age_days"],
          [[g.id, "birth_weight", f"{source.gauss(3.2, 0.5):.1f}", g.born, 0] for g in weighed] +
          [[g.id, "weaning_weight", f"{source.gauss(18, 3):.1f}", f"{g.year}-07-01", 90] for g in weighed])


if __name__ == "__main__":
    main()
