"""Ampacity and its factors against 33 CFR 183.425 and NEC 310.15; sources stand in the rows of tests/data/checks."""

import csv
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from ribway.sizing.ampacity import ambient_factor, base_ampacity, derated_ampacity
from ribway.sizing.bases import base_table
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Stretch
from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.gauge import awg_area_mm2, sae_area_mm2
from ribway.sizing.rules import bundle_factor, rule_set

CHECKS = Path(__file__).parents[1] / "data" / "checks"
TABLE = list(csv.DictReader((CHECKS / "allowable_amperage_33cfr183.csv").open(encoding="utf-8")))
FACTORS = list(csv.DictReader((CHECKS / "factors.csv").open(encoding="utf-8")))
CAREFUL = rule_set()
COLUMNS_C = (60, 75, 80, 90, 105, 125, 200)


def awg(name, insulation_c=105.0):
    return Conductor(name, "awg", name, awg_area_mm2(name), 2, insulation_c, True)


def metric(area, insulation_c=105.0):
    return Conductor(f"{area}", "metric", f"{area}", area, 2, insulation_c, True)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row["awg"])
def test_base_is_table_5(row):
    for column in COLUMNS_C:
        expected = float(row[f"insulation_{column}c_a"])
        assert base_ampacity(awg(row["awg"], column)).amps == expected
        assert base_ampacity(awg(row["awg"], column + 4)).amps == expected  # between columns: the cooler one


def test_every_row_of_the_law_is_there():
    assert [row.size for row in base_table("33CFR183").rows] == ["22", "20"] + [row["awg"] for row in TABLE]


def test_thin_rows_are_extrapolated_with_caution():
    """Ours: the step 16 to 18 AWG of the same column again, rounded down, never above a hotter column."""
    amps = {row["awg"]: [float(row[f"insulation_{column}c_a"]) for column in COLUMNS_C] for row in TABLE}
    for steps, name in ((1, "20"), (2, "22")):
        by_step = [math.floor(a18 * (a18 / a16) ** steps) for a18, a16 in zip(amps["18"], amps["16"], strict=True)]
        cautious = [min(by_step[place:]) for place in range(len(by_step))]
        assert [base_ampacity(awg(name, column)).amps for column in COLUMNS_C] == cautious


@pytest.mark.parametrize(
    ("area", "gauge"),
    [(0.5, "22"), (0.75, "20"), (1.0, "18"), (1.5, "16"), (2.5, "14"), (4, "12"), (6, "10"), (10, "8"), (16, "6"),
     (25, "4"), (35, "2"), (50, "1"), (70, "2/0"), (95, "3/0"), (120, "4/0")],
)  # fmt: skip
def test_metric_takes_the_largest_awg_not_bigger(area, gauge):
    """factors.csv: 2.5 mm2 as 14 AWG (caution, ours); areas ASTM B258."""
    base = base_ampacity(metric(area))
    assert base.row == gauge
    assert base.amps == base_ampacity(awg(gauge)).amps


def test_sae_counts_by_its_true_area():
    """SAE J1128: 14 gauge has 3702 cmil = 1.876 mm2, less than 14 AWG's 2.081."""
    assert base_ampacity(Conductor("s", "sae", "14", sae_area_mm2("14"), 1, 105, False)).row == "16"


def test_rounded_awg_area_goes_by_its_name_and_a_thin_one_does_not():
    assert base_ampacity(Conductor("r", "awg", "18", 0.82, 2, 105, True)).row == "18"
    assert base_ampacity(Conductor("t", "awg", "18", 0.75, 2, 105, True)).row == "20"


def test_nothing_to_go_by_carries_nothing():
    assert base_ampacity(metric(0.25)).amps == 0.0
    assert "thinner" in base_ampacity(metric(0.25)).because
    assert base_ampacity(metric(2.5, 55.0)).amps == 0.0
    assert "no column" in base_ampacity(metric(2.5, 55.0)).because


@pytest.mark.parametrize(
    "row", [row for row in FACTORS if row["what"].startswith("ambient ") and "column" in row["what"]]
)
def test_ambient_formula_gives_the_nec_entries(row):
    low, high = (int(text) for text in re.findall(r"(\d+)-(\d+) C", row["what"])[0])
    columns = [int(text) for text in row["what"].split(", ")[1].split()[0].split("/")]
    for column, factor in zip(columns, row["factor"].split("/"), strict=True):
        for air in (low, low + 0.5, high):
            assert round(ambient_factor(column, air), 2) == float(factor)


def test_worked_ambient_example():
    """factors.csv: 12 AWG, 90 C column, 30 A, 51-55 C -> 22.8 A (NEC)."""
    assert round(30 * round(ambient_factor(90, 53), 2), 1) == 22.8


def test_ambient_formula_near_the_engine_space_factors():
    """factors.csv engine space row: 50 C by insulation."""
    row = next(row for row in FACTORS if row["what"].startswith("engine space"))
    printed = [float(text) for text in re.findall(r"\.\d+", row["source"].split("gives")[1])]
    assert printed == pytest.approx([ambient_factor(column, 50) for column in (60, 75, 80, 90, 105, 125)], abs=6e-4)


def test_cool_air_raises_nothing_and_hot_air_leaves_nothing():
    assert ambient_factor(105, -20) == ambient_factor(105, 30) == 1.0
    assert ambient_factor(105, 30.1) < 1.0
    assert ambient_factor(60, 55.5) == ambient_factor(60, 80) == 0.0


@pytest.mark.parametrize("row", [row for row in FACTORS if row["what"].startswith("bundle")])
def test_bundle_factors(row):
    name = "NEC" if "NEC" in row["what"] else "33 CFR 183"
    last = int(row["to"]) if row["to"] else int(row["from"]) + 500
    for count in range(int(row["from"]), last + 1):
        assert bundle_factor(name, count) == float(row["factor"])


def test_small_bundles_keep_all():
    """33 CFR note 2 begins at 3 conductors, NEC at 4."""
    assert [bundle_factor("33CFR183", count) for count in (1, 2)] == [1, 1]
    assert [bundle_factor("NEC", count) for count in (1, 2, 3)] == [1, 1, 1]
    assert bundle_factor("none", 99) == 1


def test_worst_stretch_counts_and_what_each_factor_took_is_told():
    """14 AWG 105 C: 35 A; 60 C air sqrt(45/75) = 0.7746; 8 conductors 0.5 (NEC formula, 33 CFR note 2)."""
    floor, roof = Stretch("floor", 40, 2), Stretch("roof", 58, 8)
    ampacity = derated_ampacity(awg("14"), [floor, roof, floor], CAREFUL)
    assert ampacity.where == "roof"
    assert ampacity.derated_a == pytest.approx(35 * math.sqrt(45 / 75) * 0.5, rel=1e-12)
    ambient, bundle = ampacity.factors
    assert (ambient.before_a, ambient.after_a) == (35, pytest.approx(35 * math.sqrt(0.6)))
    assert (bundle.before_a, bundle.after_a, bundle.value) == (ambient.after_a, ampacity.derated_a, 0.5)
    loose = replace(CAREFUL, bundle="none", ambient="none")
    assert derated_ampacity(awg("14"), [floor, roof], loose).derated_a == 35


def test_bad_surroundings_are_refused():
    with pytest.raises(SizingError, match="stretch"):
        derated_ampacity(awg("14"), [], CAREFUL)
    with pytest.raises(BadNumberError, match=r"roof.*0 loaded"):
        Stretch("roof", 60, 0)
    with pytest.raises(BadNumberError, match=r"roof.*ambient"):
        Stretch("roof", math.nan, 2)
    with pytest.raises(BadNumberError, match="insulation"):
        metric(2.5, 20.0)
    with pytest.raises(BadNumberError, match="cores"):
        Conductor("x", "metric", "1", 1.0, 0, 105, False)
