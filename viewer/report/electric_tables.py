"""The page's tables of what is solved and stated about power: ways of boards, volts at each device."""

from __future__ import annotations

from ribway.models.plan.electric import PlanBoard
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanDevice
from ribway.models.plan.unconfirmed import marked, unconfirmed
from ribway.models.printed import rounded_down as down
from ribway.models.printed import rounded_up as up
from ribway.viewer.report.table import BLANK, Cell, Column, Row, Table, cell
from ribway.viewer.report.words import ASSUMED_NOTE, NOTHING, device_spot, names_of


def fuse_cell(circuit: PlanCircuit, assumed: bool) -> Cell:
    """A circuit's fuse with its kind below; AC and data have none that the plan chose."""
    if circuit.fuse_a is None:
        return cell("NONE FITS" if circuit.kind == "dc" else NOTHING, 0.0)
    stated = " stated" if circuit.fuse_given else ""
    kind = f"\n{circuit.fuse_kind}" if circuit.fuse_kind else ""
    return cell(f"{marked(f'{circuit.fuse_a:g} A', assumed)}{stated}{kind}", circuit.fuse_a)


def boards_table(plan: Plan) -> Table:
    """The ways of fuse boards, the spare ones among them.

    Args:
        plan: the plan.

    Returns:
        One row for each way of each board whose ways were stated.
    """
    columns = (
        Column("Way", show="always", strong=True),
        Column("Circuit", show="always", strong=True),
        Column("What it feeds", show="always"),
        Column("Fuse", "number", show="always", strong=True),
        Column("Draws", "number"),
        Column("A way bears", "number"),
        Column("Amps found", "entry", note="amps found", hint="A"),
        Column("Labelled", "tick", show="always", note="labelled"),
    )
    names, assumed = names_of(plan), unconfirmed(plan).fuses
    circuits = {one.id: one for one in plan.circuits}

    def row(board: PlanBoard, way: int) -> Row:
        name = names.get(board.id, board.id)
        head = cell(f"{name} {way}", way)
        bears = cell(f"{down(board.amps_per_way, 1)} A", board.amps_per_way)
        taken = next((one.circuit for one in board.circuits if one.way == way), "")
        if taken not in circuits:
            return Row(f"{board.id} {way}", (head, cell(taken or "spare"), cell(NOTHING), cell(NOTHING, 0.0),
                                             cell(NOTHING, 0.0), bears, BLANK, BLANK))  # fmt: skip
        circuit = circuits[taken]
        cells = (
            head, cell(circuit.id), cell(circuit.name), fuse_cell(circuit, circuit.id in assumed),
            cell(f"{up(circuit.design_a, 1)} A", circuit.design_a), bears, BLANK, BLANK,
        )  # fmt: skip
        return Row(f"{board.id} {way}", cells, runs=circuit.runs)

    rows = tuple(row(board, way) for board in plan.boards for way in range(1, board.ways + 1))
    notes = (*(_board_note(names.get(board.id, board.id), board) for board in plan.boards), ASSUMED_NOTE)
    return Table("boards", "Boards", columns, rows, notes)


def _board_note(name: str, board: PlanBoard) -> str:
    total = "" if board.amps_total is None else f" of {down(board.amps_total, 1)} A that it may carry"
    return f"{name}: {board.used} of {board.ways} ways used, {board.spare} spare; draws {up(board.amps, 1)} A at once{total}."


def volts_table(plan: Plan) -> Table:
    """Volts at every device, as the van's network was solved.

    Args:
        plan: the plan.

    Returns:
        One row for each device whose volts were solved; those that come nearest to switching off first.
    """
    columns = (
        Column("Device", show="always", strong=True),
        Column("Where"),
        Column("Fed by"),
        Column("With all running", "number", show="always", strong=True),
        Column("Lowest", "number", show="always"),
        Column("Lowest while"),
        Column("Switches off below", "number"),
        Column("Volts found", "entry", show="always", note="volts found", hint="V"),
    )
    names, units = names_of(plan), plan.rules.units

    def row(one: PlanDevice) -> Row:
        fed = [circuit for circuit in plan.circuits if one.id in circuit.loads and circuit.kind != "data"]
        running = one.running_v if one.running_v is not None else 0.0
        lowest = running if one.lowest_v is None else one.lowest_v
        when = f"{names.get(one.lowest_when, one.lowest_when)} starts" if one.lowest_when else "all run"
        cells = (
            cell(one.name or one.id),
            cell(device_spot(one, units)),
            cell(", ".join(circuit.id for circuit in fed) or NOTHING),
            cell(f"{down(running, 2)} V", running),
            cell(f"{down(lowest, 2)} V", lowest),
            cell(when),
            cell(NOTHING if one.cut_out_v is None else f"{up(one.cut_out_v, 2)} V", one.cut_out_v or 0.0),
            BLANK,
        )
        return Row(one.id, cells, runs=tuple(run.id for run in plan.runs if one.id in (run.from_, run.to)))

    solved = sorted((one for one in plan.devices if one.running_v is not None), key=_spare)
    notes = (
        "Solved for the whole van at once, hot copper, feeds and returns with it; rounded down. Lowest: the least while one "
        "thing starts and all others run.",
    )
    return Table("volts", "Volts", columns, tuple(row(one) for one in solved), notes)


def _spare(one: PlanDevice) -> tuple[float, str]:
    """How far a device is from switching off [V]; those that nobody knows of last."""
    known = one.lowest_v is not None and one.cut_out_v is not None
    return ((one.lowest_v or 0.0) - (one.cut_out_v or 0.0) if known else 1e9), one.id
