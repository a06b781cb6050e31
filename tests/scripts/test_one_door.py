#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Markup leaves the library through one door, and no record can pass for markup.

    test_one_door.py TREE COMPILER

1. No literal in lib/ or cli/ holds an angle bracket, but for those of lib/report/html_writer.cpp (the
   door), html_names.hpp (which refuses them) and the few named below, which are no markup.
2. Statements that would let a record's text through as markup do not compile; their harmless
   neighbours do.
"""
import pathlib
import re
import subprocess
import sys
import tempfile

TREE, COMPILER = pathlib.Path(sys.argv[1]), sys.argv[2]
DOOR = {"lib/report/html_writer.cpp", "lib/report/html_names.hpp"}
# The reader knows a page that was saved under the name of a table; standard input has a name in complaints.
NO_MARKUP = {"lib/herdbook/csv_reader.cpp": {"<!doctype", "<html", "<head", "<?xml", "<table"},
             "lib/herdbook/lists.cpp": {"<stdin>"}, "lib/herdbook/read.cpp": {"<stdin>"}}
SCAN = re.compile(r'R"(?P<mark>[^()\\\s]{0,16})\((?P<raw>.*?)\)(?P=mark)"|//[^\n]*|/\*.*?\*/'
                  r'|"(?P<text>(?:\\.|[^"\\\n])*)"|(?<![0-9a-fA-F])\'(?P<char>(?:\\.|[^\'\\\n])+)\'', re.DOTALL)
# Markup begins with a bracket and a letter, a slash or a mark; "< 5" or "->" is none.
MARKUP = re.compile(r"<(?:[A-Za-z/!?]|$)|\\x3[cC]|\\74|\\u003[cC]")


def literals(source):
    code = re.sub(r"^\s*#[^\n]*", lambda m: " " * len(m[0]), source, flags=re.MULTILINE)
    for found in SCAN.finditer(code):
        text = next((found[g] for g in ("raw", "text", "char") if found[g] is not None), None)
        if text is not None:
            yield source.count("\n", 0, found.start()) + 1, text


def brackets(tree):
    for path in sorted(p for room in ("lib", "cli") for p in (tree / room).rglob("*")):
        name = path.relative_to(tree).as_posix()
        if path.suffix in (".cpp", ".hpp") and name not in DOOR:
            for line, text in literals(path.read_text(encoding="utf-8")):
                if MARKUP.search(text) and text not in NO_MARKUP.get(name, ()):
                    yield f"{name}:{line}: a literal with markup: {text[:60]!r}"


GOOD = ["w.text(record);", 'w.element("p", record);', 'w.leaf("p", {{HtmlSaid::title, record}});',
        'w.leaf("p", {{"class", "quiet"}});', 'sheet.add("p{margin:0}");', 'sheet.add("a{fill:url(#w1)}");']
BAD = ["w.element(record, record);", "w.leaf(record.c_str());", 'w.leaf("p", {{"class", record}});',
       'w.leaf("p", {{"class", record.c_str()}});', "w.leaf(\"p\", {{record.c_str(), \"x\"}});",
       "sheet.add(record);", "sheet.add(record.c_str());", 'w.leaf("script");', 'w.leaf("p", {{"onclick", "x"}});',
       'w.leaf("p", {{"href", "x"}});', 'w.leaf("p", {{"style", "x"}});', 'sheet.add("@import x");',
       'sheet.add("a{b:url(x)}");', 'sheet.add("</p");', 'w.leaf("p", {{"class", "a\\"b"}});', 'w.leaf("img");']


def compiles(place, statement):
    source = place / "try.cpp"
    source.write_text('#include "report/html_writer.hpp"\nusing namespace doewright;\n'
                      "void f(HtmlWriter& w, HtmlSheet& sheet, const std::string& record) "
                      "{ (void)w; (void)sheet; (void)record; " + statement + " }\n", encoding="utf-8")
    ended = subprocess.run([COMPILER, "-std=c++20", "-fsyntax-only", f"-I{TREE}/lib", f"-I{TREE}/include",
                            f"-I{place}", str(source)], capture_output=True, text=True, check=False)
    return ended.returncode == 0, ended.stderr


failures = list(brackets(TREE))
with tempfile.TemporaryDirectory() as folder:
    place = pathlib.Path(folder)
    (place / "lib").mkdir()
    (place / "lib/a.cpp").write_text('x = "<b>"; // "<i>"\ny = "1 < 2"; z = \'<\';\nw = R"(</p>)";\n', encoding="utf-8")
    found = [each.split(": ")[0] for each in brackets(place)]
    if found != ["lib/a.cpp:1", "lib/a.cpp:2", "lib/a.cpp:3"]:
        failures.append(f"the search itself is wrong: {found}")
    (place / "doewright").mkdir()
    (place / "doewright/export.hpp").write_text("#pragma once\n#define DOEWRIGHT_EXPORT\n", encoding="utf-8")
    for statement in GOOD:
        fine, said = compiles(place, statement)
        if not fine:
            failures.append(f"should compile: {statement}\n{said[:400]}")
    failures += [f"must not compile: {statement}" for statement in BAD if compiles(place, statement)[0]]
print("\n".join(failures) if failures else f"one door; {len(BAD)} ways around it do not compile")
sys.exit(1 if failures else 0)
