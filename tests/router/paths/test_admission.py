"""What one opening admits: fill, bodies, plugs, slots, kinds. Rows of tests/data/checks/fill_and_pull.csv by number."""

from __future__ import annotations

import csv
import itertools
import math
import random
from pathlib import Path

import pytest
import shapely
from holes import cable, round_hole, slot

from ribway.router.paths.admission import Item, Separation, admits, body_passes, fill, packs, plugs_pass
from ribway.router.space.types import Way

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "fill_and_pull.csv"
APART = Separation("apart", "together")


def row(case: int) -> dict[str, str]:
    """A row of the checks with its source."""
    with CHECKS.open(encoding="utf-8", newline="") as lines:
        return next(line for line in csv.DictReader(lines) if line["case"] == str(case))


def most(way: Way, size_mm: float) -> int:
    """How many equal cables go through."""
    return max(n for n in range(40) if admits(way, [cable(f"r{k}", size_mm) for k in range(n)], APART))


def test_how_many_wires_a_14_mm_bore_takes() -> None:
    """Row 2 (arithmetic): 2.8 mm: ten are exactly 40 %; 3.4 mm: six."""
    assert row(2)["answer"].startswith("10 (12 would be 48 %); 6; exactly 40 %")
    bore = round_hole(14.0)
    assert most(bore, 2.8) == 10
    assert most(bore, 3.4) == 6
    assert fill(bore, [cable(f"r{k}", 2.8) for k in range(10)]) == pytest.approx(0.4, abs=1e-12)
    assert fill(bore, [cable(f"r{k}", 2.8) for k in range(12)]) == pytest.approx(0.48, abs=1e-12)


def test_a_body_that_passes_where_its_plug_does_not() -> None:
    """Row 3 (common practice): body 6 mm, plug 25 mm, hole 19 mm."""
    assert row(3)["answer"] == "body passes, plug fails"
    item = cable("net", 6.0, plug_mm=25.0)
    assert body_passes(round_hole(19.0), item)
    assert not plugs_pass(round_hole(19.0), [item])
    assert not admits(round_hole(19.0), [item], APART)
    assert admits(round_hole(25.0), [item], APART)


def test_plugs_go_biggest_first_beside_what_is_in() -> None:
    """Plugs of 12 and 10 mm on bodies of 6 and 5 mm. The second one needs 6 + 10 = 16 mm, whoever is named first."""
    big, small = cable("z", 6.0, plug_mm=12.0), cable("a", 5.0, plug_mm=10.0)
    for order in ([big, small], [small, big]):
        assert plugs_pass(round_hole(16.0), order)
        assert not plugs_pass(round_hole(15.9), order)
    bare = [cable(f"b{k}", 4.0) for k in range(3)]
    assert plugs_pass(round_hole(16.0), [*bare, big, small]), "bare cables are pulled after the plugs"
    assert not plugs_pass(round_hole(16.0, taken_m=0.005), [big]), "what is there already stays there"
    assert plugs_pass(round_hole(17.0, taken_m=0.005), [big])


def test_plugs_through_a_slot() -> None:
    """Slot 14 x 40: a plug of 15 is too thick; after bodies of 8 and 7 a plug of 14 needs 8 + 7 + 14 = 29 of length."""
    assert not plugs_pass(slot(14.0, 40.0), [cable("a", 6.0, plug_mm=15.0)])
    three = [cable("a", 8.0, plug_mm=14.0), cable("b", 7.0, plug_mm=14.0), cable("c", 6.0, plug_mm=14.0)]
    assert plugs_pass(slot(14.0, 29.0), three)
    assert not plugs_pass(slot(14.0, 28.9), three)


def test_clear_area_of_a_slot_is_that_of_its_outline() -> None:
    """A stadium: shapely's buffer of the line between the centres of its round ends."""
    outline = shapely.LineString([(0, 0), (0.025, 0)]).buffer(0.008, quad_segs=400)
    assert slot(16.0, 41.0).area_m2 == pytest.approx(outline.area, rel=1e-5)
    flat = shapely.LineString([(0, 0), (0.0056, 0)]).buffer(0.0021, quad_segs=400)
    assert cable("twin", 9.8, 4.2).area_m2 == pytest.approx(flat.area, rel=1e-5)
    pair = cable("pair", 8.0, count=2)
    assert pair.area_m2 == pytest.approx(2 * math.pi * 0.004**2)


@pytest.mark.parametrize(
    ("items", "fits"),
    [
        ([(10.0, 5.0)] * 4, True),  # 4 x 10 = 40 in a row
        ([(9.0, 4.0)] * 5, True),  # two layers, three to a layer, between the round ends: 28 x 12
        ([(13.0, 13.0)], False),  # too thick
        ([(41.0, 5.0)], False),  # too wide
        ([(12.0, 12.0)] * 3, True),
        ([(12.0, 12.0)] * 4, False),  # 48 > 40, and no two in one place
    ],
)
def test_side_by_side_in_a_slot(items: list[tuple[float, float]], fits: bool) -> None:
    way = slot(12.0, 40.0, limit=1.0)
    cables = [cable(f"r{k}", width, thick) for k, (width, thick) in enumerate(items)]
    assert (packs(way, cables) and all(body_passes(way, item) for item in cables)) is fits


def test_flat_cables_that_area_alone_would_let_in() -> None:
    """Row 9: 10.4 x 2 and a round 5.0 in a bore of 10.5 mm are 45.7 % and do not fit; round ones of that area do."""
    assert "10.4 x 2 and a round 5.0 in 10.5 mm is 45.7 % and does not" in row(9)["inputs"] + row(9)["answer"]
    bore = round_hole(10.5, limit=0.5)
    flat = [cable("flat", 10.4, 2.0), cable("round", 5.0)]
    assert fill(bore, flat) == pytest.approx(0.457, abs=5e-4)
    assert all(body_passes(bore, item) for item in flat)
    assert not admits(bore, flat, APART)
    size = 10.5 * math.sqrt(0.457 / 3)
    assert admits(bore, [cable(f"r{k}", size) for k in range(3)], APART)


SHARE = {  # kinds, both sheathed -> allowed under (ac_dc, data_power); AC never beside data, each kind beside its own
    ("ac", "ac"): {"apart/apart": True, "apart/together": True, "sheathed/apart": True, "sheathed/together": True},
    ("dc", "dc"): {"apart/apart": True, "apart/together": True, "sheathed/apart": True, "sheathed/together": True},
    ("data", "data"): {"apart/apart": True, "apart/together": True, "sheathed/apart": True, "sheathed/together": True},
    ("ac", "dc"): {"apart/apart": False, "apart/together": False, "sheathed/apart": True, "sheathed/together": True},
    ("dc", "data"): {"apart/apart": False, "apart/together": True, "sheathed/apart": False, "sheathed/together": True},
    ("ac", "data"): {
        "apart/apart": False, "apart/together": False, "sheathed/apart": False, "sheathed/together": False,
    },
}  # fmt: skip


@pytest.mark.parametrize("kinds", SHARE)
def test_who_may_share_an_opening(kinds: tuple[str, str]) -> None:
    """ABYC E-11 and NEC 552.10(C)(3), by way of the design: AC beside DC only when both are jacketed."""
    for (ac_dc, rule), (data_power, own) in itertools.product(
        (("apart", "apart"), ("together when sheathed", "sheathed")), (("apart", "apart"), ("together", "together"))
    ):
        separation = Separation(ac_dc, data_power)
        one, other = (cable(f"r{k}", 6.0, kind=kind) for k, kind in enumerate(kinds))
        allowed = SHARE[kinds][f"{rule}/{own}"]
        assert separation.allows(one, other) is separation.allows(other, one) is allowed
        assert admits(round_hole(40.0), [one, other], separation) is allowed
        naked = cable("naked", 6.0, kind=kinds[1], sheathed=False)
        if set(kinds) == {"ac", "dc"}:
            assert not separation.allows(one, naked)


def test_shut_and_small_and_taken() -> None:
    one = [cable("r", 6.0)]
    assert admits(round_hole(10.0), one, APART)
    assert not admits(round_hole(10.0, closed="blocked"), one, APART)
    assert not admits(round_hole(9.4), one, APART), "36 / 88.4 = 40.7 %"
    assert not admits(round_hole(12.0, taken_m=0.0065), one, APART), "the bore is 12, both side by side need 12.5"
    assert not admits(round_hole(0.0), one, APART)


@pytest.mark.parametrize("seed", range(60))
def test_whatever_is_admitted_obeys_arithmetic(seed: int) -> None:
    """Necessary conditions, reckoned here: area, widest body, two widest side by side, plug beside the widest before it.
    And: the order in which cables are named never matters, and one cable less is never worse for fill and kinds."""
    rng = random.Random(seed)
    bore = rng.choice((12.0, 16.0, 21.0, 28.0))
    way = round_hole(bore, limit=rng.choice((0.4, 0.5)), taken_m=rng.choice((0.0, 0.0, 0.005)))
    items: list[Item] = []
    for k in range(8):
        size, plug = rng.uniform(3.0, 9.0), rng.choice((0.0, 0.0, rng.uniform(9.0, 16.0)))
        more = [*items, cable(f"r{k}", size, rng.choice((None, size / 2)), plug)]
        if admits(way, more, APART):
            items = more
    assert items or bore == 12.0
    area = sum(math.pi / 4 * i.thickness_m**2 + (i.width_m - i.thickness_m) * i.thickness_m for i in items)
    assert area + math.pi / 4 * way.taken_m**2 <= way.limit * math.pi / 4 * way.bore_m**2 + 1e-12
    thin = sorted((i.thickness_m for i in items), reverse=True)
    if len(thin) > 1:
        assert thin[0] + thin[1] <= way.bore_m + 1e-9
    assert all(i.width_m <= way.bore_m for i in items)
    plugged = sorted((i for i in items if i.plug_m > 0), key=lambda i: -i.plug_m)
    for before, after in itertools.pairwise(plugged):
        assert after.plug_m + before.width_m <= way.bore_m + 1e-9
    for _ in range(3):
        rng.shuffle(items)
        assert admits(way, items, APART)
