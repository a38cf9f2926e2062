"""What an opening admits: fill, bodies, plugs, packing, and which kinds may lie together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ribway.models.circuits import Kind
from ribway.router.geometry.packing import Outline, pack
from ribway.router.paths.fitting import fit_circle, fit_slot
from ribway.router.space.types import Way

EPS = 1e-9


@dataclass(frozen=True)
class Item:
    """One cable as an opening sees it.

    Args:
        run: id of the run.
        kind: dc, ac or data.
        width_m: outside size, the wider one of a flat cable [m].
        thickness_m: the thinner one; equals the width if round [m].
        plug_m: largest thing on its end while it is pulled; 0 if bare [m].
        sheathed: it has a sheath over its cores.
        count: equal cables side by side: 2 for a pair of singles.
    """

    run: str
    kind: Kind
    width_m: float
    thickness_m: float
    plug_m: float
    sheathed: bool
    count: int = 1

    @property
    def area_m2(self) -> float:
        """Area of all its outlines: circles, or flats with round edges [m2]."""
        t = self.thickness_m
        return self.count * float(np.pi / 4.0 * t * t + (self.width_m - t) * t)

    @property
    def outlines(self) -> tuple[Outline, ...]:
        """For packing."""
        return (Outline(self.width_m, self.thickness_m),) * self.count


@dataclass(frozen=True)
class Separation:
    """Which kinds may share an opening.

    Args:
        ac_dc: ``apart``, or ``together when sheathed`` (ABYC E-11; NEC 552.10(C)(3): jacketed cables may lie side by side).
        data_power: ``apart`` or ``together`` (data beside dc; data never shares with ac).
    """

    ac_dc: str
    data_power: str

    def allows(self, one: Item, other: Item) -> bool:
        """Whether two cables may share an opening."""
        kinds = {one.kind, other.kind}
        if len(kinds) == 1:
            return True
        if kinds == {"ac", "dc"}:
            return self.ac_dc == "together when sheathed" and one.sheathed and other.sheathed
        if kinds == {"dc", "data"}:
            return self.data_power == "together"
        return False


def body_passes(way: Way, item: Item) -> bool:
    """Whether the cable itself, alone, goes through the clear bore."""
    if way.shape == "round":
        return item.width_m <= way.bore_m - way.taken_m + EPS
    return item.thickness_m <= way.bore_m + EPS and item.width_m <= way.room_m - way.taken_m + EPS


def plug_passes(way: Way, item: Item, before: Sequence[Item]) -> bool:
    """Whether a plug goes through beside what was pulled before it.

    Side by side: plug and bundle diameters must add up to no more than the bore, or a slot's clear length. Sufficient,
    so that an answer of yes is safe.
    """
    if item.plug_m <= 0.0:
        return True
    if way.shape == "round":
        return item.plug_m + _bundle_m(before, way.taken_m) <= way.bore_m + EPS
    row = sum(other.width_m * other.count for other in before) + way.taken_m
    return item.plug_m <= way.bore_m + EPS and item.plug_m + row <= way.room_m + EPS


def _bundle_m(items: Sequence[Item], taken_m: float) -> float:
    outlines = [outline for item in items for outline in item.outlines]
    if taken_m > 0.0:
        outlines.append(Outline(taken_m, taken_m))
    return pack(tuple(outlines), quick=True).diameter_m if outlines else 0.0


def fill(way: Way, items: Iterable[Item]) -> float:
    """Share of the clear area that is filled, what runs there already included."""
    used = sum(item.area_m2 for item in items) + np.pi / 4.0 * way.taken_m**2
    return float(used / way.area_m2) if way.area_m2 > 0.0 else float("inf")


def plugs_pass(way: Way, items: Sequence[Item]) -> bool:
    """Whether all plugs go through, biggest first, bare cables after them."""
    order = sorted((item for item in items if item.plug_m > 0.0), key=lambda item: (-item.plug_m, item.run))
    return all(plug_passes(way, item, order[:position]) for position, item in enumerate(order))


def packs(way: Way, items: Sequence[Item]) -> bool:
    """Whether the cables are shown to fit side by side; see `ribway.router.paths.fitting`."""
    outlines = [outline for item in items for outline in item.outlines]
    if way.taken_m > 0.0:
        outlines.append(Outline(way.taken_m, way.taken_m))
    bundle = tuple(sorted(outlines))
    if way.shape == "round":
        return fit_circle(bundle, way.bore_m)
    return fit_slot(bundle, way.bore_m, way.room_m)


def admits(way: Way, items: Sequence[Item], separation: Separation) -> bool:
    """Everything at once: whether these cables may all go through this way."""
    if way.closed:
        return False
    if fill(way, items) > way.limit + EPS:
        return False
    if not all(body_passes(way, item) for item in items):
        return False
    if any(not separation.allows(a, b) for i, a in enumerate(items) for b in items[i + 1 :]):
        return False
    return plugs_pass(way, items) and packs(way, items)
