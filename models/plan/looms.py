"""Looms of a plan: runs pulled as one bundle, section by section."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data
from ribway.models.plan.shell import Point


class LoomSection(Data):
    """A stretch of a loom over which the same runs lie together.

    A loom's sections stand in order: along its trunk from where it begins, then branch by branch.
    """

    name: str
    branch: int = Field(default=0, description="0 on the trunk; branches are numbered by where they leave it")
    begins: str = Field(default="", description="of a branch's first section: where that is")
    from_m: float
    to_m: float
    runs: tuple[str, ...]
    openings: tuple[str, ...]
    diameter_mm: float
    loaded_conductors: int
    points: tuple[Point, ...]
    bends_to_mm: float | None = Field(
        default=None, description="least bend radius of the cable in it that bends least; empty for cords alone"
    )
    corner_room_mm: float | None = Field(
        default=None, description="radius that its tightest corner leaves; empty without a corner"
    )
    bay_depth_mm: float | None = Field(
        default=None, description="least depth of the bays that it lies in; empty where no member gives one"
    )


class Breakout(Data):
    """Where runs leave or join a loom's trunk, seen from where it begins."""

    at_m: float
    runs: tuple[str, ...]
    joining: tuple[str, ...] = Field(default=(), description="those of runs that join here; the others leave")
    place: str
    point: Point


class PlanLoom(Data):
    """Runs pulled as one bundle."""

    id: str
    zone: str
    runs: tuple[str, ...]
    sections: tuple[LoomSection, ...]
    breakouts: tuple[Breakout, ...]
    diameter_mm: float
    length_m: float
    colour: str = Field(description="#rrggbb used in every picture of it")

    @property
    def begins_m(self) -> float:
        """Where the bundle of its trunk begins, as its sections count: they begin at the device, it a stub behind [m]."""
        return next((one.from_m for one in self.sections if one.branch == 0), 0.0)

    @property
    def trunk_m(self) -> float:
        """The bundle of its trunk from end to end, as it is laid on a board [m]."""
        ends = [one.to_m for one in self.sections if one.branch == 0]
        return max(0.0, ends[-1] - self.begins_m) if ends else self.length_m
