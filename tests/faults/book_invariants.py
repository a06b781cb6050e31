#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What must not change an answer about faults: random herd books, changed in ways that say nothing new.

    book_invariants.py PROGRAM [BOOKS]

- rows of every table in another order;
- other ids;
- kin that nobody looked at, and strangers (more kids of those who have kids: a first kid would tell that
  its parents lived to breed);
- two herds that share no animal in one book.
Every number of `faults` and `rank` about faults stays: of one gene to 1e-12, of many genes (iterated until
nothing moves by more than the tolerance of the fit) to 1e-6. Kin nobody looked at leave those of `rank` as they
are to the last bit; `faults` answers for the new ones too, out of one sum for all, so there 1e-12 again.
"""
import csv
import json
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from random_book import AS_OF, Book

PROGRAM = sys.argv[1]
BOOKS = int(sys.argv[2]) if len(sys.argv) > 2 else 25
SEED = 20350202
failures = []
IDS = {"animals.csv": ("id", "sire", "dam"), "possible_sires.csv": ("kid", "sire"), "examinations.csv": ("animal",),
       "kid_counts.csv": ("sire", "dam"), "gene_tests.csv": ("animal",), "kiddings.csv": ("doe", "sire"),
       "services.csv": ("doe", "sire"), "does.csv": ("doe",), "sires.csv": ("sire",)}


def answer(folder, command):
    ran = subprocess.run([PROGRAM, command, str(folder), "--format", "json", "--quiet", "--as-of", AS_OF.isoformat()],
                         capture_output=True, check=False, timeout=300, text=True)
    return json.loads(ran.stdout) if ran.returncode == 0 else None


def numbers(folder):
    """(who, fault) or (sire, doe, fault) -> name -> numbers; None: the records contradict each other."""
    faults, rank = answer(folder, "faults"), answer(folder, "rank")
    if faults is None or rank is None:
        return None
    found = {}
    for one in faults["animals"]:
        found[one["id"], one["fault"]] = {name: one[name] for name in ("copies", "shows", "liability_mean", "liability_sd")}
    for doe in rank["does"]:
        for pair in doe["sires"]:
            for risk in pair["faults"]:
                found[pair["sire"], doe["doe"], risk["fault"]] = {
                    name: risk[name] for name in ("affected", "affected_told", "affected_low", "affected_high", "carrier",
                                                  "any_in_litter", "joint", "cov") if name in risk}
    return found


def flat(value):
    if isinstance(value, list):
        return [x for part in value for x in flat(part)]
    return [value]


def compare(tag, before, after, rename, exactly=False):
    if (before is None) != (after is None):
        failures.append(f"{tag}: {'now' if before is None else 'no longer'} answered")
        return
    for key, known in (before or {}).items():
        now = after.get(tuple(rename(part) for part in key[:-1]) + key[-1:])
        if now is None:
            failures.append(f"{tag} {key}: gone")
            continue
        for name, value in known.items():
            for a, b in zip(flat(value), flat(now[name]), strict=True):
                one_gene = known.get("copies") is not None or known.get("joint") is not None
                limit = 0.0 if exactly and len(key) == 3 else 1e-12 if one_gene else 1e-6
                if (a is None) != (b is None) or (a is not None and abs(a - b) > limit):
                    failures.append(f"{tag} {key} {name}: {a!r} became {b!r}")


def tables(folder):
    for file in IDS:
        if (folder / file).exists():
            with open(folder / file, newline="", encoding="utf-8") as text:
                yield file, list(csv.reader(text))


def write(folder, file, rows):
    with open(folder / file, "w", newline="", encoding="utf-8") as out:
        csv.writer(out, lineterminator="\n").writerows(rows)


def with_many_genes(folder, rng):
    """Faults of many genes, of known and of uncertain incidence, and looks for them."""
    with open(folder / "faults.toml", "a", encoding="utf-8") as out:
        for key, more in (("bowed", ""), ("loose", "incidence_worth = 30")):
            out.write(f'\n[{key}]\nmodel = "threshold"\nheritability = 0.5\nincidence_above = [0.2, 0.05]\n'
                      f'grades = ["no", "some", "much"]\n{more}\n')
    found = dict(tables(folder))
    who = [row[found["animals.csv"][0].index("id")] for row in found["animals.csv"][1:]]
    header, *rows = found.get("examinations.csv", [["animal", "fault", "found"]])
    looked = []
    for animal in who:
        for key in ("bowed", "loose"):
            if rng.random() < 0.5:
                looked.append([animal, key, rng.choice(["no", "no", "some", "much"])])
    if "fault" in header:
        for animal, key, grade in looked:
            named = {"animal": animal, "fault": key, "found": grade}
            rows.append([named.get(column, "") for column in header])
    else:  # a column a fault
        header += ["bowed", "loose"]
        rows = [row + ["", ""] for row in rows]
        for animal, key, grade in looked:
            named = {"animal": animal, key: grade}
            rows.append([named.get(column, "") for column in header])
    write(folder, "examinations.csv", [header, *rows])


def shuffled(folder, rng):
    for file, (header, *rows) in tables(folder):
        rng.shuffle(rows)
        write(folder, file, [header, *rows])


def renamed(folder, rename):
    for file, (header, *rows) in tables(folder):
        for row in rows:
            for k, column in enumerate(header):
                if column in IDS[file] and row[k]:
                    row[k] = rename(row[k])
        write(folder, file, [header, *rows])


def with_kin(folder, rng):
    """Kids of animals of the book, kids of those, and strangers: no word of any of them."""
    for file, (header, *rows) in tables(folder):
        if file != "animals.csv":
            continue
        column = {name: k for k, name in enumerate(header)}
        bucks = sorted({row[column["sire"]] for row in rows} - {""})
        does = sorted({row[column["dam"]] for row in rows} - {""})
        new = []
        for k in range(6):
            row = [""] * len(header)
            row[column["id"]] = f"new{k}"
            row[column["sex"]] = "wether" if k < 4 else "doe"
            if k < 4 and bucks and does:
                row[column["sire"]], row[column["dam"]] = rng.choice(bucks), rng.choice(does)
            elif k == 4 and does:
                row[column["dam"]] = rng.choice(does)
            new.append(row)
        write(folder, file, [header, *rows, *new])


def joined(one, other, folder):
    """Both herds in one folder; the settings are those of the first."""
    shutil.copytree(one, folder)
    of_other = dict(tables(other))
    for file, rows in list(tables(one)):
        header = rows[0]
        for row in of_other.pop(file, [header])[1:]:
            named = dict(zip(dict(tables(other))[file][0], row, strict=True))
            rows.append([named.get(column, "") for column in header])
        write(folder, file, rows)


def main():
    with tempfile.TemporaryDirectory() as work:
        work, answered, apart = pathlib.Path(work), 0, 0
        for number in range(BOOKS):
            rng = random.Random(SEED + number)
            first = work / f"{number}"
            first.mkdir()
            Book(rng).write(first)
            with_many_genes(first, rng)
            before = numbers(first)
            answered += before is not None

            def changed(name, change, base=first, number=number):
                folder = work / f"{number}-{name}"
                shutil.copytree(base, folder)
                change(folder)
                return numbers(folder)

            compare(f"book {number}, rows in another order", before,
                    changed("rows", lambda folder, rng=rng: shuffled(folder, rng)), lambda who: who)
            compare(f"book {number}, other ids", before,
                    changed("ids", lambda folder: renamed(folder, lambda who: f"Z{who[::-1]}x")), lambda who: f"Z{who[::-1]}x")
            compare(f"book {number}, kin nobody looked at", before,
                    changed("kin", lambda folder, rng=rng: with_kin(folder, rng)), lambda who: who, exactly=True)

            # A second herd with the same settings and names of its own.
            second = work / f"{number}-second"
            shutil.copytree(first, second)
            renamed(second, lambda who: f"other {who}")
            shuffled(second, rng)
            joined(first, second, work / f"{number}-joined")
            together = numbers(work / f"{number}-joined")
            apart += together is not None
            if before:  # what is found in one herd tells of an uncertain incidence in the other
                before = {key: known for key, known in before.items() if key[-1] != "loose"}
            compare(f"book {number}, beside a herd it shares nobody with", before, together, lambda who: who)
        if answered < BOOKS // 2 or apart < BOOKS // 2:
            failures.append(f"only {answered} and {apart} of {BOOKS} books were answered")
    for failure in failures[:40]:
        print("FAILED", failure)
    print(f"{BOOKS} books, {answered} answered, {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
