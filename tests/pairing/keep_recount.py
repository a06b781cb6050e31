#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`keep` counted again from the CSV files alone: mean kinship to the herd, doors closed, kids not examined.

    keep_recount.py PROGRAM DATA-DEMO [BOOKS]

Kinship by its definition (Wright 1922; Malecot): of two animals the younger one's parents are followed; an uncertain sire
by his chances (Henderson 1988). The demo book and random books of four generations, animals of other owners, gone ones,
births by year or month only, and examinations of some.
"""
import calendar
import csv
import datetime
import functools
import json
import pathlib
import random
import subprocess
import sys
import tempfile

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
BOOKS = int(sys.argv[3]) if len(sys.argv) > 3 else 40
SEED = 20270301
MONTHS = 14
failures = []
seen = {"kids": 0, "closes": 0, "not examined": 0}


def table(book, name):
    path = book / name
    return list(csv.DictReader(path.open(encoding="utf-8", newline=""))) if path.is_file() else []


def check(holds, what):
    if not holds:
        failures.append(what)


def youngest(text):
    """The latest day that a date may mean."""
    parts = [int(x) for x in text.split("-")]
    month = parts[1] if len(parts) > 1 else 12
    return datetime.date(parts[0], month, parts[2] if len(parts) > 2 else calendar.monthrange(parts[0], month)[1])


class Herd:
    def __init__(self, book, as_of):
        self.as_of = datetime.date.fromisoformat(as_of)
        self.rows = {r["id"]: r for r in table(book, "animals.csv")}
        self.sires = {i: [(1.0, r["sire"])] if r["sire"] else [] for i, r in self.rows.items()}
        self.dams = {i: r["dam"] for i, r in self.rows.items()}
        lists = {}
        for row in table(book, "possible_sires.csv"):
            lists.setdefault(row["kid"], []).append(row)
        for kid, rows in lists.items():
            given = sum(float(r["probability"]) for r in rows if r["probability"])
            blank = sum(not r["probability"] for r in rows)
            self.sires[kid] = [(float(r["probability"]) if r["probability"] else (1 - given) / blank, r["sire"]) for r in rows]
        self.parents_of = {i: [s for _, s in self.sires.get(i, [])] + [d for d in [self.dams.get(i)] if d] for i in self.rows}
        self.generation = functools.lru_cache(None)(self._generation)
        self.kinship = functools.lru_cache(None)(self._kinship)
        self.offered = {r["sire"] for r in table(book, "sires.csv")}
        self.kidded = {r["doe"] for r in table(book, "kiddings.csv")} | {p for i in self.rows for p in self.parents_of[i]}
        self.examined = self.looks(table(book, "examinations.csv"))

    def looks(self, rows):
        names = {"animal", "fault", "found", "date", "age", "by", "note"}
        return {r["animal"] for r in rows if r.get("found") or any(v for k, v in r.items() if k not in names)}

    def _generation(self, a):
        return 1 + max((self.generation(p) for p in self.parents_of.get(a, [])), default=0)

    def _kinship(self, a, b):
        if a == b:
            return 0.5 * (1 + sum(p * self.kinship(s, self.dams[a]) for p, s in self.sires.get(a, []) if self.dams.get(a)))
        if self.generation(a) < self.generation(b):
            a, b = b, a
        sire = sum(p * self.kinship(s, b) for p, s in self.sires.get(a, []))
        return 0.5 * sire + (0.5 * self.kinship(self.dams[a], b) if self.dams.get(a) else 0.0)

    def here(self, i):
        return i in self.rows and (self.rows[i].get("owner") or "own") == "own"

    def living(self, i):
        row = self.rows.get(i, {})
        return not row.get("left") and not row.get("left_why")

    def sex(self, i):
        given = self.rows[i].get("sex")
        return given or ("doe" if i in set(self.dams.values()) else "")

    def is_kid(self, i):
        born = self.rows[i].get("born")
        if not born or youngest(born) < datetime.date(2000, 1, 1):
            return False
        day = min(youngest(born), self.as_of)
        months = (self.as_of.year - day.year) * 12 + self.as_of.month - day.month - (self.as_of.day < day.day)
        return months < MONTHS or (months == MONTHS and self.as_of.day == day.day)

    def ours(self):
        return [i for i in self.rows if self.here(i) and self.living(i)]

    def doors(self):
        bucks = set(self.offered)
        used = {s for v in self.sires.values() for _, s in v}
        for i in self.rows:
            if (self.rows[i].get("sex") or ("buck" if i in used else "")) != "buck" or not self.living(i):
                continue
            kids = [k for k in self.rows if i in (s for _, s in self.sires[k])]
            if any(self.here(x) for x in kids + self.parents_of[i]):
                bucks.add(i)
        return bucks


def recount(book, as_of, name):
    done = subprocess.run([PROGRAM, "keep", str(book), "--as-of", as_of, "--format", "json", "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{name}: {done.stderr}")
    answer, herd = json.loads(done.stdout), Herd(book, as_of)
    does = [i for i in herd.ours() if herd.sex(i) == "doe"]
    kids = [i for i in herd.ours() if herd.is_kid(i) and i not in herd.kidded]
    doe_kids = sorted(i for i in kids if herd.sex(i) == "doe")
    check(sorted(k["id"] for k in answer["kids"]) == doe_kids, f"{name}: kids {[k['id'] for k in answer['kids']]}, recounted {doe_kids}")
    check(answer["herd_does"] == len(does), f"{name}: {answer['herd_does']} does, recounted {len(does)}")
    doors = herd.doors()
    for kid in answer["kids"]:
        mean = sum(herd.kinship(kid["id"], d) for d in does) / len(does)
        check(abs(kid["kinship_to_herd"] - mean) < 1e-9, f"{name}: {kid['id']} to the herd {kid['kinship_to_herd']}, recounted {mean}")
        closed = {s: herd.kinship(kid["id"], s) for s in doors if herd.kinship(kid["id"], s) >= 0.03125 - 1e-12}
        got = {c["sire"]: c["inbreeding"] for c in kid["closes"]}
        check(set(got) == set(closed) and all(abs(got[s] - closed[s]) < 1e-9 for s in got), f"{name}: {kid['id']} closes {got}, recounted {closed}")
        check([c["sire"] for c in kid["closes"]] == sorted(got, key=lambda s: (-round(got[s] * 1e6), s.encode())), f"{name}: order of doors")
        seen["kids"] += 1
        seen["closes"] += len(got)
    blank = sorted((i for i in kids if i not in herd.examined), key=lambda i: i.encode())
    got = [entry if isinstance(entry, str) else entry["id"] for entry in answer["not_examined"]]
    check(got == blank, f"{name}: not examined {got}, recounted {blank}")
    seen["not examined"] += len(blank)
    order = [(k["fault_found"], -round(k["value"] * 1e6), round(k["kinship_to_herd"] * 1e6), k["id"].encode()) for k in answer["kids"]]
    check(order == sorted(order) and [k["rank"] for k in answer["kids"]] == list(range(1, len(order) + 1)), f"{name}: order")


def random_book(book, rng):
    animals, bucks, does = [], [], []

    def add(sire, dam, sex, born, **more):
        row = {"id": f"{'DBK'[len(animals) % 3]}{len(animals)}", "sire": sire, "dam": dam, "sex": sex, "born": born,
               "left": "", "left_why": "", "owner": rng.choice(["", "", "own", "Hill farm"])} | more
        animals.append(row)
        return row["id"]

    for k in range(8):
        (bucks if k < 3 else does).append(add("", "", "buck" if k < 3 else "doe", "2015-03-01"))
    looks, lists = [], []
    for year in (2018, 2021, 2024, 2026):
        young = {"buck": [], "doe": []}
        for _ in range(8):
            sex = rng.choice(["doe", "doe", "buck"])
            sire, dam = rng.choice(bucks), rng.choice(does)
            day = f"{year}-{rng.randrange(1, 9):02d}-{rng.randrange(1, 28):02d}"
            gone = year < 2026 and rng.random() < 0.3
            kid = add("" if rng.random() < 0.1 else sire, "" if rng.random() < 0.1 else dam, sex, day[:rng.choice([4, 7, 10, 10])],
                      left=f"{year + 1}-09" if gone else "", left_why="sold" if gone else "")
            if not animals[-1]["sire"] and rng.random() < 0.5:
                first, second = rng.sample(bucks, 2)
                lists += [{"kid": kid, "sire": first, "probability": "0.7"}, {"kid": kid, "sire": second, "probability": ""}]
            young[sex].append(kid)
            if rng.random() < 0.5:
                looks.append({"animal": kid, "fault": "teats", "found": "no", "date": "2026-09-10"})
        bucks, does = bucks[-3:] + young["buck"][:2], does[-4:] + young["doe"]
    rng.shuffle(animals)
    for name, rows in (("animals.csv", animals), ("examinations.csv", [r for r in looks]), ("possible_sires.csv", lists),
                       ("sires.csv", [{"sire": b, "terms": "own"} for b in bucks[-2:]] if rng.random() < 0.7 else [])):
        if rows:
            with (book / name).open("w", newline="") as out:
                writer = csv.DictWriter(out, rows[0].keys())
                writer.writeheader()
                writer.writerows(rows)


recount(DEMO, "2026-09-15", "demo")
with tempfile.TemporaryDirectory() as scratch:
    for n in range(BOOKS):
        folder = pathlib.Path(scratch) / str(n)
        folder.mkdir()
        random_book(folder, random.Random(SEED + n))
        recount(folder, "2026-09-15", f"seed {SEED + n}")
check(seen["kids"] > 2 * BOOKS and seen["closes"] > BOOKS and seen["not examined"] > BOOKS, f"too little was checked: {seen}")
for failure in failures[:12]:
    print("FAILED", failure)
print(seen, f"{len(failures)} failed")
sys.exit(1 if failures else 0)
