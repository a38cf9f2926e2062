"""The members as real sheet: hat sections on skins, closed boxes along the edges."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon

from ribway.router.shell import dimensions as dim
from ribway.router.shell.layout import SideLayout, bow_stations, side_layout
from ribway.router.shell.parts import Member, MemberKind, Points
from ribway.router.shell.passages import Passage
from ribway.router.shell.profile import Profile
from ribway.router.shell.solids import Placed, Solid, bar, cut, extrude, join, one_polygon, outline, to_mesh

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters


@dataclass(frozen=True)
class _Blank:
    """A member before its holes: full pieces and what is hollow in them."""

    name: str
    kind: MemberKind
    skins: tuple[str, ...]
    depth_m: float
    full: list[Solid] = field(default_factory=list)
    hollow: list[Solid] = field(default_factory=list)


def build_members(
    parameters: ShellParameters,
    profile: Profile,
    passages: tuple[Passage, ...],
    arches: tuple[Solid, ...] = (),
) -> tuple[Member, ...]:
    """All members with their holes cut.

    Args:
        parameters: what the fitter measured.
        profile: its section.
        passages: holes to cut; leave some out to have them filled.
        arches: blocks of the wheel arches, cut out of whatever they cover.

    Returns:
        Members: left wall, right wall, roof.
    """
    by_member: dict[str, list[Solid]] = {}
    for passage in passages:
        ring = outline(*passage.hole)
        legs = zip(passage.line[:-1], passage.line[1:], strict=True)
        by_member.setdefault(passage.member, []).extend(bar(ring, a, b, passage.grain) for a, b in legs)
    blanks = list(_blanks(parameters, profile))
    solids = [cut(_whole(one.full), [*one.hollow, *arches, *by_member.get(one.name, [])]) for one in blanks]
    return tuple(
        Member(one.name, one.kind, one.skins, to_mesh(solid), one.depth_m)
        for one, solid in zip(blanks, solids, strict=True)
    )


def _whole(pieces: list[Solid]) -> Solid:
    return pieces[0] if len(pieces) == 1 else join(pieces)


def section_frame(profile: Profile) -> Placed:
    """Maps (y, z, x) of an extruded section to the tapered van."""

    def place(points: Points) -> Points:
        return profile.shear(np.ascontiguousarray(points[:, [2, 0, 1]]))

    return place


def _blanks(parameters: ShellParameters, profile: Profile) -> Iterator[_Blank]:
    for side in ("left", "right"):
        layout = side_layout(parameters, side)
        yield from _ribs(parameters, profile, layout)
        yield from _rails(parameters, profile, layout)
        yield _pillar(parameters, profile, layout)
    yield _edge_box(parameters, profile, "B0", "rail", "roof", _roof_span(profile))
    for i, station in enumerate(bow_stations(parameters)):
        yield _hat(parameters, profile, f"B{i + 1}", "bow", "roof", station, _roof_span(profile))


def _wall_span(profile: Profile, side: str) -> tuple[float, float]:
    """Girths between sill and roof-edge rail, rising, a little into both sheets."""
    floor = float(profile.girth[profile.corner_index("floor", side)])
    edge = float(profile.girth[profile.corner_index("edge", side)])
    low, high = dim.SILL_LEG_M - dim.OVERLAP_M, dim.EDGE_LEG_M - dim.OVERLAP_M
    return (floor + low, edge - high) if side == "left" else (edge + high, floor - low)


def _roof_span(profile: Profile) -> tuple[float, float]:
    """Girths between the two roof-edge rails, a little into their sheets."""
    leg = dim.EDGE_LEG_M - dim.OVERLAP_M
    left, right = (float(profile.girth[profile.corner_index("edge", side)]) for side in ("left", "right"))
    return left + leg, right - leg


def _hat(
    parameters: ShellParameters,
    profile: Profile,
    name: str,
    kind: MemberKind,
    skin: str,
    station: float,
    span: tuple[float, float],
) -> _Blank:
    """A hat section: two webs and a cap, open to the skin and at its ends."""
    depth, half, sheet = parameters.rib_depth_m, parameters.rib_width_m / 2, parameters.sheet_m
    frame = section_frame(profile)
    full = extrude(profile.band(*span, dim.SEAM_M, depth), -station - half, -station + half, frame)
    longer = (span[0] - dim.OVERLAP_M, span[1] + dim.OVERLAP_M)
    inside = profile.band(*longer, dim.SEAM_M - dim.OVERLAP_M, depth - sheet)
    hollow = extrude(inside, -station - half + sheet, -station + half - sheet, frame)
    return _Blank(name, kind, (skin,), depth, [full], [hollow])


def _ribs(parameters: ShellParameters, profile: Profile, layout: SideLayout) -> Iterator[_Blank]:
    span = _wall_span(profile, layout.side)
    for i, station in enumerate(layout.stations):
        yield _hat(parameters, profile, f"{layout.letter}{i + 1}", "rib", layout.side, station, span)


def _rails(parameters: ShellParameters, profile: Profile, layout: SideLayout) -> Iterator[_Blank]:
    """Waist rail, roof-edge rail and sill: closed boxes along the van, open at their ends."""
    p, side = parameters, layout.side
    depth, sheet = p.rib_depth_m, p.sheet_m
    frame = section_frame(profile)

    def band(place: str, half: float, off: float) -> Polygon:
        s = float(profile.girth[profile.corner_index(place, side)])
        return profile.band(s - half, s + half, dim.SEAM_M, off)

    def pieces(blank: _Blank, section: Polygon, spans: list[tuple[float, float]]) -> _Blank:
        inside = one_polygon(section.buffer(-sheet, join_style="mitre"), "a rail's hollow")
        for front, rear in spans:
            blank.full.append(extrude(section, -rear, -front, frame))
            blank.hollow.append(extrude(inside, -rear - dim.OVERLAP_M, -front + dim.OVERLAP_M, frame))
        return blank

    rear_end = p.length_m - dim.SEAM_M
    between = [
        (bay.front_m - dim.OVERLAP_M, min(bay.rear_m + dim.OVERLAP_M, rear_end))
        for bay in layout.bays
        if not bay.is_door
    ]
    whole = [(dim.SEAM_M, rear_end)]
    door = p.side_door if p.side_door is not None and p.side_door.side == side else None
    beside_door = (
        whole
        if door is None
        else [
            (dim.SEAM_M, door.front_m - dim.DOOR_FLANGE_M),
            (door.rear_m + dim.DOOR_FLANGE_M, rear_end),
        ]
    )
    letter = layout.letter
    yield pieces(
        _Blank(f"{letter}S", "sill", (side, "floor", "bulkhead"), dim.SILL_LEG_M),
        one_polygon(band("floor", dim.SILL_LEG_M, dim.SILL_DEPTH_M).convex_hull, "a sill's section"),
        beside_door,
    )
    yield pieces(_Blank(f"{letter}W", "rail", (side,), depth), band("waist", dim.WAIST_HALF_M, depth), between)
    yield pieces(
        _Blank(f"{letter}E", "rail", (side, "roof", "bulkhead"), depth), band("edge", dim.EDGE_LEG_M, depth), whole
    )


def _pillar(parameters: ShellParameters, profile: Profile, layout: SideLayout) -> _Blank:
    span = _wall_span(profile, layout.side)
    return _edge_box(parameters, profile, f"{layout.letter}P", "pillar", layout.side, span)


def _edge_box(
    parameters: ShellParameters,
    profile: Profile,
    name: str,
    kind: MemberKind,
    skin: str,
    span: tuple[float, float],
) -> _Blank:
    """A square box in the edge between bulkhead and another skin."""
    leg, seam, sheet = dim.EDGE_LEG_M, dim.SEAM_M, parameters.sheet_m
    frame = section_frame(profile)
    full = extrude(profile.band(*span, seam, leg), -leg, -seam, frame)
    longer = (span[0] - dim.OVERLAP_M, span[1] + dim.OVERLAP_M)
    hollow = extrude(profile.band(*longer, seam + sheet, leg - sheet), -leg + sheet, -seam - sheet, frame)
    return _Blank(name, kind, ("bulkhead", skin), leg, [full], [hollow])
