#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Has the program write pages, and a browser judge them (pages.mjs).

    test_pages.py PROGRAM DATA-DEMO TOOLS

TOOLS is a folder in which the packages of package.json are installed (install.sh does it).
"""
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
from skip import skip  # noqa: E402

PROGRAM, DEMO, TOOLS = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
node, chromium = shutil.which("node"), shutil.which("chromium")
if node is None:
    skip("pages cannot be judged", "nodejs")
if chromium is None:
    skip("there is no browser", "chromium")
if not (TOOLS / "node_modules/axe-core").is_dir():
    skip(f"the tools are not in {TOOLS}", "npm (then: sh tests/browser/install.sh)")


def page(file, command, *arguments):
    ended = subprocess.run([PROGRAM, command, *arguments, "--format", "html", "--as-of", "2026-09-15", "--quiet",
                            "-o", file], capture_output=True, text=True, check=False)
    if ended.returncode != 0:
        sys.exit(f"{command} {arguments} ends with {ended.returncode}: {ended.stderr}")


with tempfile.TemporaryDirectory() as folder:
    here = pathlib.Path(folder)
    subprocess.run([sys.executable, "-B", str(HERE / "hostile.py"), str(here / "hostile")], check=True)
    hostile = (here / "hostile/animal.txt").read_text(encoding="utf-8")
    (here / "hostile/animal.txt").unlink()
    (here / "hostile/sire.txt").rename(here / "hostile-sire.txt")
    scripts = str(here / "scripts")
    subprocess.run([sys.executable, "-B", str(HERE / "scripts.py"), scripts], check=True)
    attacked, crowd = str(here / "hostile"), str(here / "crowd")
    subprocess.run([sys.executable, "-B", str(HERE / "many.py"), crowd, "60", "40", f"{DEMO}/faults.toml"], check=True)
    # The book of a golden case, in which a doe has no choice but her own sire.
    avoid = str(here / "avoid")
    shutil.copytree(HERE.parent / "golden/plan/no-good-choice/herd", avoid)
    # Most sheets of paper; words that must stand on them.
    todo = {
        "teasel": (2, (), "pedigree", DEMO, "Teasel"),
        "campion": (2, (), "pedigree", DEMO, "Campion", "--generations", "3"),
        "larch": (2, (), "pedigree", DEMO, "Larch", "--generations", "5"),
        "hostile": (3, (), "pedigree", attacked, hostile),
        "scripts": (2, ("Θεοδώρα",), "pedigree", scripts, "G0", "--generations", "5"),
        "rank": (4, ("avoid: close kin", "Primrose", "veterinarian"), "rank", DEMO),
        "rank-one": (2, ("Tansy",), "rank", DEMO, "--doe", "Tansy"),
        "sire": (3, ("Ask his owner", "Primrose", "veterinarian"), "sire", DEMO, "Alder"),
        "rank-hostile": (4, (), "rank", attacked),
        "sire-hostile": (4, (), "sire", attacked, (here / "hostile-sire.txt").read_text(encoding="utf-8")),
        "plan": (1, ("Sedge", "Left open", "served on", "Kiddings expected", "veterinarian"), "plan", DEMO),
        "plan-hostile": (2, ("Who goes to whom",), "plan", attacked),
        "plan-crowd": (2, ("Doe59", "Buck02"), "plan", crowd),
        "plan-avoid": (1, ("Mind first", "is to be avoided"), "plan", avoid),
        "owner": (2, ("Comfrey", "condition"), "owner", DEMO, "Hornbeam"),
        "owner-hostile": (2, (), "owner", attacked, (here / "hostile-sire.txt").read_text(encoding="utf-8")),
        "rank-crowd": (60, ("Buck39", "Doe59"), "rank", crowd),
    }
    pages = []
    for name, (sheets, words, command, *arguments) in todo.items():
        file = str(here / f"{name}.html")
        page(file, command, *arguments)
        pages.append({"file": file, "sheets": sheets, "words": words, "light": name == "rank-crowd"})
    size = (here / "rank-crowd.html").stat().st_size
    if size >= 2_000_000:
        sys.exit(f"60 does with 40 sires make a page of {size} bytes")
    pages.append({"file": str(HERE / "broken.html"), "sheets": 2, "broken": [
        "element-required-attributes", "asks for ", "console: says something", "was obeyed", "no page of ours has",
        "contrast 2.85 of \"grey words", "of \"black on a weave", "only ", "axe html-has-lang", "axe button-name",
        "px wide on a phone", "sheets of A4", "sheets of Letter", "cut off on A4", "out of its card",
        "not on the paper of A4: nowhere"], "words": ["nowhere"]})
    (here / "pages.json").write_text(json.dumps(pages), encoding="utf-8")
    ended = subprocess.run([node, str(HERE / "pages.mjs"), str(TOOLS.resolve()), chromium, str(here / "pages.json")],
                           check=False, timeout=900)
    sys.exit(ended.returncode)
