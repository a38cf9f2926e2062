"""Where the volts go from the source to the end of a run: cable by cable, with what they are reckoned from."""

from __future__ import annotations

from collections.abc import Iterator

from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.units import si_length

ALPHA_PER_K = {"copper": 0.00393, "copper-clad aluminium": 0.00405, "aluminium": 0.00403}
"""IEC 60028; ASTM B566; IEC 60889."""
LEAST_SHOWN_V = 0.0005
NEGATIVES = frozenset({"bond", "shared negative"})
SPARE = "spare"


def way_there(plan: Plan, run: PlanRun) -> list[PlanRun]:
    """Runs from the head of everything to a run, it at the end.

    Args:
        plan: the plan.
        run: one of its runs.
    """
    found = [run]
    while (above := _fed_by(plan, found[0])) is not None and above not in found:
        found.insert(0, above)
    return found


def _fed_by(plan: Plan, run: PlanRun) -> PlanRun | None:
    circuits = {circuit.id: circuit for circuit in plan.circuits}
    own = circuits[run.circuit]
    before = [one for one in plan.runs if one.circuit == own.id and one.to == run.from_ and one.id != run.id]
    if before:
        return before[0]
    # What only leads back is reckoned by itself: its circuits' volts count it, not the other way round.
    if run.from_ != own.source or own.pattern in NEGATIVES or _makes_its_own(plan, own):
        return None
    feeders = [one for one in plan.circuits if own.source in one.loads and one.kind == own.kind and one.id != own.id]
    ids = {one.id for one in feeders if one.pattern not in NEGATIVES}
    return next((one for one in plan.runs if one.circuit in ids and one.to == own.source), None)


def _makes_its_own(plan: Plan, circuit: PlanCircuit) -> bool:
    kinds = {device.id: device.kind for device in plan.devices}
    return kinds.get(circuit.source) in ("source", "inverter", "charger")


def lost_parts(plan: Plan, run: PlanRun, circuit: PlanCircuit) -> Iterator[Table | str]:
    """The volts lost on the way to a run's end, cable by cable.

    Args:
        plan: the plan.
        run: one of its runs that carries power.
        circuit: its circuit.

    Yields:
        A table, and the formula behind it with its source.
    """
    cables = {cable.id: cable for cable in plan.cables}
    rows: list[tuple[str, ...]] = []
    lost_v = 0.0
    for one in way_there(plan, run):
        if one.copper_c is None:
            return
        hot, cores = _hot_ohm_per_m(cables[one.cable], one.copper_c), _in_line(one)
        own_v = cores * one.cut_m * hot * one.design_a
        lost_v += own_v
        how = f"{cores} x {si_length(one.cut_m, plan.rules.units)} x {1000 * hot:.3f} mΩ/m x {one.design_a:g} A"
        rows.append((one.id, one.size_name, f"{one.copper_c:g} °C", how, f"{own_v:.3f} V", f"{lost_v:.3f} V"))
    rest_v = run.drop_v - lost_v
    if rest_v > LEAST_SHOWN_V:
        by = f"back by {circuit.negative}, " if circuit.negative else ""
        rows.append(
            ("", "", "", f"{by}contacts, body, what shares the way back", f"{rest_v:.3f} V", f"{run.drop_v:.3f} V")
        )
    columns = ("run", "size", "copper at", "conductors in line x length x resistance x current", "lost>", "so far>")
    yield table_of("Where the volts go", columns, rows)
    cable = cables[run.cable]
    yield clean(
        f"Ohm's law; hot copper: {1000 * cable.ohm_per_m_20c:.3f} mΩ/m at 20 °C x (1 + {ALPHA_PER_K[cable.metal]} x "
        f"({run.copper_c:g} - 20)) = {1000 * _hot_ohm_per_m(cable, run.copper_c or 20.0):.3f} mΩ/m (IEC 60028); "
        f"{_resistance_source(cable)}"
    )


def _hot_ohm_per_m(cable: PlanCable, celsius: float) -> float:
    return cable.ohm_per_m_20c * (1.0 + ALPHA_PER_K[cable.metal] * (celsius - 20.0))


def _in_line(run: PlanRun) -> int:
    used = [function for function in run.wire_functions if function != SPARE]
    return 1 if len(used) == 1 else 2


def _resistance_source(cable: PlanCable) -> str:
    if cable.held:
        return f"the reel is no {cable.name}: {cable.held}"
    if cable.system == "metric":
        return "at 20 °C the greatest that IEC 60228 class 5 allows"
    if cable.system == "sae":
        return "at 20 °C NEC chapter 9 table 8 by the smaller SAE area"
    return "at 20 °C NEC chapter 9 table 8, by its true area"
