"""``ribway compare``: the base and all its alternatives planned and set side by side."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from ribway.comparison import comparison_csv, lines_of
from ribway.comparison_tables import comparison_parts
from ribway.console import clean, make_console
from ribway.many_plans import planned_all
from ribway.models.alternatives import read_all
from ribway.models.file_kinds import PLAN_FILE
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import project_file
from ribway.other_shops import suppositions
from ribway.other_ways import other_plans_of, other_plans_words, plans_with
from ribway.outputs import check_folder, publish
from ribway.planning import plan_checked, told_by_file
from ribway.saved_plans import MOST_PLANS
from ribway.speech import GOOD, NO_SAFE_PLAN, say

_WIDTH = 100
_ONLY_IN = "in the alternative"


def run(args: argparse.Namespace) -> int:
    """Plan and compare.

    Args:
        args: ``project``, ``out``, ``runs``, ``sizes``, ``volts``, ``others``, ``differ``, ``within``.

    Returns:
        The exit code: no safe plan only if none of them is complete.
    """
    if args.out is not None:
        check_folder(args.out)
    file = project_file(args.project)
    base = read_all(file)[0]
    supposed, notes = suppositions(base, args.sizes, args.volts)
    plans, faults = (*plans_of(file),), []
    for name, project in supposed.items():
        try:
            plans = (*plans, plan_checked(project, file, name))
        except ProjectFaults as error:
            faults += [f"{name} was not planned: {fault}" for fault in error.faults]
    others = other_plans_of(file, args.others, args.differ, args.within) if args.others else ()
    plans = plans_with(plans, others)
    if args.out is not None:
        publish(args.out, lambda folder: write_comparison(plans, folder))
    console = make_console()
    for part in comparison_parts(plans, args.runs):
        console.print(part)
    for said in (*notes, *other_plans_words(others, args.others, plans[0].rules.units)):
        console.print(clean(said))
    if args.out is not None:
        print(f"written to {args.out}")
    for plan in plans:
        if not plan.complete:
            say(f"{args.project}: {plan.alternative or 'the base'} is not complete: its figures lack something")
    for told in faults:
        say(told)
    return GOOD if any(plan.complete for plan in plans) else NO_SAFE_PLAN


def plans_of(file: Path) -> tuple[Plan, ...]:
    """Plan a project and all its alternatives; the faults of all of them are found before any is told.

    Args:
        file: the project file.

    Returns:
        The base's plan, then the alternatives' in the order of the file.

    Raises:
        ProjectFaults: the file cannot be used, or one of them does not fit the shell.
    """
    base, alternatives = read_all(file)
    plans: list[Plan] = []
    faults: list[Fault] = []
    for name, swept in planned_all({"": base, **alternatives}, file.parent):
        try:
            with told_by_file(file, name):
                plans.append(swept.result())
        except ProjectFaults as error:
            faults.extend(new_faults(faults, error.faults, name))
    if faults:
        raise ProjectFaults(faults)
    return tuple(plans)


def new_faults(known: Sequence[Fault], found: Sequence[Fault], alternative: str) -> list[Fault]:
    """What an alternative adds to the faults told already.

    Args:
        known: faults of the base, and of the alternatives before this one.
        found: faults of the alternative's plan, or of the base's.
        alternative: its name; empty for the base.

    Returns:
        Those at places that are not known to be at fault (a fault of the base comes again with figures that differ), each
        with the alternative's name in it.
    """
    told = {_gist(fault) for fault in known if not fault.message.startswith(_ONLY_IN)}
    fresh = [fault for fault in found if _gist(fault) not in told]
    if not alternative:
        return fresh
    return [replace(fault, message=f"{_ONLY_IN} {alternative}: {fault.message}") for fault in fresh]


def _gist(fault: Fault) -> tuple[str, str, str]:
    """What tells one fault from another: its place, and for the vehicle, of which many things are told, the words too."""
    words = re.sub(r"[0-9]+([.,][0-9]+)?", "", fault.message) if fault.place.startswith("vehicle") else ""
    return fault.file, fault.place, words


def write_comparison(plans: Sequence[Plan], folder: Path) -> None:
    """Write the comparison and all plans.

    Args:
        plans: the base first.
        folder: an empty folder: ``comparison.txt``, ``comparison.csv``, ``page.html`` with all of them side by side, and a
            folder with ``plan.json`` for each.
    """
    with (folder / "comparison.txt").open("w", encoding="utf-8", newline="\n") as file:
        console = make_console(file, _WIDTH)
        for part in comparison_parts(plans, every_run=True):
            console.print(part)
    (folder / "comparison.csv").write_text(comparison_csv(lines_of(plans)), encoding="utf-8", newline="\n")
    if len(plans) <= MOST_PLANS:
        from ribway.report_page import PAGE_FILE, report_page

        (folder / PAGE_FILE).write_text(report_page(plans), encoding="utf-8", newline="\n")
    taken: set[str] = set()
    for plan in plans:
        place = folder / folder_name(plan.alternative or "base", taken)
        place.mkdir()
        (place / PLAN_FILE).write_text(save_plan(plan), encoding="utf-8", newline="\n")


def folder_name(name: str, taken: set[str]) -> str:
    """A folder name for an alternative, of letters and digits that every file system takes.

    Args:
        name: the alternative's name.
        taken: names given before, in small letters; the new one is added.

    Returns:
        The name.
    """
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:40] or "alternative"
    number, chosen = 2, plain
    while chosen in taken:
        chosen, number = f"{plain}-{number}", number + 1
    taken.add(chosen)
    return chosen
