"""Loaded conductors that lie together: what warms a run along its way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from ribway.router.laying.layer import Laid, Piece
from ribway.router.looms.grouping import Loom
from ribway.router.memory import Memory
from ribway.router.space.types import Zone


@dataclass(frozen=True)
class Neighbourhood:
    """Surroundings of part of a run: zone of the shell, and the other runs in its loom there."""

    zone: Zone
    runs: tuple[str, ...]


def neighbourhoods(
    looms: Sequence[Loom], laid: Mapping[str, Laid], memory: Memory | None = None
) -> dict[str, tuple[Neighbourhood, ...]]:
    """For each run, every distinct set of surroundings along it.

    Args:
        looms: all looms.
        laid: routes by run id.
        memory: what was made before.

    Returns:
        Surroundings by run id; a run always has at least one.
    """
    memory = Memory() if memory is None else memory
    out: dict[str, tuple[Neighbourhood, ...]] = {}
    for loom in looms:
        own = [(run, laid[run]) for run in loom.runs]
        out.update(memory.of("neighbours", tuple(own), partial(_of_loom, own)))
    for run in laid.keys() - out.keys():
        out[run] = tuple(Neighbourhood(zone, (run,)) for zone in sorted({leg.zone for leg in laid[run].legs}))
    return out


def _of_loom(own: Sequence[tuple[str, Laid]]) -> dict[str, tuple[Neighbourhood, ...]]:
    on: dict[Piece, set[str]] = {}
    for run, laid in own:
        for leg in laid.legs:
            if leg.piece is not None:
                on.setdefault(leg.piece, set()).add(run)
    out = {}
    for run, laid in own:
        found = {
            Neighbourhood(leg.zone, tuple(sorted(on[leg.piece])) if leg.piece is not None else (run,))
            for leg in laid.legs
        }
        out[run] = tuple(sorted(found, key=lambda one: (one.zone, one.runs)))
    return out


def loom_side_m(
    loom: Loom, run: str, own_radius_m: float, radius_of: Mapping[int, float], turns_rad: Mapping[int, float]
) -> float:
    """What a run on the outside of its loom's bends is longer than the loom's axis [m].

    Args:
        loom: the loom.
        run: the run.
        own_radius_m: half the run's outside size [m].
        radius_of: bundle radius by section index [m].
        turns_rad: sum of bend angles by section index [rad].

    Returns:
        (bundle radius - own radius) times the sum of angles, over its sections [m]; never negative.

    Source: plane geometry of concentric arcs.
    """
    return sum(
        max(0.0, radius_of[index] - own_radius_m) * turns_rad[index]
        for index, section in enumerate(loom.sections)
        if run in section.runs
    )
