"""What a picture shows, laid out from a plan."""

from __future__ import annotations

import math

import numpy as np
import pytest

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.about import about_run
from ribway.viewer.errors import NothingToShow
from ribway.viewer.legend import cautions, title_lines
from ribway.viewer.names import telling_spot, wrapped
from ribway.viewer.overlay import ink_on
from ribway.viewer.scene import scene_of, short
from ribway.viewer.units import length_text


def test_a_scene_holds_what_the_plan_holds(sample_plan: Plan) -> None:
    scene = scene_of(sample_plan, exaggeration=2.0)
    assert [part.name for part in scene.parts] == [part.name for part in sample_plan.parts]
    assert [tube.run for tube in scene.tubes] == [run.id for run in sample_plan.runs]
    assert [mark.device for mark in scene.markers] == [device.id for device in sample_plan.devices]
    assert [ring.opening for ring in scene.rings] == ["L1a", "R1a"]
    assert [(patch.why, len(patch.outline)) for patch in scene.patches] == [("window", 4)]
    colours = {loom.id: loom.colour for loom in sample_plan.looms}
    for tube, run in zip(scene.tubes, sample_plan.runs, strict=True):
        assert tube.radius_m == pytest.approx(run.outside_mm / 1000.0)  # diameter / 2 x 2
        assert tube.colour == colours[run.loom]
        assert np.linalg.norm(tube.points[0] - np.array(run.centreline[0])) < 0.021
        assert np.linalg.norm(tube.points[-1] - np.array(run.centreline[-1])) < 0.021
    assert np.allclose(scene.low, [-2.0, -0.9, 0.0])
    assert np.allclose(scene.high, [0.0, 0.9, 1.6])


def test_the_legend_adds_up(sample_plan: Plan) -> None:
    lines = scene_of(sample_plan).legend
    assert [(line.loom, line.runs, line.has_ac) for line in lines] == [("left", 3, False), ("right", 1, True)]
    assert sum(line.cut_m for line in lines) == pytest.approx(sample_plan.totals.cable_m)
    assert sum(line.runs for line in lines) == sample_plan.totals.runs


def test_the_legend_counts_every_piece_of_cable_and_no_draw_cord(sample_plan: Plan) -> None:
    fridge, main, outlet, report = sample_plan.runs
    cord, pair = report.model_copy(update={"cores": 0}), main.model_copy(update={"pieces": 2})
    lines = scene_of(sample_plan.model_copy(update={"runs": (fridge, pair, outlet, cord)})).legend
    assert lines[0].cut_m == pytest.approx(fridge.cut_m + 2 * main.cut_m)
    assert lines[0].runs == 3


def test_runs_without_a_loom_get_a_line_of_their_own(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(update={"looms": sample_plan.looms[:1]})
    scene = scene_of(plan)
    assert [line.loom for line in scene.legend] == ["left", ""]
    assert next(tube for tube in scene.tubes if tube.run == "outlet-1").loom == ""


def test_a_run_without_a_route_is_counted_but_not_drawn(sample_plan: Plan) -> None:
    lost = sample_plan.runs[0].model_copy(update={"centreline": (), "legs": ()})
    scene = scene_of(sample_plan.model_copy(update={"runs": (lost, *sample_plan.runs[1:]), "complete": False}))
    assert lost.id not in {tube.run for tube in scene.tubes}
    assert scene.legend[0].runs == 3
    assert cautions(scene.heading).startswith("NOT READY: this plan is not complete.")


def test_an_empty_plan_can_still_be_laid_out(sample_plan: Plan) -> None:
    nothing = dict.fromkeys(("runs", "looms", "devices", "openings", "keep_outs", "parts", "ways", "bays"), ())
    scene = scene_of(sample_plan.model_copy(update=nothing))
    assert (scene.parts, scene.tubes, scene.legend) == ((), (), ())


def test_the_layout_is_the_same_every_time_and_leaves_the_plan_alone(sample_plan: Plan) -> None:
    before = sample_plan.model_dump_json()
    first, second = scene_of(sample_plan), scene_of(sample_plan)
    assert all(np.array_equal(a.points, b.points) for a, b in zip(first.tubes, second.tubes, strict=True))
    assert sample_plan.model_dump_json() == before


def test_a_thickness_of_nothing_is_refused(sample_plan: Plan) -> None:
    with pytest.raises(ValueError, match="above 0, not 0 times"):
        scene_of(sample_plan, exaggeration=0.0)


def test_title_and_caution_say_what_counts(sample_plan: Plan) -> None:
    heading = scene_of(sample_plan.model_copy(update={"alternative": "fridge right"})).heading
    project, about, sums = title_lines(heading, "Overview")
    assert project == "Sample box – fridge right"
    assert "revision A" in about
    assert "2025-01-31" in about
    assert f"{sample_plan.totals.copper_kg:.2f} kg copper" in sums
    text = cautions(heading, ("a", "b"))
    assert "1 of 2 used ones was never measured" in text
    assert "AC: to be designed and connected by a licensed person." in text
    assert "No room for 2 names" in text
    assert "NOT READY" not in text


@pytest.mark.parametrize(
    ("metres", "metric", "feet"),
    [
        (12.31, "12.4 m", "40' 5\""),  # 12.31 m = 484.65 in
        (12.3, "12.3 m", "40' 5\""),  # 484.25 in
        (0.3048, "0.4 m", "1' 0\""),
        (0.30481, "0.4 m", "1' 1\""),
        (0.0, "0.0 m", "0' 0\""),
    ],
)
def test_lengths_are_rounded_up(metres: float, metric: str, feet: str) -> None:
    assert length_text(metres, "metric") == metric
    assert length_text(metres, "feet and inches") == feet


def test_a_picked_run_is_told_with_the_plan_s_own_figures(sample_plan: Plan) -> None:
    run = next(run for run in sample_plan.runs if run.id == "fridge-1")
    text = about_run(sample_plan, "fridge-1")
    one_way, drop = (math.ceil(100 * value - 1e-6) / 100 for value in (run.one_way_m, run.drop_percent))
    for part in (
        "fridge-1: Fuse board to Fridge", f"cut {run.cut_m:.2f} m", f"device to device {one_way:.2f} m one way",
        "fuse 7.5 A", f"drop {drop:.2f} %", f"loom {run.loom}", "through L1a",
    ):  # fmt: skip
        assert part in text
    assert "licensed person" in about_run(sample_plan, "outlet-1")
    feet = sample_plan.model_copy(update={"rules": sample_plan.rules.model_copy(update={"units": "feet and inches"})})
    said = about_run(feet, "fridge-1")
    assert f"cut {run.cut_feet_inches}" in said
    assert " m one way" not in said
    with pytest.raises(NothingToShow, match="no run 'x'; it has fridge-1, main-1"):
        about_run(sample_plan, "x")


def test_long_names_are_cut_to_fit() -> None:
    assert short("Fridge") == "Fridge"
    assert short("A  name\nover two lines") == "A name over two lines"
    assert len(short("x" * 100)) == 24
    assert wrapped(["a", "b", "c", "d"]) == "a, b, c,\nd"


def test_a_spot_is_told_where_no_other_cable_runs() -> None:
    """Two cables share their first half; the spot lies on the second half of the one meant."""
    own = np.stack([np.arange(0.0, 200.0, 2.0), np.full(100, 50.0)], axis=1)
    other = np.stack([np.arange(0.0, 100.0, 2.0), np.full(50, 51.0)], axis=1)
    spot = telling_spot(own, other, (300, 100))
    assert spot is not None
    assert 130.0 <= spot[0] < 200.0
    assert telling_spot(own, np.empty((0, 2)), (300, 100)) == pytest.approx((100.0, 50.0), abs=4.0)
    assert telling_spot(own + 1000.0, other, (300, 100)) is None


def contrast(first: str, second: str) -> float:
    """WCAG 2.2, definition of contrast ratio."""

    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        r, g, b = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_loom_names_can_be_read_on_their_colour() -> None:
    """WCAG 2.2 criterion 1.4.3, large or bold type: 3 to 1; plain ink and cautions 4.5 to 1 on white."""
    assert min(contrast(ink_on(colour), colour) for colour in palette.LOOM_COLOURS) >= 3.0
    assert min(contrast(ink, palette.GROUND) for ink in (palette.INK, palette.QUIET_INK, palette.CAUTION)) >= 4.5
