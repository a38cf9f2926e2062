"""Numbers of runs kept when a plan leaves the machine: written into the register, and told in a few words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ribway.models.numbers_file import NotKeptError, keep_numbers, numbers_file, read_numbers
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted
from ribway.models.project_faults import ProjectFaults
from ribway.models.run_numbers import RunNumber
from ribway.speech import say


@dataclass(frozen=True)
class Kept:
    """What came of it.

    Args:
        told: what is new, a sentence each.
        trouble: why the numbers could not be kept; empty if they are.
    """

    told: tuple[str, ...] = ()
    trouble: str = ""


def keep(project: Path, plan: Plan) -> Kept:
    """Write the numbers of a plan's runs into the register beside its project; nothing if the plan is not complete.

    Args:
        project: the project file.
        plan: a plan that was made of it.
    """
    if not plan.complete:
        return Kept()
    try:
        before = {name: one for one in read_numbers(project) for name in one.names}
        fresh = keep_numbers(project, plan.numbers)
    except NotKeptError as error:
        return Kept(trouble=str(error))
    except ProjectFaults as error:
        return Kept(trouble="\n".join(map(str, error.faults)))
    new = tuple(one for one in fresh if one.run not in before)
    led = tuple(one for one in fresh if one.run in before and before[one.run].identity != one.identity)
    told = [f"{one.run} leads to {one.to} now, and is called as before" for one in led]
    if new:
        names = ", ".join(one.run for one in new[:8]) + (", ..." if len(new) > 8 else "")
        told.insert(0, f"{counted(len(new), 'new number')} kept in {numbers_file(project).name}: {names}")
    return Kept((*told, *_renamed(plan, new)))


def _renamed(plan: Plan, fresh: tuple[RunNumber, ...]) -> Iterator[str]:
    """New runs that may be earlier ones under another id of a device or circuit: only a person knows."""
    devices, circuits = {one.id for one in plan.devices}, {one.id for one in plan.circuits}
    old = [one for one in plan.numbers if one not in fresh]
    for new in fresh:
        for was in old:
            gone = {was.from_, was.to} - devices
            other = {new.from_, new.to} - {was.from_, was.to}
            device = was.circuit == new.circuit and len(gone) == len(other) == 1
            circuit = was.circuit and was.circuit not in circuits and {was.from_, was.to} == {new.from_, new.to}
            if was.role == new.role and (device or circuit):
                before, after = (was.circuit, new.circuit) if circuit else (min(gone), min(other))
                yield (
                    f"if {after} is only another id for {before}, write it in the line of {was.run} and take the line of "
                    f"{new.run} out: then the run is called {was.run} as before"
                )
                break


def tell_numbers(project: Path, plan: Plan, written: bool) -> None:
    """Keep the numbers of a plan's runs where it was written, and print what is new or why it could not be done.

    Args:
        project: the project file.
        plan: a plan that was made of it.
        written: whether it was written; one that was only shown gives no numbers, and says so where some were given before.
    """
    if written:
        kept = keep(project, plan)
        for sentence in kept.told:
            print(sentence)
        if kept.trouble:
            say(kept.trouble)
        return
    known = {name for one in read_numbers(project) for name in one.names}
    fresh = [one.run for one in plan.numbers if one.run not in known]
    if known and fresh and plan.complete:
        print(f"not in {numbers_file(project).name} before: {', '.join(fresh)}; --out writes the plan and keeps them")
