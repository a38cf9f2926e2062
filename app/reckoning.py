"""The whole reckoning behind a size and a fuse: figures in, formula, source, and what is left to each limit."""

from __future__ import annotations

from collections.abc import Iterator

from rich.padding import Padding
from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.units import amps, carried_amps, volts

Part = Table | str | Padding
ALPHA_PER_K = 0.00393


def margin_words(value: float, unit: str) -> str:
    """What is left to a limit; none left is said in words, not hidden in a sign.

    Args:
        value: what is left; negative beyond the limit.
        unit: of it.
    """
    return f"{value:.2f} {unit}" if value >= 0 else f"none: {-value:.2f} {unit} beyond the limit"


def reckoning_parts(plan: Plan, run: PlanRun, cable: PlanCable, circuit: PlanCircuit) -> Iterator[Part]:
    """How a run's amperes and drop came about, and every limit that it was held against.

    Args:
        plan: the plan.
        run: one of its runs that carries power.
        cable: its cable.
        circuit: its circuit.

    Yields:
        Tables and lines of text; nothing where the plan does not hold them.
    """
    if run.table_a is not None and run.factors:
        rows = [("table", f"{run.table_a:g}", "", carried_amps(run.table_a), run.table_says)]
        rows += [
            (one.name, f"{one.before_a:g}", f"x {one.value:.3f}", carried_amps(one.after_a), one.because)
            for one in run.factors
        ]
        rules = plan.rules
        yield table_of("What it may carry, factor by factor", ("", "from>", "factor>", "leaves>", "because"), rows)
        yield clean(f"rule set {rules.rule_set}; table {rules.base}; a bundle takes away by: {rules.derating}")
    if run.copper_c is not None:
        cold = cable.ohm_per_m_20c
        hot = cold * (1.0 + ALPHA_PER_K * (run.copper_c - 20.0))
        own = 2.0 * run.cut_m * hot * run.design_a
        yield clean(
            f"resistance: {1000 * cold:.3f} mΩ/m at 20 °C x (1 + {ALPHA_PER_K} x ({run.copper_c:g} - 20)) = "
            f"{1000 * hot:.3f} mΩ/m (IEC 60028)"
        )
        yield clean(
            f"lost in this run: 2 x {run.cut_m:.2f} m x {1000 * hot:.3f} mΩ/m x {run.design_a:g} A = {own:.3f} V (Ohm)"
        )
        if run.loss_w is not None:
            day = f", {run.loss_wh_per_day:.1f} Wh a day" if run.loss_wh_per_day is not None else ""
            yield clean(f"heat in it: {run.loss_w:.2f} W{day}")
    if run.price is not None:
        yield clean(f"price of the cable: {run.price:.2f}")
    if run.limits:
        rows = [
            (
                one.name,
                f"{one.value:.4g} {one.unit}",
                f"{one.sense} {one.bound:.4g} {one.unit}",
                margin_words(one.margin, one.unit),
                one.says,
            )
            for one in run.limits
        ]
        yield table_of("Every limit", ("", "found>", "allowed>", "left>", ""), rows)
    if run.limits and circuit.kind == "ac":
        yield "for information only: a licensed person designs, connects and tests AC"


def protection_rows(circuit: PlanCircuit) -> list[tuple[str, str]]:
    """What a circuit's fuse has to break, and whether a short at the far end opens it.

    Args:
        circuit: one of the plan's circuits.

    Returns:
        Rows of a table; none where the plan does not hold them.
    """
    if not circuit.fuse_kind:
        return []
    breaks = carried_amps(circuit.fuse_breaks_a)
    near = amps(circuit.short_near_a) if circuit.short_near_a is not None else "not known: ask the battery's maker"
    rows = [
        ("kind of fuse", circuit.fuse_kind),
        ("  breaks", f"{breaks}, {'as its maker says' if circuit.fuse_breaks_given else 'as usual for its kind'}"),
        ("  a short at it draws", near),
    ]
    stands = max(circuit.fuse_breaks_a or 0.0, circuit.fuse_backed_to_a or 0.0)
    if circuit.fuse_backed_to_a is not None:
        rows.append((f"  behind the fuse of {circuit.fuse_backed_by}", f"{carried_amps(stands)}, as its maker says"))
    if circuit.short_near_a is not None:
        rows.append(("  margin", margin_words(stands - circuit.short_near_a, "A")))
    if circuit.far_fuse_a is not None:
        said = "given" if circuit.far_fuse_given else "chosen as the near one"
        rows.append(("fuse at the far end", f"{amps(circuit.far_fuse_a)}, {said}"))
    if circuit.short_far_a is not None and circuit.fuse_a:
        times = circuit.short_far_a / circuit.fuse_a
        rows += [
            (f"a short at the end of {circuit.short_far_run} draws", carried_amps(circuit.short_far_a)),
            ("  times the fuse (2 asked for)", f"{times:.2f}"),
        ]
        if circuit.short_sure_to_m is not None and times < 2.0:
            rows.append(("  sure to open up to", f"{circuit.short_sure_to_m:.2f} m"))
    return rows


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
