#!/bin/sh
# SPDX-License-Identifier: MIT
# usage: check_shell.sh SOURCE - shellcheck over every shell script of the project.
set -eu
cd "$1"
if ! command -v shellcheck >/dev/null 2>&1; then
  if [ "${DOEWRIGHT_NO_SKIP:-0}" = 1 ]; then word=missing status=1; else word=skipped status=77; fi
  echo "$word: shellcheck is not there; package shellcheck brings it"
  exit $status
fi
shellcheck -x .ci/run .ci/need.sh examples/run.sh tests/run.sh tests/browser/install.sh tests/consumer/try.sh tests/scripts/check_shell.sh
