"""Keep-outs on a wall that leans: seen along the wall's own normal, not along an axis of the van."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.router.audit.book import open_book
from ribway.router.audit.keep_outs import check_keep_outs
from samples import metal
from samples.spoilt.changes import change, leg

LEAN = math.radians(20.0)
OFF = 0.03
Place = tuple[float, float, float]


def on_wall(x: float, up: float, off: float = 0.0) -> Place:
    """A point of a wall that leans inwards from the floor's edge: distance up along it, and off it along its normal."""
    y, z = 0.9 - up * math.sin(LEAN) - off * math.cos(LEAN), up * math.cos(LEAN) - off * math.sin(LEAN)
    return (x, y, z)


def leaning(plan: Plan, up: float, outline: tuple[Place, ...]) -> Plan:
    """The sample with a leaning left wall, one keep-out on it, and the fridge's last bay leg along it 3 cm off."""
    corners: list[Any] = [on_wall(0.0, -1.0), on_wall(-2.0, -1.0), on_wall(-2.0, 2.0), on_wall(0.0, 2.0)]
    wall = metal.part("left", "skin", corners, [(0, 1, 2), (0, 2, 3)])
    plan = change(plan, "parts", "left", vertices_f32=wall.vertices_f32, faces_u32=wall.faces_u32)
    plan = change(plan, "keep_outs", "window-left", outline=outline)
    return leg(plan, "fridge-1", 3, points=(on_wall(-1.1, up, OFF), on_wall(-1.6, up, OFF)))


def patch(low: float, high: float) -> tuple[Place, ...]:
    return tuple(on_wall(x, up) for x, up in ((-1.2, low), (-1.5, low), (-1.5, high), (-1.2, high)))


@pytest.mark.parametrize(
    ("up", "inside"), [(0.6995, False), (0.6, False), (0.75, True), (0.703, True), (0.8005, False)]
)
def test_a_leg_beside_a_keep_out(sample_plan: Plan, up: float, inside: bool) -> None:
    """Looked at sideways the leg would seem 10 mm lower (0.03 m x sin 20), so that both edges would be misjudged."""
    found = list(check_keep_outs(open_book(leaning(sample_plan, up, patch(0.7, 0.8)))))
    assert [(one.code, one.about) for one in found] == ([("in-keep-out", "fridge-1")] if inside else [])


def test_how_deep(sample_plan: Plan) -> None:
    (found,) = check_keep_outs(open_book(leaning(sample_plan, 0.75, patch(0.7, 0.8))))
    assert "50.0 mm inside" in found.message


def test_a_notch_is_free(sample_plan: Plan) -> None:
    """A U with its opening upwards: the leg passes through both arms, 5 cm wide, or above them; seen every 4 mm."""
    u = ((-1.2, 0.5), (-1.5, 0.5), (-1.5, 0.9), (-1.45, 0.9), (-1.45, 0.7), (-1.25, 0.7), (-1.25, 0.9), (-1.2, 0.9))
    outline = tuple(on_wall(x, up) for x, up in u)
    (found,) = check_keep_outs(open_book(leaning(sample_plan, 0.8, outline)))
    assert 23.0 <= float(re.findall(r"([0-9.]+) mm inside", found.message)[0]) <= 25.0
    assert list(check_keep_outs(open_book(leaning(sample_plan, 0.95, outline)))) == []


def test_other_walls_do_not_matter(sample_plan: Plan) -> None:
    """The same heights and distances on the right wall."""
    right = tuple((x, -y, z) for x, y, z in patch(0.0, 1.5))
    plan = change(sample_plan, "keep_outs", "window-left", wall="right", outline=right)
    assert {one.about for one in check_keep_outs(open_book(plan))} == {"outlet-1"}
