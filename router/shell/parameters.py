"""What a person gives to describe a panel van's inside: some twenty tape measurements and hole rows.

Everything is metres. Places along the van are distances back from the datum, heights are above the bare cargo
floor. The section is the same along the van apart from the taper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ribway.router.shell.checks import find_faults
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import OpeningShape

SideName = Literal["left", "right"]


@dataclass(frozen=True)
class HoleRow:
    """One row of equal holes through all ribs (or all bows).

    Args:
        place_m: height above the floor of a rib's hole, or distance to the left of the centreline of a bow's hole
            (negative: to the right); in a rail's own row, distance back from the datum [m].
        bore_m: clear diameter, or clear width of a slot [m].
        shape: round or slot; slots lie along the member.
        length_m: overall length of a slot [m]; not used for round holes.
    """

    place_m: float
    bore_m: float
    shape: OpeningShape = "round"
    length_m: float = 0.0

    @property
    def reach_m(self) -> float:
        """Overall size along the member [m]."""
        return self.length_m if self.shape == "slot" else self.bore_m


@dataclass(frozen=True)
class SideDoor:
    """The sliding side door.

    Args:
        side: the wall it is in.
        front_m, rear_m: the opening's edges, as distance back from the datum [m].
    """

    side: SideName
    front_m: float
    rear_m: float


@dataclass(frozen=True)
class WheelArch:
    """A wheel arch, the same on both sides.

    Args:
        front_m: its front edge, as distance back from the datum [m].
        length_m: along the van [m].
        height_m: above the floor [m].
        width_m: from the wall at the floor inwards [m].
    """

    front_m: float
    length_m: float
    height_m: float
    width_m: float


@dataclass(frozen=True)
class WindowBox:
    """A window cut into a wall, its corners chamfered.

    Args:
        side: the wall it is in.
        front_m, rear_m: edges, as distance back from the datum [m].
        bottom_m, top_m: edges, as height above the floor [m].
    """

    side: SideName
    front_m: float
    rear_m: float
    bottom_m: float
    top_m: float


RIB_ROWS = (
    HoleRow(0.22, 0.025),
    HoleRow(0.48, 0.020, "slot", 0.045),
    HoleRow(0.78, 0.032),
    HoleRow(1.22, 0.020, "slot", 0.045),
    HoleRow(1.42, 0.025),
)
BOW_ROWS = (
    HoleRow(0.52, 0.025),
    HoleRow(0.20, 0.020, "slot", 0.045),
    HoleRow(-0.20, 0.020, "slot", 0.045),
    HoleRow(-0.52, 0.025),
)


@dataclass(frozen=True)
class ShellParameters:
    """A panel van's inside in a fitter's own measurements.

    Args:
        name: of the shell.
        length_m: from the datum to the rear sill [m].
        floor_width_m, waist_width_m, roof_edge_width_m: inside widths between the skins, at the datum [m].
        waist_height_m, roof_edge_height_m, centre_height_m: heights above the floor [m].
        taper: half width lost per metre towards the rear.
        rib_stations_left, rib_stations_right: rib centres, distance back from the datum [m], rising. Ribs that fall
            inside the side door or run into its pillars are left out; the pillars are added at the door's edges.
        bow_stations: bow centres; None takes the left ribs'.
        rib_depth_m: how far ribs, bows and rails stand off the skin [m].
        rib_width_m: their face width [m].
        sheet_m: sheet thickness of the members [m].
        side_door: or None.
        wheel_arch: or None.
        windows: window boxes.
        rib_rows: hole rows of a typical rib, rising.
        bow_rows: hole rows of a typical bow, from the left.
        missing_holes: (member, row counted from 1) pairs that a typical row would have and this van lacks.
        bulkhead: is a bulkhead fitted at the datum.
        own_rows: (member, its hole rows) pairs that take the place of the typical ones, or of the one or two passages
            that a rail has in each bay. Members are ribs and bows (``L4``, ``B2``), a rail's or sill's stretch in a bay
            (``LW3``, by distance back from the datum), front pillars (``LP``) and the roof header (``B0``).

    Raises:
        ShellError: naming each parameter that cannot be, its value and what is accepted.
    """

    name: str = "van"
    length_m: float = 3.70
    floor_width_m: float = 1.80
    waist_width_m: float = 1.84
    waist_height_m: float = 1.02
    roof_edge_width_m: float = 1.60
    roof_edge_height_m: float = 1.62
    centre_height_m: float = 1.92
    taper: float = 0.01
    rib_stations_left: tuple[float, ...] = (0.42, 0.88, 1.36, 1.80, 2.27, 2.71, 3.18, 3.62)
    rib_stations_right: tuple[float, ...] = (0.42, 0.88, 1.36, 1.95, 2.33, 2.77, 3.22, 3.62)
    bow_stations: tuple[float, ...] | None = None
    rib_depth_m: float = 0.055
    rib_width_m: float = 0.055
    sheet_m: float = 0.0015
    side_door: SideDoor | None = SideDoor("right", 0.30, 1.55)
    wheel_arch: WheelArch | None = WheelArch(2.12, 0.98, 0.36, 0.24)
    windows: tuple[WindowBox, ...] = ()
    rib_rows: tuple[HoleRow, ...] = RIB_ROWS
    bow_rows: tuple[HoleRow, ...] = BOW_ROWS
    missing_holes: tuple[tuple[str, int], ...] = ()
    bulkhead: bool = True
    own_rows: tuple[tuple[str, tuple[HoleRow, ...]], ...] = ()

    def __post_init__(self) -> None:
        """Refuse parameters that make no van, all faults at once."""
        faults = find_faults(self)
        if faults:
            raise ShellError(*faults)
