"""A row of distances read off one tape: ``0.42 0.88 1.36 1.80 m``, ``16.5, 34.6, 53 in``, or a list with units."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from ribway.models.faults import SpellingError
from ribway.models.fields import WITH_UNIT
from ribway.models.lengths import parse_length
from ribway.models.written import DECIMAL, plain, refuse

ACCEPTED = "rising distances with their unit, like 0.42 0.88 1.36 1.80 m or 16.5, 34.6, 53 in"
MOST_CHARACTERS = 300
_BARE = re.compile(r"[0-9][0-9 ./-]*|[0-9]+,[0-9]+")
_UNIT = r"(?:[a-z]+|\")"
_SPACED = re.compile(rf"(?:{DECIMAL}(?: ?{_UNIT})? )*{DECIMAL} ?{_UNIT}")
_TOKEN = re.compile(rf"{DECIMAL}(?: ?{_UNIT})?")


def unit_of(piece: str) -> str:
    """The unit that a plain spelling ends with; empty if it is a bare number.

    Args:
        piece: a length as `written.plain` leaves it.

    Returns:
        ``mm``, ``in``, ``"`` ...
    """
    return re.sub(r"^[-+0-9 .,/]*", "", piece).strip() if not _BARE.fullmatch(piece) else ""


def with_unit(piece: str, pieces: list[str], written: str, what: str) -> str:
    """A length with its unit: a bare number takes the one unit that its neighbours have.

    Args:
        piece: the length, plain.
        pieces: all lengths of the same line, plain.
        written: the whole line, for the refusal.
        what: what to call the line in a refusal.

    Returns:
        The length with a unit.

    Raises:
        SpellingError: a bare number among several units, or no unit at all.
    """
    if not _BARE.fullmatch(piece):
        return piece
    units = sorted({unit_of(one) for one in pieces} - {""})
    if not units:
        raise refuse(what, written, f"has no unit for {piece}", "the unit once, like mm, m or in")
    if len(units) > 1:
        raise refuse(what, written, f"leaves open whether {piece} is in {' or '.join(units)}", f"{piece} with its unit")
    return f"{piece} {units[0]}"


def parse_stations(value: object, what: str = "row of distances") -> tuple[float, ...]:
    """Read rising distances.

    Args:
        value: one text, the unit given at least once, or a list of texts with units.
        what: what to call it in a refusal.

    Returns:
        Distances [m].

    Raises:
        SpellingError: not text, no unit, ambiguous, or out of order.
    """
    if isinstance(value, list | tuple):
        shown = [str(item) for item in value]
        written = ", ".join(shown)
        found = tuple(parse_length(item, what=f"{what}, number {i + 1},") for i, item in enumerate(value))
    elif isinstance(value, str) and value.strip() and len(value) <= MOST_CHARACTERS:
        written = value
        pieces = shown = _pieces(value, what)
        found = tuple(parse_length(with_unit(piece, pieces, value, what), what=what) for piece in pieces)
    else:
        raise SpellingError(f"{what} must be text: write {ACCEPTED}", repr(value)[:60], ACCEPTED)
    for i in range(len(found) - 1):
        if found[i + 1] <= found[i]:
            problem = f"goes from {shown[i]} back to {shown[i + 1]}"
            raise refuse(what, written, problem, f"{ACCEPTED}; was a number misread, or two swapped?")
    return found


def _pieces(text: str, what: str) -> list[str]:
    body = plain(text)
    if ";" in body or re.search(r",\s", body) or ("," in body and "." in body):
        return [piece.strip() for piece in re.split(r";|,\s|(?<=[0-9a-z\"']),(?=[0-9]+\.)|,$", body) if piece.strip()]
    if body.count(",") > 1 and " " not in re.sub(r" ?[a-z]+$", "", body):
        raise refuse(what, text, "may hold decimal commas or a list", "spaces between the numbers")
    if _SPACED.fullmatch(body):
        return _TOKEN.findall(body)
    if re.fullmatch(rf"(?:{DECIMAL} )*{DECIMAL}", body):
        raise refuse(what, text, "has no unit", ACCEPTED)
    if re.search(r"[0-9] [0-9]", body):
        raise refuse(what, text, "cannot be parted into numbers", f"commas between them, or {ACCEPTED}")
    return [body]


def _stations(value: object, info: ValidationInfo) -> tuple[float, ...]:
    si = bool(info.context and info.context.get("si"))
    if si and isinstance(value, list | tuple) and all(isinstance(item, int | float) for item in value):
        return tuple(float(item) for item in value)
    return parse_stations(value, str(info.field_name or "row of distances"))


def _or_same(value: object, info: ValidationInfo) -> object:
    if isinstance(value, str) and plain(value) in ("same as left", "same", "as left"):
        return "same as left"
    return value if value == "same as left" else _stations(value, info)


_ITEM: dict[str, Any] = {"type": "string", "pattern": WITH_UNIT}
_SCHEMA: dict[str, Any] = {
    "anyOf": [_ITEM, {"type": "array", "items": _ITEM}],
    "description": "distances back from the datum, rising",
    "examples": ["0.42 0.88 1.36 1.80 m"],
}
Stations = Annotated[tuple[float, ...], BeforeValidator(_stations), WithJsonSchema(_SCHEMA)]
StationsOrSame = Annotated[
    tuple[float, ...] | str,
    BeforeValidator(_or_same),
    WithJsonSchema({**_SCHEMA, "anyOf": [{"const": "same as left"}, *_SCHEMA["anyOf"]]}),
]
