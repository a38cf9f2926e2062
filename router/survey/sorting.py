"""Which bodies are members, obstacles or panels, told from where they stand and how they lie; and their names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import MemberKind, Mesh, Points
from ribway.router.survey.near_skins import NearSkin
from ribway.router.survey.repair import body_boxes
from ribway.router.survey.skin_sheets import SkinFaces, sub_mesh
from ribway.router.survey.topology import Ints, Topology

BodyKind = Literal["rib", "bow", "rail", "sill", "pillar", "brace", "obstacle", "panel"]

CONTACT_M = 0.004
BEHIND_M = 0.002
BEHIND_SHARE = 0.02
THIN_M = 0.25
LONG = 1.3
SILL_M = 0.25
EDGE_M = 0.35
LEAST_M = 0.05
SAMPLE = 4000
SAME_M = 0.02
FUSED_SHARE = 0.6
FRAME = "frame"
PIECE_AXES = {"rail": (1, 2), "sill": (1, 2), "rib": (0,), "bow": (0,)}
"""Members that may be in pieces, and the axes along which all pieces lie alike."""


@dataclass(frozen=True, eq=False)
class Body:
    """What one body is.

    Args:
        kind: member kind, obstacle, or panel (only drawn).
        skins: skins it stands on, its own first.
        low, high: its box [m].
        depth_m: how far it stands off its own skin [m].
        number: its body number.
        place: what it is a rail of: ``waist``, ``edge``, ``header``; empty for others.
    """

    kind: BodyKind
    skins: tuple[str, ...]
    low: Points
    high: Points
    depth_m: float
    number: int
    place: str = ""


@dataclass(frozen=True, eq=False)
class Part:
    """A named part: one body, or several pieces of one member.

    Args:
        name: ``L4``, ``LW``, ``arch-left``.
        kind, skins, depth_m: as of its bodies.
        bodies: their numbers.
        mesh: their faces [m].
    """

    name: str
    kind: BodyKind
    skins: tuple[str, ...]
    depth_m: float
    bodies: tuple[int, ...]
    mesh: Mesh

    @property
    def member_kind(self) -> MemberKind | None:
        """The member's kind; None of obstacles and panels."""
        return None if self.kind == "obstacle" or self.kind == "panel" else self.kind


def sort_bodies(topology: Topology, body: Ints, skins: SkinFaces, meshes: Mapping[str, Mesh]) -> list[Body]:
    """What each body is that is no skin.

    Args:
        topology: the mended mesh in the van's axes [m].
        body: of each face.
        skins: which bodies are skins.
        meshes: skins by name [m].
    """
    low, high = body_boxes(topology, body)
    everything = np.concatenate([mesh.vertices for mesh in meshes.values()])
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    near = {name: NearSkin(mesh, middle) for name, mesh in meshes.items()}
    order = np.argsort(body, kind="stable")
    bounds = np.searchsorted(body[order], np.arange(int(body.max()) + 2))
    out = []
    for number in range(int(body.max()) + 1):
        if number in skins.body:
            continue
        if float((high[number] - low[number]).max()) < LEAST_M:
            out.append(Body("panel", (), low[number], high[number], 0.0, number))
            continue
        faces = order[bounds[number] : bounds[number + 1]]
        corners = np.unique(topology.mesh.faces[faces])
        points = topology.mesh.vertices[corners[:: max(1, len(corners) // SAMPLE)]]
        gaps = {name: skin.signed(points) for name, skin in near.items()}
        out.append(_body(number, low[number], high[number], gaps, middle, everything))
    size = np.ptp(everything, axis=0)
    return [_frame(_end_piece(one, out), size) for one in out]


def _frame(one: Body, room: Points) -> Body:
    """Ribs and rails that are one body are one member: what it covers of the skins parts the bays as they would."""
    long = (one.high - one.low) > FUSED_SHARE * room
    fused = one.kind == "obstacle" and len(one.skins) >= 3 and int(long.sum()) >= 2
    return replace(one, kind="brace", place=FRAME) if fused else one


def _end_piece(one: Body, others: list[Body]) -> Body:
    """A short piece in the line of a rail, as behind the last rib, is a piece of it."""
    if one.kind != "obstacle":
        return one
    for rail in others:
        if rail.kind == "rail" and rail.place == "waist" and rail.skins[0] in one.skins:
            as_rail = replace(one, kind="rail", skins=rail.skins, place="waist", depth_m=rail.depth_m)
            if _one_member(as_rail, rail):
                return as_rail
    return one


def _body(
    number: int, low: Points, high: Points, gaps: dict[str, NDArray[np.float64]], middle: Points, room: Points
) -> Body:
    touched = tuple(name for name, gap in gaps.items() if float(np.abs(gap).min()) < CONTACT_M)
    behind = any(float(((gap < -BEHIND_M) & (gap > -0.3)).mean()) > BEHIND_SHARE for gap in (gaps[n] for n in touched))
    size, centre = high - low, (high + low) / 2
    side = "left" if centre[1] > middle[1] else "right"
    outside = bool((centre < room.min(axis=0)).any() or (centre > room.max(axis=0)).any())
    if not touched or behind or outside:
        return Body("panel", touched, low, high, 0.0, number)

    def made(kind: BodyKind, first: str, *more: str, place: str = "") -> Body:
        skins = (first, *(name for name in more if name in touched and name != first))
        depth = float(np.min([np.abs(gaps[name]) for name in skins], axis=0).max())
        return Body(kind, skins, low, high, depth, number, place)

    lengthways = size[0] > LONG * max(size[1], size[2])
    if "bulkhead" in touched and size[0] < THIN_M and not lengthways:
        if side in touched and size[2] > LONG * max(size[0], size[1]):
            return made("pillar", "bulkhead", side)
        if "roof" in touched and size[1] > LONG * max(size[0], size[2]):
            return made("rail", "bulkhead", "roof", place="header")
    if lengthways:
        if side in touched and "floor" in touched and max(size[1], size[2]) < SILL_M:
            return made("sill", side, "floor", "bulkhead")
        if side in touched and "roof" in touched and max(size[1], size[2]) < EDGE_M:
            return made("rail", side, "roof", "bulkhead", place="edge")
        if side in touched and "floor" not in touched and size[2] < SILL_M:
            return made("rail", side, "bulkhead", place="waist")
        if "roof" in touched and max(size[1], size[2]) < SILL_M:
            return made("rail", "roof", "bulkhead", place="roof")
    elif size[0] < THIN_M:
        if "roof" in touched and size[1] > LONG * size[2]:
            return made("bow", "roof", "left", "right")
        if side in touched and size[2] > LONG * size[1]:
            return made("rib", side, "roof", "floor")
    return made("obstacle", touched[0], *touched[1:])


def named_parts(topology: Topology, body: Ints, bodies: list[Body]) -> list[Part]:
    """Bodies as named parts, pieces of one member together.

    Args:
        topology: the mended mesh [m].
        body: of each face.
        bodies: what each is.

    Returns:
        Members from the front, left before right, then obstacles and panels.
    """
    groups: list[list[Body]] = []
    in_pieces: list[list[Body]] = []
    for one in sorted(bodies, key=lambda one: (one.kind, one.skins, -float(one.high[0]), one.number)):
        for group in in_pieces if one.kind in PIECE_AXES else ():
            if any(_one_member(one, other) for other in group):
                group.append(one)
                break
        else:
            groups.append([one])
            if one.kind in PIECE_AXES:
                in_pieces.append(groups[-1])
    groups.sort(key=lambda group: (-float(max(one.high[0] for one in group)), group[0].number))
    used: dict[str, int] = {}
    out = []
    for group in groups:
        first = group[0]
        skins = tuple(dict.fromkeys(name for one in group for name in one.skins))
        name = _name(first, used)
        faces = np.flatnonzero(np.isin(body, [one.number for one in group]))
        numbers = tuple(one.number for one in group)
        depth = max(one.depth_m for one in group)
        out.append(Part(name, first.kind, skins, depth, numbers, sub_mesh(topology, faces)))
    return out


def all_single(parts: Sequence[Part], skins: Mapping[str, Mesh]) -> bool:
    """Whether parts of a divided frame are believable: no rail, sill or pillar is there twice, no obstacle as long as a rail.

    Args:
        parts: members, obstacles and panels.
        skins: by name [m].
    """
    x = np.concatenate([mesh.vertices[:, 0] for mesh in skins.values()])
    for part in parts:
        again = part.kind in ("rail", "sill", "pillar") and part.name.rpartition("-")[2].isdecimal()
        long = part.kind == "obstacle" and float(np.ptp(part.mesh.vertices[:, 0])) > FUSED_SHARE * float(np.ptp(x))
        if again or long:
            return False
    return True


def _one_member(a: Body, b: Body) -> bool:
    """Whether two bodies are pieces of one rail, or of one rib that an arch parts."""
    if a.kind != b.kind or a.skins[:1] != b.skins[:1] or a.place != b.place:
        return False
    axes = PIECE_AXES.get(a.kind)
    if axes is None or a.place == "header":
        return False
    rows = list(axes)
    slack = 0.02 * float(max(a.high[0], b.high[0]) - min(a.low[0], b.low[0])) + SAME_M  # a van may narrow to the rear
    return bool(
        (np.abs(a.low[rows] - b.low[rows]) < slack).all() and (np.abs(a.high[rows] - b.high[rows]) < slack).all()
    )


def _name(one: Body, used: dict[str, int]) -> str:
    """A name by wall and number, counted from the front."""
    letter = {"left": "L", "right": "R", "roof": "B", "floor": "F"}.get(one.skins[0] if one.skins else "", "X")
    if one.kind == "panel":
        return _counted("panel-", used)
    if one.kind == "obstacle":
        side = next((name for name in one.skins if name in ("left", "right")), "")
        stem = f"arch-{side}" if side and "floor" in one.skins else "obstacle"
        return _single(stem, used)
    if one.place == FRAME:
        return _single(FRAME, used)
    if one.kind in ("rib", "bow"):
        return _counted(letter, used)
    if one.kind == "pillar":
        return _single(("L" if "left" in one.skins else "R") + "P", used)
    if one.place == "header":
        return _single("B0", used)
    return _single(letter + {"sill": "S", "waist": "W", "edge": "E"}.get(one.place or one.kind, "W"), used)


def _counted(stem: str, used: dict[str, int]) -> str:
    used[stem] = used.get(stem, 0) + 1
    return f"{stem}{used[stem]}"


def _single(name: str, used: dict[str, int]) -> str:
    used[name] = used.get(name, 0) + 1
    return name if used[name] == 1 else f"{name}-{used[name]}"
