#!/bin/sh
# SPDX-License-Identifier: MIT
# usage: sh tests/run.sh [--core] [--all-or-fail]
# Installs what is missing (Debian 12), builds and passes all tests.
#   --core         the C++ tests alone (doctest is the only package beside those of the program)
#   --all-or-fail  a test that is skipped for want of a tool is a failure (as in CI)
set -eu
cd "$(dirname "$0")/.."
. .ci/need.sh
core=no
for argument in "$@"; do
  case "$argument" in
    --core) core=yes ;;
    --all-or-fail) DOEWRIGHT_NO_SKIP=1; export DOEWRIGHT_NO_SKIP ;;
    *) echo "usage: sh tests/run.sh [--core] [--all-or-fail]" >&2; exit 2 ;;
  esac
done
if [ "$core" = yes ]; then need run core; else need run core test; fi

jobs=$(jobs_here)
times=""
began=0
begin() { began=$(date +%s); echo "== $1"; }
end() { times="$times$(printf '%6.1f min  %s' "$(awk "BEGIN {print ($(date +%s) - $began) / 60}")" "$1")
"; }

# The sanitizers' build is the only one in which the doctest files are compiled.
begin "sanitizers: library and unit tests"
cmake --preset sanitize -DDOEWRIGHT_BUILD_CLI=OFF -DDOEWRIGHT_BUILD_EXAMPLES=OFF -DDOEWRIGHT_SCRIPT_TESTS=OFF \
  -DPython3_EXECUTABLE=/usr/bin/python3 >/dev/null
cmake --build --preset sanitize --parallel "$jobs"
ctest --test-dir build/sanitize --output-on-failure -j "$jobs"
end "sanitizers: library and unit tests"
if [ "$core" = yes ]; then echo "$times"; exit 0; fi

begin "thread sanitizer: engine rooms"
cmake --preset tsan >/dev/null
cmake --build --preset tsan --parallel "$jobs"
ctest --preset tsan
end "thread sanitizer: engine rooms"

begin "release: program, scripts, examples"
cmake --preset release -DDOEWRIGHT_BUILD_TESTS=ON -DDOEWRIGHT_BUILD_EXAMPLES=ON -DDOEWRIGHT_BUILD_UNIT_TESTS=OFF \
  -DPython3_EXECUTABLE=/usr/bin/python3 >/dev/null
cmake --build --preset release --parallel "$jobs"
end "release: program, scripts, examples"

begin "every public header compiles alone"
cmake --build --preset release --parallel "$jobs" --target all_verify_interface_header_sets
end "every public header compiles alone"

echo "Minutes a step before the last:"
printf '%s' "$times"
echo "== tests on the release build"
exec ctest --test-dir build/release --output-on-failure -j "$jobs"
