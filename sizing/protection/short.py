"""A dead short on a run: the current it draws, whether the fuse opens, and the stretch where it would not."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import check_number
from ribway.sizing.protection.adiabatic import conductor_k, withstands_a2s
from ribway.sizing.protection.finding import ProtectionFinding
from ribway.sizing.protection.opening import lets_through_a2s, opens_within_s

SURE_MULTIPLE: Final = 2.0
"""A short is asked to draw this many times the rating: there a blade fuse opens within 5 s (ISO 8820-3, memory)."""


@dataclass(frozen=True)
class FarShort:
    """A short at the far end of a run.

    Attributes:
        amps: what it draws [A].
        multiple: of the fuse's rating.
        opens_within_s: longest time the fuse may take [s]; infinite if it need not open.
        sure_to_m: from the fuse to here, along the wire, a short draws the multiple asked for [m]; beyond it only warms
            the wire.
    """

    amps: float
    multiple: float
    opens_within_s: float
    sure_to_m: float


def short_amps(source_v: float, source_ohm: float, loop_ohm: float) -> float:
    """Current of a dead short [A].

    Args:
        source_v: lowest voltage of the source [V].
        source_ohm: its own resistance, and of all before the run, there and back, with joints and the fuse [ohm].
        loop_ohm: of the run to the short, there and back [ohm].
    """
    check_number(source_v, "voltage of the source [V]", positive=True)
    check_number(source_ohm, "resistance before the run [ohm]")
    check_number(loop_ohm, "resistance of the loop [ohm]")
    total = source_ohm + loop_ohm
    return source_v / total if total > 0.0 else float("inf")


def far_short(
    source_v: float,
    source_ohm: float,
    loop_ohm_per_m: float,
    length_m: float,
    family: str,
    fuse_a: float,
    multiple: float = SURE_MULTIPLE,
) -> FarShort:
    """A short at the far end of a run.

    Args:
        source_v: lowest voltage of the source [V].
        source_ohm: see `short_amps`.
        loop_ohm_per_m: of the run, there and back, hot, per metre of cable [ohm/m].
        length_m: of the cable, one way [m].
        family: of the fuse.
        fuse_a: its rating [A].
        multiple: how many times the rating a short is asked to draw.
    """
    check_number(loop_ohm_per_m, "resistance of the loop [ohm/m]", positive=True)
    check_number(length_m, "length of the cable [m]")
    check_number(fuse_a, "fuse rating [A]", positive=True)
    check_number(multiple, "multiple asked for", positive=True)
    amps = short_amps(source_v, source_ohm, loop_ohm_per_m * length_m)
    reach_m = (source_v / (multiple * fuse_a) - source_ohm) / loop_ohm_per_m
    return FarShort(amps, amps / fuse_a, opens_within_s(family, amps / fuse_a), min(length_m, max(0.0, reach_m)))


def short_heat_a2s(
    conductor: Conductor, fuse_a: float, family: str, far: FarShort, near_a: float, multiple: float = SURE_MULTIPLE
) -> tuple[float, float]:
    """What the fuse lets through at most in a short anywhere along a run, and what the run's conductor stands [A2 s].

    Below the multiple asked for the far-end short itself is told; from there on heat has no time to leave.

    Args:
        conductor, fuse_a, family, far, near_a, multiple: see `short_findings`.

    Source: IEC 60364-4-43, 434.5.2: I2t of the device at most k2 S2 of the conductor.
    """
    stands = withstands_a2s(conductor.copper_mm2, conductor_k(conductor))
    return lets_through_a2s(family, fuse_a, max(far.amps, multiple * fuse_a), near_a), stands


def _opens(far: FarShort) -> str:
    if math.isinf(far.opens_within_s):
        return "at which it need never open"
    return f"at which it may take {far.opens_within_s:g} s to open"


def short_findings(
    where: str,
    conductor: Conductor,
    fuse_a: float,
    family: str,
    far: FarShort,
    near_a: float,
    length_m: float,
    multiple: float = SURE_MULTIPLE,
) -> tuple[ProtectionFinding, ...]:
    """What is wrong when a run is shorted anywhere along it.

    A short that the fuse need never open for is serious; between there and the multiple asked for it opens late.

    Args:
        where: name of the run.
        conductor: its cable.
        fuse_a: rating of the fuse [A].
        family: of the fuse.
        far: the short at its far end.
        near_a: current of a short right behind the fuse [A].
        length_m: of the cable, one way [m].
        multiple: how many times the rating a short is asked to draw.
    """
    out: list[ProtectionFinding] = []
    if far.multiple < multiple * (1.0 - 1e-9):
        out.append(
            ProtectionFinding(
                "far-end short",
                where,
                f"a short at the far end draws {far.amps:.3g} A, {far.multiple:.2f} times the {fuse_a:g} A fuse, "
                f"{_opens(far)}; {multiple:g} times is asked for, so "
                f"from {far.sure_to_m:.1f} to {length_m:.1f} m from the fuse a short may "
                "only warm the wire: take thicker wire or a smaller fuse",
                serious=math.isinf(far.opens_within_s),
            )
        )
    through, stands = short_heat_a2s(conductor, fuse_a, family, far, near_a, multiple)
    if through > stands:
        out.append(
            ProtectionFinding(
                "short-circuit heat",
                where,
                f"the {fuse_a:g} A fuse may let through {through:.3g} A2s and {conductor.id} stands {stands:.3g} A2s: "
                "take thicker wire or a smaller or quicker fuse",
            )
        )
    return tuple(out)
