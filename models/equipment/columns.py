"""The columns of an equipment sheet: what each is called in several languages, and where it stands in a sheet."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from ribway.models.equipment.grid import Cell, Grid, fault_at, written
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault
from ribway.models.spelling import folded

COMPULSORY = ("name", "kind")
_ROWS_LOOKED_AT = 25
_UNIT = re.compile(r"^(?P<words>.*?)\s*(?:[\[(](?P<unit>[^\])]*)[\])]|[/,]\s*(?P<bare>A|W|m|cm|mm|in|ft|%))\s*$")


@dataclass(frozen=True)
class Column:
    """A column that ribway knows.

    Attributes:
        key: its name in the code.
        title: its header in sheets that ribway writes.
        what: what stands in it, for people.
    """

    key: str
    title: str
    what: str


@dataclass(frozen=True)
class Header:
    """The header row of a sheet.

    Attributes:
        row: its position, counted from 0.
        places: position of each known column that is there.
        titles: header of each known column as it stands in the sheet.
        units: unit that a header states, ``m`` of "Back (m)".
        own: positions and headers of columns that are the user's own.
    """

    row: int
    places: Mapping[str, int]
    titles: Mapping[str, str]
    units: Mapping[str, str]
    own: tuple[tuple[int, str], ...]

    def title(self, key: str) -> str:
        """What a column is called in this sheet, or would be."""
        return self.titles.get(key) or known_columns()[key].title


@cache
def known_columns() -> dict[str, Column]:
    """All columns that ribway knows, by key, in the order in which it writes them."""
    return {row["column"]: Column(row["column"], row["title"], row["what"]) for row in _table()}


@cache
def _table() -> tuple[dict[str, str], ...]:
    text = (files("ribway.models.equipment") / "columns.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines(), strict=True))


@cache
def spellings() -> dict[str, str]:
    """Column key by folded header."""
    found: dict[str, str] = {}
    for row in _table():
        for spelling in (row["title"], *row["spellings"].split("|")):
            if found.setdefault(folded(spelling), row["column"]) != row["column"]:
                raise ValueError(f"columns.csv: {spelling!r} stands for two columns")
    return found


def column_of(header: str) -> tuple[str, str]:
    """Which column a header means.

    Args:
        header: as written, possibly with a unit in brackets.

    Returns:
        Column key, empty if unknown, and the unit, empty if none is stated.
    """
    whole = spellings().get(folded(header), "")
    if whole:
        return whole, ""
    parts = _UNIT.match(header)
    if parts is None:
        return "", ""
    return spellings().get(folded(parts["words"]), ""), (parts["unit"] or parts["bare"] or "").strip()


def find_header(grid: Grid) -> tuple[Header | None, list[Fault]]:
    """Find the header row: the one with most known columns among the first rows.

    Args:
        grid: the sheet.

    Returns:
        The header, or None if the sheet has none, and what is wrong with it.
    """
    candidates = list(enumerate(grid.rows[:_ROWS_LOOKED_AT]))
    if not any(written(cell) for row in grid.rows for cell in row):
        return None, [
            fault_at(
                grid.file,
                0,
                "",
                "",
                "Name, Kind, Place",
                "the sheet is empty: write a header row and a row for each device",
            )
        ]
    number, row = max(candidates, key=lambda pair: (_merit(pair[1]), -pair[0]))
    if _merit(row) < 2:
        shown = next(
            (", ".join(w for w in map(written, one) if w) for _, one in candidates if any(map(written, one))), ""
        )
        message = f"no header row was found (the first row says <{shown[:80]}>): name the columns Name, Kind and Place"
        return None, [fault_at(grid.file, 0, "", shown[:80], "Name, Kind, Place", message)]
    return _header(grid, number, row)


def _merit(row: Sequence[Cell]) -> int:
    return len({column_of(written(cell))[0] for cell in row if isinstance(cell, str)} - {""})


def _header(grid: Grid, number: int, row: Sequence[Cell]) -> tuple[Header, list[Fault]]:
    places: dict[str, int] = {}
    titles: dict[str, str] = {}
    units: dict[str, str] = {}
    own: list[tuple[int, str]] = []
    faults: list[Fault] = []
    for index, cell in enumerate(row):
        text = written(cell)
        key, unit = column_of(text)
        if not text:
            continue
        if not key:
            own.append((index, text))
        elif key in places:
            message = f"{text} means the same as {titles[key]}, which is there already: keep one of them"
            faults.append(fault_at(grid.file, number + 1, text, text, f"one column for {titles[key]}", message))
        else:
            places[key], titles[key] = index, text
            if unit:
                units[key] = unit
    faults.extend(_misspelt(grid, number, own, places))
    absent = [key for key in COMPULSORY if key not in places]
    faults.extend(_missing(grid, number, known_columns()[key].title, own) for key in absent)
    if "place" not in places and "wall" not in places:
        faults.append(_missing(grid, number, "Place", own))
    return Header(number, places, titles, units, tuple(own)), faults


def _misspelt(grid: Grid, number: int, own: list[tuple[int, str]], places: Mapping[str, int]) -> list[Fault]:
    """A column that is nearly one of ours is not passed over in silence: its cells would be lost."""
    faults = []
    for _, text in own:
        meant = nearest_word(folded(text), spellings())
        close = meant is not None and _like(folded(text), meant) and not text.startswith("#")
        if meant is None or not close or spellings()[meant] in places:
            continue
        title = known_columns()[spellings()[meant]].title
        message = f"the column {text} is unknown: did you mean {title}? If it is your own, write # before its name"
        faults.append(fault_at(grid.file, number + 1, text, text, title, message))
    return faults


def _like(text: str, meant: str) -> bool:
    """Whether two words differ by one or two letters only, in words long enough to tell."""
    if abs(len(text) - len(meant)) > 1 or len(text) < 4 or text[0] != meant[0]:
        return False
    same = sum(a == b for a, b in zip(text, meant, strict=False))
    from_end = sum(a == b for a, b in zip(reversed(text), reversed(meant), strict=False))
    return sorted(text) == sorted(meant) or (max(same, from_end) >= len(meant) - 2 and len(meant) > 4)


def _missing(grid: Grid, number: int, title: str, own: Sequence[tuple[int, str]]) -> Fault:
    there = ", ".join(text for _, text in own)
    found = f": unknown columns are {there}" if there else ""
    return fault_at(grid.file, number + 1, "", there, title, f"there is no column {title}{found}")
