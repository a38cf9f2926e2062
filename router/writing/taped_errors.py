"""What a tape's own error does to runs whose length, or part of it, was taped."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.plan.results import PlanLeg, PlanRun
from ribway.router.chance.survey import Bound, Measurement
from ribway.router.chance.sway import Change
from ribway.router.laying.layer import SCHEMATIC, TAPED
from ribway.router.writing.survey import Survey

TAPED_LENGTH_ERROR_M = 0.02
"""How far a tape led round corners may be off, to either side; common practice, no source."""


def taped_surveys(runs: Sequence[PlanRun]) -> tuple[Survey, ...]:
    """A measurement for every taped run and every taped stretch in use; reading it again leaves the same error.

    Args:
        runs: of the plan.
    """
    found: dict[str, Survey] = {}
    for run in runs:
        for leg in run.legs:
            if leg.kind in SCHEMATIC:
                key = _key(run, leg)
                measurement = Measurement(key, TAPED_LENGTH_ERROR_M, TAPED_LENGTH_ERROR_M, ())
                if leg.kind == TAPED:
                    found[key] = Survey("circuit", run.circuit, f"run {run.id}: its length by tape", measurement)
                else:
                    found[key] = Survey("opening", leg.name, f"way {leg.name}: its length by tape", measurement)
    return tuple(found.values())


def taped_bounds(run: PlanRun) -> tuple[Bound, ...]:
    """What the tape's error does to one run: the same length, to either side.

    Args:
        run: of the plan.
    """
    return tuple(Bound(_key(run, leg), Change(0.0, TAPED_LENGTH_ERROR_M)) for leg in run.legs if leg.kind in SCHEMATIC)


def _key(run: PlanRun, leg: PlanLeg) -> str:
    return f"tape of run {run.id}" if leg.kind == TAPED else f"tape of way {leg.name}"
