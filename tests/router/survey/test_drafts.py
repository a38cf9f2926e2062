"""Mesh without names -> survey -> draft project -> routes: as long as on the shell that was exported."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from nameless import draft, lengths_on, merged, routes_of, shell
from scipy.spatial.transform import Rotation

from ribway.models.reading import check_text
from ribway.models.survey_answers import SURVEY_FILE, SurveyAnswers, read_answers
from ribway.router.survey.draft import answers_text, project_text
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.placing import tape_checks
from ribway.router.survey.scale import fit_scale
from ribway.router.survey.survey import Survey, survey_file

NAME = "medium-high"
ROUTES = 40
SMALL = "short-high"
SWAPPED = {"left": "right", "right": "left"}


@pytest.fixture(scope="module")
def van(tmp_path_factory: pytest.TempPathFactory) -> Survey:
    """The preset, merged into one mesh without names."""
    file = tmp_path_factory.mktemp("van") / "van.ply"
    merged(shell(NAME)).export(file)
    return survey_file(file)


def test_routes_are_as_long_as_on_the_original(tmp_path: Path, van: Survey) -> None:
    """40 routes within 0.1 %."""
    original, pairs, lengths = routes_of(NAME, 30, ROUTES, 5)
    found = lengths_on(draft(van, tmp_path), tmp_path, original, pairs)
    assert len(found) == ROUTES
    assert np.abs(found / lengths - 1).max() < 1e-3


@pytest.mark.parametrize("change", ["turned, mm", "mirrored, in", "four faces for one"])
def test_turning_mirroring_units_and_finer_faces_change_no_length(tmp_path: Path, change: str) -> None:
    """Twelve routes within 0.1 %. What is mirrored in the file is mirrored back by its devices: left is right there."""
    original, pairs, lengths = routes_of(SMALL, 16, 12, 3)
    mesh = merged(shell(SMALL))
    place = np.eye(4)
    if change == "turned, mm":
        place[:3, :3] = 1000 * Rotation.from_euler("xyz", (90, 20, 1), degrees=True).as_matrix()
        place[:3, 3] = 300, 5000, -200
    elif change == "mirrored, in":
        place[:3, :3] = np.diag([1.0, -1.0, 1.0]) / 0.0254
        places = {key: {k: SWAPPED.get(v, v) for k, v in at.items()} for key, at in original.places.items()}
        places = {key: {SWAPPED.get(k, k): v for k, v in at.items()} for key, at in places.items()}
        original = replace(original, places=places)
    else:
        mesh = mesh.subdivide()
    mesh.apply_transform(place)
    mesh.export(tmp_path / "van.stl")
    survey = survey_file(tmp_path / "van.stl")
    assert survey.placing.unit.unit == {"turned, mm": "mm", "mirrored, in": "in"}.get(change, "m")
    found = lengths_on(draft(survey, tmp_path), tmp_path, original, pairs)
    assert np.abs(found / lengths - 1).max() < 1e-3


def test_parts_are_those_of_the_preset(van: Survey) -> None:
    made = shell(NAME)
    parts = {part.name: part for part in van.parts}
    assert set(van.skins) == {skin.name for skin in made.skins}
    for skin in made.skins:
        assert len(van.skins[skin.name].faces) == len(skin.mesh.faces)
        assert van.lay_depth_m[skin.name] == pytest.approx(skin.lay_depth_m, abs=1e-4)
    for member in made.members:
        assert parts[member.name].kind == member.kind
        assert set(parts[member.name].skins) == set(member.skins)
        assert len(parts[member.name].mesh.faces) == len(member.mesh.faces)
    assert {part.name for part in van.parts if part.kind == "obstacle"} == {one.name for one in made.obstacles}


def test_tape_sets_the_scale_and_states_what_is_left(tmp_path: Path) -> None:
    """A scan that is 0.6 % too small; two tape lines mend it, their residuals and the stated error cover the rest."""
    made = shell(NAME)
    mesh = merged(made)
    mesh.apply_scale(0.994)
    mesh.export(tmp_path / "van.ply")
    text = """
mesh: van.ply
tape:
  - {between: [front, rear], is: 3.703 m}
  - {between: [floor, roof], is: 1.918 m}
"""
    (tmp_path / SURVEY_FILE).write_text(text, encoding="utf-8")
    survey = survey_file(tmp_path / "van.ply", read_answers(tmp_path / SURVEY_FILE))
    scale = survey.placing.scale
    # Least squares by hand: sum(d t) / sum(d^2) over 3.7 m and 1.92 m of the preset.
    d, t = np.array([3.7, 1.92]) * 0.994, np.array([3.703, 1.918])
    assert scale.unit_m == pytest.approx((d * t).sum() / (d * d).sum(), rel=1e-6)
    assert scale.residuals_m == pytest.approx(tuple(scale.unit_m * d - t), abs=1e-6)
    length = float(np.ptp(survey.skins["floor"].vertices[:, 0]))
    assert abs(length - 3.7) <= scale.per_metre * length
    assert scale.per_metre < 0.01


@pytest.mark.parametrize(
    ("tape", "wanted"),
    [
        ("{between: [front, rear], is: 3725 mm}", None),
        ("{between: [front, rear], is: 4.9 m}", "another unit"),
        ("{between: [front, left], is: 1 m}", "accepted are front and rear"),
        ("{between: [[0, 0, 0], [0, 0, 0]], is: 1 m}", "one point"),
        ("{between: [[0, 0, 0], [-3.0, 0, 0]], is: 3.01 m}", None),
        ("{between: [[0, 0, 0], rear], is: 3.01 m}", "two sides, or give two points"),
    ],
)
def test_tape_checks_are_understood_or_refused(tmp_path: Path, van: Survey, tape: str, wanted: str | None) -> None:
    (tmp_path / SURVEY_FILE).write_text(f"tape: [{tape}]\n", encoding="utf-8")
    answers = read_answers(tmp_path / SURVEY_FILE)
    unit_m = van.placing.scale.unit_m
    if wanted is None:
        assert fit_scale(unit_m, tape_checks(answers, van.placing, van.skins)).per_metre < 0.01
    else:
        with pytest.raises(SurveyError, match=wanted):
            fit_scale(unit_m, tape_checks(answers, van.placing, van.skins))


def test_answers_go_before_guesses_and_come_back(tmp_path: Path) -> None:
    merged(shell(NAME)).export(tmp_path / "van.ply")
    answers = SurveyAnswers(unit="m", up="z", forward="-x", not_openings=("L1a",))
    survey = survey_file(tmp_path / "van.ply", answers)
    assert survey.placing.axes.forward == "-x"
    assert "L1a" not in {one.name for one in survey.openings}
    (tmp_path / SURVEY_FILE).write_text(answers_text(survey, answers, "van.ply"), encoding="utf-8")
    again = read_answers(tmp_path / SURVEY_FILE)
    assert (again.unit, again.up, again.forward, again.not_openings) == ("m", "z", "-x", ("L1a",))
    assert again.mesh == "van.ply"


def test_the_draft_is_a_project_once_it_has_devices(tmp_path: Path, van: Survey) -> None:
    draft(van, tmp_path)
    text = project_text(van, "draft", "van.ply").replace("equipment: equipment.xlsx", "#")
    text += """
devices:
  - {id: board, name: Board, kind: source, at: {wall: left, back: 1.1 m, up: 0.7 m}}
  - {id: lamp, name: Lamp, at: {wall: roof, back: 2.0 m}, amps: 0.5 A}
circuits:
  - {id: C1, name: lamp, from: board, to: [lamp]}
"""
    project = check_text(text, "project.yaml", tmp_path).base
    assert len(project.vehicle.openings) == len(shell(NAME).openings)
    assert {opening.state for opening in project.vehicle.openings} == {"assumed"}
