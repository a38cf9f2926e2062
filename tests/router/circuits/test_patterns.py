"""Circuits of every pattern, planned: their runs, cores, currents and volts by pencil, their order by trying them all."""

from __future__ import annotations

from functools import cache
from itertools import pairwise, permutations
from typing import Any

import networkx as nx
import pytest
import small_vans
from pattern_vans import COIL_A, LAMP_A, PATTERNS, lights_plan, lights_project
from plain_shells import on_roof, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.router.audit.check import audit_plan
from ribway.router.circuits.patterns import arranged
from ribway.router.laying.ordering import order_chains
from ribway.router.planner import plan_on
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network

OHM_PER_KM_20C = {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21}
"""Source: IEC 60228:2004 table 3, class 5, plain copper."""
HOT = {True: 1.0 + 0.00393 * 70.0, False: 1.0 + 0.00393 * 50.0}
"""From 20 C to 90 C (twin cables of the stock) and to 70 C (singles). Source: alpha of copper, IEC 60028."""


@cache
def planned(name: str) -> Plan:
    return lights_plan(name)


@pytest.fixture(scope="module", params=list(PATTERNS))
def named(request: pytest.FixtureRequest) -> tuple[str, Plan]:
    return request.param, planned(request.param)


def runs_of(plan: Plan, circuit: str) -> list[PlanRun]:
    return [run for run in plan.runs if run.circuit == circuit]


def loop_ohm(run: PlanRun) -> float:
    """There and back, hot."""
    ohm = OHM_PER_KM_20C[run.conductor_area_mm2] / 1000.0
    return 2.0 * run.cut_m * ohm * HOT["twin" in run.cable]


def pairs(plan: Plan, circuit: str = "L") -> list[tuple[str, str]]:
    return [(run.from_, run.to) for run in runs_of(plan, circuit)]


EXPECTED = {
    "switched chain": [("board", "switch1"), ("switch1", "lamp1"), ("lamp1", "lamp2"), ("lamp2", "lamp3")],
    "switch drop": [("board", "lamp1"), ("lamp1", "switch1"), ("lamp1", "lamp2"), ("lamp2", "lamp3")],
    "two-way": [
        ("board", "switch2"), ("switch2", "switch1"), ("switch1", "lamp1"), ("lamp1", "lamp2"), ("lamp2", "lamp3"),
    ],
    "dimmer": [("board", "dimmer"), ("dimmer", "lamp1"), ("lamp1", "lamp2"), ("lamp2", "lamp3")],
    "relay": [("board", "relay"), ("relay", "lamp1"), ("lamp1", "lamp2"), ("lamp2", "lamp3")],
    "relay at the board": [("board", "lamp1"), ("lamp1", "lamp2"), ("lamp2", "lamp3")],
    "sub-board": [("board", "rear")],
}  # fmt: skip
"""The lamps stand in a row from front to rear, so that no other order is as short."""


def test_the_runs_follow_from_the_pattern(named: tuple[str, Plan]) -> None:
    name, plan = named
    assert plan.complete
    assert pairs(plan) == EXPECTED[name]
    assert [finding for finding in audit_plan(plan) if finding.level == "error"] == []
    control = pairs(plan, "L.control")
    assert control == {"relay": [("relay", "switch1")], "relay at the board": [("board", "switch1")]}.get(name, [])


def test_each_run_carries_what_is_drawn_through_it(named: tuple[str, Plan]) -> None:
    name, plan = named
    lamps_behind = {
        "switched chain": [3, 3, 2, 1], "switch drop": [3, 3, 2, 1], "two-way": [3, 3, 3, 2, 1], "dimmer": [3, 3, 2, 1],
        "relay": [3, 3, 2, 1], "relay at the board": [3, 2, 1], "sub-board": [10.0 / LAMP_A],
    }[name]  # fmt: skip
    coil = COIL_A if name == "relay" else 0.0
    wanted = [LAMP_A * lamps + (coil if number == 0 else 0.0) for number, lamps in enumerate(lamps_behind)]
    assert [run.design_a for run in runs_of(plan, "L")] == pytest.approx(wanted)
    assert [run.design_a for run in runs_of(plan, "L.control")] == [COIL_A] * ("relay" in name)
    assert all(run.loaded_cores == 2 for run in plan.runs)


def test_the_cores_are_those_of_the_stretch(named: tuple[str, Plan]) -> None:
    name, plan = named
    for run in runs_of(plan, "L"):
        used = tuple(function for function in run.wire_functions if function != "spare")
        if run.role == "switch leg":
            assert used == ("positive", "switched positive"), "both cores of a leg are live"
        elif run.role == "travellers":
            assert used == ("traveller", "traveller", "negative")
            assert run.cores >= 3
        else:
            assert used[1] == "negative"
            assert len(used) == 2
            live = run.from_ in ("board", "battery") and name != "relay at the board"
            assert used[0] == ("positive" if live else "dimmed positive" if name == "dimmer" else "switched positive")
    roles = [run.role for run in runs_of(plan, "L")]
    assert roles.count("switch leg") == (name == "switch drop")
    assert roles.count("travellers") == (name == "two-way")


def test_volts_are_lost_along_the_pattern(named: tuple[str, Plan]) -> None:
    """Node by node with a pencil: each stretch adds its loop times its current to what was lost before it.

    In a switch drop all current goes down the leg and back before the first lamp has it: the leg lies between lamp 1's
    own run and what goes on from there.
    """
    _, plan = named
    (main,) = runs_of(plan, "main")
    lost = main.design_a * loop_ohm(main)
    for run in runs_of(plan, "L"):
        lost += run.design_a * loop_ohm(run)
        assert run.drop_v == pytest.approx(lost, rel=2e-3)
    (circuit,) = [one for one in plan.circuits if one.id == "L"]
    assert circuit.worst_drop_v == pytest.approx(lost, rel=2e-3)
    assert circuit.worst_drop_percent <= (circuit.drop_limit_percent or 0.0)


def test_a_control_lead_has_its_own_fuse_and_size() -> None:
    """Lamps of 5 A each: what carries them grows, the control lead stays at the least size and has a fuse for 0.2 A."""
    plan = lights_plan("relay", 5.0)
    (control,) = runs_of(plan, "L.control")
    power, own = (next(one for one in plan.circuits if one.id == name) for name in ("L", "L.control"))
    assert (control.role, control.design_a, control.conductor_area_mm2) == ("control", COIL_A, 0.75)
    assert control.deciding == "smallest in stock"
    assert all(run.conductor_area_mm2 >= 4.0 for run in runs_of(plan, "L"))
    assert power.fuse_a is not None
    assert own.fuse_a is not None
    assert power.fuse_a >= 1.25 * power.design_a > own.fuse_a
    assert control.derated_a is not None
    assert own.fuse_a <= control.derated_a
    assert own.control_a == COIL_A


def test_a_leg_of_mains_has_its_earth() -> None:
    plan = lights_plan("switch drop", kind="ac", volts=230.0)
    leg = next(run for run in runs_of(plan, "L") if run.role == "switch leg")
    assert (leg.cores, leg.loaded_cores) == (3, 2)
    assert leg.wire_functions == ("line", "switched line", "earth")
    assert leg.wire_colours == ("brown", "grey", "green with yellow stripe")
    assert [finding for finding in audit_plan(plan) if finding.level == "error"] == []


def test_three_cores_come_in_one_cable_or_in_two_twins() -> None:
    """Up to 1.5 mm2 the stock has cables of four and five cores; thicker travellers are two twins, each cut to length."""
    thin = next(run for run in runs_of(lights_plan("two-way", 0.2), "L") if run.role == "travellers")
    thick = next(run for run in runs_of(lights_plan("two-way", 2.0), "L") if run.role == "travellers")
    assert (thin.pieces, thin.cores >= 3) == (1, True)
    assert (thick.pieces, thick.cores) == (2, 4)
    assert thick.conductor_area_mm2 > 1.5
    assert thick.copper_kg == pytest.approx(4 * thick.conductor_area_mm2 * thick.cut_m * 8.96e-3, rel=1e-4)


# ---- order


@pytest.mark.parametrize("pattern", ["switched chain", "switch drop", "two-way"])
def test_the_order_is_the_shortest_of_all(pattern: str) -> None:
    """Every order of three lamps and both orders of two switches, with lengths from a search of another library."""
    project = arranged(lights_project(pattern))
    network = build_network(build_space(project, small_vans.shell()))
    graph: Any = nx.DiGraph()
    for a, b, metres in zip(network.source, network.target, network.length, strict=True):
        held = graph.get_edge_data(int(a), int(b), {"weight": float("inf")})["weight"]
        graph.add_edge(int(a), int(b), weight=min(float(metres), held))
    at = {portal.device: index for index, portal in enumerate(network.space.portals)}

    def long(a: str, b: str) -> float:
        ends = network.leaving(at[a]), network.reaching(at[b])
        stubs = network.space.portals[at[a]].stub_m + network.space.portals[at[b]].stub_m
        path = nx.dijkstra_path_length(graph, *ends)
        tails = sum(0.6 if end == "board" else 0.3 for end in (a, b))
        return 1.05 * (path + stubs) + tails

    def total(order: tuple[str, ...]) -> float:
        if pattern == "switch drop":
            return sum(long(a, b) for a, b in pairwise(("board", *order))) + long(order[0], "switch1")
        heads = ("switch1",) if pattern == "switched chain" else order[:2]
        rest = order if pattern == "switched chain" else order[2:]
        steps = [long(a, b) for a, b in pairwise(("board", *heads, *rest))]
        return sum(steps) + (0.5 * steps[1] if pattern == "two-way" else 0.0)

    lamps = list(permutations(("lamp1", "lamp2", "lamp3")))
    options = lamps
    if pattern == "two-way":
        options = [(*head, *rest) for head in (("switch1", "switch2"), ("switch2", "switch1")) for rest in lamps]
    ordered, told = order_chains(project, network)
    (loads,) = [circuit.loads for circuit in ordered.circuits if circuit.id == "L"]
    found = tuple(load for load in loads if load.startswith("lamp") or pattern == "two-way")
    assert total(found) == pytest.approx(min(map(total, options)), abs=1e-3)
    assert (told["L"].exact, told["L"].count) == (True, 3)


def test_more_lamps_than_are_exact_are_said_not_to_be_proven() -> None:
    many = {f"lamp{number}": on_roof(0.5 + 0.17 * number, 0.3 * (-1) ** number, 0.06) for number in range(13)}
    places = {"board": on_wall(0.4, 0.6, 0.06), "switch": on_wall(0.3, 1.1, 0.06), **many}
    devices = {"board": {"kind": "source"}, "switch": {"kind": "switch"}, **{name: {"amps": 0.1} for name in many}}
    row = {"id": "L", "name": "L", "from": "board", "to": ["switch", *many], "pattern": "switched chain"}
    plan = plan_on(project(places, [row], {"spare": "none"}, devices=devices), small_vans.shell())
    assert plan.circuits[0].order.startswith("short, not proven shortest")
    assert [finding for finding in audit_plan(plan) if finding.level == "error"] == []


def test_an_order_that_is_stated_stays() -> None:
    project = arranged(lights_project("switched chain", order="as listed"))
    network = build_network(build_space(project, small_vans.shell()))
    ordered, told = order_chains(project, network)
    assert ordered.circuits[1].loads == ("switch1", "lamp3", "lamp1", "lamp2")
    assert told == {}


def test_the_order_in_the_file_changes_nothing() -> None:
    first, second = (
        lights_plan("switched chain", to=["switch1", *lamps])
        for lamps in (("lamp1", "lamp2", "lamp3"), ("lamp3", "lamp2", "lamp1"))
    )
    assert first == second
    assert first.circuits[1].order.startswith("shortest of all orders of 3 loads")


def test_a_listed_order_that_is_longer_costs_copper() -> None:
    short = lights_plan("switched chain")
    long = lights_plan("switched chain", order="as listed")
    assert short.totals.copper_kg < long.totals.copper_kg
    assert long.circuits[1].order == "as listed"


@pytest.mark.parametrize("pattern", ["switched chain", "switch drop"])
def test_what_is_called_least_copper_is_least_of_all_orders(pattern: str) -> None:
    """Every order planned as it is listed: none takes less copper, and none a thinner cable."""
    best = planned(pattern)
    assert "least copper" in best.circuits[1].order
    head = ["switch1"] if pattern == "switched chain" else []
    tail = [] if head else ["switch1"]
    listed = [
        lights_plan(pattern, to=[*head, *lamps, *tail], order="as listed")
        for lamps in permutations(("lamp1", "lamp2", "lamp3"))
    ]
    copper = [sum(run.copper_kg for run in runs_of(plan, "L")) for plan in listed]
    assert sum(run.copper_kg for run in runs_of(best, "L")) == pytest.approx(min(copper), abs=1e-9)
    areas = {run.conductor_area_mm2 for plan in listed for run in runs_of(plan, "L")}
    assert {run.conductor_area_mm2 for run in runs_of(best, "L")} == {min(areas)}


def test_arranging_twice_is_arranging_once() -> None:
    for pattern in ("relay", "two-way", "switched chain"):
        once = arranged(lights_project(pattern))
        assert arranged(once) == once


# ---- the audit


def spoilt(plan: Plan, run: str, **update: Any) -> Plan:
    runs = tuple(one.model_copy(update=update) if one.id == run else one for one in plan.runs)
    assert runs != plan.runs
    return plan.model_copy(update={"runs": runs})


def codes(plan: Plan, about: str) -> set[str]:
    return {finding.code for finding in audit_plan(plan) if finding.level == "error" and finding.about == about}


@pytest.mark.parametrize(
    ("pattern", "run", "update", "code"),
    [
        ("switch drop", "L-2", {"design_a": 0.0}, "current"),  # a leg that is thought to carry nothing
        ("switch drop", "L-1", {"design_a": LAMP_A}, "current"),
        ("switch drop", "L-2", {"role": "feed"}, "role"),
        ("switch drop", "L-2", {"wire_functions": ("positive", "negative")}, "wire-functions"),
        ("switch drop", "L-3", {"drop_v": 0.35}, "drop"),  # what it would be without the detour
        ("two-way", "L-2", {"cores": 2, "wire_functions": ("traveller", "negative")}, "cores"),
        ("two-way", "L-2", {"design_a": 0.0}, "current"),
        ("two-way", "L-2", {"role": "feed"}, "role"),
        ("relay", "L.control", {"design_a": 4.5}, "current"),
        ("relay", "L.control", {"role": "feed"}, "role"),
        ("relay", "L-2", {"design_a": COIL_A}, "current"),
        ("switched chain", "L-2", {"design_a": 3.0}, "current"),
        ("switched chain", "L-1", {"loaded_cores": 1}, "loaded-cores"),
        ("dimmer", "L-2", {"wire_colours": ("red", "red")}, "wire-colours"),
    ],
)
def test_the_audit_finds_what_does_not_follow_from_the_pattern(
    pattern: str, run: str, update: dict[str, Any], code: str
) -> None:
    assert code in codes(spoilt(planned(pattern), run, **update), run)


@pytest.mark.parametrize(
    ("pattern", "said"),
    [
        ("switched chain", "switch drop"), ("switched chain", "two-way"), ("switched chain", "relay"),
        ("switch drop", "switched chain"), ("switch drop", "home"), ("two-way", "switched chain"), ("dimmer", "two-way"),
    ],
)  # fmt: skip
def test_the_audit_finds_runs_of_another_pattern(pattern: str, said: str) -> None:
    plan = planned(pattern)
    circuits = tuple(one.model_copy(update={"pattern": said}) if one.id == "L" else one for one in plan.circuits)
    assert "pattern" in codes(plan.model_copy(update={"circuits": circuits}), "L")


def test_the_audit_finds_a_load_on_a_control_lead() -> None:
    plan = planned("relay")
    circuits = tuple(
        one.model_copy(update={"control_a": 0.0} if one.id == "L.control" else {}) for one in plan.circuits
    )
    assert "pattern" in codes(plan.model_copy(update={"circuits": circuits}), "L.control")


# ---- what is refused


@pytest.mark.parametrize(
    ("pattern", "to", "kind", "said"),
    [
        ("switched chain", ["lamp"], "dc", "exactly one switch"),
        ("switch drop", ["s1", "s2", "lamp"], "dc", "exactly one switch"),
        ("two-way", ["s1", "lamp"], "dc", "exactly two switches"),
        ("two-way", ["s1", "s2", "lamp"], "ac", "AC circuits of the pattern two-way are not planned"),
        ("dimmer", ["lamp"], "dc", "exactly one dimmer"),
        ("relay", ["s1", "relay"], "dc", "one switch or more"),
        ("relay", ["relay", "lamp"], "dc", "one switch or more"),
        ("sub-board", ["lamp"], "dc", "boards and nothing else"),
    ],
)
def test_devices_that_do_not_suit_the_pattern_are_refused(pattern: str, to: list[str], kind: str, said: str) -> None:
    at = {"wall": "left", "back": "1 m", "up": "1 m"}
    kinds = {"board": "board", "s1": "switch", "s2": "switch", "relay": "controller", "lamp": "load"}
    raw = {
        "ribway": 1, "name": "x", "vehicle": {"preset": "medium-high"},
        "devices": [{"id": name, "name": name, "kind": sort, "at": at} for name, sort in kinds.items()],
        "circuits": [{"id": "C", "name": "C", "kind": kind, "from": "board", "to": to, "pattern": pattern}],
    }  # fmt: skip
    with pytest.raises(ProjectFaults, match=said):
        check_data(raw)
