"""The quote against sums by hand, and the handover pack against the plan."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Minutes, Rates, Reel
from ribway.sheets.buying.shopping import material_cost
from ribway.sheets.catalogue import all_files, papers_named
from ribway.sheets.handing_over.pack import as_run_record, certificates_record, photo_record, rules_record
from ribway.sheets.handing_over.quote import customer_records, sums_of
from ribway.sheets.handing_over.work import counts, work_of
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import wall_name
from ribway.sheets.walls.no_drill import lines_on
from ribway.sheets.walls.view import WALLS


def rates_for(plan: Plan) -> Rates:
    return Rates(
        currency="EUR",
        hour=60.0,
        markup="10 %",
        tax="20 %",
        reels=tuple(Reel(cable=cable, length="10 m", price=20.0) for cable in sorted({run.cable for run in plan.runs})),
        minutes=(Minutes(task="pull a metre", low=1.0, likely=2.0, high=4.0),),
    )


def text_of(plan: Plan, name: str, wishes: Wishes) -> str:
    data = dict(all_files(plan, wishes, papers_named([name]), ["pdf"]))[f"{name}.pdf"]
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


def test_counts_are_those_of_the_plan(sample_plan: Plan) -> None:
    found = counts(sample_plan)
    assert found["mark out a place"] == len(sample_plan.devices)
    assert found["protect an edge"] == found["check a hole"] + found["drill a hole"] == sample_plan.totals.openings_used
    assert found["cut and mark a piece"] == sum(run.pieces for run in sample_plan.runs)
    assert found["pull a metre"] == pytest.approx(sum(run.one_way_m for run in sample_plan.runs), abs=1e-3)
    assert found["fit a fuse"] == sum(1 for one in sample_plan.circuits if one.kind == "dc" and one.fuse_a)
    assert found["test a run"] == sum(1 for run in sample_plan.runs if run.cores and run.kind != "ac")


def test_the_shops_own_minutes_take_the_place_of_the_usual_ones(sample_plan: Plan) -> None:
    work = {one.task: one for one in work_of(sample_plan, rates_for(sample_plan))}
    metres = counts(sample_plan)["pull a metre"]
    assert work["pull a metre"].hours == pytest.approx((metres / 60, metres / 30, metres / 15))


def test_sums_by_hand(sample_plan: Plan) -> None:
    rates = rates_for(sample_plan)
    sums = sums_of(sample_plan, rates)
    minutes = {one.task: one.minutes for one in work_of(sample_plan, rates)}
    for index, name in enumerate(("low", "likely", "high")):
        hours = sum(count * getattr(minutes[task], name) for task, count in counts(sample_plan).items() if count) / 60
        assert sums.hours[index] == pytest.approx(hours)
        cost = material_cost(sample_plan, rates)[0] * 1.1
        assert sums.total[index] == pytest.approx((hours * 60.0 + cost) * 1.2, abs=0.03)
    assert sums.hours[0] < sums.hours[1] < sums.hours[2]


def test_without_a_price_for_the_hour_there_is_no_total(sample_plan: Plan) -> None:
    sums = sums_of(sample_plan, Rates())
    assert sums.total == (None, None, None)
    assert sums.hours[1] > 0
    text = text_of(sample_plan, "quote", Wishes())
    assert "The hour has no price yet" in text
    assert "not priced yet" in text


def test_the_customers_page_shows_the_price_and_not_the_minutes(sample_plan: Plan) -> None:
    wishes = Wishes(rates=rates_for(sample_plan))
    sums = sums_of(sample_plan, wishes.rates)
    customer, shop = text_of(sample_plan, "quote", wishes), text_of(sample_plan, "quote-shop", wishes)
    assert f"{sums.total[0]:.2f} EUR to {sums.total[2]:.2f} EUR" in customer
    assert "page 1 of 1" in customer
    assert "pull a metre" not in customer
    assert "pull a metre" in shop
    assert "licensed person" in customer


def test_the_pack_holds_runs_fuses_tests_photographs_rules_and_what_is_open(sample_plan: Plan) -> None:
    text = text_of(sample_plan, "handover", Wishes())
    for title in (
        "Do not drill", "Handover: circuits as run", "Handover: isolators and re-checks", "Fuse map", "Test sheet",
        "Handover: photographs", "Handover: rules used", "Assumed values",
    ):  # fmt: skip
        assert title in text, title
    assert "Not checked" in text
    assert f"rule: {sample_plan.rules.fuse_rule}" in text
    assert [row[1] for row in as_run_record(sample_plan).rows] == [run.id for run in sample_plan.runs]
    walls = {row[0] for row in photo_record(sample_plan).rows}
    assert {f"{one.wall} wall" for one in sample_plan.openings if one.runs and one.wall in ("left", "right")} <= walls


def test_no_box_with_mains_in_it_is_opened_for_a_picture(sample_plan: Plan) -> None:
    ends = {end for run in sample_plan.runs if run.kind == "ac" for end in (run.from_, run.to)}
    devices = tuple(one.model_copy(update={"kind": "source"} if one.id in ends else {}) for one in sample_plan.devices)
    rows = photo_record(sample_plan.model_copy(update={"devices": devices})).rows
    mains = [one.name for one in devices if one.id in ends]
    pictures = [str(row[1]) for row in rows]
    assert mains
    for name in mains:
        assert f"{name}: shut, labels readable; only the licensed person opens it" in pictures
        assert not any(picture.startswith(f"{name}: open") for picture in pictures)
    assert any(picture.endswith(": open, fuses and labels readable") for picture in pictures)


def test_a_wall_that_only_cables_cross_is_photographed_too(sample_plan: Plan) -> None:
    """A floor has no device and no hole of its own, and is covered like any wall."""
    bare = sample_plan.model_copy(
        update={
            "devices": tuple(one.model_copy(update={"wall": "roof"}) for one in sample_plan.devices),
            "openings": tuple(one.model_copy(update={"wall": "roof"}) for one in sample_plan.openings),
        }
    )
    crossed = {wall for wall in WALLS if lines_on(bare, wall)}
    assert crossed - {"roof"}
    photographed = [str(row[0]) for row in photo_record(bare).rows if str(row[1]).startswith("whole")]
    assert {wall_name(wall) for wall in crossed} <= set(photographed)
    assert len(photographed) == len(set(photographed))


def test_the_quote_counts_as_connected_what_the_licensed_person_is_not_left_with(sample_plan: Plan) -> None:
    rows = {str(row[0]): row[1] for row in customer_records(sample_plan, Wishes())[0].rows}
    live = {end for run in sample_plan.runs if run.kind != "ac" for end in (run.from_, run.to)}
    assert rows["Devices connected"] == len(live) < len(sample_plan.devices)


def test_every_finding_goes_along(sample_plan: Plan) -> None:
    said = " ".join(str(row[1]) for row in rules_record(sample_plan).rows)
    assert sample_plan.findings
    assert all(one.message in said for one in sample_plan.findings)


def test_certificates_are_asked_for_where_there_is_something_to_sign(sample_plan: Plan) -> None:
    due = [str(row[0]) for row in certificates_record(sample_plan).rows]
    assert any(what.startswith("AC:") for what in due) == any(run.kind == "ac" for run in sample_plan.runs)
    without = tuple(run for run in sample_plan.runs if run.kind != "ac")
    assert not any(
        str(row[0]).startswith("AC:")
        for row in certificates_record(sample_plan.model_copy(update={"runs": without})).rows
    )
    text = text_of(sample_plan, "handover", Wishes())
    assert "Handover: certificates to attach" in text
    assert "Due on" in text
    assert f"rule set: {sample_plan.rules.rule_set}" in text


def test_the_quote_promises_a_fuse_only_where_the_plan_has_one(sample_plan: Plan) -> None:
    """Each circuit is counted once, by what is done for it; AC and data are not said to be fused."""
    rows = {str(row[0]): row[1] for row in customer_records(sample_plan, Wishes())[0].rows}
    fused = [one for one in sample_plan.circuits if one.kind == "dc" and one.fuse_a is not None]
    assert rows["Circuits, each with its own fuse"] == len(fused)
    assert rows["Mains circuits, laid and left for the licensed person"] == sum(
        one.kind == "ac" for one in sample_plan.circuits
    )
    assert len(fused) < len(sample_plan.circuits)
    kinds = ("Circuits, each", "Circuits without", "Mains circuits", "Data and signal")
    assert sum(int(much or 0) for what, much in rows.items() if what.startswith(kinds)) == len(sample_plan.circuits)


def test_no_figure_of_the_shop_is_on_the_customers_page(sample_plan: Plan) -> None:
    """Hourly price, markup, prices of reels and the minutes of each task: of odd figures that nothing else comes to."""
    rates = Rates(
        currency="EUR", hour=61.37, markup="13.7 %", tax="19.3 %",
        reels=tuple(Reel(cable=cable, length="37.3 m", price=23.91) for cable in sorted({r.cable for r in sample_plan.runs})),
        minutes=(Minutes(task="pull a metre", low=1.71, likely=2.83, high=4.97),),
    )  # fmt: skip
    wishes = Wishes(rates=rates)
    customer, shop = text_of(sample_plan, "quote", wishes), text_of(sample_plan, "quote-shop", wishes)
    work = {row.task: row for row in work_of(sample_plan, rates)}
    assert "pull a metre" in work
    for figure in ("61.37", "13.7", "37.3", "23.91", "1.71", "2.83", "4.97"):
        assert figure not in customer, figure
    for figure in ("13.7", "2.83"):
        assert figure in shop, figure
    for task in work:
        assert task not in customer


def _reader(plan: Plan, name: str) -> PdfReader:
    return PdfReader(io.BytesIO(dict(all_files(plan, Wishes(), papers_named([name]), ["pdf"]))[f"{name}.pdf"]))


def test_a_long_pack_begins_with_its_contents_and_each_line_is_true(big_plan: Plan) -> None:
    """Read back with pypdf: what a line says begins on a page stands in large letters at that page's head, or below on it."""
    reader = _reader(big_plan, "handover")
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert len(texts) > 6
    assert "Handover pack: contents" in texts[0]
    lines = [line.strip() for line in reader.pages[0].extract_text().splitlines()]
    marks = {str(one.title): reader.get_destination_page_number(one) + 1 for one in reader.outline}
    assert len(marks) >= 8
    sheets = {title: number for title, number in marks.items() if number > 1}
    assert len(sheets) == len(marks) - 1, "all but the contents themselves"
    for title, number in sheets.items():
        assert title in texts[number - 1]
        assert not any(title in text for text in texts[1 : number - 1]), "it begins there and not before"
        assert lines[lines.index(title) + 1] == str(number)


def test_a_short_paper_has_no_contents(sample_plan: Plan) -> None:
    reader = _reader(sample_plan, "cut-list")
    assert "contents" not in reader.pages[0].extract_text()
    assert [str(one.title) for one in reader.outline] == ["Cut list"]
