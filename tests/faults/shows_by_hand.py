#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Whether an animal shows a fault, where its copies alone do not tell: `faults` in books of two or three
animals, beside Bayes' rule written out here (DEFINITIONS 3 and 11).

    shows_by_hand.py PROGRAM
"""
import json
import pathlib
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
BUILT_IN = ["teats", "folded_ears", "short_ears", "topline", "polled", "intersex", "mannosidosis", "g6s", "myotonia"]
OFF = "".join(f"[{key}]\nuse = false\n" for key in BUILT_IN)
failures = []


def answer(tables, faults, season=""):
    with tempfile.TemporaryDirectory() as place:
        folder = pathlib.Path(place)
        for name, rows in tables.items():
            (folder / f"{name}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
        (folder / "faults.toml").write_text(faults, encoding="utf-8")
        (folder / "season.toml").write_text(season, encoding="utf-8")
        ran = subprocess.run([PROGRAM, "faults", str(folder), "--format", "json", "--as-of", "2035-01-01"],
                             capture_output=True, check=True, text=True)
    return json.loads(ran.stdout)


def check(what, told, animal, shows, copies=None, fault=None):
    one = next(a for a in told["animals"] if a["id"] == animal and fault in (None, a["fault"]))
    for name, got, want in (("shows", [one["shows"]], [shows]), ("copies", one["copies"], copies or one["copies"])):
        if any(abs(g - w) > 1e-12 for g, w in zip(got, want, strict=True)):
            failures.append(f"{what}: {name} {got} instead of {want}")


def founder(q):
    return [(1 - q) ** 2, 2 * q * (1 - q), q * q]


def bayes(prior, likelihood):
    both = [p * x for p, x in zip(prior, likelihood, strict=True)]
    return [x / sum(both) for x in both]


def entry(**lines):
    return OFF + "[e]\nmodel = \"locus\"\n" + "".join(f"{key.replace('__', '.')} = {value}\n" for key, value in lines.items())


def of_unknown_sex():
    """X-linked, kid of unknown sex. From an affected sire and a clear dam daughters carry and sons are clear; from
    a clear sire and a carrier dam half of the sons show it, and no daughter."""
    x = entry(inheritance='"x-linked"', allele_frequency=0.1, pattern='"recessive"', test_error=0)
    animals = ["id,sire,dam,sex", "S,,,buck", "D,,,doe", "K,S,D,"]
    for sire, dam, shows in (("affected", "clear", 0.0), ("clear", "carrier", 0.25)):
        told = answer({"animals": animals, "gene_tests": ["animal,fault,result", f"S,e,{sire}", f"D,e,{dam}"]}, x)
        check(f"sire {sire}, dam {dam}", told, "K", shows)
    # Affected sire, dam a founder: a son shows it with chance q, a daughter with chance q, too.
    told = answer({"animals": animals, "gene_tests": ["animal,fault,result", "S,e,affected"]}, x)
    check("sire affected, dam not known", told, "K", 0.1)


def dead_and_alive():
    q, b, survive = 0.1, [0.2, 0.2, 1.0], 0.9
    lethal = entry(allele_frequency=q, pattern='"recessive"', phenocopies=0.2, lethal_by_days=30,
                   detection="[[0, 0.5], [90, 1.0]]")
    animals = ["id,sex,born,left,left_why", "M,doe,2030-01-01,2030-01-05,died", "N,doe,2030-01-01,,", "O,doe,2030-01-01,,"]
    told = answer({"animals": animals, "examinations": ["animal,fault,found,age", "N,e,no,0"]}, lethal)
    died = [x + (1 - x) * (1 - survive) for x in b]
    copies = bayes(founder(q), died)
    check("died young", told, "M", sum(p * x / d for p, x, d in zip(copies, b, died, strict=True)), copies)
    lived = bayes(founder(q), [1 - x for x in b])
    check("lived, a hasty look", told, "N", 0.0, lived)
    check("lived, no look", told, "O", 0.0, lived)


def found_before_its_sex():
    """Scored in does alone; a buck's record would tell nothing, so the copies are half told."""
    q = 0.2
    told = answer({"animals": ["id,sex", "K,"], "examinations": ["animal,fault,found", "K,e,yes"]},
                  entry(allele_frequency=q, shown__doe="[[1, 0], [1, 0], [0, 1]]"))
    check("found, sex not known", told, "K", 1.0, bayes(founder(q), [0.5, 0.5, 1.0]))


def one_sample():
    q, e = 0.1, 0.005
    faults = OFF.replace("[polled]\nuse = false\n", "").replace("[intersex]\nuse = false\n", "")
    head = "animal,fault,result,date,laboratory"
    for rows, reads in ((["D,polled,carrier,2030-01-01,A", "D,intersex,carrier,2030-01-01,A"], [e, 1 - e, e]),
                        (["D,polled,carrier,2030-01-01,A", "D,intersex,clear,2030-01-01,A"], None),
                        (["D,polled,carrier,2030-01-01,A", "D,polled,clear,2030-01-01,A"], None)):
        told = answer({"animals": ["id,sex", "D,doe"], "gene_tests": [head, *rows]}, faults)
        copies = bayes(founder(q), reads) if reads else founder(q)
        check(f"one sample, {rows}", told, "D", copies[1] + copies[2], copies, "polled")
        said = any("tests-differ" in warning for warning in told["warnings"])
        if said != (reads is None):
            failures.append(f"{rows}: {'' if said else 'not '}said that they differ")


of_unknown_sex()
dead_and_alive()
found_before_its_sex()
one_sample()
for failure in failures:
    print("FAILED", failure)
sys.exit(1 if failures else 0)
