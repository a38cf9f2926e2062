"""The PDF as pypdf reads it: what the plan says is on it, and every page says which plan it is."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections import Counter
from decimal import ROUND_CEILING, Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.sheets.book import COVER
from ribway.sheets.catalogue import PAPERS, book_files, book_pdf, papers_named
from ribway.sheets.paper.paper import paper_files
from ribway.sheets.paper.wishes import Wishes

A4_LANDSCAPE_PT = (297 / 25.4 * 72, 210 / 25.4 * 72)  # ISO 216


def read(plan: Plan) -> PdfReader:
    return PdfReader(io.BytesIO(book_pdf(plan, Wishes())))


def page_texts(plan: Plan) -> list[str]:
    return [page.extract_text() for page in read(plan).pages]


def pages_titled(plan: Plan, title: str) -> str:
    return "\n".join(text for text in page_texts(plan) if f"\n{title}\n" in text or f"\n{title}, continued\n" in text)


def test_cut_list_and_wire_list_hold_runs_and_cut_lengths(sample_plan: Plan) -> None:
    for title in ("Cut list", "Wire list"):
        lines = pages_titled(sample_plan, title).split("\n")
        for run in sample_plan.runs:
            assert run.id in lines
            assert str(Decimal(str(run.cut_m)).quantize(Decimal("0.01"), ROUND_CEILING)) in lines


def test_long_plans_lose_no_run(big_plan: Plan) -> None:
    """A run of single cores is cut piece by piece: each has a line of its own that begins with the run's name."""
    lines = pages_titled(big_plan, "Cut list").replace("\u00a0", " ").split("\n")
    begins = Counter(line.split(" ")[0] for line in lines)
    for run in big_plan.runs:
        assert begins[run.id] >= run.pieces, run.id


def test_every_page_says_project_revision_date_and_number(sample_plan: Plan) -> None:
    texts = page_texts(sample_plan)
    for number, text in enumerate(texts, start=1):
        assert "Sample box" in text
        assert "revision A, 2025-01-31, base plan" in text
        assert f"page {number} of {len(texts)}" in text
        assert "NOT READY" not in text


def test_a_missing_date_is_said(sample_plan: Plan) -> None:
    texts = page_texts(sample_plan.model_copy(update={"date": "", "revision": "", "alternative": "roof"}))
    assert all("no revision, no date, alternative roof" in text for text in texts)


def test_every_page_of_an_unfinished_plan_says_so_in_large_letters(sample_plan: Plan) -> None:
    reader = read(sample_plan.model_copy(update={"complete": False}))
    for page in reader.pages:
        sizes: list[float] = []

        def note(text: str, _cm: object, _tm: object, _font: object, size: float, into: list[float] = sizes) -> None:
            if text.strip() == "NOT READY":
                into.append(size)

        page.extract_text(visitor_text=note)
        assert max(sizes, default=0.0) >= 24.0


def test_the_cover_holds_totals_cautions_and_where_the_papers_are(sample_plan: Plan) -> None:
    reader = read(sample_plan)
    flat = " ".join(reader.pages[0].extract_text().split())
    assert "Workshop papers Sample box revision A" in flat
    assert "Fuse at the source." in flat
    assert "licensed person" in flat
    lines = reader.pages[0].extract_text().splitlines()
    for entry in reader.outline:
        if isinstance(entry, list):  # the sheets of the paper before it
            for sheet in entry:
                number = reader.get_destination_page_number(sheet)
                assert f"\n{sheet['/Title']}\n" in reader.pages[number].extract_text()
        elif entry["/Title"] != COVER:
            assert f"page {reader.get_destination_page_number(entry) + 1}" == lines[lines.index(entry["/Title"]) + 1]
    listed = re.findall(r"(Findings|Openings|Cut list|Wire list|Earths and bonds|Pull plan|Totals) page (\d+)", flat)
    assert len(listed) == 7
    assert "Labels own file" in flat, "printed on sheets of their own, when the pieces are cut"
    assert "Hole stickers own file" in flat
    assert not re.search(r"[a-z](\.\.\.|…) page", flat), "no name is cut short"
    for title, page in listed:
        assert f"\n{title}\n" in reader.pages[int(page) - 1].extract_text() or title == "Totals"


def test_pages_are_a4_with_embedded_letters_and_bookmarks(sample_plan: Plan) -> None:
    reader = read(sample_plan)
    for page in reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(A4_LANDSCAPE_PT, abs=0.01)
        for font in page["/Resources"]["/Font"].values():
            data = font.get_object()
            if "Vera" in data["/BaseFont"]:
                assert "/FontFile2" in data["/FontDescriptor"].get_object()
    assert [entry["/Title"] for entry in reader.outline if not isinstance(entry, list)][:2] == [COVER, "Findings"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Sample box: workshop papers, revision A, 2025-01-31, base plan"


def test_the_same_plan_gives_the_same_bytes_in_another_process(sample_plan: Plan, tmp_path: Path) -> None:
    first = book_pdf(sample_plan, Wishes())
    assert book_pdf(sample_plan, Wishes()) == first
    file = tmp_path / "plan.json"
    file.write_text(save_plan(sample_plan), encoding="utf-8")
    script = (
        "import sys; from pathlib import Path; from ribway.models.plan_file import load_plan;"
        "from ribway.sheets.catalogue import book_pdf; from ribway.sheets.paper.wishes import Wishes;"
        "sys.stdout.buffer.write(book_pdf(load_plan(Path(sys.argv[1])), Wishes()))"
    )
    again = subprocess.run(
        [sys.executable, "-c", script, str(file)], capture_output=True, check=True,
        env=os.environ | {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"},
    )  # fmt: skip
    assert again.stdout == first


def test_a_plan_is_written_with_the_book_and_all_lists(sample_plan: Plan) -> None:
    files = dict(book_files(sample_plan, Wishes()))
    assert sorted(name for name in files if name.endswith(".pdf")) == ["hole-stickers.pdf", "labels.pdf", "papers.pdf"]
    lists = {name for paper in PAPERS for name, _ in paper_files(paper, sample_plan, Wishes(), ("csv",))}
    assert {name for name in files if name.endswith(".csv")} == lists
    assert {"wire-list.csv", "cut-list.csv", "openings.csv", "circuits.csv", "assumptions.csv", "spares.csv"} <= lists
    assert files["papers.pdf"] == book_pdf(sample_plan, Wishes())
    assert files["wire-list.csv"].decode("utf-8").startswith("run,circuit,")


def test_the_book_holds_the_same_pages_as_the_papers_by_themselves(sample_plan: Plan) -> None:
    book = "\n".join(page_texts(sample_plan))
    for name in ("openings", "cut-list", "test-sheet", "pull-plan", "earths", "marking-out", "no-drill"):
        ((_, data),) = paper_files(papers_named([name])[0], sample_plan, Wishes(), ("pdf",))
        for page in PdfReader(io.BytesIO(data)).pages:
            lines = [line for line in page.extract_text().split("\n") if not line.startswith("page ")]
            assert "\n".join(lines[3:]) in book


def test_a_plan_with_nothing_in_it_still_has_its_papers(bare_plan: Plan) -> None:
    reader = PdfReader(io.BytesIO(dict(book_files(bare_plan, Wishes()))["papers.pdf"]))
    assert "Totals" in reader.pages[len(reader.pages) - 1].extract_text()


def test_tables_and_csv_do_without_reportlab() -> None:
    script = "import sys, ribway.sheets.catalogue; print('reportlab' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "False"
