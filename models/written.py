"""What every written quantity has in common: it is text, it is typeset in many ways, it holds decimal numbers."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, time
from fractions import Fraction

from ribway.models.faults import SpellingError

DECIMAL = r"(?:[0-9]+(?:[.,][0-9]+)?|\.[0-9]+)"
_LONGEST = 60  # characters: longer than any honest spelling, and short enough to be quoted in a sentence

_KEYBOARD = {
    '"': (
        "\N{DOUBLE PRIME}",
        "\N{LEFT DOUBLE QUOTATION MARK}",
        "\N{RIGHT DOUBLE QUOTATION MARK}",
        "\N{DOUBLE LOW-9 QUOTATION MARK}",
        "\N{DOUBLE HIGH-REVERSED-9 QUOTATION MARK}",
    ),
    "'": (
        "\N{PRIME}",
        "\N{RIGHT SINGLE QUOTATION MARK}",
        "\N{LEFT SINGLE QUOTATION MARK}",
        "\N{SINGLE HIGH-REVERSED-9 QUOTATION MARK}",
        "\N{MODIFIER LETTER PRIME}",
        "\N{ACUTE ACCENT}",
        "\N{GRAVE ACCENT}",
    ),
    "-": (
        "\N{MINUS SIGN}",
        "\N{EN DASH}",
        "\N{EM DASH}",
        "\N{HYPHEN}",
        "\N{NON-BREAKING HYPHEN}",
        "\N{FIGURE DASH}",
    ),
    "/": (
        "\N{FRACTION SLASH}",
        "\N{DIVISION SLASH}",
    ),
    "x": ("\N{MULTIPLICATION SIGN}",),
    "^2": ("\N{SUPERSCRIPT TWO}",),
    "°": ("\N{MASCULINE ORDINAL INDICATOR}",),
}
_PLAIN = str.maketrans({sign: key for key, signs in _KEYBOARD.items() for sign in signs})


def refuse(what: str, found: str, problem: str, accepted: str) -> SpellingError:
    """Build the one-sentence refusal of a text.

    Args:
        what: the quantity, "length".
        found: the text as it was written.
        problem: what is wrong with it, as the rest of a sentence: "has no unit".
        accepted: examples of what is accepted.

    Returns:
        The error, to be raised.
    """
    shown = found if len(found) <= _LONGEST else found[:_LONGEST] + "..."
    return SpellingError(f"{what} <{shown}> {problem}: write {accepted}", found, accepted)


def require_text(value: object, what: str, accepted: str) -> str:
    """Let text through and nothing else, since a number or a date has already lost what was written.

    Args:
        value: what stands in the field.
        what: the quantity, "length".
        accepted: examples of what is accepted.

    Returns:
        The text, unchanged.

    Raises:
        SpellingError: not text, empty, or too long to be a quantity.
    """
    if not isinstance(value, str):
        raise SpellingError(
            f"{what} must be text, but {_kind(value)} was found: put it in quotes, with its unit, like {accepted}",
            repr(value),
            accepted,
        )
    if not value.strip():
        raise refuse(what, value, "is empty", accepted)
    if len(value) > _LONGEST:
        raise refuse(what, value, f"is longer than {_LONGEST} characters", accepted)
    return value


def plain(text: str) -> str:
    """Turn typographic marks into those of a keyboard, in small letters with single spaces.

    Args:
        text: as written.

    Returns:
        Primes and curly quotes as ``'`` and ``"``, two single quotes as ``"``, dashes as ``-``, ``½`` as ``1/2``
        apart from its neighbours, and ``²`` as ``^2``, so that it never joins a number.
    """
    parts: list[str] = []
    for sign in text.translate(_PLAIN):
        if unicodedata.decomposition(sign).startswith("<fraction>"):
            value = Fraction(unicodedata.numeric(sign)).limit_denominator(10)
            parts.append(f" {value.numerator}/{value.denominator} ")
        else:
            parts.append(sign)
    return " ".join("".join(parts).replace("''", '"').casefold().split())


def read_decimal(digits: str, what: str, found: str) -> Fraction:
    """Read a decimal number with a point or a comma, exactly.

    Args:
        digits: text matching `DECIMAL`.
        what: the quantity, for the refusal.
        found: the whole text as written, for the refusal.

    Returns:
        Its value.

    Raises:
        SpellingError: a comma followed by exactly three digits, which means thousands to some and decimals to others.
            Behind a leading zero (``0,125``) it can only be decimals and is read.
    """
    grouped = re.fullmatch(r"([0-9]+),([0-9]{3})", digits)
    if grouped and int(grouped[1]) != 0:
        whole, decimals = grouped.groups()
        raise refuse(
            what,
            found,
            "has one comma and exactly three digits behind it, which may mean thousands or decimals",
            f"{whole}{decimals} or {f'{whole}.{decimals}'.rstrip('0').rstrip('.')} with its unit",
        )
    return Fraction(digits.replace(",", "."))


def _kind(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "a yes/no value"
    if isinstance(value, int | float):
        return f"the number {value!r}"
    if isinstance(value, date | time):
        return f"the date or time {value}"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)} items"
    return f"a {type(value).__name__}"
