"""Volts, shorts, fuses and boards as the plan says them, and what is wrong with them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any, Literal

from ribway.models.circuits import NEGATIVES, Circuit, Device
from ribway.models.plan.electric import PlanBoard, PlanWayOf
from ribway.models.plan.results import Finding
from ribway.models.printed import Units, size_down
from ribway.router.circuits.drawn import solar_of
from ribway.router.circuits.runs import Feed
from ribway.router.sizes.boards import allotted, bars_alone
from ribway.router.sizes.feeding import Wire, internal_ohm, seen_volts, wires_of
from ribway.router.sizes.protecting import Guard, guards_of
from ribway.router.sizes.sources import Sources
from ribway.router.writing.outcome import Outcome
from ribway.sizing.protection.finding import ProtectionFinding
from ribway.sizing.protection.kinds import fuse_kinds
from ribway.sizing.protection.position import farthest_m
from ribway.sizing.protection.prospective import Way, WeakFuse, least_ohm_per_m, weak_fuses_says

_NAMED = re.compile(r"load '([^'/]+)/([^']+)'")
"""How the solver names a load: by its run and its device."""


def network_of(outcome: Outcome) -> dict[str, Wire]:
    """The DC runs with their resistances."""
    return outcome.found.of("network", "", partial(_network, outcome))


def _network(outcome: Outcome) -> dict[str, Wire]:
    ohms: dict[str, tuple[float, float]] = {}
    for name, cut in outcome.cuts.items():
        conductor, sized = outcome.cable_of[name].conductor, outcome.sized.get(name)
        if conductor is not None and sized is not None and sized.verdict is not None:
            # No cable is laid shorter than taut, and none conducts better than pure copper.
            least = outcome.layout.laid[name].taut_m * least_ohm_per_m(conductor.area_mm2, conductor.metal)
            ohms[name] = cut.cut_m * sized.verdict.ohm_per_m, least
    return wires_of(outcome.feeds, outcome.run_by_id, ohms)


def guards(outcome: Outcome) -> dict[str, Guard]:
    """Every DC circuit's fuse beyond its rating."""
    return outcome.found.of("guards", "", partial(_guards, outcome))


def _guards(outcome: Outcome) -> dict[str, Guard]:
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


def guard_fields(guard: Guard | None, circuit: Circuit) -> dict[str, Any]:
    """Fields of a plan's circuit about its fuse beyond the rating."""
    if guard is None:
        return {}
    far, backed = guard.far, guard.backed_a > 0.0 and guard.upstream is not None
    return {
        "fuse_backed_by": guard.upstream.circuit if guard.upstream is not None and backed else "",
        "fuse_backed_to_a": guard.backed_a if backed else None,
        "far_fuse_a": guard.far_rating_a,
        "far_fuse_given": guard.far_rating_a is not None and circuit.far_fuse is not None,
        "fuse_kind": guard.kind,
        "fuse_breaks_a": round(guard.breaks_a, 1),
        "fuse_breaks_given": circuit.fuse_breaks is not None,
        "short_near_a": None if guard.near_a is None else round(guard.near_a, 1),
        "short_heat_run": guard.heat_run,
        "short_through_a2s": None if guard.heat_a2s is None else round(guard.heat_a2s[0], 1),
        "short_stands_a2s": None if guard.heat_a2s is None else round(guard.heat_a2s[1], 1),
        "short_far_run": guard.far_run,
        "short_far_a": None if far is None else round(far.amps, 2),
        "short_sure_to_m": None if far is None else round(far.sure_to_m, 4),
    }


def backing_fields(device: Device) -> dict[str, Any]:
    """Fields of a plan's board about what its fuses stand behind the fuse before it."""
    said = device.backed_by
    if said is None:
        return {}
    return {"backed_kind": said.fuse_kind, "backed_fuse_a": said.fuse, "backed_to_a": said.up_to}


def device_fields(outcome: Outcome) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
    """Fields of the plan's devices about their volts, and what cannot be fed, in words, by source."""
    return outcome.found.of("device fields", "", partial(_device_fields, outcome))


def _device_fields(outcome: Outcome) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
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
    for end, battery in Sources(wires, devices, shop).far_batteries():
        own = internal_ohm(battery, end.feed.volts, shop)
        if own is not None:
            fields.setdefault(battery.id, {})["internal_ohm"] = round(own, 8)
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
    known = guards(outcome)
    yield from _breaking(outcome, known)
    alike: dict[tuple[str, bool, str], list[ProtectionFinding]] = {}
    for guard in known.values():
        for one in guard.findings:
            alike.setdefault((one.rule.replace(" ", "-"), one.serious, one.says.partition(": ")[0]), []).append(one)
    for (code, serious, _), group in alike.items():
        yield _finding(code, ", ".join(dict.fromkeys(one.where for one in group)), group[0].says, serious)
    yield from _not_made(known)
    for board in allotted(outcome.project, outcome.feeds, outcome.circuits, outcome.sizer.rules):
        for one in board.allotment.findings:
            yield _finding("board-ways", board.device.id, one.says, one.serious)
        for says in board.faults:
            yield _finding("board-amps", board.device.id, says, True)
    for device, says in bars_alone(outcome.project, outcome.feeds, outcome.circuits, outcome.sizer.rules):
        yield _finding("board-amps", device.id, says, True)
    fields, faults = device_fields(outcome)
    for source, says in faults.items():
        why, _, cure = _NAMED.sub(lambda load: outcome.sizer.devices[load[2]].name, says).partition("; ")
        yield Finding(
            level="error",
            code="no-operating-point",
            about=source,
            message=f"what hangs on {outcome.sizer.devices[source].name} cannot be fed: {why}",
            remedy=f"{cure}, or a battery with less resistance",
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


def _not_made(known: Mapping[str, Guard]) -> Iterator[Finding]:
    """Fuses of a kind that does not come in their rating: stated kinds, or stated ratings."""
    for name, guard in known.items():
        made = [one for one in fuse_kinds() if one.kind == guard.kind]
        if made and not any(one.from_a <= guard.rating_a <= one.to_a for one in made):
            least, most = min(one.from_a for one in made), max(one.to_a for one in made)
            yield Finding(
                level="warning",
                code="fuse-kind",
                about=name,
                message=f"{guard.kind} fuses usually come from {least:g} to {most:g} A, and {guard.rating_a:g} A is asked for",
                remedy="another kind, or another rating that the wire bears",
            )


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
        rule, units = outcome.project.shop.fuse_distance, outcome.project.shop.units
        bare, sheathed = farthest_m(rule, False), farthest_m(rule, True)
        yield Finding(
            level="note",
            code="fuse-place",
            about=", ".join(feed.circuit.id for feed in at),
            message=f"each of these fuses must sit within {_most(bare, units)} of wire from its source, "
            f"{_most(sheathed, units)} if sheathed ({rule})",
            remedy="measure along the wire; write fuse_at in the circuit to have it checked",
        )


def _most(m: float, units: Units) -> str:
    """A greatest distance, rounded down: ``7"``; for a shop that works in metres in both systems, since rules give inches."""
    return (
        size_down(1000.0 * m, units)
        if units != "metric"
        else f"{math.floor(1000 * m + 1e-6)} mm ({math.floor(10 * m / 0.0254 + 1e-6) / 10:g} in)"
    )


def _breaking(outcome: Outcome, known: Mapping[str, Guard]) -> Iterator[Finding]:
    """Fuses that cannot break the short where they sit: one finding a place."""
    at: dict[str, list[tuple[Way, Guard, WeakFuse]]] = {}
    for name, guard in known.items():
        if guard.way is not None and not guard.breaks:
            weak = WeakFuse(name, guard.kind, guard.rating_a, max(guard.breaks_a, guard.backed_a))
            at.setdefault(guard.place, []).append((guard.way, guard, weak))
    for place, found in at.items():
        way, guard, _ = found[0]
        called = outcome.sizer.devices[place].name
        message, remedy = weak_fuses_says(called, way, [weak for *_, weak in found], guard.backing, guard.upstream)
        yield Finding(level="error", code="breaking-capacity", about=place, message=message, remedy=remedy)


def _finding(code: str, about: str, says: str, serious: bool) -> Finding:
    message, _, remedy = says.partition(": ")
    level: Literal["error", "warning"] = "error" if serious else "warning"
    return Finding(level=level, code=code, about=about, message=message, remedy=remedy or "see the message")
