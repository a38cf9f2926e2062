"""Labels: two for every piece, on the sheet that was asked for."""

from __future__ import annotations

import csv
import io

import pytest
from pypdf import PdfReader

from ribway.models.plan.plan import Plan
from ribway.sheets.fonts import face
from ribway.sheets.labels.ends import end_labels, labels_record, length_class
from ribway.sheets.labels.sheet import labels_pdf
from ribway.sheets.paper.record import grid_csv
from ribway.sheets.sticker_grid import Grid, parse_label_grid
from ribway.sheets.wrap import squeezed

MM = 72 / 25.4


def test_every_piece_has_a_label_at_each_end_that_names_both(sample_plan: Plan) -> None:
    names = {one.id: one.name for one in sample_plan.devices}
    labels = end_labels(sample_plan)
    assert len(labels) == 2 * sum(run.pieces for run in sample_plan.runs)
    for run in sample_plan.runs:
        ends = {(one.end, one.here, one.there) for one in labels if one.run.split(" ")[0] == run.id}
        assert ends == {("A", names[run.from_], names[run.to]), ("B", names[run.to], names[run.from_])}


def test_two_poles_in_two_cables_are_told_apart(sample_plan: Plan) -> None:
    first = next(run for run in sample_plan.runs if run.kind == "dc")
    plan = sample_plan.model_copy(update={"runs": (first.model_copy(update={"pieces": 2}),)})
    assert [(one.run, one.end) for one in end_labels(plan)] == [
        (f"{first.id} +", "A"), (f"{first.id} +", "B"), (f"{first.id} -", "A"), (f"{first.id} -", "B"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cut_m", "words"),
    [(0.4, "up to 2 m"), (2.0, "up to 2 m"), (2.05, "2 to 5 m"), (9.0, "5 to 10 m"), (10.1, "over 10 m")],
)
def test_length_classes(cut_m: float, words: str) -> None:
    assert length_class(cut_m, "metric") == words


@pytest.mark.parametrize(
    ("feet", "words"), [(6.0, "up to 6'"), (6.1, "6 to 16'"), (32.0, "16 to 32'"), (32.1, "over 32'")]
)
def test_length_classes_in_feet(feet: float, words: str) -> None:
    assert length_class(0.3048 * feet, "feet and inches") == words


def test_the_pdf_says_what_the_plan_says(sample_plan: Plan) -> None:
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(labels_pdf(sample_plan, Grid(2, 4)))).pages)
    for run in sample_plan.runs:
        assert f"{run.id}  A" in text
        assert f"{run.id}  B" in text
    fuses = {circuit.fuse_a for circuit in sample_plan.circuits if circuit.kind == "dc"}
    assert fuses
    assert all(f"fuse {fuse:g} A" in text for fuse in fuses)
    assert "NOT READY" not in text


def test_an_unfinished_plan_says_so_on_each_label(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(update={"complete": False})
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(labels_pdf(plan, Grid()))).pages)
    assert text.count("NOT READY") == len(end_labels(plan))


def test_labels_lie_where_the_packet_says(sample_plan: Plan) -> None:
    """Avery's data sheets give such sheets by size, margin and gap: 63.5 x 33.9 mm, 7.2 x 12.9 mm, 2.5 x 0 mm."""
    grid = parse_label_grid("3x8:63.5x33.9:7.2x12.9:2.5x0")
    left, top, width, height = grid.cell(5)  # second row, third column
    assert left / MM == pytest.approx(7.2 + 2 * (63.5 + 2.5))
    assert (297 * MM - top) / MM == pytest.approx(12.9 + 33.9)
    assert (width / MM, height / MM) == pytest.approx((63.5, 33.9))
    page = PdfReader(io.BytesIO(labels_pdf(sample_plan, grid))).pages[0]
    seen: list[tuple[float, float]] = []
    page.extract_text(
        visitor_text=lambda text, cm, tm, font, size: seen.append((tm[4], tm[5])) if text.strip() else None
    )
    second = [x / MM for x, _ in seen if x / MM > 7.2 + 66.0]
    assert second
    assert all(7.2 < x / MM < 210 - 7.2 for x, _ in seen)


def test_letter_paper() -> None:
    grid = parse_label_grid("3x10:66.7x25.4:4.8x12.7:3.2x0:letter")
    assert grid.page_pt == pytest.approx((8.5 * 72, 11 * 72))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("4x8:64x34", "4 labels of 64 mm need 256 mm, and the sheet is 210 mm wide"),
        ("3x8:64x34:20x10", "behind a margin of 20 mm at the left need 212 mm"),
        ("3x9:64x34", "9 labels of 34 mm need 306 mm, and the sheet is 297 mm high"),
        ("3x8:63x34:9x9:9x0", "with 9 mm between"),
        ("3x8:0x34", "no size"),
        ("three", "is no grid of labels"),
        ("3.5x8", "whole numbers"),
        ("3x8:64x34:1x1:1x1:1x1", "is no grid of labels"),
    ],
)
def test_a_grid_that_does_not_fit_is_refused_with_the_sum(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        parse_label_grid(text)


def test_the_csv_holds_the_same_labels(sample_plan: Plan) -> None:
    rows = list(csv.DictReader(io.StringIO(grid_csv(sample_plan, labels_record(sample_plan).grid()))))
    assert [(row["run"], row["end"], row["here"]) for row in rows] == [
        (one.run, one.end, one.here) for one in end_labels(sample_plan)
    ]
    by_run = {run.id: run for run in sample_plan.runs}
    assert all(float(row["cut_m"]) == by_run[row["run"].split(" ")[0]].cut_m for row in rows)


def test_a_line_gets_smaller_before_it_is_cut() -> None:
    """Widths by the typeface's own table: what needs nine tenths of the size gets that, what needs half is cut."""
    letters = face()
    text = "other end: Feed from the starter battery"
    wide = letters.measure(text, 10.0, False)
    assert squeezed(text, wide + 1.0, 10.0, False, letters) == (text, 10.0)
    line, size = squeezed(text, 0.9 * wide, 10.0, False, letters)
    assert (line, round(size, 1)) == (text, 9.0)
    assert letters.measure(line, size, False) <= 0.9 * wide
    line, size = squeezed(text, 0.5 * wide, 10.0, False, letters)
    assert size == 7.5
    assert line.endswith("…")
    assert letters.measure(line, size, False) <= 0.5 * wide
