"""The window, drawn off screen; mouse and keys go through VTK's own events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from shapely import box
from vtkmodules.vtkRenderingAnnotation import vtkCornerAnnotation
from vtkmodules.vtkRenderingCore import vtkRenderWindowInteractor

from ribway.models.plan.plan import Plan
from ribway.viewer.camera import Camera
from ribway.viewer.controls import BOX_PX, EDGE_PX, LEAST_ROW_PX, ROW_PX, controls_of
from ribway.viewer.errors import CannotDraw, NothingToShow
from ribway.viewer.legend import cautions
from ribway.viewer.opening import build_window, open_window
from ribway.viewer.parts import WALLS
from ribway.viewer.steps import PullStep
from ribway.viewer.views import OVERVIEW, seen_in, view_named
from ribway.viewer.window import Window
from samples.van import van_plan

SIZE = (960, 640)
STEPS = (
    PullStep(1, "loom right, on the bench", ("Build it",), loom="right"),
    PullStep(2, "Pull fridge-1, loom right", ("feed in at Fridge",), "fridge-1", "right"),
    PullStep(3, "Pull ac-1-1, loom AC", (), "ac-1-1", "AC"),
)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return van_plan()


@pytest.fixture(scope="module")
def shared_window(plan: Plan) -> Iterator[Window]:
    made = build_window(plan, steps=STEPS, off_screen=True, size=SIZE)
    # A window on a screen listens to mouse and keys once it is shown; this one is never shown.
    interactor_of(made).Enable()
    pixels(made)  # boxes can be clicked once they have been drawn
    yield made
    made.close()


@pytest.fixture
def window(shared_window: Window) -> Window:
    """The one window, as it was when it was made."""
    press(shared_window, "Escape")
    press(shared_window, "a")
    press(shared_window, "0")
    return shared_window


def pixels(window: Window) -> NDArray[np.uint8]:
    window.plotter.render()
    return np.asarray(window.plotter.screenshot(return_img=True))


def text_in_corner(window: Window) -> str:
    return str(window.plotter.actors["about"].GetText(vtkCornerAnnotation.UpperRight))


def camera_now(window: Window) -> Camera:
    seen = window.plotter.camera
    return Camera(
        np.array(seen.position),
        np.array(seen.focal_point),
        np.array(seen.up),
        half_height_m=seen.parallel_scale if seen.parallel_projection else 0.0,
        angle_deg=seen.view_angle,
    )


def place_of(window: Window, run: str, share: float) -> tuple[int, int]:
    """A place of the window, from its lower left corner, where a run is drawn."""
    tube = next(one for one in window.scene.tubes if one.run == run)
    x, y = camera_now(window).pixels(tube.points[[int(share * (len(tube.points) - 1))]], SIZE)[0]
    return round(x), round(SIZE[1] - y)


def interactor_of(window: Window) -> vtkRenderWindowInteractor:
    assert window.plotter.iren is not None
    interactor: vtkRenderWindowInteractor = window.plotter.iren.interactor
    return interactor


def visible(window: Window) -> set[str]:
    """The runs that are drawn in their looms' colours."""
    return {tube.run for tube in window.scene.tubes if window.plotter.actors[f"run {tube.run}"].visibility}


def step_text(window: Window) -> str:
    return str(window.plotter.actors["step"].GetText(vtkCornerAnnotation.UpperLeft))


def press(window: Window, key: str) -> None:
    interactor = interactor_of(window)
    interactor.SetKeyEventInformation(0, 0, key[0] if len(key) == 1 else "\x1b", 0, key)
    interactor.KeyPressEvent()


def click(window: Window, x: int, y: int) -> None:
    interactor = interactor_of(window)
    interactor.SetEventInformation(x, y)
    interactor.MouseMoveEvent()
    interactor.LeftButtonPressEvent()
    interactor.LeftButtonReleaseEvent()


def test_all_looms_are_on_at_first(window: Window, plan: Plan) -> None:
    assert window.shown == tuple(loom.id for loom in plan.looms)
    assert window.chosen is None
    assert {"about", "chosen"}.isdisjoint(window.plotter.actors)


def test_a_loom_goes_off_and_comes_back(window: Window) -> None:
    before = pixels(window)
    window.toggle("roof")
    assert "roof" not in window.shown
    without = pixels(window)
    assert np.count_nonzero((before != without).any(axis=2)) > 300
    window.toggle("roof")
    assert np.array_equal(pixels(window), before)
    window.toggle("roof")
    window.toggle("AC")
    press(window, "a")
    assert np.array_equal(pixels(window), before)


def test_a_click_on_a_check_box_switches_its_loom(window: Window, plan: Plan) -> None:
    """The boxes stand at the lower left, the first loom's on top."""
    looms = [loom.id for loom in plan.looms]
    switch = next(one for one in controls_of(window.scene.legend, looms, SIZE) if one.id == looms[0])
    assert (switch.x, switch.y, switch.box_px) == (EDGE_PX, EDGE_PX + (len(looms) - 1) * ROW_PX, BOX_PX)
    x, y = switch.x + switch.box_px // 2, switch.y + switch.box_px // 2
    click(window, x, y)
    assert window.shown == tuple(looms[1:])
    click(window, x, y)
    assert window.shown == tuple(looms)


def test_every_box_is_reached_and_pressed_by_keys_alone(window: Window) -> None:
    """What a click on each box does, done by arrow and space; the frame round it is seen."""
    labels = []
    before = pixels(window)
    press(window, "Down")
    assert (pixels(window) != before).any()
    seen: set[object] = set()
    for number in range(len(window.shown) + len(WALLS) + 1):
        if number:
            press(window, "Down")
        now = window.showing
        press(window, "space")
        assert window.showing != now
        seen.add(
            (
                window.showing.looms_off ^ now.looms_off,
                window.showing.walls_off ^ now.walls_off,
                window.showing.true_size,
            )
        )
        press(window, "space")
        assert window.showing == now
        labels.append(number)
    assert len(seen) == len(labels)  # each switched something else
    press(window, "Escape")
    now = window.showing
    press(window, "space")
    assert window.showing == now


def test_cables_are_named_one_after_the_other_by_a_key(window: Window, plan: Plan) -> None:
    shown = visible(window)
    runs = [run.id for run in plan.runs if run.id in shown]
    for run in runs:
        press(window, "c")
        assert window.chosen == run
    press(window, "x")
    assert window.chosen == runs[-2]


def test_no_such_loom_or_run_is_said(window: Window) -> None:
    with pytest.raises(NothingToShow, match="no loom 'x' is drawn; there are AC, left high"):
        window.toggle("x")
    with pytest.raises(NothingToShow, match="no run 'x'"):
        window.pick("x")


def test_a_picked_run_is_named_and_marked(window: Window, plan: Plan) -> None:
    before = pixels(window)
    text = window.pick("fridge-1")
    run = next(run for run in plan.runs if run.id == "fridge-1")
    assert window.chosen == "fridge-1"
    assert f"cut {run.cut_m:.2f} m" in text
    assert text_in_corner(window) == text
    below_the_text = np.s_[SIZE[1] // 3 :]
    was, now = before[below_the_text].max(axis=2), pixels(window)[below_the_text].max(axis=2)
    assert np.count_nonzero((now < 70) & (was > 110)) > 60


@pytest.mark.parametrize(
    ("run", "share"), [("fridge-1", 0.97), ("ac-1-1", 0.95), ("light-4-1", 0.97), ("main-1", 0.5), ("usb-l-1", 0.95)]
)
def test_a_click_on_a_cable_names_its_run(window: Window, run: str, share: float) -> None:
    click(window, *place_of(window, run, share))
    assert window.chosen == run


def test_a_click_beside_all_cables_keeps_what_was_chosen(window: Window) -> None:
    window.pick("pump-1")
    assert window.pick_at(SIZE[0] - 3, SIZE[1] - 3) is None
    assert window.chosen == "pump-1"


def test_a_hidden_cable_cannot_be_picked(window: Window) -> None:
    place = place_of(window, "ac-1-1", 0.95)
    assert window.pick_at(*place) == "ac-1-1"
    window.toggle("AC")
    assert window.pick_at(*place) != "ac-1-1"


@pytest.mark.parametrize(("key", "view"), [("4", "left"), ("6", "right"), ("9", "roof"), ("8", "bulkhead")])
def test_keys_lead_to_the_walls_seen_from_inside(window: Window, key: str, view: str) -> None:
    press(window, key)
    camera = window.plotter.camera
    assert camera.parallel_projection
    assert np.allclose(camera.direction, view_named(view).forward, atol=1e-9)
    shown = seen_in(view_named(view), window.scene)
    depth = (np.stack([shown.low, shown.high]) - np.array(camera.position)) @ np.array(camera.direction)
    assert camera.clipping_range[0] == pytest.approx(depth.min(), abs=1e-6)
    press(window, "0")
    assert not camera.parallel_projection
    forward = np.array(view_named(OVERVIEW).forward)
    assert np.allclose(camera.direction, forward / np.linalg.norm(forward), atol=1e-6)


def test_the_wall_before_the_one_looked_at_is_cut_away(window: Window) -> None:
    window.show_view("left")
    with_right = pixels(window)
    window.toggle("right")
    window.toggle("AC")
    left_of_list = np.s_[:, 250:]
    changed = (pixels(window)[left_of_list] != with_right[left_of_list]).any(axis=2)
    # Only the right wall's loom on its way up the left wall may go; the AC loom lies behind the camera's near plane.
    window.toggle("AC")
    again = (pixels(window)[left_of_list] != with_right[left_of_list]).any(axis=2)
    assert np.array_equal(changed, again)


def test_the_pull_plan_is_stepped_through_to_the_finished_van_and_back(window: Window) -> None:
    finished = visible(window)
    press(window, "n")
    assert step_text(window).startswith("step 1 of 3: loom right, on the bench")
    assert visible(window) == set()
    assert "pulled" not in window.plotter.actors
    press(window, "n")
    assert visible(window) == set()
    assert "pulled" in window.plotter.actors
    assert "feed in at Fridge" in step_text(window)
    press(window, "n")
    assert visible(window) == {"fridge-1"}
    press(window, "n")
    assert visible(window) == finished
    assert "pulled" not in window.plotter.actors
    press(window, "b")
    assert visible(window) == {"fridge-1"}
    press(window, "a")
    assert visible(window) == finished


def test_a_walls_metal_is_cut_away_by_box_and_by_key(window: Window, plan: Plan) -> None:
    before = pixels(window)
    looms = [loom.id for loom in plan.looms]
    switch = next(
        one for one in controls_of(window.scene.legend, looms, SIZE) if one.id == "right" and one.kind == "wall"
    )
    click(window, switch.x + switch.box_px // 2, switch.y + switch.box_px // 2)
    assert window.showing.walls_off == {"right"}
    assert np.count_nonzero((pixels(window) != before).any(axis=2)) > 1000
    press(window, "F2")
    assert window.showing.walls_off == set()
    assert np.array_equal(pixels(window), before)
    with pytest.raises(NothingToShow, match="no wall 'attic'"):
        window.toggle_wall("attic")


def test_cables_are_drawn_true_or_thicker(window: Window) -> None:
    thicker = {tube.run: tube.radius_m for tube in window.scene.tubes}
    press(window, "t")
    true = {tube.run: tube.radius_m for tube in window.scene.tubes}
    assert all(thicker[run] == pytest.approx(1.5 * true[run]) for run in true)
    x, y = place_of(window, "fridge-1", 0.97)
    assert window.pick_at(x, y) == "fridge-1"
    press(window, "t")
    assert {tube.run: tube.radius_m for tube in window.scene.tubes} == thicker


def test_a_walls_openings_face_the_one_who_looks_in_their_colours(window: Window) -> None:
    press(window, "4")
    colours = {ring.colour for ring in window.scene.rings if ring.wall == "left"}
    assert {f"facing {colour}" for colour in colours} <= set(window.plotter.actors)
    window.toggle_wall("left")
    assert not any(name.startswith("facing") for name in window.plotter.actors)
    window.toggle_wall("left")
    press(window, "0")
    assert not any(name.startswith("facing") for name in window.plotter.actors)


@pytest.mark.parametrize(("looms", "row"), [(3, ROW_PX), (25, ROW_PX), (40, None), (90, LEAST_ROW_PX)])
def test_no_box_of_a_window_lies_on_another(window: Window, looms: int, row: int | None) -> None:
    size = (1500, 950)
    line = window.scene.legend[0]
    legend = [replace(line, loom=f"{number}") for number in range(looms)]
    made = controls_of(legend, [one.loom for one in legend], size)
    boxes = [box(one.x, one.y, one.x + one.room_px, one.y + max(one.box_px, 14)) for one in made]
    assert all(a.intersection(b).area == 0.0 for a, b in combinations(boxes, 2))
    assert all(one.bounds[2] <= size[0] and one.bounds[3] <= size[1] for one in boxes)
    first, second = (one.y for one in made[:2])
    if row is not None:
        assert first - second == row
    assert [one.id for one in made if one.kind == "loom"] == [f"{i}" for i in range(min(looms, 53))]


def test_what_a_reader_must_know_stands_in_the_window_too(window: Window) -> None:
    said = str(window.plotter.actors["caution"].input)
    assert said.replace("\n", " ") == cautions(window.scene.heading)
    assert "AC: to be designed and connected by a licensed person." in said


def test_the_picture_key_saves_what_is_seen(window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    press(window, "s")
    press(window, "s")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["Field-laboratory-1.png", "Field-laboratory-2.png"]
    with Image.open(tmp_path / "Field-laboratory-1.png") as image:
        assert image.size == SIZE
        assert np.asarray(image).std() > 10.0


def test_a_run_without_a_route_is_named_but_not_marked(plan: Plan) -> None:
    lost = plan.runs[0].model_copy(update={"centreline": ()})
    window = build_window(plan.model_copy(update={"runs": (lost, *plan.runs[1:])}), off_screen=True, size=SIZE)
    window.pick(plan.runs[1].id)
    assert "chosen" in window.plotter.actors
    assert lost.id in window.pick(lost.id)
    assert "chosen" not in window.plotter.actors
    window.close()


def test_without_a_screen_no_window_is_tried(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    with pytest.raises(CannotDraw, match="needs a screen"):
        open_window(plan)
