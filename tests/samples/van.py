"""An invented van's plan for pictures: six looms, twenty runs through ribs, rails and bows; true where it is drawn."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

from ribway.models.palette import loom_colour
from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Kind, PlanDevice, PlanRun
from ribway.models.plan.shell import PlanKeepOut, PlanOpening
from samples import van_metal as metal
from samples.cables import CABLES
from samples.curves import Point
from samples.plan import sample_plan
from samples.runs import Legs, Wanted, run_of

Y = metal.WALL_Y - metal.OFF
TOP = metal.ROOF_Z - metal.OFF
Passed = tuple[str, tuple[Point, ...]]

# id, name, kind, wall, x, y, z
PLACES: tuple[tuple[str, str, str, str, float, float, float], ...] = (
    ("board", "Fuse board", "board", "left", -0.30, 0.80, 0.95),
    ("battery", "House battery", "source", "left", -1.00, 0.75, 0.20),
    ("charger", "Charger", "charger", "left", -0.45, 0.80, 0.40),
    ("fridge", "Fridge", "load", "left", -2.10, 0.80, 0.45),
    ("pump", "Water pump", "load", "left", -2.90, 0.80, 0.45),
    ("tank", "Tank gauge", "sensor", "left", -3.20, 0.80, 0.25),
    ("usb-l", "USB sockets, kitchen", "outlet", "left", -1.55, 0.82, 1.10),
    ("usb-bed", "USB sockets, bed", "outlet", "left", -3.35, 0.82, 0.95),
    ("heater", "Air heater", "load", "left", -2.65, 0.70, 0.95),
    ("display", "Display", "controller", "left", -0.80, 0.82, 1.35),
    ("light-1", "Ceiling light 1", "load", "roof", -0.90, 0.30, 1.85),
    ("light-2", "Ceiling light 2", "load", "roof", -0.90, -0.30, 1.85),
    ("light-3", "Ceiling light 3", "load", "roof", -2.70, 0.30, 1.85),
    ("light-4", "Ceiling light 4", "load", "roof", -2.70, -0.30, 1.85),
    ("fan", "Roof fan", "load", "roof", -2.05, 0.00, 1.85),
    ("solar", "Solar gland", "source", "roof", -1.45, 0.10, 1.85),
    ("awning", "Awning light", "load", "right", -1.50, -0.82, 1.60),
    ("usb-r", "USB sockets, desk", "outlet", "right", -2.15, -0.82, 1.05),
    ("reader", "Reading light", "load", "right", -3.30, -0.82, 1.20),
    ("inlet", "Shore inlet", "source", "right", -3.40, -0.80, 0.40),
    ("ac-1", "AC outlet, desk", "outlet", "right", -2.00, -0.82, 0.60),
    ("ac-2", "AC outlet, front", "outlet", "right", -0.40, -0.82, 0.60),
)
PLACE: dict[str, tuple[str, Point]] = {row[0]: (row[3], (row[4], row[5], row[6])) for row in PLACES}


def _along(name: str, side: int, x0: float, x1: float, row: str) -> tuple[list[Passed], Point]:
    """Through every rib between two stations at one row's height."""
    ribs = [(i, x) for i, x in enumerate(metal.RIBS) if min(x0, x1) < x < max(x0, x1)]
    y, z = side * Y, metal.ROWS[row]
    step = 1 if x1 > x0 else -1
    reach = metal.WIDTH / 2 + 0.005
    passed: list[Passed] = [
        (f"{name}{i + 1}{row}", ((x - step * reach, y, z), (x + step * reach, y, z)))
        for i, x in sorted(ribs, key=lambda rib: step * rib[1])
    ]
    return passed, (x1, y, z)


def _bows(x0: float, x1: float, row: str) -> list[Passed]:
    ribs = [(i, x) for i, x in enumerate(metal.RIBS) if min(x0, x1) < x < max(x0, x1)]
    y, step = metal.BOW_ROWS[row], 1 if x1 > x0 else -1
    return [
        (f"B{i + 1}{row}", ((x - step * 0.005, y, TOP), (x + step * 0.005, y, TOP)))
        for i, x in sorted(ribs, key=lambda rib: step * rib[1])
    ]


def _rail(side: int, x: float, up: bool) -> Passed:
    number = metal.RAIL_X.index(x) + 1
    ends = ((x, side * Y, metal.RAIL_Z - 0.005), (x, side * Y, metal.RAIL_Z + 0.005))
    return f"{'L' if side > 0 else 'R'}E{number}", ends if up else ends[::-1]


def _axis(line: tuple[Point, ...]) -> str:
    """Which way a hole leads."""
    return next(axis for i, axis in enumerate("xyz") if line[0][i] != line[1][i])


def _square(start: Point, end: Point, first: str = "", last: str = "") -> tuple[Point, ...]:
    """Square along the axes: out of one hole the way it leads, into the next the way that one leads."""
    if first == last == "z":
        return (start, (start[0], start[1], TOP), (end[0], end[1], TOP), end)
    order = first + "".join(axis for axis in "xyz" if axis not in first + last) + last
    points = [start]
    for axis in dict.fromkeys(order):
        point = list(points[-1])
        point["xyz".index(axis)] = end["xyz".index(axis)]
        points.append((point[0], point[1], point[2]))
    kept = [start]
    kept += [after for before, after in pairwise(points) if after != before]
    return tuple(kept)


def _inner(place: tuple[str, Point]) -> Point:
    wall, (x, y, z) = place
    return (x, y, TOP) if wall == "roof" else (x, Y if wall == "left" else -Y, z)


def _route(start: str, end: str, passed: list[Passed]) -> Legs:
    a, b = PLACE[start], PLACE[end]
    legs: list[tuple[str, str, tuple[Point, ...]]] = [("stub", start, (a[1], _inner(a)))]
    at, before = _inner(a), ""
    for i, (name, line) in enumerate(passed):
        if line[0] != at:
            legs.append(("bay", f"bay-{i}", _square(at, line[0], before, _axis(line))))
        legs.append(("opening", name, line))
        at, before = line[1], _axis(line)
    if at != _inner(b):
        legs.append(("bay", "bay-last", _square(at, _inner(b), before)))
    legs.append(("stub", end, (_inner(b), b[1])))
    return tuple(legs)  # type: ignore[arg-type]


def _wall(start: str, end: str, row: str) -> list[Passed]:
    (wall, a), (_, b) = PLACE[start], PLACE[end]
    name, side = ("L", 1) if wall == "left" else ("R", -1)
    return _along(name, side, a[0], b[0], row)[0]


def _roof(start: str, end: str, rail_x: float, bow_row: str, row: str = "c") -> list[Passed]:
    a, b = PLACE[start][1], PLACE[end][1]
    return [*_along("L", 1, a[0], rail_x, row)[0], _rail(1, rail_x, True), *_bows(rail_x, b[0], bow_row)]


def _back(passed: list[Passed]) -> list[Passed]:
    return [(name, line[::-1]) for name, line in reversed(passed)]


def _over(end: str, row: str) -> list[Passed]:
    b = PLACE[end][1]
    return [_rail(1, -0.3, True), _rail(-1, -0.3, False), *_along("R", -1, -0.3, b[0], row)[0]]


def _runs() -> tuple[PlanRun, ...]:
    thin, mid, ac = "round-4x0.5", "flat-2x2.5", "round-3x1.5"
    rows = (
        ("main", "battery", "board", "flat-2x16", "mains", _wall("battery", "board", "a")),
        ("charge", "charger", "battery", "flat-2x16", "mains", _wall("charger", "battery", "a")),
        ("fridge", "board", "fridge", mid, "left low", _wall("board", "fridge", "a")),
        ("pump", "board", "pump", mid, "left low", _wall("board", "pump", "a")),
        ("tank", "board", "tank", thin, "left low", _wall("board", "tank", "b")),
        ("heater", "board", "heater", mid, "left high", _wall("board", "heater", "b")),
        ("usb-l", "board", "usb-l", mid, "left high", _wall("board", "usb-l", "b")),
        ("usb-bed", "board", "usb-bed", mid, "left high", _wall("board", "usb-bed", "b")),
        ("display", "board", "display", thin, "left high", _wall("board", "display", "c")),
        ("light-1", "board", "light-1", thin, "roof", _roof("board", "light-1", -0.9, "b")),
        ("light-2", "board", "light-2", thin, "roof", _roof("board", "light-2", -0.9, "b")),
        ("light-3", "board", "light-3", thin, "roof", _roof("board", "light-3", -0.9, "b")),
        ("light-4", "board", "light-4", thin, "roof", _roof("board", "light-4", -0.9, "b")),
        ("fan", "board", "fan", thin, "roof", _roof("board", "fan", -0.9, "a")),
        ("solar", "solar", "board", mid, "roof", _back(_roof("board", "solar", -0.9, "a"))),
        ("awning", "board", "awning", thin, "right", _over("awning", "c")),
        ("usb-r", "board", "usb-r", mid, "right", _over("usb-r", "c")),
        ("reader", "board", "reader", thin, "right", _over("reader", "c")),
        ("ac-1", "inlet", "ac-1", ac, "AC", _wall("inlet", "ac-1", "a")),
        ("ac-2", "inlet", "ac-2", ac, "AC", _wall("inlet", "ac-2", "a")),
    )  # fmt: skip
    made = []
    for name, start, end, cable, loom, passed in rows:
        legs = _route(start, end, passed)
        kind: Kind = "ac" if loom == "AC" else "data" if name in ("tank", "display") else "dc"
        made.append(
            run_of(
                Wanted(f"{name}-1", name, start, end, kind, "main" if loom == "mains" else "circuit", cable, legs, 0.1,
                       ((start, 0.5), (end, 0.3)), 12.0, 3.0, 0.0, 3.0, 20.0, "drop", loom)
            )
        )  # fmt: skip
    return tuple(made)


def _openings(runs: tuple[PlanRun, ...]) -> tuple[PlanOpening, ...]:
    through: dict[str, list[PlanRun]] = defaultdict(list)
    for run in runs:
        for name in run.openings:
            through[name].append(run)
    made = []

    def add(name: str, member: str, wall: str, axis: str, centre: Point, reach: float) -> None:
        across = [i for i in range(3) if i != "xyz".index(axis)]
        rim = []
        for u, v in metal.rim(centre[across[0]], centre[across[1]]):
            point = list(centre)
            point[across[0]], point[across[1]] = u, v
            rim.append((point[0], point[1], point[2]))
        ends = []
        for sign in (1.0, -1.0):
            end = list(centre)
            end["xyz".index(axis)] += sign * reach
            ends.append((end[0], end[1], end[2]))
        runs_here = through.get(name, [])
        used = sum(3.1416 / 4 * run.outside_mm**2 for run in runs_here)
        area = 3.1416 / 4 * 30.0**2
        made.append(
            PlanOpening(
                id=name, member=member, shape="round", state="drill" if name.startswith("LE") else "assumed",
                raw_bore_mm=30.0, clear_bore_mm=27.0, slot_length_mm=None, grommet_mm=27.0, taken_mm=0.0, area_mm2=area,
                fill_percent=round(100 * used / area, 1), fill_limit_percent=40.0, runs=tuple(r.id for r in runs_here),
                centre=centre, axis=tuple(1.0 if a == axis else 0.0 for a in "xyz"), line=tuple(ends), rim=tuple(rim),
                wall=wall, back_m=-centre[0], up_m=centre[2], bundle_diameter_mm=0.0,
            )
        )  # fmt: skip

    for i, x in enumerate(metal.RIBS):
        for row, z in metal.ROWS.items():
            add(f"L{i + 1}{row}", f"L{i + 1}", "left", "x", (x, Y, z), metal.WIDTH / 2 + 0.005)
            add(f"R{i + 1}{row}", f"R{i + 1}", "right", "x", (x, -Y, z), metal.WIDTH / 2 + 0.005)
        for row, y in metal.BOW_ROWS.items():
            add(f"B{i + 1}{row}", f"B{i + 1}", "roof", "x", (x, y, TOP), 0.005)
    for i, x in enumerate(metal.RAIL_X):
        add(f"LE{i + 1}", "LE", "left", "z", (x, Y, metal.RAIL_Z), 0.005)
        add(f"RE{i + 1}", "RE", "right", "z", (x, -Y, metal.RAIL_Z), 0.005)
    return tuple(made)


def van_plan() -> Plan:
    """The invented van's plan, made anew."""
    runs = _runs()
    names = sorted({run.loom for run in runs})
    looms = tuple(
        PlanLoom(
            id=name, zone=name.split()[0], runs=tuple(run.id for run in runs if run.loom == name), sections=(),
            breakouts=(), diameter_mm=20.0, length_m=3.0, colour=loom_colour(i),
        )
        for i, name in enumerate(names)
    )  # fmt: skip
    devices = tuple(
        PlanDevice(
            id=id, name=name, kind=kind, zone=wall, wall=wall, back_m=-x, up_m=z, left_m=y, stand_off_m=0.05,
            point=(x, y, z), amps=1.0, start_amps=1.0, confirmed=True, feeds=(),
        )
        for id, name, kind, wall, x, y, z in PLACES
    )  # fmt: skip
    window = ((-1.25, -0.89, 0.95), (-0.65, -0.89, 0.95), (-0.65, -0.89, 1.40), (-1.25, -0.89, 1.40))
    base = sample_plan()
    totals = base.totals.model_copy(
        update={"copper_kg": round(sum(run.copper_kg for run in runs), 3), "cable_m": sum(run.cut_m for run in runs)}
    )
    return base.model_copy(
        update={
            "name": "Field laboratory", "alternative": "board by the door", "shell_length_m": metal.LENGTH,
            "devices": devices, "runs": runs, "looms": looms, "openings": _openings(runs), "ways": (), "bays": (),
            "keep_outs": (PlanKeepOut(id="window", why="window", wall="right", outline=window, margin_mm=20.0),),
            "parts": metal.parts(), "cables": CABLES, "totals": totals,
        }
    )  # fmt: skip
