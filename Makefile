# The commands of this project. Each makes .venv if it is missing and installs into it; only Python 3.11 or newer and
# make need to be there.
#
#   make demo     plan the demo van: papers, pictures and plan.json into out/, and a comparison of ways to do it
#   make test     run all tests, on a plain install as a user gets it
#   make gate     what else a change must pass; its parts: make format, make lint, make types, make imports
#   make bench    print timings; nothing is decided by them
#   make lowest   run all tests on the oldest dependencies that pyproject.toml allows
#   make desk     install for editing: what is changed here is what runs
#   make clean    remove what these commands made, but for .venv and out/
#
# make VENV=folder uses another environment, make PYTHON=/path/to/python3 another interpreter.

VENV ?= .venv
BIN := $(VENV)/bin
ROOMS := app models router sheets sizing viewer
DEMO := docs/demo/survey-van/project.yaml

# All that is installed. Folders count too: taking a file away changes its folder.
SOURCES := pyproject.toml LICENSE $(wildcard README.md) \
	$(shell find $(ROOMS) -name __pycache__ -prune -o -print | grep -v ' ')

export PYTHON
.DELETE_ON_ERROR:
.NOTPARALLEL:
.PHONY: help demo test gate format lint types imports bench lowest desk clean

help:
	@sed -n 's/^#   //p' Makefile

demo: $(VENV)/.ribway
	@sh .ci/system.sh $(VENV) gl
	$(BIN)/ribway plan $(DEMO) --out out --no-numbers
	$(BIN)/ribway compare $(DEMO)

test: $(VENV)/.ribway-test
	@sh .ci/system.sh $(VENV) gl ngspice browser
	$(BIN)/pytest -n auto --maxprocesses 4 --dist loadfile

gate: format lint types imports

format: $(VENV)/.ribway-gate
	$(BIN)/ruff format --check .

lint: $(VENV)/.ribway-gate
	$(BIN)/ruff check .

# mypy has to see the rooms under the names they are imported by, so it is shown a folder of links laid out that way:
# build/typing/ribway/ holds the files of app/ and, beside them, the other rooms. It is made anew each time. (A plain
# install has the same layout, but there a fault would be reported in .venv/ instead of in the file to be mended.)
types: $(VENV)/.ribway-gate
	rm -rf build/typing
	mkdir -p build/typing/ribway
	cd build/typing/ribway && ln -s ../../../app/* $(patsubst %,../../../%,$(filter-out app,$(ROOMS))) .
	MYPYPATH=build/typing $(BIN)/mypy -p ribway

imports: $(VENV)/.ribway-gate
	$(BIN)/lint-imports --no-cache

bench: $(VENV)/.ribway-test
	@set -e; for script in $(sort $(wildcard benchmarks/*.py)); do echo "== $$script"; $(BIN)/python $$script; done

lowest:
	sh .ci/lowest.sh .venv-lowest

desk:
	@sh .ci/venv.sh $(VENV)
	rm -f $(VENV)/.ribway*
	rm -rf build
	$(BIN)/python -m pip install -q --disable-pip-version-check -e ".[test,dev]" --config-settings editable_mode=strict

clean:
	rm -rf build dist *.egg-info .mypy_cache .ruff_cache .pytest_cache .hypothesis .venv-lowest
	find $(ROOMS) tests benchmarks .ci -name __pycache__ -prune -exec rm -rf {} +

# One mark for each way of installing. build/ goes first: setuptools would pack what an earlier build left in it.
$(VENV)/.ribway: EXTRAS :=
$(VENV)/.ribway-test: EXTRAS := [test]
$(VENV)/.ribway-gate: EXTRAS := [test,dev]
$(VENV)/.ribway $(VENV)/.ribway-test $(VENV)/.ribway-gate: $(SOURCES)
	@sh .ci/venv.sh $(VENV)
	rm -rf build
	$(BIN)/python -m pip install -q --disable-pip-version-check ".$(EXTRAS)"
	@touch $@
