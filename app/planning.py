"""From what the user named to a plan: a saved one is read, a project is planned."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from ribway.models.alternatives import alternative_project
from ribway.models.file_kinds import PLAN_FILE, PROJECT_FILE
from ribway.models.named_faults import faults_at_names
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan, plan_file
from ribway.models.project import Project
from ribway.models.project_faults import Fault, PlanFaults, ProjectFaults
from ribway.models.reading import project_file
from ribway.models.told import FEW, stages_of
from ribway.speech import DefectError
from ribway.waiting_line import waiting_line

if TYPE_CHECKING:
    from ribway.router.errors import RouterError


def is_saved_plan(path: Path) -> bool:
    """Whether a path means a saved plan rather than a project.

    Args:
        path: a file or folder.

    Returns:
        True for a ``.json`` file, and for a folder with a plan but no project in it.
    """
    if os.path.isdir(path):
        return os.path.isfile(path / PLAN_FILE) and not os.path.isfile(path / PROJECT_FILE)
    return path.suffix.lower() == ".json"


def plan_of(path: Path, alternative: str = "", numbered: bool = True) -> Plan:
    """The plan that a path means: a saved one, or one made now from the project.

    Args:
        path: project file, its folder, or a saved plan.
        alternative: which alternative; empty for the base, or for whatever a saved plan holds.
        numbered: as `new_plan`.

    Returns:
        The plan.

    Raises:
        InputFaults: the file cannot be used, or what it says does not fit the shell.
    """
    if is_saved_plan(path):
        file = plan_file(path)
        plan = load_plan(file)
        if alternative and plan.alternative != alternative:
            message = f"this plan is of {plan.alternative or 'the base'}, not of {alternative}: give the project file"
            raise PlanFaults([Fault(str(file), "alternative", plan.alternative, alternative, message)])
        return plan
    return new_plan(path, alternative, numbered)


def new_plan(path: Path, alternative: str = "", numbered: bool = True) -> Plan:
    """Plan the project that a path means.

    Args:
        path: project file, or its folder.
        alternative: which alternative; empty for the base.
        numbered: whether runs keep the numbers that the register beside the file has.

    Returns:
        The plan.

    Raises:
        InputFaults: the file cannot be used, or what it says does not fit the shell.
    """
    file = project_file(path)
    project = alternative_project(file, alternative, numbered)
    return plan_checked(project, file, alternative)


def plan_checked(project: Project, file: Path, alternative: str) -> Plan:
    """Plan a project that was read from a file.

    Args:
        project: the project, the alternative already laid over it.
        file: the project file, for the places of faults and for what lies beside it.
        alternative: the alternative's name; empty for the base.

    Returns:
        The plan.

    Raises:
        ProjectFaults: places, names or limits that do not fit the shell.
        DefectError: the plan does not pass its own audit.
    """
    # The planner brings the numerical libraries along: loaded when there is something to plan.
    from ribway.router.choosing.few_sizes import plan_within

    stages = stages_of(project.shop.search == "thorough")
    if project.shop.use_at_most is not None:
        stages = (FEW, *stages)
    with told_by_file(file, alternative), waiting_line("planning", stages) as told:
        return plan_within(project, file.parent, alternative, told)


@contextmanager
def told_by_file(file: Path, alternative: str) -> Iterator[None]:
    """Whatever the router refuses within, told by its place in the project file.

    Args:
        file: the project file.
        alternative: the alternative's name; empty for the base.

    Raises:
        ProjectFaults: places, names or limits that do not fit the shell.
        DefectError: a plan did not pass its own audit.
    """
    from ribway.router.errors import RouterError
    from ribway.router.faults import RouterFaults
    from ribway.router.planner import AuditError

    try:
        yield
    except RouterFaults as error:
        raise ProjectFaults(_placed(file, alternative, error.faults)) from None
    except AuditError as error:
        raise DefectError(f"{file}: the plan did not pass its own audit, a defect of ribway: {error}") from error
    except RouterError as error:
        raise ProjectFaults(_placed(file, alternative, [error])) from None


def _placed(file: Path, alternative: str, errors: Iterable[RouterError]) -> list[Fault]:
    named = [(error.place, error.found, error.accepted, error.sentence) for error in errors]
    return faults_at_names(file, alternative, named)
