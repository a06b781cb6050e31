#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs the program as a keeper would and compares what she gets, byte for byte.

    run_golden.py --program PATH --demo DATA-DEMO [--update] CASE...

A case is a folder:
    cmd              one command line without the program's name, quoted as in a shell; lines that
                     begin with # are comments. {herd} is the case's own folder `herd` if it has one,
                     else data-demo; {demo} is always data-demo.
    herd/            optional: the herd book of this case
    stdin            optional: what comes in on standard input (else nothing)
    expected.stdout, expected.stderr    missing means empty
    expected.status  missing means 0
    expected.files/  optional: files that the run must leave in its folder, byte for byte

Each case runs in a fresh folder that holds copies of its herd book and of data-demo, so that the
names in messages are the same everywhere; the copies must be unchanged afterwards, and nothing may
be left behind that expected.files does not list. --update writes what came out as the new
expectation (a changed output is a decision: read the diff before you commit it).
"""
import argparse
import difflib
import pathlib
import shlex
import shutil
import subprocess
import sys
import tempfile

TIME_LIMIT = 300  # seconds; only so that a hung program ends as a failure
# Nothing of the caller's surroundings may reach the program.
SURROUNDINGS = {"PATH": "/usr/bin:/bin", "LC_ALL": "C.UTF-8", "TERM": "dumb", "TZ": "UTC"}


def arguments_of(case):
    lines = (case / "cmd").read_text(encoding="utf-8").splitlines()
    text = " ".join(line for line in lines if not line.lstrip().startswith("#"))
    herd = "herd" if (case / "herd").is_dir() else "data-demo"
    return [word.replace("{herd}", herd).replace("{demo}", "data-demo") for word in shlex.split(text)]


def files_under(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes()
            for p in sorted(folder.rglob("*")) if p.is_file()} if folder.is_dir() else {}


def run(program, demo, case):
    """What came out: the bytes of stdout, stderr, status and of the files that were written."""
    with tempfile.TemporaryDirectory() as place:
        here = pathlib.Path(place)
        if (case / "herd").is_dir():
            shutil.copytree(case / "herd", here / "herd")
        if demo.is_dir():
            shutil.copytree(demo, here / "data-demo")
        before = files_under(here)
        stdin = case / "stdin"
        ended = subprocess.run(
            [program, *arguments_of(case)], cwd=here, env=SURROUNDINGS, timeout=TIME_LIMIT,
            input=stdin.read_bytes() if stdin.is_file() else b"", capture_output=True, check=False)
        after = files_under(here)
    changed = sorted(name for name in before if after.get(name) != before[name])
    written = {name: data for name, data in after.items() if name not in before}
    return {"stdout": ended.stdout, "stderr": ended.stderr,
            "status": f"{ended.returncode}\n".encode()}, written, changed


def expected_of(case):
    def read(name, otherwise):
        path = case / f"expected.{name}"
        return path.read_bytes() if path.is_file() else otherwise
    return {"stdout": read("stdout", b""), "stderr": read("stderr", b""),
            "status": read("status", b"0\n")}, files_under(case / "expected.files")


def show_difference(name, expected, got):
    old, new = (data.decode("utf-8", "backslashreplace").splitlines(keepends=True)
                for data in (expected, got))
    lines = list(difflib.unified_diff(old, new, f"expected {name}", f"got {name}"))
    for line in lines[:200]:
        print(line if line.endswith("\n") else line + "\n\\ no newline at the end\n", end="")
    if len(lines) > 200:
        print(f"... and {len(lines) - 200} more lines")
    if not lines:
        print(f"{name}: differs in bytes that do not show (line ends?)")


def check(program, demo, case):
    got, written, changed = run(program, demo, case)
    expected, expected_files = expected_of(case)
    good = True
    for name in changed:
        print(f"the run changed {name}")
        good = False
    for name, old, new in ([(n, expected[n], got[n]) for n in ("status", "stderr", "stdout")] +
                           [(n, expected_files.get(n, b""), written.get(n, b""))
                            for n in sorted(set(written) | set(expected_files))]):
        if name in written and name not in expected_files:
            print(f"the run left a file that is not expected: {name}")
            good = False
        elif name in expected_files and name not in written:
            print(f"the run did not write {name}")
            good = False
        elif old != new:
            show_difference(name, old, new)
            good = False
    if not good:
        print(f"case {case.name}: {program.name} {shlex.join(arguments_of(case))}")
    return good


def update(program, demo, case):
    got, written, changed = run(program, demo, case)
    if changed:
        print(f"not updated, the run changed {changed[0]}")
        return False
    for name, empty in (("stdout", b""), ("stderr", b""), ("status", b"0\n")):
        path = case / f"expected.{name}"
        if got[name] == empty:
            path.unlink(missing_ok=True)
        else:
            path.write_bytes(got[name])
    shutil.rmtree(case / "expected.files", ignore_errors=True)
    for name, data in written.items():
        path = case / "expected.files" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return True


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=pathlib.Path, required=True)
    parser.add_argument("--demo", type=pathlib.Path, required=True)
    parser.add_argument("--update", action="store_true")
    parser.add_argument("cases", nargs="+", type=pathlib.Path)
    options = parser.parse_args()
    action = update if options.update else check
    program, demo = options.program.resolve(), options.demo.resolve()
    good = [action(program, demo, case.resolve()) for case in options.cases]
    print(f"{sum(good)} of {len(good)} cases {'updated' if options.update else 'as expected'}")
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main())
