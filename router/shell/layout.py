"""Where ribs, bows and bays are along the van, and which stretches are taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ribway.router.shell.dimensions import DOOR_FLANGE_M, EDGE_LEG_M, PORTAL_MARGIN_M

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters

Span = tuple[float, float]


@dataclass(frozen=True)
class Bay:
    """A stretch between two ribs of one wall.

    Args:
        index: number of the rib in front of it, 0 before the first.
        front_m, rear_m: faces of the members it lies between, as distance back from the datum [m].
        is_door: the side door takes it.
    """

    index: int
    front_m: float
    rear_m: float
    is_door: bool


@dataclass(frozen=True)
class SideLayout:
    """One wall along the van.

    Args:
        side: ``left`` or ``right``.
        stations: rib centres, distance back from the datum [m].
        pillars: indices (from 0) of the ribs that are the side door's pillars.
        bays: in order from the front.
    """

    side: str
    stations: tuple[float, ...]
    pillars: frozenset[int]
    bays: tuple[Bay, ...]

    @property
    def letter(self) -> str:
        """``L`` or ``R``."""
        return self.side[0].upper()


def side_layout(parameters: ShellParameters, side: str) -> SideLayout:
    """Ribs and bays of one wall.

    Args:
        parameters: what the fitter measured.
        side: ``left`` or ``right``.

    Returns:
        The layout, door pillars included.
    """
    p = parameters
    half = p.rib_width_m / 2
    given = p.rib_stations_left if side == "left" else p.rib_stations_right
    door = p.side_door if p.side_door is not None and p.side_door.side == side else None
    posts: list[float] = []
    if door is not None:
        front, rear = door.front_m - DOOR_FLANGE_M - half, door.rear_m + DOOR_FLANGE_M + half
        if front - half >= EDGE_LEG_M + PORTAL_MARGIN_M:
            posts.append(front)
        if rear + half <= p.length_m - PORTAL_MARGIN_M:
            posts.append(rear)
        apart = p.rib_width_m + 2 * PORTAL_MARGIN_M
        given = tuple(c for c in given if c <= front - apart or c >= rear + apart)
    stations = tuple(sorted([*given, *posts]))
    fronts = [EDGE_LEG_M, *(c + half for c in stations)]
    rears = [*(c - half for c in stations), p.length_m]
    bays = tuple(
        Bay(i, a, b, door is not None and a < (door.front_m + door.rear_m) / 2 < b)
        for i, (a, b) in enumerate(zip(fronts, rears, strict=True))
    )
    return SideLayout(side, stations, frozenset(i for i, c in enumerate(stations) if c in posts), bays)


def bow_stations(parameters: ShellParameters) -> tuple[float, ...]:
    """Bow centres, distance back from the datum [m]."""
    p = parameters
    return p.rib_stations_left if p.bow_stations is None else p.bow_stations


def bow_spans(parameters: ShellParameters) -> tuple[Span, ...]:
    """Stretches that bows take, distances back [m]."""
    half = parameters.rib_width_m / 2
    return tuple((c - half, c + half) for c in bow_stations(parameters))


def arch_span(parameters: ShellParameters) -> Span | None:
    """Stretch that the wheel arches take, distances back [m]."""
    arch = parameters.wheel_arch
    return None if arch is None else (arch.front_m, arch.front_m + arch.length_m)


def free_spans(span: Span, taken: tuple[Span, ...], margin_m: float) -> tuple[Span, ...]:
    """What is left of a stretch.

    Args:
        span: the stretch [m].
        taken: stretches inside it that are taken [m].
        margin_m: kept free at both ends and beside whatever is taken [m].

    Returns:
        The free stretches, in order; empty when none is left.
    """
    free = [(span[0] + margin_m, span[1] - margin_m)]
    for a, b in sorted(taken):
        cut: list[Span] = []
        for low, high in free:
            cut += [(low, min(high, a - margin_m)), (max(low, b + margin_m), high)]
        free = cut
    return tuple((low, high) for low, high in free if high - low > 1e-9)


def places(span: Span, taken: tuple[Span, ...], reach_m: float, most: int = 2) -> tuple[float, ...]:
    """Centres of one or two passages in a bay.

    Two where the bay is 0.30 m or more, else one; each at its even share of the bay, or at the nearest free place.

    Args:
        span: the bay, distances back [m].
        taken: stretches where none may be [m].
        reach_m: overall size of a passage along the bay [m].
        most: 1 or 2.

    Returns:
        Centres, distances back, rising; none where nothing is free [m].
    """
    free = free_spans(span, taken, PORTAL_MARGIN_M + reach_m / 2)
    wide = span[1] - span[0]
    wanted = (0.3, 0.7) if most > 1 and wide >= 0.30 else (0.5,)
    found: list[float] = []
    for share in wanted:
        aim = span[0] + share * wide
        near = [min(max(aim, low), high) for low, high in free]
        near = [c for c in near if all(abs(c - other) >= reach_m + 2 * PORTAL_MARGIN_M for other in found)]
        if near:
            found.append(min(near, key=lambda c: (abs(c - aim), c)))
    return tuple(sorted(found))
