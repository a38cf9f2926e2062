"""Reads the shipped CSV tables once and checks each on load: columns, numbers, sources, no row twice."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from functools import cache
from importlib import resources
from itertools import pairwise

from ribway.sizing.errors import TableFaultError

Row = dict[str, str]


@cache
def table_rows(name: str, columns: tuple[str, ...], key: tuple[str, ...]) -> tuple[Row, ...]:
    """Rows of one shipped table, checked.

    Args:
        name: file name without `.csv`.
        columns: the columns it must have, in order; `source` and `status` are added to these.
        key: columns that together name a row once.

    Returns:
        The rows as text, in the file's order.

    Raises:
        TableFaultError: if the file is missing or any row is damaged; says which.
    """
    try:
        text = resources.files("ribway.sizing.tables").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    except OSError as fault:
        raise TableFaultError(f"sizing table {name}.csv cannot be read ({fault}); install ribway again") from fault
    return parse_rows(name, text, columns, key)


def parse_rows(name: str, text: str, columns: Sequence[str], key: Sequence[str]) -> tuple[Row, ...]:
    """Parse and check the text of a table; see `table_rows`."""
    wanted = [*columns, "source", "status"]
    reader = csv.DictReader(io.StringIO(text), strict=True)
    if list(reader.fieldnames or []) != wanted:
        raise TableFaultError(f"{name}.csv: columns are {reader.fieldnames}, wanted {wanted}")
    rows: list[Row] = []
    seen: set[tuple[str, ...]] = set()
    for number, row in enumerate(reader, start=2):
        if None in row or None in row.values():
            raise TableFaultError(f"{name}.csv line {number}: {len(wanted)} columns wanted")
        if not row["source"] or not row["status"]:
            raise TableFaultError(f"{name}.csv line {number}: no source or no status")
        this = tuple(row[column] for column in key)
        if this in seen:
            raise TableFaultError(f"{name}.csv line {number}: {this} is there twice")
        seen.add(this)
        rows.append(row)
    if not rows:
        raise TableFaultError(f"{name}.csv: no rows")
    return tuple(rows)


def number_in(table: str, row: Row, column: str) -> float:
    """A cell as a finite number, 0 or more.

    Raises:
        TableFaultError: if it is anything else.
    """
    try:
        value = float(row[column])
    except ValueError as fault:
        raise TableFaultError(f"{table}.csv: {column} is {row[column]!r}, a number wanted") from fault
    if not math.isfinite(value) or value < 0.0:
        raise TableFaultError(f"{table}.csv: {column} is {row[column]!r}, a finite number of 0 or more wanted")
    return value


def check_rising(table: str, values: Sequence[float], what: str) -> None:
    """Refuse a column that does not rise row by row.

    Raises:
        TableFaultError: naming the first pair out of order.
    """
    for low, high in pairwise(values):
        if not low < high:
            raise TableFaultError(f"{table}.csv: {what} must rise, but {high:g} follows {low:g}")
