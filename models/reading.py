"""The project file, read and checked: everything that can be known from the file alone, all faults at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from ribway.models.equipment.from_file import Sheet, read_sheet, sheet_path, with_sheet
from ribway.models.equipment.joining import join
from ribway.models.fault_words import problems_of
from ribway.models.faults import SpellingError
from ribway.models.file_kinds import PROJECT_FILE, file_in, lacking_project, other_version, plan_instead
from ribway.models.lengths import parse_length
from ribway.models.merging import merge
from ribway.models.numbers_file import VERSION_KEY, read_numbers
from ribway.models.placed_faults import gist_of, in_change, placed
from ribway.models.project import FORMAT_VERSION, Project
from ribway.models.project_faults import Fault, IndexPath, Problem, ProjectFaults, whole_file
from ribway.models.references import reference_problems
from ribway.models.run_numbers import RunNumber
from ribway.models.shop import Shop
from ribway.models.text_file import read_text
from ribway.models.unknown_keys import unknown_keys
from ribway.models.yaml_text import Document, Mark, parse_yaml

MOST_BYTES = 2_000_000


@dataclass(frozen=True)
class ReadProject:
    """A project file with its alternatives.

    Args:
        base: the project as the file gives it.
        alternatives: the project as each alternative changes it, by name, in the order of the file.
    """

    base: Project
    alternatives: Mapping[str, Project]


def project_file(path: Path) -> Path:
    """The project file that a path means.

    Args:
        path: the file, or the folder that holds a ``project.yaml``.

    Returns:
        The file's path; whether it is there is found by reading it.

    Raises:
        ProjectFaults: a folder with a saved plan in it, and no project.
    """
    file = file_in(path, PROJECT_FILE)
    lacking = lacking_project(path) if file != path else ""
    if lacking:
        raise ProjectFaults([whole_file(str(path), lacking)])
    return file


def read_project(path: Path) -> Project:
    """Read and check a project file, its alternatives too.

    Args:
        path: the file.

    Returns:
        The base project.

    Raises:
        ProjectFaults: the file cannot be used; every fault that the file alone shows is in it.
    """
    return read_with_alternatives(path).base


def read_with_alternatives(path: Path, numbered: bool = True) -> ReadProject:
    """Read and check a project file and all its alternatives.

    Args:
        path: the file.
        numbered: whether the register of run numbers beside it is read.

    Returns:
        Base and alternatives, each with the numbers that were given to its runs before.

    Raises:
        ProjectFaults: as for `read_project`, or the register of run numbers beside it is damaged.
    """
    both = check_text(project_text(path), str(path), path.parent)
    numbers = read_numbers(path) if numbered else ()
    named = {name: with_numbers(one, numbers) for name, one in both.alternatives.items()}
    return ReadProject(with_numbers(both.base, numbers), named)


def with_numbers(project: Project, numbers: tuple[RunNumber, ...]) -> Project:
    """The project with the numbers that were given to its runs before."""
    return project.model_copy(update={"numbers": numbers}) if numbers != project.numbers else project


def read_raw(path: Path) -> tuple[dict[str, Any], Sheet | None]:
    """Read and check a project file, and keep its quantities as they were written.

    Args:
        path: the file.

    Returns:
        The base project's data, its sheet's devices in it, and the sheet if it has one.

    Raises:
        ProjectFaults: as for `read_project`.
    """
    text = project_text(path)
    check_text(text, str(path), path.parent)
    raw = parse_yaml(text, str(path)).raw
    sheet = sheet_path(raw, path.parent)
    if sheet is None:
        return raw, None
    found = read_sheet(sheet, raw, _arm_m(raw))
    return join(raw, found.expansion), found


def project_text(path: Path) -> str:
    """The text of a project file.

    Args:
        path: the file.

    Raises:
        ProjectFaults: it cannot be read, is too long, or is of another kind.
    """
    return read_text(path, MOST_BYTES, other_kind=plan_instead)


def check_text(text: str, file: str, folder: Path) -> ReadProject:
    """Check the text of a project file.

    Args:
        text: the text.
        file: what to call the file in faults.
        folder: where files that it names lie.

    Returns:
        Base and alternatives.

    Raises:
        ProjectFaults: as for `read_project`.
    """
    return _check(parse_yaml(text, file), file, folder)


def check_data(raw: dict[str, Any]) -> ReadProject:
    """Check a project's data that comes from code, not from a file: quantities as text, as in a file.

    Args:
        raw: the data.

    Returns:
        Base and alternatives.

    Raises:
        ProjectFaults: as for `read_project`, without file and lines.
    """
    return _check(Document(raw, {}, ()), "", None)


def checked_raw(raw: dict[str, Any], folder: Path) -> tuple[dict[str, Any], Project | None, tuple[Fault, ...]]:
    """Check the base project of data that is being edited: nothing is raised for what is wrong or missing in it.

    Args:
        raw: the data as a project file has it.
        folder: where files that it names lie.

    Returns:
        The data with its sheet's devices in it, the project if it has no faults, and its faults without lines.

    Raises:
        ProjectFaults: its sheet cannot be used.
    """
    document = _with_sheet(Document(raw, {}, ()), "", folder)
    project, problems = _checked(document.raw, document.marks)
    faults = placed(document, "", [*problems, *_missing_files(document.raw, folder)])
    return document.raw, None if faults else project, tuple(faults)


def _check(document: Document, file: str, folder: Path | None) -> ReadProject:
    _refuse_other_files(document, file)
    document = _with_sheet(document, file, folder)
    base, problems = _checked(document.raw, document.marks)
    missing = _missing_files(document.raw, folder) if folder else []
    problems = [*document.problems, *problems, *missing]
    faults = placed(document, file, problems)
    known = {gist_of(document.raw, problem) for problem in problems}
    changed: dict[str, Project] = {}
    for index, entry in _alternatives(document.raw):
        inside: IndexPath = ("alternatives", index, "change")
        merged, change_problems = merge(document.raw, entry["change"])
        project, found = _checked(merged, {})
        fresh = [problem for problem in found if gist_of(merged, problem) not in known]
        own = [*change_problems, *(in_change(problem, merged, entry["change"]) for problem in fresh)]
        own = [Problem((*inside, *p.path), p.found, p.accepted, p.message) for p in own]
        faults.extend(placed(document, file, own))
        if project is not None and isinstance(entry.get("name"), str):
            changed[entry["name"]] = project
    if faults or base is None:
        raise ProjectFaults(dict.fromkeys(faults))
    return ReadProject(base, changed)


def _with_sheet(document: Document, file: str, folder: Path | None) -> Document:
    """The document with what its equipment sheet says; the sheet's faults come with those that the file alone shows."""
    try:
        return replace(document, raw=with_sheet(document.raw, folder, _arm_m(document.raw)))
    except ProjectFaults as error:
        problems = [*document.problems, *unknown_keys(document.raw)]
        raise ProjectFaults([*placed(document, file, problems), *error.faults]) from None


def _checked(raw: dict[str, Any], marks: Mapping[IndexPath, Mark]) -> tuple[Project | None, list[Problem]]:
    """Validate a project's data; a missing key that stands there misspelt is one problem, not two."""
    problems = list(unknown_keys(raw))
    misspelt = {(p.path[:-1], p.message.rsplit("did you mean ", 1)[-1].rstrip("?")) for p in problems}
    project: Project | None = None
    try:
        project = Project.model_validate(raw, context={"arm_m": _arm_m(raw)})
    except ValidationError as error:
        for problem in problems_of(error, raw, marks):
            missing = (problem.path[:-1], str(problem.path[-1]) if problem.path else "")
            if problem.found or missing not in misspelt:
                problems.append(problem)
    return project, [*problems, *reference_problems(raw)]


def _arm_m(raw: dict[str, Any]) -> float:
    """The shop's arm length [m], read before everything that is given in arms; the usual one if it cannot be read."""
    shop = raw.get("shop")
    text = shop.get("arm_length") if isinstance(shop, dict) else None
    try:
        arm_m = parse_length(text)
    except SpellingError:
        return Shop().arm_length
    return arm_m if arm_m > 0 else Shop().arm_length


def _refuse_other_files(document: Document, file: str) -> None:
    raw = document.raw
    if VERSION_KEY in raw:
        message = "this is the register of a project's run numbers: give the project file beside it"
        raise ProjectFaults([whole_file(file, message, found=VERSION_KEY, accepted="a project file")])
    if "ribway_plan" in raw:
        message = plan_instead("{ribway_plan", file)
        raise ProjectFaults([whole_file(file, message, found="ribway_plan", accepted="a project file")])
    found = raw.get("ribway")
    # Anything that is no later version is told with all the other faults.
    if type(found) is int and found > FORMAT_VERSION:
        other = other_version(file, "ribway", "project", found, FORMAT_VERSION)
        if other is not None:
            problem = Problem(("ribway",), other.found, other.accepted, other.message)
            raise ProjectFaults(placed(document, file, [problem]))


def _missing_files(raw: dict[str, Any], folder: Path) -> list[Problem]:
    vehicle = raw.get("vehicle")
    mesh = vehicle.get("mesh") if isinstance(vehicle, dict) else None
    if not isinstance(mesh, str):
        return []
    try:
        there = (folder / mesh).is_file()
    except (OSError, ValueError):
        there = False
    if there:
        return []
    message = f"there is no mesh file {mesh} beside the project file"
    return [Problem(("vehicle", "mesh"), mesh, "a file in the project's folder", message)]


def _alternatives(raw: dict[str, Any]) -> list[tuple[int, dict[str, Any]]]:
    entries = raw.get("alternatives")
    if not isinstance(entries, list):
        return []
    return [(i, e) for i, e in enumerate(entries) if isinstance(e, dict) and isinstance(e.get("change"), dict)]
