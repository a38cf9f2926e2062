"""The whole reckoning behind a size and a fuse: figures in, formula, source, and what is left to each limit."""

from __future__ import annotations

from collections.abc import Iterator

from rich.padding import Padding
from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.units import amps, beside_metres, carried_amps, percent, reach, volts
from ribway.volts_lost import lost_parts, way_there

Part = Table | str | Padding
CHARGING = 1.2
"""Highest over nominal voltage: common practice, no source."""
LEAST_OHM = 1e-5
FACTOR_IS_LAW_V = 50.0
LAW_BELOW = "below 50 V no law asks for the factor: derating under shop chooses factor, heat or the stricter"
TWICE = 2.0
OPENS_FROM = 1.35
"""Below this many times its rating a fuse need not open (ISO 8820)."""
DERATING = {
    "stricter": "a bundle takes away by its factor or by the heat balance of its section, whichever leaves less",
    "factor": "a bundle takes away by its factor",
    "heat": "a bundle takes away by the heat balance of its section (AC: whichever leaves less)",
}


def margin_words(value: float, unit: str) -> str:
    """What is left to a limit; none left is said in words, not hidden in a sign.

    Args:
        value: what is left; negative beyond the limit.
        unit: of it.
    """
    return f"{value:.2f} {unit}" if value >= 0 else f"none: {-value:.2f} {unit} beyond the limit"


def reckoning_parts(plan: Plan, run: PlanRun, circuit: PlanCircuit) -> Iterator[Part]:
    """How a run's amperes and drop came about, and every limit that it was held against.

    Args:
        plan: the plan.
        run: one of its runs that carries power.
        circuit: its circuit.

    Yields:
        Tables and lines of text; nothing where the plan does not hold them.
    """
    yield from lost_parts(plan, run, circuit)
    if run.loss_w is not None:
        day = f", {run.loss_wh_per_day:.1f} Wh a day" if run.loss_wh_per_day is not None else ""
        yield clean(f"heat in this run: {run.loss_w:.2f} W{day}")
    yield ""
    yield from _carried(plan, run, circuit)
    if run.limits:
        rows = [
            (
                one.name,
                f"{one.value:.4g} {one.unit}",
                f"{one.sense} {one.bound:.4g} {one.unit}",
                margin_words(one.margin, one.unit),
                beside_metres(one.says, plan.rules.units),
            )
            for one in run.limits
        ]
        yield table_of("Every limit", ("", "found>", "allowed>", "left>", ""), rows)
    if run.limits and circuit.kind == "ac":
        yield "for information only: a licensed person designs, connects and tests AC"


def _carried(plan: Plan, run: PlanRun, circuit: PlanCircuit) -> Iterator[Part]:
    """Factor by factor from the table to what it may carry, and what its bundle did to its size."""
    if run.table_a is None or not run.factors:
        return
    rules = plan.rules
    rows = [("table", "", "", carried_amps(run.table_a), run.table_says)]
    rows += [
        (one.name, carried_amps(one.before_a), f"x {one.value:.3f}", carried_amps(one.after_a), one.because)
        for one in run.factors
    ]
    yield table_of("What it may carry, factor by factor", ("", "from>", "factor>", "leaves>", "because"), rows)
    name, base = (rules.ac_rule_set, rules.ac_base) if circuit.kind == "ac" else (rules.rule_set, rules.base)
    yield clean(f"rule set {name or rules.rule_set}, table {base or rules.base}; {DERATING[rules.derating]}")
    if run.size_by and all(one.size == run.size_name for one in run.size_by):
        yield clean("its bundle did not change its size: alone in its air it would be the same")
    elif run.size_by:
        by = [(one.by, one.size or "more than is stocked", carried_amps(one.carries_a)) for one in run.size_by]
        yield table_of("What its bundle did to its size", ("taken away by", "size", "would carry>"), by)
        law = "from 50 V up the factor is law" if circuit.volts >= FACTOR_IS_LAW_V else LAW_BELOW
        yield clean(f"so it is {run.size_name}; {law}")


def protection_rows(plan: Plan, circuit: PlanCircuit) -> list[tuple[str, str]]:
    """What a circuit's fuse has to break, and whether a short at the far end opens it.

    Args:
        plan: the plan.
        circuit: one of its circuits.

    Returns:
        Rows of a table; none where the plan does not hold them.
    """
    if not circuit.fuse_kind:
        return []
    breaks = carried_amps(circuit.fuse_breaks_a)
    rows = [
        ("kind of fuse", circuit.fuse_kind),
        ("  breaks", f"{breaks}, {'as its maker says' if circuit.fuse_breaks_given else 'as usual for its kind'}"),
    ]
    stands = max(circuit.fuse_breaks_a or 0.0, circuit.fuse_backed_to_a or 0.0)
    if circuit.fuse_backed_to_a is not None:
        rows.append((f"  behind the fuse of {circuit.fuse_backed_by}", f"{carried_amps(stands)}, as its maker says"))
    if circuit.short_near_a is None:
        rows.append(("  a short at it draws", "not known: ask the battery's maker"))
    else:
        rows.append(("  a short at it draws at most", f"{amps(circuit.short_near_a)}{_near_how(plan, circuit)}"))
        rows.append(("  left", margin_words(stands - circuit.short_near_a, "A")))
    if circuit.far_fuse_a is not None:
        said = "given" if circuit.far_fuse_given else "chosen as the near one"
        rows.append(("fuse at the far end", f"{amps(circuit.far_fuse_a)}, {said}"))
    if circuit.short_far_a is not None and circuit.fuse_a:
        times, ohm = circuit.short_far_a / circuit.fuse_a, circuit.volts / circuit.short_far_a
        opens = "opens" if times >= TWICE else "opens late" if times >= OPENS_FROM else "need not open"
        inside = (
            "battery and fuse in it" if circuit.short_near_a is not None else "fuse in it, the battery's own not known"
        )
        how = f"{circuit.volts:g} V / {1000 * ohm:.1f} mΩ hot, {inside}"
        rows += [
            (f"a short at the end of {circuit.short_far_run} draws", f"{carried_amps(circuit.short_far_a)} ({how})"),
            (f"  times the fuse ({TWICE:g} asked for)", f"{times:.2f}: it {opens}"),
        ]
        if circuit.short_sure_to_m is not None and times < TWICE:
            rows.append(("  sure to open up to", reach(circuit.short_sure_to_m, plan.rules.units)))
    if circuit.short_through_a2s is not None and circuit.short_stands_a2s is not None:
        through, stands_a2s = circuit.short_through_a2s, circuit.short_stands_a2s
        rows += [
            ("the fuse lets through at most", f"{through:.0f} A²s (ISO 8820)"),
            (f"  {circuit.short_heat_run} stands", f"{stands_a2s:.0f} A²s (k²S², IEC 60364-5-54)"),
            ("  used of it", percent(100.0 * through / stands_a2s)),
        ]
    return rows


def _near_how(plan: Plan, circuit: PlanCircuit) -> str:
    """The greatest short at a fuse as a quotient, where a battery of known resistance drives it."""
    first = next((run for run in plan.runs if run.id == circuit.runs[0]), None)
    if first is None or not circuit.short_near_a:
        return ""
    circuits = {one.id: one for one in plan.circuits}
    head = circuits[way_there(plan, first)[0].circuit].source
    inside = next((one.internal_ohm for one in plan.devices if one.id == head), None)
    if inside is None:
        return ""
    cable_ohm = max(0.0, CHARGING * circuit.volts / circuit.short_near_a - inside)
    cable = f" + {1000 * cable_ohm:.2f} mΩ of cable at least" if cable_ohm > LEAST_OHM else ""
    return f" ({CHARGING * circuit.volts:.3g} V / ({1000 * inside:.2f} mΩ of the battery{cable}))"


def volts_parts(plan: Plan, circuit: PlanCircuit) -> Iterator[Part]:
    """Volts at a circuit's devices, running and while anything starts, against what they need.

    Args:
        plan: the plan.
        circuit: one of its circuits.

    Yields:
        A table, if the plan holds them.
    """
    devices = {device.id: device for device in plan.devices}
    rows: list[tuple[str, ...]] = []
    for name in circuit.loads:
        one = devices.get(name)
        if one is None or one.running_v is None or one.lowest_v is None:
            continue
        when = f" while {devices[one.lowest_when].name} starts" if one.lowest_when in devices else ""
        left = margin_words(one.lowest_v - one.cut_out_v, "V") if one.cut_out_v is not None else "-"
        needs = f"{one.cut_out_v:g} V" if one.cut_out_v is not None else "not known"
        rows.append((one.name, f"{one.running_v:.2f} V", f"{one.lowest_v:.2f} V{when}", needs, left))
    if rows:
        yield table_of("Volts at its devices", ("", "running>", "lowest>", "cuts out below>", "left>"), rows)
        yield clean(f"solved from {circuit.volts:g} V at the source with all that draws in the worst state of the van")
        lost = volts(circuit.worst_drop_v)
        yield clean(f"wires alone lose {lost} at most; a battery's resistance stated in ohms is in the volts above")
