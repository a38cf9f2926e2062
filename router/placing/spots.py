"""Places at which a device may really stand, each with where its cables meet a bay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.project import Project
from ribway.router.errors import RouterError
from ribway.router.geometry.charts import Chart
from ribway.router.placing.moving import moved_with
from ribway.router.planning import Planning
from ribway.router.shell.surveyed import surveyed
from ribway.router.space.bays import BayFinder, chart_skins
from ribway.router.space.boards import board_frame, board_portal, member_portal
from ribway.router.space.metal import Metal
from ribway.router.space.portals import device_portal
from ribway.router.space.types import MountingBoard, Portal

Array = NDArray[np.float64]

CLEAR_OF_OTHERS_M = 0.08
"""Between a place and another device, if no size is given; common practice, no source."""
NO_SKIN = "off the skin, inside a member or in a keep-out"
TAKEN = "another device is there"
TOO_SMALL = "not enough open skin"


@dataclass(frozen=True, eq=False)
class Spot:
    """One place.

    Args:
        place: counted as the project counts.
        portals: of the device and of all that is fixed on it, by id.
    """

    place: Place
    portals: Mapping[str, Portal]


@dataclass(frozen=True, eq=False)
class Spots:
    """Places that a device may take.

    Args:
        device: its id.
        found: the places.
        refused: how many places were left out, by reason.
    """

    device: str
    found: tuple[Spot, ...]
    refused: Mapping[str, int]

    @property
    def points(self) -> Array:
        """``(n, 3)`` where the device's wires end [m]."""
        return np.array([spot.portals[self.device].point for spot in self.found]).reshape(-1, 3)


def spots_of(
    asked: Project,
    ground: Planning,
    name: str,
    places: Sequence[Place],
    size_m: tuple[float, float] | None = None,
    clear_m: float = CLEAR_OF_OTHERS_M,
) -> Spots:
    """Which of some places a device may take.

    A place is refused in a keep-out, inside a member, off the shell and far from any bay; where the device would stand on
    another one; and, if its size is given or it is a mounting board, where its outline leaves the open skin or meets a
    keep-out. It may cover members: what is fixed on a lining does.

    Args:
        asked: the project as the user counts.
        ground: the same made ready.
        name: id of the device.
        places: as the user counts.
        size_m: width along the wall and height of what has to find room there, around the place [m].
        clear_m: kept clear of other devices, if no size is given [m].
    """
    finder = _Finder(asked, ground, name, size_m, clear_m)
    found: list[Spot] = []
    refused: Counter[str] = Counter()
    for place, device in zip(places, _from_bare_floor(asked, name, places), strict=True):
        portals = finder.portals(device)
        reason = NO_SKIN if portals is None else finder.reason(device, portals[name])
        if portals is not None and not reason:
            found.append(Spot(place, portals))
        else:
            refused[reason] += 1
    return Spots(name, tuple(found), dict(refused))


def _from_bare_floor(asked: Project, name: str, places: Sequence[Place]) -> tuple[Device, ...]:
    """The device at each place, as the router counts."""
    device = next(one for one in asked.devices if one.id == name)
    copies = tuple(device.model_copy(update={"at": place}) for place in places)
    return surveyed(asked.model_copy(update={"devices": copies})).devices


class _Finder:
    """Looks at places one by one."""

    def __init__(
        self, asked: Project, ground: Planning, name: str, size_m: tuple[float, float] | None, clear_m: float
    ) -> None:
        self._space, self._shell = ground.network.space, ground.shell
        self._charts: Mapping[str, Chart] = chart_skins(ground.shell)
        self._bays, self._metal = BayFinder(self._space.bays), Metal(ground.shell)
        self._datum_m, self._size_m, self._clear_m = asked.vehicle.datum.forward, size_m, clear_m
        group = moved_with(asked, name)
        self._fixed_on_it = [device for device in ground.project.devices if device.id in group[1:]]
        others = [one for one in self._space.portals if one.device not in group]
        self._others = np.array([one.point for one in others]).reshape(-1, 3)
        self._walls = np.array([one.wall for one in others])

    def portals(self, device: Device) -> dict[str, Portal] | None:
        """Portals of a device and of what is fixed on it; None where one of them cannot be."""
        try:
            if device.kind != "mounting board":
                return {device.id: self._portal(device)}
            board = board_frame(device, self._charts, self._datum_m)
            own = {device.id: board_portal(device, board, self._datum_m, self._portal)}
            return own | {
                one.id: member_portal(one, board, self._datum_m, self._portal, self._metal) for one in self._fixed_on_it
            }
        except RouterError:
            return None

    def _portal(self, device: Device) -> Portal:
        space = self._space
        return device_portal(
            device, self._shell, space.skins, self._charts, self._bays, space.keep_outs, self._datum_m, self._metal
        )

    def reason(self, device: Device, portal: Portal) -> str:
        """Why there is no room for it; empty if there is."""
        if device.kind != "mounting board" and self._size_m is None:
            gaps = np.linalg.norm(self._others - portal.point, axis=1)
            return TAKEN if float(gaps.min(initial=np.inf)) < self._clear_m else ""
        board = board_frame(device, self._charts, self._datum_m)
        corners = self._corners(board, portal.point)
        index = next(i for i, skin in enumerate(self._space.skins) if skin.name == portal.wall)
        skin = self._space.skins[index]
        outline = shapely.Polygon(skin.chart.flatten(corners)[0])
        barred = [one.outline for one in self._space.keep_outs if one.skin == index]
        if not shapely.covers(skin.sheet, outline) or any(shapely.intersects(one, outline) for one in barred):
            return TOO_SMALL
        flat = skin.chart.flatten(self._others[self._walls == portal.wall])[0]
        return TAKEN if shapely.contains_xy(outline, flat[:, 0], flat[:, 1]).any() else ""

    def _corners(self, board: MountingBoard, middle: Array) -> Array:
        """``(4, 3)`` corners of what is to find room: a mounting board's own, else the size around the place."""
        if self._size_m is None:
            spans = [(0.0, 0.0), (board.width_m, 0.0), (board.width_m, board.height_m), (0.0, board.height_m)]
            return np.array([board.point(*one) for one in spans])
        w, h = self._size_m[0] / 2.0, self._size_m[1] / 2.0
        return np.array([middle + a * board.across + b * board.up for a, b in ((-w, -h), (w, -h), (w, h), (-w, h))])
