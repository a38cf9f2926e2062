"""Drawing the demo van: pictures, the order of pulling, the page; modules loaded and the machine tried before.

CPU seconds, so that what else runs on the machine changes little; drawing uses several cores at once, so seconds on the clock
stand beside them.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pyvista

from ribway.planning import new_plan
from ribway.pull_view import shown_steps
from ribway.report_page import report_page
from ribway.viewer.animation import draw_animation
from ribway.viewer.loom_picture import draw_loom
from ribway.viewer.opening import build_window
from ribway.viewer.picture import draw_picture
from ribway.viewer.ready import make_ready

PROJECT = Path(__file__).resolve().parents[1] / "docs" / "demo" / "survey-van" / "project.yaml"


def timed(what: str, act: Callable[[], object]) -> None:
    """Print how long something takes."""
    cpu, clock = time.process_time(), time.perf_counter()
    act()
    print(f"{what:<34} {time.process_time() - cpu:6.1f} s CPU {time.perf_counter() - clock:6.1f} s")


def main() -> None:
    """Print the figures."""
    plan = new_plan(PROJECT, "")
    steps = shown_steps(plan)
    make_ready()
    pyvista.Sphere()
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        draw_picture(plan, place / "first.png", size=(600, 400))
        timed("picture of the van, 1800 x 1200", lambda: draw_picture(plan, place / "van.png"))
        timed("picture of one wall", lambda: draw_picture(plan, place / "left.png", wall="left"))
        timed("picture of one loom", lambda: draw_loom(plan, plan.looms[0].id, place / "loom.png"))
        timed("order of pulling, GIF", lambda: draw_animation(plan, steps, place / "pull.gif"))
        timed("window, until it is there", lambda: build_window(plan, steps=steps, off_screen=True).close())
        timed("page", lambda: report_page([plan]))
        for name in ("van.png", "left.png", "loom.png", "pull.gif"):
            print(f"{name:<34} {(place / name).stat().st_size / 1000:6.0f} kB")
        print(f"{'page':<34} {len(report_page([plan]).encode('utf-8')) / 1000:6.0f} kB")


if __name__ == "__main__":
    main()
