"""Looms past the last colour: the same colour with white bands, in the picture, the legend and the page."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw

from ribway.models.palette import LOOM_COLOURS, loom_colour
from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.bands import BAND_M, EVERY_M, banded_looms, colours_of_faces
from ribway.viewer.draw import SIDES, tube_mesh
from ribway.viewer.loom_legend import draw_looms
from ribway.viewer.report.page import page_text
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import LegendLine, Tube


def many_looms(plan: Plan, count: int) -> Plan:
    """The plan with its first loom over and over, coloured as looms are."""
    first = plan.looms[0]
    looms = tuple(first.model_copy(update={"id": f"m{i}", "colour": loom_colour(i)}) for i in range(count))
    runs = tuple(run.model_copy(update={"loom": f"m{count - 1}"}) for run in plan.runs)
    return plan.model_copy(update={"looms": looms, "runs": runs})


def test_only_looms_past_the_last_colour_are_banded(sample_plan: Plan) -> None:
    count = len(LOOM_COLOURS)
    assert banded_looms(many_looms(sample_plan, count)) == frozenset()
    assert banded_looms(many_looms(sample_plan, count + 2)) == {f"m{count}", f"m{count + 1}"}
    scene = scene_of(many_looms(sample_plan, count + 1))
    assert all(tube.banded and tube.colour == LOOM_COLOURS[0] for tube in scene.tubes)
    assert [line.banded for line in scene.legend] == [False] * count + [True]


def test_a_third_of_a_banded_cable_is_white_and_the_rest_its_colour() -> None:
    points = np.stack([np.linspace(0.0, 2.4, 241), np.zeros(241), np.zeros(241)], axis=1)
    tube = Tube("r", "l", points, 0.01, "#0072b2", (), banded=True)
    vertices, faces = tube_mesh(tube)
    colours = colours_of_faces(tube, len(faces), SIDES)
    assert colours.shape == (len(faces), 3)
    white = (colours == 255).all(axis=1)
    assert (colours[~white] == palette.rgb_of("#0072b2")).all()
    middle = vertices[faces].mean(axis=1)[:, 0]
    walls = np.arange(len(faces)) < 2 * SIDES * 240
    assert abs(white[walls].mean() - BAND_M / EVERY_M) < 0.02
    # Along the cable the bands begin at every whole step and are as long as stated.
    assert (middle[white] % EVERY_M < BAND_M + 0.01).all()
    plain = Tube("r", "l", points, 0.01, "#0072b2", ())
    assert not (colours_of_faces(plain, len(faces), SIDES) == 255).all(axis=1).any()


def test_the_legend_shows_the_bands() -> None:
    counts = []
    for banded in (False, True):
        image = Image.new("RGB", (400, 120), "#ffffff")
        line = LegendLine("O", "#0072b2", "right front", 1, 4.6, False, banded)
        draw_looms(ImageDraw.Draw(image, "RGBA"), (10, 10, 390, 110), (line,), "metric", 20)
        pixels = np.asarray(image)
        counts.append(int(np.count_nonzero((pixels == palette.rgb_of("#0072b2")).all(axis=2))))
    assert 0.5 * counts[0] < counts[1] < 0.85 * counts[0]


def test_the_page_is_told_which_runs_are_banded(sample_plan: Plan) -> None:
    page = page_text([many_looms(sample_plan, len(LOOM_COLOURS) + 1)], {})
    assert page.count('"banded": true') + page.count('"banded":true') == len(
        [run for run in sample_plan.runs if len(run.centreline) >= 2]
    )
    assert page.count('x="12"') == 1  # one banded sample in the legend
