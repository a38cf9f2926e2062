"""What changed from one plan of a van to a later one, and what that means for pieces that are cut already."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanDevice, PlanRun
from ribway.models.printed import length
from ribway.models.run_numbers import Ends, RunNumber, ends_of, with_runs
from ribway.sheets.csv_file import csv_text, plan_marks
from ribway.sheets.places import device_place
from ribway.units import amps, signed_length

Kind = Literal["added", "gone", "renamed", "longer", "shorter", "resized", "moved", "other ends"]
KINDS: tuple[Kind, ...] = ("added", "gone", "renamed", "other ends", "resized", "longer", "shorter", "moved")
HEADINGS: dict[Kind, str] = {
    "added": "Added",
    "gone": "Gone",
    "renamed": "Named otherwise",
    "other ends": "Between other devices, or fed from the other end",
    "resized": "Resized",
    "longer": "Longer",
    "shorter": "Shorter",
    "moved": "Moved to other openings",
}
_SAME_M = 1e-6


@dataclass(frozen=True)
class RunChange:
    """What one run does otherwise.

    Attributes:
        run: its id.
        kind: what kind of change; a run may have several.
        before: as it was; empty if it was not there.
        after: as it is; empty if it is gone.
        piece: what a piece that is cut already is good for.
    """

    run: str
    kind: Kind
    before: str
    after: str
    piece: str


@dataclass(frozen=True)
class OtherChange:
    """A change that is no run's own: a fuse, a place, a hole."""

    what: str
    before: str
    after: str


def run_changes(old: Plan, new: Plan) -> tuple[RunChange, ...]:
    """Every change of a run, kind by kind.

    Args:
        old: the earlier plan.
        new: the later one; its units are used.

    Returns:
        Changes in the order of `KINDS`, then by run id.
    """
    found = [change for was, now in same_runs(old, new) for change in _of_run(was, now, old, new)]
    return tuple(sorted(found, key=lambda one: (KINDS.index(one.kind), one.run)))


def same_runs(old: Plan, new: Plan) -> tuple[tuple[PlanRun | None, PlanRun | None], ...]:
    """Which run of the later plan is which of the earlier one.

    A run is the same if it joins the same two ends in the same circuit, as the register of run numbers has it, whatever it is
    called; of the others it is the one of the same name.

    Args:
        old: the earlier plan.
        new: the later one.

    Returns:
        Pairs; None where there is no such run.
    """
    before, after = {run.id: run for run in old.runs}, {run.id: run for run in new.runs}
    pairs: list[tuple[PlanRun | None, PlanRun | None]] = []
    for way, own in _by_way(after).items():
        others = _by_way(before).get(way, [])
        if len(own) == len(others) == 1:
            pairs.append((before.pop(others[0].id), after.pop(own[0].id)))
    return (*pairs, *((before.get(id), after.get(id)) for id in sorted({*before, *after})))


def _by_way(runs: Mapping[str, PlanRun]) -> dict[Ends, list[PlanRun]]:
    found: dict[Ends, list[PlanRun]] = {}
    for run in runs.values():
        found.setdefault(ends_of(run.circuit, run.role, run.from_, run.to), []).append(run)
    return found


def renumbered(old: Plan, new: Plan) -> tuple[str, ...]:
    """Runs of the later plan whose number the earlier one, or any before it, gave to another run.

    Args:
        old: the earlier plan.
        new: the later one.

    Returns:
        Their names, in order; none where the later plan was made with the register that the earlier one left.
    """
    zones, before = ({one.id: one.zone for one in plan.devices} for plan in (new, old))
    owner = {name: one for one in with_runs(old.numbers, old.runs, before) for name in one.names}

    def other(run: PlanRun, one: RunNumber) -> bool:
        led = not run.circuit and not one.circuit and zones.get(run.to, "") == one.zone != ""
        return not led and one.identity[0] != ends_of(run.circuit, run.role, run.from_, run.to)

    return tuple(run.id for run in new.runs if run.id in owner and other(run, owner[run.id]))


def other_changes(old: Plan, new: Plan) -> tuple[OtherChange, ...]:
    """Fuses, places of devices, and holes in use that changed.

    Args:
        old: the earlier plan.
        new: the later one.

    Returns:
        Changes: circuits, then devices, then openings, each by id.
    """
    return (*_fuses(old, new), *_places(old, new), *_holes(old, new))


def changes_csv(old: Plan, new: Plan) -> str:
    """The changes of runs as CSV, lengths in SI.

    Args:
        old: the earlier plan.
        new: the later one.

    Returns:
        Header and one line for each change.
    """
    pairs = same_runs(old, new)
    before = {(was if now is None else now).id: was for was, now in pairs if was is not None}
    after = {now.id: now for _, now in pairs if now is not None}
    marks = plan_marks(new)
    columns = ("run", "change", "before", "after", "cut_before_m", "cut_after_m", "piece_already_cut")
    rows = [
        (
            one.run, one.kind, one.before, one.after, before[one.run].cut_m if one.run in before else None,
            after[one.run].cut_m if one.run in after else None, one.piece, *marks.values(),
        )
        for one in run_changes(old, new)
    ]  # fmt: skip
    return csv_text((*columns, *marks), rows)


def _of_run(was: PlanRun | None, now: PlanRun | None, old: Plan, new: Plan) -> Iterator[RunChange]:
    units = new.rules.units
    if was is None and now is not None:
        taken = any(run.id == now.id for run in old.runs)
        piece = f"cut it; {now.id} was another run before: take its old labels off" if taken else "cut it"
        yield RunChange(
            now.id, "added", "", f"{_ends(now, new)}, {_cable(now, new)}, cut {length(now.cut_m, units)}", piece
        )
        return
    if was is not None and now is None:
        yield RunChange(was.id, "gone", f"{_ends(was, old)}, {_cable(was, old)}", "", "keep it for another run")
        return
    if was is None or now is None:
        return
    piece = _piece(was, now, old, new)
    if was.id != now.id:
        yield RunChange(now.id, "renamed", was.id, f"{now.id}: {_ends(now, new)}", f"{piece}: mark its ends anew")
    if (was.from_, was.to) != (now.from_, now.to):
        yield RunChange(now.id, "other ends", _ends(was, old), _ends(now, new), piece)
    if (was.cable, was.pieces) != (now.cable, now.pieces):
        yield RunChange(now.id, "resized", _cable(was, old), _cable(now, new), piece)
    more = now.cut_m - was.cut_m
    if abs(more) > _SAME_M:
        after = f"{length(now.cut_m, units)} ({signed_length(more, units)})"
        yield RunChange(now.id, "longer" if more > 0 else "shorter", f"cut {length(was.cut_m, units)}", after, piece)
    if was.openings != now.openings:
        yield RunChange(now.id, "moved", _through(was), _through(now), piece)


def _piece(was: PlanRun, now: PlanRun, old: Plan, new: Plan) -> str:
    """What the piece that was cut is good for."""
    if (was.cable, was.pieces) != (now.cable, now.pieces):
        return "other cable: cut again"
    if was.cut_m + _SAME_M < now.cut_m:
        return f"too short by {length(now.cut_m - was.cut_m, new.rules.units)}: cut again"
    if (was.from_, was.to) != (now.from_, now.to):
        return "long enough: mark its ends anew"
    return "long enough"


def _ends(run: PlanRun, plan: Plan) -> str:
    names = {one.id: one.name for one in plan.devices}
    return f"{names.get(run.from_, run.from_)} -> {names.get(run.to, run.to)}"


def _cable(run: PlanRun, plan: Plan) -> str:
    name = next((cable.name for cable in plan.cables if cable.id == run.cable), run.cable)
    return f"{run.pieces} of {name}" if run.pieces > 1 else name


def _through(run: PlanRun) -> str:
    return ", ".join(run.openings) or "no opening"


def _fuses(old: Plan, new: Plan) -> Iterator[OtherChange]:
    before, after = {one.id: one for one in old.circuits}, {one.id: one for one in new.circuits}
    for id in sorted({*before, *after}):
        was, now = _fuse(before.get(id)), _fuse(after.get(id))
        if was != now:
            yield OtherChange(f"fuse of {id}", was, now)


def _fuse(circuit: PlanCircuit | None) -> str:
    return "-" if circuit is None else amps(circuit.fuse_a)


def _places(old: Plan, new: Plan) -> Iterator[OtherChange]:
    before, after = {one.id: one for one in old.devices}, {one.id: one for one in new.devices}
    for id in sorted({*before, *after}):
        was, now = before.get(id), after.get(id)
        if was is None or now is None:
            yield OtherChange(f"device {id}", "-" if was is None else was.name, "-" if now is None else now.name)
        elif any(abs(a - b) > 5e-4 for a, b in zip(was.point, now.point, strict=True)) or was.wall != now.wall:
            yield OtherChange(f"place of {now.name}", _place(was, old), _place(now, new))


def _place(device: PlanDevice, plan: Plan) -> str:
    return device_place(device, plan.rules.units)


def _holes(old: Plan, new: Plan) -> Iterator[OtherChange]:
    before = {one.id for one in old.openings if one.runs}
    after = {one.id for one in new.openings if one.runs}
    if after - before:
        yield OtherChange("holes used that were not", "-", ", ".join(sorted(after - before)))
    if before - after:
        yield OtherChange("holes no longer used", ", ".join(sorted(before - after)), "-")
