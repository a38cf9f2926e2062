"""Pictures of single looms: what is shown, what is named and how far along, and that no name lies on another."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from shapely import box

from ribway.models.plan.looms import Breakout, LoomSection
from ribway.models.plan.plan import Plan
from ribway.viewer import overlay, palette
from ribway.viewer.camera import Size
from ribway.viewer.draw import rendered
from ribway.viewer.errors import NothingToShow
from ribway.viewer.loom_picture import boxed, breakout_words, draw_loom, loom_names, loom_view, only_loom
from ribway.viewer.loom_table import table_lines
from ribway.viewer.parts import WALLS
from ribway.viewer.ready import make_ready
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import camera_of, seen_in, view_named
from samples.van import van_plan

SIZE: Size = (1200, 900)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """The van, its first loom with two breakouts."""
    made = van_plan()
    first = made.looms[0]
    runs = first.runs
    points = [made.runs[[run.id for run in made.runs].index(runs[0])].centreline[i] for i in (2, -3)]
    breakouts = (
        Breakout(at_m=0.4376, runs=runs[:1], place="after L1a", point=points[0]),
        Breakout(at_m=1.2, runs=runs[:2], joining=runs[1:2], place="after L2a", point=points[1]),
    )
    sections = tuple(
        LoomSection(
            name=f"{first.id}.{number}", branch=branch, from_m=0.4 * number, to_m=0.4 * number + 0.4, runs=runs[:2],
            openings=(), diameter_mm=thick, loaded_conductors=4, points=(),
        )
        for number, (branch, thick) in enumerate([(0, 12.2), (0, 9.0), (1, 5.1)])
    )  # fmt: skip
    first = first.model_copy(update={"breakouts": breakouts, "sections": sections})
    return made.model_copy(update={"looms": (first, *made.looms[1:])})


@pytest.fixture(scope="module")
def van(plan: Plan) -> Scene:
    make_ready()
    return scene_of(plan, exaggeration=2.5)


def test_only_the_looms_own_things_are_shown(plan: Plan, van: Scene) -> None:
    for loom in plan.looms:
        alone = only_loom(van, plan, loom)
        runs = [run for run in plan.runs if run.loom == loom.id]
        assert {tube.run for tube in alone.tubes} == {run.id for run in runs}
        assert {mark.device for mark in alone.markers} == {end for run in runs for end in (run.from_, run.to)}
        assert {ring.opening for ring in alone.rings} == {
            name for run in runs for name in run.openings if name in {one.id for one in plan.openings}
        }
        framed = boxed(alone)
        cloud = np.concatenate([tube.points for tube in alone.tubes])
        assert (framed.low <= cloud.min(axis=0)).all()
        assert (framed.high >= cloud.max(axis=0)).all()
        assert (framed.high - framed.low <= van.high - van.low + 0.3).all()


def test_a_loom_on_one_wall_is_seen_straight_on_and_any_other_from_across(plan: Plan, van: Scene) -> None:
    found = {loom.id: loom_view(only_loom(van, plan, loom)) for loom in plan.looms}
    for loom in plan.looms:
        alone = only_loom(van, plan, loom)
        cloud = np.concatenate([tube.points for tube in alone.tubes])
        gap = van.high[1] - cloud[:, 1] if found[loom.id] == "left" else cloud[:, 1] - van.low[1]
        if found[loom.id] in ("left", "right"):
            assert (gap < 0.3).mean() >= 0.8
        if found[loom.id] == "other side":
            assert cloud[:, 1].mean() > 0.0  # it hangs on the left and is looked at from the right
        if found[loom.id] == "overview":
            assert cloud[:, 1].mean() <= 0.0
    assert len(set(found.values())) > 1


def test_breakouts_say_how_far_along_the_trunk_and_what_happens(plan: Plan) -> None:
    first = plan.looms[0]
    one, two = first.runs[:2]
    assert breakout_words(first, "metric") == [f"0.44 m: {one} leaves", f"1.20 m: {one} leaves, {two} joins"]
    many = Breakout(at_m=0.5, runs=tuple("abcdefg"), place="", point=(0.0, 0.0, 0.0))
    loom = first.model_copy(update={"breakouts": (many,)})
    assert breakout_words(loom, "metric") == ["0.50 m: a, b, c and 4 more leave"]
    assert breakout_words(loom, "feet and inches") == ["1' 7 3/4\": a, b, c and 4 more leave"]


@pytest.mark.parametrize("number", [0, 1, 2])
def test_no_name_lies_on_another(plan: Plan, van: Scene, number: int) -> None:
    loom = plan.looms[number]
    alone = only_loom(van, plan, loom)
    view = view_named(loom_view(alone))
    shown = boxed(seen_in(view, alone))
    camera = camera_of(view, shown, SIZE, (140.0, 100.0))
    image = Image.fromarray(rendered(shown, camera, SIZE))
    names = loom_names(shown, loom, "metric", camera, SIZE)
    placed, missing = overlay.put_names(image, names, 18)
    assert missing == ()
    assert all(a.intersection(b).area == 0.0 for a, b in combinations([box(*one.box) for one in placed], 2))
    written = {names[one.wish].text for one in placed}
    assert set(loom.runs) <= written
    assert {ring.opening for ring in shown.rings} <= written
    assert set(breakout_words(loom, "metric")) <= written


def test_the_list_holds_every_run_with_its_cut_length_and_the_trunks_thickness(plan: Plan) -> None:
    loom = next(one for one in plan.looms if len(one.runs) > 1 and one.sections)
    lines = table_lines(plan, loom)
    by_start = {line.left.split("  ")[0]: line for line in lines}
    for run in plan.runs:
        if run.loom == loom.id:
            assert by_start[run.id].right == f"{np.ceil(run.cut_m * 100 - 1e-6) / 100:.2f} m"
    thick = [line.right for line in lines if line.right.endswith(" mm")]
    assert thick == ["13 mm", "9 mm"]  # of the trunk alone, rounded up


def test_a_looms_picture_on_disk(plan: Plan, tmp_path: Path) -> None:
    loom = plan.looms[0]
    draw_loom(plan, loom.id, tmp_path / "loom.png", size=(1200, 800))
    with Image.open(tmp_path / "loom.png") as image:
        pixels = np.asarray(image.convert("RGB"))
    assert np.count_nonzero((pixels == palette.rgb_of(loom.colour)).all(axis=2)) > 60
    for other in plan.looms[1:3]:
        assert np.count_nonzero((pixels == palette.rgb_of(other.colour)).all(axis=2)) < 10
    # from another side, and with all metal cut away: the loom is there, and more of the ground is seen
    draw_loom(plan, loom.id, tmp_path / "above.png", around="above", size=(1200, 800))
    draw_loom(plan, loom.id, tmp_path / "bare.png", around="above", cut=WALLS, size=(1200, 800))
    seen = {}
    for name in ("above", "bare"):
        with Image.open(tmp_path / f"{name}.png") as image:
            seen[name] = np.asarray(image.convert("RGB"))
        assert np.count_nonzero((seen[name] == palette.rgb_of(loom.colour)).all(axis=2)) > 60
        assert not np.array_equal(seen[name], pixels)
        (tmp_path / f"{name}.png").unlink()
    ground = {name: np.count_nonzero((one == palette.rgb_of(palette.GROUND)).all(axis=2)) for name, one in seen.items()}
    assert ground["bare"] > ground["above"]
    with pytest.raises(NothingToShow, match="no wall 'attic'; there are left"):
        draw_loom(plan, loom.id, tmp_path / "x.png", cut=["attic"])
    with pytest.raises(NothingToShow, match="no loom 'attic'; it has"):
        draw_loom(plan, "attic", tmp_path / "x.png")
    unrouted = plan.model_copy(update={"runs": tuple(run.model_copy(update={"centreline": ()}) for run in plan.runs)})
    with pytest.raises(NothingToShow, match="has a route"):
        draw_loom(unrouted, loom.id, tmp_path / "x.png")
    assert [found.name for found in tmp_path.iterdir()] == ["loom.png"]
