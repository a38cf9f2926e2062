"""Where the sample plan's devices stand, and the routes of its four runs."""

from __future__ import annotations

import math

from ribway.models.plan.results import PlanDevice, PlanRun
from samples import metal
from samples.curves import Point
from samples.runs import Legs, Wanted, run_of

CABLE_Y = metal.HOLE_Y
DEVICE_Y = 0.8
STUB = CABLE_Y - DEVICE_Y
MOUTH = 0.005


def _device(
    id: str, name: str, kind: str, wall: str, back: float, up: float, amps: tuple[float, float], feeds: tuple[str, ...]
) -> PlanDevice:
    y = DEVICE_Y if wall == "left" else -DEVICE_Y
    return PlanDevice(
        id=id,
        name=name,
        kind=kind,
        zone=wall,
        wall=wall,
        back_m=back,
        up_m=up,
        left_m=y,
        stand_off_m=0.1,
        point=(-back, y, up),
        amps=amps[0],
        start_amps=amps[1],
        confirmed=True,
        feeds=feeds,
    )


DEVICES = (
    _device("battery", "House battery", "source", "left", 0.2, 0.5, (0.0, 0.0), ("main",)),
    _device("board", "Fuse board", "board", "left", 0.5, 0.5, (0.0, 0.0), ("fridge",)),
    _device("display", "Battery display", "controller", "left", 1.6, 0.8, (0.05, 0.05), ()),
    _device("fridge", "Fridge", "load", "left", 1.6, 0.3, (5.0, 10.0), ()),
    _device("inlet", "Shore inlet", "source", "right", 0.4, 0.5, (0.0, 0.0), ("outlet",)),
    _device("outlet", "AC outlet", "outlet", "right", 1.6, 0.9, (4.0, 4.0), ()),
    _device("shunt", "Battery shunt", "sensor", "left", 0.2, 0.7, (0.0, 0.0), ("report",)),
)


def _stub(device: str) -> tuple[Point, Point]:
    """From the device square to the wall, onto the plane that the cables lie in."""
    x, y, z = next(d.point for d in DEVICES if d.id == device)
    return ((x, y, z), (x, math.copysign(CABLE_Y, y), z))


def mouths(side: int) -> tuple[Point, Point]:
    """Both mouths of the hole through the left (``side`` 1) or right (-1) rib."""
    y = side * CABLE_Y
    return ((metal.RIB_X + MOUTH, y, metal.HOLE_Z), (metal.RIB_X - MOUTH, y, metal.HOLE_Z))


def _legs(start: str, end: str, side: int) -> Legs:
    """Stub, bay, hole, bay, stub: along at the hole's height, climbing at the devices' stations only."""
    (a0, a1), (b0, b1) = _stub(start), _stub(end)
    front, rear = mouths(side)
    wall = "left" if side > 0 else "right"
    hole = "L1a" if side > 0 else "R1a"
    climb_a: Point = (a1[0], a1[1], metal.HOLE_Z)
    climb_b: Point = (b1[0], b1[1], metal.HOLE_Z)
    first = (a1, climb_a, front) if climb_a != a1 else (a1, front)
    last = (rear, climb_b, b1) if climb_b != b1 else (rear, b1)
    return (
        ("stub", start, (a0, a1)),
        ("bay", f"{wall}-1", first),
        ("opening", hole, (front, rear)),
        ("bay", f"{wall}-2", last),
        ("stub", end, (b1, b0)),
    )


def _taut(legs: Legs) -> float:
    """Each leg's ends straight, the openings kept [m]: the bays are flat, so nothing is shorter on them."""
    return sum(math.dist(points[0], points[-1]) for _, _, points in legs)


def runs() -> tuple[PlanRun, ...]:
    """The four runs, by id."""
    a, b = _stub("battery"), _stub("board")
    main_legs: Legs = (
        ("stub", "battery", a),
        ("bay", "left-1", (a[1], b[1])),
        ("stub", "board", (b[1], b[0])),
    )
    main = run_of(
        Wanted("main-1", "main", "battery", "board", "dc", "main", "flat-2x16", main_legs, _taut(main_legs),
               (("battery", 0.5), ("board", 0.6)), 12.0, 5.0, 0.0, 3.0, 80.0, "stated in the project", "left")
    )  # fmt: skip
    fridge_legs = _legs("board", "fridge", 1)
    fridge = run_of(
        Wanted("fridge-1", "fridge", "board", "fridge", "dc", "circuit", "flat-2x2.5", fridge_legs, _taut(fridge_legs),
               (("board", 0.6), ("fridge", 0.3)), 12.0, 5.0, main.drop_v, 3.0, 20.0, "drop", "left")
    )  # fmt: skip
    report_legs = _legs("shunt", "display", 1)
    report = run_of(
        Wanted("report-1", "report", "shunt", "display", "data", "circuit", "round-4x0.5", report_legs,
               _taut(report_legs), (("shunt", 0.3), ("display", 0.3)), 12.0, 0.05, 0.0, None, None,
               "stated in the project", "left")
    )  # fmt: skip
    outlet_legs = _legs("inlet", "outlet", -1)
    outlet = run_of(
        Wanted("outlet-1", "outlet", "inlet", "outlet", "ac", "circuit", "round-3x1.5", outlet_legs,
               _taut(outlet_legs), (("inlet", 0.3), ("outlet", 0.3)), 230.0, 4.0, 0.0, 10.0, 15.0, "fuse", "right")
    )  # fmt: skip
    return (fridge, main, outlet, report)
