"""The bound on copper: the plan's own measure added up again, and the gaps that follow from it.

That no plan does with less cannot be re-checked from a plan; what is said of this plan can.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.bound import CopperBound
from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.conductors import COPPER_SHARE
from ribway.router.audit.findings import error

COPPER_KG_PER_M_MM2: Final = 8.96e-3
PLAY_KG: Final = 2e-5
PLAY_PERCENT: Final = 0.011
CLOSE: Final = 0.0011


def check_bound(book: Book) -> Iterator[Finding]:
    """Copper before rounding, gaps, and that no bound lies above the plan."""
    said = book.plan.bound
    if said is None:
        return
    slack = 1.0 + book.plan.rules.slack_percent / 100.0
    # What is taped, or lies on a mounting board, has no route that could be another.
    routed = [run for run in book.plan.runs if run.measured != "taped" and run.legs[0].kind != "board"]
    planned = sum(COPPER_SHARE[book.cable_of(run).metal] * _unrounded_kg(run, slack) for run in routed)
    if abs(planned - said.planned_kg) > PLAY_KG + 1e-4 * said.planned_kg:
        yield error(
            "bound", "copper", f"{said.planned_kg:g} kg before rounding is said, the runs add up to {planned:g}"
        )
    over = book.plan.totals.copper_kg - said.planned_kg
    if abs(max(0.0, over) - said.rounding_kg) > PLAY_KG:
        yield error("bound", "copper", f"{said.rounding_kg:g} kg of rounding is said, the totals leave {over:g}")
    for least, gap in ((said.copper_kg, said.gap_percent), (said.same_cables_kg, said.routes_gap_percent)):
        if least > said.planned_kg + PLAY_KG:
            yield error("bound", "copper", f"a bound of {least:g} kg lies above the plan's own {said.planned_kg:g} kg")
        found = 100.0 * max(0.0, said.planned_kg - least) / said.planned_kg if said.planned_kg > 0.0 else 0.0
        if not found - 1e-6 <= gap <= found + PLAY_PERCENT:
            yield error("bound", "copper", f"a gap of {gap:g} % is said, {least:g} kg leaves {found:.3f} %")
    if said.copper_kg > said.same_cables_kg + PLAY_KG:
        yield error("bound", "copper", "the bound for any sizes lies above the one for these cables")
    yield from _check_looms(said)
    if said.proven and said.planned_kg > said.copper_kg * (1.0 + CLOSE) + PLAY_KG:
        yield error("bound", "copper", f"it is called proven with a gap of {said.gap_percent:g} %")


def _check_looms(said: CopperBound) -> Iterator[Finding]:
    """Copper and looms added up again, their gap, and that the bound does not lie above them."""
    looms = said.looms
    if looms is None:
        return
    planned = said.planned_kg + looms.price_kg_per_m * looms.loom_m
    if abs(planned - looms.planned_kg) > PLAY_KG + 1e-4 * looms.price_kg_per_m:
        yield error(
            "bound", "looms", f"{looms.planned_kg:g} kg of copper and looms is said, they add up to {planned:g}"
        )
    if looms.least_kg > looms.planned_kg + PLAY_KG:
        yield error(
            "bound", "looms", f"a bound of {looms.least_kg:g} kg lies above the plan's own {looms.planned_kg:g} kg"
        )
    found = 100.0 * max(0.0, planned - looms.least_kg) / planned if planned > 0.0 else 0.0
    if not found - 1e-3 <= looms.gap_percent <= found + PLAY_PERCENT:
        yield error(
            "bound", "looms", f"a gap of {looms.gap_percent:g} % is said, {looms.least_kg:g} kg leaves {found:.3f} %"
        )


def _unrounded_kg(run: PlanRun, slack: float) -> float:
    metres = run.sharp_m * slack + run.tail_a_m + run.tail_b_m
    return run.conductor_area_mm2 * run.cores * COPPER_KG_PER_M_MM2 * metres
