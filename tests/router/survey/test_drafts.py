"""Mesh without names -> survey -> draft project -> routes: as long as on the shell that was exported."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from nameless import draft, lengths_on, merged, routes_of, shell
from scipy.spatial.transform import Rotation

from ribway.models.reading import check_text
from ribway.models.survey_answers import SURVEY_FILE, SurveyAnswers, read_answers
from ribway.router.survey.draft import answers_text, project_text
from ribway.router.survey.survey import survey_file

NAME = "medium-high"
ROUTES = 40


@pytest.mark.parametrize("turned", [False, True])
def test_routes_are_as_long_as_on_the_original(tmp_path: Path, turned: bool) -> None:
    """40 routes within 0.1 %; the second time the file is in millimetres, turned and moved."""
    original, pairs, lengths = routes_of(NAME, 30, ROUTES, 5)
    mesh = merged(shell(NAME))
    if turned:
        place = np.eye(4)
        place[:3, :3] = 1000 * Rotation.from_euler("xyz", (90, 20, 1), degrees=True).as_matrix()
        place[:3, 3] = 300, 5000, -200
        mesh.apply_transform(place)
    mesh.export(tmp_path / "van.stl")
    survey = survey_file(tmp_path / "van.stl")
    assert survey.placing.unit.unit == ("mm" if turned else "m")
    found = lengths_on(draft(survey, tmp_path), tmp_path, original, pairs)
    assert len(found) == ROUTES
    assert np.abs(found / lengths - 1).max() < 1e-3


def test_parts_are_those_of_the_preset(tmp_path: Path) -> None:
    made = shell(NAME)
    merged(made).export(tmp_path / "van.ply")
    survey = survey_file(tmp_path / "van.ply")
    parts = {part.name: part for part in survey.parts}
    assert set(survey.skins) == {skin.name for skin in made.skins}
    for skin in made.skins:
        assert len(survey.skins[skin.name].faces) == len(skin.mesh.faces)
        assert survey.lay_depth_m[skin.name] == pytest.approx(skin.lay_depth_m, abs=1e-4)
    for member in made.members:
        assert parts[member.name].kind == member.kind
        assert set(parts[member.name].skins) == set(member.skins)
        assert len(parts[member.name].mesh.faces) == len(member.mesh.faces)
    assert {part.name for part in survey.parts if part.kind == "obstacle"} == {one.name for one in made.obstacles}


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
def test_tape_checks_are_understood_or_refused(tmp_path: Path, tape: str, wanted: str | None) -> None:
    merged(shell(NAME)).export(tmp_path / "van.ply")
    (tmp_path / SURVEY_FILE).write_text(f"tape: [{tape}]\n", encoding="utf-8")
    answers = read_answers(tmp_path / SURVEY_FILE)
    if wanted is None:
        assert survey_file(tmp_path / "van.ply", answers).placing.scale.per_metre < 0.01
    else:
        with pytest.raises(ValueError, match=wanted):
            survey_file(tmp_path / "van.ply", answers)


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


def test_the_draft_is_a_project_once_it_has_devices(tmp_path: Path) -> None:
    merged(shell(NAME)).export(tmp_path / "van.ply")
    survey = survey_file(tmp_path / "van.ply")
    draft(survey, tmp_path)
    text = project_text(survey, "draft", "van.ply").replace("equipment: equipment.xlsx", "#")
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
