"""The page's tables of runs: from end to end, and in the order of cutting."""

from __future__ import annotations

from ribway.models.chances import chance_text
from ribway.models.lengths import format_arms
from ribway.models.plan.measuring import TAPED_THROUGH, measured_mark, measured_note
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import marked, unconfirmed
from ribway.models.printed import counted, length
from ribway.models.printed import rounded_up as up
from ribway.viewer.report.table import BLANK, Column, Row, Table, cell
from ribway.viewer.report.words import ASSUMED_NOTE, NOTHING, device_spot, names_of, typeset

KINDS = {"dc": "DC", "ac": "AC", "data": "data"}


def kind_word(run: PlanRun) -> str:
    """What a run is: DC, AC, data or spare."""
    return "spare" if run.purpose == "spare" else KINDS[run.kind]


def cable_text(run: PlanRun, cables: dict[str, PlanCable]) -> str:
    """How many of which cable."""
    name = typeset(cables[run.cable].name if run.cable in cables else run.cable)
    return f"{run.pieces} × {name}" if run.pieces > 1 else name


def loop_ohms(run: PlanRun, cables: dict[str, PlanCable]) -> float | None:
    """Resistance there and back at 20 °C, which a meter should show with the far end joined.

    Args:
        run: the run.
        cables: the plan's stock by id.

    Returns:
        2 x cut length x resistance of one conductor per metre [ohm]; None where no current goes there and back.
    """
    cable = cables.get(run.cable)
    if cable is None or run.kind == "data" or run.cores < 2 or cable.ohm_per_m_20c <= 0.0:
        return None
    return 2.0 * run.cut_m * cable.ohm_per_m_20c


def runs_table(plan: Plan) -> Table:
    """Every run: its ends, cable, three lengths, way and drop, with room for what is measured.

    Args:
        plan: the plan.

    Returns:
        One row for each run, in the plan's order.
    """
    units, names = plan.rules.units, names_of(plan)
    spots = {device.id: device_spot(device, units) for device in plan.devices}
    cables, still = {cable.id: cable for cable in plan.cables}, unconfirmed(plan)
    columns = (
        Column("Run", show="always", strong=True),
        Column("From", show="always"),
        Column("To", show="always"),
        Column("Cable", show="always"),
        Column("Cut length", "number", show="always", strong=True),
        Column("One way", "number"),
        Column("There and back", "number"),
        Column("Through"),
        Column("Loom"),
        Column("Drop", "number"),
        Column("Ω there and back", "number"),
        Column("Ω found", "entry", note="ohms found", hint="Ω"),
        Column("Length as run", "entry", note="length as run", hint="m" if units == "metric" else "ft in"),
        Column("Done", "tick", show="always", note="done"),
    )

    def end(device: str) -> str:
        name = marked(names.get(device, device), device in still.places)
        return f"{name}\n{spots.get(device, '')}".strip()

    def row(run: PlanRun) -> Row:
        ohms = loop_ohms(run, cables)
        routed = bool(run.centreline)
        dropping = run.kind != "data" and run.purpose != "spare"
        return Row(
            run.id,
            (
                cell(run.id),
                cell(end(run.from_)),
                cell(end(run.to)),
                cell(
                    f"{marked(cable_text(run, cables), run.cable in still.cables)}\n{kind_word(run)}",
                    run.conductor_area_mm2,
                ),
                cell(length(run.cut_m, units) if routed else "no route", run.cut_m),
                cell(length(run.one_way_m, units) if routed else NOTHING, run.one_way_m),
                cell(length(run.there_and_back_m, units) if ohms is not None else NOTHING, run.there_and_back_m),
                cell(_through(run, still.holes), len(run.openings)),
                cell(run.loom or NOTHING),
                cell(f"{up(run.drop_percent, 2)} %" if dropping else NOTHING, run.drop_percent if dropping else -1.0),
                cell(up(ohms, 3) if ohms is not None else NOTHING, -1.0 if ohms is None else ohms),
                BLANK,
                BLANK,
                BLANK,
            ),
            runs=(run.id,),
        )

    notes = (
        "Cut length is what one piece is cut to, both tails in it; one way is the path from device to device with its "
        "slack; there and back is twice that. Each is rounded up.",
        measured_note(plan),
        "Ω there and back: the cut cable's two conductors at 20 °C, joined at the far end, without joints and fuses.",
        ASSUMED_NOTE,
    )
    return Table("runs", "Runs", columns, tuple(row(run) for run in plan.runs), notes)


def _through(run: PlanRun, unmeasured: frozenset[str]) -> str:
    """What a run passes, and its bends; nothing is known of either where it was taped."""
    if run.measured == "taped":
        return TAPED_THROUGH
    named = "by hand: " if run.measured == "by hand" else ""
    names = ", ".join(marked(name, name in unmeasured) for name in run.openings)
    return f"{named}{names or NOTHING}\n{counted(run.bends, 'bend')}"


def cutting_order(plan: Plan) -> tuple[PlanRun, ...]:
    """Routed runs in the order of cutting: the thickest copper first, and of each cable the longest piece first.

    Args:
        plan: the plan.

    Returns:
        The runs; what is left of a reel is then still long enough for what comes next.
    """
    stock = {cable.id: (-cable.area_mm2, -cable.cores, cable.id) for cable in plan.cables}
    last = (1.0, 0, "")
    routed = [run for run in plan.runs if run.centreline]
    return tuple(sorted(routed, key=lambda run: (stock.get(run.cable, last), run.cable, -run.cut_m, run.id)))


def cut_table(plan: Plan) -> Table:
    """What to cut, in the order of cutting.

    Args:
        plan: the plan.

    Returns:
        One row for each routed run.
    """
    units, names = plan.rules.units, names_of(plan)
    cables, still = {cable.id: cable for cable in plan.cables}, unconfirmed(plan)
    columns = (
        Column("Run", show="always", strong=True),
        Column("No.", "number"),
        Column("Cable", show="always"),
        Column("Pieces", "number", show="always"),
        Column("Cut each to", "number", show="always", strong=True),
        Column("In arms", "number"),
        Column("From – to"),
        Column("Template"),
        Column("Chance it is short", "number"),
        Column("Cut", "tick", show="always", note="cut"),
        Column("Ends marked", "tick", show="always", note="ends marked"),
    )

    def row(number: int, run: PlanRun) -> Row:
        name = typeset(cables[run.cable].name if run.cable in cables else run.cable)
        return Row(
            run.id,
            (
                cell(run.id),
                cell(str(number), number),
                cell(marked(name, run.cable in still.cables), run.conductor_area_mm2),
                cell(str(run.pieces), run.pieces),
                cell(length(run.cut_m, units), run.cut_m),
                cell(format_arms(run.cut_m, plan.rules.arm_m), run.cut_m),
                cell(f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}{measured_mark(run)}"),
                cell("on the van" if run.cut_to_template else ""),
                cell(chance_text(run.short_chance, NOTHING), run.short_chance),
                BLANK,
                BLANK,
            ),
            runs=(run.id,),
        )

    notes = (
        f"Longest piece of each cable first. One arm is {length(plan.rules.arm_m, units)}. Where it says on the van, "
        "lay a template cord along the way and cut to that: the length here is an estimate to buy by. Chance it is short: "
        "that the stated errors of what was measured add up to more than its slack and tails; see Measure next.",
        measured_note(plan),
        ASSUMED_NOTE,
    )
    rows = tuple(row(number, run) for number, run in enumerate(cutting_order(plan), start=1))
    return Table("cuts", "Cut list", columns, rows, notes)
