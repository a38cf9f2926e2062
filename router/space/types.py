"""The routing space as frozen data: bays, the mouths of ways in them, device portals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.surroundings import Surroundings
from ribway.router.geometry.charts import Chart
from ribway.router.shell.parts import OpeningState, SkinZone

Array = NDArray[np.float64]
Lay = Literal["square", "taut"]
Shape = Literal["round", "slot", "gap"]
Zone = SkinZone | Surroundings
WayKind = Literal["opening", "over", "duct", "inside", "outside", "entry", "furniture"]

NOWHERE = -1


@dataclass(frozen=True, eq=False)
class SkinChart:
    """A skin laid flat.

    Args:
        name: of the skin.
        zone: which ambient applies.
        chart: plane coordinates.
        lay_depth_m: how far off the metal a cable's axis lies [m].
        sheet: the skin in the plane less window and door edges' margin.
        closed: what no cable on this skin may enter, in the plane: members, obstacles, keep-outs with margin.
        members: what each member on this skin covers of it, by the member's name, in the plane.
    """

    name: str
    zone: SkinZone
    chart: Chart
    lay_depth_m: float
    sheet: shapely.Geometry
    closed: shapely.Geometry
    members: Mapping[str, shapely.Geometry]


@dataclass(frozen=True, eq=False)
class Bay:
    """A connected piece of skin between members.

    Args:
        name: ``left 3 lower``.
        skin: index into the space's skins.
        lay: square or taut.
        outline: polygon in the skin's plane [m].
        turn: rotation [rad] from the skin's plane to the bay's own frame, whose first axis runs along the vehicle.
    """

    name: str
    skin: int
    lay: Lay
    outline: shapely.Polygon
    turn: float


@dataclass(frozen=True, eq=False)
class Mouth:
    """Where a way or a device meets a bay.

    Args:
        bay: index of the bay, or ``NOWHERE`` if the place is closed off.
        flat: ``(2,)`` in the skin's plane [m].
        height_m: distance off the metal [m].
        axis: ``(2,)`` direction, in the skin's plane, in which a cable leaves into the bay; NaN if it stands on the skin.
        point: ``(3,)`` [m].
    """

    bay: int
    flat: Array
    height_m: float
    axis: Array
    point: Array


@dataclass(frozen=True, eq=False)
class Way:
    """A passage from bay to bay.

    Args:
        name: ``L4b``.
        kind: opening; over a member; duct; inside a hollow member; outside the model, by tape; an entry of a piece of
            furniture, which is a room only; between two entries of it.
        member: the member it passes, if any.
        line: ``(k, 3)`` its own polyline from mouth to mouth [m].
        length_m: length of that line [m].
        turns: changes of direction of the line above the counting angle.
        mouths: both ends.
        shape: round, slot, or gap (over a member).
        raw_bore_m: hole in the metal as stated: diameter, or a slot's width, or the gap [m].
        drawn_bore_m: what the drawn metal leaves clear of it, before any grommet [m].
        bore_m: what a grommet leaves of it [m].
        room_m: clear size across: a slot's clear length, a gap's width; equals the bore if round [m].
        area_m2: clear area that the fill limit refers to [m2].
        limit: greatest share of that area that may be filled, 0 to 1.
        taken_m: diameter of what already runs through [m].
        grommet_m: clear inside of the grommet if the user gave it [m].
        state: assumed, measured, blocked, drill.
        closed: why no cable passes it; empty if it can be used.
        zone: which ambient applies.
        rim: ``(r, 3)`` outline in the first wall [m].
        shares: names of ways whose room a cable takes as well when it passes this one.
        ends_at: device at which a mouth lies instead of in a bay, by mouth; empty where the mouth is in a bay.
        furniture: the piece of furniture it belongs to; empty if to none.
        lined: it is a crossing that a lining offers, not one that was named.
    """

    name: str
    kind: WayKind
    member: str | None
    line: Array
    length_m: float
    turns: int
    mouths: tuple[Mouth, Mouth]
    shape: Shape
    raw_bore_m: float
    drawn_bore_m: float
    bore_m: float
    room_m: float
    area_m2: float
    limit: float
    taken_m: float
    grommet_m: float | None
    state: OpeningState
    closed: str
    zone: Zone
    rim: Array
    shares: tuple[str, ...] = ()
    ends_at: tuple[str, str] = ("", "")
    furniture: str = ""
    lined: bool = False

    @property
    def room_only(self) -> bool:
        """Whether it is no passage by itself: an entry of furniture is passed by the ways that share its room."""
        return self.kind == "entry"

    @property
    def schematic(self) -> bool:
        """Whether its line is a sketch, and its length what a tape said."""
        return self.kind == "outside"


@dataclass(frozen=True, eq=False)
class Portal:
    """A device where its cables meet a bay.

    Args:
        device: its id.
        point: ``(3,)`` where its wires end [m].
        wall: skin name.
        mouth: where the stub meets the bay, at lay depth.
        stub: ``(k, 3)`` polyline from the device to the mouth [m]; a single point if there is none.
        stub_m: |dx| + |dy| + |dz| of the stub [m].
    """

    device: str
    point: Array
    wall: str
    mouth: Mouth
    stub: Array
    stub_m: float


@dataclass(frozen=True, eq=False)
class MountingBoard:
    """A flat board that devices are fixed on.

    Args:
        device: the board itself.
        corner: ``(3,)`` its lower left corner as one faces it from inside [m].
        across, up: ``(3,)`` unit vectors along its lower and left edge.
        width_m, height_m: its size [m].
        wall: skin that it hangs on.
    """

    device: str
    corner: Array
    across: Array
    up: Array
    width_m: float
    height_m: float
    wall: str

    def point(self, across_m: float, up_m: float) -> Array:
        """A point of the board in the van, ``(3,)`` [m]."""
        return self.corner + across_m * self.across + up_m * self.up


@dataclass(frozen=True, eq=False)
class KeepOut:
    """A region no cable may enter, on one skin, grown by its margin."""

    name: str
    why: str
    skin: int
    outline: shapely.Geometry
    margin_m: float


@dataclass(frozen=True, eq=False)
class Space:
    """Everything a route is made of."""

    skins: tuple[SkinChart, ...]
    bays: tuple[Bay, ...]
    ways: tuple[Way, ...]
    portals: tuple[Portal, ...]
    keep_outs: tuple[KeepOut, ...]
    boards: tuple[MountingBoard, ...] = ()

    @cached_property
    def sharers(self) -> dict[int, tuple[int, ...]]:
        """Ways that take room of others: which, and of which. Empty in most vans."""
        if not any(way.shares for way in self.ways):
            return {}
        index = {way.name: number for number, way in enumerate(self.ways)}
        return {number: tuple(index[name] for name in way.shares) for number, way in enumerate(self.ways) if way.shares}

    def bays_of(self, portal: Portal) -> frozenset[int]:
        """Where a device's cables come to: its bay, or the bays that ways from the device itself lead to."""
        if portal.mouth.bay != NOWHERE:
            return frozenset({portal.mouth.bay})
        return frozenset(
            mouth.bay
            for way in self.ways
            if portal.device in way.ends_at and not way.closed
            for mouth in way.mouths
            if mouth.bay != NOWHERE
        )

    def way_index(self, name: str) -> int:
        """Index of a way by name; raises ``KeyError``."""
        for index, way in enumerate(self.ways):
            if way.name == name:
                return index
        raise KeyError(name)
