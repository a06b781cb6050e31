#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""How the program behaves as a program: statuses, streams, whole files, closed pipes, threads, width."""
import csv
import io
import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import unicodedata

PROGRAM, DEMO = sys.argv[1], sys.argv[2]
failures = []


def run(*arguments, **more):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, timeout=120, check=False, **more)


def check(truth, what):
    if not truth:
        failures.append(what)


def width(text):
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


# Text fits 80 columns, without colour codes when nobody looks.
herd_ids = [row["id"] for row in csv.DictReader(open(DEMO + "/animals.csv", encoding="utf-8-sig"))]
sires = [row["sire"] for row in csv.DictReader(open(DEMO + "/sires.csv", encoding="utf-8-sig"))]
does = [row["doe"] for row in csv.DictReader(open(DEMO + "/does.csv", encoding="utf-8-sig"))]
texts = [["rank", DEMO], ["inbreeding", DEMO], ["kin", DEMO, sires[0], does[0]], ["--help"], ["rank", "--help"],
         ["rank", DEMO, "--doe", does[0]]] + [["sire", DEMO, each] for each in sires]
for command in texts:
    ended = run(*command)
    check(ended.returncode == 0, f"{command} ends with {ended.returncode}: {ended.stderr.decode()}")
    for line in ended.stdout.decode().splitlines():
        check(width(line) <= 80, f"{command}: a line of {width(line)} columns: {line}")
        check("\x1b" not in line, f"{command}: colour where nobody asked")

# The same bytes for any number of threads.
for form in ("text", "json", "csv"):
    outs = {run("rank", DEMO, "--format", form, "--threads", n).stdout for n in (1, 2, 7)}
    check(len(outs) == 1, f"rank --format {form} follows the number of threads")

# Ranking: nobody is left out, avoid last, then by value in whole millionths, then by id.
rank = json.loads(run("rank", DEMO, "--format", "json").stdout)
check(list(rank)[0] == "schema" and rank["schema"] == "doewright.rank/1", "schema stands first")
check([d["doe"] for d in rank["does"]] == does, "every doe put forward, in order")
for doe in rank["does"]:
    check(sorted(s["sire"] for s in doe["sires"]) == sorted(sires), f"{doe['doe']}: every sire on offer")
    keys = [(s["verdict"] == "avoid", -round(s["value"] * 1e6), s["sire"].encode()) for s in doe["sires"]]
    check(keys == sorted(keys), f"{doe['doe']}: order")
    check([s["rank"] for s in doe["sires"]] == list(range(1, len(sires) + 1)), f"{doe['doe']}: ranks")
    for s in doe["sires"]:
        worst = max([{"go": 0, "caution": 1, "avoid": 2}[r["verdict"]] for r in s["rules"]] or [0])
        check(["go", "caution", "avoid"][worst] == s["verdict"], f"{doe['doe']} x {s['sire']}: verdict is the strictest rule")
        check(s["kid_inbreeding"] <= s["kid_inbreeding_used"] + 1e-15, "used is never below recorded")
        check(s["kid_inbreeding_worst"] >= s["kid_inbreeding"] - 1e-15, "worst is never below recorded")
        check(abs(sum(a["contribution"] for a in s["common_ancestors"]) - s["kid_inbreeding"]) < 1e-10, "shares sum up")
rows = list(csv.reader(io.StringIO(run("rank", DEMO, "--format", "csv").stdout.decode())))
check(len(rows) == 1 + len(does) * len(sires) and len({len(r) for r in rows}) == 1, "rank as CSV is a table")

# The pedigree report of every animal: whole in every form, the same numbers as `inbreeding`, and no word of promise.
inbred = {row["id"]: row for row in csv.DictReader(io.StringIO(run("inbreeding", DEMO, "--format", "csv").stdout.decode()))}
PROMISES = re.compile(r"\b(safe|clean|free|guaranteed)\b", re.IGNORECASE)
for animal in herd_ids:
    said = {form: run("pedigree", DEMO, animal, "--format", form, "--generations", 5) for form in ("text", "json", "csv", "html")}
    check(all(ended.returncode == 0 for ended in said.values()), f"pedigree {animal} ends well")
    for form, ended in said.items():
        check(not PROMISES.search(ended.stdout.decode()), f"pedigree {animal} as {form} promises something")
    for line in said["text"].stdout.decode().splitlines():
        check(width(line) <= 80, f"pedigree {animal}: a line of {width(line)} columns: {line}")
    told = json.loads(said["json"].stdout)
    for key in ("inbreeding", "generations", "completeness"):
        check(abs(told[key] - float(inbred[animal][key])) < 1e-12, f"pedigree {animal}: {key} as in `inbreeding`")
    check(abs(sum(a["contribution"] for a in told["common_ancestors"]) - told["inbreeding"]) < 1e-10,
          f"pedigree {animal}: the ancestors' parts sum up")
    check(abs(sum(s["probability"] * s["inbreeding"] for s in told["if_sire"]) - told["inbreeding"]) < 1e-10,
          f"pedigree {animal}: F is the mean over the possible sires")
    places = sorted({a["place"] for a in told["ancestors"]}, key=lambda p: (len(p), p))
    check(len(places) == 62, f"pedigree {animal}: every place is there")
    for g in range(1, 6):
        known = sum(a["sire_probability"] or 0 for a in told["ancestors"] if len(a["place"]) == g)
        check(abs(known - told["known"][g - 1]) < 1e-12, f"pedigree {animal}: places of generation {g}")
    rows = list(csv.DictReader(io.StringIO(said["csv"].stdout.decode())))
    check([(r["place"], r["id"]) for r in rows] == [(a["place"], a["id"] or "") for a in told["ancestors"]],
          f"pedigree {animal}: CSV and JSON agree")

# Statuses, and an empty standard output unless the status is 0.
with tempfile.TemporaryDirectory() as place:
    here = pathlib.Path(place)

    def book(name, text):
        folder = here / name
        folder.mkdir(exist_ok=True)
        (folder / "animals.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
        return folder

    good = book("good", "id,sire,dam\nA,,\nB,,\nC,A,B\n")
    loop = book("loop", "id,sire,dam\nA,C,\nB,,\nC,A,B\n")
    (here / "closed").mkdir()
    for expected, command in [
            (2, ["rnak", DEMO]), (2, ["rank"]), (2, ["rank", here / "nowhere"]), (2, ["rank", DEMO, "--format", "xml"]),
            (2, ["rank", DEMO, "--as-of", "2026-02-30"]), (2, ["rank", DEMO, "--doe", "Nobody"]),
            (2, ["kin", good, "A", "Z"]), (2, ["kin", good, "A"]), (2, ["inbreeding", good, "--wobble"]),
            (2, ["inbreeding", good, "--threads", "0"]), (1, ["inbreeding", loop]), (1, ["kin", loop, "A", "B"]),
            (3, ["inbreeding", good, "-o", here / "no" / "such" / "file.csv"]), (0, ["inbreeding", good]),
            (0, ["inbreeding", loop, "--set-aside"])]:
        ended = run(*command)
        check(ended.returncode == expected, f"{command}: {ended.returncode} instead of {expected}: {ended.stderr.decode()}")
        check(expected == 0 or ended.stdout == b"", f"{command}: writes though it fails")
        check(expected == 0 or ended.stderr != b"", f"{command}: fails without a word")
    check(b"rank" in run("rnak", DEMO).stderr, "the nearest command is offered")
    check(run("check", loop).returncode == 1 and b"loop" in run("check", loop).stdout, "check prints and ends with 1")
    check(b"set aside" in run("inbreeding", loop, "--set-aside").stdout.splitlines()[0], "set aside is said on line one")

    # Output files are whole or absent, and never one of the inputs.
    out = here / "f.csv"
    check(run("inbreeding", good, "--format", "csv", "-o", out).returncode == 0 and out.read_text().count("\n") == 4, "-o writes")
    before = (good / "animals.csv").read_bytes()
    check(run("inbreeding", good, "-o", good / "animals.csv").returncode == 2, "-o refuses an input")
    check((good / "animals.csv").read_bytes() == before, "the herd book is untouched")
    out.write_text("old")
    check(run("inbreeding", loop, "-o", out).returncode == 1 and out.read_text() == "old", "a failing run leaves the old file")
    check(sorted(p.name for p in here.glob("*.part")) == [], "no half-made file is left behind")
    check(run("inbreeding", good, stdin=subprocess.DEVNULL, env={**os.environ, "LANG": "C"}).returncode == 0, "runs in C")

    # A full device is a failure that is said.
    if os.path.exists("/dev/full"):
        with open("/dev/full", "wb") as full:
            ended = subprocess.run([PROGRAM, "inbreeding", str(good)], stdout=full, stderr=subprocess.PIPE, check=False)
        check(ended.returncode == 3, f"a full device ends with {ended.returncode}")

    # A reader that goes away ends the run quietly.
    many = book("many", "id,sire,dam\n" + "".join(f"a{i},,\n" for i in range(50000)))
    pipe = subprocess.Popen([PROGRAM, "inbreeding", str(many)], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    pipe.stdout.read(10)
    pipe.stdout.close()
    error = pipe.stderr.read()
    check(pipe.wait() == 0 and error == b"", f"a closed pipe: {pipe.returncode} {error[:200]}")

    # Standard input as a lone animals.csv.
    ended = subprocess.run([PROGRAM, "inbreeding", "-", "--format", "csv"], input=(good / "animals.csv").read_bytes(),
                           capture_output=True, check=False)
    check(ended.returncode == 0 and ended.stdout.count(b"\n") == 4, "- is standard input")

    # Ids are arbitrary text, kept to the byte.
    odd = ['a b', 'c"d', 'e,f', '007', '7', 'Zoë', '山羊', "=1+1", "@x", "naïve; drop", "😀"]
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["id", "sire", "dam"])
    for i, each in enumerate(odd):
        writer.writerow([each, odd[0] if i > 1 else "", odd[1] if i > 1 else ""])
    strange = book("strange", text.getvalue())
    got = json.loads(run("inbreeding", strange, "--format", "json").stdout)
    check([a["id"] for a in got["animals"]] == odd, "odd ids come back unchanged")
    cells = [row[0] for row in csv.reader(io.StringIO(run("inbreeding", strange, "--format", "csv").stdout.decode()))][1:]
    check(cells == [("'" + e if e[0] in "=+-@" else e) for e in odd], "CSV is safe in a spreadsheet")
    check(json.loads(run("kin", strange, "007", "7", "--format", "json").stdout)["kinship"] == 0.25, "007 is not 7")

    # Hostile bytes never crash the program.
    source = random.Random(20260915)
    seed_text = "id,sire,dam,sex,born\nA,,,buck,2020\nB,,,doe,2020-02-30\nC,A,B,x,03/04/21\n".encode()
    for trial in range(200):
        data = bytearray(seed_text)
        for _ in range(source.randrange(1, 12)):
            place_in = source.randrange(len(data))
            data[place_in:place_in + source.randrange(3)] = bytes(source.randrange(256) for _ in range(source.randrange(4)))
        ended = run("check", book("hostile", bytes(data)))
        check(ended.returncode in (0, 1), f"hostile input {trial} (seed 20260915) ends with {ended.returncode}: {bytes(data)!r}")

for failure in failures[:40]:
    print("FAILED", failure)
print(f"{'1 passed, 0 failed' if not failures else f'0 passed, {len(failures)} failed'}")
sys.exit(1 if failures else 0)
