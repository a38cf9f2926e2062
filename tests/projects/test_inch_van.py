"""Papers for a shop that works in feet and inches say no millimetre and no metre.

Copper alone stays in mm2 beside its gauge: AWG, SAE and metric wire differ, and the area is what was reckoned with.
A spreadsheet's columns of bare numbers keep the unit that their names end in, beside columns of what is printed.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from rich.console import Console

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.rates.rates import Rates
from ribway.router.planner import plan_project
from ribway.sheets.catalogue import PAPERS, all_files
from ribway.sheets.paper.wishes import Wishes
from ribway.summary import print_summary
from ribway.viewer.report.tables import tables_of

METRIC = re.compile(r"(?<![\w.])(?:mm|cm|km|kg)(?![\w²³])|\d ?m(?![\w²³/'])|\(m\)|\bmetres?\b")
BARE = re.compile(r"_(m|mm|mm2|kg|m2|n|percent)$")


@pytest.fixture(scope="module")
def metric_stock_plan(survey_project: Project, demo_folder: Path) -> Plan:
    """The survey van, with more of everything in it, as a shop plans it that measures in inches and buys square millimetres."""
    shop = survey_project.shop.model_copy(update={"units": "feet and inches"})
    return plan_project(survey_project.model_copy(update={"shop": shop}), demo_folder / "survey-van")


@pytest.fixture(scope="module", params=["inch_plan", "metric_stock_plan"])
def plan(request: pytest.FixtureRequest) -> Plan:
    """A van in feet and inches, planned."""
    found = request.getfixturevalue(request.param)
    assert isinstance(found, Plan)
    return found


@pytest.fixture(scope="module")
def files(plan: Plan) -> dict[str, bytes]:
    """Every file of every paper, reels priced so that they are cut."""
    cables = dict.fromkeys(run.cable for run in plan.runs)
    rates = Rates.model_validate({"reels": [{"cable": one, "length": "100 ft", "price": 50.0} for one in cables]})
    return dict(all_files(plan, Wishes(rates=rates), PAPERS, ("pdf", "csv")))


def test_no_paper_says_a_metric_length(files: dict[str, bytes]) -> None:
    said = {
        f"{name}, page {number}: {line}"
        for name, data in files.items()
        if name.endswith(".pdf")
        for number, page in enumerate(PdfReader(io.BytesIO(data)).pages, start=1)
        for line in page.extract_text().splitlines()
        if METRIC.search(line)
    }
    assert not said, "\n".join(sorted(said))


def test_no_text_of_a_spreadsheet_says_a_metric_length(files: dict[str, bytes]) -> None:
    said = {
        f"{name}, {column}: {text}"
        for name, data in files.items()
        if name.endswith(".csv")
        for row in csv.DictReader(io.StringIO(data.decode("utf-8")))
        for column, text in row.items()
        if not BARE.search(column) and METRIC.search(text)
    }
    assert not said, "\n".join(sorted(said))


def test_report_page_says_no_metric_length(plan: Plan) -> None:
    texts = [
        text
        for table in tables_of(plan)
        for text in (
            *table.notes,
            *(one.heading for one in table.columns),
            *(c.text for row in table.rows for c in row.cells),
        )
    ]
    assert len(texts) > 500
    said = {text for text in texts if METRIC.search(text)}
    assert not said, "\n".join(sorted(said))


def test_terminal_says_no_metric_length(plan: Plan) -> None:
    out = io.StringIO()
    print_summary(plan, Console(file=out, width=400))
    lines = out.getvalue().splitlines()
    assert len(lines) > 50
    said = [line for line in lines if METRIC.search(line)]
    assert not said, "\n".join(said)
