"""One thing that stops many runs is told once, and it does stop them all: opening one way that is named lets some through."""

from __future__ import annotations

from typing import Any

import pytest
from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.router.paths.causes import named
from ribway.router.planner import plan_on
from ribway.router.planning import Planning
from ribway.router.rising import planned
from ribway.router.shell.parts import Shell
from ribway.router.writing.plan import write_plan

FRONT, REAR = on_wall(0.2, 0.35), 1.3


def shell(first: float = 0.03, second: float = 0.03) -> Shell:
    """Two ribs with three holes each."""
    heights = (0.25, 0.5, 0.75)
    return plain_shell(
        1.9,
        1.2,
        [Bar(back, tuple(Hole(at, bore=bore) for at in heights)) for back, bore in ((0.6, first), (1.1, second))],
    )


def van(many: int, blocked: tuple[str, ...] = (), cable: str = "2x2.5", middle: int = 0) -> Any:
    """A battery before both ribs, loads behind them, and some between them."""
    places = {"battery": FRONT}
    places |= {f"load{k}": on_wall(REAR + 0.05 * k, 0.3 + 0.08 * k) for k in range(many)}
    places |= {f"near{k}": on_wall(0.8 + 0.05 * k, 0.4) for k in range(middle)}
    circuits = [
        {"id": f"C{k}", "name": f"C{k}", "from": "battery", "to": [name], "cable": cable}
        for k, name in enumerate(list(places)[1:])
    ]
    openings = [{"name": name, "state": "blocked"} for name in blocked]
    return project(places, circuits, vehicle={"openings": openings}, devices={"battery": {"kind": "source"}})


def plan_of(data: Any, metal: Shell) -> Plan:
    """A plan without bound and without what would free it."""
    planning = Planning(data, metal)
    return write_plan(planning.outcome(planned(planning), "", None))


def dead(plan: Plan) -> list[Finding]:
    """Errors about runs without a route."""
    return [one for one in plan.findings if one.message.startswith("no route")]


def test_a_rib_with_all_holes_blocked_is_told_once() -> None:
    (one,) = dead(plan_of(van(5, ("L2a", "L2b", "L2c")), shell()))
    assert (one.code, one.about) == ("no-way", "C0, C1, C2, C3, C4")
    assert one.message.startswith("no route for 5 runs between battery and load0, load1, load2, load3, load4: ")
    assert "L2a, L2b, L2c (blocked)" in one.message
    assert one.remedy == "open one of L2a, L2b, L2c"
    assert not dead(plan_of(van(5, ("L2a", "L2c")), shell(second=0.05))), "one of them opened lets all through"


def test_two_ribs_are_two_causes_for_those_that_stop_at_each() -> None:
    found = dead(plan_of(van(3, ("L2a", "L2b", "L2c"), middle=2), shell()))
    assert [one.about for one in found] == ["C0, C1, C2"], "those between the ribs have a route"
    found = dead(plan_of(van(3, ("L1a", "L1b", "L1c", "L2a", "L2b", "L2c"), middle=2), shell()))
    assert [one.about for one in found] == ["C0, C1, C2, C3, C4"]
    assert "L1a, L1b, L1c (blocked)" in found[0].message, "what stops most is told, and stops them all"
    assert "L2" not in found[0].message


def test_holes_too_small_for_all_are_told_once_with_what_lets_the_thickest_in() -> None:
    """2 x 10 mm2 is 15.0 x 8.0 mm (stock list), and a grommet takes 4 mm: 19 mm."""
    (one,) = dead(plan_of(van(4, cable="2x10"), shell(first=0.016)))
    assert (one.code, one.about) == ("opening-too-small", "C0, C1, C2, C3")
    assert "L1a, L1b, L1c (too small for each of them)" in one.message
    assert "19 mm lets the thickest in alone" in one.remedy


def test_full_holes_are_told_once() -> None:
    plan = plan_of(van(9, cable="2x4"), shell(first=0.021))
    (one,) = dead(plan)
    assert one.code == "opening-full"
    assert len(one.about.split(", ")) + len(plan.runs) == 9
    assert "L1a, L1b, L1c (full, or shared with what must be kept apart)" in one.message


@pytest.mark.parametrize("blocked", [("L1a",), ("L1a", "L1b", "L1c"), ("L2a", "L2b", "L2c")])
def test_every_run_without_a_route_is_told_of_in_one_finding(blocked: tuple[str, ...]) -> None:
    data = van(6, blocked, middle=2)
    plan = plan_of(data, shell(first=0.025))
    told = [run for one in dead(plan) for run in one.about.split(", ")]
    assert sorted(told) == sorted({f"C{k}" for k in range(8)} - {run.id for run in plan.runs})
    assert len(told) == len(set(told))


def test_what_would_free_them_names_the_same_runs() -> None:
    plan = plan_on(van(3, ("L2a", "L2b", "L2c")), shell())
    (free,) = [one for one in plan.findings if one.code == "would-free"]
    assert free.about == "C0, C1, C2"
    assert "free L2" in free.message
    assert "no changes of holes, plugs or runs that are less trouble will do" in free.message


def test_long_lists_are_cut() -> None:
    assert named(["a", "b"]) == "a, b"
    assert named([str(k) for k in range(9)]) == "0, 1, 2, 3, 4, 5 and 3 others"
