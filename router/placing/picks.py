"""What each run could be made of under the kindest conditions that any plan could offer it.

Kind means: alone, in the coolest air there is, with a fuse of its own choice. Volts lost before and beyond the run are left
to whoever asks, since they follow from the sizes and lengths of other runs; see `ribway.router.placing.least`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.laying.cutting import tails_m
from ribway.router.looms.crowd import Neighbourhood
from ribway.router.sizes.airs import AIRS, alone, carries, too_hot
from ribway.sizing.demand import Demand
from ribway.sizing.verdict import passes

if TYPE_CHECKING:
    from ribway.router.planning import Planning


@dataclass(frozen=True)
class Pick:
    """One cable that a run could be made of.

    Args:
        index: among the run's candidates.
        kg_per_m: copper of a metre [kg].
        tails_m: both tails [m].
        ohm_per_m: of all cores that its current passes, hot [ohm/m].
        too_hot: airs in which it does not carry what it must, even alone; no stretch of the run may lie there.
    """

    index: int
    kg_per_m: float
    tails_m: float
    ohm_per_m: float
    too_hot: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Needs:
    """What a run asks for.

    Args:
        picks: cables that would do at some length, thin to thick; at least one.
        amps, start_amps: running, and while a motor starts [A].
        extra_ohm: contacts and the like in line with it [ohm].
        most_v: volts that may be lost from the source to its end, running; infinite for no limit [V].
        most_start_v: the same while starting [V].
        family: all its candidates; empty if a terminal may hold its size back, so that runs beside it may be thicker.
    """

    picks: tuple[Pick, ...]
    amps: float
    start_amps: float
    extra_ohm: float
    most_v: float
    most_start_v: float
    family: tuple[tuple[str, int], ...]


def needs_of(
    ground: Planning, least_m: Mapping[str, float], beat: Callable[[], None] = lambda: None
) -> dict[str, Needs]:
    """Needs of all runs.

    Args:
        ground: the project made ready.
        least_m: a length that no plan's cut falls below, by run [m]: makers ask for thicker wires over longer ways.
        beat: called again and again; what it raises stops the work.

    Returns:
        By run id.
    """
    coolest_c = min(ground.sizer.ambient_c(air) for air in AIRS)
    runs = [run for run in ground.runs if run.circuit]
    near = {run.id: (Neighbourhood("wall", (run.id,)),) for run in runs}
    index = {run.id: 0 for run in runs}
    stretches = ground.sizer.counts(near, index)
    sized, _ = ground.sizer.hold(least_m, stretches, index)
    out = {}
    for run in runs:
        beat()
        demand = sized[run.id].demand
        kind = None if demand is None else _kindest(demand, coolest_c)
        if demand is not None and kind is not None:
            # What a negative's fuses let through follows from the loads alone; any other fuse may be chosen to fit.
            kind = replace(kind, fuse_a=ground.sizer.standing_fuse_a(run.id, demand))
        out[run.id] = _needs(ground, run, kind)
    return out


def _kindest(demand: Demand, coolest_c: float) -> Demand:
    leg = replace(demand.legs[0], beyond_v=0.0, beyond_start_v=0.0)
    kind = replace(demand, legs=(leg,), upstream_v=0.0, upstream_start_v=0.0, fixed_loss_v=0.0)
    return alone(kind, "alone, in the coolest air", coolest_c)


def _needs(ground: Planning, run: Run, demand: Demand | None) -> Needs:
    boards, shop = ground.boards, ground.project.shop
    fine: list[Pick] = []
    last: list[Pick] = []
    for k, cable in enumerate(ground.cables[run.id]):
        conductor = cable.conductor
        tails = sum(tails_m(run, cable.stock.area_mm2, boards, shop))
        kg_per_m = cable.copper_mm2 * COPPER_KG_PER_M_MM2
        if demand is None or conductor is None:
            fine.append(Pick(k, kg_per_m, tails, 0.0))
            continue
        verdict = passes(conductor, demand, ground.sizer.rules_of(run.id))
        pick = Pick(k, kg_per_m, tails, run.cores_in_line * verdict.ohm_per_m)
        last = [pick]
        if carries(verdict):
            fine.append(pick)
    fine = [replace(pick, too_hot=_too_hot(ground, run, demand, pick)) for pick in fine]
    most, most_start = _most_v(demand)
    held_back = not math.isinf(ground.sizer.most_mm2(run.id))
    family = () if held_back else tuple((cable.stock.id, cable.count) for cable in ground.cables[run.id])
    return Needs(tuple(fine or last), run.amps, run.start_amps, run.extra_ohm, most, most_start, family)


def _too_hot(ground: Planning, run: Run, demand: Demand | None, pick: Pick) -> frozenset[str]:
    """Airs in which a cable is never taken; none for the last in stock, and where a terminal may hold sizes back."""
    conductor = ground.cables[run.id][pick.index].conductor
    last = pick.index == len(ground.cables[run.id]) - 1 or not math.isinf(ground.sizer.most_mm2(run.id))
    if demand is None or conductor is None or last:
        return frozenset()
    return too_hot(conductor, demand, ground.sizer.rules_of(run.id), ground.sizer.ambient_c)


def _most_v(demand: Demand | None) -> tuple[float, float]:
    if demand is None:
        return math.inf, math.inf
    volts = demand.nominal_v / 100.0
    most = math.inf if demand.drop_limit_percent is None else demand.drop_limit_percent * volts
    start = math.inf if demand.start_limit_percent is None else demand.start_limit_percent * volts
    if demand.maker is not None and demand.maker.drop_v is not None:
        most = min(most, demand.maker.drop_v)
    return most * (1.0 + 1e-9), start * (1.0 + 1e-9)
