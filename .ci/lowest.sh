#!/bin/sh
# Runs the tests on the oldest releases that pyproject.toml allows, in an environment of its own. Needs Python 3.11, the
# oldest Python, because old releases have no wheels for new ones.
#
#   sh .ci/lowest.sh FOLDER
set -eu

here=$(dirname "$0")
folder=$1

rm -rf "$folder" build
PYTHON=${PYTHON:-python3.11} sh "$here/venv.sh" "$folder"
"$folder/bin/python" "$here/lowest.py" >"$folder/constraints.txt"
cat "$folder/constraints.txt"
"$folder/bin/python" -m pip install -q --disable-pip-version-check -c "$folder/constraints.txt" ".[test]"
"$folder/bin/python" -m pip check
sh "$here/system.sh" "$folder" gl ngspice browser
"$folder/bin/pytest"
