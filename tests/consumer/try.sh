#!/bin/sh
# SPDX-License-Identifier: MIT
# usage: try.sh WAY SOURCE BUILD COMPILER
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
    cmake -S "$here/project" -B "$here/build" -G Ninja -DDOEWRIGHT_SOURCE="$source" -DCMAKE_BUILD_TYPE=Debug \
      -DCMAKE_CXX_COMPILER="$compiler" -DCMAKE_CXX_COMPILER_LAUNCHER="$(command -v ccache || true)" >/dev/null
    cmake --build "$here/build" >/dev/null
    "$here/build/stranger"
    ;;
  pkg_config)
    command -v pkg-config >/dev/null || { echo "skipped: pkg-config is missing; package pkg-config brings it"; [ "${DOEWRIGHT_NO_SKIP:-0}" = 1 ] && exit 1; exit 77; }
    cmake --install "$build" --prefix "$here/prefix" >/dev/null
    found=$(find "$here/prefix" -name doewright.pc)
    PKG_CONFIG_PATH=$(dirname "$found")
    export PKG_CONFIG_PATH
    # shellcheck disable=SC2046
    "$compiler" -std=c++20 "$here/project/main.cpp" -o "$here/stranger" $(pkg-config --cflags --static --libs doewright)
    "$here/stranger"
    ;;
esac
