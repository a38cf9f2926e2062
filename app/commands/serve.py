"""``ribway serve``: a project in a browser, planned while it is edited."""

from __future__ import annotations

import argparse
from pathlib import Path

from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.reading import project_file
from ribway.speech import GOOD, UNABLE, say


def run(args: argparse.Namespace) -> int:
    """Serve the page until interrupted.

    Args:
        args: ``project``, ``host``, ``port``.

    Returns:
        The exit code.
    """
    from ribway.live.opened_once import OpenAlreadyError
    from ribway.live.serving import PortTakenError
    from ribway.live.serving import run as serve

    given: Path = args.project
    file = project_file(given)
    if not file.exists() and file.suffix not in (".yaml", ".yml"):
        file = file / PROJECT_FILE  # a folder that is yet to be made
    try:
        serve(file, args.host, args.port)
    except (PortTakenError, OpenAlreadyError) as error:
        say(error)
        return UNABLE
    return GOOD
