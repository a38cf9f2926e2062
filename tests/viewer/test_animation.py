"""The order of pulling as a GIF: one frame a pull, each adds its run in its loom's exact colour."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.animation import draw_animation, frame_words, palette_of, pulls_of
from ribway.viewer.errors import NothingToShow
from ribway.viewer.scene import scene_of
from ribway.viewer.showing import WHOLE, Showing
from ribway.viewer.steps import PullStep


def steps_of(plan: Plan) -> tuple[PullStep, ...]:
    """A step on the bench, then every run in the plan's order."""
    pulls = [PullStep(i, f"Pull {run.id}", ("feed in",), run.id, run.loom) for i, run in enumerate(plan.runs, start=2)]
    return (PullStep(1, "on the bench"), *pulls)


@pytest.fixture(scope="module")
def frames(sample_plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> list[NDArray[np.int16]]:
    path = tmp_path_factory.mktemp("gif") / "pull.gif"
    count = draw_animation(sample_plan, steps_of(sample_plan), path, size=(480, 360))
    read = []
    with Image.open(path) as moving:
        assert moving.n_frames == count
        assert moving.size == (480, 360)
        assert moving.info["loop"] == 0  # for ever
        for number in range(count):
            moving.seek(number)
            read.append(np.asarray(moving.convert("RGB")).astype(np.int16))
    assert [one.name for one in path.parent.iterdir()] == ["pull.gif"]
    return read


def shows(frame: NDArray[np.int16], colour: str) -> int:
    return int(np.count_nonzero((frame == palette.rgb_of(colour)).all(axis=2)))


def test_one_frame_a_pull_and_the_whole_van_last(frames: list[NDArray[np.int16]], sample_plan: Plan) -> None:
    routed = [run for run in sample_plan.runs if len(run.centreline) >= 2]
    assert len(frames) == len(routed) + 1


def test_colours_come_in_as_their_looms_are_pulled(frames: list[NDArray[np.int16]], sample_plan: Plan) -> None:
    scene = scene_of(sample_plan)
    colours = {tube.run: tube.colour for tube in scene.tubes}
    order = [run.id for run in sample_plan.runs if run.id in colours]
    for number, frame in enumerate(frames):
        laid = {colours[run] for run in order[:number]}
        for colour in set(colours.values()):
            assert (shows(frame, colour) > 15) == (colour in laid), (number, colour)


def test_colours_of_cables_are_kept_exactly_among_fewer_than_256() -> None:
    wanted = [f"#{i:02x}40c0" for i in range(0, 250, 5)]
    held = palette_of(wanted).getpalette()
    assert held is not None
    shades = {tuple(held[i : i + 3]) for i in range(0, len(held), 3)}
    assert len(held) // 3 <= 255
    assert {palette.rgb_of(one) for one in wanted[:48]} <= shades
    assert {(255, 255, 255), palette.rgb_of(palette.KEEP_OUT)} <= shades


def test_steps_without_a_drawn_run_are_passed_over(sample_plan: Plan) -> None:
    scene = scene_of(sample_plan)
    steps = (*steps_of(sample_plan), PullStep(99, "Pull nothing", (), "no such run"))
    pulls = pulls_of(steps, scene)
    assert [one.now.run if one.now else "" for one in pulls] == [*(tube.run for tube in scene.tubes), ""]


def test_what_stands_over_a_frame(sample_plan: Plan) -> None:
    heading = scene_of(sample_plan).heading
    steps = steps_of(sample_plan)
    words = frame_words(Showing(steps, 1), heading)
    assert words[0] == (f"2 of {len(steps)}: {steps[1].title}", True)
    assert [text for text, _ in words[1:]] == ["feed in", f"{heading.project}, revision {heading.revision}"]
    assert "all cables are in" in frame_words(Showing(steps, WHOLE), heading)[0][0]
    torn = scene_of(sample_plan.model_copy(update={"complete": False})).heading
    assert frame_words(Showing(steps, 1), torn)[0][0].startswith("NOT READY")


def test_a_plan_with_nothing_to_pull_says_so(sample_plan: Plan, tmp_path: Path) -> None:
    with pytest.raises(NothingToShow, match="nothing to pull"):
        draw_animation(sample_plan, (), tmp_path / "x.gif")
    assert list(tmp_path.iterdir()) == []
