"""A table as plain data: what every paper is made of, before it is laid out, printed or drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from ribway.sheets.words import glued

Align = Literal["left", "right", "centre", "box"]
Row = tuple[str, ...]

BODY_PT = 9.5
LARGE_PT = 11.0


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes:
        heading: what stands over it; of a length it says which length it is.
        unit: unit of the bare numbers below; empty if each carries its own, or if they have none.
        weight: share of the room left over when every column holds its longest word.
        align: how its cells stand; ``box`` is a square to be ticked by pen, its cells are empty; one with a
            dash has nothing to be ticked.
        strong: printed bold.
    """

    heading: str
    unit: str = ""
    weight: float = 1.0
    align: Align = "left"
    strong: bool = False

    @property
    def label(self) -> str:
        """Heading and unit, the unit on one line."""
        return f"{self.heading} {glued(f'({self.unit})')}" if self.unit else self.heading


@dataclass(frozen=True)
class Group:
    """Rows that belong together.

    Attributes:
        heading: what stands over them; empty for none.
        rows: one text for each column.
        colour: ``#rrggbb`` of the chip before the heading; empty for none.
    """

    heading: str
    rows: tuple[Row, ...]
    colour: str = ""


@dataclass(frozen=True)
class Table:
    """One paper, or a part of one.

    Attributes:
        title: its name.
        columns: from left to right.
        groups: from top to bottom.
        notes: sentences below it.
        type_pt: size of its letters [pt].
        follows: whether it stands below the table before it if there is room for all of it.
        share: how much of the page's width it takes, up to 1.
    """

    title: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    notes: tuple[str, ...] = ()
    type_pt: float = BODY_PT
    follows: bool = False
    share: float = 1.0

    def __post_init__(self) -> None:
        """Refuse a row that does not fit the columns.

        Raises:
            ValueError: a row has more or fewer texts than there are columns.
        """
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"{self.title}: a row of {len(row)} texts in {len(self.columns)} columns: {row!r}")

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows, whatever group they are in."""
        return tuple(row for group in self.groups for row in group.rows)

    def column(self, heading: str) -> tuple[str, ...]:
        """The texts below a heading.

        Args:
            heading: the column's heading, without its unit.

        Returns:
            One text for each row.

        Raises:
            KeyError: there is no such column.
        """
        for index, column in enumerate(self.columns):
            if column.heading == heading:
                return tuple(row[index] for row in self.rows)
        raise KeyError(heading)


def without_column(table: Table, heading: str) -> Table:
    """A table without one of its columns, which would say nothing.

    Args:
        table: the table.
        heading: the column's heading, without its unit.
    """
    kept = [index for index, column in enumerate(table.columns) if column.heading != heading]
    groups = tuple(
        replace(group, rows=tuple(tuple(row[index] for index in kept) for row in group.rows)) for group in table.groups
    )
    return replace(table, columns=tuple(table.columns[index] for index in kept), groups=groups)


def groups_of(*groups: Group) -> tuple[Group, ...]:
    """The groups that hold a row.

    Args:
        groups: from top to bottom.

    Returns:
        The same without the empty ones.
    """
    return tuple(group for group in groups if group.rows)
