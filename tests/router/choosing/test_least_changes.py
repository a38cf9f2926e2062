"""What is said to free runs, against trying every cheaper set of changes, and against the project file with them written in."""

from __future__ import annotations

import copy
import itertools
import random
from pathlib import Path
from typing import Any

import pytest
import yaml
from plain_shells import Bar, Hole, on_wall, plain_shell, project
from random_vans import RandomVan

from ribway.models.reading import check_text
from ribway.router.choosing.changes import Change, changed, covers, offers_at, price_of
from ribway.router.choosing.freeing import Relief, relief_of
from ribway.router.faults import RouterFaults
from ribway.router.planning import Planning, State
from ribway.router.rising import planned
from ribway.router.shell.choose import shell_of, survey_of

CABLES = ("2x1", "2x2.5", "2x4", "2x6", "2x10")


def small_van(seed: int) -> Planning:
    """Two or three devices before two ribs, as many behind; holes of odd sizes, some of them blocked."""
    draw = random.Random(seed)
    runs = draw.randint(1, 3)
    places = {f"a{k}": on_wall(0.2 + 0.05 * k, 0.3 + 0.2 * k) for k in range(runs)}
    places |= {f"b{k}": on_wall(1.3 + 0.05 * k, 0.35 + 0.2 * k) for k in range(runs)}
    circuits = [
        {"id": f"P{k}", "name": f"P{k}", "from": f"a{k}", "to": [f"b{k}"], "cable": draw.choice(CABLES)}
        for k in range(runs)
    ]
    ribs = [
        Bar(back, tuple(Hole(0.3 + 0.25 * k, bore=draw.choice((0.012, 0.016, 0.02, 0.024))) for k in range(count)))
        for back, count in ((0.6, draw.randint(1, 2)), (0.95, 1))
    ]
    names = [f"L{rib + 1}{'ab'[hole]}" for rib, bar in enumerate(ribs) for hole in range(len(bar.holes))]
    blocked = [{"name": name, "state": "blocked"} for name in names if draw.random() < 0.3]
    devices = {f"a{k}": {"kind": "source"} for k in range(runs)}
    van = project(places, circuits, vehicle={"openings": blocked}, devices=devices)
    return Planning(van, plain_shell(1.6, 1.2, ribs))


def frees(planning: Planning, changes: tuple[Change, ...]) -> bool:
    """Whether the planner leads and sizes all runs with these changes."""
    try:
        state = planned(changed(planning, changes))
    except RouterFaults:
        return False
    return state.whole and all(one.verdict is None or one.verdict.ok for one in state.sized.values())


def cheaper_sets(planning: Planning, price: float) -> list[tuple[Change, ...]]:
    """Every set of changes that costs less, but for those of which another does all and more."""
    at_ways = []
    for index, way in enumerate(planning.space.ways):
        offers = list(offers_at(index, way))
        beside = [one for one in offers if one.what == "beside"]
        own = [one for one in offers if one.what != "beside"]
        at_ways += [[None, *own], [None, *beside]]
    every = [tuple(one for one in some if one is not None) for some in itertools.product(*at_ways)]
    cheaper = [some for some in every if some and price_of(some) < price]
    return [some for some in cheaper if not any(other != some and covers(other, some) for other in cheaper)]


SMALL = 16


@pytest.mark.parametrize("seed", range(SMALL))
def test_no_cheaper_set_of_changes_frees_all(seed: int) -> None:
    planning = small_van(seed)
    state = planned(planning)
    if state.whole:
        assert frees(planning, ())
        return
    found = relief_of(planning, state)
    assert found.least, "one rib after the other, and nothing that cables share but holes"
    best = found.freed[0]
    assert best.price == price_of(best.changes)
    assert all(frees(planning, one.changes) for one in found.freed)
    assert not [some for some in cheaper_sets(planning, best.price) if frees(planning, some)]


def test_most_small_vans_have_runs_to_free() -> None:
    assert sum(not planned(small_van(seed)).whole for seed in range(SMALL)) >= SMALL // 2


def walled(data: dict[str, Any], planning: Planning, draw: random.Random) -> dict[str, Any]:
    """A van with a wall right across it: all openings from front to rear blocked, or bored for no more than a thin cable."""
    data, x = copy.deepcopy(data), -draw.uniform(0.5, 2.2)
    data["vehicle"].pop("lining", None)
    data["vehicle"].pop("ways", None)
    how = draw.choice(("blocked", "10 mm", "14 mm", "mixed"))
    rows = {one["name"]: one for one in data["vehicle"]["openings"]}
    space = planning.space
    middle = [
        space.skins[bay.skin].chart.lift(line_at(bay.outline.representative_point()), 0.0)[0][0] for bay in space.bays
    ]
    for way in space.ways:
        ends = [mouth.bay for mouth in way.mouths]
        if way.kind == "opening" and min(ends) >= 0 and (middle[ends[0]] - x) * (middle[ends[1]] - x) < 0.0:
            size = draw.choice(("blocked", "10 mm", "14 mm")) if how == "mixed" else how
            small = size != "blocked" and way.shape == "round"
            rows[way.name] = {
                "name": way.name,
                **({"size": size, "state": "measured"} if small else {"state": "blocked"}),
            }
    data["vehicle"]["openings"] = list(rows.values())
    return data


def line_at(point: Any) -> Any:
    """A line of two equal points, as charts lift lines."""
    import numpy as np

    return np.array([(point.x, point.y)] * 2)


def written_in(data: dict[str, Any], planning: Planning, changes: tuple[Change, ...]) -> dict[str, Any]:
    """The project file with changes as a person would write them: sizes and states of openings, further passages."""
    data = copy.deepcopy(data)
    rows = {one["name"]: dict(one) for one in data["vehicle"]["openings"]}
    for one in changes:
        assert one.what in ("bore", "free", "beside"), one
        way = planning.space.ways[one.way]
        raw_mm = 1000.0 * way.raw_bore_m + one.more_mm
        if one.what == "beside":
            ends = [dict(zip("xyz", (f"{value:.4f} m" for value in point), strict=True)) for point in way.line]
            bore = f"{1000.0 * way.bore_m + one.more_mm:.2f} mm"
            more = {"name": f"beside-{way.name}", "kind": "duct", "bore": bore, "path": ends}
            data["vehicle"].setdefault("ways", []).append(more)
            continue
        row = rows.setdefault(way.name, {"name": way.name})
        row["state"] = "drill" if one.more_mm else "measured"
        if one.more_mm:
            row["size"] = f"{raw_mm:.1f} mm"
    data["vehicle"]["openings"] = list(rows.values())
    return data


def planning_of(data: dict[str, Any]) -> Planning:
    """A project's data, ready to be routed."""
    van = check_text(yaml.safe_dump(data), "van.yaml", Path()).base
    return Planning(survey_of(van), shell_of(van, Path()))


def walled_van(seed: int) -> tuple[dict[str, Any], Planning, State, Relief] | None:
    """A random van with a wall across, and what would free its runs; None if the stock has no cable for it."""
    van = RandomVan(seed, 4)
    for _ in range(12):
        try:
            data = walled(van.data, planning_of(van.data), random.Random(seed))
            planning = planning_of(data)
            state = planned(planning)
        except RouterFaults as faults:
            refused = [one.place.split(" / ")[1] for one in faults.faults if one.place.startswith("devices / ")]
            if not refused:
                return None
            van.moved(refused)
            continue
        return None if state.whole else (data, planning, state, relief_of(planning, state))
    return None


@pytest.mark.parametrize("seed", [1, 9, 11])
def test_a_walled_van_is_planned_whole_with_the_changes_written_into_its_file(seed: int) -> None:
    made = walled_van(seed)
    assert made is not None
    data, planning, _, relief = made
    assert relief.freed
    for freed in relief.freed:
        if any(one.what in ("plug", "elsewhere") for one in freed.changes):
            assert frees(planning, freed.changes)
            continue
        after = planned(planning_of(written_in(data, planning, freed.changes)))
        assert after.whole, freed.words
        assert all(one.verdict is None or one.verdict.ok for one in after.sized.values())
