"""The handover pack: what lies where, what protects it, what was tested, and what was not looked at."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.plan import Plan
from ribway.models.plan.unconfirmed import LEGEND, marked, unconfirmed
from ribway.models.printed import Units, length
from ribway.sheets.assumed_list import assumed_list, unplanned_list
from ribway.sheets.circuits_list import fuse_text
from ribway.sheets.csv_file import Value
from ribway.sheets.findings_list import about_text, said
from ribway.sheets.finishing.fuse_map import fuse_map_record
from ribway.sheets.finishing.proving import proving_record
from ribway.sheets.openings_list import used_openings
from ribway.sheets.paper.paper import Paper
from ribway.sheets.paper.record import Field, Grid, Record, Section, blank, tick
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import cable_name, cables_by_id, device_names, device_place, through_text, wall_name
from ribway.sheets.table import LARGE_PT, Table
from ribway.sheets.walls.marking_out import walls_of
from ribway.sheets.walls.no_drill import lines_on, no_drill_pages
from ribway.sheets.walls.view import WALLS
from ribway.sheets.words import GLUE, NOTHING, bare_length, length_unit

_FIRST_CHECK: dict[Units, str] = {
    "metric": "After 1 month, or 1000 km",
    "feet and inches": "After 1 month, or 600 miles",
}
_CHECKS = (
    ("", "tighten all bolted joints to their makers' torque; look at clips and grommets"),
    ("Every year", "tighten bolted joints; warm spots under load; chafing at grommets; smoke and CO alarms"),
    ("Every year", "press the test button of the RCD; each device for shore power looked at by a licensed person"),
    ("After any drilling or accident", "test the runs near it again: the test sheet has what they should show"),
)
"""Common practice, no source; makers' manuals and local codes may ask for more."""
_NOT_CHECKED = (
    "Whether what was built is what was planned: only signed tests and photographs say so.",
    "What lies behind and under the metal where holes are drilled.",
    "Local codes and the vehicle maker's guideline, which come before this plan.",
    "Mains voltage: design, protection and connection, by a licensed person alone.",
    "The devices themselves, and gas, water and heating.",
)


def as_run_record(plan: Plan) -> Record:
    """Every run as it was planned, with room for what was run otherwise.

    Args:
        plan: the plan.
    """
    units = plan.rules.units

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    fields = (
        Field("circuit", "Circuit", weight=0.4, strong=True),
        Field("run", "Run", weight=0.4, strong=True),
        Field("from_to", "From – to", weight=2.0),
        Field("cable", "Cable", weight=0.6),
        Field("fuse", "Fuse", unit="A", weight=0.4),
        Field("one_way_m", "One way", metres, length_unit(units), 0.3, "right"),
        Field("openings", "Openings as planned", weight=2.5),
        tick("Run as planned", "as_planned"),
        blank("Run otherwise: how, why", "otherwise", weight=1.6),
        blank("Photo", "photo", weight=0.2),
    )
    names, cables, still = device_names(plan), cables_by_id(plan), unconfirmed(plan)
    circuits = {one.id: one for one in plan.circuits}
    rows = []
    for run in plan.runs:
        circuit = circuits.get(run.circuit)
        spare = run.purpose == "spare"
        fuse = None
        if circuit is not None and circuit.kind == "dc" and not spare:
            fuse = marked(fuse_text(circuit).replace(GLUE, " "), circuit.id in still.fuses)
        ends = f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"
        rows.append(
            (
                "spare" if spare else run.circuit, run.id, ends, cable_name(cables[run.cable]), fuse, run.one_way_m,
                through_text(plan, run), None, None, None,
            )
        )  # fmt: skip
    return Record("as-run", "Handover: circuits as run", fields, (Section("", tuple(rows)),), (LEGEND,))


def photo_record(plan: Plan) -> Record:
    """The photographs to take before walls are closed, wall by wall.

    Args:
        plan: the plan.
    """
    fields = (
        Field("wall", "Wall", strong=True, weight=0.8),
        Field("picture", "Picture", weight=4.0),
        tick("Taken", "taken"),
        blank("Number", "number"),
    )
    rows = []
    holes = used_openings(plan)
    for wall in dict.fromkeys((*walls_of(plan), *(wall for wall in WALLS if lines_on(plan, wall)))):
        mine = [one.id for one in holes if one.wall == wall]
        runs = len({run.id for run, _ in lines_on(plan, wall)})
        name = wall_name(wall)
        rows.append(
            (name, f"whole, straight on, a tape laid along the floor and one upright: {runs} runs lie here", None, None)
        )
        if mine:
            rows.append((name, f"each hole with its grommet: {', '.join(mine)}", None, None))
    rows += [
        (wall_name(one.wall), f"{one.name}: {_box_words(plan, one.id)}", None, None)
        for one in plan.devices
        if one.kind in ("board", "source")
    ]
    notes = (
        "Before a wall is closed: a picture of what cannot be seen again, with a tape in it and this plan's revision.",
    )
    return Record("photographs", "Handover: photographs", fields, (Section("", tuple(rows)),), notes, LARGE_PT)


def _box_words(plan: Plan, device: str) -> str:
    """How a box is photographed: one with mains in it is not opened for a picture."""
    if any(run.kind == "ac" and device in (run.from_, run.to) for run in plan.runs):
        return "shut, labels readable; only the licensed person opens it"
    return "open, fuses and labels readable"


def isolators_record(plan: Plan) -> Record:
    """Where power is cut off, and when to look at it again.

    Args:
        plan: the plan.
    """
    fields = (
        Field("what", "What", strong=True, weight=1.6),
        Field("where", "Where, or what to do", weight=4.0),
        blank("Isolator, how it is reached", "isolator", weight=1.4),
        blank("Due on", "due_on"),
        blank("Done on", "done_on"),
    )
    places = tuple(
        (f"{one.name} ({one.kind})", device_place(one, plan.rules.units), None, NOTHING, None)
        for one in plan.devices
        if one.kind in ("source", "board", "inverter", "charger")
    )
    checks = tuple((when or _FIRST_CHECK[plan.rules.units], what, NOTHING, None, None) for when, what in _CHECKS)
    sections = (Section("Sources, boxes and whatever else can feed", places), Section("Look again", checks))
    notes = (
        "Re-check dates are common practice, without a source; makers' manuals and local codes may ask for more. Handed over on "
        "____________________: count from there, and write each date beside its line.",
    )
    return Record("isolators", "Handover: isolators and re-checks", fields, sections, notes, LARGE_PT)


def rules_record(plan: Plan) -> Record:
    """The rule sets that the numbers rest on, what is open, and what nobody checked.

    Args:
        plan: the plan.
    """
    fields = (Field("what", "What", strong=True, weight=1.0), Field("said", "As it was taken", weight=4.0))
    rules = plan.rules
    temperature = (
        "the insulation's rated one"
        if rules.conductor_temperature_c is None
        else f"{rules.conductor_temperature_c:g} °C"
    )
    used = (
        ("Sizes", f"rule set: {rules.rule_set}, amperes by {rules.base}, heat in bundles: {rules.derating}"),
        ("AC", f"rule set: {rules.ac_rule_set or rules.rule_set}, for information: a licensed person decides"),
        ("Voltage", f"{rules.volts:g} V nominal"),
        ("Fuses", f"rule: {rules.fuse_rule}; how far from the source: {rules.fuse_distance}"),
        ("Bundles", f"rule: {rules.bundle_rule}"),
        *((("AC cables", f"amperes by {rules.ac_base}, bundles: {rules.ac_bundle_rule}"),) if rules.ac_base else ()),
        (
            "Colours",
            ", ".join(part for part in (rules.dc_colours, rules.ac_colours) if part) or "as the stock has them",
        ),
        ("AC beside DC", rules.ac_dc),
        ("Data beside power", rules.data_power),
        ("Conductor temperature", temperature),
        (
            "Air",
            f"roof {rules.ambient_roof_c:g} °C, walls {rules.ambient_wall_c:g} °C, floor {rules.ambient_floor_c:g} °C"
            + "".join(f", {where} {air:g} °C" for where, air in rules.ambient_outside_c.items()),
        ),
        ("Supports", f"no farther apart than {length(rules.support_spacing_m, rules.units)}"),
        ("Slack", f"{rules.slack_percent:g} %; pieces cut in steps of {length(rules.cut_step_m, rules.units)}"),
        ("Laid", f"{rules.lay}; kept at each terminal: {length(rules.terminal_m, rules.units)}"),
        ("Shell", plan.shell),
    )
    sections = (
        Section("Rules and settings", used),
        Section("Found by the plan itself", tuple(_findings(plan))),
        Section("Not checked", tuple(("not checked", text) for text in _NOT_CHECKED)),
    )
    return Record("rules-used", "Handover: rules used, findings, what was not checked", fields, sections, (), LARGE_PT)


def certificates_record(plan: Plan) -> Record:
    """What is to be attached, signed by whoever may: each line that this van has something of.

    Args:
        plan: the plan.
    """
    fields = (
        Field("what", "Attach", strong=True, weight=2.4),
        Field("by", "Signed by", weight=1.6),
        blank("Number", "number", weight=0.8),
        blank("Date", "date", weight=0.6),
        tick("Attached", "attached"),
    )
    kinds = {one.kind for one in plan.devices}
    wanted: list[tuple[str, str, bool]] = [
        ("Test sheet, every run signed", "whoever tested", True),
        (
            "AC: design, inspection and test of the mains installation",
            "a licensed person",
            any(run.kind == "ac" for run in plan.runs),
        ),
        ("Battery: its maker's data sheet, with its short-circuit current", "its maker", "source" in kinds),
        ("Inverter and chargers: their makers' manuals", "their makers", bool(kinds & {"inverter", "charger"})),
        ("Gas installation, if the van has one: tightness test", "a gas fitter", True),
        ("Vehicle: approval of the conversion where local law asks for it", "the approving body", True),
        ("Fuses, cables, grommets: where they were bought, for a recall", "the shop", True),
    ]
    rows = tuple((what, by, None, None, None) for what, by, due in wanted if due)
    notes = ("Which papers are due depends on where the van is registered (common practice, no source): ask there.",)
    return Record("certificates", "Handover: certificates to attach", fields, (Section("", rows),), notes, LARGE_PT)


def _findings(plan: Plan) -> Iterator[tuple[Value, ...]]:
    for one in plan.findings:
        message, remedy = said(plan, one.message), f": {said(plan, one.remedy)}" if one.remedy else ""
        about = about_text(plan, one.about, one.code.startswith("bundle"))
        yield one.level, f"{about}: {message}{remedy}" if about else f"{message}{remedy}"


def _records(plan: Plan) -> tuple[Record, ...]:
    return (
        isolators_record(plan), fuse_map_record(plan), as_run_record(plan), proving_record(plan), photo_record(plan),
        certificates_record(plan), rules_record(plan),
    )  # fmt: skip


def _tables(plan: Plan, _wishes: Wishes) -> tuple[Table, ...]:
    made = (*(one.table() for one in _records(plan)), assumed_list(plan), unplanned_list(plan))
    return tuple(table for table in made if table.rows)


def _grids(plan: Plan, _wishes: Wishes) -> dict[str, Grid]:
    own = (
        as_run_record(plan), isolators_record(plan), photo_record(plan), certificates_record(plan), rules_record(plan),
    )  # fmt: skip
    return {record.name: record.grid() for record in own}


HANDOVER = Paper("handover", "Handover pack", _tables, _grids, no_drill_pages, in_book=False)
