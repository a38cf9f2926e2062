"""Depth of bays measured on the drawn metal, against the measures that the sample's metal was drawn with."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from ribway.models.plan.plan import Plan
from ribway.router.audit.book import open_book
from ribway.router.audit.depths import check_depths, joined, lower_than
from ribway.router.audit.meshes import triangles_of
from samples.metal import RIB_DEPTH


def metal(plan: Plan, name: str) -> NDArray[np.float64]:
    corners = triangles_of(next(part for part in plan.parts if part.name == name))
    assert corners is not None
    return corners


def test_a_rib_is_as_high_as_it_was_drawn(sample_plan: Plan) -> None:
    members = [part.name for part in sample_plan.parts if part.kind == "member"]
    ribs = joined({name: metal(sample_plan, name) for name in members})
    for bay in sample_plan.bays:
        skin = metal(sample_plan, bay.wall)
        assert lower_than(bay, RIB_DEPTH - 1e-4, skin, ribs) == (), bay.id
        assert len(lower_than(bay, RIB_DEPTH + 1e-4, skin, ribs)) == 1, bay.id


@pytest.mark.parametrize(("slack_m", "told"), [(-0.01, False), (0.0, False), (0.004, False), (0.008, True)])
def test_a_bay_is_never_said_to_be_deeper_than_its_ribs(sample_plan: Plan, slack_m: float, told: bool) -> None:
    bays = tuple(one.model_copy(update={"depth_m": RIB_DEPTH + slack_m}) for one in sample_plan.bays)
    found = list(check_depths(open_book(sample_plan.model_copy(update={"bays": bays}))))
    assert bool(found) == told
    assert {one.code for one in found} <= {"bay-deep"}


def test_a_flange_is_not_taken_for_the_top(sample_plan: Plan) -> None:
    """A hat section: a foot of 20 mm on the skin, then a web, then the top, drawn as three flat strips."""
    bay = next(one for one in sample_plan.bays if one.wall == "left")
    edge_x, y = min(point[0] for point in bay.outline), bay.outline[0][1]

    def strip(x: tuple[float, float], off: tuple[float, float]) -> list[list[tuple[float, float, float]]]:
        a, b, c, d = (
            (x[0], y - off[0], 0.0),
            (x[0], y - off[0], 1.6),
            (x[1], y - off[1], 1.6),
            (x[1], y - off[1], 0.0),
        )
        return [[a, b, c], [a, c, d]]

    steps = (((0.0, 0.02), (0.001, 0.001)), ((0.02, 0.025), (0.001, 0.04)), ((0.025, 0.06), (0.04, 0.04)))
    corners = np.array(
        [one for x, off in steps for one in strip((edge_x - 0.005 - x[0], edge_x - 0.005 - x[1]), off)],
        dtype=np.float64,
    )
    hat = joined({"hat": corners})
    skin = metal(sample_plan, "left")
    assert lower_than(bay, 0.0399, skin, hat) == ()
    assert lower_than(bay, 0.0401, skin, hat) == ("hat",)
