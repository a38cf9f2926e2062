"""Small side steps eased to slants: never longer, never outside, everything else untouched."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from ribway.router.geometry.jogs import eased
from ribway.router.geometry.plane_domain import PlaneDomain

ROOM = PlaneDomain(shapely.box(-1.0, -1.0, 3.0, 2.0))


def long(path: np.ndarray) -> float:
    return float(np.hypot(*np.diff(path, axis=0).T).sum())


def test_a_side_step_between_two_long_legs_by_hand() -> None:
    """Step 0.04: three times that, 0.12, on either side; slant hypot(0.24, 0.04)."""
    path = np.array([[0.0, 0.0], [0.5, 0.0], [0.5, 0.04], [1.5, 0.04]])
    out = eased(path, ROOM, 0.06)
    assert out == pytest.approx(np.array([[0.0, 0.0], [0.38, 0.0], [0.62, 0.04], [1.5, 0.04]]))
    assert long(out) == pytest.approx(0.38 + math.hypot(0.24, 0.04) + 0.88)
    assert path.tolist()[1] == [0.5, 0.0], "the path given is not changed"


@pytest.mark.parametrize(
    ("path", "why"),
    [
        ([[0.0, 0.0], [0.5, 0.0], [0.5, 0.07], [1.5, 0.07]], "the step is longer than the limit"),
        ([[0.0, 0.0], [0.5, 0.0], [0.5, 0.04], [0.0, 0.04]], "both turns are the same way: a U"),
        ([[0.0, 0.0], [0.5, 0.0], [0.5, 0.8]], "one corner alone"),
        ([[0.0, 0.0], [1.0, 0.0]], "straight"),
    ],
)
def test_what_is_no_side_step_stays(path: list[list[float]], why: str) -> None:
    assert eased(np.array(path), ROOM, 0.06).tolist() == path, why


def test_a_slant_that_would_cut_a_corner_of_the_room_is_not_made() -> None:
    ell = PlaneDomain(shapely.box(0.0, 0.0, 1.0, 1.0).difference(shapely.box(0.0, 0.5, 0.5, 1.0)))
    path = np.array([[0.0, 0.45], [0.5, 0.45], [0.5, 0.5], [1.0, 0.5]])
    assert ell.visible(path[:-1], path[1:]).all()
    assert eased(path, ell, 0.06)[1].tolist() != [0.5, 0.45], "here there is room"
    blocked = PlaneDomain(ell.polygon.difference(shapely.box(0.52, 0.0, 0.7, 0.49)))
    assert eased(path, blocked, 0.06).tolist() == path.tolist()


@pytest.mark.parametrize("seed", range(40))
def test_random_staircases_get_no_longer_and_stay_inside(seed: int) -> None:
    rng = np.random.default_rng(seed)
    boxes = [shapely.box(x, y, x + w, y + h) for x, y, w, h in rng.uniform(0.05, 0.35, (4, 4)) * [6, 3, 1, 1]]
    room = shapely.box(-1, -1, 3, 2).difference(shapely.union_all(boxes))
    if not isinstance(room, shapely.Polygon):
        room = max(room.geoms, key=lambda part: part.area)
    domain = PlaneDomain(room)
    steps = rng.choice([0.02, 0.05, 0.3, 0.5, -0.03, -0.2], 9)
    path = np.zeros((10, 2))
    for k, step in enumerate(steps, start=1):
        path[k] = path[k - 1] + (abs(step) if k % 2 else 0.0, 0.0 if k % 2 else step)
    inside = domain.visible(path[:-1], path[1:])
    out = eased(path, domain, 0.06)
    assert out.shape == path.shape
    assert out[0].tolist() == path[0].tolist()
    assert out[-1].tolist() == path[-1].tolist()
    assert long(out) <= long(path) + 1e-12
    if inside.all():
        assert domain.visible(out[:-1], out[1:]).all()
