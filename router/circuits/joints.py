"""Joints: runs parted where furniture comes out or a door opens, and loops where something moves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from ribway.models.circuits import Device, RunEntry
from ribway.models.project import Project
from ribway.router.circuits.patterns import Pair, Stretch
from ribway.sizing.joints import joint_ohm

PLUG_CONTACT = "plug and socket contact"
LOOP_M = 0.3
"""Cable left as a loop at a door or a lifting roof; common practice, no source."""


def parted(
    pieces: Sequence[Stretch], wishes: Mapping[Pair, RunEntry]
) -> tuple[tuple[Stretch, ...], dict[Pair, RunEntry]]:
    """Part stretches at the joints that they run through.

    Args:
        pieces: stretches of one circuit.
        wishes: what a person wants of them, by their ends.

    Returns:
        The pieces, and the wishes by the ends of the pieces: a tail given for an end stays at that end, ways to avoid hold
        for every piece, and a name is numbered.
    """
    ends: list[int] = []  # where each stretch ends among the pieces made of it
    out: list[Stretch] = []
    told: dict[Pair, RunEntry] = {}
    for piece in pieces:
        wish = wishes.get((piece.a, piece.b))
        stops = (piece.a, *(wish.through if wish else ()), piece.b)
        after = ends[piece.after] if piece.after >= 0 else -1
        for number, (a, b) in enumerate(pairwise(stops), start=1):
            last = number == len(stops) - 1
            out.append(replace(piece, a=a, b=b, after=after, draws=piece.draws if last else ()))
            after = len(out) - 1
            if wish is not None:
                told[a, b] = _share(wish, a, b, number, last)
        ends.append(len(out) - 1)
    return tuple(out), told


def _share(wish: RunEntry, a: str, b: str, number: int, last: bool) -> RunEntry:
    if not wish.through:
        return wish
    return wish.model_copy(
        update={
            "a": a,
            "b": b,
            "id": f"{wish.id}-{number}" if wish.id else None,
            "through": (),
            "tail_a": wish.tail_a if number == 1 else None,
            "tail_b": wish.tail_b if last else None,
        }
    )


def contact_ohm(device: Device) -> float:
    """Resistance of one contact of a device [ohm]: as stated; of a joint whose amps alone are said, a plug's; else 0.

    Args:
        device: where a run ends.
    """
    if device.kind != "joint":
        return 0.0
    if device.contact_resistance is not None:
        return device.contact_resistance
    return joint_ohm(PLUG_CONTACT) if device.contact_amps is not None else 0.0


def moving_devices(project: Project) -> dict[str, float]:
    """Loop left at each device that moves with a door or a roof [m]."""
    return {
        one.id: LOOP_M if one.at.loop is None else one.at.loop
        for one in project.devices
        if one.at.moving is not None
    }  # fmt: skip


def moving_ways(project: Project) -> dict[str, float]:
    """Loop left in each way across something that moves [m]."""
    return {
        one.name: LOOP_M if one.loop is None else one.loop
        for one in project.vehicle.ways
        if one.moving is not None
    }  # fmt: skip
