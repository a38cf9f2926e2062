"""What the error of a surveyed shell's scale does to runs: one error that all lengths of the metal share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from ribway.models.plan.results import PlanDevice, PlanLeg, PlanRun
from ribway.models.plan.shell import PlanOpening
from ribway.models.project import Project
from ribway.models.tape import TAPE_ERROR_M
from ribway.router.chance.survey import Bound, Measurement
from ribway.router.chance.sway import STEPS, WAYS, Change, Vector, stretch_m
from ribway.router.writing.survey import Survey

SCALE = "scale"
METAL = frozenset({"opening", "over", "duct", "inside"})
"""Legs whose whole length is the metal's."""
_NORMALS: Mapping[str, int] = {"left": 1, "right": 1, "roof": 2, "floor": 2, "bulkhead": 0, "rear": 0}
_LEAST_M = 1e-4


def scale_survey(project: Project, openings: Sequence[PlanOpening]) -> Iterator[Survey]:
    """The scale as a measurement: its error over the whole length, and what one tape along it would leave.

    Args:
        project: what was said; a vehicle without a scale error has none.
        openings: of the plan.
    """
    share = (project.vehicle.scale_error or 0.0) / 100.0
    reach_m = max((abs(value) for one in openings for value in one.centre), default=0.0)
    if share > 0.0 and reach_m > 0.0:
        error = share * reach_m
        what = "scale of the mesh: a long distance, front to rear say, by tape (a tape check of the survey)"
        yield Survey("shell", "", what, Measurement(SCALE, error, min(error, TAPE_ERROR_M), ()))


def scale_bounds(run: PlanRun, devices: Mapping[str, PlanDevice], share: float) -> Iterator[Bound]:
    """What an error of the scale does to one run.

    With the scale off by e all metal lies (1 + e) times as far from the datum: openings move along the van, across and
    up, and every length inside the metal grows with them. Where a device was placed by tape, it stays but for the wall
    that it is on, and a run changes by what openings move off its ends; where it was placed on the mesh, it moves too,
    and the run changes by e times its length. Which of the two holds nobody says: the greater change counts.

    Args:
        run: of the plan.
        devices: by id.
        share: bound of e.

    Returns:
        None for runs that are taped as a whole, and where nothing changes.
    """
    if share <= 0.0 or run.measured == "taped":
        return
    lengths = [scaled_m(run, devices, share * way) for way in WAYS]
    rest = lengths[STEPS // 2]
    mean = (sum(lengths) - (lengths[0] + lengths[-1]) / 2.0) / STEPS - rest
    bound = max(
        (max(lengths) - min(lengths)) / 2.0, share * sum(one.sharp_m for one in run.legs if one.kind in (*METAL, "bay"))
    )
    if bound >= _LEAST_M:
        yield Bound(SCALE, Change(max(0.0, mean), bound))


def scaled_m(run: PlanRun, devices: Mapping[str, PlanDevice], e: float) -> float:
    """A run's length on the metal with the scale off by a share.

    Args:
        run: of the plan.
        devices: by id.
        e: the share.

    Returns:
        Bays and ways [m]; stubs, boards and taped stretches, which do not change, are left out.
    """
    total = 0.0
    for index, leg in enumerate(run.legs):
        if leg.kind in METAL:
            total += (1.0 + e) * leg.sharp_m
        elif leg.kind == "bay":
            lay: Literal["square", "taut"] = "taut" if leg.lay == "taut" else "square"
            start, end = leg.points[0], leg.points[-1]
            round_m = leg.sharp_m - stretch_m(start, end, lay)
            a = _moved(start, run.legs[index - 1] if index else None, devices.get(run.from_), e)
            b = _moved(end, run.legs[index + 1] if index + 1 < len(run.legs) else None, devices.get(run.to), e)
            total += stretch_m(a, b, lay) + (1.0 + e) * max(0.0, round_m)
    return total


def _moved(point: Vector, beside: PlanLeg | None, device: PlanDevice | None, e: float) -> Vector:
    """One end of a bay's stretch, the scale off by a share."""
    if beside is not None and beside.kind != "stub":
        return (point[0] * (1.0 + e), point[1] * (1.0 + e), point[2] * (1.0 + e))
    axis = _NORMALS.get(device.wall) if device is not None else None
    x, y, z = (value * (1.0 + e) if number == axis else value for number, value in enumerate(point))
    return (x, y, z)
