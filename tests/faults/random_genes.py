# SPDX-License-Identifier: MIT
"""Entries of faults.toml by chance, of one gene each: an invention, made only to be counted twice."""
from dataclasses import dataclass, field

BUILT_IN = ["teats", "folded_ears", "short_ears", "topline", "polled", "intersex", "mannosidosis", "g6s", "myotonia"]


@dataclass
class Fault:
    key: str
    x_linked: bool = False
    q: dict = field(default_factory=dict)     # by breed, with "other"
    grades: list = field(default_factory=lambda: ["no", "yes"])
    wanted: int = 0
    shown: dict = None                        # "doe"/"buck" -> rows, absent: not scored
    written: list = None                      # lines of the entry that say shown
    error: float = 0.005
    same_as: str = None
    detection: list = field(default_factory=lambda: [[0, 1.0]])
    repeat: str = "worst"
    lethal: int = None
    built_in: bool = False


def rows_of_chance(rng, grades, rows):
    table = []
    for _ in range(rows):
        kind = rng.random()
        if kind < 0.4:
            row = [0.0] * grades
            row[rng.randrange(grades)] = 1.0
        else:
            row = [rng.randrange(1, 10) for _ in range(grades)]
            row = [round(x / sum(row), 2) for x in row]
            row[-1] = round(1 - sum(row[:-1]), 2)
        table.append(row)
    return table


def pattern(rng, fault):
    """The shorthand, and what it stands for."""
    kind = rng.choice(["recessive", "dominant", "incomplete"])
    f = rng.choice([1.0, 1.0, 0.8])
    pheno = rng.choice([0.0, 0.0, 0.03])
    one = {"recessive": pheno, "dominant": f, "incomplete": 0.4}[kind]
    three = [[1 - p, p] for p in (pheno, one, f)]
    fault.shown = {"doe": three, "buck": [three[0], three[2]] if fault.x_linked else three}
    fault.written = [f'pattern = "{kind}"', f"penetrance = {f}", f"phenocopies = {pheno}"]
    if kind == "incomplete":
        fault.written.append("one_copy = 0.4")


def some_detection(rng):
    return rng.choice([[[0, 1.0]], [[0, 1.0], [180, 0.8]], [[0, 0.5], [365, 1.0]], [[0, 0.7]]])


def frequency(rng, by_breed):
    if by_breed:
        return {"other": rng.choice([0.02, 0.1, 0.3]), "nubian": rng.choice([0.05, 0.4])}
    return {"other": rng.choice([0.02, 0.1, 0.3])}


def faults_of_chance(rng):
    by_breed = rng.random() < 0.5
    coat = Fault("coat", q=frequency(rng, by_breed), detection=some_detection(rng), repeat=rng.choice(["worst", "latest"]))
    if rng.random() < 0.5:
        pattern(rng, coat)
    else:
        coat.grades, coat.wanted = ["low", "mid", "high"], rng.randrange(3)
        rows = rows_of_chance(rng, 3, 3)
        coat.shown, coat.written = {"doe": rows, "buck": rows}, [f"shown.any = {rows}"]
    sign = Fault("sign", q=coat.q, same_as="coat", detection=some_detection(rng))
    rows = rows_of_chance(rng, 2, 3)
    sign.shown, sign.written = {"doe": rows}, [f"shown.doe = {rows}"]
    link = Fault("link", x_linked=True, q=frequency(rng, by_breed), detection=some_detection(rng), error=0.01)
    if rng.random() < 0.5:
        pattern(rng, link)
    else:
        does, bucks = rows_of_chance(rng, 2, 3), rows_of_chance(rng, 2, 2)
        link.shown, link.written = {"doe": does, "buck": bucks}, [f"shown.doe = {does}", f"shown.buck = {bucks}"]
    early = Fault("early", q=frequency(rng, by_breed), lethal=30, detection=some_detection(rng))
    pattern(rng, early)
    recessive = Fault("quiet", q=frequency(rng, by_breed), detection=[[0, 1.0]],
                      shown={s: [[1, 0], [1, 0], [0, 1]] for s in ("doe", "buck")}, written=['pattern = "recessive"'])
    polled = Fault("polled", q={"other": 0.10}, shown={s: [[1, 0], [0, 1], [0, 1]] for s in ("doe", "buck")}, built_in=True)
    inter = Fault("intersex", q={"other": 0.10}, shown={"doe": [[1, 0], [1, 0], [0, 1]]}, same_as="polled",
                  detection=[[0, 0.5], [365, 1.0]], built_in=True)
    return {f.key: f for f in (coat, sign, link, early, recessive, polled, inter)}
