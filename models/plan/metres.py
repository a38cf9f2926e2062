"""Metres of cable and of draw cord: bought by different names, and only one of them carries anything."""

from __future__ import annotations

from collections.abc import Iterable

from ribway.models.plan.results import PlanRun


def is_draw_cord(run: PlanRun) -> bool:
    """Whether a run is a cord to pull a cable by later, without any conductor."""
    return run.cores == 0


def cable_cut_m(runs: Iterable[PlanRun]) -> float:
    """Cable to cut: every piece of every run that has a conductor.

    Args:
        runs: laid runs, draw cords among them or not.

    Returns:
        Sum of cut lengths, tails included [m].
    """
    return sum(run.cut_m * run.pieces for run in runs if not is_draw_cord(run))


def draw_cord_cut_m(runs: Iterable[PlanRun]) -> float:
    """Draw cord to cut.

    Args:
        runs: laid runs, draw cords among them or not.

    Returns:
        Sum of cut lengths, tails included [m].
    """
    return sum(run.cut_m * run.pieces for run in runs if is_draw_cord(run))
