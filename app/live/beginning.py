"""A new project from the questions of the page: the same that ``ribway new`` asks, things are placed afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from ribway.commands.new import FEET, METRIC, files_of
from ribway.editing.changes import Change, Raw, edited
from ribway.models.fault_words import problems_of
from ribway.models.faults import SpellingError
from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.lengths import parse_length
from ribway.models.project_faults import IndexPath
from ribway.models.tape import LINES, Tape

PRESETS = ("short-high", "medium-high", "long-high")
MEASURED = ("length", "waist_width", "roof_edge_height")
"""What of the van may be told at once; the rest is the preset's, and assumed."""
LONGEST_NAME = 80


class BeginningError(ValueError):
    """An answer that makes no project; the sentence says which."""


def begun(folder: Path, answers: Mapping[str, Any]) -> str:
    """The text of a new project file.

    Args:
        folder: where it will lie; its name is the project's if none is given.
        answers: ``name``, ``units``, ``from`` (preset or tape); ``preset`` and measured lengths by their names, or ``tape``:
            the tape's lines by their names, parts of a line by theirs, and ``holes``, a row a line.

    Returns:
        The text.

    Raises:
        BeginningError: an answer that is none of those accepted.
    """
    name = str(answers.get("name") or folder.absolute().name).strip()[:LONGEST_NAME]
    preset, units = str(answers.get("preset") or "medium-high"), str(answers.get("units") or METRIC)
    if units not in (METRIC, FEET):
        raise BeginningError(f"units {units} are not known: accepted are {METRIC}, {FEET}")
    if answers.get("from") == "tape":
        return _by_tape(name, units, answers.get("tape"))
    if preset not in PRESETS:
        raise BeginningError(f"there is no preset {preset}: accepted are {', '.join(PRESETS)}")
    measured = {key: str(answers[key]).strip() for key in MEASURED if str(answers.get(key) or "").strip()}
    for key, value in measured.items():
        try:
            parse_length(value, what=key.replace("_", " "))
        except SpellingError as error:
            raise BeginningError(str(error)) from None
    text = files_of(name, preset, units, 1)[PROJECT_FILE].decode("utf-8")

    def edit(_: Raw) -> list[Change]:
        changes = [Change(("equipment",), None)]
        return [*changes, Change(("vehicle", "parameters"), measured)] if measured else changes

    return edited(text, edit)


def _by_tape(name: str, units: str, given: object) -> str:
    """A project whose van is what a tape says; the lines go behind the keys, each below its remark."""
    lines = tape_lines(given if isinstance(given, Mapping) else {})
    try:
        Tape.model_validate(lines)
    except ValidationError as error:
        problems = problems_of(error, lines, {}, in_project=False)
        raise BeginningError("\n".join(f"{_said(one.path)}: {one.message}" for one in problems)) from None
    text = files_of(name, "", units, 1, tape=True)[PROJECT_FILE].decode("utf-8")
    where = ("vehicle", "tape")
    known = [key for key in lines if key in LINES]
    changes = [Change(("equipment",), None), *(Change((*where, key), lines[key]) for key in known)]
    changes += [Change((*where, key), None) for key in LINES if key not in lines]
    changes += [Change((*where, key), lines[key]) for key in lines if key not in LINES]
    return edited(text, lambda _: changes)


def tape_lines(given: Mapping[str, Any]) -> Raw:
    """The answers as the project file has a tape's lines.

    Args:
        given: the answers; lines that were left empty are left out.
    """
    lines: Raw = {}
    for key in LINES:
        value = given.get(key)
        if isinstance(value, Mapping):
            parts = {str(part): str(text).strip() for part, text in value.items() if str(text).strip()}
            if parts.get("side") == "none":
                lines.setdefault("without", []).append(key)
            elif set(parts) - {"side"}:
                lines[key] = parts
        elif isinstance(value, str) and value.strip():
            lines[key] = value.strip()
    holes = [row.strip() for row in str(given.get("holes") or "").splitlines() if row.strip()]
    return lines | ({"holes": holes} if holes else {})


def _said(path: IndexPath) -> str:
    words = [str(part).replace("_", " ") for part in path]
    return ", ".join(words) or "the tape's lines"
