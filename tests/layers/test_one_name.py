#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""One name for one thing: no two headers define a type of the same name in our one namespace.

Two different structs of one name in two source files are no error to the compiler and break the program silently.
"""
import pathlib
import re
import sys
import tempfile

DEFINITION = re.compile(r"^(?:struct|class|enum class|enum|union)\s+(?:DOEWRIGHT_EXPORT\s+)?(\w+)\b(?!::)(?![^\n{]*;)", re.MULTILINE)


def names_twice(tree):
    seen, twice = {}, []
    for header in sorted(p for folder in ("include", "lib") for p in (tree / folder).rglob("*.hpp")):
        text = re.sub(r"//[^\n]*", "", header.read_text(encoding="utf-8"))
        for name in set(DEFINITION.findall(text)):
            if name in seen:
                twice.append(f"{name}: {seen[name]} and {header.relative_to(tree)}")
            seen[name] = header.relative_to(tree)
    return twice


with tempfile.TemporaryDirectory() as place:  # the check can turn red
    broken = pathlib.Path(place)
    (broken / "include").mkdir()
    (broken / "lib").mkdir()
    (broken / "include" / "a.hpp").write_text("struct Choice;\nclass DOEWRIGHT_EXPORT Herd {\n};\n")
    (broken / "lib" / "b.hpp").write_text("struct Choice {\n};\nstruct Inner;\n")
    (broken / "lib" / "c.hpp").write_text("struct Choice {\n};\nclass Herd final : Base {\n};\n")
    found = sorted(line.split(":")[0] for line in names_twice(broken))
    if found != ["Choice", "Herd"]:
        sys.exit(f"on a broken tree it finds {found}")
twice = names_twice(pathlib.Path(sys.argv[1]))
for line in twice:
    print("two types of one name:", line)
print("1 passed, 0 failed" if not twice else f"0 passed, {len(twice)} failed")
sys.exit(1 if twice else 0)
