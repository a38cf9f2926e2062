"""``ribway place``: where to put a device so that the van's cables take least copper."""

from __future__ import annotations

import argparse
from pathlib import Path

from ribway.console import make_console
from ribway.models.alternatives import alternative_project
from ribway.models.backup import replace_file
from ribway.models.placing import PlacingField
from ribway.models.reading import project_file
from ribway.outputs import OutputRefusedError
from ribway.placing_words import placing_parts
from ribway.planning import told_by_file
from ribway.speech import GOOD, NO_SAFE_PLAN


def run(args: argparse.Namespace) -> int:
    """Look for places.

    Args:
        args: ``project``, ``device``, ``wall``, ``step``, ``size``, ``plans``, ``alternative``, ``out``.

    Returns:
        The exit code: no safe plan if no place that was planned has a complete one.
    """
    if args.out is not None and args.out.suffix.lower() != ".json":
        raise OutputRefusedError(f"{args.out}: the places are written as .json: name such a file with --out")
    file = project_file(args.project)
    project = alternative_project(file, args.alternative)
    # The planner brings the numerical libraries along: loaded when there is something to plan.
    from ribway.router.placing.device import places_for
    from ribway.router.placing.grid import WALLS

    walls = WALLS if "all" in args.wall else args.wall
    with told_by_file(file, args.alternative):
        field = places_for(project, file.parent, args.device, walls, args.step, args.size, args.plans)
    console = make_console()
    for part in placing_parts(field, project.shop.units):
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
