"""Alternatives: the project as one of its named sets of changes makes it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ribway.models.merging import merge
from ribway.models.nearest import nearest_word
from ribway.models.project import Project
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import check_data, read_with_alternatives


def with_changes(raw: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """Lay a change over a project's data, as `ribway.models.merging` says.

    Args:
        raw: the base project's data; stays as it is.
        change: what is different.

    Returns:
        The changed data.

    Raises:
        ProjectFaults: the change names something that the base does not have and that is not complete by itself.
    """
    merged, problems = merge(raw, change)
    if problems:
        raise ProjectFaults(
            Fault("", " / ".join(str(part) for part in problem.path), problem.found, problem.accepted, problem.message)
            for problem in problems
        )
    return merged


def read_all(path: Path) -> tuple[Project, dict[str, Project]]:
    """Read and check a project file, and lay each alternative over it.

    Args:
        path: the file.

    Returns:
        The base project, and the changed projects by alternative name in the order of the file.

    Raises:
        ProjectFaults: as for `read_project`.
    """
    both = read_with_alternatives(path)
    return both.base, dict(both.alternatives)


def alternative_project(source: Path | dict[str, Any], name: str, numbered: bool = True) -> Project:
    """The project with one of its alternatives laid over it.

    Args:
        source: the project file, or its data.
        name: the alternative's name; empty for the base.
        numbered: whether a file's register of run numbers is read.

    Returns:
        The changed project.

    Raises:
        ProjectFaults: as for `read_project`, or there is no such alternative.
    """
    file = str(source) if isinstance(source, Path) else ""
    both = read_with_alternatives(source, numbered) if isinstance(source, Path) else check_data(source)
    if not name:
        return both.base
    if name not in both.alternatives:
        names = ", ".join(both.alternatives) or "none"
        meant = nearest_word(name, both.alternatives)
        advice = f"did you mean {meant}?" if meant else f"there are {names}"
        message = f"there is no alternative called {name}: {advice}"
        raise ProjectFaults([Fault(file, "alternatives", name, names, message)])
    return both.alternatives[name]
