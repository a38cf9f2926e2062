"""Makers' leads of fixed length: held against the way they are to go, never cut and never extended."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.sizing.errors import check_number


@dataclass(frozen=True)
class Reach:
    """Whether a lead reaches.

    Attributes:
        reaches: whether it does.
        spare_m: left over, to be coiled [m]; negative if it is too short.
        says: one sentence for people.
    """

    reaches: bool
    spare_m: float
    says: str


def lead_reach(lead: str, lead_m: float, needed_m: float, most_coil_m: float | None = None) -> Reach:
    """Hold a maker's lead against its way.

    Args:
        lead: its name.
        lead_m: its length between its plugs [m].
        needed_m: what the way needs with slack and tails [m].
        most_coil_m: the most there is room to coil [m]; None if that is not asked.
    """
    check_number(lead_m, f"length of {lead} [m]", positive=True)
    check_number(needed_m, f"length {lead} needs [m]")
    spare = lead_m - needed_m
    if spare < 0.0:
        says = f"{lead} is {lead_m:.2f} m and needs {needed_m:.2f} m: {-spare:.2f} m too short; move a device, never extend it"
        return Reach(False, spare, says)
    says = f"{lead} is {lead_m:.2f} m and needs {needed_m:.2f} m: coil {spare:.2f} m, do not cut it"
    if most_coil_m is not None and spare > most_coil_m:
        says += f"; there is room for {most_coil_m:.2f} m: order a shorter one"
    return Reach(True, spare, says)
