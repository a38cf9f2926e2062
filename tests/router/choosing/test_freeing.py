"""Runs without a route: what is said to free them is done to the metal itself, and then they have one."""

from __future__ import annotations

import re
from typing import Any

import pytest
from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.choosing.freeing import Relief, relief_of
from ribway.router.planner import plan_on
from ribway.router.planning import Planning
from ribway.router.rising import planned
from ribway.router.shell.parts import Shell

PLACES = {"a": on_wall(0.2, 0.35), "b": on_wall(1.2, 0.4), "c": on_wall(0.3, 0.5), "d": on_wall(1.3, 0.6)}


def wall(*bores: float) -> Shell:
    """One rib with holes of these sizes, one above the other."""
    return plain_shell(1.5, 1.2, [Bar(0.7, tuple(Hole(0.3 + 0.2 * k, bore=bore) for k, bore in enumerate(bores)))])


def circuits(*cables: str) -> list[dict[str, Any]]:
    ends = (("a", "b"), ("c", "d"))
    return [
        {"id": f"P{k}", "name": f"P{k}", "from": ends[k % 2][0], "to": [ends[k % 2][1]], "cable": cable}
        for k, cable in enumerate(cables)
    ]


def relief(van: Project, shell: Shell) -> Relief:
    planning = Planning(van, shell)
    state = planned(planning)
    assert not state.whole
    return relief_of(planning, state)


def told(plan: Plan, code: str) -> str:
    return " ".join(one.message for one in plan.findings if one.code == code)


def test_a_hole_too_small_is_bored_as_far_as_is_said() -> None:
    van = project(PLACES, circuits("2x6"))  # 11.6 mm wide, and 40 % of the clear bore
    found = relief(van, wall(0.016))
    words = [one.words for one in found.freed]
    (bore,) = [int(re.findall(r"bore L1a to (\d+) mm", said)[0]) for (said,) in words if said.startswith("bore")]
    assert bore > 16
    assert plan_on(van, wall(bore / 1000.0)).complete
    assert not plan_on(van, wall((bore - 4) / 1000.0)).complete, (
        "four millimetres less would not do, or it had been said"
    )


def test_another_hole_frees_what_does_not_lie_together() -> None:
    van = project(PLACES, circuits("2x4", "2x4"), devices={"a": {"kind": "source"}, "c": {"kind": "source"}})
    one = wall(0.021)
    assert plan_on(project(PLACES, circuits("2x4")), one).complete
    found = relief(van, one)
    assert found.freed, "some change frees it"
    beside = [said for freed in found.freed for said in freed.words if "beside L1a" in said]
    assert beside == ["drill another hole of 21 mm beside L1a"]
    assert plan_on(van, wall(0.021, 0.021)).complete
    assert found.freed == tuple(sorted(found.freed, key=lambda freed: freed.price))


def test_too_small_together_is_shown_and_named() -> None:
    van = project(PLACES, circuits("2x4", "2x4"))
    plan = plan_on(van, wall(0.021))
    assert not plan.complete
    assert "at least 1 of the runs P0, P1 find no room" in told(plan, "no-room-shown")
    assert "L1a are too few" in told(plan, "no-room-shown")
    assert "bore L1a to" in told(plan, "would-free")


def test_a_blocked_hole_is_named() -> None:
    van = project(PLACES, circuits("2x1.5"), vehicle={"openings": [{"name": "L1a", "state": "blocked"}]})
    assert ("free L1a, which is blocked",) in [one.words for one in relief(van, wall(0.025)).freed]


def test_a_plug_is_taken_off() -> None:
    data = [{"id": "N", "name": "N", "kind": "data", "from": "a", "to": ["b"], "cable": "8 x 24 AWG"}]
    found = relief(project(PLACES, data), wall(0.017))
    assert ("take the plug of N off and refit it",) in [one.words for one in found.freed]


@pytest.mark.parametrize("bores", [(0.025,), (0.025, 0.012)])
def test_it_stops_on_counts_and_says_the_same_again(bores: tuple[float, ...]) -> None:
    van = project(PLACES, circuits("2x4", "2x4", "2x4"))
    one, other = relief(van, wall(*bores)), relief(van, wall(*bores))
    assert one == other
    assert one.tried <= 30
