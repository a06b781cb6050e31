#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What the README shows is what the program and the library print.

    test_readme.py SOURCE BUILD PROGRAM COMPILER
"""
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

source, build, program, compiler = sys.argv[1:5]
readme = pathlib.Path(source, "README.md").read_text(encoding="utf-8")

shown = re.search(r"\$ doewright rank data-demo\n\n```\n(.*?)```", readme, re.DOTALL).group(1)
printed = subprocess.run([program, "rank", "data-demo", "--quiet"], cwd=source, capture_output=True, check=True).stdout.decode()
for block in shown.split("...\n"):
    if block.strip() not in printed:
        sys.exit("the ranking in the README is not what the program prints:\n" + block)

if shutil.which("pkg-config") is None:
    skip("pkg-config is missing", "pkg-config")
code = re.search(r"```cpp\n(.*?)```\n\n((?:    [^\n]*\n)+)", readme, re.DOTALL)
with tempfile.TemporaryDirectory() as place:
    subprocess.run(["cmake", "--install", build, "--prefix", place + "/prefix"], check=True, capture_output=True)
    found = next(pathlib.Path(place).rglob("doewright.pc"))
    flags = subprocess.run(["pkg-config", "--cflags", "--static", "--libs", "doewright"], check=True, capture_output=True,
                           env={"PKG_CONFIG_PATH": str(found.parent), "PATH": "/usr/bin:/bin"}).stdout.decode()
    main = pathlib.Path(place, "main.cpp")
    main.write_text(code.group(1), encoding="utf-8")
    subprocess.run([compiler, "-std=c++20", str(main), "-o", place + "/program", *shlex.split(flags)], check=True)
    out = subprocess.run([place + "/program"], capture_output=True, check=True).stdout.decode()
promised = "".join(line[4:] + "\n" for line in code.group(2).splitlines())
if out != promised:
    sys.exit(f"the README's program prints {out!r}, promised was {promised!r}")
print("1 passed, 0 failed")
