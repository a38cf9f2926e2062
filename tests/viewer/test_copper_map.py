"""The copper map: even colours, tiles where places are, the best ones marked."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.copper_map import BEST, SIDES, CopperMap, MarkedPlace, draw_copper_map, seen_walls, tiles
from ribway.viewer.errors import NothingToShow
from ribway.viewer.even_scale import even_colour, shares_of
from ribway.viewer.views import OVERVIEW
from samples.van import van_plan


@pytest.fixture(scope="module")
def plan() -> Plan:
    return van_plan()


@pytest.fixture(scope="module")
def made() -> CopperMap:
    """Places on the left wall and on the floor; the more to the rear the more copper, and one that cannot be."""
    wall = [(-x, 0.86, z) for x in np.arange(0.5, 3.0, 0.2) for z in np.arange(0.4, 1.4, 0.2)]
    floor = [(-x, y, 0.02) for x in np.arange(0.5, 3.0, 0.2) for y in np.arange(-0.4, 0.5, 0.2)]
    points = np.array([*wall, *floor])
    kg = 5.0 - points[:, 0]
    kg[3] = np.nan
    walls = ("left",) * len(wall) + ("floor",) * len(floor)
    return CopperMap("Fuse board", points, walls, kg, 0.2, (MarkedPlace(0, "left, 0.50 m back"),), "a bound")


def lightness(colour: str) -> float:
    """CIE 1976 L* of an sRGB colour (IEC 61966-2-1; CIE 15)."""
    coded = np.array(palette.rgb_of(colour)) / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    share = float(linear @ [0.2126, 0.7152, 0.0722])
    return 116.0 * share ** (1 / 3) - 16.0 if share > 216 / 24389 else share * 24389 / 27


def test_the_scale_grows_lighter_in_even_steps() -> None:
    """Equal steps of an even scale are equal steps of lightness, so that greyscale prints and colour-blind eyes keep it."""
    steps = np.diff([lightness(even_colour(share)) for share in np.linspace(0.0, 1.0, 11)])
    assert (steps > 0.0).all()
    assert steps.max() < 1.5 * steps.mean()
    assert steps.min() > 0.5 * steps.mean()
    assert even_colour(-1.0) == even_colour(0.0) == "#440154"
    assert even_colour(2.0) == even_colour(1.0) == "#fde725"


def test_shares_lie_between_the_least_and_the_greatest() -> None:
    assert shares_of([3.0, 1.0, 2.0]) == [1.0, 0.0, 0.5]
    assert shares_of([2.0, 2.0]) == [0.0, 0.0]
    assert shares_of([]) == []


def test_each_place_is_a_square_of_the_step_on_its_skin(made: CopperMap) -> None:
    for wall, axis in (("left", 1), ("floor", 2)):
        drawn = tiles(made, (wall,))
        assert [at for _, _, at in drawn] == [
            at for at, name in enumerate(made.walls) if name == wall and np.isfinite(made.kg[at])
        ]
        for corners, _, at in drawn:
            assert np.allclose(corners.mean(axis=0), made.points[at])
            assert np.ptp(corners[:, axis]) < 1e-9
            sides = [float(np.linalg.norm(b - a)) for a, b in pairwise(corners)]
            assert sides == pytest.approx([0.92 * 0.2] * 3)
    colours = {at: colour for _, colour, at in tiles(made, ("left", "floor"))}
    assert colours[int(np.nanargmin(made.kg))] == even_colour(0.0)
    assert colours[int(np.nanargmax(made.kg))] == even_colour(1.0)


def test_a_wall_is_coloured_only_from_where_its_inside_is_seen(made: CopperMap) -> None:
    assert seen_walls(made, OVERVIEW) == ("floor",)
    assert seen_walls(made, "other side") == ("left", "floor")
    assert seen_walls(made, "above") == ()
    on_roof = replace(made, walls=("roof",) * len(made.walls))
    assert [seen_walls(on_roof, side) for side in SIDES] == [(), (), ("roof",)]


def test_a_map_on_disk(plan: Plan, made: CopperMap, tmp_path: Path) -> None:
    draw_copper_map(plan, made, tmp_path / "map.png", size=(1000, 700))
    with Image.open(tmp_path / "map.png") as image:
        pixels = np.asarray(image.convert("RGB")).astype(int)
    assert pixels.shape == (700, 1000, 3)
    assert np.count_nonzero((pixels == palette.rgb_of(BEST)).all(axis=2)) > 30
    in_van = pixels[80:520]
    coloured = np.ptp(in_van, axis=2) > 60
    assert np.count_nonzero(coloured) > 4000
    nowhere = CopperMap("Fuse board", made.points, made.walls, np.full(len(made.points), np.nan), 0.2, (), "")
    with pytest.raises(NothingToShow, match="Fuse board can stand at none of the 130 places"):
        draw_copper_map(plan, nowhere, tmp_path / "x.png")
    assert [found.name for found in tmp_path.iterdir()] == ["map.png"]
