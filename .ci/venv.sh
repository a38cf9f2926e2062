#!/bin/sh
# Makes the virtual environment FOLDER with the first suitable Python, unless a working one is there.
#
#   sh .ci/venv.sh FOLDER
#
# PYTHON=... in the environment names the interpreter to take; it may be a command or a path.
set -eu

folder=$1

say() { echo "ribway: $*" >&2; }

# is_between PYTHON LOW HIGH: the command runs (a shim may exist and not run) and LOW <= its version < HIGH.
is_between() {
    "$1" -c "import sys; sys.exit(not ($2 <= sys.version_info[:2] < $3))" </dev/null >/dev/null 2>&1
}

# First a version that every dependency has wheels for, then any newer one.
find_python() {
    for high in "(3, 14)" "(4, 0)"; do
        for candidate in python3 python3.13 python3.12 python3.11 python3.14 python; do
            if is_between "$candidate" "(3, 11)" "$high"; then
                command -v "$candidate"
                return 0
            fi
        done
    done
    return 1
}

if [ -x "$folder/bin/python" ] && is_between "$folder/bin/python" "(3, 11)" "(4, 0)" \
    && "$folder/bin/python" -m pip --version >/dev/null 2>&1; then
    exit 0
fi

if [ -n "${PYTHON:-}" ]; then
    python=$PYTHON
    if ! is_between "$python" "(3, 11)" "(4, 0)"; then
        say "PYTHON=$python is not a Python 3.11 or newer that runs here."
        exit 1
    fi
elif ! python=$(find_python); then
    say "no Python 3.11 or newer found ($(python3 --version 2>&1 || echo 'no python3')):" \
        "install one, or name it: make PYTHON=/path/to/python3 ..."
    exit 1
fi

# Debian and its kin pack venv apart from Python.
if ! "$python" -c "import venv, ensurepip" >/dev/null 2>&1; then
    package="$("$python" -c 'import sys; print("python{}.{}-venv".format(*sys.version_info))')"
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        say "installing $package"
        sh "$(dirname "$0")/apt.sh" "$package"
    fi
    if ! "$python" -c "import venv, ensurepip" >/dev/null 2>&1; then
        say "$python cannot make a virtual environment: install its venv part (on Debian and Ubuntu:" \
            "sudo apt-get install $package) and start again."
        exit 1
    fi
fi

say "making $folder with $python ($("$python" -c 'import platform; print(platform.python_version())'))"
"$python" -m venv --clear "$folder"
