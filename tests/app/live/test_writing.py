"""Papers step by step: what is told, and that the folder is the same as the command's."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.commands.plan import write_plan
from ribway.live.writing import write_steps
from ribway.models.plan.plan import Plan
from ribway.pictures import walls_in_use
from ribway.viewer import picture
from ribway.viewer.errors import CannotDraw


def test_the_folder_is_that_of_the_command_and_every_step_is_told(sample_plan: Plan, tmp_path: Path) -> None:
    told: list[tuple[str, float]] = []
    for name in ("steps", "command"):
        (tmp_path / name).mkdir()
    assert write_steps(sample_plan, tmp_path / "steps", True, lambda words, done: told.append((words, done))) == ""
    write_plan(sample_plan, tmp_path / "command", papers=True, pictures=True)
    one, other = (
        {item.name: item.read_bytes() for item in (tmp_path / name).iterdir()} for name in ("steps", "command")
    )
    assert set(one) == set(other)
    # A PDF may hold when it was made; all else is the same to the byte.
    assert [name for name in one if not name.endswith(".pdf") and one[name] != other[name]] == []
    assert len(told) == 3 + 1 + len(walls_in_use(sample_plan))
    assert [done for _, done in told] == [pytest.approx(number / len(told)) for number in range(len(told))]
    assert len({words for words, _ in told}) == len(told)


def test_where_nothing_can_be_drawn_the_papers_are_there_all_the_same(
    sample_plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cannot(*_: object, **__: object) -> None:
        raise CannotDraw("no OpenGL here")

    monkeypatch.setattr(picture, "draw_picture", cannot)
    assert write_steps(sample_plan, tmp_path, True, lambda *_: None) == "no OpenGL here"
    assert {"plan.json", "papers.pdf", "page.html"} <= {item.name for item in tmp_path.iterdir()}
