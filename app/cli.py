"""The command line: nothing slow is imported before it is known what is wanted."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from importlib import import_module

from ribway import speech
from ribway.arguments import make_parser
from ribway.streams import drop_output, prepare_streams


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command.

    Args:
        argv: the words behind the command's name; those of the process if None.

    Returns:
        The exit code.
    """
    prepare_streams()
    try:
        code = _run(make_parser().parse_args(argv))
        sys.stdout.flush()
    except KeyboardInterrupt:
        speech.say("ribway: interrupted, nothing was written")
        return speech.INTERRUPTED
    except BrokenPipeError:
        drop_output()  # whoever read it has enough of it
        return speech.BROKEN_PIPE
    except OSError as error:
        from ribway.models.disk_words import FAILING, disk_reason

        if error.filename is not None and error.errno not in FAILING:
            speech.say(f"{error.filename}: cannot be used: {disk_reason(error)}")
            return speech.BAD_INPUT
        drop_output()
        speech.say(f"{error.filename or 'standard output'}: cannot be written: {disk_reason(error)}")
        return speech.UNABLE
    return code


def _run(args: argparse.Namespace) -> int:
    """Call the command's own module, and say what it found to be wrong."""
    from ribway.models.disk_words import FAILING
    from ribway.models.project_faults import InputFaults
    from ribway.outputs import OutputRefusedError
    from ribway.viewer.errors import ViewError

    try:
        run: Callable[[argparse.Namespace], int] = import_module(f"ribway.commands.{args.command}").run
        return run(args)
    except InputFaults as error:
        speech.say_all(error.faults)
        return speech.BAD_INPUT
    except OutputRefusedError as error:
        speech.say(error)
        cause = error.__cause__
        return speech.UNABLE if isinstance(cause, OSError) and cause.errno in FAILING else speech.BAD_INPUT
    except (ViewError, speech.DefectError) as error:
        speech.say(error)
        return speech.UNABLE
