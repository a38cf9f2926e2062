"""A project planned for its cost alone: what came before on the same shell is used again, and nothing is audited yet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.told import TRIALS, Told, untold
from ribway.router.copper import unrounded_kg
from ribway.router.faults import RouterFaults
from ribway.router.memory import Memory
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.rising import planned
from ribway.router.shell.choose import shell_of, survey_of
from ribway.router.shell.parts import Shell
from ribway.router.shell.surveyed import from_bare_floor


@dataclass(frozen=True, eq=False)
class Tried:
    """A trial plan.

    Args:
        plan: without a bound; not audited.
        kg: copper of all routed runs before rounding [kg]; infinite if the plan is not complete.
        found: what was planned and what was found; None if nobody kept it.
    """

    plan: Plan
    kg: float
    found: tuple[Planning, State] | None = None


class Trying:
    """Plans variants of one project.

    Args:
        base_folder: where the project file lies.
        shell: the bare metal, if it is at hand; else each project's own.
        told: how many were planned.
        most: so many are expected at most.
    """

    def __init__(self, base_folder: Path, shell: Shell | None = None, told: Told = untold, most: int = 1) -> None:
        self._folder, self._shell = base_folder, shell
        self._memory = Memory()
        self._told, self._most, self._planned = told, most, 0

    def prepared(self, project: Project) -> Planning:
        """A project ready to be routed.

        Args:
            project: as the user counts.

        Raises:
            RouterFaults: places, names or cables that do not fit.
        """
        surveyed = survey_of(project)
        shell = self._shell or shell_of(project, self._folder)
        self._memory.turn()
        try:
            return Planning(surveyed, shell, None if self._shell is None else self._memory)
        except RouterFaults as faults:
            raise from_bare_floor(faults, surveyed.vehicle.datum.up) from faults

    def plan(self, project: Project, alternative: str = "") -> Tried:
        """Plan a project.

        Args:
            project: as the user counts.
            alternative: what to call it.

        Raises:
            RouterFaults: places, names or cables that do not fit, or circuits for which no stocked size is good enough.
        """
        self._told(TRIALS, self._planned, max(self._most, self._planned + 1))
        self._planned += 1
        planning = self.prepared(project)
        state = planned(planning)
        plan = written(planning, state, alternative, bounded=False)
        return Tried(plan, unrounded_kg(planning, state) if plan.complete else math.inf, (planning, state))


def trying_of(project: Project, base_folder: Path, told: Told = untold, most: int = 1) -> Trying:
    """What plans variants of a project on its own shell.

    Args:
        project: what the user said.
        base_folder: where the project file lies.
        told, most: as `Trying`.

    Raises:
        RouterFaults: a shell that cannot be made.
    """
    return Trying(base_folder, shell_of(project, base_folder), told, most)


def checked(tried: Tried) -> Plan:
    """The plan of a trial, audited.

    Args:
        tried: the trial.

    Raises:
        AuditError: it does not pass.
    """
    return audited(tried.plan)
