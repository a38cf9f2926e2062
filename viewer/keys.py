"""What a window's keys do."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Protocol

from ribway.viewer.parts import WALLS
from ribway.viewer.views import OVERVIEW

# By the number pad: left, right, ahead and back lie where they lie in the van. 3 stays free: VTK has it for stereo.
VIEW_KEYS: Mapping[str, str] = {
    "0": OVERVIEW, "7": "other side", "5": "above",
    "4": "left", "6": "right", "8": "bulkhead", "2": "rear", "9": "roof", "1": "floor",
}  # fmt: skip
WALL_KEYS: Mapping[str, str] = {f"F{number}": wall for number, wall in enumerate(WALLS, start=1)}
STEP_KEYS: Mapping[str, int] = {"n": 1, "Right": 1, "b": -1, "Left": -1}
BOX_KEYS: Mapping[str, int] = {"Down": 1, "Tab": 1, "Up": -1, "ISO_Left_Tab": -1}
RUN_KEYS: Mapping[str, int] = {"c": 1, "x": -1}
HELP = """click on a cable: name it          c, x: next, last cable          Esc: let go
up, down or Tab: go to a box          space: switch it
0, 7, 5: from rear left, rear right, above
4 6 8 2 9 1: left, right, bulkhead, rear, roof, floor
n, b: next, last step of the pull plan
F1 to F6: take metal away          t: true thickness
a: show all          s: save picture          h: this help"""


class Actions(Protocol):
    """What a window can do."""

    def show_view(self, name: str) -> None:
        """Goes to a standard view."""

    def toggle_wall(self, wall: str) -> None:
        """Cuts a wall's metal away or puts it back."""

    def step(self, by: int) -> object:
        """Goes on in the pull plan."""

    def save_picture(self) -> object:
        """Saves what is seen."""

    def show_all(self) -> None:
        """Shows everything."""

    def forget(self) -> None:
        """Lets go of what is picked."""

    def toggle_thickness(self) -> None:
        """True or thicker cables."""

    def turn_help(self) -> None:
        """Help on or off."""

    def go_to_box(self, by: int) -> object:
        """Goes on among the boxes."""

    def press_box(self) -> None:
        """Presses the box that was gone to."""

    def next_run(self, by: int) -> object:
        """Picks the next run."""


def bindings(window: Actions) -> Mapping[str, Callable[[], object]]:
    """What each key does.

    Args:
        window: whose keys.

    Returns:
        Acts by the keys' names as VTK has them.
    """
    return {
        **{key: partial(window.show_view, view) for key, view in VIEW_KEYS.items()},
        **{key: partial(window.toggle_wall, wall) for key, wall in WALL_KEYS.items()},
        **{key: partial(window.step, by) for key, by in STEP_KEYS.items()},
        **{key: partial(window.go_to_box, by) for key, by in BOX_KEYS.items()},
        **{key: partial(window.next_run, by) for key, by in RUN_KEYS.items()},
        "space": window.press_box,
        "s": window.save_picture,
        "a": window.show_all,
        "Escape": window.forget,
        "t": window.toggle_thickness,
        "h": window.turn_help,
    }
