"""The wire list: every run from end to end, with its three lengths kept apart."""

from __future__ import annotations

from ribway.models.colours.conventions import SPARE_CORE
from ribway.models.plan.measuring import measured_note
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import LEGEND
from ribway.sheets.places import cable_text, cables_by_id, end_text, measured_from, through_text
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.terminals import UNSAID, terminal_at
from ribway.sheets.ways import way_text
from ribway.sheets.words import NOTHING, bare_length, glued, length_unit

ONE_WAY = "One way"
THERE_AND_BACK = "There and back"
CUT_LENGTH = "Cut length"
TAILS = "Tails in it, from / to"

_KIND_WORDS = {"dc": "DC", "ac": "AC", "data": "data"}
_TYPE_PT = 9.0


def wire_list(plan: Plan) -> Table:
    """Every run: its ends, its cable, its lengths and what it passes.

    Args:
        plan: the plan.

    Returns:
        One row for each run, mains first, spares last.
    """
    unit = length_unit(plan.rules.units)
    place = f"place in {unit}" if unit else ""
    columns = (
        Column("Run", weight=0.2, strong=True),
        Column("From", place, weight=6.0),
        Column("To", place, weight=6.0),
        Column("Kind", weight=0.2),
        Column("Cable", weight=1.0),
        Column(ONE_WAY, unit, weight=0.3, align="right"),
        Column(THERE_AND_BACK, unit, weight=0.3, align="right"),
        Column(CUT_LENGTH, unit, weight=0.4, align="right", strong=True),
        Column("Openings in order", weight=2.4),
        Column("Loom", weight=0.2, align="centre"),
        Column(TAILS, unit, weight=2.0, align="centre"),
        Column("Done", weight=0.0, align="box"),
    )
    groups = groups_of(
        Group("Mains", _rows(plan, [run for run in plan.runs if run.purpose == "main"])),
        Group("Circuits, DC", _rows(plan, _circuit_runs(plan, "dc"))),
        Group("Circuits, AC: to be connected by a licensed person", _rows(plan, _circuit_runs(plan, "ac"))),
        Group("Data", _rows(plan, _circuit_runs(plan, "data"))),
        Group("Spares", _rows(plan, [run for run in plan.runs if run.purpose == "spare"])),
    )
    notes = (
        "One way is the path from device to device with its slack, without tails. There and back is twice that: what "
        "the current travels. Cut length is what one piece is cut to, both tails in it. Each is rounded up. Lead: a "
        "maker's lead, which is never cut.",
        f"Colours stand below the cable (DC {plan.rules.dc_colours or 'as stated'}, AC "
        f"{plan.rules.ac_colours or 'as stated'}); where the reel's cores have others, sleeve them at both ends.",
        measured_note(plan),
        f"Place: the wall, then two measures. {measured_from(plan)}",
        UNSAID,
        LEGEND,
    )
    return Table("Wire list", columns, groups, notes, _TYPE_PT)


def has_there_and_back(run: PlanRun, cores: int) -> bool:
    """Whether current goes there and back in a run: not in data cables, and not in a draw cord.

    Args:
        run: the run.
        cores: conductors of its cable.
    """
    return run.kind != "data" and cores > 0


def colours_text(run: PlanRun) -> str:
    """Colours of a run's conductors; conductors that nothing needs are left out.

    Args:
        run: the run.
    """
    return " / ".join(colour for colour in run.wire_colours if colour != SPARE_CORE)


def kind_word(run: PlanRun) -> str:
    """What a run is, as the wire list says it."""
    word = "spare" if run.purpose == "spare" else _KIND_WORDS[run.kind]
    return word if run.role == "feed" else f"{word}\n{run.role}"


def _circuit_runs(plan: Plan, kind: str) -> list[PlanRun]:
    return [run for run in plan.runs if run.purpose == "circuit" and run.kind == kind]


def _rows(plan: Plan, runs: list[PlanRun]) -> tuple[Row, ...]:
    return tuple(_row(plan, run) for run in runs)


def _row(plan: Plan, run: PlanRun) -> Row:
    units = plan.rules.units
    cable = cables_by_id(plan)[run.cable]
    return (
        run.id,
        _end(plan, run, run.from_),
        _end(plan, run, run.to),
        kind_word(run),
        f"{cable_text(run, cable, units)}\n{colours_text(run)}".rstrip(),
        bare_length(run.one_way_m, units),
        bare_length(run.there_and_back_m, units) if has_there_and_back(run, cable.cores) else NOTHING,
        bare_length(run.cut_m, units)
        if run.fixed_length_m is None
        else f"lead {bare_length(run.fixed_length_m, units)}",
        through_text(plan, run),
        run.loom or NOTHING,
        f"{glued(bare_length(run.tail_a_m, units) + ' /')} {bare_length(run.tail_b_m, units)}",
        "",
    )


def _end(plan: Plan, run: PlanRun, end: str) -> str:
    """A device with the way of its board, where it is, and what goes on the wires there."""
    name, *where = end_text(plan, end).split("\n")
    way = way_text(plan, run, end)
    return "\n".join((f"{name}, {way}" if way else name, *where, glued(terminal_at(plan, run, end)))).rstrip()
