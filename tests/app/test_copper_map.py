"""Places from a file to a map: which are marked, and what is said of a wrong file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from ribway.cli import main
from ribway.copper_map import copper_map, read_places
from ribway.models.place import Place
from ribway.models.placing import PlacingField, PlannedPlace
from ribway.models.plan_file import save_plan
from ribway.models.project_faults import PlanFaults
from samples.van import van_plan

POINTS = ((-1.0, 0.85, 0.7), (-1.5, 0.85, 0.7), (-2.0, 0.85, 0.7))


@pytest.fixture
def field() -> PlacingField:
    places = tuple(
        Place.model_validate({"wall": "left", "back": -x, "up": z}, context={"si": True}) for x, _, z in POINTS
    )
    planned = (
        PlannedPlace(at=0, planned_kg=2.0),
        PlannedPlace(at=2, planned_kg=1.5),
        PlannedPlace(at=1, planned_kg=None),
    )
    return PlacingField(
        project="van", device="board", name="Fuse board", step_m=0.5, points=POINTS, walls=("left",) * 3, places=places,
        bound_kg=(1.9, None, 1.4), planned=planned, refused={}, proven=False, open_kg=None,
    )  # fmt: skip


def test_the_best_planned_places_are_marked_best_first(field: PlacingField) -> None:
    shown = copper_map(field, "metric")
    assert [mark.at for mark in shown.marks] == [2, 0]
    assert shown.marks[0].words == "left, 2.00 m back, 0.70 m up: 1.500 kg planned"
    assert shown.marks[1].words == "left, 1.00 m back, 0.70 m up (now): 2.000 kg planned"
    assert np.array_equal(shown.kg, [1.9, np.nan, 1.4], equal_nan=True)
    assert shown.points.shape == (3, 3)


def test_a_map_is_drawn_from_the_file_of_places(
    field: PlacingField, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    places, plan, picture = tmp_path / "places.json", tmp_path / "plan.json", tmp_path / "map.png"
    places.write_text(field.model_dump_json(), encoding="utf-8")
    assert read_places(places) == field
    plan.write_text(save_plan(van_plan()), encoding="utf-8")
    assert main(["view", str(plan), "--places", str(places), "--picture", str(picture)]) == 0
    assert capsys.readouterr().out == f"drawn to {picture}\n"
    assert picture.stat().st_size > 10_000
    assert main(["view", str(plan), "--places", str(places)]) == 2
    assert "--places is drawn by itself" in capsys.readouterr().err


@pytest.mark.parametrize("text", ["{}", "[1, 2]", '{"ribway_places": 99}', "no json"])
def test_another_file_is_told_what_to_write(text: str, tmp_path: Path) -> None:
    file = tmp_path / "x.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(PlanFaults, match="this holds no places of a device: write them with ribway place"):
        read_places(file)
