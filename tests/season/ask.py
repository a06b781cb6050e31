# SPDX-License-Identifier: MIT
"""Asking the built program (the first argument of the script), and what was found wrong."""
import json
import subprocess
import sys

PROGRAM = sys.argv[1]
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


def printed(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--quiet"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr}")
    return done.stdout


def said(*words):
    """On one line: wherever a sentence is wrapped."""
    return " ".join(printed(*words).split())


def asked(*words):
    return json.loads(printed(*words, "--format", "json"))
