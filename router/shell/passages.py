"""Passages through members as polylines, before anything is cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ribway.router.shell import dimensions as dim
from ribway.router.shell.parts import OpeningShape, Points
from ribway.router.shell.profile import Profile
from ribway.router.shell.row_members import RowMember, row_members
from ribway.router.shell.rows import rows_of

if TYPE_CHECKING:
    from ribway.router.shell.parameters import HoleRow, ShellParameters

Hole = tuple[OpeningShape, float, float]
"""Shape, clear width [m], overall length [m]."""


@dataclass(frozen=True, eq=False)
class Passage:
    """A passage: each leg of its line is one straight cut of the hole's outline.

    Args:
        name, member: of the opening and of the member it passes.
        hole: shape and size.
        line: ``(k, 3)`` [m]; its first and last point are ``CLEAR_M`` clear of the metal.
        grain: ``(3,)`` direction in which a slot is long, the same on all legs.
        skin_a, skin_b: skins at the first and at the last point.
    """

    name: str
    member: str
    hole: Hole
    line: Points
    grain: Points
    skin_a: str
    skin_b: str


def letters(count: int) -> list[str]:
    """``a``, ``b``, ... for the holes of a member."""
    return [chr(ord("a") + i) for i in range(count)]


def all_passages(parameters: ShellParameters, profile: Profile) -> tuple[Passage, ...]:
    """Every passage of a van.

    Args:
        parameters: what the fitter measured.
        profile: its section.

    Returns:
        Passages, member by member.
    """
    members = list(row_members(parameters).values())
    found: list[Passage] = []
    for side in ("left", "right"):
        of_side = [member for member in members if member.side == side]
        found += _ribs(parameters, profile, [member for member in of_side if member.kind == "rib"])
        found += _rails(parameters, profile, [member for member in of_side if member.is_rail], side)
        for member in of_side:
            if member.kind == "pillar":
                found += _pillar(parameters, profile, member)
    found += _bows(parameters, profile, [member for member in members if member.kind == "bow"])
    for member in members:
        if member.kind == "header":
            found += _header(parameters, profile, member)
    return tuple(found)


def _row_hole(row: HoleRow) -> Hole:
    return row.shape, row.bore_m, row.length_m if row.shape == "slot" else row.bore_m


def _through(
    parameters: ShellParameters,
    profile: Profile,
    member: str,
    skin: str,
    station: float,
    spots: list[tuple[float, Hole]],
) -> Iterator[Passage]:
    """Straight passages through both webs of a rib or bow; ``spots`` are girths and holes in naming order."""
    reach = parameters.rib_width_m / 2 + dim.CLEAR_M
    lay = dim.lay_depth_m(parameters.rib_depth_m)
    for letter, (s, hole) in zip(letters(len(spots)), spots, strict=True):
        yz = profile.at(s, lay)
        line = np.array([profile.xyz(-(station - reach), yz), profile.xyz(-(station + reach), yz)])
        normal = profile.normals[profile.strip_at(s)]
        grain = np.array([0.0, normal[1], -normal[0]])
        yield Passage(f"{member}{letter}", member, hole, line, grain, skin, skin)


def _ribs(parameters: ShellParameters, profile: Profile, members: list[RowMember]) -> Iterator[Passage]:
    for member in members:
        rows = rows_of(parameters, member)
        spots = [(profile.at_height(row.place_m, member.side), _row_hole(row)) for row in rows]
        yield from _through(parameters, profile, member.name, member.side, member.station_m, spots)


def _bows(parameters: ShellParameters, profile: Profile, members: list[RowMember]) -> Iterator[Passage]:
    for member in members:
        spots = [(profile.at_across(row.place_m), _row_hole(row)) for row in rows_of(parameters, member)]
        yield from _through(parameters, profile, member.name, "roof", member.station_m, spots)


def _rails(parameters: ShellParameters, profile: Profile, members: list[RowMember], side: str) -> Iterator[Passage]:
    """Passages of waist rail, roof-edge rail and sill, bay by bay."""
    p = parameters
    up = 1.0 if side == "left" else -1.0
    lay = dim.lay_depth_m(p.rib_depth_m)

    def across(place: str, below: float, above: float) -> Callable[[float], Points]:
        corner = profile.corner_index(place, side)
        s = float(profile.girth[corner])
        ends = [profile.at(s - up * below, lay), profile.mitre(corner, lay), profile.at(s + up * above, lay)]
        return lambda back: np.array([profile.xyz(-back, yz) for yz in ends])

    waist = across("waist", dim.WAIST_HALF_M + dim.CLEAR_M, dim.WAIST_HALF_M + dim.CLEAR_M)
    edge = across("edge", dim.EDGE_LEG_M + dim.CLEAR_M, dim.EDGE_LEG_M + dim.CLEAR_M)
    sill = across("floor", dim.SILL_LEG_M + dim.CLEAR_M, dim.SILL_LEG_M + dim.CLEAR_M)
    grain = np.array([1.0, (p.taper if side == "left" else -p.taper), 0.0])
    line_at: dict[str, Callable[[float], Points]] = {
        "waist": waist,
        "edge": edge,
        "sill": lambda back: sill(back)[::-1],
    }
    far_skin = {"waist": side, "edge": "roof", "sill": "floor"}
    for member in members:
        rows = rows_of(p, member)
        for letter, row in zip(letters(len(rows)), rows, strict=True):
            line = line_at[member.kind](row.place_m)
            yield Passage(
                f"{member.name}{letter}", member.name[:2], _row_hole(row), line, grain, side, far_skin[member.kind]
            )


def _pillar(parameters: ShellParameters, profile: Profile, member: RowMember) -> Iterator[Passage]:
    """Passages of a front pillar, bulkhead to wall."""
    rows = rows_of(parameters, member)
    for letter, row in zip(letters(len(rows)), rows, strict=True):
        s = profile.at_height(row.place_m, member.side)
        yield _corner(parameters, profile, f"{member.name}{letter}", member.name, _row_hole(row), s, member.side)


def _header(parameters: ShellParameters, profile: Profile, member: RowMember) -> Iterator[Passage]:
    """Passages of the roof header, bulkhead to roof."""
    rows = rows_of(parameters, member)
    for letter, row in zip(letters(len(rows)), rows, strict=True):
        s = profile.at_across(row.place_m)
        yield _corner(parameters, profile, f"{member.name}{letter}", member.name, _row_hole(row), s, "roof")


def _corner(
    parameters: ShellParameters, profile: Profile, name: str, member: str, hole: Hole, s: float, skin: str
) -> Passage:
    """A passage that leaves the bulkhead along the other skin's normal and turns back along the van."""
    lay, clear = dim.lay_depth_m(parameters.rib_depth_m), dim.EDGE_LEG_M + dim.CLEAR_M
    line = np.array(
        [
            profile.xyz(-lay, profile.at(s, clear)),
            profile.xyz(-lay, profile.at(s, lay)),
            profile.xyz(-clear, profile.at(s, lay)),
        ]
    )
    normal = profile.normals[profile.strip_at(s)]
    return Passage(name, member, hole, line, np.array([0.0, normal[1], -normal[0]]), "bulkhead", skin)
