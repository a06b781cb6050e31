# SPDX-License-Identifier: MIT
# shellcheck shell=sh
# Sourced by the scripts: installs what is missing of the named sections of .ci/packages.

# need SECTION...: does nothing, and needs neither root nor network, if all is there.
need() {
  if ! command -v dpkg-query >/dev/null 2>&1; then
    echo "This is not Debian or a relative of it. What is needed stands in .ci/packages; going on without installing." >&2
    return 0
  fi
  missing=""
  for section in "$@"; do
    packages=$(sed -n "s/^$section //p" .ci/packages)
    for package in $packages; do
      # Other builds of nodejs bring npm along and do not stand Debian's package beside them.
      if [ "$package" = npm ] && command -v npm >/dev/null 2>&1; then continue; fi
      dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing="$missing $package"
    done
  done
  [ -z "$missing" ] && return 0
  as_root=""
  if [ "$(id -u)" != 0 ]; then
    if command -v sudo >/dev/null 2>&1; then
      as_root=sudo
    else
      echo "Please have these installed, then run this again: apt-get install$missing" >&2
      exit 3
    fi
  fi
  echo "Installing:$missing" >&2
  $as_root apt-get update -qq
  # shellcheck disable=SC2086
  $as_root env DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get install -y -qq \
    --no-install-recommends -o DPkg::Lock::Timeout=600 $missing >/dev/null
}

# jobs_here: as many compilers as there are cores, fewer where memory is short (about 0.7 GB each).
jobs_here() {
  cores=$(nproc 2>/dev/null || echo 1)
  memory=$(awk '/MemAvailable/ {print int($2 / 700000)}' /proc/meminfo 2>/dev/null || echo "$cores")
  [ "$memory" -lt 1 ] && memory=1
  [ "$memory" -lt "$cores" ] && cores=$memory
  echo "$cores"
}
