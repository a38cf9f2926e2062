"""Returns, earths and bonds: what comes together where, to be made and measured."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice, PlanRun
from ribway.models.printed import counted
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
    sections = (
        Section("Negative returns: every feed that brings its own", tuple(_returns(plan))),
        Section("Earth points: what comes back through the body", tuple(_earth_points(plan))),
        Section("Bond to the body: one, and only one", tuple(_bonds(plan))),
        Section("AC: by the licensed person", tuple(_protective(plan))),
    )
    notes = (
        _body_note(plan),
        "Metal cases, frames of solar panels and gas pipes are not in this plan: see what local codes ask for.",
    )
    return Record("earths", "Earths and bonds", fields, sections, notes, LARGE_PT)


def _body_note(plan: Plan) -> str:
    through = [one.id for one in plan.circuits if one.return_ == "chassis"]
    if not through:
        return (
            "No run of this plan returns through the body: each feed has its negative conductor. Where a device's case is bonded "
            "to the body by its maker, write it down here. A bond is as thick as the thickest main (common practice, no source)."
        )
    measured = "measured" if plan.rules.body_measured else "not measured: measure it"
    return (
        f"Back through the body come {joined(tuple(through))}, over the bond; the body is reckoned with "
        f"{plan.rules.body_ohm:g} ohm between two points ({measured}). An earth point that the maker did not allow is never used."
    )


def _returns(plan: Plan) -> Iterator[Values]:
    for device in plan.devices:
        dc = [run for run in plan.runs if device.id in (run.from_, run.to) and has_negative(run)]
        if dc and device.kind in _BOXES:
            lone = len(dc) == 1 and device.kind != "board"
            what = "its negative terminal" if lone else f"negative bar, {counted(len(dc), 'stud')} or more"
            yield _row(plan, device, what, dc)


def _earth_points(plan: Plan) -> Iterator[Values]:
    """Points on bare metal, with the circuits that come back there and the leads that end at them."""
    for device in plan.devices:
        leads = [run for run in plan.runs if device.id in (run.from_, run.to)]
        if device.kind != "earth point" or not leads:
            continue
        back = tuple(one.id for one in plan.circuits if one.earth == device.id)
        allowed = "allowed by the van's maker" if device.allowed_by_maker else "ask the van's maker first"
        yield _row(plan, device, f"{allowed}{f'; back: {joined(back)}' if back else ''}", leads)


def _bonds(plan: Plan) -> Iterator[Values]:
    """The stated bond; without one, where it would be, if this van has one."""
    bonds = {one.id for one in plan.circuits if one.pattern == "bond"}
    stated = [run for run in plan.runs if run.circuit in bonds]
    by_id = {one.id: one for one in plan.devices}
    for run in stated:
        yield _row(plan, by_id[run.from_], f"bond of negative to the body, at {by_id[run.to].name}", [run])
    if stated:
        return
    for device in plan.devices:
        dc = [run for run in plan.runs if device.id in (run.from_, run.to) and has_negative(run)]
        if device.kind in _SOURCES and any(run.from_ == device.id for run in dc):
            thickest = max(dc, key=lambda run: run.conductor_area_mm2)
            yield _row(
                plan, device, "bond of negative to the body, if this van has one: here, and only once", [thickest]
            )
            return


def _protective(plan: Plan) -> Iterator[Values]:
    for device in plan.devices:
        ac = [run for run in plan.runs if run.kind == "ac" and device.id in (run.from_, run.to)]
        if ac:
            yield _row(plan, device, "protective conductor, on every AC run", ac)


def has_negative(run: PlanRun) -> bool:
    """Whether a run brings a negative conductor: a switch leg or a control lead may have none."""
    return run.kind == "dc" and any(one.endswith("negative") for one in run.wire_functions)


def _row(plan: Plan, device: PlanDevice, what: str, runs: list[PlanRun]) -> Values:
    thickest = max(runs, key=lambda run: run.conductor_area_mm2)
    names = joined(tuple(run.id for run in runs))
    place = device_place(device, plan.rules.units)
    return (device.name, place, what, f"up to {typeset(thickest.size_name)}", names, None, None, None)


EARTHS = paper_of_records("earths", "Earths and bonds", lambda plan, _wishes: (earths_record(plan),))
