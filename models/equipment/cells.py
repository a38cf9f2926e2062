"""One cell at a time: text, quantities and yes or no, with what a spreadsheet does to them refused by name."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time

from ribway.models.amounts import parse_amps, parse_percent, parse_watts
from ribway.models.equipment.grid import Broken, Cell, written
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.spelling import folded

_BARE_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)")
_ERROR = re.compile(r"#(?:REF!|NAME\?|VALUE!|DIV/0!|N/A|NUM!|NULL!|NV|WERT!|BEZUG!)|Err:[0-9]+", re.IGNORECASE)
_YES = frozenset(
    ("yes", "y", "true", "x", "1", "ja", "j", "oui", "o", "si", "s", "✓", "✔", "ok", "wahr", "vrai", "vero")
)
_NO = frozenset(("", "no", "n", "false", "0", "nein", "non", "nee", "nej", "falsch", "faux", "falso", "?"))
_DEFAULT_UNITS = {"amps": "A", "watts": "W", "start_amps": "A", "drop": "%"}
"""What a bare number means in a column whose header names the quantity; lengths have no such unit."""


def plain_text(cell: Cell, what: str, example: str) -> str:
    """Text of a cell that holds words.

    Args:
        cell: the cell.
        what: the column's header.
        example: of what is accepted.

    Returns:
        The text, empty for an empty cell.

    Raises:
        SpellingError: a number, a date, a yes/no value or an error stands there.
    """
    _refuse_broken(cell, what, example)
    if isinstance(cell, bool | float | date | time):
        raise SpellingError(
            f"{_what_it_is(cell)} stands where {what} should be words: write {example}", written(cell), example
        )
    text = written(cell)
    if _BARE_NUMBER.fullmatch(text):
        raise SpellingError(f"the number {text} stands where {what} should be words: write {example}", text, example)
    return text


def loose_text(cell: Cell, what: str) -> str:
    """Text of a cell where a number is as good as a word: a circuit's number, a note.

    Args:
        cell: the cell.
        what: the column's header.

    Returns:
        The text.

    Raises:
        SpellingError: an error or a date stands there.
    """
    _refuse_broken(cell, what, "text")
    if isinstance(cell, date | time):
        raise SpellingError(
            f"{_what_it_is(cell)} stands there: write text in a cell formatted as text", written(cell), "text"
        )
    return written(cell)


def quantity(cell: Cell, key: str, title: str, unit: str, example: str) -> str:
    """A quantity as text with its unit.

    Args:
        cell: the cell.
        key: the column.
        title: its header.
        unit: what the header states as its unit; empty if it states none.
        example: of what is accepted.

    Returns:
        Text that a project file accepts, empty for an empty cell.

    Raises:
        SpellingError: no such quantity, or a number whose unit nobody states.
    """
    _refuse_broken(cell, title, example)
    if isinstance(cell, bool | date | time):
        raise SpellingError(
            f"{_what_it_is(cell)} stands where {title} should be: format the cell as text and write {example}",
            written(cell),
            example,
        )
    text = written(cell)
    if not text:
        return ""
    if _BARE_NUMBER.fullmatch(text):
        text = f"{text.lstrip('+')} {unit or _DEFAULT_UNITS.get(key, '')}".strip()
    _PARSERS[key](text, title)
    return text


def yes_or_no(cell: Cell, title: str) -> bool:
    """Whether a cell says yes.

    Args:
        cell: the cell.
        title: the column's header.

    Returns:
        True for yes, in several languages, a tick or a cross; False for no and for an empty cell.

    Raises:
        SpellingError: anything else.
    """
    _refuse_broken(cell, title, "yes or no")
    if isinstance(cell, bool):
        return cell
    text = folded(written(cell))
    if text in _YES or text in _NO:
        return text in _YES
    raise SpellingError(f"{title} is <{written(cell)}>: write yes or no", written(cell), "yes or no")


def _refuse_broken(cell: Cell, title: str, example: str) -> None:
    if isinstance(cell, Broken):
        raise SpellingError(f"<{cell.found[:60]}> {cell.why}", cell.found, example)
    if isinstance(cell, str) and _ERROR.fullmatch(cell.strip()):
        message = f"<{cell.strip()}> is an error that a formula gives: mend the formula, or write the value"
        raise SpellingError(message, cell.strip(), example)


def _what_it_is(cell: Cell) -> str:
    if isinstance(cell, bool):
        return f"the yes/no value {written(cell)}"
    if isinstance(cell, date | time):
        return f"the date or time {written(cell)}, which a spreadsheet makes of what looks like one,"
    return f"the number {written(cell)}"


def _length(text: str, title: str) -> None:
    # An arm of any length: whether the number makes sense is for the project's own check, which knows the shop's arm.
    parse_length(text, arm_m=1.0, what=title)


def _drop(text: str, title: str) -> None:
    # The limits of the project file's own field.
    if not 0.1 <= parse_percent(text, what=title) <= 50.0:
        raise SpellingError(f"{title} <{text}> makes no sense: accepted are 0.1 to 50 %", text, "0.1 to 50 %")


_PARSERS: dict[str, Callable[[str, str], object]] = {
    "amps": lambda text, title: parse_amps(text, what=title),
    "watts": lambda text, title: parse_watts(text, what=title),
    "start_amps": lambda text, title: parse_amps(text, what=title),
    "drop": _drop,
    **dict.fromkeys(("back", "up", "left", "right", "stand_off"), _length),
}
