#!/bin/sh
# Sees to the things that pip cannot install. What is missing is installed as root with apt, else one sentence says what
# to install; either way the caller goes on, for only the part that needs the missing thing will stop.
#
#   sh .ci/system.sh VENV NEED...          NEED: gl, ngspice, browser
set -eu

here=$(dirname "$0")
venv=$1
shift

say() { echo "ribway: $*" >&2; }

# The packages that a need takes on Debian and its kin.
packages_for() {
    case $1 in
        gl) echo "libegl1 libgl1-mesa-dri" ;;
        ngspice) echo "ngspice" ;; # a circuit solver: tests hold the networks of sizing/ against it
        browser) echo "chromium fonts-dejavu-core" ;;
        *) say "no such need: $1"; return 1 ;;
    esac
}

is_met() {
    case $1 in
        gl) "$venv/bin/python" -m ribway.viewer.probe >/dev/null 2>&1 ;;
        ngspice) command -v ngspice >/dev/null ;;
        browser) command -v chromium || command -v chromium-browser || command -v google-chrome ;;
    esac
}

for need in "$@"; do
    packages=$(packages_for "$need")
    is_met "$need" >/dev/null && continue
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        say "installing $packages"
        # shellcheck disable=SC2086  # a list of packages
        sh "$here/apt.sh" $packages || true
        is_met "$need" >/dev/null && continue
    fi
    case $need in
        gl) "$venv/bin/python" -m ribway.viewer.probe >&2 || true ;;
        ngspice) say "the tests need the circuit solver ngspice; install it with: apt-get install ngspice" ;;
        browser) say "no Chromium found, so the tests of the report page will fail: install it (on Debian:" \
            "sudo apt-get install $packages)" ;;
    esac
done
