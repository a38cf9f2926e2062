"""A table of the page as plain data: what can be sorted, picked, ticked and typed into."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "tick", "entry"]
Show = Literal["always", "opened"]


@dataclass(frozen=True)
class Column:
    """One column.

    Args:
        heading: what stands over it.
        kind: text, a number (set to the right), a box to tick, or a field to type into.
        show: on a narrow screen a row is a card; what it shows always, and what only when it is opened.
        strong: set in bold.
        note: name of what is ticked or typed, the same in every export.
        hint: what belongs into a field.
    """

    heading: str
    kind: Kind = "text"
    show: Show = "opened"
    strong: bool = False
    note: str = ""
    hint: str = ""


@dataclass(frozen=True)
class Cell:
    """One cell.

    Args:
        text: what it says; lines are parted by line feeds.
        value: what it is sorted by; the text if None.
    """

    text: str
    value: float | None = None


@dataclass(frozen=True)
class Row:
    """One row.

    Args:
        id: what the row is about; notes are kept under it.
        cells: one for each column; those of ticks and fields are empty.
        runs: the runs that are shown when it is picked.
        openings: the openings that are shown when it is picked.
        level: error, warning or note; empty for a row that is no finding.
    """

    id: str
    cells: tuple[Cell, ...]
    runs: tuple[str, ...] = ()
    openings: tuple[str, ...] = ()
    level: str = ""


@dataclass(frozen=True)
class Table:
    """One table.

    Args:
        id: a short name, the same in every export of notes.
        title: what stands over it.
        columns: from left to right; the first names the row.
        rows: from top to bottom.
        notes: sentences below it.
    """

    id: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a row that does not fit the columns.

        Raises:
            ValueError: a row has more or fewer cells than there are columns.
        """
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(f"{self.title}: {row.id!r} has {len(row.cells)} cells in {len(self.columns)} columns")


def cell(text: str, value: float | None = None) -> Cell:
    """A cell."""
    return Cell(text, value)


BLANK = Cell("")
