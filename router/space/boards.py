"""Mounting boards: where what is fixed on one really is, and how a cable gets from there to a bay, or across the board."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.router.errors import PlaceFault, RouterError
from ribway.router.geometry.charts import Chart
from ribway.router.space.metal import Metal
from ribway.router.space.places import find_place
from ribway.router.space.portals import STAND_OFF_M, off_metal
from ribway.router.space.types import MountingBoard, Portal

Array = NDArray[np.float64]

PAST_EDGE_M = 0.02
"""How far beyond its edge a cable turns behind a board; common practice, no source."""


def board_frame(device: Device, charts: Mapping[str, Chart], datum_back_m: float) -> MountingBoard:
    """Where a board hangs: its place is its lower left corner, and it lies as the metal does there.

    Args:
        device: of the kind mounting board.
        charts: the shell's skins by name.
        datum_back_m: how far the datum lies behind the shell model's front edge [m].

    Raises:
        PlaceFault: the corner is off the shell.
    """
    spot = find_place(device.at, charts, datum_back_m, f"devices / {device.id} / at")
    normal = np.asarray(spot.normal, dtype=np.float64)
    level = abs(float(normal[2])) > 0.7  # on floor or roof there is no up: away from whoever faces forward
    upright = np.array((1.0, 0.0, 0.0) if level else (0.0, 0.0, 1.0))
    up = upright - float(upright @ normal) * normal
    up /= np.linalg.norm(up)
    across = np.array((0.0, -1.0, 0.0)) if level else np.cross(-normal, up)
    across -= float(across @ normal) * normal
    corner = spot.off(STAND_OFF_M if device.at.stand_off is None else device.at.stand_off)
    return MountingBoard(
        device.id, corner, across / np.linalg.norm(across), up, device.width or 0.0, device.height or 0.0, spot.skin
    )


def board_portal(
    device: Device, board: MountingBoard, datum_back_m: float, portal_at: Callable[[Device], Portal]
) -> Portal:
    """The board itself at its corner; no cable ends there.

    Args:
        device, board, datum_back_m, portal_at: as in `member_portal`.
    """
    corner = device.model_copy(update={"at": device.at.model_copy(update={"on": device.id, "across": 0.0, "up": 0.0})})
    return member_portal(corner, board, datum_back_m, portal_at, None)


def member_portal(
    device: Device,
    board: MountingBoard,
    datum_back_m: float,
    portal_at: Callable[[Device], Portal],
    metal: Metal | None,
) -> Portal:
    """Where a device on a board is, and how its cables leave the board: along it to its nearest edge, then behind it.

    Args:
        device: placed on the board.
        board: the board.
        datum_back_m: see `board_frame` [m].
        portal_at: makes the portal of a device that is placed by x, y, z.
        metal: no cable goes through it on its way to the edge; None where none goes there.

    Raises:
        PlaceFault: it lies beyond the board's edges, or no edge lets a cable out.
    """
    where = f"devices / {device.id} / at"
    across, up = device.at.across or 0.0, device.at.up or 0.0
    if across > board.width_m or up > board.height_m:
        raise PlaceFault(
            where,
            f"across {across:.3f} m, up {up:.3f} m lies beyond the board {board.device}, which is "
            f"{board.width_m:.3f} m wide and {board.height_m:.3f} m high",
            "a place on the board, or a larger board",
        )
    spot = board.point(across, up)
    edges = (
        (-PAST_EDGE_M, up),
        (board.width_m + PAST_EDGE_M, up),
        (across, -PAST_EDGE_M),
        (across, board.height_m + PAST_EDGE_M),
    )
    found: list[Portal] = []
    refusal: RouterError | None = None
    for edge in edges:
        beyond = board.point(*edge)
        through = "" if metal is None else metal.crossed_by([off_metal(np.vstack([spot, beyond]))])[0]
        if through:
            refusal = PlaceFault(where, f"along the board there is {through} in the way", "")
            continue
        x, y, z = (float(value) for value in beyond + np.array((datum_back_m, 0.0, 0.0)))
        try:
            at = Place.model_validate({"x": x, "y": y, "z": z}, context={"si": True})
            out = portal_at(device.model_copy(update={"at": at}))
        except RouterError as fault:
            refusal = fault
            continue
        stub = np.vstack([spot, out.stub if len(out.stub) > 1 else beyond[None]])
        stub_m = out.stub_m + float(np.linalg.norm(beyond - spot))
        found.append(Portal(device.id, spot, out.wall, out.mouth, stub, stub_m))
    if not found:
        raise PlaceFault(
            where,
            f"no cable gets off the board {board.device} from there: {refusal.found if refusal else ''}",
            "another place of the board, or a smaller one",
        )
    return min(found, key=lambda portal: round(portal.stub_m, 6))
