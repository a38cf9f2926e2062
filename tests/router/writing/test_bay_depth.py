"""How deep a bay is: the lowest of the members round it bears the lining."""

from __future__ import annotations

from dataclasses import replace

import shapely

from ribway.router.shell.build import build
from ribway.router.shell.parameters import ShellParameters
from ribway.router.space.bays import chart_skins, cut_bays, skin_charts
from ribway.router.writing.shell import _member_prints, bay_depth_m


def test_the_lowest_member_that_bounds_a_bay_decides() -> None:
    """Three ribs of 60, 40 and 50 mm with bays between them: each bay has the lower of its two."""
    ribs = [(depth, shapely.box(x, 0.0, x + 0.05, 1.0)) for x, depth in ((0.0, 0.06), (0.5, 0.04), (1.0, 0.05))]
    assert bay_depth_m(shapely.box(0.051, 0.0, 0.499, 1.0), ribs) == 0.04
    assert bay_depth_m(shapely.box(1.051, 0.0, 1.4, 1.0), ribs) == 0.05
    assert bay_depth_m(shapely.box(-0.4, 0.0, -0.001, 1.0), ribs) == 0.06
    assert bay_depth_m(shapely.box(3.0, 0.0, 4.0, 1.0), ribs) == 0.04, "no member at it: the lowest of the skin"
    assert bay_depth_m(shapely.box(3.0, 0.0, 4.0, 1.0), []) is None


def test_a_low_rib_of_a_real_wall_is_told_of_its_own_bays_alone() -> None:
    shell = build(ShellParameters())
    low = tuple(replace(one, depth_m=0.03) if one.name == "L4" else one for one in shell.members)
    shell = replace(shell, members=low)
    skins = skin_charts(shell, chart_skins(shell), 0.0, None)
    left = next(number for number, one in enumerate(skins) if one.name == "left")
    rib = next(one for one in shell.members if one.name == "L4")
    station = float(rib.mesh.vertices[:, 0].mean())
    prints = _member_prints(shell, skins[left])
    shallow, deep = 0, 0
    for bay in cut_bays(skins, shell, "square", {}):
        if bay.skin != left:
            continue
        ring = skins[left].chart.lift(shapely.get_coordinates(bay.outline.exterior), 0.0)[:, 0]
        beside = abs(ring.min() - station) < 0.06 or abs(ring.max() - station) < 0.06
        assert bay_depth_m(bay.outline, prints) == (0.03 if beside else 0.055)
        shallow, deep = shallow + beside, deep + (not beside)
    assert shallow >= 2
    assert deep >= 4
