"""Names: every id is used once, and everything that is named exists. Without this nothing else can be checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.findings import error


def check_references(plan: Plan) -> Iterator[Finding]:
    """Doubled ids, names of nothing, and runs that lack what every run must have."""
    for kind, ids in _ids(plan).items():
        for name, count in Counter(ids).items():
            if count > 1:
                yield error("doubled-id", name, f"{count} {kind} are called {name}")
    known = {kind: set(ids) for kind, ids in _ids(plan).items()}
    for run in plan.runs:
        yield from _run(run, known)
    for circuit in plan.circuits:
        where = f"circuit {circuit.id}"
        yield from _named(where, circuit.id, "devices", (circuit.source, *circuit.loads), known)
        if plan.complete:
            yield from _named(where, circuit.id, "runs", circuit.runs, known)
    for opening in plan.openings:
        yield from _named(f"opening {opening.id}", opening.id, "runs", opening.runs, known)
    for way in plan.ways:
        yield from _named(f"way {way.id}", way.id, "runs", way.runs, known)
        yield from _named(f"way {way.id}", way.id, "openings and ways", way.shares, known)
    for loom in plan.looms:
        inside = [run for section in loom.sections for run in section.runs]
        leaving = [run for breakout in loom.breakouts for run in breakout.runs]
        yield from _named(f"loom {loom.id}", loom.id, "runs", (*loom.runs, *inside, *leaving), known)
    for device in plan.devices:
        yield from _named(f"device {device.id}", device.id, "circuits", device.feeds, known)


def _ids(plan: Plan) -> dict[str, list[str]]:
    return {
        "devices": [one.id for one in plan.devices],
        "circuits": [one.id for one in plan.circuits],
        "runs": [one.id for one in plan.runs],
        "looms": [one.id for one in plan.looms],
        "openings and ways": [one.id for one in plan.openings] + [one.id for one in plan.ways],
        "bays": [one.id for one in plan.bays],
        "cables": [one.id for one in plan.cables],
        "parts": [one.name for one in plan.parts],
    }


def _run(run: PlanRun, known: dict[str, set[str]]) -> Iterator[Finding]:
    where = f"run {run.id}"
    yield from _named(where, run.id, "devices", (run.from_, run.to), known)
    yield from _named(where, run.id, "cables", (run.cable,), known)
    yield from _named(where, run.id, "openings and ways", run.openings, known)
    on_board = any(leg.kind == "board" for leg in run.legs)
    if run.loom or (run.cores > 0 and not on_board):  # only a draw cord, or what lies on a board, may lie in no loom
        yield from _named(where, run.id, "looms", (run.loom,), known)
    if run.circuit:
        yield from _named(where, run.id, "circuits", (run.circuit,), known)
    elif run.purpose != "spare":
        yield error("unknown-name", run.id, f"run {run.id} belongs to no circuit and is no spare")
    if not run.legs or len(run.centreline) < 2 or any(len(leg.points) < 2 for leg in run.legs):
        yield error("no-route", run.id, f"run {run.id} has no legs, a leg without length or no centreline")
    for leg in run.legs:
        if leg.kind == "bay":
            yield from _named(where, run.id, "bays", (leg.name,), known)


def _named(where: str, about: str, kind: str, names: Iterable[str], known: dict[str, set[str]]) -> Iterator[Finding]:
    for name in dict.fromkeys(names):
        if name not in known[kind]:
            yield error("unknown-name", about, f"{where} names {name or 'nothing'}, which is not among the {kind}")
