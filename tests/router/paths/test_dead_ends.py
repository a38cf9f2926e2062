"""A run without a route is told where it stops, why, and what would free it; and doing that frees it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from holes import cable
from plain_shells import Bar, Hole, on_wall, plain_shell, project, with_filled, without

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.router.paths.admission import Separation
from ribway.router.paths.dead_ends import explain
from ribway.router.paths.jobs import Job
from ribway.router.paths.negotiation import Negotiator
from ribway.router.planner import plan_on
from ribway.router.shell.parts import Shell
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network

PLACES = {"a": on_wall(0.2, 0.35), "b": on_wall(1.2, 0.4), "c": on_wall(0.3, 0.5), "d": on_wall(1.3, 0.6)}


def wall(*bores: float) -> Shell:
    """One rib with holes of these sizes, one above the other."""
    return plain_shell(1.5, 1.2, [Bar(0.7, tuple(Hole(0.3 + 0.2 * k, bore=bore) for k, bore in enumerate(bores)))])


def plan_of(shell: Shell, circuits: list[dict[str, Any]], **more: Any) -> Plan:
    """A plan with these circuits, from a to b and c to d."""
    return plan_on(project(PLACES, circuits, **more), shell)


def circuit(name: str, ends: tuple[str, str], **more: Any) -> dict[str, Any]:
    """A circuit with one run."""
    return {"id": name, "name": name, "from": ends[0], "to": [ends[1]], **more}


def dead(plan: Plan) -> list[Finding]:
    """Errors about runs without a route."""
    assert plan.complete is not any(found.message.startswith("no route") for found in plan.findings)
    return [found for found in plan.findings if found.message.startswith("no route")]


def bored(shell: Shell, name: str, bore: float) -> Shell:
    """The shell as if that hole had been bored to a size: the rib is made anew."""
    bores = [bore if opening.name == name else opening.bore_m for opening in shell.openings]
    return wall(*bores)


def size_in(remedy: str) -> float:
    """The diameter that a remedy asks for [m]."""
    found = re.search(r"bore it to (\d+) mm or more", remedy)
    assert found is not None, remedy
    return int(found[1]) / 1000


def test_a_cable_thicker_than_every_hole() -> None:
    """2 x 10 mm2 is 15.0 x 8.0 mm (stock list); 16 mm less a grommet is 12 mm clear."""
    shell = wall(0.016, 0.014)
    wanted = [circuit("big", ("a", "b"), cable="2x10")]
    found = dead(plan_of(shell, wanted))
    assert [(one.code, one.about) for one in found] == [("opening-too-small", "big")]
    assert "stops at L1a" in found[0].message
    assert "15 x 8 mm" in found[0].message
    assert "12 mm clear" in found[0].message
    assert found[0].remedy.startswith("L1a: bore it to")


def test_doing_what_the_remedy_says_frees_the_run() -> None:
    """The body asks for 15 + 4 = 19 mm; the fill of 15.0 x 8.0 flat, 106.3 mm2, for sqrt(4 / pi x 265.7) + 4 = 22.4."""
    shell, wanted = wall(0.016), [circuit("big", ("a", "b"), cable="2x10")]
    found = dead(plan_of(shell, wanted))
    sizes = [int(size) for size in re.findall(r"bore it (?:larger: )?to (\d+) mm or more", found[0].remedy)]
    assert sizes == [19, 23]
    assert dead(plan_of(bored(shell, "L1a", 0.022), wanted))
    assert not dead(plan_of(bored(shell, "L1a", 0.023), wanted))


def test_a_plug_that_does_not_pass_and_the_remedy() -> None:
    """The stocked network cable: 6.2 mm with a plug of 14 mm."""
    shell, wanted = wall(0.016), [circuit("net", ("a", "b"), kind="data", cable="8 x 24 AWG")]
    found = dead(plan_of(shell, wanted))
    assert [(one.code, one.about) for one in found] == [("opening-too-small", "net")]
    assert "the plug, 14 mm, does not pass 12 mm clear" in found[0].message
    assert "take the plug off and refit it" in found[0].remedy
    assert not dead(plan_of(bored(shell, "L1a", size_in(found[0].remedy)), wanted))


def test_a_full_hole_is_said_with_its_fill() -> None:
    """One hole of 16 mm (12 clear, 40 % are 45 mm2): 2 x 1 is 6.0 mm round, 28 mm2. One goes in, two are 50 %."""
    shell = wall(0.016)
    wanted = [circuit("one", ("a", "b"), cable="2x1"), circuit("two", ("c", "d"), cable="2x1")]
    found = dead(plan_of(shell, wanted))
    assert [one.code for one in found] == ["opening-full"]
    assert found[0].about in ("one", "two")
    assert "L1a (50 % full with this cable, limit 40 %)" in found[0].message
    assert not dead(plan_of(wall(0.016, 0.016), wanted)), "a second hole frees it"
    assert found[0].remedy == "L1a: move another run, or bore it larger: to 18 mm or more", (
        "sqrt(2 x 36 / 0.4) + 4 = 17.4"
    )
    assert not dead(plan_of(wall(0.018), wanted)), "72 / 196 = 37 %"
    assert dead(plan_of(wall(0.017), wanted)), "72 / 169 = 43 %"


def test_kinds_that_may_not_meet() -> None:
    shell = wall(0.032)
    wanted = [circuit("lamp", ("a", "b")), circuit("mains", ("c", "d"), kind="ac", cable="3G1.5")]
    found = dead(plan_of(shell, wanted))
    assert len(found) == 1
    assert re.search(r"L1a \((ac may not share it with dc|dc may not share it with ac)\)", found[0].message)
    assert found[0].remedy == "L1a: give one of them another opening"
    assert not dead(plan_of(wall(0.032, 0.032), wanted))


def test_where_no_opening_leads_on() -> None:
    """Both holes filled in the metal, off the list, or forbidden to the run: where it stops and what is shut there."""
    shell = wall(0.025, 0.025)
    wanted = [circuit("lamp", ("a", "b"))]
    filled = dead(plan_of(with_filled(with_filled(shell, "L1a"), "L1b"), wanted))
    assert [one.code for one in filled] == ["no-way"]
    assert "stops in left 0: no opening leads on to left 1" in filled[0].message
    assert "L1a (there is no hole in the metal)" in filled[0].remedy
    none = dead(plan_of(without(shell, "L1a", "L1b"), wanted))
    assert none[0].remedy == "a hole or a duct from there towards left 1"
    avoid = dead(plan_of(shell, wanted, runs=[{"circuit": "lamp", "from": "a", "to": "b", "avoid": ["L1a", "L1b"]}]))
    assert "L1a (to be avoided by this run), L1b (to be avoided by this run)" in avoid[0].remedy
    blocked = plan_of(shell, wanted, vehicle={"openings": [{"name": n, "state": "blocked"} for n in ("L1a", "L1b")]})
    assert "open one of L1a (blocked), L1b (blocked)" in dead(blocked)[0].remedy


def test_the_way_with_the_fewest_obstacles_is_named() -> None:
    """Two ribs. Below, both holes are too small; above, only the second is: the remedy asks for one hole, not two."""
    ribs = [
        Bar(0.6, (Hole(0.3, bore=0.012), Hole(0.7, bore=0.03))),
        Bar(0.95, (Hole(0.3, bore=0.012), Hole(0.7, bore=0.012))),
    ]
    found = dead(plan_of(plain_shell(1.5, 1.2, ribs), [circuit("big", ("a", "b"), cable="2x6")]))
    assert "stops at L2b" in found[0].message
    assert "L1" not in found[0].remedy
    assert found[0].remedy.count("bore it") >= 1


def test_a_wanted_hole_on_no_way_there() -> None:
    """``via`` asks for both holes of the only rib: in by one, back by the other, and then no third."""
    shell = wall(0.025, 0.025)
    plan = plan_of(
        shell,
        [circuit("lamp", ("a", "b"))],
        runs=[{"circuit": "lamp", "from": "a", "to": "b", "via": ["L1a", "L1b"]}],
    )
    if plan.complete:
        assert plan.runs[0].openings[:2] == ("L1a", "L1b")
        assert len(plan.runs[0].openings) == 3, "through, back, and through once more"
    else:
        assert dead(plan)[0].code == "no-way"
        assert "in the order that via asks for" in dead(plan)[0].message


@pytest.mark.parametrize("state", ["measured", "assumed"])
def test_a_reported_run_leaves_the_others_in_peace(state: Any) -> None:
    """One run stays without a route; the other is planned, with a fuse, and the plan says that it is not complete."""
    shell = wall(0.016)
    shell = replace(shell, openings=tuple(replace(one, state=state) for one in shell.openings))
    plan = plan_of(
        shell,
        [circuit("lamp", ("a", "b")), circuit("big", ("c", "d"), cable="2x10")],
        devices={"b": {"amps": 2.0}, "d": {"amps": 2.0}},
    )
    assert not plan.complete
    assert [run.id for run in plan.runs] == ["lamp"]
    assert [one.about for one in dead(plan)] == ["big"]
    assert next(one.fuse_a for one in plan.circuits if one.id == "lamp") is not None


def test_flat_cables_that_do_not_lie_side_by_side() -> None:
    """Two flats of 10.4 x 2 and 5 mm round in 10.5 mm: 46 % of the area, and yet the second one does not go in."""
    shell = wall(0.0145)
    space = build_space(project(PLACES, [circuit("x", ("a", "b"))], {"fill_limit": 50.0}), shell)
    jobs = [
        Job(item, 2 * k, 2 * k + 1, 0.05, (), frozenset())
        for k, item in enumerate((cable("flat", 10.4, 2.0), cable("round", 5.0)))
    ]
    network, apart = build_network(space), Separation("apart", "together")
    paths = Negotiator(network, apart, 0.0, 0.0, 0.0).route(jobs).paths
    assert [path is None for path in paths].count(True) == 1
    lost = 0 if paths[0] is None else 1
    found = explain(network, jobs[lost], [(jobs[1 - lost], paths[1 - lost])], apart)
    assert found.message == "stops at L1a (it does not lie beside what is there)"
