"""Which members can have hole rows of their own, and where along each a hole may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ribway.router.shell import dimensions as dim
from ribway.router.shell.layout import Span, arch_span, bow_spans, bow_stations, free_spans, side_layout
from ribway.router.shell.profile import Profile

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters

RowKind = Literal["rib", "bow", "waist", "edge", "sill", "pillar", "header"]
RAIL_KINDS: dict[str, RowKind] = {"W": "waist", "E": "edge", "S": "sill"}


@dataclass(frozen=True)
class RowMember:
    """A member, or a rail's stretch in one bay, that holes are listed for.

    Args:
        name: what its openings' names begin with: ``L4``, ``B2``, ``LW3``, ``LP``, ``B0``.
        kind: which decides what a place along it is: height of ribs and pillars, distance to the left of the centre
            line of bows and header, distance back from the datum of rails and sills.
        side: ``left``, ``right`` or ``roof``.
        station_m: centre of a rib or bow, distance back; 0 for the others [m].
        span_m: faces of the ribs a rail's stretch lies between, distances back; (0, 0) for the others [m].
    """

    name: str
    kind: RowKind
    side: str
    station_m: float = 0.0
    span_m: Span = (0.0, 0.0)

    @property
    def is_rail(self) -> bool:
        """Is it a stretch of a rail or sill."""
        return self.kind in RAIL_KINDS.values()

    @property
    def falls(self) -> bool:
        """Do places count down from the first hole to the last: bows and header are named from the left."""
        return self.kind in ("bow", "header")


def row_members(parameters: ShellParameters) -> dict[str, RowMember]:
    """Everything that can have hole rows of its own.

    Args:
        parameters: what the fitter measured.

    Returns:
        By name: ribs but the side door's pillars, bows, rails and sills bay by bay, front pillars and header.
    """
    found: list[RowMember] = []
    for side in ("left", "right"):
        layout = side_layout(parameters, side)
        for i, station in enumerate(layout.stations):
            if i not in layout.pillars:
                found.append(RowMember(f"{layout.letter}{i + 1}", "rib", side, station))
        for bay in layout.bays:
            if not bay.is_door:
                for code, kind in RAIL_KINDS.items():
                    span = (bay.front_m, bay.rear_m)
                    found.append(RowMember(f"{layout.letter}{code}{bay.index}", kind, side, 0.0, span))
        if parameters.bulkhead and not layout.bays[0].is_door:
            found.append(RowMember(f"{layout.letter}P", "pillar", side))
    found += [RowMember(f"B{i + 1}", "bow", "roof", c) for i, c in enumerate(bow_stations(parameters))]
    if parameters.bulkhead:
        found.append(RowMember("B0", "header", "roof"))
    return {member.name: member for member in found}


def rooms(parameters: ShellParameters, profile: Profile, member: RowMember, reach_m: float) -> tuple[Span, ...]:
    """Where the centre of a hole may be along a member.

    Args:
        parameters: what the fitter measured.
        profile: its section.
        member: the member.
        reach_m: overall size of the hole along it [m].

    Returns:
        Ranges of places, rising; what a place is depends on the member's kind [m].
    """
    reach = reach_m / 2 + dim.CLEAR_M
    if member.is_rail:
        return free_spans(member.span_m, rail_taken(parameters, member), dim.PORTAL_MARGIN_M + reach_m / 2)
    if member.falls:
        left = float(profile.girth[profile.corner_index("edge", "left")])
        furthest = abs(float(profile.at(left + dim.EDGE_LEG_M + reach)[0]))
        return ((-furthest, furthest),)
    corner = {place: float(profile.girth[profile.corner_index(place, "left")]) for place in ("floor", "waist", "edge")}
    gap = dim.WAIST_HALF_M + reach
    girths = (
        (corner["floor"] + dim.SILL_LEG_M + reach, corner["waist"] - gap),
        (corner["waist"] + gap, corner["edge"] - dim.EDGE_LEG_M - reach),
    )
    lowest = lowest_m(parameters, member)
    heights = [(float(profile.at(a)[1]), float(profile.at(b)[1])) for a, b in girths]
    above = [(max(a, lowest + reach_m / 2 if lowest else a), b) for a, b in heights]
    return tuple((a, b) for a, b in above if a < b)


def rail_taken(parameters: ShellParameters, member: RowMember) -> tuple[Span, ...]:
    """Stretches of a rail that bows or the wheel arch take, distances back [m]."""
    if member.kind == "edge":
        return bow_spans(parameters)
    arch = arch_span(parameters)
    return (arch,) if member.kind == "sill" and arch is not None else ()


def lowest_m(parameters: ShellParameters, member: RowMember) -> float:
    """How high the lower edge of a rib's lowest hole must be, over a wheel arch; 0 where there is none [m]."""
    arch, taken = parameters.wheel_arch, arch_span(parameters)
    if member.kind != "rib" or arch is None or taken is None:
        return 0.0
    half = parameters.rib_width_m / 2 + dim.CLEAR_M + dim.PORTAL_MARGIN_M
    over = member.station_m + half > taken[0] and member.station_m - half < taken[1]
    return arch.height_m + dim.PORTAL_MARGIN_M if over else 0.0


def least_apart_m(first_reach_m: float, second_reach_m: float) -> float:
    """How far the centres of two neighbouring holes must be apart [m]."""
    return (first_reach_m + second_reach_m) / 2 + 2 * dim.CLEAR_M
