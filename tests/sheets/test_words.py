"""Numbers on paper against exact fractions: each errs to its safe side, by less than a step."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.models.printed import (
    in_shops_units,
    length,
    mass,
    radius_down,
    radius_up,
    size_down,
    size_near,
    size_up,
)
from ribway.sheets import words

LENGTHS = st.integers(0, 500_000).map(lambda tenths: tenths / 10_000)  # plans are rounded to 0.1 mm
SHARES = st.integers(0, 200_000).map(lambda thousandths: thousandths / 1000)
FEET = re.compile(r"(?:(\d+)')? ?(?:(\d+(?![\d/]))?(?: ?(\d+)/(\d+))?\")?")


def in_metres(text: str) -> Fraction:
    """A printed length, read back without the code that printed it; the foot is 0.3048 m (1959)."""
    text = text.replace(words.GLUE, " ")
    if text.endswith(" m"):
        return Fraction(text.removesuffix(" m"))
    found = FEET.fullmatch(text)
    assert found is not None, text
    feet, inches, upper, lower = (int(part) if part else 0 for part in found.groups())
    return (feet * 12 + inches + Fraction(upper, lower or 1)) * Fraction(254, 10_000)


@given(LENGTHS)
def test_lengths_are_rounded_up_by_less_than_a_step(m: float) -> None:
    exact = Fraction(str(m))
    for units, step in (("metric", Fraction(1, 100)), ("feet and inches", Fraction(254, 40_000))):
        printed = in_metres(length(m, units))
        assert 0 <= printed - exact < step
        assert words.printed_m(m, units) == pytest.approx(float(printed), abs=1e-12)


@given(st.integers(-50_000, 50_000).map(lambda tenths: tenths / 10_000))
def test_places_are_rounded_to_the_nearest(m: float) -> None:
    for units, step in (("metric", Fraction(1, 100)), ("feet and inches", Fraction(254, 40_000))):
        text = words.place(m, units)
        printed = -in_metres(text[1:]) if text.startswith("-") else in_metres(text)
        assert abs(printed - Fraction(str(m))) <= step / 2 + Fraction(1, 10**9)


@given(SHARES)
def test_sizes_in_inches_err_to_their_safe_side_by_less_than_a_step(mm: float) -> None:
    """An inch is 25.4 mm (1959)."""
    exact, inches = Fraction(str(mm)), "feet and inches"
    for up, down, parts in ((size_up, size_down, 32), (radius_up, radius_down, 8)):
        step = Fraction(254, 10 * parts)
        assert 0 <= 1000 * in_metres(up(mm, inches)) - exact < step
        assert 0 <= exact - 1000 * in_metres(down(mm, inches)) < step
    assert abs(1000 * in_metres(size_near(mm, inches)) - exact) <= Fraction(254, 10 * 32 * 2) + Fraction(1, 10**6)


def test_a_sentence_in_metres_is_said_in_inches() -> None:
    """13 mm are 0.512 in, 0.16 m 6.30 in, 8.9 by 5 mm 0.350 by 0.197 in; squares, speeds and names stay."""
    said = "AC lies within 13 mm of C2 for 0.16 m; 8.9 x 5 mm, 2.5 mm2, 3 m/s, M8, 4.50 m"
    assert in_shops_units(said, "metric") == said
    assert (
        in_shops_units(said, "feet and inches")
        == """AC lies within 1/2" of C2 for 6 1/4"; 11/32" x 3/16", 2.5 mm2, 3 m/s, M8, 14' 9 1/4\""""
    )


@given(SHARES)
def test_what_loads_goes_up_and_what_carries_goes_down(value: float) -> None:
    exact = Decimal(str(value))
    assert Decimal(words.percent(value)) == exact.quantize(Decimal("0.1"), ROUND_CEILING)
    assert Decimal(words.volts(value)) == exact.quantize(Decimal("0.01"), ROUND_CEILING)
    assert Decimal(words.bare_room(value, "metric")) == exact.quantize(Decimal("0.1"), ROUND_FLOOR)
    assert Decimal(words.bare_thick(value, "metric")) == exact.quantize(Decimal("0.1"), ROUND_CEILING)
    assert Decimal(words.limit(value)) == exact.quantize(Decimal("0.1"), ROUND_FLOOR)
    up, down = Decimal(words.amps(value)), Decimal(words.carried_amps(value))
    assert down <= exact <= up
    assert up - down <= exact / 100


def test_masses_are_rounded_up_in_their_own_unit() -> None:
    assert mass(1.2311, "metric") == "1.24 kg"
    assert mass(0.45359237, "feet and inches") == "1.00 lb"  # international pound, 1959
    assert mass(0.4536, "feet and inches") == "1.01 lb"


@pytest.mark.parametrize(
    ("mm2", "text"), [(2.5, "2.5 mm²"), (35.0, "35 mm²"), (0.20473, "0.20 mm²"), (2.0816, "2.08 mm²"), (0.0, "")]
)
def test_copper_is_rounded_down(mm2: float, text: str) -> None:
    assert words.area_mm2(mm2) == text
