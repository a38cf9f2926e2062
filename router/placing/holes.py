"""Which holes that may be drilled are worth it: copper with each and without it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ribway.models.project import Project
from ribway.router.faults import RouterFaults
from ribway.router.placing.trying import Trying


@dataclass(frozen=True)
class HoleWorth:
    """One hole that may be drilled.

    Args:
        name: of the opening.
        runs: that pass it in the plan; empty if the plan does without.
        without_kg: copper before rounding if it is not drilled; infinite if there is no complete plan then [kg].
    """

    name: str
    runs: tuple[str, ...]
    without_kg: float


@dataclass(frozen=True)
class HolesWorth:
    """All of them.

    Args:
        with_kg: copper before rounding with all that the plan drills [kg]; infinite if it is not complete.
        none_kg: with none of them [kg].
        holes: one by one, in the order of the file.
        drill_costs_m: detour that the shop takes to save drilling one hole [m].
    """

    with_kg: float
    none_kg: float
    holes: tuple[HoleWorth, ...]
    drill_costs_m: float


def holes_worth(project: Project, trying: Trying) -> HolesWorth:
    """Plan a project with its holes to drill, without each that it uses, and without any.

    Args:
        project: what the user said.
        trying: plans its variants.

    Raises:
        RouterFaults: the project does not fit its shell.
    """
    now = trying.plan(project)
    may = [one.id for one in now.plan.openings if one.state == "drill"]
    runs = {one.id: one.runs for one in now.plan.openings}

    def without(names: list[str]) -> float:
        try:
            return trying.plan(_blocked(project, names)).kg
        except RouterFaults:
            return math.inf

    holes = tuple(HoleWorth(name, runs[name], without([name]) if runs[name] else now.kg) for name in may)
    used = [one.name for one in holes if one.runs]
    return HolesWorth(now.kg, without(used) if used else now.kg, holes, project.shop.drill_costs)


def _blocked(project: Project, names: list[str]) -> Project:
    openings = tuple(
        one.model_copy(update={"state": "blocked"}) if one.name in names else one for one in project.vehicle.openings
    )
    return project.model_copy(update={"vehicle": project.vehicle.model_copy(update={"openings": openings})})
