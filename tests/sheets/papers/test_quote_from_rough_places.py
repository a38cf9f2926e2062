"""A first quote: a preset that nobody measured, places in three words, amps from the catalogue. Counts are made again from the
plan, and the same van with every place taped later must come out within what the first quote allowed for."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest
from pypdf import PdfReader

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import PartPrice, Rates, Reel
from ribway.models.reading import read_project
from ribway.router.planner import plan_project
from ribway.sheets.catalogue import all_files, papers_named
from ribway.sheets.handing_over.quote import sums_of
from ribway.sheets.handing_over.work import counts
from ribway.sheets.paper.wishes import Wishes

ROUGH = """\
Name,Kind,Place
Battery,house battery,left front low
Board,fuse board,left front high
Fridge,fridge,right middle low
Pump,water pump,right rear low
Light,lamp,roof rear
"""
TAPED = """\
Name,Kind,Place
Battery,house battery,left 0.62 m back 0.3 m up
Board,fuse board,left 0.9 m back 1.2 m up
Fridge,fridge,right 1.7 m back 0.5 m up
Pump,water pump,right 2.9 m back 0.5 m up
Light,lamp,roof 2.7 m back
"""


def planned(folder: Path, rows: str) -> Plan:
    (folder / "equipment.csv").write_text(rows, encoding="utf-8")
    project = folder / "project.yaml"
    project.write_text(
        "ribway: 1\nname: First call\nvehicle: {preset: medium-high}\nequipment: equipment.csv\n", encoding="utf-8"
    )
    return plan_project(read_project(project), folder)


@pytest.fixture(scope="module")
def rough(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return planned(tmp_path_factory.mktemp("rough"), ROUGH)


def rates_for(*plans: Plan) -> Rates:
    cables = sorted({run.cable for plan in plans for run in plan.runs})
    parts = ("grommet", "edge strip", "clip", "sleeve", "fuse", "terminal", "lug", "heat shrink", "label")
    return Rates(
        currency="EUR",
        hour=60.0,
        reels=tuple(Reel(cable=cable, length="50 m", price=40.0) for cable in cables),
        parts=tuple(PartPrice.model_validate({"part": part, "price": 1.0}) for part in parts),
    )


def test_it_is_a_quote_with_all_that_is_open_said(rough: Plan) -> None:
    assert rough.complete
    still = [one for one in rough.assumptions if not one.confirmed]
    assert {one.about for one in still if one.key == "place"} == {one.id for one in rough.devices}
    rates = rates_for(rough)
    data = dict(all_files(rough, Wishes(rates=rates), papers_named(["quote"]), ["pdf"]))["quote.pdf"]
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())
    assert (
        f"Not yet confirmed on the van: {len(still)} values of the plan. Price and time hold once that is done." in text
    )
    low, likely, high = sums_of(rough, rates).total
    assert low is not None
    assert likely is not None
    assert high is not None
    assert 0.0 < low < likely < high
    assert f"{low:.2f} EUR to {high:.2f} EUR" in text
    assert "Without a price yet" not in text


def test_its_counts_are_those_of_its_plan(rough: Plan) -> None:
    found = counts(rough)
    assert found["mark out a place"] == len(ROUGH.splitlines()) - 1
    used = {opening for run in rough.runs for opening in run.openings}
    assert found["protect an edge"] == len(used & {one.id for one in rough.openings})
    assert found["pass an opening"] == sum(len(run.openings) for run in rough.runs)
    assert found["pull a metre"] == pytest.approx(math.fsum(run.one_way_m for run in rough.runs), abs=1e-3)


def test_taped_places_come_out_within_it(rough: Plan, tmp_path: Path) -> None:
    taped = planned(tmp_path, TAPED)
    assert not [one for one in taped.assumptions if one.key == "place" and not one.confirmed]
    rates = rates_for(rough, taped)
    first, later = sums_of(rough, rates).total, sums_of(taped, rates).total
    assert first[0] is not None
    assert first[2] is not None
    assert later[1] is not None
    assert first[0] <= later[1] <= first[2]
