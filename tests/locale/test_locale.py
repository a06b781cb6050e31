#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs the program under a locale with a decimal comma and compares with the C locale, byte for byte."""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

program, demo = sys.argv[1], sys.argv[2]
if shutil.which("localedef") is None:
    skip("localedef is missing", "locales")
commands = [["rank", demo, "--format", "json"], ["rank", demo], ["inbreeding", demo, "--format", "csv"],
            ["check", demo]]
with tempfile.TemporaryDirectory() as place:
    made = subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", place + "/de_DE.UTF-8"],
                          capture_output=True, check=False)
    if not pathlib.Path(place, "de_DE.UTF-8").exists():
        skip("the locale could not be made: " + made.stderr.decode()[:200], "locales")
    comma = {**os.environ, "LOCPATH": place, "LC_ALL": "de_DE.UTF-8"}
    seen = subprocess.run(["/usr/bin/printf", "%.1f", "0,5"], env=comma, capture_output=True, check=False)
    if seen.stdout != b"0,5":
        sys.exit("the locale with a decimal comma is not in force: the test would prove nothing")
    for command in commands:
        runs = [subprocess.run([program, *command], env=env, capture_output=True, check=False)
                for env in ({**os.environ, "LC_ALL": "C"}, comma)]
        if runs[0].stdout != runs[1].stdout or runs[0].returncode != runs[1].returncode:
            sys.exit(f"{command}: the output follows the locale")
        if runs[0].returncode != 0:
            sys.exit(f"{command}: ended with {runs[0].returncode}: {runs[0].stderr.decode()}")
print("1 passed, 0 failed")
