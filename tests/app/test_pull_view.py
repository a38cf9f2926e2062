"""The pull plan in the window is the pull plan on paper."""

from __future__ import annotations

from ribway.models.rates.rates import Rates
from ribway.pull_view import shown_steps
from ribway.sheets.pulling.steps import pull_steps
from samples.van import van_plan


def test_every_step_of_the_paper_is_shown_in_its_order() -> None:
    plan = van_plan()
    shown, paper = shown_steps(plan), pull_steps(plan, Rates())
    assert [one.number for one in shown] == [one.number for one in paper] == list(range(1, len(paper) + 1))
    assert [one.run for one in shown] == [one.pull.run.id if one.pull else "" for one in paper]
    routed = {run.id for run in plan.runs if run.legs}
    assert {one.run for one in shown if one.run} == routed
    names = {device.id: device.name or device.id for device in plan.devices}
    for step, line in zip(paper, shown, strict=True):
        if step.pull is not None:
            assert f"feed in at {names[step.pull.feed]}, pull out at {names[step.pull.pull]}" in line.lines[0]
            assert all(name in "\n".join(line.lines) for name in step.pull.openings)
