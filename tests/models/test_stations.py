"""Rows of distances read off one tape, held against hand-worked values.

One inch is exactly 25.4 mm (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import pytest

from ribway.models.faults import SpellingError
from ribway.models.stations import parse_stations


@pytest.mark.parametrize(
    ("text", "expected_mm"),
    [
        ("0.42 0.88 1.36 1.80 m", [420, 880, 1360, 1800]),
        ("16.5, 34.6, 53 in", [419.1, 878.84, 1346.2]),
        ("16 1/2, 34 5/8, 53 in", [419.1, 879.475, 1346.2]),
        ('16.5 34.6 53"', [419.1, 878.84, 1346.2]),
        ("1' 4 1/2\", 2' 10\"", [419.1, 863.6]),
        ("0,42 0,88 1,36 m", [420, 880, 1360]),
        ("0.42,0.88,1.36 m", [420, 880, 1360]),
        ("420; 880; 1360 mm", [420, 880, 1360]),
        ("42cm 88 cm 1.36 m", [420, 880, 1360]),
        ("0.42 m", [420]),
        (["42 cm", "0.88 m", "4.5 ft"], [420, 880, 1371.6]),
    ],
)
def test_rows_of_distances(text: object, expected_mm: list[float]) -> None:
    assert [1000 * m for m in parse_stations(text)] == pytest.approx(expected_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("0.42 0.88 1.36", "has no unit"),
        ("16,34,53 in", "may hold decimal commas or a list"),
        ("1.2 m, 900, 1500 mm", "whether 900 is in m or mm"),
        ("0.42 1.36 0.88 m", "goes from 1.36 back to 0.88"),
        (["0.42 m", "0.42 m"], "goes from 0.42 m back to 0.42 m"),
        ([0.42, 0.88], "must be text"),
        ("", "must be text"),
        (7, "must be text"),
        ("0.42 about 0.88 m", "cannot be"),
    ],
)
def test_rows_of_distances_that_mean_nothing_or_two_things(text: object, part: str) -> None:
    with pytest.raises(SpellingError, match=part):
        parse_stations(text)
