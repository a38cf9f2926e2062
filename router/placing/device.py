"""Where to put a device: its field of bounds, and its best places planned."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.placing import PlacingField, PlannedPlace
from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.told import Told, untold
from ribway.router.faults import RouterFaults
from ribway.router.placing.field import Bounds
from ribway.router.placing.grid import tape_places
from ribway.router.placing.moving import device_of, moved_to, moved_with
from ribway.router.placing.room_prices import room_prices
from ribway.router.placing.search import best_first
from ribway.router.placing.spots import Spots, spots_of
from ribway.router.placing.trying import Tried, checked, trying_of
from ribway.router.planning import Planning
from ribway.router.space.bays import chart_skins


def places_for(
    project: Project,
    base_folder: Path,
    name: str,
    walls: Sequence[str] = (),
    step_m: float = 0.1,
    size_m: tuple[float, float] | None = None,
    most: int = 12,
    told: Told = untold,
) -> PlacingField:
    """Bound every place of a grid and plan the best.

    Args:
        project: what the user said.
        base_folder: where the project file lies.
        name: id of the device.
        walls: skins to look at; the device's own if none are named.
        step_m: distance between places along the tape [m].
        size_m: width and height of what has to find room around the place [m].
        most: places to plan at most, the present one included.
        told: how many of them were planned.

    Returns:
        The field with its plans.

    Raises:
        RouterFaults: no such device, a wall that the shell lacks, or a project that does not fit its shell.
        AuditError: the best plan does not pass its audit.
    """
    device_of(project, name)
    trying = trying_of(project, base_folder, told, most)
    ground = trying.prepared(project)
    spots = _spots(project, ground, name, walls, step_m, size_m)
    return planned_field(project, ground, spots, trying.plan, step_m, most)


def _spots(
    project: Project,
    ground: Planning,
    name: str,
    walls: Sequence[str],
    step_m: float,
    size_m: tuple[float, float] | None,
) -> Spots:
    """The present place, then the grid's."""
    device = device_of(project, name)
    datum = ground.project.vehicle.datum
    own = next(one.wall for one in ground.network.space.portals if one.device == name)
    grid = tape_places(device.at, chart_skins(ground.shell), walls or [own], step_m, datum.forward, datum.up)
    here = spots_of(project, ground, name, [device.at], clear_m=0.0)
    rest = spots_of(project, ground, name, [place for place in grid if place != device.at], size_m)
    return Spots(name, (*here.found, *rest.found), rest.refused)


def planned_field(
    project: Project, ground: Planning, spots: Spots, planner: Callable[[Project], Tried], step_m: float, most: int
) -> PlacingField:
    """Plan places by rising bound.

    Args:
        project: as the user counts.
        ground: the same made ready.
        spots: places, the present one first.
        planner: see `places_for`.
        step_m: between places [m].
        most: places to plan at most.
    """

    def variant(at: int) -> Project:
        return moved_to(project, spots.device, spots.found[at].place)

    group, bounds = moved_with(project, spots.device), Bounds(ground, spots)

    def learn(trial: Tried) -> NDArray[np.float64] | None:
        """Bounds that also know the room in openings, from the prices that say most of one plan."""
        prices = None if trial.found is None else room_prices(*trial.found)
        return None if prices is None else bounds.kg(prices)

    return field_of(
        project,
        device_of(project, spots.device),
        group,
        spots,
        bounds.kg(),
        variant,
        planner,
        step_m,
        most,
        learn,
    )


def field_of(
    project: Project,
    device: Device,
    group: Sequence[str],
    spots: Spots,
    bounds: NDArray[np.float64],
    variant: Callable[[int], Project],
    planner: Callable[[Project], Tried],
    step_m: float,
    most: int,
    learn: Callable[[Tried], NDArray[np.float64] | None] | None = None,
) -> PlacingField:
    """Plan places by rising bound, the first place before all others.

    Args:
        project: as the user counts.
        device: what is placed.
        group: it and what goes with it.
        spots: places.
        bounds: ``(n,)`` of each [kg].
        variant: the project with the device at a place.
        planner: plans it.
        step_m: between places [m].
        most: places to plan at most.
        learn: further bounds from a plan; None for none.
    """
    tried: dict[int, Tried] = {}

    def evaluate(at: int) -> tuple[float, PlannedPlace]:
        try:
            trial = planner(variant(at))
        except RouterFaults as faults:
            return math.inf, PlannedPlace(at=at, planned_kg=None, findings=tuple(str(one) for one in faults.faults))
        base = next(iter(tried.values()), trial).plan
        tried[at] = trial
        return trial.kg, _told(at, trial, base, group)

    def learned(what: PlannedPlace) -> list[float]:
        more = learn(tried[what.at]) if learn is not None and what.at in tried else None
        known: list[float] = (bounds if more is None else more).tolist()
        return known

    found = best_first(bounds.tolist(), evaluate, most, (0,), learned)
    at, kg, _ = min(found.tried, key=lambda one: (one[1], one[0]))
    if math.isfinite(kg):
        checked(tried[at])
    return PlacingField(
        project=project.name,
        device=device.id,
        name=device.name,
        step_m=step_m,
        points=tuple((round(x, 4), round(y, 4), round(z, 4)) for x, y, z in spots.points.tolist()),
        walls=tuple(spot.portals[spots.device].wall for spot in spots.found),
        places=tuple(spot.place for spot in spots.found),
        bound_kg=tuple(math.floor(kg * 1e6) / 1e6 if np.isfinite(kg) else None for kg in found.bounds),
        planned=tuple(what for _, _, what in found.tried),
        refused=dict(spots.refused),
        proven=found.proven,
        open_kg=None if math.isinf(found.open_bound) else math.floor(found.open_bound * 1e6) / 1e6,
    )


def _told(at: int, tried: Tried, base: Plan, group: Sequence[str]) -> PlannedPlace:
    """What a plan says of a place; a plan that is not complete has no cost."""
    plan = tried.plan
    known = {(one.code, one.about) for one in base.findings} | {(one.code, "") for one in base.findings}
    fresh = [
        one
        for one in plan.findings
        if (one.level == "error" and (one.code, one.about) not in known)
        or (one.level == "warning" and (one.code, "") not in known)
    ]
    sizes = [
        f"{run.id} {_cable(plan, run.cable)}" for run in plan.runs if {run.from_, run.to} & set(group) and run.circuit
    ]
    return PlannedPlace(
        at=at,
        planned_kg=math.ceil(tried.kg * 1e6) / 1e6 if math.isfinite(tried.kg) else None,
        copper_kg=plan.totals.copper_kg,
        cable_m=plan.totals.cable_m,
        worst_drop_percent=plan.totals.worst_drop_percent,
        holes_drilled=plan.totals.holes_drilled,
        sizes=tuple(sizes),
        findings=tuple(f"{one.about}: {one.message}" for one in fresh),
    )


def _cable(plan: Plan, name: str) -> str:
    return next((cable.name for cable in plan.cables if cable.id == name), name)
