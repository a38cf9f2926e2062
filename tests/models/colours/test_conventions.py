"""Wire colours by convention, against the colours that the standards give."""

from __future__ import annotations

from typing import get_args

import pytest

from ribway.models.colours.conventions import AcColours, DcColours, colour_of, conventions, double_meanings
from ribway.models.shop import Shop

STANDARD = [
    # ABYC E-11 and ISO 10133: red positive, yellow or black negative
    ("red and black", "positive", "red"),
    ("red and black", "negative", "black"),
    ("red and yellow", "positive", "red"),
    ("red and yellow", "negative", "yellow"),
    # ABYC E-11, United States: black, white, green
    ("black and white", "line", "black"),
    ("black and white", "neutral", "white"),
    ("black and white", "earth", "green"),
    # IEC 60445: brown, blue, green and yellow
    ("brown and blue", "line", "brown"),
    ("brown and blue", "neutral", "blue"),
    ("brown and blue", "earth", "green with yellow stripe"),
]
POWER_DC = {"positive", "negative", "switched positive", "dimmed positive", "traveller", "control positive",
            "switched control positive"}  # fmt: skip
POWER_AC = {"line", "neutral", "earth", "switched line"}


@pytest.mark.parametrize(("convention", "function", "colour"), STANDARD)
def test_the_colours_of_the_standards(convention: str, function: str, colour: str) -> None:
    dc, ac = (convention, "brown and blue") if convention.startswith("red") else ("red and black", convention)
    assert colour_of(function, dc, ac) == colour


def test_every_setting_has_its_convention_and_every_function_a_colour() -> None:
    assert set(conventions()) == {*get_args(DcColours), *get_args(AcColours)}
    for name, colours in conventions().items():
        assert set(colours) == (POWER_DC if name in get_args(DcColours) else POWER_AC)
    assert (Shop().dc_colours, Shop().ac_colours) == ("red and black", "brown and blue")


def test_no_convention_gives_two_things_one_colour() -> None:
    for name, colours in conventions().items():
        kind = "dc" if name in get_args(DcColours) else "ac"
        assert double_meanings((kind, function, colour) for function, colour in colours.items()) == {}, name


@pytest.mark.parametrize(
    ("dc", "ac", "found"),
    [
        ("red and black", "black and white", {"black": ("AC line", "DC negative")}),  # the trap of a van with US mains
        ("red and brown", "brown and blue", {"brown": ("AC line", "DC negative")}),
        ("red and yellow", "black and white", {}),
        ("red and black", "brown and blue", {}),
    ],
)
def test_a_colour_that_means_two_things_is_found(dc: str, ac: str, found: dict[str, tuple[str, ...]]) -> None:
    wires = [("dc", name, colour_of(name, dc, ac)) for name in ("positive", "negative", "traveller", "spare")]
    wires += [("ac", name, colour_of(name, dc, ac)) for name in ("line", "neutral", "earth")]
    assert double_meanings(wires) == found


def test_a_core_that_nothing_needs_means_nothing() -> None:
    assert colour_of("spare", "red and black", "brown and blue") == "spare"
    assert double_meanings([("dc", "spare", "black"), ("dc", "negative", "black")]) == {}
