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


def page(herd, animal, file, *more):
    ended = subprocess.run([PROGRAM, "pedigree", herd, animal, "--format", "html", "--as-of", "2026-09-15", "--quiet",
                            "-o", file, *more], capture_output=True, text=True, check=False)
    if ended.returncode != 0:
        sys.exit(f"pedigree of {animal} ends with {ended.returncode}: {ended.stderr}")


with tempfile.TemporaryDirectory() as folder:
    here = pathlib.Path(folder)
    subprocess.run([sys.executable, "-B", str(HERE / "hostile.py"), str(here / "hostile")], check=True)
    hostile = (here / "hostile/animal.txt").read_text(encoding="utf-8")
    (here / "hostile/animal.txt").unlink()
    pages = []
    for name, arguments in {"teasel": (DEMO, "Teasel"), "campion": (DEMO, "Campion", "--generations", "3"),
                            "larch": (DEMO, "Larch", "--generations", "5"),
                            "hostile": (str(here / "hostile"), hostile)}.items():
        herd, animal, *more = arguments
        page(herd, animal, str(here / f"{name}.html"), *more)
        pages.append({"file": str(here / f"{name}.html"), "sheets": 3 if name == "hostile" else 2})
    pages.append({"file": str(HERE / "broken.html"), "sheets": 2, "broken": [
        "element-required-attributes", "asks for ", "console: says something", "was obeyed", "no page of ours has",
        "contrast 2.85 of \"grey words", "of \"black on a weave", "only ", "axe html-has-lang", "axe button-name",
        "px wide on a phone", "sheets of A4", "sheets of Letter"]})
    (here / "pages.json").write_text(json.dumps(pages), encoding="utf-8")
    ended = subprocess.run([node, str(HERE / "pages.mjs"), str(TOOLS.resolve()), chromium, str(here / "pages.json")],
                           check=False, timeout=300)
    sys.exit(ended.returncode)
