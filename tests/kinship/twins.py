#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Random herd books through the program, against independent computations.

    twins.py PROGRAM [BOOKS]

- the additive relationship matrix by numpy's plain tabular rule (Henderson 1976), n up to 400;
- kinship by Wright's path counting on a networkx graph (n up to 40, at most 1e5 paths);
- uncertain sires: the average over every assignment of the sires, one draw a litter (Henderson 1988);
- the worst reading by trying everything: every settling of the sires, every empty place, every animal
  that could stand there, each recomputed from the beginning;
- the promise on blanks: a parent added in a blank place of the sire's pedigree never worsens him.
"""
import csv
import datetime
import io
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
    import networkx
    import numpy
except ImportError as missing:
    skip(f"{missing}", "python3-numpy, python3-networkx")

PROGRAM = sys.argv[1]
BOOKS = int(sys.argv[2]) if len(sys.argv) > 2 else 120
SEED = 20260915
failures = 0


def fail(what):
    global failures
    failures += 1
    if failures <= 20:
        print("FAILED", what)


class Book:
    """Animals 0..n-1, parents first. sire/dam: index or None; lists: kid -> ([(sire, p)], litter)."""

    def __init__(self, rng, n, unsure, dates=True):
        self.rng = rng
        self.n = n
        self.names = [f"a{i}" for i in range(n)]
        rng.shuffle(self.names)
        self.sex = [rng.choice("bd") for _ in range(n)]
        if n > 1:
            self.sex[0], self.sex[1] = "b", "d"
        self.sire, self.dam = [None] * n, [None] * n
        self.shown_sex = [s if rng.random() < 0.85 else None for s in self.sex]
        self.born, self.left = [None] * n, [None] * n
        self.lists = {}
        start = datetime.date(2000, 1, 1)
        self.day = [start + datetime.timedelta(days=300 * i + rng.randrange(60)) for i in range(n)]
        for i in range(2, n):
            near = range(max(0, i - rng.choice([4, 8, 30])), i)
            bucks = [j for j in near if self.sex[j] == "b"]
            does = [j for j in near if self.sex[j] == "d"]
            if does and rng.random() < 0.75:
                self.dam[i] = rng.choice(does)
            if len(bucks) > 1 and unsure and rng.random() < 0.25 and len(self.lists) < 4:
                chosen = rng.sample(bucks, rng.choice([2, 2, 3]) if len(bucks) > 2 else 2)
                total = rng.choice([1.0, 1.0, 0.75])
                cuts = [rng.randrange(1, 5) for _ in chosen]
                self.lists[i] = ([(b, total * c / sum(cuts)) for b, c in zip(chosen, cuts)], "")
            elif bucks and rng.random() < 0.75:
                self.sire[i] = rng.choice(bucks)
        for i in list(self.lists):  # a litter mate now and then
            if rng.random() < 0.4 and i + 1 < n and i + 1 not in self.lists and self.dam[i] is not None:
                pairs, _ = self.lists[i]
                self.lists[i] = (pairs, f"L{i}")
                self.lists[i + 1] = (pairs, f"L{i}")
                self.sire[i + 1], self.dam[i + 1] = None, self.dam[i]
                if self.dam[i + 1] is not None and self.dam[i + 1] >= i + 1:
                    raise AssertionError
        if dates:
            for i in range(n):
                if rng.random() < 0.8:
                    self.born[i] = self.day[i].isoformat()
                if rng.random() < 0.15:
                    self.left[i] = (self.day[i] + datetime.timedelta(days=rng.randrange(200, 6000))).isoformat()
        used_sire = {s for s in self.sire if s is not None} | {b for pairs, _ in self.lists.values() for b, _ in pairs}
        used_dam = {d for d in self.dam if d is not None}
        self.known_sex = [s or ("b" if i in used_sire else "d" if i in used_dam else None)
                          for i, s in enumerate(self.shown_sex)]

    def write(self, folder):
        rows = list(range(self.n))
        self.rng.shuffle(rows)
        words = {"b": "buck", "d": "doe", None: ""}
        name = lambda i: "" if i is None else self.names[i]
        with open(folder / "animals.csv", "w", newline="", encoding="utf-8") as out:
            w = csv.writer(out)
            w.writerow(["id", "sire", "dam", "sex", "born", "left"])
            for i in rows:
                w.writerow([self.names[i], name(self.sire[i]), name(self.dam[i]), words[self.shown_sex[i]],
                            self.born[i] or "", self.left[i] or ""])
        with open(folder / "possible_sires.csv", "w", newline="", encoding="utf-8") as out:
            w = csv.writer(out)
            w.writerow(["kid", "sire", "probability", "litter"])
            for kid, (pairs, litter) in self.lists.items():
                for buck, p in pairs:
                    w.writerow([self.names[kid], self.names[buck], repr(p), litter or f"own {kid}"])
        if not self.lists:
            (folder / "possible_sires.csv").unlink()

    def groups(self):
        """Stand-ins: [(pairs, kids)]; one draw a litter."""
        by = {}
        for kid, (pairs, litter) in sorted(self.lists.items()):
            by.setdefault(litter or f"own {kid}", (pairs, []))[1].append(kid)
        return list(by.values())


def tabular(sire, dam):
    """A by the plain tabular rule, parents first. A negative sire is a buck not in the book: litter mates may share him."""
    strangers = sorted({s for s in sire if s is not None and s < 0})
    if strangers:
        k = len(strangers)
        move = lambda p: None if p is None else strangers.index(p) if p < 0 else p + k
        return tabular([None] * k + [move(p) for p in sire], [None] * k + [move(p) for p in dam])[k:, k:]
    n = len(sire)
    a = numpy.zeros((n, n))
    for i in range(n):
        s, d = sire[i], dam[i]
        row = numpy.zeros(i)
        if s is not None:
            row += 0.5 * a[s, :i]
        if d is not None:
            row += 0.5 * a[d, :i]
        a[i, :i] = a[:i, i] = row
        a[i, i] = 1 + (0.5 * a[s, d] if s is not None and d is not None else 0)
    return a


def assignments(book):
    """Every settling of the unsure sires: (chance, sire column)."""
    groups = book.groups()
    options = []
    for g, (pairs, kids) in enumerate(groups):
        rest = 1 - sum(p for _, p in pairs)
        options.append(list(pairs) + ([(-1 - g, rest)] if rest > 1e-12 else []))
    for choice in itertools.product(*options):
        sire, chance = list(book.sire), 1.0
        for (buck, p), (_, kids) in zip(choice, groups):
            chance *= p
            for kid in kids:
                sire[kid] = buck
        yield chance, sire


def average_a(book):
    return sum(chance * tabular(sire, book.dam) for chance, sire in assignments(book))


def descendants(sire, dam, lists, top):
    below = {top}
    for i in range(len(sire)):
        parents = {sire[i], dam[i]} | {b for b, _ in lists.get(i, ((), ""))[0]}
        if parents & below:
            below.add(i)
    return below


def seven_months_later(day):
    month = day.month - 1 + 7
    year, month = day.year + month // 12, month % 12 + 1
    last = [31, 29 if year % 4 == 0 and (year % 100 or year % 400 == 0) else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    return datetime.date(year, month, min(day.day, last[month - 1]))


def could_be(book, y, x, role):
    want = "b" if role == "sire" else "d"
    if book.known_sex[y] not in (None, want):
        return False
    if book.born[x]:
        conceived = datetime.date.fromisoformat(book.born[x]) - datetime.timedelta(days=150)
        if book.born[y] and seven_months_later(datetime.date.fromisoformat(book.born[y])) > conceived:
            return False
        if book.left[y] and datetime.date.fromisoformat(book.left[y]) < conceived:
            return False
    return True


def order(sire, dam):
    """Parents first, after a parent was put in."""
    done, result = set(), []

    def visit(i, path):
        if i in done:
            return
        for p in (sire[i], dam[i]):
            if p is not None and p >= 0:
                visit(p, path)
        done.add(i)
        result.append(i)

    for i in range(len(sire)):
        visit(i, ())
    return result


def kinship_of(sire, dam, a, b):
    """Kinship of two animals in any order of rows."""
    placed = {old: new for new, old in enumerate(order(sire, dam))}
    back = sorted(placed, key=placed.get)
    re = lambda p: None if p is None else p if p < 0 else placed[p]
    return 0.5 * tabular([re(sire[i]) for i in back], [re(dam[i]) for i in back])[placed[a], placed[b]]


def ancestors(sire, dam, lists, animals):
    found, open_ = set(animals), list(animals)
    while open_:
        i = open_.pop()
        for p in [sire[i], dam[i]] + [b for b, _ in lists.get(i, ((), ""))[0]]:
            if p is not None and p not in found:
                found.add(p)
                open_.append(p)
    return found


def worst(book, a, b):
    """Everything tried; uncertain sires outside the ancestors of the two stay averages, which only matter
    where a candidate Y descends from them: so books for this hold all their unsure kids in reach or none."""
    near = ancestors(book.sire, book.dam, book.lists, [a, b])
    groups = [(pairs, kids) for pairs, kids in book.groups()]
    inside = [g for g in groups if set(g[1]) & near]
    outside = [g for g in groups if not set(g[1]) & near]
    best = 0.0

    def mean_kinship(sire):
        """Over the sires that stay averages."""
        total = 0.0
        options = []
        for g, (pairs, kids) in enumerate(outside):
            rest = 1 - sum(p for _, p in pairs)
            options.append(list(pairs) + ([(-1 - g, rest)] if rest > 1e-12 else []))
        for choice in itertools.product(*options):
            column, chance = list(sire), 1.0
            for (buck, p), (_, kids) in zip(choice, outside):
                chance *= p
                for kid in kids:
                    column[kid] = buck
            total += chance * kinship_of(column, book.dam, a, b)
        return total

    options = []
    for pairs, kids in inside:
        rest = 1 - sum(p for _, p in pairs)
        options.append([("buck", buck) for buck, _ in pairs] + ([("unlisted", None)] if rest > 1e-12 else []))
    outside_lists = {kid: (pairs, "") for pairs, kids in outside for kid in kids}
    for choice in itertools.product(*options):
        unlisted = [i for i, (kind, _) in enumerate(choice) if kind == "unlisted"]
        if len(unlisted) > 1:
            continue
        sire = list(book.sire)
        for (kind, buck), (_, kids) in zip(choice, inside):
            for kid in kids:
                sire[kid] = buck
        if not unlisted:
            best = max(best, mean_kinship(sire))
        xs = [a, b] + [p for x in (a, b) for p in (sire[x], book.dam[x]) if p is not None]
        for x in dict.fromkeys(xs):
            for role in ("sire", "dam"):
                if role == "sire" and (sire[x] is not None or x in outside_lists):
                    continue
                if role == "dam" and book.dam[x] is not None:
                    continue
                if unlisted:
                    kids = inside[unlisted[0]][1]
                    if role == "dam" or x not in kids:
                        continue
                else:
                    kids = [x]
                    if role == "sire" and x in book.lists and x not in outside_lists and sire[x] is None:
                        continue
                below = set().union(*(descendants(sire, book.dam, outside_lists, k) for k in kids))
                for y in range(book.n):
                    if y in below or not could_be(book, y, x, role):
                        continue
                    other = book.dam[x] if role == "sire" else sire[x]
                    if y == other:
                        continue
                    s2, d2 = list(sire), list(book.dam)
                    for k in kids:
                        if role == "sire":
                            s2[k] = y
                        else:
                            d2[k] = y
                    saved, book.dam = book.dam, d2
                    best = max(best, mean_kinship(s2))
                    book.dam = saved
    return best


def paths_kinship(sire, dam, a, b, f):
    """Wright 1922: sum over paths through common ancestors of (1/2)^animals (1 + F)."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(sire)))
    for i in range(len(sire)):
        for p in (sire[i], dam[i]):
            if p is not None:
                graph.add_edge(i, p)
    up = lambda i: networkx.descendants(graph, i) | {i}
    total, count = 0.0, 0
    for k in up(a) & up(b):
        to = lambda i: [[i]] if i == k else list(networkx.all_simple_paths(graph, i, k))
        for p in to(a):
            for q in to(b):
                count += 1
                if count > 100000:
                    return None
                if set(p) & set(q) == {k}:
                    total += 0.5 ** (len(p) + len(q) - 1) * (1 + f[k])
    return total


def run(*arguments):
    ended = subprocess.run([PROGRAM, *map(str, arguments), "--quiet", "--as-of", "2500-01-01"], capture_output=True, check=False, timeout=300)
    if ended.returncode != 0:
        raise SystemExit(f"{arguments}: {ended.returncode}: {ended.stderr.decode()[:2000]}")
    return ended.stdout.decode()


def close(x, y, what, limit=1e-12):
    if not abs(x - y) <= limit * max(1.0, abs(y)):
        fail(f"{what}: {x!r} instead of {y!r}")


with tempfile.TemporaryDirectory() as place:
    folder = pathlib.Path(place)
    for trial in range(BOOKS):
        rng = random.Random(SEED + trial)
        kind = trial % 4  # 0: plain and large now and then; 1: paths; 2, 3: unsure sires and the worst reading
        n = rng.choice([60, 150, 400]) if kind == 0 else rng.randrange(12, 40) if kind == 1 else rng.randrange(8, 18)
        book = Book(rng, n, kind >= 2)
        book.write(folder)
        tag = f"book {trial} (seed {SEED + trial})"
        a = average_a(book)
        got = {row["id"]: float(row["inbreeding"]) for row in csv.DictReader(io.StringIO(run("inbreeding", folder, "--format", "csv")))}
        for i in range(book.n):
            close(got[book.names[i]], a[i, i] - 1, f"{tag} F of {book.names[i]}")
        picked = [(rng.randrange(n), rng.randrange(n)) for _ in range(60)]
        (folder / "pairs").write_text("a,b\n" + "".join(f"{book.names[x]},{book.names[y]}\n" for x, y in picked))
        for (x, y), row in zip(picked, csv.DictReader(io.StringIO(run("kin", folder, "--pairs", folder / "pairs")))):
            close(float(row["kinship"]), 0.5 * a[x, y], f"{tag} kinship of {x}, {y}")
        for x, y in picked[:4]:
            kin = json.loads(run("kin", folder, book.names[x], book.names[y], "--format", "json"))
            close(sum(c["contribution"] for c in kin["common_ancestors"]), 0.5 * a[x, y], f"{tag} contributions {x}, {y}", 1e-10)
            if kin["paths_total"] == kin["paths_shown"]:
                close(sum(p["contribution"] for p in kin["paths"]), 0.5 * a[x, y], f"{tag} paths {x}, {y}", 1e-10)
                for c in kin["common_ancestors"]:
                    through = sum(p["contribution"] for p in kin["paths"] if p["ancestor"] == c["id"])
                    close(through, c["contribution"], f"{tag} paths through {c['id']}", 1e-10)
            for p in kin["paths"]:
                if len(set(p["animals"])) != len(p["animals"]):
                    fail(f"{tag}: a path visits an animal twice")
            if kind == 1:
                by_paths = paths_kinship(book.sire, book.dam, x, y, [a[i, i] - 1 for i in range(n)])
                if by_paths is not None:
                    close(kin["kinship"], by_paths, f"{tag} path counting {x}, {y}")
            if kind >= 2 and x != y:
                close(kin["kid_inbreeding_worst"], max(worst(book, x, y), kin["kid_inbreeding"]), f"{tag} worst of {x}, {y}", 1e-10)
        # The promise: a new parent in a blank place of the sire's pedigree never worsens him, when neither it nor an
        # ancestor of it is the doe or an ancestor of the doe.
        bucks = [i for i in range(n) if book.known_sex[i] == "b"]
        does = [i for i in range(n) if book.known_sex[i] == "d"]
        for _ in range(3):
            if not bucks or not does:
                break
            s, d = rng.choice(bucks), rng.choice(does)
            forbidden = ancestors(book.sire, book.dam, book.lists, [d])
            blanks = [(x, r) for x in sorted(ancestors(book.sire, book.dam, book.lists, [s]) - forbidden) for r in ("sire", "dam")
                      if (book.sire if r == "sire" else book.dam)[x] is None and not (r == "sire" and x in book.lists)]
            if not blanks:
                continue
            before = json.loads(run("kin", folder, book.names[s], book.names[d], "--format", "json"))["kid_inbreeding_used"]
            x, r = rng.choice(blanks)
            column = book.sire if r == "sire" else book.dam
            below = descendants(book.sire, book.dam, book.lists, x)
            fits = [y for y in range(n) if y not in below and not ancestors(book.sire, book.dam, book.lists, [y]) & forbidden
                    and book.known_sex[y] == ("b" if r == "sire" else "d") and y != (book.dam if r == "sire" else book.sire)[x]]
            if fits and rng.random() < 0.7:
                column[x] = rng.choice(fits)
            else:  # somebody new
                column[x] = n
                for each in (book.sire, book.dam, book.born, book.left):
                    each.append(None)
                book.names.append("new")
                book.sex.append("b" if r == "sire" else "d")
                book.shown_sex.append("b" if r == "sire" else "d")
                book.n += 1
            saved = (list(book.born), list(book.left))
            book.born, book.left = [None] * book.n, [None] * book.n
            book.write(folder)
            after = json.loads(run("kin", folder, book.names[s], book.names[d], "--format", "json"))["kid_inbreeding_used"]
            if after > before + 1e-12:
                fail(f"{tag}: a parent added in a blank place worsens the sire: {before} to {after}")
            book.born, book.left = saved
            column[x] = None
            if book.n > n:
                for each in (book.sire, book.dam, book.born, book.left, book.names, book.sex, book.shown_sex):
                    each.pop()
                book.n -= 1
            book.write(folder)

print(f"{BOOKS} books, seed {SEED}")
print("1 passed, 0 failed" if failures == 0 else f"0 passed, {failures} failed")
sys.exit(1 if failures else 0)
