#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes a herd book in which every free text tries to become markup, a script or a request.

    hostile.py FOLDER

No real data: the names are attacks. The page must show them as text and do nothing.
"""
import csv
import pathlib
import sys

ATTACKS = [
    '<script>document.title="OBEYED"</script>', '"><img src=x onerror=\'document.title="OBEYED"\'>',
    "</title><svg onload='document.title=\"OBEYED\"'>", "'-alert(1)-'", "</style><b>bold</b>", "{{1+1}} ${1+1}",
    '" onmouseover="document.title=`OBEYED`" x="', "&lt;b&gt;&amp;", "]]><!--", "javascript:document.title='OBEYED'",
]


def attack(k):
    return f"{ATTACKS[k % len(ATTACKS)]} {k}"


def table(folder, name, header, rows):
    with open(folder / name, "w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([header, *rows])


folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
ids = [f"<i>{k}</i>{ATTACKS[k % len(ATTACKS)]}" for k in range(7)]
parents = {0: (1, 2), 1: (3, 4), 2: (3, 5)}
columns = ["id", "sire", "dam", "sex", "born", "name", "breed", "horns", "litter", "owner", "breeder", "tags",
           "registration", "also", "colour", "note"]
rows = []
for k, each in enumerate(ids):
    sire, dam = parents.get(k, (None, None))
    rows.append([each, "" if sire is None else ids[sire], "" if dam is None else ids[dam],
                 "buck" if k in (1, 3, 6) else "doe", f"20{22 - 3 * k:02d}" if k < 6 else "2015", attack(k),
                 attack(k + 1).replace(":", "").replace("/", "").replace("=", ""), "horned",
                 *(attack(k + 2 + c) for c in range(8))])
table(folder, "animals.csv", columns, rows)
table(folder, "examinations.csv", ["animal", "fault", "found", "date", "by", "note"],
      [[ids[0], "teats", "yes", "2024-05-01", attack(1), attack(2)], [ids[2], "teats", "no", "2019-05-01", "", ""]])
table(folder, "health_tests.csv", ["animal", "disease", "result", "date", "laboratory"],
      [[ids[0], attack(0), attack(1), "2024-05-01", attack(2)]])
table(folder, "gene_tests.csv", ["animal", "fault", "result", "date", "laboratory"],
      [[ids[0], "g6s", "clear", "2024-05-01", attack(4)]])
table(folder, "records.csv", ["animal", "trait", "value", "date", "group"],
      [[ids[0], "birth_weight", "3.1", "2022-01-01", attack(3)]])
table(folder, "kiddings.csv", ["doe", "date", "kids_born", "note"], [[ids[0], "2024-03-01", "2", attack(5)]])
table(folder, "services.csv", ["doe", "sire", "from", "to", "how"], [[ids[0], ids[6], "2026-09-01", "", "seen"]])
table(folder, "does.csv", ["doe", "kids_for", "note"], [[ids[k], "keep", attack(k)] for k in (0, 2, 4, 5)])
table(folder, "sires.csv", ["sire", "terms", "from", "to", "fee", "owner", "note"],
      [[ids[k], "hired", "2026-10-05", "2026-11-20", "50", attack(k), attack(k + 1)] for k in (1, 3, 6)])
(folder / "season.toml").write_text('own_herd = "<b>own</b>"\ncurrency = "</p><b>"\n', encoding="utf-8")
(folder / "sire.txt").write_text(ids[1], encoding="utf-8")
(folder / "animal.txt").write_text(ids[0], encoding="utf-8")
