"""A new user's first hour: an empty folder, twelve lines off a tape, thirty rows of three cells, a cut list.

What docs/first-hour.md says is typed is what is typed here.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import openpyxl
import pytest

from ribway.cli import main

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "tests" / "samples" / "projects"
PAGE = (ROOT / "docs" / "first-hour.md").read_text(encoding="utf-8")


def _tape() -> dict[str, str]:
    with (SAMPLES / "first_hour.csv").open(encoding="utf-8", newline="") as file:
        return {row["line"]: row["value"] for row in csv.DictReader(file)}


def _rows() -> list[list[str]]:
    with (SAMPLES / "thirty_rows.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))[1:]


def _fill_in(folder: Path) -> None:
    text = (folder / "project.yaml").read_text(encoding="utf-8")
    for key, value in _tape().items():
        text, count = re.subn(rf"(?m)^    {key}:$", f"    {key}: {value}", text)
        assert count == 1, key
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    book = openpyxl.load_workbook(folder / "equipment.xlsx")
    for number, row in enumerate(_rows(), start=5):
        for column, cell in enumerate(row, start=1):
            book["Equipment"].cell(number, column).value = cell
    book.save(folder / "equipment.xlsx")


def test_from_an_empty_folder_to_a_cut_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    van = tmp_path / "van"
    assert main(["new", str(van), "--tape"]) == 0
    assert f"ribway plan {van} --out {van}-papers" in capsys.readouterr().out
    _fill_in(van)
    assert main(["plan", str(van), "--out", str(van) + "-papers", "--no-picture"]) == 0
    papers = tmp_path / "van-papers"
    assert (papers / "papers.pdf").stat().st_size > 10_000
    with (papers / "cut-list.csv").open(encoding="utf-8-sig", newline="") as file:
        cuts = list(csv.DictReader(file))
    assert {row["state"] for row in cuts} == {"complete"}
    to_names = {row["to_name"] for row in cuts} | {row["from_name"] for row in cuts}
    assert {row[0] for row in _rows()} <= to_names, "every row of the sheet has a cable"


def test_lines_left_empty_are_named_each_with_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "van"), "--tape"]) == 0
    capsys.readouterr()
    assert main(["plan", str(tmp_path / "van")]) == 2
    said = capsys.readouterr().err
    for key in _tape():
        assert f"vehicle / tape / {key}, line" in said
    assert "nothing stands here: write a value behind the key" in said


def test_the_page_says_what_is_typed_and_reckons_the_minutes_right() -> None:
    values = sum(len(value) + 1 for value in _tape().values())
    cells = sum(len(cell) + 1 for row in _rows() for cell in row)
    assert (len(_tape()), len(_rows())) == (12, 30)
    (rate,) = re.findall(r"(\d+) characters a minute", PAGE)
    for characters, what in ((values, "12 lines of the tape"), (cells, "30 rows of three cells")):
        minutes = math.ceil(characters / int(rate))
        assert f"| {what} | {characters} | {minutes} |" in PAGE
    for value in _tape().values():
        assert value in PAGE
    assert "estimate" in PAGE
