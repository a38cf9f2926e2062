"""Named rule sets: which bundle factors, ambient correction, least size and fuse window apply. Data in `tables/`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Literal, get_args

from ribway.sizing.errors import TableFaultError, UnknownRuleError
from ribway.sizing.tabledata import number_in, table_rows

AMBIENT_RULES = ("NEC", "none")
"""`NEC`: the formula of NEC 310.15(B), top of the 5 K band. `none`: no correction."""
BASES = ("33CFR183", "ISO10133", "NEC310", "NEC310-60", "IEC60364")
"""Tables of amperes: see `bases.py`."""
Derating = Literal["stricter", "factor", "heat"]
"""What a bundle takes away: the named factor, the heat balance of the section, or whichever leaves less."""


@dataclass(frozen=True)
class BundleStep:
    """Factor for a count of loaded conductors: from `least` to `most` (None: no end)."""

    least: int
    most: int | None
    factor: float


@dataclass(frozen=True)
class FuseWindow:
    """Where a fuse may lie between load and wire.

    Attributes:
        name: its name.
        load_factor: the fuse is at least this times the load.
        ampacity_factor: the fuse is at most this times the derated ampacity of the weakest conductor behind it.
        warning: said with every fuse chosen under it; empty if none.
    """

    name: str
    load_factor: float
    ampacity_factor: float
    warning: str


@dataclass(frozen=True)
class LeastSize:
    """Thinnest conductor allowed whatever the current: alone, and in a sheath [mm2]."""

    name: str
    single_mm2: float
    sheath_mm2: float
    source: str


def _plain(name: str) -> str:
    """Name without spaces, so that `33 CFR 183` and `33CFR183` are one."""
    return "".join(name.split()).casefold()


def _unknown(what: str, name: str, known: list[str]) -> UnknownRuleError:
    return UnknownRuleError(f"{what} {name!r} is not known; accepted: {', '.join(known)}")


@cache
def bundle_steps(name: str) -> tuple[BundleStep, ...]:
    """The factors of a named bundle rule: `33CFR183`, `NEC`, `IEC60364` or `none`.

    Raises:
        UnknownRuleError: listing the known names.

    Source: column `source` of tables/bundle_factors.csv.
    """
    table, columns = "bundle_factors", ("rule_set", "from_count", "to_count", "factor")
    rows = table_rows(table, columns, ("rule_set", "from_count"))
    steps = tuple(
        BundleStep(
            int(number_in(table, row, "from_count")),
            int(number_in(table, row, "to_count")) if row["to_count"] else None,
            number_in(table, row, "factor"),
        )
        for row in rows
        if _plain(row["rule_set"]) == _plain(name)
    )
    if not steps:
        raise _unknown("bundle rule", name, sorted({row["rule_set"] for row in rows}))
    for step, after in pairwise(steps):
        if step.most is None or after.least != step.most + 1 or after.factor >= step.factor:
            raise TableFaultError(f"{table}.csv: the steps of {name} leave a gap, overlap or rise after {step.least}")
    if steps[-1].most is not None or not 0.0 < steps[0].factor <= 1.0:
        raise TableFaultError(f"{table}.csv: the last step of {name} must have no end, and factors be at most 1")
    return steps


def bundle_factor(name: str, loaded_conductors: int) -> float:
    """Share of its ampacity a conductor keeps among others that carry current.

    Args:
        name: bundle rule.
        loaded_conductors: current-carrying conductors in the bundle, this one and every return counted.

    Returns:
        Factor, 1 or less.
    """
    for step in bundle_steps(name):
        if loaded_conductors >= step.least and (step.most is None or loaded_conductors <= step.most):
            return step.factor
    return 1.0


@cache
def fuse_window(name: str) -> FuseWindow:
    """A named fuse window: `careful` (load x 1.25 to 100 %) or `33CFR183-150` (to 150 %, warns).

    Raises:
        UnknownRuleError: listing the known names.
    """
    table, columns = "fuse_windows", ("name", "also_called", "load_factor", "ampacity_factor", "warning")
    rows = table_rows(table, columns, ("name",))
    for row in rows:
        if _plain(name) in {_plain(row["name"]), _plain(row["also_called"])} - {""}:
            load, ampacity = number_in(table, row, "load_factor"), number_in(table, row, "ampacity_factor")
            return FuseWindow(row["name"], load, ampacity, row["warning"])
    raise _unknown("fuse window", name, [row["name"] for row in rows])


@cache
def least_size(name: str) -> LeastSize:
    """A named rule for the thinnest conductor: `ISO10133`, `33CFR183`, `IEC60364`, `NEC310` or `none`.

    Raises:
        UnknownRuleError: listing the known names.
    """
    table = "least_sizes"
    rows = table_rows(table, ("rule_set", "single_mm2", "sheath_mm2"), ("rule_set",))
    for row in rows:
        if _plain(row["rule_set"]) == _plain(name):
            single, sheath = number_in(table, row, "single_mm2"), number_in(table, row, "sheath_mm2")
            return LeastSize(row["rule_set"], single, sheath, row["source"])
    raise _unknown("least-size rule", name, [row["rule_set"] for row in rows])


@dataclass(frozen=True)
class SizingRules:
    """What applies to one plan; mix with `dataclasses.replace`.

    Attributes:
        name: of the set it started from.
        bundle: name for `bundle_steps`.
        ambient: one of `AMBIENT_RULES`.
        least_size: name for `least_size`.
        fuse_window: name for `fuse_window`.
        base: one of `BASES`.
        derating: see `Derating`. A stretch whose heat is not described is always judged by the factor; at 50 V and
            above the factor is law and `heat` counts as `stricter`.

    Raises:
        UnknownRuleError: when built with a name that is not in the data.
    """

    name: str
    bundle: str
    ambient: str
    least_size: str
    fuse_window: str
    base: str = "33CFR183"
    derating: Derating = "stricter"

    def __post_init__(self) -> None:
        bundle_steps(self.bundle)
        least_size(self.least_size)
        fuse_window(self.fuse_window)
        if self.ambient not in AMBIENT_RULES:
            raise _unknown("ambient rule", self.ambient, list(AMBIENT_RULES))
        if self.base not in BASES:
            raise _unknown("table of amperes", self.base, list(BASES))
        if self.derating not in get_args(Derating):
            raise _unknown("way to derate", self.derating, list(get_args(Derating)))


@cache
def rule_set(name: str = "careful") -> SizingRules:
    """A named rule set: `careful` (default), `33CFR183`, `NEC`, `ISO13297`, or `NEC-AC` and `IEC-AC` for AC.

    Raises:
        UnknownRuleError: listing the known names.
    """
    rows = table_rows("rule_sets", ("name", "base", "bundle", "ambient", "least_size", "fuse_window"), ("name",))
    for row in rows:
        if _plain(row["name"]) == _plain(name):
            return SizingRules(
                row["name"], row["bundle"], row["ambient"], row["least_size"], row["fuse_window"], row["base"]
            )
    raise _unknown("rule set", name, [row["name"] for row in rows])
