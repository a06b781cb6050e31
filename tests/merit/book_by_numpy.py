#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Breeding values of a herd book, from its tables to the JSON, against numpy alone.

    book_by_numpy.py PROGRAM HERD

Reads animals.csv, possible_sires.csv and kiddings.csv itself, writes relationships by the tabular
rule (uncertain sires as Henderson 1988), the variances of the built-in traits, V = Z A Z' VA + ...
as it is defined, and takes the best linear unbiased prediction from V^-1 (Henderson 1975). Wants the
built-in kids_born, kids_raised and help, and dates of kiddings to the day.
"""
import csv
import json
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
from skip import skip  # noqa: E402

try:
    import numpy as np
except ImportError as missing:
    skip(f"{missing}", "python3-numpy")

#         heritability, repeatability, deviation, change per 1 % F: lib/herdbook/built_in_traits.toml
TRAITS = {"kids_born": (0.13, 0.17, 0.60, -0.0026),
          "kids_raised": (0.09, 0.12, 0.65, -0.0023),
          "help": (0.05, 0.10, 0.50, 0.0)}
HELP = {"none": 0.0, "some": 1.0, "hard": 2.0}


def rows_of(herd, name):
    with open(herd / name, encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def parents_of(herd):
    """Each node's parents with their parts; nodes ("?", ...) are unsure sires that a litter shares."""
    parents, births = {}, {}
    for row in rows_of(herd, "animals.csv"):
        parents[row["id"]] = [(row[p], 0.5) for p in ("sire", "dam") if row[p]]
        births[row["id"]] = (row["dam"], row["born"])
    for named in [p for of in list(parents.values()) for p, _ in of]:
        parents.setdefault(named, [])
    lists = {}
    for row in rows_of(herd, "possible_sires.csv"):
        lists.setdefault(row["kid"], []).append((row["sire"], row["probability"]))
    for kid, named in lists.items():
        blank = sum(1 for _, chance in named if not chance)
        left = 1.0 - sum(float(chance) for _, chance in named if chance)
        bucks = tuple(sorted((s, float(c) if c else left / blank) for s, c in named))
        node = ("?", births[kid], bucks)
        parents[node] = list(bucks)
        parents[kid].append((node, 0.5))
    return parents


def relationships(parents):
    order, seen = [], set()

    def visit(node):
        if node in seen:
            return
        seen.add(node)
        for parent, _ in parents[node]:
            visit(parent)
        order.append(node)

    for node in parents:
        visit(node)
    place = {node: k for k, node in enumerate(order)}
    a = np.zeros((len(order), len(order)))
    for k, node in enumerate(order):
        parts = [(place[p], part) for p, part in parents[node]]
        for j in range(k):
            a[k, j] = a[j, k] = sum(part * a[p, j] for p, part in parts)
        if isinstance(node, tuple):
            a[k, k] = sum(part * a[p, p] for p, part in parts) + 1 - sum(part for _, part in parts)
        else:
            a[k, k] = 1 + (0.5 * a[parts[0][0], parts[1][0]] if len(parts) == 2 else 0)
    return place, a


def records_of(herd, trait):
    """(doe, value, parity) of every kidding that has one."""
    so_far, records = {}, []
    for row in sorted(rows_of(herd, "kiddings.csv"), key=lambda each: each["date"]):
        so_far[row["doe"]] = so_far.get(row["doe"], 0) + 1
        if row[trait]:
            value = HELP[row[trait]] if trait == "help" else float(row[trait])
            records.append((row["doe"], value, so_far[row["doe"]]))
    return records


def predicted(records, place, a, trait):
    h2, r, sd, per_percent = TRAITS[trait]
    va, vpe, ve = h2 * sd**2, (r - h2) * sd**2, (1 - r) * sd**2
    z = np.zeros((len(records), len(a)))
    for k, (doe, _, _) in enumerate(records):
        z[k, place[doe]] = 1
    y = np.array([v - per_percent * 100 * (a[place[d], place[d]] - 1) for d, v, _ in records])
    parities = sorted({p for _, _, p in records})
    x = np.array([[1.0] + [float(p == q) for q in parities] for _, _, p in records])
    v_inverse = np.linalg.inv(z @ a @ z.T * va + z @ z.T * vpe + np.eye(len(y)) * ve)
    spread = np.linalg.pinv(x.T @ v_inverse @ x)
    p = v_inverse - v_inverse @ x @ spread @ x.T @ v_inverse
    covariance = va * a @ z.T
    pev = va * np.diag(a) - np.einsum("ij,jk,ik->i", covariance, p, covariance)
    return covariance @ p @ y, 1 - pev / (va * np.diag(a))


def main():
    program, herd = sys.argv[1], pathlib.Path(sys.argv[2])
    ended = subprocess.run([program, "merit", str(herd), "--format", "json", "--quiet"],
                           capture_output=True, check=True)
    found = json.loads(ended.stdout)["animals"]
    place, a = relationships(parents_of(herd))
    for trait in TRAITS:
        records = records_of(herd, trait)
        values, reliabilities = predicted(records, place, a, trait)
        mine = [each for each in found if each["trait"] == trait]
        apart = max(max(abs(each["breeding_value"] - values[place[each["id"]]]),
                        abs(each["reliability"] - reliabilities[place[each["id"]]]))
                    for each in mine)
        animals = sum(1 for node in place if not isinstance(node, tuple))
        print(f"{trait}: {len(records)} records, {len(mine)} animals, largest difference {apart:.1e}")
        if len(mine) != animals or not records or apart > 1e-9:
            sys.exit(f"{trait}: not what numpy finds")


if __name__ == "__main__":
    main()
