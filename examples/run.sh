#!/bin/sh
# SPDX-License-Identifier: MIT
# usage: sh examples/run.sh
# Installs what is missing (Debian 12), builds the program and runs its main job on data-demo: which buck,
# for which doe, this season. Can be run again at any time; does only what is not done yet.
set -eu
cd "$(dirname "$0")/.."
. .ci/need.sh
need run
cmake --preset release -DDOEWRIGHT_BUILD_TESTS=OFF -DDOEWRIGHT_BUILD_EXAMPLES=OFF >/dev/null
cmake --build --preset release --parallel "$(jobs_here)"
program=build/release/cli/doewright
echo
"$program" rank data-demo
cat <<TEXT

That was: $program rank data-demo
More to try:
  $program rank data-demo --doe Tansy           the whole account of one doe
  $program sire data-demo Alder                 one buck before he is hired
  $program kin data-demo Larch Willow           how two animals are related
  $program check data-demo                      what is wrong with the herd book
  $program start my-herd                        a herd book of your own to begin with
  $program --help
TEXT
