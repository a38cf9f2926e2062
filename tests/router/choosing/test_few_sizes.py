"""Few sizes on the shelf: the best set is that of planning with every set there is."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

from ribway.models.circuits import RunEntry
from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.reading import read_project
from ribway.router.again.replan import again, finished, start
from ribway.router.choosing.few_sizes import few_sizes, kept_to, plan_within
from ribway.router.faults import RouterFaults
from ribway.router.placing.trying import Trying
from ribway.router.shell.choose import shell_of

FILE = Path(__file__).parents[2] / "samples" / "projects" / "small.yaml"
SHELF = ("twin-2x1.5", "twin-2x2.5", "twin-2x4", "twin-2x6", "single-1x16")


@pytest.fixture(scope="module")
def van() -> Project:
    """The small sample with five sizes on its shelf; its main feed states 16 mm2."""
    project = read_project(FILE)
    return project.model_copy(update={"shop": project.shop.model_copy(update={"only": SHELF})})


@pytest.mark.parametrize("most", [2, 3])
def test_the_best_set_is_that_of_planning_all(van: Project, most: int) -> None:
    found = few_sizes(van, FILE.parent, most)
    trying = Trying(FILE.parent, shell_of(van, FILE.parent))
    best = math.inf
    for some in itertools.combinations(("1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2"), most - 1):
        try:
            best = min(best, trying.plan(kept_to(van, frozenset((*some, "16 mm2")))).kg)
        except RouterFaults:
            continue
    assert found.proven
    assert found.kg == pytest.approx(best, abs=1e-9)
    assert "16 mm2" in found.sizes
    assert len(found.sizes) <= most


def test_too_few_are_refused(van: Project) -> None:
    circuits = tuple(one.model_copy(update={"cable": "2x2.5"}) if one.id == "fan" else one for one in van.circuits)
    stated = van.model_copy(update={"circuits": circuits})
    with pytest.raises(RouterFaults, match=r"no 1 size will do, or none was found; the circuits state 16 mm2, 2.5 mm2"):
        few_sizes(stated, FILE.parent, 1)


def test_the_rule_is_kept_and_told(van: Project) -> None:
    shop = van.shop.model_copy(update={"use_at_most": 2})
    plan = plan_within(van.model_copy(update={"shop": shop}), FILE.parent)
    used = {run.cable for run in plan.runs}
    sizes = {
        cable.size_name for cable in plan.cables if cable.kind == "dc" and cable.id in used and cable.area_mm2 > 0.0
    }
    assert len(sizes) <= 2
    (told,) = [one for one in plan.findings if one.code == "few-sizes"]
    assert all(size in told.message for size in sizes)


def dc_sizes(plan: Plan) -> set[str]:
    used = {run.cable for run in plan.runs}
    return {one.size_name for one in plan.cables if one.kind == "dc" and one.id in used and one.area_mm2 > 0.0}


def test_a_plan_in_hand_keeps_the_rule_through_every_change(van: Project) -> None:
    """What is planned while somebody edits takes no more sizes than what is planned at last; a size that a circuit begins to
    state makes it choose anew."""
    kept = van.model_copy(update={"shop": van.shop.model_copy(update={"use_at_most": 2})})
    first = start(kept, FILE.parent, finish=False)
    assert dc_sizes(first.plan) == dc_sizes(plan_within(kept, FILE.parent))
    stated = tuple(one.model_copy(update={"cable": "2x1.5"}) if one.id == "fan" else one for one in kept.circuits)
    moved = tuple(
        one.model_copy(update={"at": one.at.model_copy(update={"back": 2.2})}) if one.id == "fan" else one
        for one in kept.devices
    )
    for changed in (kept.model_copy(update={"devices": moved}), kept.model_copy(update={"circuits": stated})):
        try:
            plan = finished(again(first, changed)).plan
        except RouterFaults:
            with pytest.raises(RouterFaults):
                few_sizes(changed, FILE.parent, 2)
            continue
        assert len(dc_sizes(plan)) <= 2
        assert [one.code for one in plan.findings].count("few-sizes") == 1


def test_a_run_without_a_route_is_told_and_not_blamed_on_the_sizes(van: Project) -> None:
    holes = [one.name for one in shell_of(van, FILE.parent).openings]
    runs = (RunEntry.model_validate({"circuit": "fan", "from": "board", "to": "fan", "avoid": holes}),)
    shop = van.shop.model_copy(update={"use_at_most": 2})
    plan = plan_within(van.model_copy(update={"shop": shop, "runs": runs}), FILE.parent)
    assert not plan.complete
    assert any(one.message.startswith("no route") for one in plan.findings if one.level == "error")
    assert len(dc_sizes(plan)) <= 2


@pytest.mark.parametrize(("text", "number"), [("4 sizes", 4), ("1 size", 1), ("12", 12)])
def test_the_number_is_text(text: str, number: int) -> None:
    shop = read_project(FILE).shop
    assert type(shop).model_validate({"use_at_most": text}).use_at_most == number


@pytest.mark.parametrize("text", ["none", "0 sizes", "4.5 sizes", "4 mm2"])
def test_other_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no number of sizes"):
        type(read_project(FILE).shop).model_validate({"use_at_most": text})
