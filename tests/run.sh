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

jobs=$(jobs_here)
minutes="" broken="" test_folders=""

begin() { name=$1 began=$(date +%s); echo "== $name"; }
end() {
  minutes="$minutes$(awk "BEGIN {printf \"%6.1f\", ($(date +%s) - $began) / 60}") min  $name
"
}

# step NAME COMMAND...: runs it and notes the minutes. After a failure the other steps still run, so that
# one run tells everything; the last test then fails in this step's name.
step() {
  begin "$1"
  shift
  "$@" || broken="$broken  $name
"
  end
}

# build PRESET OPTION...: configures and builds one way of building.
build() {
  preset=$1
  shift
  cmake --preset "$preset" "$@" >/dev/null &&
    cmake --build --preset "$preset" --parallel "$jobs"
}

# ctest goes through all of the builds in one run: its closing lines count every test.
all_tests() {
  rm -rf build/all_tests
  mkdir -p build/all_tests
  {
    for folder in $test_folders; do echo "subdirs(\"$PWD/build/$folder\")"; done
    [ -z "$broken" ] || echo "add_test(every_step_before_the_tests sh -c \"echo 'failed:'; cat broken; exit 1\")"
  } >build/all_tests/CTestTestfile.cmake
  printf '%s' "$broken" >build/all_tests/broken
  echo "== Minutes a step, before the tests"
  printf '%s' "$minutes"
  echo "== tests"
  exec ctest --test-dir build/all_tests --output-on-failure -j "$jobs"
}

begin "packages"
if [ "$core" = yes ]; then need run core; else need run core test; fi
end

[ "$core" = yes ] || step "tools of the browser tests" sh tests/browser/install.sh

# The only build in which all doctest files are compiled.
step "sanitizers (address, undefined behaviour): library and unit tests" build sanitize \
  -DDOEWRIGHT_BUILD_CLI=OFF -DDOEWRIGHT_BUILD_EXAMPLES=OFF -DDOEWRIGHT_SCRIPT_TESTS=OFF
test_folders="sanitize"
if [ "$core" = yes ]; then all_tests; fi

step "sanitizer (threads): engine rooms and test_threads" build tsan
step "release: program, examples" build release \
  -DDOEWRIGHT_BUILD_TESTS=ON -DDOEWRIGHT_BUILD_EXAMPLES=ON -DDOEWRIGHT_BUILD_UNIT_TESTS=OFF \
  -DPython3_EXECUTABLE=/usr/bin/python3 -DDOEWRIGHT_WARNINGS_AS_ERRORS=ON
step "every public header compiles alone" \
  cmake --build --preset release --parallel "$jobs" --target all_verify_interface_header_sets
test_folders="$test_folders tsan/tests/threads release"
all_tests
