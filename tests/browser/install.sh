#!/bin/sh
# SPDX-License-Identifier: MIT
# Installs the pinned tools of the browser tests into build/browser, where the test looks for them.
# Does nothing if they are there. Fails softly: without them the test is skipped (and CI then fails).
set -eu
cd "$(dirname "$0")/../.."
mkdir -p build/browser
if cmp -s tests/browser/package-lock.json build/browser/installed-lock.json; then exit 0; fi
cp tests/browser/package.json tests/browser/package-lock.json build/browser/
npm ci --prefix build/browser --ignore-scripts --no-audit --no-fund --loglevel=error
cp tests/browser/package-lock.json build/browser/installed-lock.json
