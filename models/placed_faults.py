"""Problems of a project's data as faults with file and line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ribway.models.key_paths import names_of, path_of_names
from ribway.models.project_faults import Fault, IndexPath, Problem
from ribway.models.yaml_text import Document


def gist_of(raw: dict[str, Any], problem: Problem) -> tuple[tuple[str, ...], str]:
    """What tells a problem of a changed project from one of its base: not the advice, which names what is there.

    Args:
        raw: the data that it was found in.
        problem: the problem.

    Returns:
        Its place by names, and what is wrong.
    """
    return names_of(raw, problem.path), problem.message.split(": ")[0]


def in_change(problem: Problem, merged: dict[str, Any], change: dict[str, Any]) -> Problem:
    """A problem of the changed project, placed where the change says it, or where the change comes nearest to it.

    Args:
        problem: the problem.
        merged: the data of the changed project.
        change: what the alternative changes.

    Returns:
        The problem with its path inside the change.
    """
    names = names_of(merged, problem.path)
    there = path_of_names(change, names)
    place = " / ".join(names)
    message = problem.message if len(there) == len(names) else f"with this change, {place}: {problem.message}"
    return Problem(there, problem.found, problem.accepted, message)


def placed(document: Document, file: str, problems: Iterable[Problem]) -> list[Fault]:
    """Problems with file and line; what lies inside an unreadable value is left out, and each place speaks once.

    Args:
        document: the data with its lines.
        file: what to call the file.
        problems: the problems.

    Returns:
        The faults in the order of the problems.
    """
    unreadable = {problem.path for problem in document.problems}
    faults: dict[tuple[IndexPath, str], Fault] = {}
    for problem in problems:
        above = {problem.path[:length] for length in range(len(problem.path) + 1)}
        if above & unreadable and problem not in document.problems:
            continue
        line = document.line_of(problem.path)
        names = " / ".join(names_of(document.raw, problem.path))
        place = f"{names}, line {line}" if names and line else names or f"line {line}"
        fault = Fault(file, place, problem.found, problem.accepted, problem.message, line)
        faults.setdefault((problem.path, problem.message), fault)
    return list(faults.values())
