"""``ribway diff``: what a later plan of a van does otherwise than an earlier one, run by run."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from rich.table import Table

from ribway.console import clean, make_console, table_of
from ribway.models.backup import replace_file
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted
from ribway.outputs import OutputRefusedError
from ribway.plan_changes import HEADINGS, KINDS, changes_csv, other_changes, renumbered, run_changes
from ribway.planning import plan_of
from ribway.speech import GOOD, NO_SAFE_PLAN, say


def run(args: argparse.Namespace) -> int:
    """Print the changes, and write them if asked.

    Args:
        args: ``old``, ``new``, ``out``.

    Returns:
        The exit code: no safe plan if the later one is not complete; the changes are printed all the same.
    """
    if args.out is not None and args.out.suffix.lower() != ".csv":
        raise OutputRefusedError(f"{args.out}: the changes are written as .csv: name such a file with --out")
    old, new = plan_of(args.old), plan_of(args.new)
    console = make_console()
    for part in diff_parts(old, new):
        console.print(part)
    if args.out is not None:
        try:
            backup = replace_file(args.out, changes_csv(old, new).encode("utf-8"))
        except OSError as error:
            raise OutputRefusedError(f"{args.out}: cannot be written: {error.strerror or error}") from error
        print(f"written to {args.out}" + (f", what was there is {backup.name}" if backup else ""))
    for path, plan in ((args.old, old), (args.new, new)):
        if not plan.complete:
            say(f"{path}: this plan is not complete: some of its runs lack a route or a size")
    return GOOD if new.complete else NO_SAFE_PLAN


def diff_parts(old: Plan, new: Plan) -> Iterator[Table | str]:
    """The changes, part by part.

    Args:
        old: the earlier plan.
        new: the later one.

    Yields:
        Tables and lines of text.
    """
    yield clean(f"From {_named(old)} to {_named(new)}")
    if old.name != new.name:
        yield clean(f"Take care: these are plans of two vans, {old.name} and {new.name}")
    yield from change_parts(old, new)
    strange = renumbered(old, new)
    if strange:
        yield clean(
            f"The later plan does not follow from the earlier one's numbers: {', '.join(strange)}. Put the register of run "
            "numbers back that lay beside the project, and plan again before any cable is marked"
        )


def change_parts(old: Plan, new: Plan) -> Iterator[Table | str]:
    """The changes from one plan to another of the same van, part by part.

    Args:
        old: the earlier plan.
        new: the later one.

    Yields:
        Tables and lines of text.
    """
    changes = run_changes(old, new)
    for kind in KINDS:
        rows = [(one.run, one.before or "-", one.after or "-", one.piece) for one in changes if one.kind == kind]
        if rows:
            yield table_of(HEADINGS[kind], ("run", "before", "after", "piece already cut"), rows)
    others = other_changes(old, new)
    if others:
        yield table_of(
            "Beside the runs", ("what", "before", "after"), [(one.what, one.before, one.after) for one in others]
        )
    touched = len({one.run for one in changes})
    same = len({run.id for run in new.runs} - {one.run for one in changes})
    yield (
        f"{counted(touched, 'run')} changed, {same} as before"
        if changes or others
        else "No run changed, and nothing beside"
    )


def _named(plan: Plan) -> str:
    revision = f"revision {plan.revision}" if plan.revision else "no revision"
    return f"{plan.alternative or 'base'}, {revision}, {plan.date or 'no date'}"
