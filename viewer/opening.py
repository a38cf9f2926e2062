"""Makes a plan's window, and shows it where there is a screen."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from ribway.models.plan.plan import Plan
from ribway.viewer.errors import CannotDraw
from ribway.viewer.ready import has_screen, make_ready
from ribway.viewer.steps import PullStep
from ribway.viewer.window import Window

SIZE = (1500, 950)


def build_window(
    plan: Plan, *, steps: Sequence[PullStep] = (), off_screen: bool = False, size: tuple[int, int] = SIZE
) -> Window:
    """Makes the window without showing it.

    Args:
        plan: the plan.
        steps: the pull plan, to be stepped through.
        off_screen: draw into memory only.
        size: width and height in pixels.

    Returns:
        The window.

    Raises:
        CannotDraw: if this machine cannot draw.
    """
    make_ready()
    import pyvista as pv

    plotter = pv.Plotter(off_screen=off_screen, window_size=list(size), title=f"{plan.name}, revision {plan.revision}")
    plotter.disable_anti_aliasing()
    plotter.enable_anti_aliasing(aa_type="ssaa")
    return Window(plan, plotter, steps)


def open_window(plan: Plan, steps: Sequence[PullStep] = ()) -> None:
    """Shows a plan until its window is closed.

    Args:
        plan: the plan.
        steps: the pull plan, to be stepped through.

    Raises:
        CannotDraw: if this machine has no display or cannot draw.
    """
    if not has_screen(sys.platform, os.environ):
        raise CannotDraw(
            "A window needs a screen, and this machine has none (DISPLAY is not set); draw to a file with --picture, "
            "or write a page for a browser."
        )
    build_window(plan, steps=steps).plotter.show()
