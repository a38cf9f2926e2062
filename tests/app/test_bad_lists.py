"""Lists with the usual slips, given to the command line: a sentence that names place and cure, code 2, nothing written."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from ribway.cli import main

Rows = list[list[str]]
HEAD = ["Name", "Kind", "Place", "Amps"]
GOOD: Rows = [
    HEAD,
    ["Battery", "house battery", "left 0.6 m back 0.3 m up", ""],
    ["Board", "fuse board", "left 0.7 m back 0.8 m up", ""],
    ["Fridge", "compressor fridge", "right 2.05 m back 0.6 m up", "4.5 A"],
]
with (Path(__file__).parents[1] / "samples" / "projects" / "first_hour.csv").open(
    encoding="utf-8", newline=""
) as _file:
    TAPE = {row["line"]: row["value"] for row in csv.DictReader(_file)}
PRESET = "vehicle: {preset: medium-high}\n"


def _csv(rows: Rows) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue().encode("utf-8")


def _xlsx(change: Callable[[openpyxl.worksheet.worksheet.Worksheet], None]) -> bytes:
    book = openpyxl.Workbook()
    for row in GOOD:
        book.worksheets[0].append(row)
    change(book.worksheets[0])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _changed(row: int, column: int, text: str) -> bytes:
    rows = [list(one) for one in GOOD]
    rows[row][column] = text
    return _csv(rows)


def _error(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
    sheet["D4"] = "#DIV/0!"
    sheet["D4"].data_type = "e"


SLIPS: dict[str, tuple[str, bytes, tuple[str, ...]]] = {
    "two rows with one name": ("csv", _changed(2, 0, "battery"), ("row 3", "stands in row 2 already", "its own name")),
    "a place outside the van": ("csv", _changed(3, 2, "right 9 m back 0.6 m up"), ("row 4", "no metal on the right", "reaches")),
    "a kind that does not exist": (
        "csv", _changed(3, 1, "compresser fridge"), ("row 4, column Kind", "did you mean compressor fridge?"),
    ),
    "merged cells": ("xlsx", _xlsx(lambda one: one.merge_cells("C3:C4")), ("row 3, column Place", "merged", "part it again")),
    "a formula with an error": ("xlsx", _xlsx(_error), ("row 4, column Amps", "#DIV/0!", "mend the formula")),
    "a date where a size should be": ("csv", _changed(3, 3, "04.05.2025"), ("row 4, column Amps", "04.05.2025", "4 A")),
    "an empty sheet": ("csv", b"", ("the sheet is empty",)),
    "a sheet with a header alone": ("csv", _csv([HEAD]), ("no device", "write a row for each thing")),
}  # fmt: skip


def _plan(folder: Path, vehicle: str, sheet: bytes, ending: str, capsys: pytest.CaptureFixture[str]) -> str:
    (folder / f"list.{ending}").write_bytes(sheet)
    (folder / "van.yaml").write_text(f"ribway: 1\nname: van\n{vehicle}equipment: list.{ending}\n", encoding="utf-8")
    before = sorted(folder.iterdir())
    assert main(["plan", str(folder / "van.yaml"), "--out", str(folder / "out")]) == 2
    assert sorted(folder.iterdir()) == before, "nothing is written"
    said = capsys.readouterr()
    return said.err + said.out


@pytest.mark.parametrize(("ending", "sheet", "words"), SLIPS.values(), ids=list(SLIPS))
def test_a_slip_in_the_list_is_said_in_words(
    ending: str, sheet: bytes, words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = " ".join(_plan(tmp_path, PRESET, sheet, ending, capsys).split())
    assert [word for word in words if word not in said] == [], said
    assert "Traceback" not in said


TAPE_SLIPS: dict[str, tuple[dict[str, str], tuple[str, ...]]] = {
    "rib stations out of order": (
        {"ribs_left": "0.42 0.88 1.80 1.36 2.27 2.71 3.18 3.62 m"},
        ("vehicle / tape / ribs_left, line", "1.36", "rising"),
    ),
    "a hole bigger than its rib": (
        {"holes": '["L2-L7: 90 mm at 420 mm"]'},
        ("vehicle / tape / holes, line", "is bigger than L2, 0.055 m deep", "accepted is up to"),
    ),
}


@pytest.mark.parametrize(("change", "words"), TAPE_SLIPS.values(), ids=list(TAPE_SLIPS))
def test_a_slip_in_the_tape_is_said_in_words(
    change: dict[str, str], words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = {**TAPE, **change}
    vehicle = "vehicle:\n  tape:\n" + "".join(f"    {key}: {value}\n" for key, value in lines.items())
    said = " ".join(_plan(tmp_path, vehicle, _csv(GOOD), "csv", capsys).split())
    assert [word for word in words if word not in said] == [], said
