"""What a shell is made of, as frozen data: skins, members, openings, other ways, keep-outs.

Frame: ISO 8855 axes (x forward, y to the left, z up), metres, origin on the cargo floor's centreline at the
datum. The cargo space therefore lies at x <= 0: a point 1.2 m back from the datum has x = -1.2.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Faces = NDArray[np.int32]

SkinZone = Literal["wall", "roof", "floor"]
MemberKind = Literal["rib", "bow", "rail", "sill", "pillar", "brace"]
OpeningShape = Literal["round", "slot"]
OpeningState = Literal["assumed", "measured", "blocked", "drill"]
WayKind = Literal["opening", "over", "duct"]


@dataclass(frozen=True, eq=False)
class Mesh:
    """A triangle mesh.

    Args:
        vertices: ``(n, 3)`` points [m].
        faces: ``(m, 3)`` vertex indices; skins are wound so that normals look into the van.
    """

    vertices: Points
    faces: Faces


@dataclass(frozen=True, eq=False)
class Skin:
    """A surface that cables lie against.

    Args:
        name: ``left``, ``right``, ``roof``, ``floor``, ``bulkhead`` or ``rear``.
        mesh: the bare metal, windows and doors already cut out of it.
        zone: which ambient temperature applies.
        lay_depth_m: how far off the metal a cable's axis lies between its members [m].
    """

    name: str
    mesh: Mesh
    zone: SkinZone
    lay_depth_m: float


@dataclass(frozen=True, eq=False)
class Member:
    """A rib, bow, rail, sill or brace that stands on one or two skins.

    Args:
        name: by wall and number, ``L4``, ``B3``; rails ``LW`` (left waist), ``LE`` (left roof edge), ``LS`` (left sill).
        kind: what it is.
        skins: the skins whose cables it parts.
        mesh: the metal with its openings really cut.
        depth_m: how far it stands into the van from the skin [m].
    """

    name: str
    kind: MemberKind
    skins: tuple[str, ...]
    mesh: Mesh
    depth_m: float


@dataclass(frozen=True, eq=False)
class Obstacle:
    """A solid thing on skins that is no member: a wheel arch, a step.

    Args:
        name: ``arch-left``.
        skins: the skins it stands on.
        mesh: its metal.
    """

    name: str
    skins: tuple[str, ...]
    mesh: Mesh


@dataclass(frozen=True, eq=False)
class Opening:
    """A hole or slot through a member, as one passage from bay to bay.

    Args:
        name: wall, rib and row: ``L4b``; rows count up from the floor (ribs) or from the left (bows).
        member: the member it passes.
        shape: round or slot.
        bore_m: clear diameter of a round hole, clear width of a slot, before any grommet [m].
        length_m: overall length of a slot; equals ``bore_m`` for a round hole [m].
        line: ``(k, 3)`` the passage's own polyline [m]: first and last point are its mouths, a few millimetres clear of
            the metal on either side; straight through both webs of a section, with a corner inside a corner rail.
        skin_a: skin on which the first mouth lies.
        skin_b: skin on which the last mouth lies.
        rim: ``(r, 3)`` corner points of the hole's outline in the first wall it passes, in order [m].
        state: assumed, measured, blocked, or drill (to be made).
    """

    name: str
    member: str
    shape: OpeningShape
    bore_m: float
    length_m: float
    line: Points
    skin_a: str
    skin_b: str
    rim: Points
    state: OpeningState = "assumed"


@dataclass(frozen=True, eq=False)
class Shell:
    """The van's inside as bare metal.

    Args:
        name: preset or file name.
        skins: surfaces that cables lie against.
        members: what stands on them.
        obstacles: wheel arches and the like.
        openings: passages through members.
        panels: named metal that is only drawn (doors, window frames, bulkhead lining).
        length_m: cargo length from the datum to the rear sill [m].
    """

    name: str
    skins: tuple[Skin, ...]
    members: tuple[Member, ...]
    obstacles: tuple[Obstacle, ...]
    openings: tuple[Opening, ...]
    panels: tuple[tuple[str, Mesh], ...]
    length_m: float
