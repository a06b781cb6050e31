#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Compares a source tree with the law of layers (law.txt) and prints what breaks it.

    check_layers.py TREE              prints "file:line: kind: what"; status 1 if there is anything
    check_layers.py TREE --self-test  TREE is the broken tree: what is found must be exactly what
                                      TREE/expected.txt lists ("kind file" a line), and every kind
                                      that the checker knows must be among it
"""
import argparse
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
SUFFIXES = {".hpp", ".cpp", ".h"}
INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^">]+)[">]')

# What a header of ours must not show to a stranger's compiler.
HEAVY = re.compile(r"^(Eigen|boost|fmt|nlohmann|toml\+\+|toml|CLI|doctest)(/|$)|^(toml|json|CLI11)\.h")
OPT_IN_GRAPH_HEADER = "include/doewright/pedigree/boost_graph.hpp"

# Libraries that compile slowly: one source file each, in one folder.
SINGLE = {
    "one-cli11": (re.compile(r"^CLI(/|11\.)"), "cli"),
    "one-toml": (re.compile(r"^toml(\+\+/|\+\+\.|/|\.)"), "lib/herdbook"),
    "one-json": (re.compile(r"^nlohmann/"), "lib/report"),
}

# Not preceded by a member access or another name: x.time(), settle_time( and other::rand are fine.
START = r"(?<![\w.>:])(?:::)?(?:std::)?"
ENGINE_WORDS = {
    "clock": re.compile(
        r"\b(?:system|steady|high_resolution|utc|file)_clock\b"
        rf"|{START}(?:clock_gettime|gettimeofday|localtime|localtime_r|gmtime|gmtime_r|mktime)\s*\("
        rf"|{START}time\s*\(\s*(?:nullptr|NULL|0|&)|{START}clock\s*\(\s*\)\s*[^{{\s]"),
    "environment": re.compile(rf"{START}(?:secure_)?getenv\s*\("),
    "random": re.compile(
        rf"{START}(?:rand|srand|random|drand48)\s*\(|\brandom_device\b"
        r"|\bstd::(?:shuffle|sample|(?:normal|uniform_real|uniform_int)_distribution)\b"),
    "print": re.compile(
        r"\bstd::(?:cout|cerr|clog)\b|\bfmt::(?:print|println)\s*\(|\b(?:stdout|stderr)\b"
        rf"|{START}(?:printf|vprintf|puts|putchar|perror)\s*\("),
    "exit": re.compile(rf"{START}(?:exit|_exit|quick_exit|_Exit)\s*\("),
}
ENGINE_INCLUDES = {
    "iostream": {"iostream"},
    "file": {"fstream", "filesystem", "fcntl.h", "unistd.h", "sys/mman.h", "sys/stat.h"},
}
# Everywhere in the library: ways of reading and writing numbers that follow the locale.
LOCALE_WORDS = re.compile(
    rf"{START}(?:strtod|strtof|strtold|stod|stof|stold|atof|setlocale|sprintf|snprintf|sscanf)\s*\("
    r"|\bstd::locale\b")


def without_comments_and_strings(text):
    """The same lines, with comments and the insides of literals left out."""
    pattern = re.compile(
        r'R"(?P<mark>[^()\\\s]{0,16})\(.*?\)(?P=mark)"|//[^\n]*|/\*.*?\*/'
        r'|"(?:\\.|[^"\\\n])*"|(?<![0-9a-fA-F])\'(?:\\.|[^\'\\\n])+\'', re.DOTALL)
    return pattern.sub(lambda found: '""' + "\n" * found.group().count("\n"), text)


def without_comments(text):
    """For include lines, whose quotes must stay."""
    return re.sub(r"/\*.*?\*/", lambda found: "\n" * found.group().count("\n"), text, flags=re.DOTALL)


def read_law(path):
    may_use, engine = {}, set()
    for line in path.read_text(encoding="utf-8").splitlines():
        line = line.split("#")[0].strip()
        if not line:
            continue
        words = re.fullmatch(r"(engine|edge)\s+(\w+)\s*:\s*([\w ]*)", line)
        if not words:
            raise SystemExit(f"{path}: cannot read '{line}'")
        kind, room, lower = words.groups()
        may_use[room] = set(lower.split())
        if not may_use[room] <= set(may_use):
            raise SystemExit(f"{path}: {room} may use a room that is not below it")
        if kind == "engine":
            engine.add(room)
    return may_use, engine


class Checker:
    def __init__(self, tree, may_use, engine):
        self.tree, self.may_use, self.engine = tree, may_use, engine
        self.found = []  # (kind, file, line, what)
        self.single_users = {kind: [] for kind in SINGLE}

    def complain(self, kind, path, line, what):
        self.found.append((kind, path.relative_to(self.tree).as_posix(), line, what))

    def sources(self, folder):
        root = self.tree / folder
        return sorted(p for p in root.rglob("*") if p.suffix in SUFFIXES) if root.is_dir() else []

    def run(self):
        for top in ("lib", "include/doewright"):
            for folder in sorted((self.tree / top).glob("*/")):
                if folder.name not in self.may_use and not folder.name.startswith("."):
                    self.complain("room-not-listed", folder, 0, "this room is not in the law")
        for path in self.sources("lib"):
            self.check(path, room=self.room(path, 1), public=False)
        for path in self.sources("include/doewright"):
            self.check(path, room=self.room(path, 2), public=True)
            self.check_listed(path)
        for folder in ("cli", "examples", "tests/trial", "tests/consumer"):
            for path in self.sources(folder):
                self.check(path, room=None, public=False)
        self.check_single()
        return sorted(self.found)

    def room(self, path, depth):
        parts = path.relative_to(self.tree).parts
        return parts[depth] if len(parts) > depth + 1 else None

    def check(self, path, room, public):
        text = path.read_text(encoding="utf-8")
        for number, line in enumerate(without_comments(text).splitlines(), 1):
            include = INCLUDE.match(line)
            if include:
                self.check_include(path, number, include[1], include[2], room, public)
        for number, line in enumerate(without_comments_and_strings(text).splitlines(), 1):
            if INCLUDE.match(line):
                continue
            if room in self.engine:
                for kind, words in ENGINE_WORDS.items():
                    if found := words.search(line):
                        self.complain(kind, path, number, f"'{found.group().strip()}' in an engine room")
            if path.relative_to(self.tree).parts[0] in ("lib", "include"):
                if found := LOCALE_WORDS.search(line):
                    self.complain("locale", path, number, f"'{found.group()}' follows the locale")

    def check_include(self, path, number, mark, name, room, public):
        if name.startswith("doewright/"):
            self.check_law(path, number, name, room)
        elif mark == '"':
            if "/" in name or not (path.parent / name).is_file():
                self.complain("leaves-folder", path, number, f'"{name}" is not in this folder')
        elif name.split("/")[0] in self.may_use or name.startswith(("lib/", "..")):
            self.complain("leaves-folder", path, number, f"<{name}> is a private header")
        if public and HEAVY.match(name):
            if path.relative_to(self.tree).as_posix() != OPT_IN_GRAPH_HEADER or not name.startswith("boost/"):
                self.complain("heavy-header", path, number, f"<{name}> in a public header")
        if room in self.engine:
            for kind, names in ENGINE_INCLUDES.items():
                if name in names:
                    self.complain(kind, path, number, f"<{name}> in an engine room")
        for kind, (pattern, _) in SINGLE.items():
            if pattern.match(name):
                self.single_users[kind].append((path, number, name))

    def check_law(self, path, number, name, room):
        parts = name.split("/")
        target = parts[1] if len(parts) > 2 else None  # doewright/export.hpp belongs to no room
        if not (self.tree / "include" / name).is_file() and name != "doewright/export.hpp":
            self.complain("no-such-header", path, number, f"<{name}> is not there")
        if room is None or target is None or room not in self.may_use:
            return
        if target != room and target not in self.may_use[room]:
            self.complain("law", path, number, f"{room} may not use {target} (<{name}>)")

    def check_listed(self, path):
        """A public header that no CMakeLists.txt names would not be installed."""
        room = self.room(path, 2)
        if room is None:
            return
        listing = self.tree / "lib" / room / "CMakeLists.txt"
        if not listing.is_file() or f"{room}/{path.name}" not in listing.read_text(encoding="utf-8"):
            self.complain("header-not-installed", path, 0, f"lib/{room}/CMakeLists.txt does not name it")

    def check_single(self):
        for kind, (_, home) in SINGLE.items():
            users = self.single_users[kind]
            in_home = [u for u in users
                       if u[0].suffix == ".cpp" and u[0].parent == self.tree / home]
            for path, number, name in users:
                if (path, number, name) not in in_home:
                    self.complain(kind, path, number, f"<{name}> belongs into one .cpp of {home}/")
            files = sorted({u[0] for u in in_home})
            for path in files[1:]:
                self.complain(kind, path, 0, f"{files[0].name} of {home}/ has this library already")


def self_test(tree, found):
    expected = {tuple(line.split()) for line in
                (tree / "expected.txt").read_text(encoding="utf-8").splitlines()
                if line.strip() and not line.startswith("#")}
    got = {(kind, path) for kind, path, _, _ in found}
    kinds = ({"room-not-listed", "law", "leaves-folder", "heavy-header", "locale", "no-such-header",
              "header-not-installed"} | set(SINGLE) | set(ENGINE_WORDS) | set(ENGINE_INCLUDES))
    bad = [f"not found: {k} in {p}" for k, p in sorted(expected - got)]
    bad += [f"not expected: {k} in {p}" for k, p in sorted(got - expected)]
    bad += [f"no case for: {k}" for k in sorted(kinds - {k for k, _ in expected})]
    print("\n".join(bad) or f"the broken tree turned red for all {len(expected)} reasons")
    return 1 if bad else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("tree", type=pathlib.Path)
    parser.add_argument("--self-test", action="store_true")
    options = parser.parse_args()
    tree = options.tree.resolve()
    checker = Checker(tree, *read_law(HERE / "law.txt"))
    found = checker.run()
    if options.self_test:
        return self_test(tree, found)
    for kind, path, line, what in found:
        print(f"{path}:{line}: {kind}: {what}")
    files = len(checker.sources("lib")) + len(checker.sources("include/doewright"))
    if files == 0:
        print(f"no sources under {tree}")
        return 1
    print(f"{files} files of the library looked at, {len(found)} against the law")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
