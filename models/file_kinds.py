"""Project files and saved plans told apart: each is often given where the other is wanted."""

from __future__ import annotations

import os
import re
from pathlib import Path

from ribway.models.fault_words import text_of
from ribway.models.project_faults import Fault

PROJECT_FILE = "project.yaml"
PLAN_FILE = "plan.json"
_PROJECT = re.compile(r"^ribway[ \t]*:", re.MULTILINE)
_PLAN = re.compile(r"""\s*\{\s*["']?ribway_plan\b""")


def file_in(path: Path, name: str) -> Path:
    """The file that a path means.

    Args:
        path: the file, or the folder that holds one of the usual name.
        name: the usual name.

    Returns:
        The file's path; whether it is there is found by reading it.
    """
    return path / name if os.path.isdir(path) else path


def plan_instead(text: str, file: str) -> str:
    """Why a text is no project if it is a saved plan.

    Args:
        text: the file's text, or how it begins.
        file: what the user called it.

    Returns:
        A sentence with the commands that take it; empty if it is no plan.
    """
    if not _PLAN.match(text):
        return ""
    return (
        "this is a saved plan, not a project: give the project file that it was made from, or look at the plan with "
        f"ribway audit {file} or ribway view {file}"
    )


def project_instead(text: str, file: str) -> str:
    """Why a text is no saved plan if it is a project.

    Args:
        text: the file's text, or how it begins.
        file: what the user called it.

    Returns:
        A sentence with the command that makes a plan of it; empty if it is no project.
    """
    if not _PROJECT.search(text):
        return ""
    return f"this is a project, and a saved {PLAN_FILE} is wanted: ribway plan {file} --out DIR writes one"


def lacking_plan(folder: Path) -> str:
    """Why a folder with a project in it holds no saved plan.

    Args:
        folder: the folder in which a plan was looked for.

    Returns:
        A sentence with the command that makes one; empty if no project lies there.
    """
    if not os.path.isfile(folder / PROJECT_FILE) or os.path.lexists(folder / PLAN_FILE):
        return ""
    return f"this folder holds a project, and no saved {PLAN_FILE}: ribway plan {folder} --out DIR writes one"


def lacking_project(folder: Path) -> str:
    """Why a folder with a saved plan in it holds no project.

    Args:
        folder: the folder in which a project was looked for.

    Returns:
        A sentence with the commands that take the plan; empty if no plan lies there.
    """
    if not os.path.isfile(folder / PLAN_FILE) or os.path.lexists(folder / PROJECT_FILE):
        return ""
    return (
        f"this folder holds a saved plan, and no {PROJECT_FILE}: give the project that it was made from, or look at the "
        f"plan with ribway audit {folder} or ribway view {folder}"
    )


def other_version(file: str, key: str, what: str, found: object, known: int, older: str = "") -> Fault | None:
    """The fault of a file in another version of its format.

    Args:
        file: what to call the file.
        key: the key at which the version stands.
        what: what the file is: project, plan or register.
        found: the version that stands there.
        known: the version that is read.
        older: what an older one lacks, to be put before the remedy.

    Returns:
        The fault; None if it is the known version.
    """
    if type(found) is int and found == known:
        return None
    newer = type(found) is int and found > known
    lack = older if type(found) is int and 0 < found < known else ""
    remedy = "use a newer ribway" if newer else "plan the project again" if what == "plan" else f"write {key}: {known}"
    shown = text_of(found)
    message = f"the {what} format is {shown}, and this ribway reads {known}: {lack}{remedy}"
    return Fault(file, key, shown, str(known), message)
