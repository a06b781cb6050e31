#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes the herd book of one keeper over the years, examined in part, to measure with: 40 does, two bucks
at a time (--bucks), each kept two years on average, then another bought from outside (--own 0.5: in half of
the cases a son of the herd; --own 1 --bucks 8 is as tangled as a herd can be). Genes and liabilities are drawn by descent, so the findings can all be true together.

    write_herd.py FOLDER [--animals 500] [--examined 0.1] [--does 60] [--sires 40] [--own 0.5]
                         [--bucks 2] [--seed 1]
"""
import argparse
import csv
import pathlib
import random

DOES = 40
LOCI = {"mannosidosis": 0.10, "g6s": 0.10, "myotonia": 0.05}
LIABILITIES = {"teats": (0.40, [(1.75, "minor"), (2.33, "serious")]), "folded_ears": (0.40, [(1.64, "yes")]),
               "topline": (0.25, [(1.48, "weak")])}


class Book:
    def __init__(self, source):
        self.source, self.animals, self.genes, self.values = source, [], [], []

    def add(self, sire, dam, sex, year):
        source = self.source
        founder = sire is None

        def allele(parent, locus):
            return source.choice(self.genes[parent][locus])

        def value(trait):
            h2 = LIABILITIES[trait][0]
            if founder:
                return source.gauss(0, h2**0.5)
            return (self.values[sire][trait] + self.values[dam][trait]) / 2 + source.gauss(0, (h2 / 2) ** 0.5)

        # A pair of two faulty copies of a lethal gene does not grow up: drawn again.
        while True:
            genes = {locus: tuple(source.random() < q for _ in range(2)) if founder
                     else (allele(sire, locus), allele(dam, locus)) for locus, q in LOCI.items()}
            if sum(genes["mannosidosis"]) < 2:
                break
        self.genes.append(genes)
        self.values.append({trait: value(trait) for trait in LIABILITIES})
        self.animals.append((sire, dam, sex, year))
        return len(self.animals) - 1

    def found(self, animal, fault):
        if fault in LOCI:
            copies = sum(self.genes[animal][fault])
            return "yes" if copies == 2 or (fault == "myotonia" and copies == 1 and self.source.random() < 0.5) else "no"
        h2, borders = LIABILITIES[fault]
        liability = self.values[animal][fault] + self.source.gauss(0, (1 - h2) ** 0.5)
        grade = "straight" if fault == "topline" else "no"
        for border, name in borders:
            if liability > border:
                grade = name
        return grade


def build(animals, bucks_at_once, own, source):
    book, year = Book(source), 2000
    does = [book.add(None, None, "doe", 1998) for _ in range(DOES)]
    bucks = [book.add(None, None, "buck", 1998) for _ in range(bucks_at_once)]
    while len(book.animals) < animals:
        young = {"doe": [], "buck": []}
        for doe in does:
            sire = source.choice(bucks)
            for _ in range(1 if source.random() < 0.3 else 2):
                if len(book.animals) < animals:
                    sex = source.choice(("doe", "buck"))
                    young[sex].append(book.add(sire, doe, sex, year))
        for _ in range(DOES // 4):
            if young["doe"]:
                does[source.randrange(DOES)] = source.choice(young["doe"])
        for b in range(bucks_at_once):
            if source.random() < 0.5:
                home = source.random() < own and young["buck"]
                bucks[b] = source.choice(young["buck"]) if home else book.add(None, None, "buck", year)
        year += 1
    return book, year


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--animals", type=int, default=500)
    parser.add_argument("--examined", type=float, default=0.1)
    parser.add_argument("--does", type=int, default=60)
    parser.add_argument("--sires", type=int, default=40)
    parser.add_argument("--own", type=float, default=0.0)
    parser.add_argument("--bucks", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    source = random.Random(asked.seed)
    book, year = build(asked.animals, asked.bucks, asked.own, source)
    asked.folder.mkdir(parents=True, exist_ok=True)

    def table(name, header, rows):
        with open(asked.folder / name, "w", newline="", encoding="utf-8") as out:
            csv.writer(out, lineterminator="\n").writerows([header, *rows])

    def name(animal):
        return "" if animal is None else f"G{animal:06d}"

    table("animals.csv", ["id", "sire", "dam", "sex", "born", "horns"],
          [[name(k), name(sire), name(dam), sex, born, "horned"]
           for k, (sire, dam, sex, born) in enumerate(book.animals)])
    table("examinations.csv", ["animal", "fault", "found", "age"],
          [[name(k), fault, book.found(k, fault), "kidding"] for k in range(len(book.animals))
           for fault in (*LIABILITIES, *LOCI) if source.random() < asked.examined])

    def last(sex, count):
        of_sex = [k for k, animal in enumerate(book.animals) if animal[2] == sex]
        return of_sex[-count:]

    table("does.csv", ["doe", "kids_for", "weight_kg", "grown_weight_kg", "decision"],
          [[name(k), ("keep", "either", "meat")[k % 3], "60", "62", "go"] for k in last("doe", asked.does)])
    table("sires.csv", ["sire", "terms", "from", "to", "fee"],
          [[name(k), "hired", f"{year}-10-05", f"{year}-11-20", str(50 + 5 * n)]
           for n, k in enumerate(last("buck", asked.sires))])
    (asked.folder / "season.toml").write_text(f"as_of = {year}-09-15\n", encoding="utf-8")


if __name__ == "__main__":
    main()
