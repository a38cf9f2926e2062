"""Lengths: every row of the trade's spellings, refusals, and the forms in which lengths are printed."""

from __future__ import annotations

import csv
import re
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from ribway.models.faults import SpellingError
from ribway.models.lengths import format_arms, format_feet_inches, format_metres, parse_length

SPELLINGS = Path(__file__).parents[1] / "data" / "checks" / "spellings.csv"
ROWS = list(csv.DictReader(SPELLINGS.read_text(encoding="utf-8").splitlines()))
LENGTH_ROWS = [row for row in ROWS if row["kind"] == "length"]
WITH_VALUE = [
    (spelling, row["means"])
    for row in LENGTH_ROWS
    for spelling in row["written"].split(" | ")
    if re.search(r"^[\d.]+ mm$|arm length", row["means"])
]
REFUSED = [row["written"] for row in LENGTH_ROWS if "refuse" in row["means"]]
ARM_M = 1.7

metres = st.floats(min_value=0.0, max_value=900.0, allow_nan=False)


def test_every_row_of_the_file_is_exercised() -> None:
    assert len(LENGTH_ROWS) == 9
    assert {row["written"] for row in LENGTH_ROWS} == {
        row["written"]
        for row in LENGTH_ROWS
        if row["written"] in REFUSED or row["written"].split(" | ")[0] in dict(WITH_VALUE)
    }


@pytest.mark.parametrize(("spelling", "means"), WITH_VALUE)
def test_spelling_means_what_the_trade_means(spelling: str, means: str) -> None:
    """Source: tests/data/checks/spellings.csv; a length there is given to 0.01 mm."""
    in_arms = "arm length" in means
    expected_mm = float(spelling.split()[0]) * ARM_M * 1000 if in_arms else float(means.split()[0])
    assert parse_length(spelling, arm_m=ARM_M) * 1000 == pytest.approx(expected_mm, abs=0.005)


@pytest.mark.parametrize("written", REFUSED)
def test_refused_row(written: str) -> None:
    """A row names either the text itself or a YAML list that a missing quote makes of it."""
    lists = [text for text in re.findall(r"\[.*?\]", written) if " m]" in text]
    if not lists:
        with pytest.raises(SpellingError, match="exactly three digits"):
            parse_length(written)
    for text in lists:
        broken = YAML(typ="safe").load(text)
        assert len(broken) == 2
        for value in (broken, broken[0]):
            with pytest.raises(SpellingError, match="put it in quotes"):
                parse_length(value)


@pytest.mark.parametrize("value", [1200, 3.82, True, None, date(2026, 10, 3), [3, "82 m"], {"m": 3}, b"3 m"])
def test_only_text_is_read(value: object) -> None:
    with pytest.raises(SpellingError, match="put it in quotes") as caught:
        parse_length(value, what="tail")
    assert str(caught.value).startswith("tail must be text")
    assert caught.value.found == repr(value)
    assert "3.82 m" in caught.value.accepted


# Closed forms: inch 25.4 mm exactly (1959), foot 12 inches; each written value by hand.
@pytest.mark.parametrize(
    ("text", "expected_m"),
    [
        ("1.2 m", 1.2),
        ("3,8 m", 3.8),
        ("3m80", 3.8),
        ("3 m 80", 3.8),
        ("3m05", 3.05),
        ("3 m 82 cm", 3.82),
        ("3m 820mm", 3.82),
        ("3820 MM", 3.82),
        ("2 metres", 2.0),
        (".5 m", 0.5),
        ("0,125 m", 0.125),
        ("1.200 m", 1.2),
        ("1/2 m", 0.5),
        ("12\u2032 6\u2033", 3.81),
        ("12\u2019 6\u201d", 3.81),
        ("12' 6", 3.81),
        ("12 feet - 6 inches", 3.81),
        ("6''", 0.1524),
        ("6¾ in", 0.17145),
        ('2-1/4"', 0.05715),
        ('⅛"', 0.003175),
        ("½ arm", 0.85),
        ("3 arm lengths", 5.1),
        ("  7\u00a0cm ", 0.07),
        ("0 m", 0.0),
        ("+2 m", 2.0),
    ],
)
def test_other_spellings(text: str, expected_m: float) -> None:
    assert parse_length(text, arm_m=ARM_M) == pytest.approx(expected_m, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("1200", "has no unit"),
        ("3,8", "has no unit"),
        ("", "is empty"),
        ("   ", "is empty"),
        ("12-6.5", "feet and inches or a range"),
        ("3,820 m", "exactly three digits"),
        ("1234,567 mm", "exactly three digits"),
        ("1.200 mm", "thousands or decimals"),
        ("3m8", "3m80 or 3m08"),
        ("3m825", "cannot be read"),
        ("3 m 182 cm", "whole metre or more"),
        ("1 200 mm", "cannot be read"),
        ("nan m", "cannot be read"),
        ("inf m", "cannot be read"),
        ("1e3 mm", "cannot be read"),
        ("1000.1 m", "more than 1000 m"),
        ("9" * 50 + " m", "more than 1000 m"),
        ("9" * 5000 + " m", "longer than 60"),
        ("-0.3 m", "is negative"),
        ("\u22120.3 m", "is negative"),
        ("12' 12\"", "12 or more inches"),
        ("7.5' 3\"", "part of a foot"),
        ('6 9/8"', "no proper fraction"),
        ("1/0 m", "no proper fraction"),
        ("½2 m", "cannot be read"),
        ("3² m", "cannot be read"),
        ("3 m²", "cannot be read"),
        ("\uff15 m", "cannot be read"),
        ("1.5 furlong", "cannot be read"),
        ("2.5 arms", "no arm length"),
    ],
)
def test_refused(text: str, problem: str) -> None:
    with pytest.raises(SpellingError) as caught:
        parse_length(text)
    assert problem in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.found == text
    assert len(str(caught.value)) < 300


def test_minus_sign_needs_leave() -> None:
    assert parse_length("-0.3 m", allow_negative=True) == -0.3
    assert parse_length('\u2212½"', allow_negative=True) == -0.0127
    with pytest.raises(SpellingError, match="more than 1000 m"):
        parse_length("-1001 m", allow_negative=True)


@pytest.mark.parametrize("arm_m", [0.0, -1.7, float("nan"), float("inf")])
def test_arm_must_be_a_length(arm_m: float) -> None:
    with pytest.raises(ValueError, match="arm_m must be"):
        parse_length("2 arms", arm_m=arm_m)
    with pytest.raises(ValueError, match="arm_m must be"):
        format_arms(1.0, arm_m)


def _covers(text: str, m: float, step_m: Fraction, arm_m: float | None = None) -> None:
    """The printed length covers the true one, and by less than one step (1e-9 m is float dust, 1e-12 its reading)."""
    back = Fraction(parse_length(text, arm_m=arm_m))
    assert back >= Fraction(m) - Fraction(1, 10**9) - Fraction(1, 10**12), text
    assert back < Fraction(m) + step_m, text


@given(metres, st.integers(min_value=0, max_value=3))
def test_metres_are_rounded_up(m: float, decimals: int) -> None:
    _covers(format_metres(m, decimals), m, Fraction(1, 10**decimals))


@given(metres, st.sampled_from([1, 2, 4, 8, 10, 16, 32, 64]))
def test_feet_and_inches_are_rounded_up(m: float, denominator: int) -> None:
    _covers(format_feet_inches(m, denominator), m, Fraction(254, 10_000) / denominator)


@given(metres, st.floats(min_value=1.2, max_value=2.2), st.sampled_from([0.1, 0.125, 0.25, 0.5, 1.0]))
def test_arms_are_rounded_up(m: float, arm_m: float, step: float) -> None:
    _covers(format_arms(m, arm_m, step), m, Fraction(str(step)) * Fraction(arm_m), arm_m)


@given(st.integers(min_value=0, max_value=50_000), st.sampled_from([-0.9e-9, 0.0, 0.9e-9]))
def test_exact_multiples_are_not_pushed_up(count: int, dust_m: float) -> None:
    """A whole count of steps keeps its count, with float dust on either side of it."""
    hundredths, sixteenths, quarters = count / 100 + dust_m, count * 0.0254 / 16 + dust_m, count * 1.7 / 4 + dust_m
    assert format_metres(hundredths) == f"{count // 100}.{count % 100:02d} m"
    assert round(parse_length(format_feet_inches(sixteenths)) / 0.0254 * 16) == count
    assert float(format_arms(quarters, 1.7).split()[0]) == count / 4


def test_more_than_dust_is_pushed_up() -> None:
    assert format_metres(1.0 + 2e-9) == "1.01 m"
    assert format_feet_inches(0.3048 + 2e-9) == "1' 0 1/16\""
    assert format_arms(1.7 + 2e-9, 1.7) == "1.25 arms"


def test_printed_forms() -> None:
    """By hand: 150.5 in = 3.8227 m; 5 ft 6 15/16 in = 1.70021 m is the first sixteenth above 1.70 m."""
    assert [format_metres(3.8227), format_metres(3.8227, 3), format_metres(3.8227, 0)] == ["3.83 m", "3.823 m", "4 m"]
    assert format_feet_inches(3.8227) == "12' 6 1/2\""
    assert format_feet_inches(1.70) == "5' 6 15/16\""
    assert format_feet_inches(0.0127) == '1/2"'
    assert format_feet_inches(0.1524) == '6"'
    assert format_feet_inches(0.0) == '0"'
    assert format_feet_inches(0.31, 1) == "1' 1\""
    assert [format_arms(1.7, 1.7), format_arms(1.71, 1.7), format_arms(0.0, 1.7)] == ["1 arm", "1.25 arms", "0 arms"]


@pytest.mark.parametrize("m", [-0.001, float("nan"), float("inf")])
def test_only_a_length_is_printed(m: float) -> None:
    for write in (format_metres, format_feet_inches, lambda value: format_arms(value, 1.7)):
        with pytest.raises(ValueError, match="zero or more metres"):
            write(m)


def test_steps_that_cannot_be_printed_are_refused() -> None:
    with pytest.raises(ValueError, match="denominator"):
        format_feet_inches(1.0, 0)
    for step in (0.0, -0.25, 1 / 3, float("nan")):
        with pytest.raises(ValueError, match="three decimals"):
            format_arms(1.0, 1.7, step)
