"""Makes sure that this machine can draw before anything is drawn, since VTK without a driver ends the whole process."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache

from ribway.viewer.errors import CannotDraw
from ribway.viewer.probe import Probe, can_draw, choose_window


@cache
def _probe() -> Probe:
    """The trial drawing, made once a process."""
    return can_draw()


def make_ready() -> None:
    """Chooses how to draw here and tries it.

    Raises:
        CannotDraw: if this machine cannot draw; the message says what to install.
    """
    choose_window(os.environ)
    answer = _probe()
    if not answer.ok:
        raise CannotDraw(answer.sentence())


def has_screen(platform: str, environ: Mapping[str, str]) -> bool:
    """Whether there is a screen to open a window on.

    Args:
        platform: as in ``sys.platform``.
        environ: the environment.

    Returns:
        False on Linux without an X display, which is what VTK's windows need there.
    """
    return not platform.startswith("linux") or bool(environ.get("DISPLAY"))
