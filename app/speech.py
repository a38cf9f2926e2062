"""What the command says when something is in the way, and with which exit code it ends."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from contextlib import suppress

GOOD = 0
UNABLE = 1
"""The machine cannot do it, or ribway has a defect: nothing is wrong with the input."""
BAD_INPUT = 2
NO_SAFE_PLAN = 3
INTERRUPTED = 130
BROKEN_PIPE = 141
"""As a shell reports a command that was ended by SIGPIPE."""


class DefectError(Exception):
    """A plan did not pass its own audit: nothing is wrong with the input, and nothing may be built from the plan."""


def say(sentence: object) -> None:
    """Print one sentence to the error stream.

    Args:
        sentence: what to say; control characters in it, which could come from a file, are shown as spaces.
    """
    with suppress(OSError):  # told where it is printed
        sys.stdout.flush()
    text = "".join(sign if sign.isprintable() else " " for sign in str(sentence))
    print(text, file=sys.stderr)


def say_all(faults: Iterable[object]) -> None:
    """Print one sentence for each fault to the error stream.

    Args:
        faults: in the order in which to print them.
    """
    for fault in faults:
        say(fault)
