"""How much copper a finished state takes: as it is cut, and before cut lengths are rounded up."""

from __future__ import annotations

from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.planning import Planning, State


def cut_kg(planning: Planning, state: State) -> float:
    """Copper of all cut lengths [kg].

    Args:
        planning: what was planned.
        state: what was found.
    """
    return sum(copper_kg_per_m(planning, state, run) * cut.cut_m for run, cut in state.cuts.items())


def unrounded_kg(planning: Planning, state: State) -> float:
    """Copper of all routed runs before lengths are rounded: routes, slack, tails [kg].

    Args:
        planning: what was planned.
        state: in which every run has a route.
    """
    slack = 1.0 + planning.project.shop.slack / 100.0
    total = 0.0
    for run in planning.routed:
        cut = state.cuts.get(run.id)
        if cut is not None:
            metres = cut.sharp_m * slack + cut.tail_a_m + cut.tail_b_m
            total += copper_kg_per_m(planning, state, run.id) * metres
    return total


def copper_kg_per_m(planning: Planning, state: State, run: str) -> float:
    """Copper in a metre of a run's present cable [kg]."""
    return planning.cables[run][state.index[run]].copper_mm2 * COPPER_KG_PER_M_MM2
