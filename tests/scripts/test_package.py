#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Makes the Debian packages and looks inside: right contents, right dependencies.

    test_package.py BUILD-FOLDER
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

for tool, package in (("cpack", "cmake"), ("file", "file"), ("dpkg-shlibdeps", "dpkg-dev")):
    if shutil.which(tool) is None:
        skip(f"{tool} is missing", package)


def output_of(*command):
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    if ended.returncode != 0:
        sys.exit(f"{' '.join(command)}\n{ended.stdout}{ended.stderr}")
    return ended.stdout


failures = []


def check(truth, what):
    if not truth:
        failures.append(what)


with tempfile.TemporaryDirectory() as place:
    output_of("cpack", "--config", str(pathlib.Path(sys.argv[1]) / "CPackConfig.cmake"), "-B", place)
    debs = {p.name.split("_")[0]: p for p in pathlib.Path(place).glob("*.deb")}
    check(sorted(debs) == ["doewright", "libdoewright-dev"], f"two packages, not {sorted(debs)}")
    depends, files = {}, {}
    for name, path in debs.items():
        depends[name] = output_of("dpkg-deb", "--field", str(path), "Depends")
        files[name] = [line.split()[-1].lstrip(".") for line in
                       output_of("dpkg-deb", "--contents", str(path)).splitlines() if line[0] == "-"]
    program, library = "doewright", "libdoewright-dev"
    for needed in ("libc6", "libfmt9", "libstdc++6"):
        check(needed in depends[program], f"the program does not depend on {needed}: {depends[program]}")
    check("libfmt-dev" in depends[library], f"the library does not depend on libfmt-dev: {depends[library]}")
    check("/usr/bin/doewright" in files[program], "the program is not in its package")
    check("/usr/share/doewright/data-demo/animals.csv" in files[program], "the demo herd is missing")
    check(not [f for f in files[program] if f.endswith((".hpp", ".a", ".cmake"))], "headers with the program")
    for ending in ("/doewright-config.cmake", "/doewright-config-version.cmake", "/doewright.pc",
                   "/libdoewright.a", "/include/doewright/export.hpp"):
        check([f for f in files[library] if f.endswith(ending)], f"{ending} is missing")
    # Unpacked elsewhere, the program runs on the demo herd that came with it.
    root = pathlib.Path(place) / "root"
    output_of("dpkg-deb", "--extract", str(debs[program]), str(root))
    said = output_of(str(root / "usr/bin/doewright"), "check", str(root / "usr/share/doewright/data-demo"))
    check(said.strip() != "", "the unpacked program says nothing")

print("\n".join(failures) or f"packages as they should be; the program needs {depends[program].strip()}")
sys.exit(1 if failures else 0)
