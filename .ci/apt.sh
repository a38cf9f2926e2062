#!/bin/sh
# Installs Debian packages without asking; fails when that cannot be done. Run as root.
#
#   sh .ci/apt.sh PACKAGE...
set -eu

export DEBIAN_FRONTEND=noninteractive
log=$(mktemp)
trap 'rm -f "$log"' EXIT

if ! { apt-get update && apt-get install -y --no-install-recommends "$@"; } </dev/null >"$log" 2>&1; then
    tail -n 5 "$log" >&2
    echo "ribway: apt-get could not install: $*" >&2
    exit 1
fi
