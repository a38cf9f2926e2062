"""Pictures as they come out: drawn for real, off screen. Pixels are not compared between machines."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from shapely import box

from ribway.arguments import AROUND
from ribway.models.plan.plan import Plan
from ribway.viewer import overlay, palette
from ribway.viewer.draw import rendered
from ribway.viewer.errors import NothingToShow
from ribway.viewer.names import overview_names, wall_names
from ribway.viewer.picture import draw_picture, legend_of
from ribway.viewer.probe import WINDOW_VARIABLE
from ribway.viewer.ready import has_screen, make_ready
from ribway.viewer.saving import free_name, save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Marker, Scene
from ribway.viewer.views import OVERVIEW, WHOLE_VIEWS, camera_of, seen_in, view_named
from samples.van import van_plan

SIZE = (900, 700)
MARGIN = (40.0, 40.0)


@pytest.fixture(scope="module")
def van() -> Scene:
    make_ready()
    return scene_of(van_plan(), exaggeration=2.5)


def shaded(pixels: NDArray[np.uint8], colour: str) -> int:
    """How many pixels show a colour, whatever light falls on it: a share of the colour, nearly nothing beside it."""
    wanted = np.array(palette.rgb_of(colour), dtype=np.float64)
    seen = pixels.reshape(-1, 3).astype(np.float64)
    share = seen @ wanted / (wanted @ wanted)
    beside = np.linalg.norm(seen - share[:, None] * wanted, axis=1)
    return int(np.count_nonzero((share > 0.45) & (share < 1.1) & (beside < 10.0)))


def test_every_loom_is_seen_in_its_own_colour(van: Scene) -> None:
    view = view_named(OVERVIEW)
    shown = seen_in(view, van)
    camera = camera_of(view, shown, SIZE, MARGIN)
    whole = rendered(shown, camera, SIZE)
    bare = rendered(replace(shown, tubes=()), camera, SIZE)
    assert whole.shape == bare.shape == (SIZE[1], SIZE[0], 3)
    for line in van.legend:
        assert shaded(whole, line.colour) > 150, line.loom
        assert shaded(bare, line.colour) < 0.2 * shaded(whole, line.colour), line.loom


def test_metal_is_seen_through_and_the_ground_is_white(van: Scene) -> None:
    view = view_named("right")
    shown = seen_in(view, van)
    camera = camera_of(view, shown, SIZE, MARGIN)
    pixels = rendered(replace(shown, tubes=(), rings=(), patches=()), camera, SIZE)
    assert tuple(pixels[2, 2]) == (255, 255, 255)
    # A place on bare skin between two ribs, and one on a rib.
    skin, rib = camera.pixels(np.array([[-1.5, -0.89, 1.2], [-1.8, -0.84, 1.2]]), SIZE).astype(int)
    on_skin, on_rib = pixels[skin[1], skin[0]].astype(int), pixels[rib[1], rib[0]].astype(int)
    assert on_rib.mean() < on_skin.mean() - 20 < 255 - 20
    assert np.ptp(on_rib) < 12
    assert np.ptp(on_skin) < 12


@pytest.mark.parametrize("view_name", [OVERVIEW, "left", "roof"])
def test_a_thing_is_drawn_where_the_camera_says(van: Scene, view_name: str) -> None:
    """The middle of one lone blob of cable, found in the pixels, against the projection that places names."""
    view = view_named(view_name)
    shown = seen_in(view, van)
    camera = camera_of(view, shown, SIZE, MARGIN)
    blob = replace(shown.tubes[0], points=np.array([[-1.41, 0.55, 1.7], [-1.39, 0.55, 1.7]]), radius_m=0.02)
    blob = replace(blob, half_thick_m=0.0)
    pixels = rendered(replace(shown, parts=(), rings=(), patches=(), tubes=(blob,)), camera, SIZE)
    y, x = np.nonzero(pixels.min(axis=2) < 200)
    assert len(x) > 20
    expected = camera.pixels(blob.points.mean(axis=0)[None], SIZE)[0]
    assert np.hypot(x.mean() + 0.5 - expected[0], y.mean() + 0.5 - expected[1]) < 1.5


@pytest.mark.parametrize("wall", [None, "left", "right", "roof"])
def test_names_on_a_picture_do_not_lie_on_one_another(van: Scene, wall: str | None) -> None:
    view = view_named(wall or OVERVIEW)
    shown = seen_in(view, van)
    size = (1300, 1000)
    camera = camera_of(view, shown, size, (100.0, 80.0))
    image = Image.fromarray(rendered(shown, camera, size))
    names = wall_names(shown, wall, camera, size) if wall else overview_names(shown, camera, size)
    placed, missing = overlay.put_names(image, names, 19)
    assert missing == ()
    assert all(a_box.intersection(b_box).area == 0.0 for a_box, b_box in combinations([box(*p.box) for p in placed], 2))
    written = {names[one.wish].text for one in placed}
    if wall is None:
        assert written >= {"mains", "roof", "left low", "Fuse board", "Fridge", "Reading light"}
    if wall == "left":
        assert written >= {"L1a", "L5b", "LE2", "Fuse board", "main-1, charge-1", "usb-bed-1"}
        assert "R1a" not in written
        assert "Reading light" not in written


def test_a_wall_lists_the_looms_that_come_near_it_and_no_other(van: Scene) -> None:
    assert legend_of(van, van, None) == van.legend
    for wall, axis, edge in (("left", 1, van.high[1]), ("right", 1, van.low[1]), ("roof", 2, van.high[2])):
        near = {tube.loom for tube in van.tubes if (np.abs(tube.points[:, axis] - edge) < 0.3).any()}
        assert {line.loom for line in legend_of(van, seen_in(view_named(wall), van), wall)} == near
        assert near < {line.loom for line in van.legend} or wall == "left"


@pytest.mark.parametrize(("wall", "size"), [(None, (1800, 1200)), ("left", (1500, 1000)), ("bulkhead", (600, 400))])
def test_a_picture_on_disk(sample_plan: Plan, tmp_path: Path, wall: str | None, size: tuple[int, int]) -> None:
    path = tmp_path / "van.png"
    path.write_bytes(b"an older picture")
    draw_picture(sample_plan, path, wall=wall, size=size)
    assert [found.name for found in tmp_path.iterdir()] == ["van.png"]
    with Image.open(path) as image:
        assert image.format == "PNG"
        assert image.size == size
        pixels = np.asarray(image.convert("RGB"))
    assert pixels.std() > 10.0
    whole = scene_of(sample_plan, exaggeration=2.5)
    seen = whole if wall is None else seen_in(view_named(wall), whole)
    listed = {line.loom for line in legend_of(whole, seen, wall)}
    assert listed or wall is not None
    for loom in (one for one in sample_plan.looms if one.id in listed):
        assert np.count_nonzero((pixels == palette.rgb_of(loom.colour)).all(axis=2)) > 60, (
            "the legend shows it unshaded"
        )


def test_the_same_plan_gives_the_same_picture(sample_plan: Plan, tmp_path: Path) -> None:
    for name in ("a.png", "b.png"):
        draw_picture(sample_plan, tmp_path / name, size=(900, 600))
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()


def test_wrong_wishes_are_refused_before_anything_is_written(sample_plan: Plan, tmp_path: Path) -> None:
    with pytest.raises(NothingToShow, match="no view 'ceiling'"):
        draw_picture(sample_plan, tmp_path / "x.png", wall="ceiling")
    with pytest.raises(ValueError, match="600 x 400 pixels or more, not 100 x 100"):
        draw_picture(sample_plan, tmp_path / "x.png", size=(100, 100))
    with pytest.raises(ValueError, match="above 0, not -1 times"):
        draw_picture(sample_plan, tmp_path / "x.png", thickness=-1.0)
    assert list(tmp_path.iterdir()) == []


def test_a_crowd_of_devices_is_counted_where_there_is_no_room(van: Scene) -> None:
    view = view_named(OVERVIEW)
    point = van.markers[0].point
    crowd = tuple(Marker(f"d{i}", f"Device number {i}", "left", point) for i in range(400))
    shown = replace(seen_in(view, van), markers=crowd)
    camera = camera_of(view, shown, (600, 400), MARGIN)
    image = Image.new("RGB", (600, 400), "#ffffff")
    placed, missing = overlay.put_names(image, overview_names(shown, camera, (600, 400)), 19)
    assert len(missing) > 250
    assert len(placed) + len(missing) == 400 + len({tube.loom for tube in van.tubes})


def test_a_machine_that_cannot_draw_is_told_what_to_install(tmp_path: Path) -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from pathlib import Path\n"
        "from samples.plan import sample_plan\n"
        "from ribway.viewer.errors import CannotDraw\n"
        "from ribway.viewer.picture import draw_picture, legend_of\n"
        "try:\n"
        "    draw_picture(sample_plan(), Path(sys.argv[2]))\n"
        "except CannotDraw as fault:\n"
        "    print(fault)\n"
    )
    environ = dict(os.environ) | {WINDOW_VARIABLE: "vtkNoSuchRenderWindow"}
    tests, picture = Path(__file__).parents[1], tmp_path / "x.png"
    done = subprocess.run(
        [sys.executable, "-c", code, str(tests), str(picture)], env=environ, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Pictures cannot be drawn on this machine: ")
    assert "install" in done.stdout
    assert not picture.exists()


def test_loading_the_room_loads_no_graphics() -> None:
    code = (
        "import sys\n"
        "import ribway.viewer.picture, ribway.viewer.window\n"
        "print([name for name in sys.modules if name.split('.')[0] in ('pyvista', 'vtkmodules', 'vtk', 'matplotlib')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_file_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    with pytest.raises(OSError, match="taken"):
        save_png(Image.new("RGB", (4, 4)), tmp_path / "taken")
    assert [found.name for found in tmp_path.iterdir()] == ["taken"]


def test_a_free_name_is_free(tmp_path: Path) -> None:
    first = free_name("Field laboratory / B", tmp_path)
    assert first.name == "Field-laboratory-B-1.png"
    first.touch()
    assert free_name("Field laboratory / B", tmp_path).name == "Field-laboratory-B-2.png"
    assert free_name("///", tmp_path).name == "van-1.png"


def test_whether_there_is_a_screen() -> None:
    assert not has_screen("linux", {})
    assert not has_screen("linux", {"DISPLAY": ""})
    assert has_screen("linux", {"DISPLAY": ":0"})
    assert has_screen("win32", {})


def test_the_whole_van_from_every_side_and_with_metal_cut_away(sample_plan: Plan, tmp_path: Path) -> None:
    """Other sides are other pictures; with walls cut away there is less grey of metal, and as much of the cables' colour."""
    assert tuple(WHOLE_VIEWS) == AROUND
    drawn = {}
    for word, around in WHOLE_VIEWS.items():
        draw_picture(sample_plan, tmp_path / f"{word}.png", around=around, size=(900, 600))
        drawn[word] = np.asarray(Image.open(tmp_path / f"{word}.png").convert("RGB"))
    assert all((one != other).any() for one, other in combinations(drawn.values(), 2))
    draw_picture(sample_plan, tmp_path / "cut.png", cut=("left", "roof", "right", "floor"), size=(900, 600))
    cut = np.asarray(Image.open(tmp_path / "cut.png").convert("RGB"))
    whole = drawn["rear-left"]
    body = (slice(80, 430), slice(40, 600))  # above key and legend

    def grey(pixels: np.ndarray) -> int:
        one = pixels[body].astype(int)
        return int(((one.max(-1) - one.min(-1) < 12) & (one.max(-1) < 235) & (one.max(-1) > 60)).sum())

    def blue(pixels: np.ndarray) -> int:
        """Of the loom on the left; the red of keep-outs goes with the metal that they lie on."""
        one = pixels[body].astype(int)
        return int((one[..., 2] - one[..., 0] > 40).sum())

    assert grey(cut) < 0.7 * grey(whole)
    assert blue(cut) > 0.9 * blue(whole) > 0
    with pytest.raises(NothingToShow, match="no wall 'ceiling'"):
        draw_picture(sample_plan, tmp_path / "x.png", cut=("ceiling",))
