"""Sums over the plan, added up again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error

PLAY: Final = 0.0005
DENSITY: Final = {"copper": 0.0, "copper-clad aluminium": 3.32, "aluminium": 2.70}
"""Of what holds more than copper [kg/dm3]: ASTM B566 class 10A (memory), handbook value."""


def check_totals(book: Book) -> Iterator[Finding]:
    """Copper, metres, counts, the fullest opening and the worst drop."""
    plan, said = book.plan, book.plan.totals
    copper = {
        purpose: sum(run.copper_kg for run in plan.runs if run.purpose == purpose)
        for purpose in ("main", "circuit", "spare")
    }
    tails = sum(run.copper_kg * (run.cut_m - run.sharp_m) / run.cut_m for run in plan.runs if run.cut_m > 0.0)
    used = [one for one in plan.openings if one.runs]
    sums: dict[str, tuple[float, float]] = {
        "copper": (said.copper_kg, sum(copper.values())),
        "copper of mains": (said.copper_mains_kg, copper["main"]),
        "copper of circuits": (said.copper_circuits_kg, copper["circuit"]),
        "copper of spares": (said.copper_spares_kg, copper["spare"]),
        "copper of tails": (said.copper_tails_kg, tails),
        "copper of AC": (said.copper_ac_kg, sum(run.copper_kg for run in plan.runs if run.kind == "ac")),
        "other metal": (said.other_metal_kg, sum(_other_metal_kg(book, run) for run in plan.runs)),
        "cable": (said.cable_m, sum(run.cut_m * run.pieces for run in plan.runs if run.cores > 0)),
        "draw cord": (said.draw_cord_m, sum(run.cut_m * run.pieces for run in plan.runs if run.cores == 0)),
        "one way": (said.one_way_m, sum(run.one_way_m for run in plan.runs)),
        "loom": (said.loom_m, sum(section.to_m - section.from_m for loom in plan.looms for section in loom.sections)),
        "runs": (said.runs, len(plan.runs)),
        "openings used": (said.openings_used, len(used)),
        "holes drilled": (said.holes_drilled, sum(one.state == "drill" for one in used)),
        "bends": (said.bends, sum(run.bends for run in plan.runs)),
    }  # fmt: skip
    for what, (found, added) in sums.items():
        if abs(found - added) > PLAY + 1e-4 * len(plan.runs) * (what in ("loom", "one way", "cable", "draw cord")):
            yield error("total", what, f"the totals say {found:g}, what is listed adds up to {added:g}")
    yield from _fullest(book)
    yield from _worst_drop(book)


def _other_metal_kg(book: Book, run: PlanRun) -> float:
    """Mass of a run's conductors less their copper [kg]; see `DENSITY`."""
    kg_per_dm3 = DENSITY[book.cable_of(run).metal]
    return run.conductor_area_mm2 * run.cores * run.cut_m * kg_per_dm3 / 1000.0 - run.copper_kg if kg_per_dm3 else 0.0


def _fullest(book: Book) -> Iterator[Finding]:
    """By share of its own limit, or by percent where all limits are alike."""
    used = {one.id: one for one in book.plan.openings if one.runs}
    said = book.plan.totals
    if not used:
        if said.fullest_opening:
            yield error("total", "fullest opening", f"{said.fullest_opening} is named, but none is used")
        return
    one = used.get(said.fullest_opening)
    if one is None or abs(one.fill_percent - said.fullest_percent) > 0.011:
        yield error(
            "total",
            "fullest opening",
            f"{said.fullest_opening} with {said.fullest_percent:g} % is no opening in use with that fill",
        )
        return
    fuller = [
        other.id
        for other in used.values()
        if other.fill_percent > one.fill_percent + 0.011
        and other.fill_percent * one.fill_limit_percent > one.fill_percent * other.fill_limit_percent * (1.0 + 1e-6)
    ]
    if fuller:
        yield error("total", "fullest opening", f"{', '.join(fuller)} is fuller than {one.id}")


def _worst_drop(book: Book) -> Iterator[Finding]:
    said = book.plan.totals
    fed = {run.id: run for run in book.plan.runs if run.kind == "dc" and run.circuit}
    named = book.runs.get(said.worst_drop_run)
    if named is None:
        if fed or said.worst_drop_run:
            yield error("total", "worst drop", f"{said.worst_drop_run or 'no run'} is named, which is not in the plan")
        return
    if abs(named.drop_percent - said.worst_drop_percent) > 0.0011 or abs(named.drop_v - said.worst_drop_v) > 0.00011:
        yield error(
            "total", "worst drop",
            f"{said.worst_drop_v:g} V ({said.worst_drop_percent:g} %) are not those of {named.id}: "
            f"{named.drop_v:g} V ({named.drop_percent:g} %)",
        )  # fmt: skip
    worse = [run.id for run in fed.values() if run.drop_percent > said.worst_drop_percent + 0.0011]
    if worse:
        yield error("total", "worst drop", f"{', '.join(worse)} loses more than {named.id}")
