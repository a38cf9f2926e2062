"""Sums over a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import cable_cut_m, draw_cord_cut_m
from ribway.models.plan.results import PlanCircuit, PlanRun, Totals
from ribway.models.plan.shell import PlanOpening
from ribway.router.chance.tail import chance_of_any
from ribway.sizing.metals import COPPER, metal_named


def totals(
    runs: Sequence[PlanRun],
    circuits: Sequence[PlanCircuit],
    looms: Sequence[PlanLoom],
    openings: Sequence[PlanOpening],
    metals: Mapping[str, str],
) -> Totals:
    """Add up a plan.

    Args:
        runs: all laid runs, spares included.
        circuits: for the worst drop.
        looms: for metres of loom.
        openings: all, used or not.
        metals: metal of each run's conductors, by its id.
    """
    used = [opening for opening in openings if opening.runs]
    fullest = max(used, key=lambda one: (one.fill_percent / one.fill_limit_percent, one.id), default=None)
    volts = {circuit.id: circuit.volts for circuit in circuits}
    fed = [run for run in runs if run.circuit in volts and run.kind == "dc"]
    worst = max(fed, key=lambda run: (run.drop_percent, run.id), default=None)
    loom_m = sum(section.to_m - section.from_m for loom in looms for section in loom.sections)

    def kg(purpose: str) -> float:
        return round(sum(run.copper_kg for run in runs if run.purpose == purpose), 6)

    spare_length = sum(run.copper_kg * (1.0 - run.sharp_m / run.cut_m) for run in runs)
    return Totals(
        copper_kg=round(sum(run.copper_kg for run in runs), 6),
        copper_mains_kg=kg("main"),
        copper_circuits_kg=kg("circuit"),
        copper_spares_kg=kg("spare"),
        copper_tails_kg=round(spare_length, 6),
        copper_ac_kg=round(sum(run.copper_kg for run in runs if run.kind == "ac"), 6),
        other_metal_kg=round(sum(_other_metal_kg(run, metals[run.id]) for run in runs), 6),
        cable_m=round(cable_cut_m(runs), 4),
        draw_cord_m=round(draw_cord_cut_m(runs), 4),
        one_way_m=round(sum(run.one_way_m for run in runs), 4),
        runs=len(runs),
        openings_used=len(used),
        holes_drilled=sum(1 for one in used if one.state == "drill"),
        fullest_opening=fullest.id if fullest is not None else "",
        fullest_percent=fullest.fill_percent if fullest is not None else 0.0,
        bends=sum(run.bends for run in runs),
        loom_m=round(loom_m, 4),
        worst_drop_percent=worst.drop_percent if worst is not None else 0.0,
        worst_drop_run=worst.id if worst is not None else "",
        worst_drop_v=worst.drop_v if worst is not None else 0.0,
        short_chance=round(chance_of_any([run.short_chance for run in runs]), 6),
        short_runs=round(sum(run.short_chance for run in runs), 6),
    )


def _other_metal_kg(run: PlanRun, metal: str) -> float:
    """Metal of a run's conductors that is no copper [kg]."""
    volume = run.conductor_area_mm2 * run.cores * run.cut_m * 1e-3
    return max(0.0, volume * metal_named(metal).density_g_per_cm3 - run.copper_kg) if metal != COPPER else 0.0
