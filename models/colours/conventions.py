"""Conventions of wire colours, read from their table, and colours that come to mean two things in one van."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Literal

DcColours = Literal["red and black", "red and yellow", "red and brown"]
AcColours = Literal["brown and blue", "black and white"]
SPARE_CORE = "spare"
"""Function, and colour, of a core that a cable has and nothing needs."""

_COLUMNS = ("convention", "kind", "function", "colour", "source")
_SAME_MEANING = {"dimmed positive": "switched positive"}


@cache
def conventions() -> Mapping[str, Mapping[str, str]]:
    """Colour by function, by convention.

    Returns:
        All conventions of the table.

    Raises:
        ValueError: a row without its source, or one that stands twice.
    """
    text = (files("ribway.models.colours") / "conventions.csv").read_text(encoding="utf-8")
    reader = csv.DictReader(text.splitlines(), strict=True)
    if tuple(reader.fieldnames or ()) != _COLUMNS:
        raise ValueError(f"conventions.csv: the header is {reader.fieldnames}, it must be {', '.join(_COLUMNS)}")
    found: dict[str, dict[str, str]] = {}
    for row in reader:
        own = found.setdefault(row["convention"], {})
        if not all(row.values()) or row["function"] in own:
            raise ValueError(f"conventions.csv, line {reader.line_num}: a value is missing, or the row stands twice")
        own[row["function"]] = row["colour"]
    return found


def colour_of(function: str, dc: str, ac: str) -> str:
    """The colour of a conductor.

    Args:
        function: what it is for, ``positive`` or ``line``.
        dc, ac: names of the conventions.

    Returns:
        Its colour in words; `SPARE_CORE` for a core that nothing needs.

    Raises:
        KeyError: neither convention has a colour for it.
    """
    if function == SPARE_CORE:
        return SPARE_CORE
    return {**conventions()[dc], **conventions()[ac]}[function]


def double_meanings(wires: Iterable[tuple[str, str, str]]) -> dict[str, tuple[str, ...]]:
    """Colours that mean two things or more.

    Args:
        wires: kind (dc or ac), function and colour of conductors.

    Returns:
        By colour, what it means, in order: ``AC line``, ``DC negative``.
    """
    meanings: dict[str, set[str]] = {}
    for kind, function, colour in wires:
        if function != SPARE_CORE:
            meanings.setdefault(colour, set()).add(f"{kind.upper()} {_SAME_MEANING.get(function, function)}")
    return {colour: tuple(sorted(found)) for colour, found in sorted(meanings.items()) if len(found) > 1}
