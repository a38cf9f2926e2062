"""Which way of which box each DC circuit has: the same on the fuse map, on labels and on the wire list."""

from __future__ import annotations

from ribway.models.circuits import NEGATIVES
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.sheets.buying.parts import BOTH_ENDS
from ribway.sheets.words import glued

Ways = dict[int, tuple[PlanCircuit, str]]


def fuse_ways(plan: Plan) -> dict[str, Ways]:
    """Every DC circuit at the box or source that it is fed from, by its way there.

    Args:
        plan: the plan.

    Returns:
        For each such device its ways in use: on a board whose ways are stated, those; else numbered in the plan's order. With
        each the circuit, its fuse as it is there, and what the circuit is called there.
    """
    both = {one.about for one in plan.findings if one.code == BOTH_ENDS}
    boxes: dict[str, list[tuple[PlanCircuit, str]]] = {}
    for circuit in plan.circuits:
        if circuit.kind == "dc" and circuit.pattern not in NEGATIVES:
            boxes.setdefault(circuit.source, []).append((circuit, circuit.name))
            for load in circuit.loads if circuit.id in both else ():
                far = circuit.model_copy(update={"fuse_a": circuit.far_fuse_a or circuit.fuse_a})
                boxes.setdefault(load, []).append((far, f"{circuit.name} (second fuse, this end)"))
    return {device: _numbered(plan, device, own) for device, own in boxes.items()}


def _numbered(plan: Plan, device: str, own: list[tuple[PlanCircuit, str]]) -> Ways:
    places = {one.circuit: one.way for board in plan.boards if board.id == device for one in board.circuits}
    ways = {places.get(circuit.id, number): (circuit, words) for number, (circuit, words) in enumerate(own, start=1)}
    # a circuit without a way of its own on a board whose ways are given
    return ways if len(ways) == len(own) else dict(enumerate(own, start=1))


def runs_at(plan: Plan, circuit: PlanCircuit, device: str) -> tuple[str, ...]:
    """The runs of a circuit that end at a device: what goes on its way there."""
    return tuple(run.id for run in plan.runs if run.circuit == circuit.id and device in (run.from_, run.to))


def way_text(plan: Plan, run: PlanRun, end: str) -> str:
    """The way that a run goes on at one of its devices: ``way 3``; empty where that is no fuse board or does not feed it."""
    if run.purpose == "spare" or next((one.kind for one in plan.devices if one.id == end), "") != "board":
        return ""
    return next(
        (glued(f"way {way}") for way, (one, _) in fuse_ways(plan).get(end, {}).items() if one.id == run.circuit), ""
    )
