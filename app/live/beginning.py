"""A new project from the questions of the page: the same that ``ribway new`` asks, things are placed afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.commands.new import FEET, METRIC, files_of
from ribway.editing.changes import Change, Raw, edited
from ribway.models.faults import SpellingError
from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.lengths import parse_length

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
        answers: ``name``, ``preset``, ``units``, and measured lengths by their names.

    Returns:
        The text.

    Raises:
        BeginningError: an answer that is none of those accepted.
    """
    name = str(answers.get("name") or folder.absolute().name).strip()[:LONGEST_NAME]
    preset, units = str(answers.get("preset") or "medium-high"), str(answers.get("units") or METRIC)
    if preset not in PRESETS:
        raise BeginningError(f"there is no preset {preset}: accepted are {', '.join(PRESETS)}")
    if units not in (METRIC, FEET):
        raise BeginningError(f"units {units} are not known: accepted are {METRIC}, {FEET}")
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
