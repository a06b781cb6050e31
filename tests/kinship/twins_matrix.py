#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What kinship/ makes of random pedigrees, against matrices worked out by numpy alone.

    twins_matrix.py KINSHIP_DUMP [PEDIGREES]

- A by the plain tabular rule, the whole matrix at once (Henderson 1976), a stand-in's row the mean of its
  bucks' rows (Henderson 1988): F, kinship to 1e-12;
- its inverse by numpy.linalg.inv, which knows nothing of pedigrees, to 1e-9 of the largest entry;
- D from numpy's LDL' (the squared diagonal of the Cholesky factor, parents first) to 1e-9;
- Wright's path counting on a networkx graph for small pedigrees without unsure sires, to 1e-12.
"""
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    import networkx
    import numpy
except ImportError as missing:
    skip(f"{missing}", "python3-numpy, python3-networkx")

DUMP = sys.argv[1]
PEDIGREES = int(sys.argv[2]) if len(sys.argv) > 2 else 60
MOST_PATHS = 100_000
failures = 0


def check(off, limit, what):
    global failures
    if not off <= limit:
        failures += 1
        print(f"FAILED {what}: off by {off:.3g}, allowed {limit:.3g}")


def read(seed, animals, unsure):
    text = subprocess.run([DUMP, str(seed), str(animals), str(unsure)], capture_output=True, check=True, timeout=120).stdout.decode()
    parents, lists, f, rows, inverse, own = [], [], [], [], [], []
    for line in text.splitlines():
        kind, *cells = line.split()
        if kind == "animal":
            parents.append((int(cells[0]), int(cells[1])))
        elif kind == "list":
            lists.append([(int(cells[i]), float(cells[i + 1])) for i in range(0, len(cells), 2)])
        elif kind == "f":
            f = [float(c) for c in cells]
        elif kind == "k":
            rows.append([float(c) for c in cells])
        elif kind == "inverse":
            inverse.append((int(cells[0]), int(cells[1]), float(cells[2])))
        else:
            own = [float(c) for c in cells]
    return parents, lists, f, rows, inverse, own


def tabular(parents, lists):
    """A of animals and stand-ins (numbers n + s), and an order with parents first."""
    n, size = len(parents), len(parents) + len(lists)
    a = numpy.zeros((size, size))
    order, placed = [], numpy.zeros(size, dtype=bool)

    def place(i, links, diagonal):
        row = sum((part * a[p] for p, part in links), numpy.zeros(size))
        a[i, placed], a[placed, i] = row[placed], row[placed]
        a[i, i] = diagonal
        placed[i] = True
        order.append(i)

    def place_list(s):
        if not placed[n + s]:
            listed = sum(p for _, p in lists[s])
            place(n + s, lists[s], sum(p * a[b, b] for b, p in lists[s]) + (1 - listed))

    for i, (sire, dam) in enumerate(parents):
        if sire <= -2:
            place_list(-2 - sire)
            sire = n + (-2 - sire)
        links = [(p, 0.5) for p in (sire, dam) if p >= 0]
        place(i, links, 1 + (0.5 * a[sire, dam] if len(links) == 2 else 0))
    for s in range(len(lists)):
        place_list(s)
    return a, order


def by_paths(parents, x, y, a):
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(parents)))
    graph.add_edges_from((i, p) for i, pair in enumerate(parents) for p in pair if p >= 0)
    up = lambda i: networkx.descendants(graph, i) | {i}
    total, seen = 0.0, 0
    for k in up(x) & up(y):
        to = lambda i: [[i]] if i == k else list(networkx.all_simple_paths(graph, i, k))
        from_x, from_y = to(x), to(y)
        seen += len(from_x) * len(from_y)
        if seen > MOST_PATHS:
            return None
        for p in from_x:
            for q in from_y:
                if set(p) & set(q) == {k}:
                    total += 0.5 ** (len(p) + len(q) - 1) * a[k, k]
    return total


counted = 0
for seed in range(1, PEDIGREES + 1):
    animals = [20, 40, 120, 400][seed % 4] if seed % 12 else 400
    unsure = [0, 0, 25][seed % 3]
    tag = f"seed {seed}, {animals} animals, {unsure} % unsure"
    parents, lists, f, rows, inverse, own = read(seed, animals, unsure)
    a, order = tabular(parents, lists)
    n, size = len(parents), len(a)
    check(max(abs(f[i] - (a[i, i] - 1)) for i in range(n)), 1e-12, f"{tag}: F")
    check(max(abs(rows[i][j] - 0.5 * a[i, j]) for i in range(n) for j in range(i + 1)), 1e-12, f"{tag}: kinship")
    ours = numpy.zeros((size, size))
    for r, c, value in inverse:
        ours[r, c] = value
    theirs = numpy.linalg.inv(a)
    check(numpy.abs(ours - theirs).max() / numpy.abs(theirs).max(), 1e-9, f"{tag}: inverse")
    factor = numpy.linalg.cholesky(a[numpy.ix_(order, order)])
    squares = numpy.zeros(size)
    squares[order] = numpy.diag(factor) ** 2
    check(numpy.abs(numpy.array(own) - squares).max(), 1e-9, f"{tag}: D")
    if animals <= 40 and not lists:
        for x in range(n - 8, n):
            for y in range(n - 8, x + 1):
                paths = by_paths(parents, x, y, a)
                if paths is not None:
                    counted += 1
                    check(abs(rows[x][y] - paths), 1e-12, f"{tag}: paths of {x}, {y}")

if counted < 100:
    failures += 1
    print(f"FAILED only {counted} pairs could be counted path by path")
print(f"{PEDIGREES} pedigrees, seeds 1 to {PEDIGREES}, {counted} pairs counted path by path")
print("1 passed, 0 failed" if failures == 0 else f"0 passed, {failures} failed")
sys.exit(1 if failures else 0)
