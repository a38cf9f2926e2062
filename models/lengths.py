"""Lengths as people write them, and lengths written for people.

What is read is refused unless it has one meaning; what is printed is rounded up in its own unit, since a cable that is
a little long can be shortened.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

from ribway.models.written import DECIMAL, plain, read_decimal, refuse, require_text

_ACCEPTED = """3.82 m, 382 cm, 3820 mm, 3m82, 12' 6 1/2", 150.5 in or 2.5 arms"""
_NUMBER = rf"(?:[0-9]+(?: ?- ?| )[0-9]+/[0-9]+|[0-9]+/[0-9]+|{DECIMAL})"
_FOOT = r"(?:'|ft\.?|foot|feet)"
_INCH = r"(?:\"|in\.?|inch|inches)"
_FEET_FORM = re.compile(rf"(?P<feet>{_NUMBER}) ?{_FOOT}(?: ?-? ?(?P<inches>{_NUMBER}) ?{_INCH}?)?")
_METRE_FORM = re.compile(rf"(?P<metres>[0-9]+) ?m ?(?:(?P<two>[0-9]{{2}})|(?P<part>{DECIMAL}) ?(?P<unit>cm|mm))")
_SIMPLE_FORM = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>[a-z.\"' -]+)")
_ARMS = re.compile(r"arms?(?:[ -]lengths?)?")

_INCH_M = Fraction(254, 10_000)  # international inch, 1959: exactly 25.4 mm
_UNITS_M = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(1, 100)),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1, 1000)),
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), _INCH_M),
}
_LONGEST_M = 1000
_TOLERANCE_M = Fraction(1, 10**9)


def parse_length(
    text: object, *, arm_m: float | None = None, what: str = "length", allow_negative: bool = False
) -> float:
    """Read a length in any of the trade's spellings.

    Args:
        text: what stands in the field; only text is accepted.
        arm_m: length of one arm measure [m]; needed by "2.5 arms".
        what: what to call it in a refusal.
        allow_negative: whether a leading minus sign is accepted.

    Returns:
        The length [m], the float nearest to the exact value.

    Raises:
        SpellingError: not text, no unit, ambiguous, negative without leave, or longer than 1000 m.
    """
    written = require_text(text, what, _ACCEPTED)
    body = plain(written)
    negative = body.startswith("-")
    if body[:1] in {"-", "+"}:
        body = body[1:].lstrip()
    metres = _metres(body, written, arm_m, what)
    if negative and metres > 0 and not allow_negative:
        raise refuse(what, written, "is negative", "it without the minus sign")
    if metres > _LONGEST_M:
        raise refuse(what, written, f"is more than {_LONGEST_M} m", "a length that fits a van")
    return float(-metres if negative else metres)


def _metres(body: str, written: str, arm_m: float | None, what: str) -> Fraction:
    """Read a length without sign, typographic marks already plain."""
    if feet := _FEET_FORM.fullmatch(body):
        return _feet(feet["feet"], feet["inches"], written, what)
    if compound := _METRE_FORM.fullmatch(body):
        scale = _UNITS_M[compound["unit"] or "cm"]
        part = read_decimal(compound["two"] or compound["part"], what, written) * scale
        if part >= 1:
            raise refuse(what, written, "has a whole metre or more behind its metres", _ACCEPTED)
        return Fraction(compound["metres"]) + part
    simple = _SIMPLE_FORM.fullmatch(body)
    unit = simple["unit"].strip() if simple else ""
    if simple and unit in _UNITS_M:
        if unit.startswith("mm") or unit.startswith("milli"):
            _refuse_grouped_point(simple["number"], written, what)
        return _number(simple["number"], written, what) * _UNITS_M[unit]
    if simple and _ARMS.fullmatch(unit):
        if arm_m is None:
            raise refuse(
                what, written, "is in arms, but no arm length is set", "a length like 3.82 m, or set the arm length"
            )
        if not (math.isfinite(arm_m) and arm_m > 0):
            raise ValueError(f"arm_m must be a positive number of metres, found {arm_m!r}")
        return _number(simple["number"], written, what) * Fraction(arm_m)
    if short := re.fullmatch(r"([0-9]+) ?m ?([0-9])", body):
        metres, digit = short.groups()
        raise refuse(what, written, "has one digit behind its metres", f"{metres}m{digit}0 or {metres}m0{digit}")
    if re.fullmatch(rf"[0-9]+ ?- ?{_NUMBER}", body):
        raise refuse(what, written, "may be feet and inches or a range", "feet and inches like 12' 6.5\"")
    if re.fullmatch(_NUMBER, body):
        raise refuse(what, written, "has no unit", f"{body} m, {body} cm, {body} mm, {body} ft or {body} in")
    raise refuse(what, written, "cannot be read as a length", _ACCEPTED)


def _feet(feet_text: str, inches_text: str | None, written: str, what: str) -> Fraction:
    feet = _number(feet_text, written, what)
    if inches_text is None:
        return feet * 12 * _INCH_M
    inches = _number(inches_text, written, what)
    if feet.denominator != 1:
        raise refuse(what, written, "has inches behind a part of a foot", "whole feet and inches like 12' 6.5\"")
    if inches >= 12:
        raise refuse(what, written, "has 12 or more inches behind its feet", "inches below 12, or inches only")
    return (feet * 12 + inches) * _INCH_M


def _number(text: str, written: str, what: str) -> Fraction:
    """Read "2.5", "2,5", "1/4", "2 1/4" or "2-1/4" exactly."""
    parts = re.fullmatch(r"(?:([0-9]+)(?: ?- ?| ))?([0-9]+)/([0-9]+)", text)
    if parts is None:
        return read_decimal(text, what, written)
    whole, upper, lower = int(parts[1] or 0), int(parts[2]), int(parts[3])
    if lower == 0 or (parts[1] is not None and upper >= lower):
        raise refuse(what, written, f"holds {upper}/{lower}, which is no proper fraction", _ACCEPTED)
    return whole + Fraction(upper, lower)


def _refuse_grouped_point(number: str, written: str, what: str) -> None:
    """Refuse "1.200 mm": nobody writes thousandths of a millimetre, but many write thousands with a point."""
    grouped = re.fullmatch(r"([1-9][0-9]{0,2})\.([0-9]{3})", number)
    if grouped:
        whole, rest = grouped.groups()
        raise refuse(what, written, "may mean thousands or decimals of a millimetre", f"{whole}{rest} mm or {whole} mm")


@lru_cache(maxsize=4096)
def format_metres(m: float, decimals: int = 2) -> str:
    """Write a length in metres, rounded up to the last decimal printed.

    Args:
        m: the length [m], not negative.
        decimals: decimals printed; 2 is whole centimetres.

    Returns:
        "3.83 m".

    Raises:
        ValueError: negative or not finite.
    """
    steps = _steps_up(m, Fraction(1, 10**decimals))
    whole, part = divmod(steps, 10**decimals)
    return f"{whole}.{part:0{decimals}d} m" if decimals else f"{whole} m"


def format_feet_inches(m: float, denominator: int = 16) -> str:
    """Write a length in feet and inches, rounded up to the next 1/denominator inch.

    Args:
        m: the length [m], not negative.
        denominator: parts of an inch, 1 or more.

    Returns:
        ``12' 6 1/2"``, ``6"`` or ``7/16"``.

    Raises:
        ValueError: negative or not finite length, denominator below 1.
    """
    if denominator < 1:
        raise ValueError(f"denominator must be 1 or more, found {denominator}")
    inches = Fraction(_steps_up(m, _INCH_M / denominator), denominator)
    feet, rest = divmod(inches, 12)
    whole, part = divmod(rest, 1)
    words = [f"{feet}'"] if feet else []
    words.append(f"{whole} {part}" if part and (whole or feet) else f"{part}" if part else f"{whole}")
    return " ".join(words) + '"'


@lru_cache(maxsize=4096)
def format_arms(m: float, arm_m: float, step: float = 0.25) -> str:
    """Write a length in outstretched arms, rounded up to the next step.

    Args:
        m: the length [m], not negative.
        arm_m: one arm measure [m].
        step: parts of an arm a fitter can judge by eye, with at most three decimals.

    Returns:
        "2.25 arms".

    Raises:
        ValueError: negative or not finite length, arm or step not positive, step with more than three decimals.
    """
    if not (math.isfinite(arm_m) and arm_m > 0):
        raise ValueError(f"arm_m must be a positive number of metres, found {arm_m!r}")
    part = Fraction(str(step)) if math.isfinite(step) else Fraction(0)
    if part <= 0 or (part * 1000).denominator != 1:
        raise ValueError(f"step must be positive with at most three decimals, found {step!r}")
    arms = _steps_up(m, part * Fraction(arm_m)) * part
    thousandths = int(arms * 1000)
    number = f"{thousandths // 1000}.{thousandths % 1000:03d}".rstrip("0").rstrip(".")
    return f"{number} arm" if arms == 1 else f"{number} arms"


def _steps_up(m: float, step_m: Fraction) -> int:
    """Count the steps that cover a length; what exceeds a whole count by 1e-9 m or less is float dust."""
    if not (math.isfinite(m) and m >= -_TOLERANCE_M):
        raise ValueError(f"a length to be written must be zero or more metres, found {m!r}")
    return max(0, math.ceil((Fraction(m) - _TOLERANCE_M) / step_m))
