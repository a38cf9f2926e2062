"""The rates file: read, or refused with every fault and its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.models.project_faults import ProjectFaults
from ribway.models.rates.rates import Rates
from ribway.models.rates.reading import read_rates

GOOD = """\
ribway_rates: 1
currency: EUR
hour: 58
markup: 12 %
reels:
  - {cable: twin-2x4, length: 25 m, price: 41.5}
parts:
  - {part: grommet, price: 0.4}
  - {part: grommet, size: 28 mm, price: 0.9}
minutes:
  - {task: drill a hole, low: 4, likely: 6, high: 9}
"""


def written(folder: Path, text: str) -> Path:
    file = folder / "rates.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_rates_file_is_read(tmp_path: Path) -> None:
    rates = read_rates(written(tmp_path, GOOD))
    assert (rates.currency, rates.hour, rates.markup) == ("EUR", 58.0, 12.0)
    assert (rates.reels[0].length, rates.reels[0].price) == (25.0, 41.5)
    assert rates.price_of("grommet", "28 mm") == 0.9
    assert rates.price_of("grommet", "20 mm") == 0.4
    assert rates.price_of("clip") is None
    assert rates.minutes_for("drill a hole").high == 9.0
    assert rates.minutes_for("pull a metre") == Rates().minutes_for("pull a metre")


def test_all_faults_come_at_once_with_their_lines(tmp_path: Path) -> None:
    text = (
        GOOD.replace("price: 41.5", "price: -3")
        .replace("low: 4", "low: 8")
        .replace("part: grommet, p", "part: screw, p")
    )
    with pytest.raises(ProjectFaults) as caught:
        read_rates(written(tmp_path, text))
    assert sorted(fault.line for fault in caught.value.faults) == [6, 8, 11]
    assert any("minutes must rise" in str(fault) for fault in caught.value.faults)


def test_unknown_keys_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ProjectFaults, match="houre"):
        read_rates(written(tmp_path, GOOD.replace("hour:", "houre:")))


def test_the_example_beside_the_demo_is_read() -> None:
    rates = read_rates(Path(__file__).parents[3] / "docs" / "demo" / "survey-van" / "rates.yaml")
    assert rates.price_of("fuse", "80 A") == 4.5
    assert rates.price_of("fuse", "15 A") == 1.1
    assert {one.cable for one in rates.reels} >= {"twin-2x4", "draw cord"}
