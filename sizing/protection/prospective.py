"""What a short draws at a board, and whether the board's fuses can break it: by the wire before them, or backed up.

The greatest current is reckoned with the least resistance there can be: pure copper of the nominal area, at 20 deg C, laid as
short as it can be. No contact, no fuse and no arc is counted on. A fuse upstream does not by itself make a weaker one behind it
safe: which of the two opens first only their maker knows. So it counts where the maker's figure is stated, and not otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ribway.sizing.errors import check_number
from ribway.sizing.metals import COPPER, times_copper
from ribway.sizing.protection.kinds import kinds_for
from ribway.sizing.protection.short import short_amps

PURE_OHM_MM2_PER_M: Final = 1.0 / 58.0
"""Annealed copper of 100 % conductivity at 20 deg C (IEC 60028)."""
MOST_ADDED_M: Final = 10.0
"""More cable than this before a board is no advice."""


def least_ohm_per_m(area_mm2: float, metal: str = COPPER) -> float:
    """Least resistance of a conductor at 20 deg C [ohm/m].

    Args:
        area_mm2: its nominal area [mm2].
        metal: what it is of.

    Source: IEC 60028; IEC 60909-0 takes 20 deg C for the greatest short-circuit current.
    """
    check_number(area_mm2, "area [mm2]", positive=True)
    return PURE_OHM_MM2_PER_M / area_mm2 * times_copper(metal)


@dataclass(frozen=True)
class Backing:
    """What the maker of a board's fuses says in writing: behind such a fuse they stand a greater short.

    Attributes:
        kind: kind of the fuse before the board.
        most_a: its greatest rating [A].
        to_a: greatest short at the board [A].
    """

    kind: str
    most_a: float
    to_a: float


@dataclass(frozen=True)
class Upstream:
    """The fuse before a board.

    Attributes:
        circuit: the circuit that it protects.
        kind: its kind.
        rating_a: its rating [A].
        breaks: whether it breaks the short where it sits itself.
    """

    circuit: str
    kind: str
    rating_a: float
    breaks: bool


def backed_to_a(backing: Backing | None, upstream: Upstream | None) -> float:
    """Greatest short at a board that the fuse before it is known to make safe [A]; 0 if none is.

    Args:
        backing: what the maker states for the board's fuses.
        upstream: the fuse that feeds the board.
    """
    if backing is None or upstream is None or not upstream.breaks:
        return 0.0
    fits = upstream.kind == backing.kind and upstream.rating_a <= backing.most_a * (1.0 + 1e-9)
    return backing.to_a if fits else 0.0


@dataclass(frozen=True)
class WeakFuse:
    """A fuse that cannot break the short where it sits.

    Attributes:
        circuit: what it protects.
        kind: its kind.
        rating_a: its rating [A].
        breaks_a: what it breaks [A].
    """

    circuit: str
    kind: str
    rating_a: float
    breaks_a: float


@dataclass(frozen=True)
class Way:
    """The way of a short to where the fuses sit.

    Attributes:
        volts: greatest voltage of the source [V].
        inside_ohm: of the source itself [ohm].
        before_ohm: least resistance of the cables up to there, there and back [ohm].
        feeder_mm2: area of the last cable before it [mm2]; 0 right at the source.
        given_a: what chargers and panels, which limit their own current, add to it [A].
        batteries: how many drive it; then `inside_ohm` is of all of them with what lies between them.
    """

    volts: float
    inside_ohm: float
    before_ohm: float
    feeder_mm2: float
    given_a: float = 0.0
    batteries: int = 1

    @property
    def amps(self) -> float:
        """What a dead short draws there [A].

        Source: Ohm's law; sources of equal voltage in parallel have the sum of their conductances, and what limits its
        current adds no more than that (superposition).
        """
        return short_amps(self.volts, self.inside_ohm, self.before_ohm) + self.given_a


def weak_fuses_says(
    place: str, way: Way, weak: Sequence[WeakFuse], backing: Backing | None, upstream: Upstream | None
) -> tuple[str, str]:
    """What is wrong with the fuses of one place, and all that would mend it.

    Args:
        place: its name.
        way: of the short.
        weak: fuses there that do not break it, at least one.
        backing: what the maker states for the board's fuses.
        upstream: the fuse before the place; None right at the source.

    Returns:
        Message and remedy.
    """
    by_kind: dict[tuple[str, float], list[str]] = {}
    for one in weak:
        by_kind.setdefault((one.kind, one.breaks_a), []).append(f"{one.circuit} {one.rating_a:g} A")
    fuses = "; ".join(f"{kind} of {', '.join(names)} breaks {amps:g} A" for (kind, amps), names in by_kind.items())
    cable = f" and at least {1000 * way.before_ohm:.2f} mohm of cable" if way.feeder_mm2 else ""
    battery = "the battery" if way.batteries == 1 else f"{way.batteries} batteries together"
    given = f", and {way.given_a:.4g} A of what charges" if way.given_a > 0.0 else ""
    message = (
        f"a short at {place} may draw {way.amps:.4g} A ({way.volts:g} V over {1000 * way.inside_ohm:.2f} mohm of "
        f"{battery}{cable}{given}), and not every fuse there breaks that: {fuses}"
    )
    cures = list(_other_kinds(weak, way))
    added_m = _more_cable_m(way, min(one.breaks_a for one in weak))
    if added_m is not None:
        cures.append(f"{added_m:.1f} m more of the {way.feeder_mm2:g} mm2 cable before it")
    if upstream is not None:
        cures.append(_backing_says(backing, upstream, way.amps))
    cures.append("fuses whose maker states more (write fuse_breaks)")
    return message, "one of these: " + "; ".join(cures)


def _other_kinds(weak: Sequence[WeakFuse], way: Way) -> list[str]:
    out = []
    for one in weak:
        enough = kinds_for(one.rating_a, way.volts, way.amps)
        if enough:
            out.append(f"for {one.circuit} {' or '.join(enough)}")
    return out


def _more_cable_m(way: Way, breaks_a: float) -> float | None:
    """How much longer the cable before it would have to be [m]; None where that is no advice."""
    if not way.feeder_mm2 or breaks_a <= way.given_a:
        return None
    missing_ohm = way.volts / (breaks_a - way.given_a) - way.inside_ohm - way.before_ohm
    added_m = missing_ohm / (2.0 * least_ohm_per_m(way.feeder_mm2))
    return added_m if 0.0 < added_m <= MOST_ADDED_M else None


def _backing_says(backing: Backing | None, upstream: Upstream, amps: float) -> str:
    fuse = f"{upstream.kind} {upstream.rating_a:g} A of {upstream.circuit}"
    if backing is None:
        return f"fuses that their maker says in writing stand {amps:.4g} A behind the {fuse} (write backed_by at the board)"
    if not upstream.breaks:
        return f"first a fuse for {upstream.circuit} that breaks the short itself, for the board's backed_by to hold"
    if backing.to_a < amps and backing.kind == upstream.kind and upstream.rating_a <= backing.most_a:
        return f"backed_by that goes beyond the {backing.to_a:g} A stated"
    return f"a fuse before it as backed_by says, {backing.kind} of {backing.most_a:g} A at most, not the {fuse}"
