"""Currents, powers, voltages, shares, temperatures; and the nearest known word."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.models.amounts import parse_amps, parse_celsius, parse_percent, parse_volts, parse_watts
from ribway.models.faults import SpellingError
from ribway.models.nearest import nearest_word

Parse = Callable[[object], float]
PARSERS: list[Parse] = [parse_amps, parse_celsius, parse_percent, parse_volts, parse_watts]


# SI prefixes: BIPM SI brochure, 9th edition, table 7; 140 F = 60 C and 32 F = 0 C by the scale's definition.
@pytest.mark.parametrize(
    ("parse", "text", "expected"),
    [
        (parse_amps, "4 A", 4.0),
        (parse_amps, "0,5A", 0.5),
        (parse_amps, "300 mA", 0.3),
        (parse_amps, "2 kA", 2000.0),
        (parse_amps, "4 amps", 4.0),
        (parse_amps, "0 A", 0.0),
        (parse_watts, "60W", 60.0),
        (parse_watts, "1.5 kW", 1500.0),
        (parse_watts, "0,125 W", 0.125),
        (parse_watts, "500 mW", 0.5),
        (parse_volts, "12 V", 12.0),
        (parse_volts, "500 mV", 0.5),
        (parse_volts, "12.8 volts", 12.8),
        (parse_percent, "3 %", 3.0),
        (parse_percent, "2,5%", 2.5),
        (parse_percent, "3 per cent", 3.0),
        (parse_celsius, "60 °C", 60.0),
        (parse_celsius, "60 C", 60.0),
        (parse_celsius, "60 ºC", 60.0),
        (parse_celsius, "60℃", 60.0),
        (parse_celsius, "60 deg C", 60.0),
        (parse_celsius, "-20 C", -20.0),
        (parse_celsius, "140 °F", 60.0),
        (parse_celsius, "32F", 0.0),
    ],
)
def test_read(parse: Parse, text: str, expected: float) -> None:
    assert parse(text) == expected


@pytest.mark.parametrize(
    ("parse", "text", "problem"),
    [
        (parse_amps, "4", "has no unit"),
        (parse_amps, "60 W", "is not in A"),
        (parse_amps, "5A@12V", "is not in A"),
        (parse_amps, "0.4 A (x8)", "is not in A"),
        (parse_amps, "4 MA", "is a million"),
        (parse_amps, "-3 A", "outside 0 to 1000000 A"),
        (parse_amps, "1,500 A", "exactly three digits"),
        (parse_amps, "nan A", "not one number"),
        (parse_amps, "inf A", "not one number"),
        (parse_amps, "1e3 A", "is not in A"),
        (parse_watts, "1 MW", "is a million"),
        (parse_watts, "1000 kW", "outside 0 to 100000 W"),
        (parse_volts, "12-14 V", "not one number"),
        (parse_volts, "2000 V", "outside 0 to 1500 V"),
        (parse_percent, "101 %", "outside 0 to 100 %"),
        (parse_percent, "3", "has no unit"),
        (parse_celsius, "60", "has no unit"),
        (parse_celsius, "60 K", "degrees Celsius"),
        (parse_celsius, "60 °", "degrees Celsius"),
        (parse_celsius, "400 °C", "outside -60 to 300 °C"),
        (parse_celsius, "", "is empty"),
    ],
)
def test_refused(parse: Parse, text: str, problem: str) -> None:
    with pytest.raises(SpellingError) as caught:
        parse(text)
    assert problem in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.found == text


@pytest.mark.parametrize("parse", PARSERS)
@pytest.mark.parametrize("value", [4, 4.0, True, None, date(2026, 1, 2), [4, "5 A"]])
def test_only_text_is_read(parse: Parse, value: object) -> None:
    with pytest.raises(SpellingError, match="put it in quotes"):
        parse(value)


@given(st.decimals(min_value=0, max_value=100, places=2), st.sampled_from([(parse_amps, "A"), (parse_percent, "%")]))
def test_plain_numbers_come_back(number: object, field: tuple[Parse, str]) -> None:
    parse, unit = field
    assert parse(f"{number} {unit}") == float(str(number))


def test_the_name_of_the_field_is_in_the_sentence() -> None:
    with pytest.raises(SpellingError, match=r"^fridge current <4> has no unit: write 4 A"):
        parse_amps("4", what="fridge current")


def test_nearest_word() -> None:
    keys = ["arm_length", "slack", "tails", "cut_step", "bend_costs", "drill_costs"]
    assert nearest_word("arm lenght", keys) == "arm_length"
    assert nearest_word("Cut-Step", keys) == "cut_step"
    assert nearest_word("drilcosts", keys) == "drill_costs"
    assert nearest_word("zzz", keys) is None
    assert nearest_word("", keys) is None
    assert nearest_word("slack", []) is None


def test_nearest_word_does_not_depend_on_the_order_of_the_choices() -> None:
    assert nearest_word("wal", ["wall", "walk"]) == nearest_word("wal", ["walk", "wall"]) == "walk"
