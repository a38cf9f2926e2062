"""The fuse: at least the load with a margin, at most what the weakest conductor behind it may carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.errors import UnknownRuleError, check_number
from ribway.sizing.rules import FuseWindow, fuse_window
from ribway.sizing.tabledata import number_in, table_rows

FAMILIES: Final = ("blade", "bolt-down")
ROUNDING: Final = 1e-9
"""Relative play for comparing numbers that are equal but for the last bits."""


@dataclass(frozen=True)
class FuseRating:
    """A fuse one can buy: family, rating [A], colour of the body (empty if not by colour)."""

    family: str
    rating_a: float
    colour: str


@dataclass(frozen=True)
class FuseChoice:
    """A fuse inside its window.

    Attributes:
        fuse: the fuse.
        least_a: lower edge of the window, from the load [A].
        most_a: upper edge, from the weakest conductor [A].
        window: name of the window.
        warning: what must be said with it; empty if nothing.
    """

    fuse: FuseRating
    least_a: float
    most_a: float
    window: str
    warning: str


@dataclass(frozen=True)
class NoFuse:
    """No fuse fits.

    Attributes:
        least_a: lower edge of the window [A].
        most_a: upper edge [A].
        window: name of the window.
        needed_ampacity_a: derated ampacity of the weakest conductor with which one would fit [A]; None if no conductor
            helps.
        remedy: one sentence: what is wrong and what would cure it.
    """

    least_a: float
    most_a: float
    window: str
    needed_ampacity_a: float | None
    remedy: str


@cache
def fuse_ratings(families: tuple[str, ...] = FAMILIES) -> tuple[FuseRating, ...]:
    """Ratings of the named families, rising; at equal ratings the family named first comes first.

    Raises:
        UnknownRuleError: a family that is not in the data.

    Source: blade ISO 8820-3; bolt-down common practice, no source.
    """
    rows = table_rows("fuse_ratings", ("family", "rating_a", "colour"), ("family", "rating_a"))
    known = sorted({row["family"] for row in rows})
    for family in families:
        if family not in known:
            raise UnknownRuleError(f"fuse family {family!r} is not known; accepted: {', '.join(known)}")
    found = [
        FuseRating(row["family"], number_in("fuse_ratings", row, "rating_a"), row["colour"])
        for row in rows
        if row["family"] in families
    ]
    return tuple(sorted(found, key=lambda rating: (rating.rating_a, families.index(rating.family))))


def choose_fuse(
    load_a: float,
    weakest_derated_a: float,
    window: str | FuseWindow = "careful",
    families: Sequence[str] = FAMILIES,
) -> FuseChoice | NoFuse:
    """The smallest fuse one can buy inside the window.

    Args:
        load_a: design current of everything behind the fuse [A].
        weakest_derated_a: derated ampacity of the weakest conductor behind it, to the thinnest tail [A].
        window: window or its name.
        families: families to choose from, the preferred first.

    Returns:
        The fuse, or why none fits and what would cure it.

    Raises:
        BadNumberError, UnknownRuleError: for a bad number or an unknown name.

    Source: load x 1.25, next standard size up: common practice; 150 %: 33 CFR 183.455.
    """
    rule, least_a, most_a = _edges(load_a, weakest_derated_a, window)
    enough = [rating for rating in fuse_ratings(tuple(families)) if rating.rating_a >= least_a * (1.0 - ROUNDING)]
    if not enough:
        biggest = fuse_ratings(tuple(families))[-1].rating_a if families else 0.0
        remedy = f"{load_a:.4g} A needs a fuse of {least_a:.4g} A; the biggest is {biggest:g} A: split the circuit"
        return NoFuse(least_a, most_a, rule.name, None, remedy)
    return _inside(enough[0], least_a, most_a, weakest_derated_a, rule)


def check_fuse(
    fuse_a: float, load_a: float, weakest_derated_a: float, window: str | FuseWindow = "careful"
) -> FuseChoice | NoFuse:
    """Whether a fuse that is already settled lies inside the window.

    Args:
        fuse_a: its rating [A]; need not be in the table.
        load_a, weakest_derated_a, window: see `choose_fuse`.

    Returns:
        The fuse, or why it does not fit and what would cure it.
    """
    check_number(fuse_a, "fuse rating [A]", positive=True)
    rule, least_a, most_a = _edges(load_a, weakest_derated_a, window)
    if fuse_a < least_a * (1.0 - ROUNDING):
        remedy = f"the {fuse_a:g} A fuse is too small for {load_a:.4g} A: take {least_a:.4g} A or the next size up"
        return NoFuse(least_a, most_a, rule.name, None, remedy)
    known = [rating for rating in fuse_ratings() if rating.rating_a == fuse_a]
    fuse = known[0] if known else FuseRating("as stated", fuse_a, "")
    return _inside(fuse, least_a, most_a, weakest_derated_a, rule)


def _edges(load_a: float, weakest_derated_a: float, window: str | FuseWindow) -> tuple[FuseWindow, float, float]:
    check_number(load_a, "load behind the fuse [A]")
    check_number(weakest_derated_a, "derated ampacity of the weakest conductor [A]")
    rule = fuse_window(window) if isinstance(window, str) else window
    return rule, load_a * rule.load_factor, weakest_derated_a * rule.ampacity_factor


def _inside(fuse: FuseRating, least_a: float, most_a: float, weakest_a: float, rule: FuseWindow) -> FuseChoice | NoFuse:
    if fuse.rating_a <= most_a * (1.0 + ROUNDING):
        return FuseChoice(fuse, least_a, most_a, rule.name, rule.warning)
    needed_a = fuse.rating_a / rule.ampacity_factor
    remedy = (
        f"a {fuse.rating_a:g} A fuse needs conductors that may carry {needed_a:.4g} A; the weakest may carry "
        f"{weakest_a:.4g} A: take a thicker one, a cooler place or a smaller bundle, or a fuse of its own for it"
    )
    return NoFuse(least_a, most_a, rule.name, needed_a, remedy)
