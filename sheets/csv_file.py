"""Tables for a spreadsheet: numbers as plain numbers in named units, beside what is printed.

Comma-separated, UTF-8, one header line, lines ending as RFC 4180 has them. A text that a spreadsheet would take for a
formula gets an apostrophe before it; numbers are left alone.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from decimal import Decimal

from ribway.models.plan.plan import Plan

Value = str | float | int | bool | None

# OWASP, "CSV Injection": what starts a formula in one spreadsheet or another, the full-width forms too.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def csv_text(columns: Sequence[str], rows: Sequence[Sequence[Value]]) -> str:
    """Rows as the text of a CSV file.

    Args:
        columns: the header.
        rows: one value for each column.

    Returns:
        The text, with its header even if there is no row.

    Raises:
        ValueError: a row has more or fewer values than there are columns.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(columns)
    for row in rows:
        if len(row) != len(columns):
            raise ValueError(f"a row of {len(row)} values in {len(columns)} columns: {row!r}")
        writer.writerow([written(value) for value in row])
    return out.getvalue()


def plain_spaces(text: str) -> str:
    """A text with plain spaces, which a search finds, where print keeps words together."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def written(value: Value) -> str:
    """One value as it stands in the file.

    Args:
        value: a text, a number, yes or no, or nothing.

    Returns:
        A number with all its digits and neither exponent nor thousands separator; ``yes`` or ``no``; a text that
        starts no formula; nothing for none.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        value = plain_spaces(value)
        return f"'{value}" if value.lstrip(" ").startswith(_FORMULA_STARTS) else value
    text = f"{Decimal(repr(value)):f}"
    whole, _, part = text.partition(".")
    part = part.rstrip("0")
    number = f"{whole}.{part}" if part else whole
    return "0" if number == "-0" else number


def plan_marks(plan: Plan) -> dict[str, Value]:
    """What the last columns of every file say: which plan it is from, and whether it is ready."""
    return {
        "project": plan.name,
        "revision": plan.revision,
        "date": plan.date,
        "alternative": plan.alternative,
        "state": "complete" if plan.complete else "NOT READY",
    }
