"""Cables: every row of the trade's spellings, all gauges against their table, refusals."""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from ribway.models.cables import CableSpelling, parse_cable
from ribway.models.faults import SpellingError

CHECKS = Path(__file__).parents[1] / "data" / "checks"


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((CHECKS / name).read_text(encoding="utf-8").splitlines()))


CABLE_ROWS = [row for row in _rows("spellings.csv") if row["kind"] == "cable"]
LIST_ROWS = [row for row in _rows("spellings.csv") if "inside a YAML list" in row["written"]]
AWG_ROWS = _rows("awg.csv")
AREA_OF_AWG = {row["awg"]: float(row["area_mm2"]) for row in AWG_ROWS}
READ = [
    (spelling, row["means"])
    for row in CABLE_ROWS
    if "refuse" not in row["means"]
    for spelling in row["written"].split(" | ")
]
REFUSED = [row for row in CABLE_ROWS if "refuse" in row["means"]]
MM2_PER_CMIL = 5.067074791e-4  # NIST SP 811 appendix B: 1 circular mil = 5.067 075 E-10 m2


def test_the_file_has_rows_of_both_sorts() -> None:
    assert (len(CABLE_ROWS), len(READ), len(REFUSED), len(LIST_ROWS)) == (13, 15, 2, 1)


@pytest.mark.parametrize(("spelling", "means"), READ)
def test_spelling_means_what_the_trade_means(spelling: str, means: str) -> None:
    """Source: tests/data/checks/spellings.csv, read from its words; areas of AWG without one there from awg.csv."""
    cable = parse_cable(spelling)
    counted = re.match(r"(\d+) x ", means)
    assert cable.cores == (int(counted[1]) if counted else 1)
    area = re.search(r"([\d.]+) mm2", means)
    named = re.search(r"x (\d+) AWG", means)
    expected = float(area[1]) if area else AREA_OF_AWG[named[1]] if named else None
    assert expected is not None, means
    assert cable.area_mm2 == pytest.approx(expected, rel=3e-4)
    assert cable.earth == ("with earth" in means)
    assert cable.system == (
        "strands" if "strands" in means else "metric" if "." in spelling or "," in spelling else "awg"
    )


@pytest.mark.parametrize("written", [row["written"] for row in REFUSED if "," not in row["written"]])
def test_a_width_is_asked_about(written: str) -> None:
    """The row's own question must stand in the refusal: which copper, and which reel."""
    means = next(row["means"] for row in REFUSED if row["written"] == written)
    numbers = re.findall(r"\d[\d.]* mm2?", means)
    with pytest.raises(SpellingError) as caught:
        parse_cable(written)
    assert len(numbers) == 3
    for number in numbers:
        assert number in str(caught.value)


def test_what_yaml_and_spreadsheets_make_of_cables_is_refused() -> None:
    """The row names three texts; YAML or a spreadsheet turns each into a number, nothing or a date."""
    row = next(row for row in REFUSED if "spreadsheet" in row["written"])
    zeros, marked, fraction = re.findall(r"#?\d[\d/]*", row["written"])
    load = YAML(typ="safe").load
    first, second = (int(part) for part in fraction.split("/"))
    made: list[object] = [load(f"a: {zeros}")["a"], load(f"a: {marked}")["a"], date(2026, first, second)]
    made.append(float(first) / second)
    assert not any(isinstance(value, str) for value in made)
    for value in made:
        with pytest.raises(SpellingError, match="put it in quotes"):
            parse_cable(value)
    assert [parse_cable(text).cores for text in (zeros, marked, fraction)] == [1, 1, second]


def test_a_yaml_list_is_refused() -> None:
    for text in re.findall(r"\[[^\]]*mm²\]", LIST_ROWS[0]["written"]):
        broken = YAML(typ="safe").load(text)
        assert len(broken) == 2
        for value in (broken, broken[0]):
            with pytest.raises(SpellingError, match="put it in quotes"):
                parse_cable(value)


@pytest.mark.parametrize("row", AWG_ROWS, ids=lambda row: str(row["awg"]))
def test_gauges_against_their_table(row: dict[str, str]) -> None:
    """Source: tests/data/checks/awg.csv, ASTM B258 areas as printed and SAE J1127/J1128 circular mils."""
    # One unit of the last digit, since the table's 3 AWG (26.671) is rounded up from 26.67046.
    last_digit_mm2 = 10.0 ** -len(row["area_mm2"].partition(".")[2])
    for text in (f"{row['awg']} AWG", f"AWG {row['awg']}", f"#{row['awg']}", f"{row['awg']}ga", f"{row['awg']} B&S"):
        cable = parse_cable(text)
        assert (cable.cores, cable.system, cable.size_name) == (1, "awg", f"{row['awg']} AWG")
        assert cable.area_mm2 == pytest.approx(float(row["area_mm2"]), abs=last_digit_mm2)
    for text in (f"{row['awg']} SAE", f"SAE {row['awg']}"):
        if row["sae_j1127_j1128_cmil"]:
            cable = parse_cable(text)
            assert (cable.system, cable.size_name) == ("sae", text if text[0].isdigit() else f"{row['awg']} SAE")
            assert cable.area_mm2 == pytest.approx(float(row["sae_j1127_j1128_cmil"]) * MM2_PER_CMIL, rel=1e-7)
            assert cable.area_mm2 < parse_cable(f"{row['awg']} AWG").area_mm2
        else:
            with pytest.raises(SpellingError, match="SAE wire comes in"):
                parse_cable(text)


@pytest.mark.parametrize(
    ("text", "cores", "size", "earth"),
    [
        ("2 x 1.5", 2, "1.5 mm2", False),
        ("2\N{MULTIPLICATION SIGN}2,5 mm²", 2, "2.5 mm2", False),
        ("2.5 mmsq", 1, "2.5 mm2", False),
        ("2.5 sq. mm", 1, "2.5 mm2", False),
        ("0,75mm^2", 1, "0.75 mm2", False),
        ("4 x 0.75", 4, "0.75 mm2", False),
        ("1x16", 1, "16 mm2", False),
        ("16 mm2 single", 1, "16 mm2", False),
        ("2x2.5 twin", 2, "2.5 mm2", False),
        ("3 core 1.5 mm2", 3, "1.5 mm2", False),
        ("0.75 mm2 7-core", 7, "0.75 mm2", False),
        ("5G6", 5, "6 mm2", True),
        ("2x1.5 + earth", 3, "1.5 mm2", True),
        ("2x14 SAE", 2, "14 SAE", False),
        ("16/2 SAE", 2, "16 SAE", False),
        ("16/2 AWG", 2, "16 AWG", False),
        ("2x14AWG", 2, "14 AWG", False),
        ("3G14 AWG", 3, "14 AWG", True),
        ("10 AWG duplex", 2, "10 AWG", False),
        ("10 awg triplex", 3, "10 AWG", False),
        ("18 AWG zip", 2, "18 AWG", False),
        ("12/3 w/gnd", 4, "12 AWG", True),
        ("14/2 with ground", 3, "14 AWG", True),
        ("00", 1, "2/0 AWG", False),
        ("AWG 4/0", 1, "4/0 AWG", False),
        ("2x2/0", 2, "2/0 AWG", False),
        ("28/0.30 twin", 2, "28/0.30", False),
        ("2 x 28/0,30", 2, "28/0.30", False),
    ],
)
def test_other_spellings(text: str, cores: int, size: str, earth: bool) -> None:
    cable = parse_cable(text)
    assert (cable.cores, cable.size_name, cable.earth) == (cores, size, earth)
    assert parse_cable(size) == CableSpelling(1, cable.area_mm2, cable.system, size, False)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("14", "which system"),
        ("2.5", "which system"),
        ("0", "thick gauges"),
        ("3.3333333", "which system"),
        ("2x14", "leaves open"),
        ("2x6 mm", "outside-diameter reel"),
        ("6mm auto", "outside-diameter reel"),
        ("2/14", "the gauge first"),
        ("6/12", "the gauge first"),
        ("28/30", "the gauge first"),
        ("1/2", "the gauge first"),
        ("0/2", "the gauge first"),
        ("2-0", "2/0 for the thick gauge"),
        ("5/0", "cannot be read"),
        ("10-Mar", "is a date"),
        ("2026-10-03", "is a date"),
        ("2026-10-03 00:00:00", "is a date"),
        ("10/3/2026", "is a date"),
        ("2x2.5 triplex", "2 and 3 cores"),
        ("16/2 triplex", "2 and 3 cores"),
        ("0x2.5", "0 core"),
        ("99x2.5", "99 core"),
        ("1G2.5", "1 core"),
        ("12 AWG w/gnd", "beside how many cores"),
        ("1,500 mm2", "exactly three digits"),
        ("31 AWG", "30"),
        ("0.01 mm2", "0.05 to 300"),
        ("999 mm2", "0.05 to 300"),
        ("9999999/0.30", "0.05 to 300"),
        ("7 core", "cannot be read"),
        ("2 x 16/2", "cannot be read"),
        ("2.5 mm2²", "cannot be read"),
        ("12/2.5", "cannot be read"),
        ("-2.5 mm2", "cannot be read"),
        ("nan mm2", "cannot be read"),
        ("thick", "cannot be read"),
        ("", "is empty"),
    ],
)
def test_refused(text: str, problem: str) -> None:
    with pytest.raises(SpellingError) as caught:
        parse_cable(text, what="feeder")
    assert problem in str(caught.value)
    assert str(caught.value).startswith("feeder ")
    assert "\n" not in str(caught.value)
    assert caught.value.found == text
    assert caught.value.accepted


@pytest.mark.parametrize("value", [0, 2.5, True, None, date(2026, 10, 3), [2, "5 mm²"]])
def test_only_text_is_read(value: object) -> None:
    with pytest.raises(SpellingError, match="put it in quotes"):
        parse_cable(value)


@given(st.text(alphabet="0123456789/-.,xXgG# awgmsetinclord²½", max_size=14))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    """No text crashes the reader, and what it reads is a cable that could exist and reads the same by its size."""
    refusal: SpellingError | None = None
    try:
        cable = parse_cable(text)
    except SpellingError as caught:
        refusal = caught
    if refusal is not None:
        assert refusal.accepted
        assert "\n" not in str(refusal)
        return
    assert 1 <= cable.cores <= 62
    assert 0.05 <= cable.area_mm2 <= 300
    assert parse_cable(cable.size_name).area_mm2 == cable.area_mm2
