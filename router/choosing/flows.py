"""Runs that flow alike, and the room that a way has for them by area alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ribway.router.paths.admission import EPS, Item, body_passes, plugs_pass
from ribway.router.space.types import Way

MM2 = 1e6
SPARE_MM2 = 1e-3


@dataclass(frozen=True)
class Flow:
    """Runs of one cable from one start; and between which devices, if that counts."""

    item: Item
    start: int
    via: tuple[int, ...]
    exact: bool
    avoid: frozenset[int]
    devices: tuple[int, int] | None


def shape_of(item: Item) -> Item:
    """What an opening sees of a cable, without whose it is."""
    return Item("", item.kind, item.width_m, item.thickness_m, item.plug_m, item.sheathed, item.count)


def passes_alone(way: Way, item: Item) -> bool:
    """Whether a cable passes a way by itself: body, plug and the fill limit."""
    return body_passes(way, item) and plugs_pass(way, [item]) and item.area_m2 * MM2 <= cap_mm2(way) + SPARE_MM2


def cap_mm2(way: Way) -> float:
    """Area that cables may fill, what runs there already left out [mm2]."""
    return float(max(0.0, (way.limit + EPS) * way.area_m2 - np.pi / 4.0 * way.taken_m**2) * MM2)
