#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Does the golden runner notice? A small program of known behaviour, and one change at a time."""
import contextlib
import io
import pathlib
import tempfile
import unittest

import run_golden

PROGRAM = """#!/bin/sh
case $1 in
  say) shift; echo "$@" ;;
  warn) echo careful >&2 ;;
  fail) exit 3 ;;
  read) cat "$2/animals.csv" ;;
  echo) cat ;;
  write) echo "$3" > "$2" ;;
esac
"""


class Golden(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.here = pathlib.Path(folder.name)
        self.program = self.here / "program"
        self.program.write_text(PROGRAM)
        self.program.chmod(0o755)
        self.demo = self.here / "demo"
        self.demo.mkdir()
        (self.demo / "animals.csv").write_text("demo\n")
        self.case = self.here / "case"
        self.case.mkdir()

    def given(self, **files):
        for name, text in files.items():
            path = self.case / name.replace("__", "/").replace("_", ".")
            path.parent.mkdir(exist_ok=True)
            path.write_text(text)

    def checked(self):
        with contextlib.redirect_stdout(io.StringIO()) as said:
            good = run_golden.check(self.program, self.demo, self.case)
        return good, said.getvalue()

    def assert_good(self):
        good, said = self.checked()
        self.assertTrue(good, said)

    def assert_bad(self, words):
        good, said = self.checked()
        self.assertFalse(good)
        self.assertIn(words, said)

    def test_output_as_expected_passes_and_another_output_fails_with_a_diff(self):
        self.given(cmd="say 'two words'\n", expected_stdout="two words\n")
        self.assert_good()
        self.given(expected_stdout="two word\n")
        self.assert_bad("-two word\n+two words")

    def test_a_warning_nobody_expected_fails(self):
        self.given(cmd="warn\n")
        self.assert_bad("+careful")

    def test_the_status_counts(self):
        self.given(cmd="fail\n")
        self.assert_bad("-0\n+3")
        self.given(expected_status="3\n")
        self.assert_good()

    def test_herd_is_the_cases_own_book_or_else_the_demo(self):
        self.given(cmd="read {herd}\n", expected_stdout="demo\n")
        self.assert_good()
        self.given(herd__animals_csv="own\n")
        self.assert_bad("+own")
        self.given(cmd="read {demo}\n")
        self.assert_good()

    def test_standard_input_is_given_or_empty(self):
        self.given(cmd="echo\n")
        self.assert_good()
        self.given(stdin="hay\n", expected_stdout="hay\n")
        self.assert_good()

    def test_files_that_the_run_leaves_must_be_expected_and_equal(self):
        self.given(cmd="write out.csv 1\n")
        self.assert_bad("left a file that is not expected: out.csv")
        folder = self.case / "expected.files"
        folder.mkdir()
        (folder / "out.csv").write_text("1\n")
        self.assert_good()
        (folder / "out.csv").write_text("2\n")
        self.assert_bad("-2\n+1")
        self.given(cmd="say\n", expected_stdout="\n")
        self.assert_bad("did not write out.csv")

    def test_a_run_that_changes_the_herd_book_fails(self):
        self.given(cmd="write data-demo/animals.csv 1\n")
        self.assert_bad("the run changed data-demo/animals.csv")

    def test_update_writes_what_came_out_and_no_empty_files(self):
        self.given(cmd="say hay\n", expected_stderr="old\n", expected_status="2\n")
        self.assertTrue(run_golden.update(self.program, self.demo, self.case))
        self.assertEqual((self.case / "expected.stdout").read_text(), "hay\n")
        self.assertFalse((self.case / "expected.stderr").exists())
        self.assertFalse((self.case / "expected.status").exists())
        self.assert_good()


if __name__ == "__main__":
    unittest.main()
