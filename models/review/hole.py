"""One opening of a draft, as it is gone through."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Spot = tuple[float, float, float]
Mark = Literal["open", "confirmed", "deleted"]

SURE = 0.9
"""A survey takes openings of this sureness and more into its draft; a person decides about all others."""


@dataclass(frozen=True)
class Hole:
    """An opening of a draft.

    Args:
        name: as it is to be called.
        was: as it is called in the project file, or by the survey that found it.
        kind: ``way`` leads from bay to bay and alone goes into the project; ``access``, ``window``, ``door`` ... are shown.
        member: the member or skin that it is in.
        shape: ``round`` or ``slot``.
        bore_m: clear diameter, or width of a slot [m].
        length_m: of a slot; as the bore of a round one [m].
        skins: skins at its two mouths; empty where there is none.
        line: mouth, corners, mouth [m].
        rim: its outline in the first wall, in order [m].
        sure: 0 to 1, how sure the survey is.
        state: as in the project file: assumed, measured, blocked or drill; empty if the file does not list it.
        rowed: it comes of a preset's or a tape's rows: the file can say its state, not its name or place.
        mark: what is said of it.
        moved_m: how far it was moved from where it stood [m].
        named: places of the project that name it: a run that has to pass it, say.
        freed: once it is deleted, what names it leaves it out, and the planner finds those runs their ways.
        instead: once it is deleted, the opening that is named in its place, as that one ``was`` called; empty if none.
    """

    name: str
    was: str
    kind: str
    member: str
    shape: Literal["round", "slot"]
    bore_m: float
    length_m: float
    skins: tuple[str, str]
    line: tuple[Spot, ...]
    rim: tuple[Spot, ...]
    sure: float = 1.0
    state: str = ""
    rowed: bool = False
    mark: Mark = "open"
    moved_m: Spot = (0.0, 0.0, 0.0)
    named: tuple[str, ...] = ()
    freed: bool = False
    instead: str = ""

    @property
    def centre(self) -> Spot:
        """Its middle: halfway through a straight passage, else its corner [m]."""
        if len(self.line) > 2:
            return self.line[len(self.line) // 2]
        first, last = self.line[0], self.line[-1]
        return ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2, (first[2] + last[2]) / 2)

    @property
    def is_way(self) -> bool:
        """Whether cables may pass from bay to bay, so that it belongs into the project."""
        return self.kind == "way"

    @property
    def is_sure(self) -> bool:
        """Whether the survey would take it by itself."""
        return self.sure >= SURE

    @property
    def wall(self) -> str:
        """The skin that it is looked at from."""
        return self.skins[0] or self.member


def shifted(points: tuple[Spot, ...], by: Spot) -> tuple[Spot, ...]:
    """Points moved together.

    Args:
        points: any number [m].
        by: how far [m].
    """
    return tuple((x + by[0], y + by[1], z + by[2]) for x, y, z in points)


def size_words(hole: Hole) -> str:
    """``round 25.0 mm``, ``slot 20.0 x 45.0 mm``."""
    bore = f"{1000 * hole.bore_m:.1f}"
    return f"slot {bore} x {1000 * hole.length_m:.1f} mm" if hole.shape == "slot" else f"{hole.shape} {bore} mm"


def named_words(hole: Hole) -> str:
    """``named in runs / fridge / via``; empty if nothing names it."""
    return f"named in {', '.join(hole.named)}" if hole.named else ""


def place_words(hole: Hole) -> str:
    """Where its middle is, as a tape gives it: back from the model's front edge, off the centre line, up."""
    x, y, z = hole.centre
    side = "on the centre line" if abs(y) < 0.0005 else f"{abs(y):.3f} m {'left' if y > 0 else 'right'}"
    return f"{-x + 0.0:.3f} m back, {side}, {z + 0.0:.3f} m up"
