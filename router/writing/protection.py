"""Volts, shorts, fuses and boards as the plan says them, and what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from ribway.models.circuits import NEGATIVES
from ribway.models.plan.electric import PlanBoard, PlanWayOf
from ribway.models.plan.results import Finding
from ribway.router.boards import allotted
from ribway.router.drawn import solar_of
from ribway.router.feeding import Wire, internal_ohm, seen_volts, wires_of
from ribway.router.protecting import Guard, guards_of
from ribway.router.runs import Feed
from ribway.router.writing.outcome import Outcome
from ribway.sizing.protection.finding import ProtectionFinding
from ribway.sizing.protection.position import farthest_m
from ribway.sizing.resistance import conductor_ohm_per_m_20c

FIRST_WAY = 1


def network_of(outcome: Outcome) -> dict[str, Wire]:
    """The DC runs with their resistances."""
    ohms: dict[str, tuple[float, float]] = {}
    for name, cut in outcome.cuts.items():
        conductor, sized = outcome.cable_of[name].conductor, outcome.sized.get(name)
        if conductor is not None and sized is not None and sized.verdict is not None:
            ohms[name] = cut.cut_m * sized.verdict.ohm_per_m, cut.cut_m * conductor_ohm_per_m_20c(conductor)
    return wires_of(outcome.feeds, outcome.run_by_id, ohms)


def guards(outcome: Outcome) -> dict[str, Guard]:
    """Every DC circuit's fuse beyond its rating."""
    return guards_of(
        network_of(outcome),
        outcome.circuits,
        outcome.sized,
        {name: cut.cut_m for name, cut in outcome.cuts.items()},
        outcome.cable_of,
        outcome.sizer.devices,
        outcome.project.shop,
        outcome.sizer.rules,
    )


def guard_fields(guard: Guard | None, given: bool) -> dict[str, Any]:
    """Fields of a plan's circuit about its fuse beyond the rating."""
    if guard is None:
        return {}
    far = guard.far
    return {
        "fuse_kind": guard.kind,
        "fuse_breaks_a": round(guard.breaks_a, 1),
        "fuse_breaks_given": given,
        "short_near_a": None if guard.near_a is None else round(guard.near_a, 1),
        "short_far_run": guard.far_run,
        "short_far_a": None if far is None else round(far.amps, 2),
        "short_sure_to_m": None if far is None else round(far.sure_to_m, 3),
    }


def device_fields(outcome: Outcome) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
    """Fields of the plan's devices about their volts, and what cannot be fed, in words, by source."""
    devices, shop = outcome.sizer.devices, outcome.project.shop
    wires = network_of(outcome)
    seen, faults = seen_volts(wires, devices, shop)
    fields: dict[str, dict[str, Any]] = {}
    for name, volts in seen.items():
        fields[name] = {
            "running_v": round(volts.running_v, 4),
            "lowest_v": round(volts.lowest_v, 4),
            "lowest_when": volts.lowest_when,
        }
    for wire in wires.values():
        own = internal_ohm(devices[wire.root], wire.feed.volts, shop)
        if own is not None:
            fields.setdefault(wire.root, {})["internal_ohm"] = round(own, 8)
        fields.setdefault(wire.root, {})["sag_ohm"] = devices[wire.root].internal_ohms or 0.0
    return fields, faults


def write_boards(outcome: Outcome) -> tuple[PlanBoard, ...]:
    """Boards whose ways were stated."""
    return tuple(
        PlanBoard(
            id=one.device.id,
            ways=one.device.ways or 0,
            amps_per_way=one.device.amps_per_way or 0.0,
            amps_total=one.device.amps_total,
            used=len(one.allotment.ways),
            spare=len(one.allotment.spare),
            amps=round(one.amps, 3),
            circuits=tuple(PlanWayOf(circuit=name, way=way) for name, way in one.allotment.ways.items()),
        )
        for one in allotted(outcome.project, outcome.feeds, outcome.circuits, outcome.sizer.rules)
    )


def protection_findings(outcome: Outcome) -> Iterator[Finding]:
    """What is wrong with fuses, boards and volts."""
    alike: dict[tuple[str, str], list[ProtectionFinding]] = {}
    for guard in guards(outcome).values():
        for one in guard.findings:
            alike.setdefault((one.rule.replace(" ", "-"), one.says.partition(": ")[0]), []).append(one)
    for (code, _), group in alike.items():
        about = dict.fromkeys(one.where for one in group)
        # Where only the rating differs, no kind of any of these ratings will do.
        says = (
            group[0].says if len(about) == 1 else re.sub(r" of [0-9.]+ A will", " of these ratings will", group[0].says)
        )
        yield _warning(code, ", ".join(about), says)
    for board in allotted(outcome.project, outcome.feeds, outcome.circuits, outcome.sizer.rules):
        for one in board.allotment.findings:
            yield _warning("board-ways", board.device.id, one.says)
        for says in board.faults:
            yield _warning("board-amps", board.device.id, says)
    fields, faults = device_fields(outcome)
    for source, says in faults.items():
        yield Finding(
            level="error",
            code="no-operating-point",
            about=source,
            message=f"what hangs on {outcome.sizer.devices[source].name} cannot be fed: {says}",
            remedy="thicker or shorter wire, a higher voltage, or less power",
        )
    for name, seen in fields.items():
        device = outcome.sizer.devices[name]
        if device.cut_out_volts is not None and "lowest_v" in seen and seen["lowest_v"] < device.cut_out_volts:
            starts = outcome.sizer.devices[seen["lowest_when"]].name if seen["lowest_when"] else ""
            yield Finding(
                level="warning",
                code="cut-out",
                about=name,
                message=f"{device.name} sees {seen['lowest_v']:.2f} V{f' while {starts} starts' if starts else ''}; it "
                f"cuts out below {device.cut_out_volts:g} V",
                remedy="a tighter drop for its circuit and its feeder, or a battery with less resistance",
            )
    yield from _places(outcome)


def _places(outcome: Outcome) -> Iterator[Finding]:
    """Where the fuses of circuits that begin at a source have to sit: an instruction."""
    at: list[Feed] = [
        feed
        for feed in outcome.feeds
        if feed.circuit.kind == "dc"
        and feed.circuit.pattern not in NEGATIVES
        and feed.circuit.fuse_at is None
        and outcome.sizer.devices[feed.circuit.source].kind == "source"
        and solar_of(outcome.sizer.devices[feed.circuit.source]) is None
    ]
    if at:
        rule = outcome.project.shop.fuse_distance
        bare, sheathed = farthest_m(rule, False), farthest_m(rule, True)
        yield Finding(
            level="note",
            code="fuse-place",
            about=", ".join(feed.circuit.id for feed in at),
            message=f"each of these fuses sits within {1000 * bare:.0f} mm of wire from its source, {1000 * sheathed:.0f} mm "
            f"if sheathed ({rule})",
            remedy="measure along the wire; write fuse_at in the circuit to have it checked",
        )


def _warning(code: str, about: str, says: str) -> Finding:
    message, _, remedy = says.partition(": ")
    return Finding(level="warning", code=code, about=about, message=message, remedy=remedy or "see the message")
