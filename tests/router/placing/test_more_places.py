"""A second board and holes to drill: bounds against whole plans with every division, savings against plans without."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from far_loads import van, wall
from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.models.project import Project
from ribway.router.faults import RouterFaults
from ribway.router.placing.dividing import divided
from ribway.router.placing.field import ClosedBounds
from ribway.router.placing.holes import holes_worth
from ribway.router.placing.moving import moved_to
from ribway.router.placing.room_prices import room_prices
from ribway.router.placing.subboards import saved_kg, sub_board_for
from ribway.router.placing.trying import Trying
from ribway.router.shell.parts import Shell

PLAY_KG = 2e-6


def test_a_second_board_is_bounded_over_all_divisions() -> None:
    base, trying = van(), Trying(Path(), wall())
    found = sub_board_for(base, trying, "board", step_m=0.5, most=3)
    assert set(found.divided) == {"C-near", "C-far1", "C-far2", "C-far3"}
    assert found.without_kg == trying.plan(base).kg
    field = found.field
    assert list(field.bound_kg) == sorted(field.bound_kg, key=lambda kg: math.inf if kg is None else kg)
    assert saved_kg(found) == pytest.approx(found.without_kg - (field.best[0].planned_kg or 0.0))
    main = next(one for one in base.devices if one.id == "board")
    for at in (0, len(field.places) // 2):
        bound = field.bound_kg[at]
        assert bound is not None
        for count in (1, 3):
            for moved in itertools.islice(itertools.combinations(found.divided, count), 2):
                other = moved_to(divided(base, main, ("sub-1", "feed-1"), moved), "sub-1", field.places[at])
                try:
                    assert bound <= trying.plan(other).kg + PLAY_KG
                except RouterFaults:
                    continue


def test_what_is_no_board_is_refused() -> None:
    with pytest.raises(RouterFaults, match="near is no board that feeds two circuits or more"):
        sub_board_for(van(), Trying(Path(), wall()), "near")


def test_holes_are_worth_what_plans_without_them_cost_more() -> None:
    """One rib between battery and pump: round it there is no way, through the low hole it is shorter."""
    metal = plain_shell(2.0, 1.6, [Bar(1.0, (Hole(0.3), Hole(1.4)))])
    openings = tuple(replace(one, state="drill") if one.name == "L1a" else one for one in metal.openings)
    at = {"battery": on_wall(0.3, 0.3), "pump": on_wall(1.7, 0.3)}
    circuits = [{"id": "P", "name": "P", "from": "battery", "to": ["pump"]}]
    said = {"openings": [{"name": "L1a", "state": "drill"}]}
    pump: dict[str, dict[str, Any]] = {"battery": {"kind": "source"}, "pump": {"amps": 5.0}}
    base = project(at, circuits, vehicle=said, devices=pump)
    trying = Trying(Path(), replace(metal, openings=openings))
    found = holes_worth(base, trying)
    (hole,) = found.holes
    assert (hole.name, hole.runs) == ("L1a", ("P",))
    blocked = base.model_copy(
        update={
            "vehicle": base.vehicle.model_copy(
                update={"openings": tuple(one.model_copy(update={"state": "blocked"}) for one in base.vehicle.openings)}
            )
        }
    )
    none, one = found.steps
    assert hole.without_kg == none.kg == trying.plan(blocked).kg > found.with_kg == one.kg
    assert (none.names, one.names) == ((), ("L1a",))
    # Up to the high hole and down again: 2 x 1.1 m more of the same cable, if its size stays.
    run = next(one for one in trying.plan(blocked).plan.runs if one.id == "P")
    assert run.sharp_m == pytest.approx(next(one for one in trying.plan(base).plan.runs).sharp_m + 2.2, abs=0.02)


def two_ribs() -> tuple[Project, Shell]:
    """Two ribs with a high hole each; lower ones may be drilled, one of them of no use to anybody."""
    ribs = [Bar(back, (Hole(0.2), Hole(0.7), Hole(1.4, bore=0.05))) for back in (0.7, 1.4)]
    metal = plain_shell(2.1, 1.6, [*ribs, Bar(1.9, (Hole(0.2),))])
    may = ("L1a", "L1b", "L2a", "L2b", "L3a")
    metal = replace(
        metal, openings=tuple(replace(one, state="drill") if one.name in may else one for one in metal.openings)
    )
    at = {
        "battery": on_wall(0.3, 0.2),
        "low": on_wall(1.7, 0.2),
        "middle": on_wall(1.0, 0.7),
        "high": on_wall(1.7, 1.1),
    }
    circuits = [{"id": name, "name": name, "from": "battery", "to": [name]} for name in ("low", "middle", "high")]
    devices: dict[str, dict[str, Any]] = {"battery": {"kind": "source"}, "low": {"amps": 18.0}}
    devices |= {"middle": {"amps": 9.0}, "high": {"amps": 4.0}}
    said = {"openings": [{"name": name, "state": "drill"} for name in may]}
    return project(at, circuits, vehicle=said, devices=devices), metal


def test_the_best_holes_of_every_number_are_those_of_all_sets() -> None:
    """Against plans of all 32 sets of five holes."""
    base, metal = two_ribs()
    trying = Trying(Path(), metal)
    found = holes_worth(base, trying, most=32)
    may = [one.name for one in found.holes]
    assert len(may) == 5
    free = base.model_copy(update={"shop": base.shop.model_copy(update={"drill_costs": 0.0})})
    least = {}
    for number in range(len(may) + 1):
        for names in itertools.combinations(may, number):
            openings = tuple(
                one if one.name in names else one.model_copy(update={"state": "blocked"})
                for one in free.vehicle.openings
            )
            vehicle = free.vehicle.model_copy(update={"openings": openings})
            least[names] = trying.plan(free.model_copy(update={"vehicle": vehicle})).kg
    for step in found.steps:
        number = len(step.names)
        assert step.kg == pytest.approx(min(kg for names, kg in least.items() if len(names) <= number), rel=1e-9)
        assert step.proven
    counts = [len(step.names) for step in found.steps]
    assert counts == sorted(set(counts))
    assert found.steps[-1].kg == pytest.approx(min(least.values()), rel=1e-9)
    assert "L3a" not in found.steps[-1].names


def test_no_set_of_holes_does_with_less_than_its_bound() -> None:
    base, metal = two_ribs()
    trying = Trying(Path(), metal)
    whole = trying.plan(base)
    assert whole.found is not None
    bounds = ClosedBounds(trying.prepared(base), room_prices(*whole.found))
    for closed in itertools.chain.from_iterable(
        itertools.combinations(("L1a", "L1b", "L2a", "L2b"), n) for n in (0, 1, 2)
    ):
        openings = tuple(
            one.model_copy(update={"state": "blocked"}) if one.name in closed else one for one in base.vehicle.openings
        )
        vehicle = base.vehicle.model_copy(update={"openings": openings})
        kg = trying.plan(base.model_copy(update={"vehicle": vehicle})).kg
        assert bounds.kg() - PLAY_KG <= bounds.kg(frozenset(closed)) <= kg + PLAY_KG
