"""Faults found when a project is planned, told at the lines of its file or of its equipment sheet."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from ribway.models.equipment.from_file import row_place
from ribway.models.key_paths import path_of_names, value_at
from ribway.models.project_faults import Fault
from ribway.models.reading import project_text
from ribway.models.yaml_text import parse_yaml


def faults_at_names(path: Path, alternative: str, named: Iterable[tuple[str, str, str, str]]) -> list[Fault]:
    """Faults that were found later, in the shell, with the lines of the project file.

    Args:
        path: the project file, already read once without fault.
        alternative: the alternative that was planned; empty for the base.
        named: key path as names parted by `` / ``, what was found, what is accepted, and the sentence.

    Returns:
        The faults; a place that the alternative's change says is placed there.
    """
    document = parse_yaml(project_text(path), str(path))
    inside = path_of_names(document.raw, ("alternatives", alternative, "change")) if alternative else ()
    change = value_at(document.raw, inside) if len(inside) == 3 else {}
    faults = []
    for names, found, accepted, message in named:
        parts = names.split(" / ")
        there = path_of_names(document.raw, parts)
        row = row_place(document.raw, path.parent, parts) if len(there) < 2 else None
        if row is not None:
            faults.append(Fault(row[0], row[1], found, accepted, message, row[2]))
            continue
        in_change = path_of_names(change, parts)
        line = document.line_of((*inside, *in_change) if len(in_change) > 1 else there)
        faults.append(Fault(str(path), f"{names}, line {line}", found, accepted, message, line))
    return faults
