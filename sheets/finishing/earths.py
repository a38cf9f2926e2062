"""Returns, earths and bonds: what comes together where, to be made and measured."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice, PlanRun
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, blank, tick
from ribway.sheets.places import device_place
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import joined, typeset

_SOURCES = ("source",)
_BOXES = ("source", "board")


def earths_record(plan: Plan) -> Record:
    """Negative returns at each source and box, the bond to the body, and the protective conductors of AC.

    Args:
        plan: the plan.
    """
    fields = (
        Field("where", "Where", strong=True, weight=1.2),
        Field("place", "Place", weight=1.6),
        Field("what", "What", weight=2.4, strong=True),
        Field("size", "Size", weight=0.8),
        Field("runs", "Runs", weight=3.0),
        tick("Made"),
        tick("Paint off, greased"),
        blank("Ohms found", "ohms_found", "Ω"),
    )
    returns, bonds, protective = [], [], []
    for device in plan.devices:
        dc = [run for run in plan.runs if device.id in (run.from_, run.to) and has_negative(run)]
        ac = [run for run in plan.runs if run.kind == "ac" and device.id in (run.from_, run.to)]
        if dc and device.kind in _BOXES:
            returns.append(_row(plan, device, f"negative bar, {len(dc)} studs or more", dc))
        if dc and device.kind in _SOURCES and any(run.from_ == device.id for run in dc):
            thick = [max(dc, key=lambda run: run.conductor_area_mm2)]
            bonds.append(
                _row(plan, device, "bond of negative to the body, if this van has one: here, and only once", thick)
            )
        if ac:
            protective.append(_row(plan, device, "protective conductor, on every AC run", ac))
    sections = (
        Section("Negative returns: every feed brings its own", tuple(returns)),
        Section("Bond to the body", tuple(bonds[:1])),
        Section("AC: by the licensed person", tuple(protective)),
    )
    notes = (
        "No run of this plan returns through the body: each feed has its negative conductor. Where a device's case is bonded to "
        "the body by its maker, write it down here. A bond is as thick as the thickest main (common practice, no source).",
        "Metal cases, frames of solar panels and gas pipes are not in this plan: see what local codes ask for.",
    )
    return Record("earths", "Earths and bonds", fields, sections, notes, LARGE_PT)


def has_negative(run: PlanRun) -> bool:
    """Whether a run brings a negative conductor: a switch leg or a control lead may have none."""
    return run.kind == "dc" and any(one.endswith("negative") for one in run.wire_functions)


def _row(plan: Plan, device: PlanDevice, what: str, runs: list[PlanRun]) -> Values:
    thickest = max(runs, key=lambda run: run.conductor_area_mm2)
    names = joined(tuple(run.id for run in runs))
    place = device_place(device, plan.rules.units)
    return (device.name, place, what, f"up to {typeset(thickest.size_name)}", names, None, None, None)


EARTHS = paper_of_records("earths", "Earths and bonds", lambda plan, _wishes: (earths_record(plan),))
