"""Shells simple enough that every length on them follows from a pencil drawing: a flat left wall, a flat roof.

Ribs and bows are solid bars, the rail in the corner is a box section; their round holes are really cut. All numbers are
metres; ``back`` counts from the datum rearwards, ``up`` from the floor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import manifold3d
import numpy as np

from ribway.models.project import Project
from ribway.router.shell.parts import Member, Mesh, Opening, Shell, Skin

HALF_WIDTH = 0.9
DEPTH = 0.055
WIDTH = 0.05
RAIL = 0.07
CLEAR = 0.006
SEAM = 0.0005
SHEET = 0.002
SIDES = 24


@dataclass(frozen=True)
class Hole:
    """A round hole: ``at`` is its height (rib) or distance to the left (bow), ``off`` its distance off the skin."""

    at: float
    off: float = 0.0275
    bore: float = 0.025


@dataclass(frozen=True)
class Bar:
    """A rib or bow at a distance back, with its holes."""

    back: float
    holes: tuple[Hole, ...]


@dataclass(frozen=True)
class Corner:
    """A passage through the rail in the corner of wall and roof: up from the wall, then across to the roof."""

    back: float
    off_wall: float = 0.0275
    off_roof: float = 0.0275
    bore: float = 0.025


def box(low: Sequence[float], high: Sequence[float]) -> Any:
    """A solid block between two opposite corners."""
    size = [b - a for a, b in zip(low, high, strict=True)]
    return manifold3d.Manifold.cube(size).translate(list(low))


def rod(start: Sequence[float], end: Sequence[float], bore: float) -> Any:
    """A cutter along an axis-parallel line whose sides touch the circle of diameter ``bore`` from outside."""
    a, b = np.array(start, dtype=float), np.array(end, dtype=float)
    axis = int(np.argmax(np.abs(b - a)))
    long = float(np.abs(b - a)[axis])
    solid = manifold3d.Manifold.cylinder(long, bore / 2 / np.cos(np.pi / SIDES), circular_segments=SIDES)
    turned = solid.rotate([[0, 90, 0], [-90, 0, 0], [0, 0, 0]][axis])
    return turned.translate(np.minimum(a, b).tolist())


def mesh_of(solid: Any) -> Mesh:
    """Triangles of a solid."""
    raw = solid.to_mesh64()
    return Mesh(np.array(raw.vert_properties[:, :3], dtype=np.float64), np.array(raw.tri_verts, dtype=np.int32))


def solid_of(mesh: Mesh) -> Any:
    """The solid of a closed mesh."""
    return manifold3d.Manifold(
        manifold3d.Mesh64(np.ascontiguousarray(mesh.vertices), np.ascontiguousarray(mesh.faces, dtype=np.uint64))
    )


def sheet(*corners: Sequence[float]) -> Mesh:
    """A flat rectangle; seen from its upper side the corners run counter-clockwise."""
    return Mesh(np.array(corners, dtype=np.float64), np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32))


def letters(count: int) -> list[str]:
    """a, b, c ..."""
    return [chr(ord("a") + k) for k in range(count)]


def plain_shell(
    length: float,
    height: float,
    ribs: Sequence[Bar],
    bows: Sequence[Bar] = (),
    corners: Sequence[Corner] = (),
    roof: bool = False,
    lay: float = 0.0275,
) -> Shell:
    """A left wall with ribs, and above it, if wanted, a roof with bows and a rail in the corner between.

    Holes are named ``L1a`` (rib, from below), ``B1a`` (bow, from the left), ``LE1`` (rail, from the front).
    """
    w = HALF_WIDTH
    top = height - RAIL if roof else height
    skins = [Skin("left", sheet((0, w, 0), (0, w, height), (-length, w, height), (-length, w, 0)), "wall", lay)]
    members: list[Member] = []
    openings: list[Opening] = []
    for number, rib in enumerate(ribs, start=1):
        x0, x1 = -rib.back - WIDTH / 2, -rib.back + WIDTH / 2
        solid = box((x0, w - DEPTH, -0.02), (x1, w - SEAM, top + (0.001 if roof else 0.02)))
        for letter, hole in zip(letters(len(rib.holes)), rib.holes, strict=True):
            line = np.array([(x1 + CLEAR, w - hole.off, hole.at), (x0 - CLEAR, w - hole.off, hole.at)])
            solid -= rod(line[0], line[1], hole.bore)
            openings.append(_opening(f"L{number}{letter}", f"L{number}", hole.bore, line, "left", "left"))
        members.append(Member(f"L{number}", "rib", ("left",), mesh_of(solid), DEPTH))
    if roof:
        skins.append(
            Skin(
                "roof", sheet((0, w, height), (0, -w, height), (-length, -w, height), (-length, w, height)), "roof", lay
            )
        )
        for number, bow in enumerate(bows, start=1):
            x0, x1 = -bow.back - WIDTH / 2, -bow.back + WIDTH / 2
            solid = box((x0, -w - 0.02, height - DEPTH), (x1, w - RAIL + 0.001, height - SEAM))
            for letter, hole in zip(letters(len(bow.holes)), bow.holes, strict=True):
                line = np.array([(x1 + CLEAR, hole.at, height - hole.off), (x0 - CLEAR, hole.at, height - hole.off)])
                solid -= rod(line[0], line[1], hole.bore)
                openings.append(_opening(f"B{number}{letter}", f"B{number}", hole.bore, line, "roof", "roof"))
            members.append(Member(f"B{number}", "bow", ("roof",), mesh_of(solid), DEPTH))
        rail = box((-length - 0.02, w - RAIL, height - RAIL), (0.02, w - SEAM, height - SEAM))
        rail -= box(
            (-length - 0.03, w - RAIL + SHEET, height - RAIL + SHEET), (0.03, w - SEAM - SHEET, height - SEAM - SHEET)
        )
        for number, corner in enumerate(corners, start=1):
            x, y, z, r = -corner.back, w - corner.off_wall, height - corner.off_roof, corner.bore / 2
            line = np.array([(x, y, height - RAIL - CLEAR), (x, y, z), (x, w - RAIL - CLEAR, z)])
            rail -= rod(line[0], (x, y, z + r), corner.bore)
            rail -= rod((x, y + r, z), line[2], corner.bore)
            openings.append(_opening(f"LE{number}", "LE", corner.bore, line, "left", "roof"))
        members.append(Member("LE", "rail", ("left", "roof"), mesh_of(rail), RAIL))
    return Shell("plain", tuple(skins), tuple(members), (), tuple(openings), (), length)


def _opening(name: str, member: str, bore: float, line: np.ndarray, skin_a: str, skin_b: str) -> Opening:
    axis = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    side = np.array([0.0, 1.0, 0.0]) if abs(axis[1]) < 0.5 else np.array([0.0, 0.0, 1.0])
    other = np.cross(axis, side)
    turn = 2 * np.pi * np.arange(16)[:, None] / 16
    rim = line[0] + CLEAR * axis + bore / 2 * (np.cos(turn) * side + np.sin(turn) * other)
    return Opening(name, member, "round", bore, bore, line, skin_a, skin_b, rim, "measured")


def with_filled(shell: Shell, name: str) -> Shell:
    """The shell with one hole filled in the metal but still on the list."""
    opening = next(one for one in shell.openings if one.name == name)
    members = []
    for member in shell.members:
        if member.name == opening.member:
            solid = solid_of(member.mesh)
            for a, b in zip(opening.line[:-1], opening.line[1:], strict=True):
                middle = (a + b) / 2
                shrink = max(0.0, 1 - 2 * (CLEAR + 0.001) / float(np.linalg.norm(b - a)))
                solid += rod(middle + (a - middle) * shrink, middle + (b - middle) * shrink, opening.bore_m + 0.002)
            member = replace(member, mesh=mesh_of(solid))
        members.append(member)
    return replace(shell, members=tuple(members))


def without(shell: Shell, *names: str) -> Shell:
    """The shell with holes taken off the list."""
    return replace(shell, openings=tuple(one for one in shell.openings if one.name not in names))


def on_wall(back: float, up: float, stand_off: float = 0.0275) -> dict[str, Any]:
    """A place on the left wall."""
    return {"wall": "left", "back": back, "up": up, "stand_off": stand_off}


def on_roof(back: float, left: float, stand_off: float = 0.0275) -> dict[str, Any]:
    """A place on the roof, ``left`` negative for the right."""
    side = {"left": left} if left >= 0 else {"right": -left}
    return {"wall": "roof", "back": back, "stand_off": stand_off, **side}


def project(
    places: dict[str, dict[str, Any]],
    circuits: Sequence[dict[str, Any]],
    shop: dict[str, Any] | None = None,
    vehicle: dict[str, Any] | None = None,
    devices: dict[str, dict[str, Any]] | None = None,
    runs: Sequence[dict[str, Any]] = (),
) -> Project:
    """A project whose quantities are SI numbers.

    Costs of bends and openings, slack and spares are off unless ``shop`` says otherwise.
    """
    more = devices or {}
    data = {
        "ribway": 1,
        "name": "plain",
        "vehicle": {"preset": "medium-high", **(vehicle or {})},
        "shop": {"bend_costs": 0.0, "opening_costs": 0.0, "slack": 0.0, "spare": "none", **(shop or {})},
        "devices": [{"id": name, "name": name, "at": at, **more.get(name, {})} for name, at in places.items()],
        "circuits": list(circuits),
        "runs": list(runs),
    }
    return Project.model_validate(data, context={"si": True})
