"""Whole plans on plain shells equal a brute force over every order of holes, whose lengths are closed forms.

The reference (`helpers/pencil.py`) knows nothing of the router. Coordinates are multiples of 0.1 mm, so that square legs
need no rounding; taut legs are rounded up to 0.1 mm leg by leg, as printed lengths are.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from typing import Any

import pencil
import pytest
from pencil import Passage, Spot
from plain_shells import (
    CLEAR,
    HALF_WIDTH,
    RAIL,
    WIDTH,
    Bar,
    Corner,
    Hole,
    on_roof,
    on_wall,
    plain_shell,
    project,
)

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_on
from ribway.router.shell.parts import Shell

METRIC = {"square": pencil.square, "taut": pencil.taut}


def plan_of(wanted: Project, shell: Shell) -> Plan:
    """The plan of a project on a shell that was built here."""
    return plan_on(wanted, shell)


def tenth(low: float, high: float, rng: random.Random) -> float:
    """A random multiple of 0.1 mm."""
    return rng.randint(round(low * 1e4), round(high * 1e4)) / 1e4


def bars(rng: random.Random, count: int, length: float, low: float, high: float, most: int) -> tuple[Bar, ...]:
    """Ribs or bows at random places, each with some holes at random places and heights off the skin."""
    out = []
    for k in range(count):
        back = tenth((k + 0.7) * length / (count + 1), (k + 1.3) * length / (count + 1), rng)
        places: list[float] = []
        while len(places) < rng.randint(1, most):
            at = tenth(low + 0.05, high - 0.05, rng)
            if all(abs(at - other) > 0.06 for other in places):
                places.append(at)
        holes = tuple(Hole(at, tenth(0.02, 0.035, rng), rng.choice((0.02, 0.025, 0.03))) for at in sorted(places))
        out.append(Bar(back, holes))
    return tuple(out)


def passages_of(wall: str, given: Sequence[Bar], letter: str) -> list[Passage]:
    """Holes of ribs or bows as passages between numbered bays."""
    reach = WIDTH / 2 + CLEAR
    out = []
    for number, bar in enumerate(given, start=1):
        # Holes of bows are named from the left in the order they were given here: any order, names only tell them apart.
        for index, hole in enumerate(bar.holes):
            a = Spot(f"{wall} {number - 1}", bar.back - reach, hole.at, hole.off)
            b = Spot(f"{wall} {number}", bar.back + reach, hole.at, hole.off)
            out.append(Passage(f"{letter}{number}{chr(97 + index)}", a, b, 2 * reach))
    return out


def bay_of(back: float, given: Sequence[Bar]) -> int:
    """Number of the bay by the ribs in front of it."""
    return sum(1 for bar in given if bar.back < back)


def free_back(rng: random.Random, length: float, given: Sequence[Bar]) -> float:
    """A place along the van that is not on a rib."""
    while True:
        back = tenth(0.03, length - 0.03, rng)
        if all(abs(back - bar.back) > WIDTH / 2 + 0.005 for bar in given):
            return back


def circuits(pairs: Sequence[tuple[str, str]]) -> list[dict[str, Any]]:
    """A home run for each pair of devices."""
    return [{"id": f"C{k}", "name": f"C{k}", "from": a, "to": [b]} for k, (a, b) in enumerate(pairs)]


def rounded_up(length: float) -> float:
    """To the next 0.1 mm, an exact multiple unchanged."""
    return math.ceil(length * 1e4 - 1e-5) / 1e4


def agree(plan: Plan, run: int, start: Spot, end: Spot, stubs: float, found: pencil.Route | None) -> None:
    """The run's length is the brute force's, leg by leg rounded up to 0.1 mm; so are its openings, but for ties."""
    assert found is not None
    assert plan.complete
    got = plan.runs[run]
    want = sum(rounded_up(leg) for leg in found.legs) + stubs
    assert got.sharp_m == pytest.approx(want, abs=1e-4 + 1e-9)
    assert got.sharp_m >= found.length + stubs - 1e-9, "a printed length errs to the long side"
    assert len(got.openings) == len(found.names)
    assert got.straight_m <= got.taut_m + 1e-4 <= got.sharp_m + 2e-4
    assert got.rounded_m <= got.sharp_m + 1e-9
    assert got.cut_m >= got.sharp_m + got.slack_m + got.tail_a_m + got.tail_b_m - 1e-9


@pytest.mark.parametrize("lay_rule", ["square", "taut"])
@pytest.mark.parametrize("seed", range(8))
def test_a_flat_wall(seed: int, lay_rule: str) -> None:
    rng = random.Random(100 + seed)
    length, height, lay = tenth(1.2, 3.0, rng), tenth(1.0, 1.8, rng), rng.choice((0.02, 0.0275, 0.031))
    ribs = bars(rng, rng.randint(1, 4), length, 0.0, height, 4)
    spots, places = {}, {}
    for name in ("a", "b", "c", "d"):
        back, up, off = free_back(rng, length, ribs), tenth(0.03, height - 0.03, rng), tenth(0.02, 0.08, rng)
        places[name] = on_wall(back, up, off)
        spots[name] = (Spot(f"left {bay_of(back, ribs)}", back, up, lay), abs(off - lay))
    pairs = [("a", "b"), ("a", "c"), ("b", "d")]
    wanted = project(places, circuits(pairs), {"lay": lay_rule}, devices={n: {"amps": 0.1} for n in places})
    plan = plan_of(wanted, plain_shell(length, height, ribs, lay=lay))
    known = passages_of("left", ribs, "L")
    for k, (a, b) in enumerate(pairs):
        found = pencil.shortest(spots[a][0], spots[b][0], known, METRIC[lay_rule], lay)
        agree(plan, k, spots[a][0], spots[b][0], spots[a][1] + spots[b][1], found)


@pytest.mark.parametrize("lay_rule", ["square", "taut"])
@pytest.mark.parametrize("seed", range(7))
def test_wall_and_roof_through_the_corner_rail(seed: int, lay_rule: str) -> None:
    rng = random.Random(200 + seed)
    length, height, lay = tenth(1.2, 2.4, rng), tenth(1.2, 1.8, rng), 0.0275
    ribs = bars(rng, 2, length, 0.0, height - RAIL, 2)
    bows = bars(rng, 2, length, -HALF_WIDTH, HALF_WIDTH - RAIL, 2)
    corners = []
    for _ in range(rng.randint(1, 3)):
        back = free_back(rng, length, [*ribs, *bows, *(Bar(corner.back, ()) for corner in corners)])
        corners.append(Corner(back, tenth(0.02, 0.035, rng), tenth(0.02, 0.035, rng), 0.025))
    known = passages_of("left", ribs, "L") + passages_of("roof", bows, "B")
    for number, corner in enumerate(corners, start=1):
        below = Spot(f"left {bay_of(corner.back, ribs)}", corner.back, height - RAIL - CLEAR, corner.off_wall)
        above = Spot(f"roof {bay_of(corner.back, bows)}", corner.back, HALF_WIDTH - RAIL - CLEAR, corner.off_roof)
        own = 2 * (RAIL + CLEAR) - corner.off_wall - corner.off_roof
        known.append(Passage(f"LE{number}", below, above, own))
    spots, places = {}, {}
    for name in ("w1", "w2"):
        back, up, off = free_back(rng, length, ribs), tenth(0.03, height - RAIL - 0.03, rng), tenth(0.02, 0.08, rng)
        places[name] = on_wall(back, up, off)
        spots[name] = (Spot(f"left {bay_of(back, ribs)}", back, up, lay), abs(off - lay))
    for name in ("r1", "r2"):
        back, left, off = free_back(rng, length, bows), tenth(-0.85, 0.75, rng), tenth(0.02, 0.08, rng)
        places[name] = on_roof(back, left, off)
        spots[name] = (Spot(f"roof {bay_of(back, bows)}", back, left, lay), abs(off - lay))
    pairs = [("w1", "r1"), ("w2", "r2"), ("r1", "r2")]
    wanted = project(places, circuits(pairs), {"lay": lay_rule}, devices={n: {"amps": 0.1} for n in places})
    plan = plan_of(wanted, plain_shell(length, height, ribs, bows, corners, roof=True, lay=lay))
    for k, (a, b) in enumerate(pairs):
        found = pencil.shortest(spots[a][0], spots[b][0], known, METRIC[lay_rule], lay)
        agree(plan, k, spots[a][0], spots[b][0], spots[a][1] + spots[b][1], found)


@pytest.mark.parametrize("seed", range(6))
def test_round_a_keep_out(seed: int) -> None:
    """One rib, and behind it a bay with a keep-out in the way; everything lies on a 5 mm grid."""
    rng = random.Random(300 + seed)
    step, lay, margin = 0.005, 0.0275, 0.02

    def on_grid(low: float, high: float) -> float:
        return rng.randint(round(low / step), round(high / step)) * step

    length, height = 1.8, 1.2
    ribs = (Bar(0.419, (Hole(on_grid(0.1, 0.5)), Hole(on_grid(0.6, 1.1)))),)  # mouths at 0.388 and 0.450
    front, rear = on_grid(0.65, 0.85), on_grid(1.0, 1.3)
    bottom, top = on_grid(0.15, 0.45), on_grid(0.6, 1.0)
    hole = (front - margin, bottom - margin, rear + margin, top + margin)
    room = (0.45, 0.01, length - 0.01, height - 0.01)
    goal = Spot("left 1", on_grid(rear + 0.05, length - 0.05), on_grid(0.05, height - 0.05), lay)
    start = Spot("left 0", 0.2, on_grid(0.05, height - 0.05), lay)
    from_goal = pencil.grid_lengths(room, hole, step, goal)

    def square(p: Spot, q: Spot) -> float:
        return pencil.square(p, q) if p.bay == "left 0" else from_goal(p if q == goal else q)

    def taut(p: Spot, q: Spot) -> float:
        return pencil.taut(p, q) if p.bay == "left 0" else pencil.taut_round_box(p, q, hole)

    keep_out = {
        "name": "airbag",
        "why": "airbag",
        "corner": {"wall": "left", "back": front, "up": bottom},
        "opposite": {"wall": "left", "back": rear, "up": top},
        "margin": margin,
    }
    places = {"a": on_wall(start.u, start.v, lay), "b": on_wall(goal.u, goal.v, lay)}
    shell = plain_shell(length, height, ribs, lay=lay)
    for lay_rule, in_bay in (("square", square), ("taut", taut)):
        wanted = project(
            places,
            circuits([("a", "b")]),
            {"lay": lay_rule, "keep_out_margin": 0.0},
            {"keep_outs": [keep_out]},
            {name: {"amps": 0.1} for name in places},
        )
        plan = plan_of(wanted, shell)
        found = pencil.shortest(start, goal, passages_of("left", ribs, "L"), in_bay, lay)
        agree(plan, 0, start, goal, 0.0, found)
        for leg in plan.runs[0].legs:
            if leg.kind == "bay":
                for p, q in zip(leg.points[:-1], leg.points[1:], strict=True):
                    ends = [(-point[0], point[2]) for point in (p, q)]
                    inner = (hole[0] + 2e-4, hole[1] + 2e-4, hole[2] - 2e-4, hole[3] - 2e-4)
                    assert not pencil._through(ends[0], ends[1], inner), "a cable lies in the keep-out"


def test_the_brute_force_by_hand() -> None:
    """The reference itself against a route added up by hand: 0.3 + 0.2 to the hole, 0.062 through, 0.5 + 0.1 on."""
    hole = Passage("L1a", Spot("0", 0.4, 0.5, 0.03), Spot("1", 0.462, 0.5, 0.03), 0.062)
    found = pencil.shortest(Spot("0", 0.1, 0.3, 0.02), Spot("1", 0.962, 0.6, 0.02), [hole], pencil.square, 0.02)
    assert found is not None
    assert found.length == pytest.approx(0.3 + 0.2 + 0.062 + 0.5 + 0.1 + 2 * 0.01, abs=1e-12)
    box = (1.0, 1.0, 2.0, 2.0)
    assert pencil.taut_round_box(Spot("", 0.5, 1.5, 0), Spot("", 2.5, 1.5, 0), box) == pytest.approx(
        1.0 + 2 * math.hypot(0.5, 0.5)
    )
    lengths = pencil.grid_lengths((0.0, 0.0, 3.0, 3.0), box, 0.25, Spot("", 0.5, 1.5, 0))
    assert lengths(Spot("", 2.5, 1.5, 0)) == pytest.approx(2.0 + 2 * 0.5)
