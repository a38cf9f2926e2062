"""A shell from named parts and a list of what they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ribway.models.nearest import nearest_word
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import (
    Member,
    MemberKind,
    Mesh,
    Obstacle,
    Opening,
    OpeningShape,
    OpeningState,
    Points,
    Shell,
    Skin,
    SkinZone,
)
from ribway.router.shell.passage_in_mesh import line_through, slot_grain
from ribway.router.shell.solids import outline, ring_at


@dataclass(frozen=True)
class SkinSpec:
    """Which part is a skin.

    Args:
        part: name in the file.
        skin: ``left``, ``right``, ``roof``, ``floor``, ``bulkhead`` or ``rear``.
        zone: which ambient temperature applies.
        lay_depth_m: how far off the metal a cable's axis lies [m].
    """

    part: str
    skin: str
    zone: SkinZone
    lay_depth_m: float


@dataclass(frozen=True)
class MemberSpec:
    """Which part is a member.

    Args:
        part: name in the file.
        name: the member's name, ``L4``.
        kind: what it is.
        skins: skins whose cables it parts.
        depth_m: how far it stands into the van [m].
    """

    part: str
    name: str
    kind: MemberKind
    skins: tuple[str, ...]
    depth_m: float


@dataclass(frozen=True)
class ObstacleSpec:
    """Which part is a solid thing on skins that is no member.

    Args:
        part: name in the file.
        name: the obstacle's name.
        skins: skins it stands on.
    """

    part: str
    name: str
    skins: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class OpeningSpec:
    """One hole of the survey list.

    Args:
        name: ``L4b``.
        member: the member it passes.
        centre: a point on its axis within the member [m].
        axis: direction of the passage from ``skin_a`` to ``skin_b``, any length.
        shape: round or slot.
        bore_m: clear diameter or clear width [m].
        length_m: overall length of a slot, the bore of a round hole [m].
        skin_a, skin_b: skins on either side.
        grain: direction in which a slot is long; None takes the upright one, or along the van for upright axes.
        path: ``(k, 3)`` the whole passage from mouth to mouth where it has a corner; None: straight along the axis [m].
        state: assumed, measured, blocked or drill.
    """

    name: str
    member: str
    centre: Points
    axis: Points
    shape: OpeningShape
    bore_m: float
    length_m: float
    skin_a: str
    skin_b: str
    grain: Points | None = None
    path: Points | None = None
    state: OpeningState = "measured"


def shell_from_parts(
    name: str,
    parts: dict[str, Mesh],
    skins: Sequence[SkinSpec],
    members: Sequence[MemberSpec],
    openings: Sequence[OpeningSpec],
    obstacles: Sequence[ObstacleSpec] = (),
    length_m: float | None = None,
) -> Shell:
    """Make a shell of meshes read from a file.

    Args:
        name: of the shell.
        parts: meshes by name, in the van's frame; those not listed are only drawn.
        skins: which parts are skins; they are turned so that normals look into the van where that is clear.
        members: which are members.
        openings: the survey list.
        obstacles: which are other solids.
        length_m: cargo length; None takes how far back the skins reach [m].

    Returns:
        The shell.

    Raises:
        ShellError: all entries that name what is not there, or holes that are none, at once.
    """
    specs: list[SkinSpec | MemberSpec | ObstacleSpec] = [*skins, *members, *obstacles]
    faults = [
        f"part '{spec.part}' is not in the file; {near(spec.part, parts)}" for spec in specs if spec.part not in parts
    ]
    faults += _twice("skin", [spec.skin for spec in skins]) + _twice("member", [spec.name for spec in members])
    faults += _twice("opening", [spec.name for spec in openings]) + _twice("part", [spec.part for spec in specs])
    known = [spec.skin for spec in skins]
    for what, listed in [(f"{m.name}", m.skins) for m in members] + [(o.name, o.skins) for o in obstacles]:
        faults += [f"'{what}' stands on skin '{s}'; {near(s, known)}" for s in listed if s not in known]
    by_name = {spec.name: spec.part for spec in members}
    for hole in openings:
        faults += [
            f"opening '{hole.name}' leads to skin '{s}'; {near(s, known)}"
            for s in (hole.skin_a, hole.skin_b)
            if s not in known
        ]
        if hole.member not in by_name:
            faults.append(f"opening '{hole.name}' is in member '{hole.member}'; {near(hole.member, by_name)}")
    if not skins:
        faults.append("no skin is listed; accepted is one or more")
    made: list[Opening] = []
    if not faults:
        for hole in openings:
            try:
                made.append(_opening(hole, parts[by_name[hole.member]]))
            except ShellError as error:
                faults.append(str(error))
    if faults:
        raise ShellError(*faults)
    middle = _middle([parts[spec.part] for spec in skins])
    faced = tuple(Skin(s.skin, _facing(parts[s.part], middle), s.zone, s.lay_depth_m) for s in skins)
    listed_parts = {spec.part for spec in specs}
    return Shell(
        name,
        faced,
        tuple(Member(m.name, m.kind, m.skins, parts[m.part], m.depth_m) for m in members),
        tuple(Obstacle(o.name, o.skins, parts[o.part]) for o in obstacles),
        tuple(made),
        tuple((part, mesh) for part, mesh in parts.items() if part not in listed_parts),
        length_m if length_m is not None else max(-float(skin.mesh.vertices[:, 0].min()) for skin in faced),
    )


def near(name: str | None, known: Iterable[str]) -> str:
    """What would have been accepted in the place of a name that leads nowhere.

    Args:
        name: the name; None if none was given.
        known: the names that lead somewhere.

    Returns:
        The nearest of them, or a list of the first.
    """
    names = sorted(known)
    nearest = nearest_word(name or "", names)
    if nearest is not None:
        return f"did you mean {nearest}?"
    return (
        f"accepted are {', '.join(names[:12])}{', ...' if len(names) > 12 else ''}"
        if names
        else "none is listed under parts"
    )


def _twice(what: str, names: list[str]) -> list[str]:
    return [f"{what} '{n}' is listed twice; accepted is once" for n in sorted({n for n in names if names.count(n) > 1})]


def _opening(hole: OpeningSpec, metal: Mesh) -> Opening:
    length = hole.length_m if hole.shape == "slot" else hole.bore_m
    if not 0 < hole.bore_m <= length <= 0.5:
        raise ShellError(
            f"opening '{hole.name}' is {hole.bore_m} by {length} m; accepted are a bore above 0 and a length from the "
            "bore to 0.5 m"
        )
    reach = float(np.linalg.norm(hole.axis))
    if not np.isfinite(reach) or reach < 1e-9 or not np.isfinite(hole.centre).all():
        raise ShellError(
            f"opening '{hole.name}' has axis {hole.axis} at {hole.centre}; accepted are finite numbers, axis not 0"
        )
    axis = np.asarray(hole.axis, dtype=np.float64) / reach
    grain = slot_grain(axis) if hole.grain is None else np.asarray(hole.grain, dtype=np.float64)
    ring = outline(hole.shape, hole.bore_m, length)
    line, first_wall = line_through(hole.name, metal, hole.centre, axis, ring, grain, hole.path)
    first_axis = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    rim = ring_at(ring, first_wall, first_axis, grain)
    return Opening(
        hole.name, hole.member, hole.shape, hole.bore_m, length, line, hole.skin_a, hole.skin_b, rim, hole.state
    )


def _middle(meshes: list[Mesh]) -> Points:
    everything = np.concatenate([mesh.vertices for mesh in meshes])
    return np.asarray((everything.min(axis=0) + everything.max(axis=0)) / 2, dtype=np.float64)


def _facing(mesh: Mesh, middle: Points) -> Mesh:
    """The mesh, turned over if most of its area looks away from the van's middle."""
    a, b, c = (mesh.vertices[mesh.faces[:, i]] for i in range(3))
    area = np.cross(b - a, c - a)
    inward = float(np.einsum("ij,ij->", area, middle - (a + b + c) / 3))
    return mesh if inward >= 0 else Mesh(mesh.vertices, np.ascontiguousarray(mesh.faces[:, ::-1]))
