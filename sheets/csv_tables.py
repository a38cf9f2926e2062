"""The tables that are also written for a spreadsheet, each column with what stands in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from ribway.models.lengths import format_arms
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.plan.shell import PlanOpening
from ribway.models.printed import length, size_down, size_up
from ribway.models.rates.rates import Rates
from ribway.sheets.circuits_list import feeds_text
from ribway.sheets.csv_file import Value
from ribway.sheets.cut_pieces import NO_RATES, CutPiece, cut_pieces, heap
from ribway.sheets.openings_list import clear_size, grommet_text, raw_size, state_text, takes_yet_mm, used_openings
from ribway.sheets.paper.record import Grid
from ribway.sheets.places import cables_by_id, device_names, device_place
from ribway.sheets.terminals import terminal_at
from ribway.sheets.ways import way_text
from ribway.sheets.wire_list import has_there_and_back

LIST_MARK = "; "

T = TypeVar("T")
Columns = dict[str, Callable[[Plan, T], Value]]


def wire_list_grid(plan: Plan) -> Grid:
    """The wire list's columns and values."""
    return _grid(plan, _WIRE, plan.runs)


def cut_list_grid(plan: Plan, rates: Rates = NO_RATES) -> Grid:
    """The cut list's columns and values, in the order of the shop's reels."""
    return _grid(plan, _CUT, cut_pieces(plan, rates))


def openings_grid(plan: Plan) -> Grid:
    """The columns and values of the openings in use."""
    return _grid(plan, _OPENING, used_openings(plan))


def circuits_grid(plan: Plan) -> Grid:
    """The columns and values of circuits and fuses."""
    return _grid(plan, _CIRCUIT, plan.circuits)


def _grid(plan: Plan, columns: Columns[T], things: Iterable[T]) -> Grid:
    rows = tuple(tuple(value(plan, thing) for value in columns.values()) for thing in things)
    return Grid(tuple(columns), rows)


def _name(plan: Plan, device_id: str) -> str:
    return device_names(plan).get(device_id, device_id)


def _place(plan: Plan, device_id: str) -> str | None:
    return next((device_place(one, plan.rules.units) for one in plan.devices if one.id == device_id), None)


def _printed(plan: Plan, m: float | None) -> str | None:
    return None if m is None else length(m, plan.rules.units)


def _back_m(plan: Plan, run: PlanRun) -> float | None:
    return run.there_and_back_m if has_there_and_back(run, cables_by_id(plan)[run.cable].cores) else None


_WIRE: Columns[PlanRun] = {
    "run": lambda plan, run: run.id,
    "circuit": lambda plan, run: run.circuit,
    "purpose": lambda plan, run: run.purpose,
    "kind": lambda plan, run: run.kind,
    "from": lambda plan, run: run.from_,
    "from_name": lambda plan, run: _name(plan, run.from_),
    "from_place": lambda plan, run: _place(plan, run.from_),
    "from_way": lambda plan, run: way_text(plan, run, run.from_) or None,
    "from_terminal": lambda plan, run: terminal_at(plan, run, run.from_) or None,
    "to": lambda plan, run: run.to,
    "to_name": lambda plan, run: _name(plan, run.to),
    "to_place": lambda plan, run: _place(plan, run.to),
    "to_way": lambda plan, run: way_text(plan, run, run.to) or None,
    "to_terminal": lambda plan, run: terminal_at(plan, run, run.to) or None,
    "cable": lambda plan, run: cables_by_id(plan)[run.cable].name,
    "metal": lambda plan, run: cables_by_id(plan)[run.cable].metal,
    "reel_is": lambda plan, run: cables_by_id(plan)[run.cable].held,
    "conductor": lambda plan, run: run.size_name,
    "conductor_mm2": lambda plan, run: run.conductor_area_mm2,
    "conductors_in_all_pieces": lambda plan, run: run.cores,
    "used_as": lambda plan, run: run.role,
    "conductors_loaded_at_once": lambda plan, run: run.loaded_cores,
    "conductors_for": lambda plan, run: LIST_MARK.join(run.wire_functions),
    "colours": lambda plan, run: LIST_MARK.join(run.wire_colours),
    "pieces": lambda plan, run: run.pieces,
    "one_way_m": lambda plan, run: run.one_way_m,
    "one_way": lambda plan, run: _printed(plan, run.one_way_m),
    "there_and_back_m": _back_m,
    "there_and_back": lambda plan, run: _printed(plan, _back_m(plan, run)),
    "cut_m": lambda plan, run: run.cut_m,
    "cut": lambda plan, run: _printed(plan, run.cut_m),
    "tail_from_m": lambda plan, run: run.tail_a_m,
    "tail_to_m": lambda plan, run: run.tail_b_m,
    "openings": lambda plan, run: LIST_MARK.join(run.openings),
    "loom": lambda plan, run: run.loom,
    "cut_to_template": lambda plan, run: run.cut_to_template,
    "measured": lambda plan, run: run.measured,
    "lugs": lambda plan, run: LIST_MARK.join(
        f"{lug.count} of {lug.size} x {lug.stud or 'unknown stud'} at {lug.at}" for lug in run.lugs
    ),
}

_CUT: Columns[CutPiece] = {
    "order": lambda plan, step: step.order,
    "cable": lambda plan, step: step.cable.name,
    "metal": lambda plan, step: step.cable.metal,
    "reel_is": lambda plan, step: step.cable.held,
    "conductor": lambda plan, step: step.cable.size_name,
    "conductor_mm2": lambda plan, step: step.cable.area_mm2,
    "reel": lambda plan, step: step.reel.number if step.reel else None,
    "reel_m": lambda plan, step: step.reel.length_m if step.reel else None,
    "run": lambda plan, step: step.name,
    "colours": lambda plan, step: step.colours or None,
    "from_name": lambda plan, step: _name(plan, step.run.from_),
    "to_name": lambda plan, step: _name(plan, step.run.to),
    "cut_m": lambda plan, step: step.run.cut_m,
    "cut": lambda plan, step: _printed(plan, step.run.cut_m),
    "cut_arms": lambda plan, step: format_arms(step.run.cut_m, plan.rules.arm_m),
    "used_so_far_m": lambda plan, step: step.used_m,
    "used_so_far": lambda plan, step: _printed(plan, step.used_m),
    "left_on_reel_m": lambda plan, step: step.left_m,
    "heap": lambda plan, step: heap(plan, step.run),
    "cut_to_template": lambda plan, step: step.run.cut_to_template,
    "measured": lambda plan, step: step.run.measured,
}

_OPENING: Columns[PlanOpening] = {
    "opening": lambda plan, one: one.id,
    "member": lambda plan, one: one.member,
    "wall": lambda plan, one: one.wall,
    "back_m": lambda plan, one: one.back_m,
    "up_m": lambda plan, one: one.up_m,
    "left_m": lambda plan, one: one.centre[1],
    "state": lambda plan, one: one.state,
    "to_do": lambda plan, one: state_text(one),
    "shape": lambda plan, one: one.shape,
    "raw_bore_mm": lambda plan, one: one.raw_bore_mm,
    "clear_bore_mm": lambda plan, one: one.clear_bore_mm,
    "slot_length_mm": lambda plan, one: one.slot_length_mm,
    "raw": lambda plan, one: raw_size(one, plan.rules.units),
    "clear": lambda plan, one: clear_size(one.clear_bore_mm, one.slot_length_mm, plan.rules.units),
    "beside": lambda plan, one: one.separation,
    "grommet_mm": lambda plan, one: one.grommet_mm,
    "grommet": lambda plan, one: grommet_text(one, plan.rules.units),
    "taken_mm": lambda plan, one: one.taken_mm,
    "runs": lambda plan, one: LIST_MARK.join(one.runs),
    "bundle_mm": lambda plan, one: one.bundle_diameter_mm,
    "bundle": lambda plan, one: size_up(one.bundle_diameter_mm, plan.rules.units),
    "fill_percent": lambda plan, one: one.fill_percent,
    "fill_limit_percent": lambda plan, one: one.fill_limit_percent,
    "takes_yet_mm": lambda plan, one: round(takes_yet_mm(one), 2),
    "takes_yet": lambda plan, one: size_down(takes_yet_mm(one), plan.rules.units),
    "hole_checked": lambda plan, one: None,
    "far_side_checked": lambda plan, one: None,
    "rust_treated": lambda plan, one: None,
    "edge_covered": lambda plan, one: None,
}

_CIRCUIT: Columns[PlanCircuit] = {
    "circuit": lambda plan, one: one.id,
    "name": lambda plan, one: one.name,
    "kind": lambda plan, one: one.kind,
    "fed_from": lambda plan, one: _name(plan, one.source),
    "feeds": lambda plan, one: feeds_text(plan, one).replace("\n", ": "),
    "runs": lambda plan, one: LIST_MARK.join(one.runs),
    "pattern": lambda plan, one: one.pattern,
    "order": lambda plan, one: one.order,
    "return": lambda plan, one: one.return_,
    "earth_point": lambda plan, one: one.earth,
    "led_back_by": lambda plan, one: one.negative,
    "supply": lambda plan, one: one.supply,
    "never_with": lambda plan, one: one.never_with,
    "far_end_feeds_too": lambda plan, one: one.load_can_feed,
    "supply_given": lambda plan, one: one.supply_given,
    "volts": lambda plan, one: one.volts,
    "design_a": lambda plan, one: one.design_a,
    "start_a": lambda plan, one: one.start_a,
    "fuse_a": lambda plan, one: one.fuse_a,
    "fuse_given": lambda plan, one: one.fuse_given,
    "fuse_low_a": lambda plan, one: one.fuse_low_a if one.kind == "dc" else None,
    "fuse_high_a": lambda plan, one: one.fuse_high_a if one.kind == "dc" else None,
    "weakest_wire_a": lambda plan, one: one.weakest_derated_a,
    "drop_v": lambda plan, one: one.worst_drop_v,
    "drop_percent": lambda plan, one: one.worst_drop_percent,
    "drop_limit_percent": lambda plan, one: one.drop_limit_percent,
    "start_drop_percent": lambda plan, one: one.start_drop_percent,
}
