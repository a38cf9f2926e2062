"""``ribway suppose``: what a small change would do to the plan, run by run; the project file stays as it is unless asked."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from rich.table import Table

from ribway.commands.diff import change_parts
from ribway.console import clean, make_console
from ribway.editing.saving import ChangedOnDiskError, save
from ribway.models.numbers_file import read_numbers
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import MOST_BYTES, check_text, project_file, with_numbers
from ribway.models.text_file import read_text
from ribway.outputs import OutputRefusedError
from ribway.planning import told_by_file
from ribway.speech import GOOD, NO_SAFE_PLAN, say
from ribway.supposing import supposed

if TYPE_CHECKING:
    from ribway.router.again.replan import Planned


def run(args: argparse.Namespace) -> int:
    """Plan the project, make the change, plan again, and say what is otherwise.

    Args:
        args: ``project``, ``move``, ``take_out``, ``block``, ``anew_if_saves``, ``write``.

    Returns:
        The exit code: no safe plan if the changed project has none.
    """
    file = project_file(args.project)
    if not (args.move or args.take_out or args.block):
        accepted = "--move DEVICE=PLACE, --take-out DEVICE or --block OPENING"
        raise ProjectFaults([Fault(str(file), "", "", accepted, f"nothing is supposed: give {accepted}")])
    text = read_text(file, MOST_BYTES)
    changed = supposed(text, args.move, args.take_out, args.block, str(file))
    old, new = (check_text(one, str(file), file.parent).base for one in (text, changed))
    old = with_numbers(old, read_numbers(file))
    # The planner brings the numerical libraries along: loaded when there is something to plan.
    from ribway.router.again.replan import again, finished, start

    with told_by_file(file, ""):
        first = start(old, file.parent)
        least = math.inf if args.anew_if_saves is None else args.anew_if_saves
        new = with_numbers(
            new, first.plan.numbers
        )  # runs that stay keep their numbers, as they would if both were planned
        then = finished(again(first, new, keep_unless_saves_kg=least))
    console = make_console()
    for part in _parts(first, then):
        console.print(part)
    if args.write:
        _write(file, text, changed)
    if not then.plan.complete:
        say(f"{file}: with that change some of its runs lack a route or a size")
    return GOOD if then.plan.complete else NO_SAFE_PLAN


def _parts(first: Planned, then: Planned) -> Iterator[Table | str]:
    yield clean(f"Supposed: {', '.join(then.differences.words) or 'nothing'}")
    yield from change_parts(first.plan, then.plan)
    before, after = first.plan.totals.copper_kg, then.plan.totals.copper_kg
    yield f"Copper {before:.3f} kg before, {after:.3f} kg after: {after - before:+.3f} kg"
    if then.cold:
        yield clean(f"All routes were planned anew: {then.cold}")
    elif then.saves_kg is not None:
        yield f"All routes anew would save {max(0.0, then.saves_kg):.3f} kg: the others stay where they were"
    else:
        yield "The other routes stay where they were"


def _write(file: Path, before: str, after: str) -> None:
    try:
        backup = save(file, before, after)
    except ChangedOnDiskError as error:
        raise OutputRefusedError(str(error)) from error
    except OSError as error:
        raise OutputRefusedError(f"{file}: cannot be written: {error.strerror or error}") from error
    print(f"written to {file}" + (f", what was there is {backup.name}" if backup else ""))
