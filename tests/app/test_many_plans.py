"""Several projects at once: how many processes, and that sharing changes no plan."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.many_plans import planned_all, process_count
from ribway.models.reading import read_project
from ribway.planning import new_plan

SAMPLE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"


@pytest.mark.parametrize(
    ("tasks", "cores", "count"),
    [(0, 8, 1), (1, 8, 1), (7, 8, 1), (8, 1, 1), (8, None, 1), (8, 2, 2), (9, 8, 4), (100, 8, 8)],
)
def test_processes_are_begun_only_where_they_pay(tasks: int, cores: int | None, count: int) -> None:
    assert process_count(tasks, cores) == count


def test_plans_that_share_are_the_plans_alone() -> None:
    base = read_project(SAMPLE)
    other = base.model_copy(update={"shop": base.shop.model_copy(update={"slack": 9.0})})
    found = dict(planned_all({"": base, "slack": other, "again": base}, SAMPLE.parent))
    assert list(found) == ["", "slack", "again"]
    assert found[""].result() == new_plan(SAMPLE)
    assert found["again"].result() == new_plan(SAMPLE).model_copy(update={"alternative": "again"})
    assert {run.slack_m for run in found["slack"].result().runs} != {run.slack_m for run in found[""].result().runs}
