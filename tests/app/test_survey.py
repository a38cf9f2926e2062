"""``ribway survey`` from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh
from PIL import Image

from ribway.cli import main
from ribway.models.palette import LOOM_COLOURS
from ribway.router.shell.build import build
from ribway.router.shell.mesh_file import export_parts
from ribway.router.shell.presets import preset
from ribway.viewer.palette import rgb_of
from ribway.viewer.survey_picture import KIND_COLOURS


@pytest.fixture(scope="module")
def van(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("mesh") / "van.glb"
    export_parts(build(preset("short-high")), file)
    return file


def test_report_draft_and_picture(van: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture = tmp_path / "openings.png"
    assert main(["survey", str(van), "--out", str(tmp_path / "draft"), "--picture", str(picture)]) == 0
    said = capsys.readouterr().out
    for word in ("glb: 22534 triangles in 40 named parts", "unit: m", "up: y", "forward: x (confirm it)", "138 way"):
        assert word in said
    names = {item.name for item in (tmp_path / "draft").iterdir()}
    assert {"project.yaml", "survey.yaml", "shell.glb", "equipment.csv", "equipment.xlsx"} <= names
    with Image.open(picture) as image:
        colours = {colour for _, colour in image.convert("RGB").getcolors(maxcolors=1 << 24) or []}
    assert {rgb_of(KIND_COLOURS[kind]) for kind in ("way", "window", "door")} <= colours
    assert set(KIND_COLOURS.values()) <= set(LOOM_COLOURS)
    # What was written can be corrected and surveyed again.
    assert main(["survey", str(tmp_path / "draft" / "survey.yaml")]) == 0
    assert "unit: m: you say so" in capsys.readouterr().out


def test_bad_input_is_one_sentence_and_code_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "van.stl").write_bytes(b"")
    assert main(["survey", str(tmp_path / "van.stl"), "--out", str(tmp_path / "draft")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not (tmp_path / "draft").exists()
    (tmp_path / "survey.yaml").write_text("unit: furlong\n", encoding="utf-8")
    assert main(["survey", str(tmp_path / "survey.yaml")]) == 2
    assert "unit" in capsys.readouterr().err


def test_a_mesh_that_is_no_shell_drafts_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    trimesh.creation.icosphere(radius=0.3).export(tmp_path / "ball.stl")
    assert main(["survey", str(tmp_path / "ball.stl"), "--out", str(tmp_path / "draft")]) == 2
    assert "no skin was found" in capsys.readouterr().err
    assert not (tmp_path / "draft").exists()
