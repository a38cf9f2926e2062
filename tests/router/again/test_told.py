"""Long work is told in counted steps, and can be stopped at each of them without a trace."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_vans import shell, small_project

from ribway.models.project import Project
from ribway.models.told import CHECKING, FINISHING, GROUND, LEAST, PLANNING, TOGETHER, WRITING, HowFar
from ribway.router.again.replan import again, finished, start_on
from ribway.router.audit.check import CHECKS
from ribway.router.shell.parts import Shell


class StopError(Exception):
    """Somebody wants something else."""


class Heard:
    """Keeps what it is told; stops the work at one of the steps."""

    def __init__(self, at: int = -1) -> None:
        self.steps: list[tuple[str, int, int]] = []
        self._at = at

    def __call__(self, stage: str, done: int, of: int) -> None:
        if len(self.steps) == self._at:
            raise StopError
        self.steps.append((stage, done, of))


@pytest.fixture(scope="module")
def metal() -> Shell:
    return shell()


@pytest.fixture(scope="module")
def project() -> Project:
    return small_project(0)


def test_a_plan_is_told_in_its_stages_and_is_the_same_plan(metal: Shell, project: Project) -> None:
    heard = Heard()
    plan = start_on(project, metal, told=heard).plan
    assert plan == start_on(project, metal).plan
    stages = list(dict.fromkeys(stage for stage, _, _ in heard.steps))
    assert stages == [*PLANNING[:-1], LEAST, WRITING, CHECKING]
    for stage in stages:
        done = [(done, of) for name, done, of in heard.steps if name == stage]
        assert all(0 <= one <= of for one, of in done)
    assert {(CHECKING, 0, len(CHECKS)), (CHECKING, len(CHECKS), len(CHECKS))} <= {*heard.steps}


def test_bound_and_audit_may_come_later(metal: Shell, project: Project) -> None:
    heard = Heard()
    early = start_on(project, metal, finish=False, told=heard)
    assert not early.finished
    assert early.plan.bound is None
    assert {stage for stage, _, _ in heard.steps} <= {*PLANNING}
    late = Heard()
    assert finished(early, late).plan == start_on(project, metal).plan
    assert {stage for stage, _, _ in late.steps} == {*FINISHING}


def test_stopped_anywhere_the_plan_in_hand_stays_good(metal: Shell, project: Project) -> None:
    whole = start_on(project, metal).plan
    early = start_on(project, metal, finish=False)
    every = Heard()
    finished(start_on(project, metal, finish=False), every)
    assert len(every.steps) > 50
    for at in range(0, len(every.steps), len(every.steps) // 12):
        with pytest.raises(StopError):
            finished(early, Heard(at))
        assert not early.finished
    # What is known from the stopped goes falsifies neither the same plan nor the next one.
    assert finished(early).plan == whole
    other = project.model_copy(update={"devices": tuple(reversed(project.devices))})
    assert finished(again(early, other)).plan == finished(again(start_on(project, metal), other)).plan


def test_the_search_over_all_routes_is_told_too(metal: Shell, project: Project) -> None:
    thorough = project.model_copy(update={"shop": project.shop.model_copy(update={"search": "thorough"})})
    heard = Heard()
    start_on(thorough, metal, finish=False, told=heard)
    assert TOGETHER in {stage for stage, _, _ in heard.steps}


steps = st.tuples(st.sampled_from((*PLANNING, "something else")), st.integers(0, 9), st.integers(0, 9))


@given(st.lists(steps))
def test_the_share_never_goes_back_and_never_says_more_than_all(told: list[tuple[str, int, int]]) -> None:
    far, before = HowFar(PLANNING), 0.0
    for one in told:
        assert far.words(*one).startswith(one[0])
        assert before <= far.share <= 1.0
        before = far.share


def test_each_stage_counts_alike() -> None:
    far = HowFar((GROUND, LEAST))
    assert (far.words(GROUND, 1, 2), far.share) == (f"{GROUND}, 1 of 2", 0.25)
    assert (far.words(LEAST, 0, 1), far.share) == (LEAST, 0.5)
    assert (far.words(GROUND, 0, 2), far.share) == (f"{GROUND}, 0 of 2", 0.5)
