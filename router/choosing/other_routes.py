"""Truly other routes of one run: what each costs in length and copper, and through which openings it leads instead."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.router.choosing.instances import Posed, posed
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.errors import NameFault
from ribway.router.faults import Collector, RouterFaults
from ribway.router.paths.board import ways_of
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.proof.alternatives import different_routes
from ribway.router.proof.from_space import paths_of

LONGER = 2.0
SHARED = 0.5


@dataclass(frozen=True)
class OtherRoute:
    """A route that a run could take, in the cable it has.

    Args:
        openings: openings and other ways, in order.
        cut_m: to cut [m].
        copper_kg: in that length [kg].
        fits: whether it fits beside all other runs as they lie.
        holds: whether all cables keep all limits then, as they are sized now: at that length, in that air, beside those
            that lie there.
        now: it is the present route.
    """

    openings: tuple[str, ...]
    cut_m: float
    copper_kg: float
    fits: bool
    holds: bool
    now: bool


def other_routes(planning: Planning, state: State, run: str, most: int) -> tuple[OtherRoute, ...]:
    """The present route of a run and others that share no more than half of their length with it or with each other.

    Args:
        planning: what was planned.
        state: what was found.
        run: its id.
        most: other routes at most.

    Returns:
        The present route first, if there is one, then the others by rising cost; none costs more than twice the best.

    Raises:
        RouterFaults: there is no such run, or its way is not computed.
    """
    number = next((k for k, one in enumerate(planning.routed) if one.id == run), None)
    if number is None:
        known = [one.id for one in planning.routed]
        raise RouterFaults((NameFault("runs", f"no way is computed for a run {run}", Collector.near(run, known)),))
    asked = posed(planning, state)
    present = state.paths[number]
    found: list[Path] = [] if present is None else [present]
    for path in _different(asked, number, most + 2):
        if len(found) < most + (present is not None) and _apart(planning, path, found):
            found.append(path)
    return tuple(_told(planning, state, asked, number, path, path is present) for path in found)


def _different(asked: Posed, number: int, most: int) -> list[Path]:
    routes = different_routes(asked.adapted.instance, number, most, SHARED, LONGER)
    return [paths_of(asked.adapted, [route])[0] for route in routes]


def _apart(planning: Planning, path: Path, others: list[Path]) -> bool:
    """Whether a path shares no more than half of the shorter one's length with each of some others."""
    length = planning.network.length

    def pieces(one: Path) -> dict[int, float]:
        return {edge: float(length[edge]) for edge in one.edges}

    mine = pieces(path)
    for other in others:
        theirs = pieces(other)
        common = sum(mine[edge] for edge in mine.keys() & theirs.keys())
        if common > SHARED * min(sum(mine.values()), sum(theirs.values())):
            return False
    return True


def _told(planning: Planning, state: State, asked: Posed, number: int, path: Path, now: bool) -> OtherRoute:
    run = planning.routed[number]
    cable = planning.cables[run.id][state.index[run.id]]
    paths = (*state.paths[:number], path, *state.paths[number + 1 :])
    other = planning.hold(state.index, paths, planning.layout(paths))
    cut_m = other.cuts[run.id].cut_m
    return OtherRoute(
        openings=tuple(planning.space.ways[way].name for way in ways_of(planning.network, path)),
        cut_m=cut_m,
        copper_kg=cable.copper_mm2 * COPPER_KG_PER_M_MM2 * cut_m,
        fits=planning.negotiator.all_admit(asked.jobs, paths),
        holds=all(one.verdict is None or one.verdict.ok for one in other.sized.values()),
        now=now,
    )
