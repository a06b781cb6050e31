#!/bin/sh
# SPDX-License-Identifier: MIT
# usage: try.sh WAY SOURCE BUILD COMPILER
# WAY is how the stranger in project/ finds the library: find_package, add_subdirectory or pkg_config.
set -eu
way=$1 source=$2 build=$3 compiler=$4
here=$(mktemp -d)
trap 'rm -rf "$here"' EXIT
cp -r "$source/tests/consumer/project" "$here/project"
case "$way" in
  find_package)
    cmake --install "$build" --prefix "$here/prefix" >/dev/null
    cmake -S "$here/project" -B "$here/build" -G Ninja -DCMAKE_PREFIX_PATH="$here/prefix" -DCMAKE_CXX_COMPILER="$compiler" >/dev/null
    cmake --build "$here/build" >/dev/null
    "$here/build/stranger"
    ;;
  add_subdirectory)
    # As a shared library: only what the headers export can be linked, and an exception must be known on
    # both sides. No build type, and the rooms that the stranger enters with those below them: they are
    # compiled once more, and so that is quickest.
    cmake -S "$here/project" -B "$here/build" -G Ninja -DDOEWRIGHT_SOURCE="$source" -DCMAKE_BUILD_TYPE= -DBUILD_SHARED_LIBS=ON -DDOEWRIGHT_PRECOMPILED=ON \
      -DDOEWRIGHT_ROOMS="core;pedigree;herd;timing;kinship;herdbook" \
      -DCMAKE_CXX_COMPILER="$compiler" -DCMAKE_CXX_COMPILER_LAUNCHER="$(command -v ccache || true)" >/dev/null
    grep -q 'DOEWRIGHT_BUILD_CLI:BOOL=OFF' "$here/build/CMakeCache.txt" || { echo "a guest gets our program, too"; exit 1; }
    cmake --build "$here/build" >/dev/null
    "$here/build/stranger"
    ;;
  pkg_config)
    if ! command -v pkg-config >/dev/null; then
      echo "pkg-config is missing; package pkg-config brings it"
      [ "${DOEWRIGHT_NO_SKIP:-0}" = 1 ] && exit 1
      exit 77
    fi
    cmake --install "$build" --prefix "$here/prefix" >/dev/null
    found=$(find "$here/prefix" -name doewright.pc)
    PKG_CONFIG_PATH=$(dirname "$found")
    export PKG_CONFIG_PATH
    # shellcheck disable=SC2046
    "$compiler" -std=c++20 "$here/project/main.cpp" -o "$here/stranger" $(pkg-config --cflags --static --libs doewright)
    "$here/stranger"
    ;;
esac
