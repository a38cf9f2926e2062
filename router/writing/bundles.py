"""Bundles that do not bend as their corners ask, or are thicker than their bays are deep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.bundles import bundle_checks
from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.results import Finding, PlanRun
from ribway.models.plan.shell import PlanBay
from ribway.models.printed import Units, radius_down, radius_up, size_down, size_up


def bundle_findings(
    looms: Sequence[PlanLoom], runs: Sequence[PlanRun], bays: Sequence[PlanBay], above_deg: float, units: Units
) -> Iterator[Finding]:
    """What of the looms does not bend or does not fit.

    Args:
        looms, runs, bays: of the plan.
        above_deg: a change of direction above this is a bend [deg].
        units: the shop's.
    """
    checks = list(bundle_checks(looms, {run.id: run for run in runs}, bays, above_deg))
    stiff = [one for one in checks if one.cables > 1 and not one.bends]
    if stiff:
        yield Finding(
            level="note",
            code="bundle-bend",
            about=", ".join(dict.fromkeys(one.loom for one in stiff)),
            message="bundles that bend less than their corners ask: "
            + "; ".join(f"{one.section} has {_of(one.room_mm or 0.0, one.needs_mm, units)}" for one in stiff),
            remedy="leave them untaped for a hand's breadth at those corners, or lay them in a wider sweep",
        )
    deep = [one for one in checks if not one.fits]
    if deep:
        yield Finding(
            level="warning",
            code="bundle-deep",
            about=", ".join(dict.fromkeys(one.loom for one in deep)),
            message="thicker than its bay is deep: "
            + "; ".join(
                f"{one.section} is {size_up(one.thick_mm, units)}, the bay {size_down(one.depth_mm or 0.0, units)}"
                for one in deep
            ),
            remedy="lay its cables side by side there and not on top of one another, or part it with looms: apart",
        )


def _of(room_mm: float, needs_mm: float, units: Units) -> str:
    """The radius that a corner leaves of what is needed: ``51 of 55 mm``."""
    return f"{radius_down(room_mm, units).removesuffix(' mm')} of {radius_up(needs_mm, units)}"
