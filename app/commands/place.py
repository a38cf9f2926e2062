"""``ribway place``: where to put a device so that the van's cables take least copper."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterable, Sequence
from pathlib import Path

from rich.table import Table

from ribway.console import clean, make_console
from ribway.models.alternatives import alternative_project
from ribway.models.backup import replace_file
from ribway.models.placing import PlacingField
from ribway.models.project import Project
from ribway.models.reading import project_file
from ribway.models.told import TRIALS
from ribway.outputs import OutputRefusedError
from ribway.placing_words import holes_parts, placing_parts, second_board_parts, two_boards_parts
from ribway.planning import told_by_file
from ribway.speech import GOOD, NO_SAFE_PLAN
from ribway.waiting_line import waiting_line


def run(args: argparse.Namespace) -> int:
    """Look for places.

    Args:
        args: ``project``, ``device``, ``wall``, ``step``, ``size``, ``plans``, ``second``, ``third``, ``holes``,
            ``alternative``, ``out``.

    Returns:
        The exit code: no safe plan if no place that was planned has a complete one.
    """
    if args.out is not None and args.out.suffix.lower() != ".json":
        raise OutputRefusedError(f"{args.out}: the places are written as .json: name such a file with --out")
    if (args.device is None) != args.holes or args.holes + args.second + args.third > 1:
        raise OutputRefusedError("name a device, or a board with --second or --third, or ask for --holes alone")
    if args.out is not None and (args.holes or args.third):
        raise OutputRefusedError("--out writes the places of one device: leave it away with --holes and --third")
    file = project_file(args.project)
    project = _kept(file, alternative_project(file, args.alternative), args)
    if args.holes:
        return _holes(file, project, args)
    if args.third:
        return _third(file, project, args)
    return _second(file, project, args) if args.second else _device(file, project, args)


def _kept(file: Path, project: Project, args: argparse.Namespace) -> Project:
    """The project with the few sizes that its shop keeps to, the best ones for the van as it stands."""
    if project.shop.use_at_most is None:
        return project
    from ribway.router.choosing.few_sizes import few_of, within

    with told_by_file(file, args.alternative):
        few = few_of(project, file.parent)
    if few is not None:
        make_console().print(clean(f"DC cable of {', '.join(few.sizes)} alone, as use_at_most asks."))
    return within(project, few)


def _device(file: Path, project: Project, args: argparse.Namespace) -> int:
    # The planner brings the numerical libraries along: loaded when there is something to plan.
    from ribway.router.placing.device import places_for

    with told_by_file(file, args.alternative), waiting_line("placing", (TRIALS,)) as told:
        field = places_for(
            project, file.parent, args.device, _walls(args), args.step or 0.1, args.size, args.plans, told
        )
    return _told(placing_parts(field, project.shop.units), field, args)


def _second(file: Path, project: Project, args: argparse.Namespace) -> int:
    from ribway.router.placing.subboards import sub_board_for
    from ribway.router.placing.trying import trying_of

    with told_by_file(file, args.alternative), waiting_line("placing", (TRIALS,)) as told:
        trying = trying_of(project, file.parent, told, args.plans + 1)  # the van without it as well
        found = sub_board_for(project, trying, args.device, _walls(args), args.step or 0.2, args.plans)
    return _told(second_board_parts(found, project.shop.units), found.field, args)


def _third(file: Path, project: Project, args: argparse.Namespace) -> int:
    from ribway.router.placing.trying import trying_of
    from ribway.router.placing.two_boards import two_boards_for

    with told_by_file(file, args.alternative), waiting_line("planning", (TRIALS,)) as told:
        trying = trying_of(project, file.parent, told, args.plans + 1)  # and without them
        found = two_boards_for(project, trying, args.device, _walls(args), args.step or 0.2, args.plans)
    console = make_console()
    for part in two_boards_parts(found, project.shop.units):
        console.print(part)
    return GOOD if found.pairs and math.isfinite(found.pairs[0].kg) else NO_SAFE_PLAN


def _holes(file: Path, project: Project, args: argparse.Namespace) -> int:
    from ribway.router.placing.holes import holes_worth, most_trials
    from ribway.router.placing.trying import trying_of

    most = most_trials(project, args.plans)
    with told_by_file(file, args.alternative), waiting_line("planning", (TRIALS,)) as told:
        found = holes_worth(project, trying_of(project, file.parent, told, most), args.plans)
    console = make_console()
    for part in holes_parts(found, project.shop.units):
        console.print(part)
    return GOOD if math.isfinite(found.with_kg) else NO_SAFE_PLAN


def _walls(args: argparse.Namespace) -> Sequence[str]:
    from ribway.router.placing.grid import WALLS

    return WALLS if "all" in args.wall else tuple(args.wall)


def _told(parts: Iterable[Table | str], field: PlacingField, args: argparse.Namespace) -> int:
    console = make_console()
    for part in parts:
        console.print(part)
    if args.out is not None:
        _write(field, args.out)
    return GOOD if field.best else NO_SAFE_PLAN


def _write(field: PlacingField, file: Path) -> None:
    try:
        backup = replace_file(file, (field.model_dump_json(indent=1) + "\n").encode("utf-8"))
    except OSError as error:
        raise OutputRefusedError(f"{file}: cannot be written: {error.strerror or error}") from error
    print(f"written to {file}" + (f", what was there is {backup.name}" if backup else ""))
