"""What a window shows: looms, metal, and how far the pull plan has come, without any window."""

from __future__ import annotations

import pytest

from ribway.viewer.keys import HELP, STEP_KEYS, VIEW_KEYS, WALL_KEYS
from ribway.viewer.parts import WALLS
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.showing import WHOLE, Showing
from ribway.viewer.steps import PullStep, laid_before, step_words
from ribway.viewer.views import VIEWS
from samples.van import van_plan


@pytest.fixture(scope="module")
def van() -> Scene:
    return scene_of(van_plan())


@pytest.fixture(scope="module")
def steps(van: Scene) -> tuple[PullStep, ...]:
    """A bench step, then every run in turn."""
    pulls = [PullStep(i, f"Pull {tube.run}", (), tube.run, tube.loom) for i, tube in enumerate(van.tubes, start=2)]
    return (PullStep(1, "on the bench", ("Build it",)), *pulls)


def test_each_step_adds_the_run_before_it_and_the_last_leads_to_the_whole_van(
    van: Scene, steps: tuple[PullStep, ...]
) -> None:
    showing = Showing(steps)
    everything = showing.runs_shown(van)
    assert everything == {tube.run for tube in van.tubes}
    seen: list[str] = []
    for step in steps:
        showing = showing.stepped(1)
        assert showing.now == step
        assert showing.runs_shown(van) == set(seen)
        pulled = showing.pulled_now(van)
        assert (pulled.run if pulled else "") == step.run
        seen += [step.run] if step.run else []
    showing = showing.stepped(1)
    assert showing.step == WHOLE
    assert showing.now is None
    assert showing.pulled_now(van) is None
    assert showing.runs_shown(van) == everything
    assert showing.stepped(-1).now == steps[-1]
    assert Showing(steps).stepped(1).stepped(-1).step == WHOLE


def test_without_a_pull_plan_there_is_nothing_to_step_through() -> None:
    assert Showing().stepped(1) == Showing()
    assert Showing().stepped(-1) == Showing()


def test_a_loom_that_is_off_stays_off_while_stepping(van: Scene, steps: tuple[PullStep, ...]) -> None:
    loom = van.tubes[0].loom
    off = Showing(steps).loom_switched(loom)
    own = {tube.run for tube in van.tubes if tube.loom == loom}
    assert own
    assert off.runs_shown(van) == {tube.run for tube in van.tubes} - own
    assert off.stepped(-1).runs_shown(van).isdisjoint(own)
    assert off.loom_switched(loom) == Showing(steps)
    assert off.wall_switched("left").stepped(1).everything() == Showing(steps)


def test_what_is_laid_and_what_is_said() -> None:
    steps = (PullStep(4, "bench"), PullStep(5, "Pull A", ("from here",), "A"), PullStep(6, "Pull B", (), "B"))
    assert [laid_before(steps, at) for at in range(4)] == [frozenset(), frozenset(), {"A"}, {"A", "B"}]
    assert step_words(steps, 1) == "step 5 of 6: Pull A\nfrom here"


def test_keys_lead_to_every_view_and_wall_and_no_two_share_one() -> None:
    assert set(VIEW_KEYS.values()) == set(VIEWS)
    assert list(WALL_KEYS.values()) == list(WALLS)
    keys = [*VIEW_KEYS, *WALL_KEYS, *STEP_KEYS, "s", "a", "t", "h", "Escape"]
    assert len(set(keys)) == len(keys)
    assert all(key in HELP for key in VIEW_KEYS)
