"""Noisy and torn copies of a preset: candidates against the preset's own openings, and none taken by itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from nameless import merged, shell
from numpy.typing import NDArray

from ribway.models.survey_answers import SurveyAnswers
from ribway.models.yaml_text import parse_yaml
from ribway.router.shell.parts import Mesh, Opening
from ribway.router.survey.draft import project_text
from ribway.router.survey.repair import mend
from ribway.router.survey.survey import survey_file

NAME = "short-high"
NEAR_M = 0.006
SIGMAS = 3.0
Array = NDArray[np.float64]


def copy(folder: Path, noise_m: float, torn: float) -> Path:
    """The preset with every corner thrown off by a normal error, and a share of its faces torn out."""
    base = merged(shell(NAME))
    welded, _ = mend(Mesh(np.asarray(base.vertices), np.asarray(base.faces, dtype=np.int32)))
    rng = np.random.default_rng(1)
    vertices = welded.mesh.vertices + rng.normal(0.0, noise_m, welded.mesh.vertices.shape)
    faces = welded.mesh.faces[rng.random(len(welded.mesh.faces)) >= torn]
    file = folder / "copy.ply"
    trimesh.Trimesh(vertices, faces, process=False).export(file)
    return file


def off_line(point: Array, opening: Opening) -> float:
    """Distance of a point from an opening's polyline [m]."""
    gaps = []
    for a, b in zip(opening.line[:-1], opening.line[1:], strict=True):
        share = np.clip((point - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
        gaps.append(float(np.linalg.norm(point - a - share * (b - a))))
    return min(gaps)


@pytest.mark.parametrize(
    ("noise_m", "torn", "recall", "precision"),
    [(0.0005, 0.0, 0.98, 0.98), (0.001, 0.0, 0.98, 0.98), (0.002, 0.0, 0.6, 0.95), (0.0, 0.02, 0.98, 0.95)],
)
def test_candidates_against_the_truth(
    tmp_path: Path, noise_m: float, torn: float, recall: float, precision: float
) -> None:
    answers = SurveyAnswers(unit="m", up="z", forward="x", straighten=False)
    survey = survey_file(copy(tmp_path, noise_m, torn), answers)
    truth = [one for one in shell(NAME).openings if one.bore_m >= 0.015]
    found = [one for one in survey.openings if one.kind in ("way", "access")]
    centres = [one.centre - survey.placing.moved for one in found]
    gaps = np.array([[off_line(centre, one) for one in truth] for centre in centres])
    near = gaps < NEAR_M + SIGMAS * noise_m
    hit = int(near.any(axis=0).sum())
    true = int(near.any(axis=1).sum())
    assert hit >= recall * len(truth)
    assert true >= precision * len(found)
    # Of those called so sure, at least so many are right; what is called a tear is one.
    sure, right = np.array([one.sure for one in found]), near.any(axis=1)
    assert right[sure > 0.8].mean() >= 0.85
    assert right[sure < 0.1].sum() <= 0.2 * (sure < 0.1).sum()
    assert torn == 0.0 or (sure < 0.1).any()
    # Nothing is taken, and everything says how sure it is.
    assert not survey.condition.is_clean
    assert survey.ways == ()
    assert parse_yaml(project_text(survey, "copy", "copy.ply"), "").raw["vehicle"]["openings"] == []
    assert all(0.0 < one.sure < 0.9 and one.bore_m >= 0.015 for one in found)


def test_the_size_of_a_candidate_is_about_true(tmp_path: Path) -> None:
    """At 0.5 mm of noise nine of ten clear bores are within 2.5 mm: less than true rather than more."""
    answers = SurveyAnswers(unit="m", up="z", forward="x", straighten=False)
    survey = survey_file(copy(tmp_path, 0.0005, 0.0), answers)
    off = []
    for one in (one for one in survey.openings if one.kind in ("way", "access")):
        opening = min(shell(NAME).openings, key=lambda true: off_line(one.centre - survey.placing.moved, true))
        off.append(one.bore_m - opening.bore_m)
    assert np.quantile(np.abs(off), 0.9) < 0.0025
    assert np.median(off) < 0.0
