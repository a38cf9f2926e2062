"""Grouping overruled by hand: what goes together and apart, how many spares, and what is refused."""

from __future__ import annotations

import itertools
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.models.plan.plan import Plan
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.router.audit.check import audit_plan
from ribway.router.circuits.runs import derive
from ribway.router.circuits.wishes import NO_WISH, Wish, contradictions, wish_of
from ribway.router.faults import RouterFaults
from ribway.router.looms.joining import joined_by_wishes
from ribway.router.planner import plan_project


class Cable:
    """As much of a cable as decides its loom."""

    def __init__(self, run: str, zone: str = "rear", family: str = "low", wish: Wish = NO_WISH) -> None:
        self.run, self.a, self.b, self.circuit = run, "board", run, run
        self.zone, self.family, self.wish = zone, family, wish


def groups(cables: list[Cable], *shared: dict[str, float]) -> list[str]:
    numbers = joined_by_wishes(cables, [dict(one) for one in shared])
    return sorted("".join(sorted(cables[number].run for number in group)) for group in numbers)


def test_apart_cuts_where_least_is_shared() -> None:
    """A-B share 3 m, B-C share 1 m; A and C go apart: B stays with A."""
    parts = (Wish(apart=frozenset({(0, 0)})), NO_WISH, Wish(apart=frozenset({(0, 1)})))
    cables = [Cable(name, wish=wish) for name, wish in zip("ABC", parts, strict=True)]
    assert groups(cables, {"x": 3.0}, {"x": 3.0, "y": 1.0}, {"y": 1.0}) == ["AB", "C"]
    assert groups(cables, {"x": 1.0}, {"x": 1.0, "y": 3.0}, {"y": 3.0}) == ["A", "BC"]


def test_together_goes_across_zones_but_not_across_kinds_nor_without_a_stretch() -> None:
    wish = Wish(together=frozenset({0}))
    cables = [Cable("A", "rear", wish=wish), Cable("B", "front", wish=wish), Cable("C", "front", wish=wish)]
    assert groups(cables, {"x": 1.0}, {"x": 1.0}, {"z": 1.0}) == ["AB", "C"]
    mixed = [Cable("A", wish=wish), Cable("B", family="ac", wish=wish)]
    assert groups(mixed, {"x": 1.0}, {"x": 1.0}) == ["A", "B"]


@given(st.lists(st.tuples(st.sets(st.sampled_from("uvwxyz")), st.sampled_from(["", "0", "1"])), min_size=1, max_size=8))
def test_no_two_that_go_apart_are_ever_in_one_group(drawn: list[tuple[set[str], str]]) -> None:
    """And without any such wish, groups are the connected components, by following shared stretches one by one."""
    cables = [
        Cable(str(number), wish=Wish(apart=frozenset({(0, int(place))})) if place else NO_WISH)
        for number, (_, place) in enumerate(drawn)
    ]
    ways = [dict.fromkeys(sorted(pieces), 1.0) for pieces, _ in drawn]
    for group in joined_by_wishes(cables, [dict(one) for one in ways]):
        for one, other in itertools.combinations(group, 2):
            assert not cables[one].wish.parts(cables[other].wish)
    free = [Cable(one.run) for one in cables]
    for group in joined_by_wishes(free, [dict(one) for one in ways]):
        reached, grown = {group[0]}, True
        while grown:
            grown = False
            for number, way in enumerate(ways):
                if number not in reached and any(set(way) & set(ways[one]) for one in reached):
                    reached.add(number)
                    grown = True
        assert set(group) == reached


def test_a_circuit_stands_for_all_of_its_runs() -> None:
    wanted = check_data(van({"together": [["C", "D"]], "apart": [["C", "E"]]})).base.looms
    assert wish_of(wanted, "C-1", "C").parts(wish_of(wanted, "E", "E"))
    assert not wish_of(wanted, "C-1", "C").parts(wish_of(wanted, "C-2", "C"))
    assert wish_of(wanted, "C-1", "C").joins(wish_of(wanted, "D", "D"))
    assert wish_of(wanted, "B1", "M") is NO_WISH


def van(looms: dict[str, Any], **shop: Any) -> dict[str, Any]:
    """A board at the front, four lamps at the rear of the left wall, one at the front, AC beside them."""

    def at(back: float, up: float) -> dict[str, str]:
        return {"wall": "left", "back": f"{back} m", "up": f"{up} m"}

    lamps = {"l1": (2.9, 0.5), "l2": (3.0, 0.6), "l3": (3.1, 0.5), "l4": (2.2, 0.6), "radio": (3.0, 0.5)}
    return {
        "ribway": 1,
        "name": "van",
        "vehicle": {"preset": "medium-high"},
        "shop": {"spare": "draw cord", **shop},
        "devices": [
            {"id": "battery", "name": "Battery", "kind": "source", "at": at(0.6, 0.3)},
            {"id": "board", "name": "Board", "kind": "board", "at": at(1.1, 0.6)},
            *({"id": name, "name": name, "at": at(*place), "amps": "1 A"} for name, place in lamps.items()),
            {"id": "inlet", "name": "Inlet", "kind": "source", "at": at(1.2, 0.5)},
            {"id": "outlet", "name": "Outlet", "kind": "outlet", "at": at(3.0, 0.4), "amps": "4 A"},
        ],
        "circuits": [
            {"id": "M", "name": "Main", "from": "battery", "to": ["board"]},
            {"id": "C", "name": "Two lamps", "from": "board", "to": ["l1", "l2"]},
            {"id": "D", "name": "Lamp", "from": "board", "to": ["l3"]},
            {"id": "E", "name": "Lamp", "from": "board", "to": ["l4"]},
            {"id": "N", "name": "Data", "kind": "data", "from": "radio", "to": ["l4"], "cable": "4 x 0.25 mm2"},
            {"id": "A", "name": "Mains", "kind": "ac", "from": "inlet", "to": ["outlet"]},
        ],
        "looms": looms,
    }


@cache
def planned(together: tuple[tuple[str, ...], ...], apart: tuple[tuple[str, ...], ...], spares: int | None) -> Plan:
    wishes: dict[str, Any] = {"together": [list(one) for one in together], "apart": [list(one) for one in apart]}
    if spares is not None:
        wishes["spares"] = {"left rear": spares}
    return plan_project(check_data(van(wishes)).base, Path())


def loom_of(plan: Plan) -> dict[str, str]:
    return {run.id: run.loom for run in plan.runs}


def test_a_plan_holds_what_was_asked() -> None:
    usual = loom_of(planned((), (), None))
    assert usual["C-1"] == usual["C-2"] == usual["D"] != usual["E"], "by zone: the fourth lamp is in the middle"
    plan = planned((("D", "E"), ("M", "N")), (("C", "D"),), 2)
    looms = loom_of(plan)
    assert looms["D"] == looms["E"]
    assert looms["C-1"] == looms["C-2"] != looms["D"]
    assert plan.complete
    assert [run.to for run in plan.runs if run.purpose == "spare"].count("l3") == 2
    assert not any(one.level == "error" for one in audit_plan(plan))
    assert plan.loom_wishes.together == (("D", "E"), ("M", "N"))
    assert plan.loom_wishes.apart == ((("C-1", "C-2"), ("D",)),)
    assert plan.loom_wishes.spares == {"left rear": 2}
    assert [one.about for one in plan.findings if one.code == "loom-wish"] == ["M, N"], "they share no stretch"
    assert {bay.depth_m for bay in plan.bays if bay.wall == "left"} == {0.055}, "as deep as the preset's ribs"
    assert plan.safe_lengths is not None
    assert plan.safe_lengths.chance_then <= plan.safe_lengths.chance == 0.05


@pytest.mark.parametrize(
    ("looms", "shop", "words"),
    [
        ({"together": [["A", "C"]]}, {}, "A is mains voltage and C-1 is not: they are never in one loom"),
        ({"together": [["N", "C"]]}, {"data_power": "apart"}, "N is data and C-1 is power: shop: data_power keeps them apart"),
        ({"together": [["C", "D"]], "apart": [["D", "C"]]}, {}, "C-1 and D go apart here, and together by looms / together"),
        ({"together": [["C", "D"], ["D", "E"]], "apart": [["C", "E"]]}, {}, "C-1 and E go apart here"),
        ({"together": [["C", "DD"]]}, {}, "DD is no run and no circuit of this project"),
        ({"apart": [["C", "C"]]}, {}, "a name stands twice"),
    ],
)  # fmt: skip
def test_what_cannot_be_held_is_refused_in_words(looms: dict[str, Any], shop: dict[str, Any], words: str) -> None:
    project = check_data(van(looms, **shop)).base
    runs, _ = derive(project)
    found = list(contradictions(project.looms, runs, project.shop.data_power == "apart"))
    assert [one.found.startswith(words) for one in found] == [True]
    assert all(one.accepted and one.place.startswith("looms / ") for one in found)


def test_all_faults_come_at_once() -> None:
    looms = {"together": [["A", "C"]], "spares": {"left back": 1, "left rear": 1}}
    with pytest.raises(RouterFaults) as caught:
        plan_project(check_data(van(looms, spare="none")).base, Path())
    said = str(caught.value)
    assert "never in one loom" in said
    assert "no device is in a zone called left back" in said
    assert "1 wanted, but shop: spare is none" in said


@pytest.mark.parametrize(
    "looms", [{"together": [["C"]]}, {"spares": {"left rear": 10}}, {"spares": {"left rear": "two"}}, {"besides": []}]
)
def test_wishes_of_another_form_are_refused(looms: dict[str, Any]) -> None:
    with pytest.raises(ProjectFaults):
        check_data(van(looms))
