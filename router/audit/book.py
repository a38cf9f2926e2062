"""A plan with everything in it at hand by its id."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar, cast

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanCircuit, PlanDevice, PlanRun
from ribway.models.plan.shell import Point

Shape = Literal["round", "slot", "gap"]
T = TypeVar("T")


@dataclass(frozen=True)
class Passage:
    """An opening or another way, in one form.

    Args:
        id: its name.
        shape: round, a slot with round ends, or a gap over a member.
        bore_mm: clear diameter, a slot's clear width, or the gap [mm].
        room_mm: clear size the long way; equals the bore if round [mm].
        taken_mm: diameter of what already runs through [mm].
        area_mm2, fill_percent, limit_percent: as the plan says.
        runs: what goes through, as the plan says.
        line: from mouth to mouth [m].
        wall: skin it belongs to; empty if the plan does not say.
        blocked: it must not be used.
        separation: as the plan says; None for other ways than openings.
        bundle_mm: packed size, as the plan says; None for other ways than openings.
    """

    id: str
    shape: Shape
    bore_mm: float
    room_mm: float
    taken_mm: float
    area_mm2: float
    fill_percent: float
    limit_percent: float
    runs: tuple[str, ...]
    line: tuple[Point, ...]
    wall: str
    blocked: bool
    separation: str | None
    bundle_mm: float | None


@dataclass(frozen=True)
class Book:
    """A plan and its parts by id; made by `open_book`, after names were checked."""

    plan: Plan
    devices: Mapping[str, PlanDevice]
    cables: Mapping[str, PlanCable]
    circuits: Mapping[str, PlanCircuit]
    runs: Mapping[str, PlanRun]
    looms: Mapping[str, PlanLoom]
    passages: Mapping[str, Passage]
    bay_walls: Mapping[str, str]
    _made: dict[Callable[..., Any], Any] = field(default_factory=dict)

    def once(self, make: Callable[[Book], T]) -> T:
        """What several checks ask of a plan: made when it is first asked for."""
        if make not in self._made:
            self._made[make] = make(self)
        return cast(T, self._made[make])

    def cable_of(self, run: PlanRun) -> PlanCable:
        """The reel a run is cut from."""
        return self.cables[run.cable]

    def called(self, device: str) -> str:
        """What people call a device."""
        return self.devices[device].name or device

    def is_loaded(self, run: PlanRun) -> bool:
        """Whether current flows in it all the time: data and spares carry none that warms."""
        return run.kind != "data" and run.purpose != "spare" and run.design_a > 0.0

    def loaded(self, run: PlanRun) -> int:
        """Conductors of a run that carry current at once: there and back, or one where it has no more."""
        used = sum(function != "spare" for function in run.wire_functions)
        return min(2, used or 2) if self.is_loaded(run) else 0

    def base_of(self, run: PlanRun) -> str:
        """Name of the table of amperes for a run: AC may have one of its own."""
        return (self.plan.rules.ac_base if run.kind == "ac" else "") or self.plan.rules.base

    def bundle_rule_of(self, run: PlanRun) -> str:
        """Name of the bundle factors for a run."""
        return (self.plan.rules.ac_bundle_rule if run.kind == "ac" else "") or self.plan.rules.bundle_rule

    def whole(self, circuit: PlanCircuit) -> bool:
        """Whether all runs of a circuit were laid."""
        return all(run in self.runs for run in circuit.runs)


def open_book(plan: Plan) -> Book:
    """Everything by its id."""
    passages = [
        Passage(
            id=one.id, shape=one.shape, bore_mm=one.clear_bore_mm,
            room_mm=one.slot_length_mm if one.slot_length_mm is not None else one.clear_bore_mm,
            taken_mm=one.taken_mm, area_mm2=one.area_mm2, fill_percent=one.fill_percent,
            limit_percent=one.fill_limit_percent, runs=one.runs, line=one.line, wall=one.wall,
            blocked=one.state == "blocked", separation=one.separation, bundle_mm=one.bundle_diameter_mm,
        )
        for one in plan.openings
    ] + [
        Passage(
            id=one.id, shape="gap" if one.kind == "over" else "round", bore_mm=one.clear_bore_mm,
            room_mm=_room_mm(one.kind, one.area_mm2, one.clear_bore_mm), taken_mm=0.0, area_mm2=one.area_mm2,
            fill_percent=one.fill_percent, limit_percent=one.fill_limit_percent, runs=one.runs, line=one.line, wall="",
            blocked=False, separation=None, bundle_mm=None,
        )
        for one in plan.ways
    ]  # fmt: skip
    return Book(
        plan=plan,
        devices={one.id: one for one in plan.devices},
        cables={one.id: one for one in plan.cables},
        circuits={one.id: one for one in plan.circuits},
        runs={one.id: one for one in plan.runs},
        looms={one.id: one for one in plan.looms},
        passages={one.id: one for one in passages},
        bay_walls={one.id: one.wall for one in plan.bays},
    )


def _room_mm(kind: str, area_mm2: float, bore_mm: float) -> float:
    """A gap's width follows from its area, which is width x height [mm]."""
    return area_mm2 / bore_mm if kind == "over" and bore_mm > 0.0 else bore_mm
