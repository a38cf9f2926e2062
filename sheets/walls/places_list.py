"""The list of places: where each device goes, and every cable that it gets."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.plan.unconfirmed import LEGEND, marked, unconfirmed
from ribway.models.printed import counted, length
from ribway.models.surroundings import SURROUNDINGS
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, tick
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import cable_name, cables_by_id, device_names, measured_from, sideways, wall_name
from ribway.sheets.table import LARGE_PT
from ribway.sheets.walls.numbers import numbered
from ribway.sheets.words import NOTHING, bare_place, joined, length_unit, place


def places_record(plan: Plan) -> Record:
    """Every device with its place and what it gets.

    Args:
        plan: the plan.
    """
    units = plan.rules.units
    unit = length_unit(units)

    def distance(value: Value) -> str:
        return NOTHING if value is None else bare_place(float(value), units)

    def off_centre(value: Value) -> str:
        return NOTHING if value is None else sideways(float(value), units)

    fields = (
        Field("number", "No.", align="right", weight=0.1, strong=True),
        Field("name", "What goes there", strong=True, weight=1.5),
        Field("wall", ""),
        Field("back_m", "Back", distance, unit, 0.3, "right", True),
        Field("up_m", "Up", distance, unit, 0.3, "right", True),
        Field("left_m", "Off centre", off_centre, "", 0.6),
        Field("gets", "What it gets", weight=5.0),
        tick("Written on the metal"),
        tick("Cables there"),
    )
    groups: dict[str, list[tuple[int, PlanDevice]]] = {}
    for number, device in numbered(plan):
        groups.setdefault(device.wall, []).append((number, device))
    rough = unconfirmed(plan).places
    sections = tuple(
        Section(
            f"Outside: {wall}" if wall in SURROUNDINGS else wall_name(wall).capitalize(),
            tuple(
                (
                    number, marked(one.name, one.id in rough), wall,
                    one.back_m if wall not in ("bulkhead", "rear", *SURROUNDINGS) else None,
                    one.up_m if wall not in ("roof", "floor", *SURROUNDINGS) else None,
                    one.left_m if wall not in ("left", "right", *SURROUNDINGS) else None,
                    gets_text(plan, one.id), None, None,
                )
                for number, one in devices
            ),
        )
        for wall, devices in groups.items()
    )  # fmt: skip
    notes = (measured_from(plan), *_all_stand(plan), LEGEND)
    return Record("places", "List of places", fields, sections, notes, LARGE_PT)


_FLUSH_M = 0.001
_ALIKE_M = 0.015
"""Distances off the metal that differ by no more are said once for all places [m]."""


def _stand_alike(plan: Plan) -> tuple[float, float] | None:
    """The least and the greatest distance off the metal, if all places are about alike; else None [m]."""
    off = [one.stand_off_m for one in plan.devices if one.wall not in SURROUNDINGS and one.kind != "mounting board"]
    alike = len(off) > 1 and min(off) > _FLUSH_M and max(off) - min(off) <= _ALIKE_M
    return (min(off), max(off)) if alike else None


def _all_stand(plan: Plan) -> tuple[str, ...]:
    """The sentence on how far all places stand off the metal; none where it is said place by place."""
    alike = _stand_alike(plan)
    if alike is None:
        return ()
    least, most = (length(one, plan.rules.units) for one in alike)
    how_far = most if least == most else f"{least} to {most}"
    return (f"Every place here stands {how_far} off the bare metal.",)


def gets_text(plan: Plan, device_id: str) -> str:
    """Every run that ends at a device, with its cable; feeds out of it are said as such."""
    cables = cables_by_id(plan)
    ins: list[str] = []
    outs: list[str] = []
    for run in plan.runs:
        if device_id not in (run.from_, run.to):
            continue
        pieces = f"{run.pieces} × " if run.pieces > 1 else ""
        words = f"{run.id} {pieces}{cable_name(cables[run.cable])}"
        (ins if run.to == device_id else outs).append(words)
    parts = [f"in: {', '.join(ins)}" if ins else "", f"out: {', '.join(outs)}" if outs else ""]
    cables_there = "\n".join(part for part in parts if part) or "no cable of this plan"
    return "\n".join((cables_there, *_besides(plan, device_id)))


def _besides(plan: Plan, device_id: str) -> Iterator[str]:
    """What else a place needs: ways of a board, what comes back there, which joint, what it is fixed on."""
    device = next(one for one in plan.devices if one.id == device_id)
    names = device_names(plan)
    for board in plan.boards:
        if board.id == device_id:
            yield f"{counted(board.ways, 'way')}, {board.spare} spare"
    back = tuple(one.id for one in plan.circuits if one.earth == device_id)
    if back:
        yield f"comes back here through the body: {joined(back)}"
    if device.kind == "joint":
        yield f"joint{f', behind {device.behind}' if device.behind else ', to be parted by hand'}"
    if device.stand_off_m > _FLUSH_M and _stand_alike(plan) is None:
        yield f"stands {length(device.stand_off_m, plan.rules.units)} off the metal"
    if device.moving:
        yield f"moves with the {device.moving}: leave {length(device.loop_m, plan.rules.units)} as a loop"
    if device.kind == "mounting board":
        held = tuple(one.name for one in plan.devices if one.on == device_id)
        size = f"{length(device.width_m, plan.rules.units)} wide, {length(device.height_m, plan.rules.units)} high"
        yield f"board, {size}: {joined(held)}"
    if device.on:
        across, up = place(device.across_m, plan.rules.units), place(device.board_up_m, plan.rules.units)
        yield f"on {names.get(device.on, device.on)}: {across} from its left edge, {up} above its lower edge"


def places_records(plan: Plan, _wishes: Wishes) -> tuple[Record, ...]:
    """The list as the paper's one record."""
    return (places_record(plan),)
