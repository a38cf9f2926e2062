"""How a circuit's currents, fuse, shorts and volts came about."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.padding import Padding
from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.printed import length
from ribway.reckoning import margin_words, protection_rows, volts_parts
from ribway.sizing.heat.duty import duty_share, slow_s
from ribway.units import amps, carried_amps, percent, volts

Part = Table | str | Padding
LOAD_FACTOR = 1.25
LIMIT_RULE = "33 CFR 183 limit"
SAME_A = 0.02


def circuit_parts(plan: Plan, circuit: PlanCircuit) -> Iterator[Part]:
    """Explain a circuit: its currents, its fuse and its drop.

    Args:
        plan: the plan.
        circuit: one of its circuits.

    Yields:
        Tables and lines of text.
    """
    names = {device.id: device.name for device in plan.devices}
    loads = ", ".join(names.get(load, load) for load in circuit.loads)
    yield clean(f"Circuit {circuit.id}: {circuit.name}, {circuit.kind}, {circuit.volts:g} V")
    yield clean(f"from {names.get(circuit.source, circuit.source)} to {loads}, pattern {circuit.pattern}")
    if circuit.order:
        yield clean(f"order: {circuit.order}")
    if circuit.supply:
        other = f", but what feeds it gives: {circuit.supply_given}" if circuit.supply_given != circuit.supply else ""
        yield clean(f"power: {circuit.supply}{other}")
    rows = [("running current", amps(circuit.design_a)), ("starting current", amps(circuit.start_a))]
    if circuit.on_s is not None:
        pause = "once, then cold" if circuit.off_s is None else f"then {circuit.off_s:g} s off at least"
        rows += [
            ("on at a time", f"{circuit.on_s:g} s at most, {pause}"),
            *_warms(plan, circuit),
            ("  its own wire, fuse and drop", "held by all of its current: its fuse may pass it for good"),
        ]
    if circuit.fuse_a is not None:
        rows += [*_fuse_rows(plan, circuit), *_way(plan, circuit), *protection_rows(plan, circuit)]
    if circuit.kind == "ac":
        rows += _breaker_rows(plan, circuit)
    runs = [run for run in plan.runs if run.circuit == circuit.id]
    missing = [id for id in circuit.runs if id not in {run.id for run in runs}]
    if circuit.kind != "data" and not missing:
        rows.extend(
            [
                ("lost before its source", volts(circuit.upstream_drop_v)),
                ("lost at the worst device", f"{volts(circuit.worst_drop_v)} = {percent(circuit.worst_drop_percent)}"),
                ("  limit", percent(circuit.drop_limit_percent)),
                ("lost there while starting", percent(circuit.start_drop_percent)),
            ]
        )
        limits = [one.bound for run in runs for one in run.limits if one.name == "start drop"]
        if limits:
            rows.append(("  limit", percent(min(limits))))
    if circuit.kind != "data":
        yield table_of("Currents, fuse and drop", ("", ">"), rows, head=False)
    yield from _states(circuit)
    yield from budget_parts(plan, circuit.id)
    units = plan.rules.units
    lines = [
        (run.id, f"{names.get(run.from_, run.from_)} -> {names.get(run.to, run.to)}", run.size_name,
         length(run.cut_m, units), amps(run.design_a), percent(run.drop_percent))
        for run in runs
    ]  # fmt: skip
    yield table_of("Its runs", ("run", "from -> to", "size", "cut>", "current>", "drop>"), lines)
    yield from volts_parts(plan, circuit)
    if missing:
        yield clean(f"without a route: {', '.join(missing)}")


def _warms(plan: Plan, circuit: PlanCircuit) -> list[tuple[str, str]]:
    """The steady current by which a circuit that is on for a while only warms others, run by run."""
    cables, rows = {cable.id: cable for cable in plan.cables}, []
    for run in plan.runs:
        cable = cables[run.cable]
        if run.circuit == circuit.id and run.design_a > 0.0 and cable.area_mm2 > 0.0:
            share = duty_share(circuit.on_s or 0.0, circuit.off_s, slow_s(cable.area_mm2, cable.metal))
            how = f"{amps(run.design_a)} x sqrt({share:.3f}), metal that warms in {slow_s(cable.area_mm2, cable.metal):.0f} s"
            rows.append((f"  {run.id} warms others like", f"{amps(run.design_a * math.sqrt(share))} ({how})"))
    return rows


def _fuse_rows(plan: Plan, circuit: PlanCircuit) -> list[tuple[str, str]]:
    """The fuse and the window that it lies in."""
    by_load = LOAD_FACTOR * circuit.design_a
    why = f"{LOAD_FACTOR:g} x {amps(circuit.design_a)}: common practice, no source"
    if circuit.fuse_low_a > by_load + SAME_A:
        why = f"it carries the start of {amps(circuit.start_a)} too"
    share = "150 %, 33 CFR 183.455" if plan.rules.fuse_rule == LIMIT_RULE else "100 %"
    return [
        ("fuse", f"{amps(circuit.fuse_a)}, {'given' if circuit.fuse_given else 'chosen'}"),
        ("  at least", f"{amps(circuit.fuse_low_a)} ({why})"),
        ("  at most", f"{carried_amps(circuit.fuse_high_a)} ({share} of what its weakest conductor carries)"),
        ("weakest conductor carries", f"{carried_amps(circuit.weakest_derated_a)} ({_weakest(plan, circuit)})"),
    ]


def _way(plan: Plan, circuit: PlanCircuit) -> list[tuple[str, str]]:
    """The way of its board that it has."""
    for board in plan.boards:
        for one in board.circuits:
            if one.circuit == circuit.id:
                return [("way of its board", f"{one.way} of {board.ways}, for {amps(board.amps_per_way)} at most")]
    return []


def _breaker_rows(plan: Plan, circuit: PlanCircuit) -> list[tuple[str, str]]:
    """What is known of an AC circuit's breaker: for information."""
    said = amps(circuit.fuse_a) if circuit.fuse_a is not None else "not known: whoever designs the AC chooses it"
    carries = f"{carried_amps(circuit.weakest_derated_a)} ({_weakest(plan, circuit)})"
    return [("breaker", said), ("  at most what its weakest cable carries", carries)]


def _weakest(plan: Plan, circuit: PlanCircuit) -> str:
    known: list[PlanRun] = [run for run in plan.runs if run.circuit == circuit.id and run.derated_a is not None]
    return min(known, key=lambda run: run.derated_a or 0.0).id if known else "not known"


def _states(circuit: PlanCircuit) -> Iterator[Part]:
    if circuit.states:
        rows = [(one.state, amps(one.takes_a), amps(one.gives_a)) for one in circuit.states]
        yield table_of("What it carries by state of the van", ("", "taken>", "given>"), rows)
        yield "the most of all; what takes and what gives is not set off, as either may stop"


def budget_parts(plan: Plan, name: str) -> Iterator[Part]:
    """Budgets of data that a run or circuit has.

    Args:
        plan: the plan.
        name: id of the run or circuit.

    Yields:
        A table, if there are any.
    """
    rows = [
        (
            ", ".join(one.runs),
            f"{one.kind} {one.of}".rstrip(),
            f"{one.value:.2f} {one.unit}",
            f"{one.sense} {one.bound:g} {one.unit}",
            margin_words(one.bound - one.value if one.sense == "at most" else one.value - one.bound, one.unit),
            one.says,
        )
        for one in plan.budgets
        if name == one.circuit or name in one.runs
    ]
    if rows:
        yield table_of("Budgets", ("runs", "", "found>", "allowed>", "left>", ""), rows)
