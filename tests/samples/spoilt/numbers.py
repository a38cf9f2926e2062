"""Plans in which a number of a run is not the one that was given to it, or was given before."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.run_numbers import RunNumber, with_runs
from samples.spoilt.changes import Spoilt


def _numbered(plan: Plan, *more: RunNumber, **other: dict[str, object]) -> Plan:
    """The plan with its own numbers, lines of some runs changed, and lines more."""
    own = (one.model_copy(update=other.get(one.run.replace("-", "_"), {})) for one in with_runs((), plan.runs))
    return plan.model_copy(update={"numbers": (*own, *more)})


def _gone(**said: object) -> RunNumber:
    line = {"run": "fridge-9", "circuit": "fridge", "role": "feed", "from": "board", "to": "old-fridge"}
    return RunNumber.model_validate(line | said)


NUMBERS = (
    Spoilt("number-twice", "fridge-1", lambda p: _numbered(p, _gone(run="fridge-1"))),
    Spoilt("number-twice", "fridge-1", lambda p: _numbered(p, _gone(before=["fridge-1"]))),
    Spoilt("number-of-another", "fridge-1", lambda p: _numbered(p, fridge_1={"to": "old-fridge"})),
    Spoilt("number-not-kept", "fridge-1", lambda p: _numbered(p, fridge_1={"run": "fridge-7"})),
)
