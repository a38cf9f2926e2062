"""One number reads the same wherever it is printed, and errs to its safe side."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway import units
from ribway.models.printed import counted, length, mass, rounded_down, rounded_up, three_digits_down, three_digits_up
from ribway.sheets import words


@given(st.integers(0, 10**7).map(lambda number: number / 10_000), st.integers(0, 3))
def test_up_and_down_against_decimals(value: float, decimals: int) -> None:
    exact, step = Decimal(str(value)), Decimal(1).scaleb(-decimals)
    assert Decimal(rounded_up(value, decimals)) == exact.quantize(step, ROUND_CEILING)
    assert Decimal(rounded_down(value, decimals)) == exact.quantize(step, ROUND_FLOOR)


def test_a_mass_is_rounded_up_in_its_own_unit() -> None:
    assert mass(3.7602, "metric") == "3.77 kg"
    assert mass(3.76, "metric") == "3.76 kg"
    # 0.7175 kg / 0.45359237 kg/lb (international pound, 1959) = 1.5818 lb
    assert mass(0.7175, "feet and inches") == "1.59 lb"


@pytest.mark.parametrize("value", [0.0, 0.0123456, 2.401, 7.5, 16.329, 103.9, 1234.5])
def test_terminal_and_papers_say_the_same_number(value: float) -> None:
    assert units.amps(value) == f"{words.amps(value)} A" == f"{three_digits_up(value)} A"
    assert units.carried_amps(value) == f"{words.carried_amps(value)} A" == f"{three_digits_down(value)} A"
    assert units.percent(value) == f"{words.percent(value)} %"
    assert units.volts(value) == f"{words.volts(value)} V"
    assert units.signed_length(value, "metric") == f"+{length(value, 'metric')}"


def test_one_and_many() -> None:
    assert counted(1, "opening") == "1 opening"
    assert counted(2, "opening") == "2 openings"
    assert counted(0, "loom") == "0 looms"
    assert counted(3, "box", "boxes") == "3 boxes"
