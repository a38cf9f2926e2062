"""``ribway papers``: what it writes, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan


def saved(plan: Plan, folder: Path) -> Path:
    file = folder / "plan.json"
    file.write_text(save_plan(plan), encoding="utf-8")
    return file


def test_papers_are_written_from_a_saved_plan(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "papers"
    file = saved(sample_plan, tmp_path)
    assert main(["papers", str(file), "--only", "cut-list,labels", "--format", "pdf,csv", "--out", str(out)]) == 0
    names = {item.name for item in out.iterdir() if not item.name.startswith(".")}
    assert names == {"cut-list.pdf", "cut-list.csv", "labels.pdf", "labels.csv"}
    assert f"written to {out}: cut-list.pdf" in capsys.readouterr().out
    assert main(["papers", str(file), "--only", "cut-list", "--format", "xlsx", "--out", str(out)]) == 0
    assert {item.name for item in out.iterdir() if not item.name.startswith(".")} == {"papers.xlsx"}


def test_an_unfinished_plan_has_papers_and_code_3(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = saved(sample_plan.model_copy(update={"complete": False}), tmp_path)
    out = tmp_path / "papers"
    assert main(["papers", str(file), "--only", "cut-list", "--out", str(out)]) == 3
    assert "each page and each list says NOT READY" in capsys.readouterr().err
    assert (out / "cut-list.pdf").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--only", "cutlist"], "did you mean cut-list"),
        (["--format", "docx"], "<docx> is no format of papers: accepted are pdf, csv, xlsx, svg"),
        (["--rates", "none.yaml"], "there is no such file"),
    ],
)
def test_wrong_wishes_are_code_2_and_nothing_is_written(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    out = tmp_path / "papers"
    assert main(["papers", str(saved(sample_plan, tmp_path)), "--out", str(out), *words]) == 2
    assert said in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("reels: [{cable: twin-2x2.5, length: 2, price: 3}]", "2 is a number to YAML, not text: put it in quotes"),
        (
            "reels: [{cable: twin-2x2.5, length: 2 m, price: -3}]",
            "-3 is out of range: accepted is a number not below 0",
        ),
        ("parts: [{part: bolts, price: 3}]", '"bolts" is not accepted here: accepted are grommet, edge strip'),
        ("minutes: [{task: fit a fuse, low: 3, likely: 2, high: 1}]", "minutes must rise from low over likely to high"),
        ("hours: 3", "the key hours is unknown here"),
        ("ribway_rates: 2", "ribway_rates"),
    ],
)
def test_wrong_rates_are_code_2_with_line_and_place(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str, said: str
) -> None:
    rates = tmp_path / "rates.yaml"
    rates.write_text(f"{line}\n" if "ribway_rates" in line else f"ribway_rates: 1\n{line}\n", encoding="utf-8")
    out = tmp_path / "papers"
    words = ["papers", str(saved(sample_plan, tmp_path)), "--out", str(out), "--rates", str(rates)]
    assert main(words) == 2
    err = capsys.readouterr().err
    assert said in " ".join(err.split())
    assert "line " in err
    assert not out.exists()


def test_a_reel_too_short_for_a_piece_is_said(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run = sample_plan.runs[0]
    rates = tmp_path / "rates.yaml"
    reels = f"reels: [{{cable: {run.cable}, length: 0.5 m, price: 3}}, {{cable: {run.cable}z, length: 9 m, price: 3}}]"
    rates.write_text(f"ribway_rates: 1\n{reels}\n", encoding="utf-8")
    out = tmp_path / "papers"
    words = [
        "papers",
        str(saved(sample_plan, tmp_path)),
        "--only",
        "shopping",
        "--out",
        str(out),
        "--rates",
        str(rates),
    ]
    assert main(words) == 0
    said = " ".join(capsys.readouterr().err.split())
    assert f"the longest reel of {run.cable} is 0.5 m, and" in said
    assert "a run has no joins, so name a longer reel" in said
    assert f"this plan has no cable {run.cable}z: did you mean {run.cable}?" in said
    assert "longer than the longest reel offered" in (out / "shopping-cable.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--out", "FILE"], "this is a file, not a folder: give another name"),
        (["--alternative", "roof"], "this plan is of the base, not of roof: give the project file"),
        (["--only", "labels,,nope"], "there is no paper called <nope>"),
    ],
)
def test_wrong_places_are_code_2(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    file = tmp_path / "a-file"
    file.write_text("mine", encoding="utf-8")
    given = [str(file) if word == "FILE" else word for word in words]
    assert main(["papers", str(saved(sample_plan, tmp_path)), *given]) == 2
    assert said in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == "mine"


def test_labels_that_do_not_fit_are_code_2(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["papers", "plan.json", "--labels", "5x8:64x34"])
    assert ended.value.code == 2
    assert "need 320 mm, and the sheet is 210 mm wide" in capsys.readouterr().err


def test_a_plan_of_another_format_is_code_2(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(save_plan(sample_plan)) | {"ribway_plan": 1}
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    assert main(["papers", str(file), "--out", str(tmp_path / "papers")]) == 2
    assert "the plan format is 1, and this ribway reads" in capsys.readouterr().err
