"""Fuse ratings and windows against ISO 8820-3 and 33 CFR 183.455 as copied into tests/data/checks/rules.csv."""

import csv
from pathlib import Path

import pytest

from ribway.sizing.errors import BadNumberError, UnknownRuleError
from ribway.sizing.fuse import FuseChoice, NoFuse, check_fuse, choose_fuse, fuse_ratings

RULES = {
    row["rule"]: row["value"]
    for row in csv.DictReader((Path(__file__).parents[1] / "data" / "checks" / "rules.csv").open(encoding="utf-8"))
}


def test_blade_ratings_and_colours():
    printed = [part.split(" ", 1) for part in RULES["blade fuse ratings (A) and colours"].split(", ")]
    ours = [(rating.rating_a, rating.colour) for rating in fuse_ratings(("blade",))]
    assert ours == [(float(rating), colour) for rating, colour in printed]


def test_bolt_down_from_30_to_500():
    """Common practice, no source."""
    ratings = [rating.rating_a for rating in fuse_ratings(("bolt-down",))]
    assert (ratings[0], ratings[-1]) == (30, 500)
    assert ratings == sorted(set(ratings))


@pytest.mark.parametrize(
    ("load", "weakest", "rating"),
    [(0, 20, 1), (4, 20, 5), (4.01, 20, 7.5), (8, 20, 10), (8.01, 20, 15), (16, 20, 20), (32, 60, 40),
     (33, 60, 50), (400, 900, 500)],
)  # fmt: skip
def test_smallest_rating_of_at_least_125_percent(load, weakest, rating):
    """rules.csv: at least 125 % of the load, next standard size up."""
    choice = choose_fuse(load, weakest)
    assert isinstance(choice, FuseChoice)
    assert choice.fuse.rating_a == rating
    assert choice.warning == ""
    assert choice.least_a <= rating <= choice.most_a


def test_blade_is_preferred_unless_said_otherwise():
    preferred, other = choose_fuse(24, 50), choose_fuse(24, 50, families=("bolt-down", "blade"))
    assert isinstance(preferred, FuseChoice)
    assert isinstance(other, FuseChoice)
    assert (preferred.fuse.family, other.fuse.family) == ("blade", "bolt-down")


def test_no_room_says_what_would_cure_it():
    """10 A wants 12.5 -> 15 A; a wire for 14 A may not stand behind it."""
    answer = choose_fuse(10, 14)
    assert isinstance(answer, NoFuse)
    assert answer.needed_ampacity_a == 15
    assert "15 A" in answer.remedy
    assert isinstance(choose_fuse(10, 15), FuseChoice)


def test_150_percent_is_a_named_preset_that_warns():
    """rules.csv: not more than 150 % (33 CFR 183.455), a legal maximum."""
    assert "150 %" in RULES["fuse rating against conductor ampacity below 50 V"]
    for name in ("33CFR183-150", "33 CFR 183 limit"):
        choice = choose_fuse(10, 10, name)
        assert isinstance(choice, FuseChoice)
        assert choice.fuse.rating_a == 15
        assert "150 %" in choice.warning
    short = choose_fuse(10, 9.9, "33CFR183-150")
    assert isinstance(short, NoFuse)
    assert short.needed_ampacity_a == 10


def test_beyond_the_biggest_fuse():
    answer = choose_fuse(401, 2000)
    assert isinstance(answer, NoFuse)
    assert answer.needed_ampacity_a is None
    assert "split" in answer.remedy


def test_settled_fuse():
    fits = check_fuse(20, 16, 20)
    assert isinstance(fits, FuseChoice)
    assert fits.fuse.colour == "yellow"
    too_small, too_big, odd = check_fuse(19, 16, 40), check_fuse(25, 16, 20), check_fuse(22, 16, 25)
    assert isinstance(too_small, NoFuse)
    assert too_small.needed_ampacity_a is None
    assert isinstance(too_big, NoFuse)
    assert too_big.needed_ampacity_a == 25
    assert isinstance(odd, FuseChoice)
    assert odd.fuse.family == "as stated"


def test_unknown_names_and_bad_numbers_are_refused():
    with pytest.raises(UnknownRuleError, match="accepted: careful"):
        choose_fuse(1, 10, "loose")
    with pytest.raises(UnknownRuleError, match="glass"):
        choose_fuse(1, 10, families=("glass",))
    with pytest.raises(BadNumberError, match="load"):
        choose_fuse(float("nan"), 10)
    with pytest.raises(BadNumberError, match="weakest"):
        choose_fuse(1, -1)
