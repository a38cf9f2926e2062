"""Rows of plain values that are printed as a table and written for a spreadsheet, so that both say the same."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.sheets.csv_file import Value, csv_text, plan_marks
from ribway.sheets.table import BODY_PT, Align, Column, Group, Table
from ribway.sheets.words import NOTHING

Values = tuple[Value, ...]


def plainly(value: Value) -> str:
    """A value as it is printed if its column says nothing else: a dash for none."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else f"{value:g}"


@dataclass(frozen=True)
class Field:
    """One column of both forms.

    Attributes:
        key: its name in a spreadsheet, unit behind it: ``cut_m``; empty if it is not written there.
        heading: what stands over it in print; of a length it says which length it is. Empty if it is not printed.
        show: a value as it is printed.
        unit: unit of the bare numbers below the heading.
        weight, align, strong: as in `Column`.
        if_any: whether it is printed only where a row has something in it.
    """

    key: str
    heading: str
    show: Callable[[Value], str] = plainly
    unit: str = ""
    weight: float = 1.0
    align: Align = "left"
    strong: bool = False
    if_any: bool = False


def tick(heading: str, key: str = "") -> Field:
    """A column of squares to be ticked by pen.

    Args:
        heading: what is done when it is ticked.
        key: its name in a spreadsheet, where it is an empty cell; left out there if empty.
    """
    return Field(key, heading, _tickable, weight=0.0, align="box")


def blank(heading: str, key: str, unit: str = "", weight: float = 0.6) -> Field:
    """A column to be filled in by pen, or in the spreadsheet."""
    return Field(key, heading, _line, unit=unit, weight=weight)


def _tickable(value: Value) -> str:
    return NOTHING if value is False else ""


def _line(value: Value) -> str:
    return "_______" if value is None else plainly(value)


@dataclass(frozen=True)
class Section:
    """Rows that belong together, with what stands over them."""

    heading: str
    rows: tuple[Values, ...]
    colour: str = ""


@dataclass(frozen=True)
class Grid:
    """What a spreadsheet gets: names of columns, and values."""

    columns: tuple[str, ...]
    rows: tuple[Values, ...]


@dataclass(frozen=True)
class Record:
    """One list in both forms.

    Attributes:
        name: stem of the CSV file and name of the workbook's sheet.
        title: its name in print.
        fields: the columns.
        sections: the rows.
        notes, type_pt, follows, share: as in `Table`.
    """

    name: str
    title: str
    fields: tuple[Field, ...]
    sections: tuple[Section, ...]
    notes: tuple[str, ...] = ()
    type_pt: float = BODY_PT
    follows: bool = False
    share: float = 1.0

    @property
    def rows(self) -> tuple[Values, ...]:
        """All rows, whatever section they are in."""
        return tuple(row for section in self.sections for row in section.rows)

    def _has(self, index: int) -> bool:
        """Whether a column has something in it, or is printed all the same."""
        one = self.fields[index]
        return not one.if_any or any(one.show(row[index]) not in ("", NOTHING) for row in self.rows)

    def table(self) -> Table:
        """The printed form."""
        shown = [index for index, field in enumerate(self.fields) if field.heading and self._has(index)]
        columns = tuple(
            Column(one.heading, one.unit, one.weight, one.align, one.strong)
            for one in (self.fields[index] for index in shown)
        )
        groups = tuple(
            Group(
                section.heading,
                tuple(tuple(self.fields[index].show(row[index]) for index in shown) for row in section.rows),
                section.colour,
            )
            for section in self.sections
            if section.rows
        )
        return Table(self.title, columns, groups, self.notes, self.type_pt, self.follows, self.share)

    def grid(self) -> Grid:
        """The form for a spreadsheet, each cell on one line; where sections have headings, those are its first column."""
        kept = [index for index, field in enumerate(self.fields) if field.key]
        grouped = any(section.heading for section in self.sections)
        rows = tuple(
            (*((section.heading,) if grouped else ()), *(_on_one_line(row[index]) for index in kept))
            for section in self.sections
            for row in section.rows
        )
        keys = tuple(self.fields[index].key for index in kept)
        return Grid((("part",) if grouped else ()) + keys, rows)


def _on_one_line(value: Value) -> Value:
    return value.replace("\n", "; ") if isinstance(value, str) else value


def grid_csv(plan: Plan, grid: Grid) -> str:
    """A grid as the text of a CSV file, which plan it is from on every line."""
    marks = plan_marks(plan)
    return csv_text((*grid.columns, *marks), [(*row, *marks.values()) for row in grid.rows])
