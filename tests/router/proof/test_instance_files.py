"""The instances that are handed out: what stands in the list is what is found."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from ribway.router.proof.instance import InstanceFault
from ribway.router.proof.instance_file import from_text, to_text
from ribway.router.proof.plans import faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

FOLDER = Path(__file__).parents[3] / "benchmarks" / "instances"
ROWS = list(csv.DictReader((FOLDER / "optima.csv").read_text(encoding="utf-8").splitlines()))


def test_every_file_is_listed_and_small() -> None:
    files = sorted(FOLDER.glob("*.json"))
    assert [file.name for file in files] == sorted(row["file"] for row in ROWS)
    assert all(file.stat().st_size < 100_000 for file in files)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["file"])
def test_the_listed_optimum_is_found(row: dict[str, str]) -> None:
    instance = from_text((FOLDER / row["file"]).read_text(encoding="utf-8"))
    assert (len(instance.runs), instance.network.ways) == (int(row["runs"]), int(row["ways"]))
    found = solve(instance, Limits(tolerance=1e-4))
    assert found.proven
    if row["cost"] == "no plan":
        assert found.routes == ()
    else:
        assert faults_of(instance, found.routes) == []
        assert float(row["bound"]) - 1e-6 <= found.cost <= float(row["cost"]) * (1 + 1e-4)
        assert found.bound <= float(row["cost"]) + 1e-6


def test_reading_what_was_written_gives_the_same_numbers() -> None:
    text = (FOLDER / ROWS[0]["file"]).read_text(encoding="utf-8")
    instance = from_text(text)
    again = from_text(to_text(instance))
    assert again.runs == instance.runs
    assert again.apart == instance.apart
    for name in ("source", "target", "length_m", "extra_m", "way", "limit_mm2", "bore_mm"):
        assert np.array_equal(getattr(again.network, name), getattr(instance.network, name))


def test_another_format_is_refused() -> None:
    with pytest.raises(InstanceFault, match="format"):
        from_text('{"format": "something else"}')
