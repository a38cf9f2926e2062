"""A path through the network laid out in space: legs, the sharp polyline, and what is measured on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.polylines import drop_repeats, length
from ribway.router.memory import Memory
from ribway.router.paths.search import Path
from ribway.router.space.network import Network
from ribway.router.space.types import NOWHERE, Lay, MountingBoard, Portal, WayKind, Zone

Array = NDArray[np.float64]
LegKind = Literal["stub", "bay", "taped", "board"] | WayKind

TAPED: Final = "taped"
SCHEMATIC: Final = frozenset({TAPED, "outside"})
"""Legs whose line is a sketch and whose length is a tape's."""
NO_CORNER = (0.0, 0.0, 0.0)
GUARDED: Final = frozenset({"opening", "inside", "outside"})
CROSSING_POINTS = 4  # up, across and down
MOUTH_CLEAR_M = 0.005  # a mouth stands this far clear of the metal, and a little more
OVER_CLEAR_M = 0.015
"""An arc that begins this near a crossing's upper corners clears the member's edge 8 mm beside and 2 mm below them: a quarter
circle of radius r passes an edge at (a, b) from its corner if r <= a + b + sqrt(2 a b)."""
BESIDE_MEMBER_M = 0.002  # a bay's edge, where a stub comes down, stands this far clear of the member

Corner = tuple[float, float, float]
# Two runs share a piece where they take the same way, or the same stretch of the same bay.
Piece = tuple[str, int, Corner, Corner]


@dataclass(frozen=True, eq=False)
class Leg:
    """One stretch of a route.

    Args:
        kind: stub at a device, bay, a way, or a mounting board; taped if it stands for a whole run of which only the
            length is known.
        name: of the device, bay, way or board.
        points: ``(k, 3)`` sharp polyline [m].
        sharp_m: what counts for the cut length [m]; never less than the polyline's own length.
        taut_m: shortest possible through the same ways [m].
        zone: which ambient applies.
        lay: lay rule in a bay.
        piece: identity of the stretch, the same for every run that takes it; None for a stub.
    """

    kind: LegKind
    name: str
    points: Array
    sharp_m: float
    taut_m: float
    zone: Zone
    lay: Lay | Literal[""]
    piece: Piece | None


@dataclass(frozen=True, eq=False)
class Laid:
    """A run laid out.

    Args:
        legs: from device to device.
        line: ``(k, 3)`` all legs joined [m].
        ways: indices of the ways passed, in order.
    """

    legs: tuple[Leg, ...]
    line: Array
    ways: tuple[int, ...]

    @property
    def guarded(self) -> Array:
        """The line with a point more just inside every mouth, so that no rounded corner reaches into a hole's edge.

        A stub that comes over a member gets one before its step down, and a crossing over a member one on either side,
        so that no corner is rounded through the member.
        """
        rows = []
        for leg in self.legs:
            points = leg.points
            if leg.kind in GUARDED and len(points) > 1:
                ends = [points[0] + _towards(points[0], points[1]), points[-1] + _towards(points[-1], points[-2])]
                points = np.vstack([points[:1], ends[:1], points[1:-1], ends[1:], points[-1:]])
            elif leg.kind == "stub" and len(points) > 2:
                leaving = leg is self.legs[0]  # from the device sideways, then down
                corner = len(points) - 2 if leaving else 1
                guard = points[corner] + _towards(points[corner], points[corner - 1 if leaving else 2], BESIDE_MEMBER_M)
                points = np.insert(points, corner if leaving else 2, guard, axis=0)
            elif leg.kind == "over" and len(points) == CROSSING_POINTS:
                up, down = (
                    points[corner] + _towards(points[corner], points[foot], OVER_CLEAR_M)
                    for corner, foot in ((1, 0), (2, 3))
                )
                points = np.vstack([points[:1], up, points[1:3], down, points[3:]])
            rows.append(points)
        return drop_repeats(np.vstack(rows), 1e-6)

    @property
    def undrawn_m(self) -> float:
        """What taped stretches are longer than the sketches that stand for them [m]."""
        return sum(max(0.0, leg.sharp_m - length(leg.points)) for leg in self.legs if leg.kind in SCHEMATIC)

    @property
    def straight_m(self) -> float:
        """Distance between the two ends [m]."""
        return float(np.linalg.norm(self.line[-1] - self.line[0]))

    @property
    def taut_m(self) -> float:
        """Shortest length through the same ways [m]."""
        return sum(leg.taut_m for leg in self.legs)

    @property
    def sharp_m(self) -> float:
        """Length as laid, corners sharp [m]."""
        return sum(leg.sharp_m for leg in self.legs)


def _corner(point: Array) -> Corner:
    x, y, z = (round(float(value), 4) for value in point)
    return (x, y, z)


def _towards(point: Array, other: Array, reach_m: float = MOUTH_CLEAR_M) -> Array:
    step = other - point
    return np.asarray(step * min(0.5, reach_m / max(float(np.linalg.norm(step)), 1e-9)))


class Layer:
    """Lays paths out; remembers bay stretches, which many runs share.

    Args:
        network: what paths are of.
        memory: what was made before; the same stretches of the same bays are the same objects.
    """

    def __init__(self, network: Network, memory: Memory | None = None) -> None:
        self._network = network
        self._memory = Memory() if memory is None else memory
        self._laid: dict[tuple[tuple[int, ...], int, int], Laid] = {}

    def lay(self, path: Path, start: int, end: int) -> Laid:
        """A path from portal ``start`` to portal ``end`` laid out in space."""
        key = (path.edges, start, end)
        if key not in self._laid:
            self._laid[key] = self._lay(path, start, end)
        return self._laid[key]

    def lay_on(self, board: MountingBoard, start: int, end: int) -> Laid:
        """A cable between two devices on one board: along its edges, square."""
        a, b = (self._network.space.portals[index].point for index in (start, end))
        step = b - a
        across, up = float(step @ board.across), float(step @ board.up)
        points = drop_repeats(np.vstack([a, a + across * board.across, b]), 1e-6)
        skin = next(one for one in self._network.space.skins if one.name == board.wall)
        square = max(abs(across) + abs(up), length(points))
        leg = Leg("board", board.device, points, square, float(np.linalg.norm(step)), skin.zone, "", None)
        return Laid((leg,), points, ())

    def _lay(self, path: Path, start: int, end: int) -> Laid:
        network, space = self._network, self._network.space
        legs = [leg for leg in (self._stub(space.portals[start], False),) if leg is not None]
        ways: list[int] = []
        for edge in path.edges:
            if network.bay[edge] != NOWHERE:
                legs.append(self._stretch(int(network.bay[edge]), int(network.first[edge]), int(network.last[edge])))
            way = network.way_of(int(network.target[edge]))
            if way >= 0:
                ways.append(way)
                legs.append(self._passage(way, int(network.target[edge]) % 2))
        last = self._stub(space.portals[end], True)
        if last is not None:
            legs.append(last)
        return self._memory.of("laid", (*legs, *ways), lambda: _joined(legs, ways))

    def _stub(self, portal: Portal, arriving: bool) -> Leg | None:
        if len(portal.stub) < 2:
            return None
        points = portal.stub[::-1] if arriving else portal.stub
        zone = self._network.space.skins[self._network.space.bays[portal.mouth.bay].skin].zone

        def make() -> Leg:
            return Leg("stub", portal.device, points, portal.stub_m, length(points), zone, "", None)

        return self._memory.of("stub", (portal, arriving, zone), make)

    def _stretch(self, bay: int, first: int, last: int) -> Leg:
        table = self._network.tables[bay]

        def make() -> Leg:
            points, sharp = table.sharp(first, last)
            a, b = sorted((_corner(points[0]), _corner(points[-1])))
            return Leg(
                "bay",
                table.bay.name,
                points,
                sharp,
                table.taut_m(first, last),
                table.skin.zone,
                table.bay.lay,
                ("bay", bay, a, b),
            )

        return self._memory.of("stretch", (table, bay, first, last), make)

    def _passage(self, index: int, entered_at: int) -> Leg:
        way = self._network.space.ways[index]
        points = way.line if entered_at == 0 else way.line[::-1]

        def make() -> Leg:
            piece: Piece = ("way", index, NO_CORNER, NO_CORNER)
            return Leg(way.kind, way.name, points, way.length_m, way.length_m, way.zone, "", piece)

        return self._memory.of("passage", (way, index, entered_at), make)


def _joined(legs: Sequence[Leg], ways: Sequence[int]) -> Laid:
    return Laid(tuple(legs), drop_repeats(np.vstack([leg.points for leg in legs]), 1e-6), tuple(ways))
