"""One state of the plan in the making: routes, looms, lengths and sizes that belong together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from ribway.models.shop import Shop
from ribway.router.circuits.runs import DRAW_CORD, Run
from ribway.router.circuits.stock import Cable
from ribway.router.geometry.packing import pack
from ribway.router.geometry.polylines import drop_repeats, turn_angles
from ribway.router.laying.cutting import Cut, cut_length
from ribway.router.laying.layer import Laid
from ribway.router.looms.crowd import Neighbourhood, loom_side_m, neighbourhoods
from ribway.router.looms.grouping import Loom, Member, group
from ribway.router.memory import Memory

Cuts = dict[tuple[Loom, tuple[Cable, ...], tuple[float, ...]], dict[str, Cut]]


@dataclass(frozen=True, eq=False)
class Layout:
    """Routes and looms; stays the same while sizes change.

    Args:
        laid: by run id, only runs that have a route.
        looms: of these.
        near: surroundings by run.
        loom_of: loom by run; a draw cord may lie in none.
        turns: per loom id, sum of bend angles of each section [rad].
        loops: left as loops, by run [m].
        known: cut lengths of a loom with the cables and loops it had before; most steps change one loom.
    """

    laid: Mapping[str, Laid]
    looms: tuple[Loom, ...]
    near: Mapping[str, tuple[Neighbourhood, ...]]
    loom_of: Mapping[str, Loom]
    turns: Mapping[str, Mapping[int, float]]
    loops: Mapping[str, float] = field(default_factory=dict)
    known: Cuts = field(default_factory=dict, repr=False)


def layout_of(
    runs: Sequence[Run],
    laid: Mapping[str, Laid],
    zone_of: Mapping[str, str],
    above_deg: float,
    memory: Memory | None = None,
) -> Layout:
    """Group laid runs into looms.

    Args:
        runs: all runs.
        laid: by run id.
        zone_of: zone by device.
        above_deg: a change of direction above this is a bend [deg].
        memory: what was made before.
    """
    memory = Memory() if memory is None else memory
    members = [
        Member(
            run.id,
            run.a,
            run.b,
            run.circuit,
            zone_of[run.b],
            "ac" if run.kind == "ac" else "low",
            laid[run.id],
            run.cable == DRAW_CORD,
            run.wish,
        )
        for run in runs
        if run.id in laid and not run.board
    ]
    looms = group(members, memory)
    turns = {loom.id: memory.of("turns", (loom, above_deg), partial(_turns, loom, above_deg)) for loom in looms}
    loom_of = {run: loom for loom in looms for run in loom.runs}
    return Layout(laid, looms, neighbourhoods(looms, laid, memory), loom_of, turns)


def _turns(loom: Loom, above_deg: float) -> dict[int, float]:
    """Sum of bend angles of each section [rad]."""
    sums = {}
    for number, section in enumerate(loom.sections):
        angles = turn_angles(drop_repeats(section.points, 1e-6))
        sums[number] = float(angles[angles > np.radians(above_deg)].sum())
    return sums


def section_diameters(loom: Loom, cable_of: Mapping[str, Cable], runs: Mapping[str, Run]) -> dict[int, float]:
    """Diameter of the bundle in every section [m], by packing; never below what these cables really need."""
    out = {}
    for number, section in enumerate(loom.sections):
        outlines = tuple(outline for run in section.runs for outline in cable_of[run].item(runs[run]).outlines)
        out[number] = pack(outlines, quick=True).diameter_m
    return out


def cuts_of(
    layout: Layout, runs: Mapping[str, Run], cable_of: Mapping[str, Cable], boards: frozenset[str], shop: Shop
) -> dict[str, Cut]:
    """Cut lengths of all laid runs with their present cables."""
    out: dict[str, Cut] = {}
    for loom in layout.looms:
        loops = tuple(layout.loops.get(run, 0.0) for run in loom.runs)
        key = (loom, tuple(cable_of[run] for run in loom.runs), loops)
        if key in layout.known:
            out.update(layout.known[key])
            continue
        radius = {number: size / 2.0 for number, size in section_diameters(loom, cable_of, runs).items()}
        for run in loom.runs:
            own = cable_of[run].stock.outside_mm / 2000.0
            side = loom_side_m(loom, run, own, radius, layout.turns[loom.id])
            out[run] = cut_length(
                runs[run], layout.laid[run], cable_of[run], side, boards, shop, layout.loops.get(run, 0.0)
            )
        layout.known[key] = {run: out[run] for run in loom.runs}
    for run in layout.laid:
        if run not in layout.loom_of:
            out[run] = cut_length(
                runs[run], layout.laid[run], cable_of[run], 0.0, boards, shop, layout.loops.get(run, 0.0)
            )
    return out
