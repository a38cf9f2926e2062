"""The voltage of a bus that carries its devices' power: lowest at the last one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sizing.drop import chain_drops, loop_ohm
from ribway.sizing.errors import SizingError, check_number


@dataclass(frozen=True)
class BusVolts:
    """A powered bus.

    Attributes:
        volts: `(n,)` at each device, from the feed on [V].
        least_v: least its devices need [V].
        fails_at: index of the first device below that; None if all hold.
    """

    volts: tuple[float, ...]
    least_v: float
    fails_at: int | None


def bus_volts(
    feed_v: float,
    ohm_per_m: float,
    pieces_m: Sequence[float],
    amps: Sequence[float],
    least_v: float,
    joint_ohm: float = 0.0,
) -> BusVolts:
    """Volts at each device of a bus fed at one end.

    Args:
        feed_v: lowest voltage at the feed [V].
        ohm_per_m: resistance of one power core, hot [ohm/m].
        pieces_m: `(n,)` cable from the device before (or the feed) to each device [m].
        amps: `(n,)` what each device draws [A].
        least_v: least its devices need [V].
        joint_ohm: of the plugs at each device, both poles [ohm].

    Raises:
        SizingError: if the two have different lengths.

    Source: Kirchhoff; see `drop.chain_drops`.
    """
    check_number(feed_v, "voltage of the feed [V]", positive=True)
    check_number(least_v, "least voltage [V]")
    if len(pieces_m) != len(amps):
        raise SizingError(f"{len(pieces_m)} pieces of bus but {len(amps)} devices; give one piece for each")
    lost = chain_drops([loop_ohm(ohm_per_m, piece, extra_ohm=joint_ohm) for piece in pieces_m], amps)
    volts = tuple(feed_v - one for one in lost)
    failing = [index for index, one in enumerate(volts) if one < least_v * (1.0 - 1e-9)]
    return BusVolts(volts, least_v, failing[0] if failing else None)
