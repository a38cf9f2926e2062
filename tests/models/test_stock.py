"""The stock lists: complete, consistent with their spellings, and refused when they are not."""

from __future__ import annotations

import csv
import math
from importlib.resources import files
from pathlib import Path

import pytest

from ribway.models.stock_list import StockCable, StockName, load_stock, read_stock

AWG_CSV = Path(__file__).parents[1] / "data" / "checks" / "awg.csv"
AREA_OF_AWG = {
    f"{row['awg']} AWG": float(row["area_mm2"])
    for row in csv.DictReader(AWG_CSV.read_text(encoding="utf-8").splitlines())
}
NAMES: list[StockName] = ["metric", "awg"]
TEXT = (files("ribway.models.stock") / "metric.csv").read_text(encoding="utf-8")


@pytest.fixture(params=NAMES)
def stock(request: pytest.FixtureRequest) -> tuple[StockCable, ...]:
    return load_stock(request.param)


def test_what_a_van_needs_is_there() -> None:
    metric = {(cable.kind, cable.cores, cable.size) for cable in load_stock("metric")}
    assert {("dc", 2, f"{area} mm2") for area in ("0.75", "1", "1.5", "2.5", "4", "6", "10")} <= metric
    assert {("dc", 1, f"{area} mm2") for area in (16, 25, 35, 50, 70, 95)} <= metric
    assert {("dc", 4, "0.5 mm2"), ("dc", 5, "0.75 mm2"), ("dc", 4, "1 mm2"), ("dc", 4, "1.5 mm2")} <= metric
    assert {("ac", 3, "1.5 mm2"), ("ac", 3, "2.5 mm2")} <= metric
    awg = {(cable.kind, cable.cores, cable.size) for cable in load_stock("awg")}
    assert {("dc", 2, f"{gauge} AWG") for gauge in (16, 14, 12, 10, 8, 6)} <= awg
    assert {("dc", 1, f"{gauge} AWG") for gauge in ("6", "4", "2", "1/0", "2/0", "4/0")} <= awg
    assert {("dc", 4, "14 AWG"), ("dc", 4, "18 AWG"), ("ac", 3, "14 AWG"), ("ac", 3, "12 AWG")} <= awg


def test_one_cable_answers_each_need(stock: tuple[StockCable, ...]) -> None:
    """Kind, cores and size name one cable only, so that choosing by size never meets two."""
    needs = [(cable.kind, cable.cores, cable.size) for cable in stock]
    assert len(set(needs)) == len(needs)
    assert len({cable.id for cable in stock}) == len(stock)


def test_copper_against_outside_values(stock: tuple[StockCable, ...]) -> None:
    """Areas by tests/data/checks/awg.csv (ASTM B258) or the metric name; mass at 8.96 g/cm3: 1 mm2 by 1 m is 8.96 g."""
    for cable in stock:
        if cable.system == "metric":
            assert cable.area_mm2 == float(cable.size.split()[0])
        elif cable.size in AREA_OF_AWG:
            assert cable.area_mm2 == pytest.approx(AREA_OF_AWG[cable.size], rel=1e-4)
        assert cable.copper_g_per_m_per_core == pytest.approx(cable.area_mm2 * 1e-2 * 100 * 8.96, abs=1e-3)


def test_bend_factors(stock: tuple[StockCable, ...]) -> None:
    """Times outside diameter: single core to 8 mm 4, to 12 mm 5, above 6; flat 6 (EN 50525); 4-pair 4; coax 10."""
    for cable in stock:
        if cable.form == "single":
            assert cable.min_bend_factor == (4 if cable.outside_mm <= 8 else 5 if cable.outside_mm <= 12 else 6)
        elif cable.kind == "data":
            assert cable.min_bend_factor == {"data-cat6": 4, "data-coax": 10}.get(cable.id, 6)
        else:
            assert cable.min_bend_factor == 6


def test_bigger_copper_makes_a_bigger_cable(stock: tuple[StockCable, ...]) -> None:
    """Within a family (kind, form, cores) the outside grows with the copper and holds it."""
    for cable in stock:
        assert math.pi / 4 * cable.outside_mm * cable.thickness_mm > cable.cores * cable.area_mm2
        for other in stock:
            if (other.kind, other.form, other.cores) == (cable.kind, cable.form, cable.cores):
                assert (other.area_mm2 > cable.area_mm2) == (other.outside_mm > cable.outside_mm)


def test_plugs_temperatures_sources_and_earths(stock: tuple[StockCable, ...]) -> None:
    for cable in stock:
        assert (cable.plug_mm > cable.outside_mm) == (cable.kind == "data")
        assert cable.plug_mm == {"data-cat6": 14, "data-coax": 15, "data-display": 12}.get(cable.id, 0)
        assert cable.earth == (cable.kind == "ac")
        assert "common practice, no source; measure your reel" in cable.source
        assert "bend: " in cable.source
        assert 60 <= cable.insulation_c <= 105


def _with(column: str, value: str) -> str:
    """The metric list cut to one flat twin, with one value changed."""
    lines = TEXT.splitlines()
    header = next(csv.reader(lines[:1]))
    row = next(row for row in csv.reader(lines[1:]) if row[0] == "twin-2x2.5")
    row[header.index(column)] = value
    return f"{lines[0]}\n" + ",".join(f'"{cell}"' for cell in row)


@pytest.mark.parametrize(
    ("column", "value", "problem"),
    [
        ("spelling", "2x4", "2x4 means"),
        ("spelling", "6 mm", "outside-diameter reel"),
        ("cores", "3", "2x2.5 means"),
        ("cores", "2.5", "whole number"),
        ("size", "4 mm2", "2x2.5 means"),
        ("system", "awg", "2x2.5 means"),
        ("system", "imperial", "must be one of"),
        ("area_mm2", "2.51", "area_mm2 is 2.51"),
        ("area_mm2", "nan", "must be a positive number"),
        ("area_mm2", "", "must be a number"),
        ("kind", "gas", "must be one of"),
        ("form", "round", "does not go with the form"),
        ("form", "single", "does not go with the form"),
        ("thickness_mm", "9", "does not go with the form"),
        ("outside_mm", "0", "must be a positive number"),
        ("insulation_c", "-90", "must be a positive number"),
        ("copper_g_per_m_per_core", "22.3", "must be 22.400"),
        ("thickness_mm", "0.5", "do not go into"),
        ("source", "", "must not be empty"),
    ],
)
def test_a_contradiction_is_refused(column: str, value: str, problem: str) -> None:
    assert len(read_stock(_with("plug_mm", "0"), "list.csv")) == 1
    with pytest.raises(ValueError, match=r"^list\.csv, line 2: ") as caught:
        read_stock(_with(column, value), "list.csv")
    assert problem in str(caught.value)


def test_a_broken_list_is_refused() -> None:
    one = _with("plug_mm", "0")
    with pytest.raises(ValueError, match="stands twice"):
        read_stock(one + "\n" + one.splitlines()[1], "list.csv")
    with pytest.raises(ValueError, match="does not have 15 values"):
        read_stock(one + ",extra", "list.csv")
    with pytest.raises(ValueError, match="the header is"):
        read_stock(one.replace("spelling", "speling", 1), "list.csv")
    with pytest.raises(ValueError, match="does not have 15 values"):
        read_stock(one.splitlines()[0] + "\nshort,row", "list.csv")


def test_an_unknown_list_is_refused() -> None:
    with pytest.raises(ValueError, match="choose one of metric, awg"):
        load_stock("imperial")  # type: ignore[arg-type]
