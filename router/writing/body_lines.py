"""Lines of the body that lengths rest on: heights and widths, each moving all that was placed by it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ribway.models.plan.results import PlanDevice
from ribway.models.plan.shell import PlanOpening
from ribway.models.project import Project
from ribway.models.tape import LINES, TAPE_ERROR_M
from ribway.router.chance.survey import Measurement
from ribway.router.chance.sway import Vector

PRESET_ERROR_M = 0.10
"""How far a preset's line may be from a real van of its class; common practice, no source."""


@dataclass(frozen=True)
class BodyLine:
    """A line of the body.

    Args:
        what: in words.
        measurement: its error and what it moves.
    """

    what: str
    measurement: Measurement


@dataclass(frozen=True)
class _Held:
    """Something on the body: where it is, on which wall, and by which rail it is held, if by one."""

    key: str
    wall: str
    rail: str
    at: Vector


_Move = Callable[[_Held, float], Vector]


def body_lines(project: Project, used: Sequence[PlanOpening], devices: Sequence[PlanDevice]) -> Iterator[BodyLine]:
    """Heights and widths with what they move, first order.

    A height of the roof edge lifts the edge's openings and all that is on the roof; a width moves either side by half;
    the height in the middle lifts what is on the roof, most in the middle. Widths at waist and floor move what is on
    the walls and what is at the sills. How a wall's lean changes is left out: it is of second order.

    Args:
        project: for which lines were read: all of a tape, the parameters written over a preset.
        used: openings that runs go through.
        devices: all.
    """
    held = [
        _Held(f"way {one.id}", one.wall, one.member[1:2] if one.member[-1:].isalpha() else "", one.centre)
        for one in used
    ]
    held += [_Held(f"device {one.id}", one.wall, "", one.point) for one in devices]
    half_m = max((abs(one.at[1]) for one in held if one.rail == "E"), default=0.8)
    for name, move in _moves(half_m).items():
        read = project.vehicle.tape is not None or name in project.vehicle.parameters
        error = TAPE_ERROR_M if read else PRESET_ERROR_M
        moves = {one.key: by for one in held if any(by := move(one, error))}
        if moves:
            yield BodyLine(LINES[name], Measurement(f"line {name}", error, TAPE_ERROR_M, (moves,)))


def _moves(half_m: float) -> dict[str, _Move]:
    def outward(one: _Held, by: float) -> Vector:
        return (0.0, by / 2.0 if one.at[1] > 0.0 else -by / 2.0, 0.0)

    still: Vector = (0.0, 0.0, 0.0)
    return {
        "floor_width": lambda one, by: outward(one, by) if one.rail == "S" else still,
        "waist_width": lambda one, by: outward(one, by) if _on_wall(one) else still,
        "waist_height": lambda one, by: (0.0, 0.0, by if one.rail == "W" else 0.0),
        "roof_edge_width": lambda one, by: outward(one, by) if one.rail == "E" else still,
        "roof_edge_height": lambda one, by: (0.0, 0.0, by if one.wall == "roof" or one.rail == "E" else 0.0),
        "centre_height": lambda one, by: (0.0, 0.0, _arch(one, half_m) * by if one.wall == "roof" else 0.0),
    }


def _on_wall(one: _Held) -> bool:
    return one.wall in ("left", "right") and one.rail not in ("E", "S")


def _arch(one: _Held, half_m: float) -> float:
    """Share of the arch's rise at a distance from the middle: a parabola."""
    return max(0.0, 1.0 - (one.at[1] / half_m) ** 2)
