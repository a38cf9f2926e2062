"""``ribway page``: saved plans written as one HTML file, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.outputs import PRODUCTS


def saved(folder: Path, plan: Plan) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "plan.json"
    file.write_text(save_plan(plan), encoding="utf-8", newline="\n")
    return file


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_a_page_is_named_by_the_plan_and_written_again(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = saved(tmp_path / "out", sample_plan)
    assert main(["page", str(file)]) == 0
    assert "written to sample-box.html: 4 runs" in capsys.readouterr().out
    first = (tmp_path / "sample-box.html").read_bytes()
    assert b"Local codes and the vehicle maker" in first
    assert main(["page", str(file.parent)]) == 0
    assert (tmp_path / "sample-box.html").read_bytes() == first


def test_a_folder_of_plans_gives_one_page_with_the_base_first(sample_plan: Plan, tmp_path: Path) -> None:
    saved(tmp_path / "all" / "a-longer-way", sample_plan.model_copy(update={"alternative": "a longer way"}))
    saved(tmp_path / "all" / "base", sample_plan)
    assert main(["page", "all", "--out", "both.html"]) == 0
    page = (tmp_path / "both.html").read_text(encoding="utf-8")
    assert page.index('data-show="0" aria-pressed="true">base') < page.index('data-show="1"')
    assert "Runs that differ" not in page  # none does


def test_a_plan_that_is_not_complete_says_so(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = saved(tmp_path / "out", sample_plan.model_copy(update={"complete": False}))
    assert main(["page", str(file), "--out", "p.html"]) == 3
    assert "NOT READY" in (tmp_path / "p.html").read_text(encoding="utf-8")
    assert "is not complete" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("target", "said"),
    [
        ("page.pdf", "a page is written as .html"),
        ("missing/page.html", "there is no folder missing to write into"),
        ("out/page.html", "an output folder that the next plan replaces whole"),
        ("own.html", "this is no page of ribway"),
        ("folder.html", "this is a folder"),
    ],
)
def test_what_cannot_be_written_is_refused_and_left_alone(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str], target: str, said: str
) -> None:
    file = saved(tmp_path / "out", sample_plan)
    (tmp_path / "out" / PRODUCTS).write_text("{}", encoding="utf-8")
    (tmp_path / "own.html").write_text("<p>mine</p>", encoding="utf-8")
    (tmp_path / "folder.html").mkdir()
    assert main(["page", str(file), "--out", target]) == 2
    assert said in capsys.readouterr().err
    assert (tmp_path / "own.html").read_text(encoding="utf-8") == "<p>mine</p>"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["folder.html", "out", "own.html"]
