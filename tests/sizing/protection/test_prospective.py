"""What a short draws at a board by Ohm's law written out here, and what makes the board's fuses safe."""

import pytest

from ribway.sizing.errors import BadNumberError
from ribway.sizing.protection.prospective import (
    Backing,
    Upstream,
    Way,
    WeakFuse,
    backed_to_a,
    least_ohm_per_m,
    weak_fuses_says,
)

IEC_60228_CLASS5 = {1.0: 19.5, 2.5: 7.98, 6.0: 3.30, 16.0: 1.21, 35.0: 0.554}
"""Greatest ohm/km at 20 deg C, plain (IEC 60228:2004 table 3)."""
BACKING = Backing("class T", 200.0, 5000.0)
MAIN = Upstream("M1", "class T", 150.0, True)


@pytest.mark.parametrize("area", IEC_60228_CLASS5)
def test_no_stock_conducts_better(area):
    """Below what the standard allows at most, and not by more than a sixth: it would be a made-up short."""
    least = 1000.0 * least_ohm_per_m(area)
    assert 0.84 * IEC_60228_CLASS5[area] < least < IEC_60228_CLASS5[area]
    assert least == pytest.approx(17.241 / area, rel=1e-4)  # 1.7241 microohm cm (IEC 60028)


def test_a_short_at_a_board():
    """14.4 V over 5.76 mohm of a battery of 2500 A and 2 x 1.5 m of 16 mm2: 1.616 mohm each."""
    way = Way(14.4, 14.4 / 2500, 2 * 1.5 * least_ohm_per_m(16.0), 16.0)
    assert way.amps == pytest.approx(14.4 / (0.00576 + 3 * 0.017241 / 16), rel=1e-4)
    assert Way(14.4, 14.4 / 2500, 0.0, 0.0).amps == pytest.approx(2500)
    with pytest.raises(BadNumberError):
        least_ohm_per_m(0.0)


def test_only_the_makers_word_makes_a_weak_fuse_safe():
    assert backed_to_a(BACKING, MAIN) == 5000.0
    assert backed_to_a(None, MAIN) == 0.0
    assert backed_to_a(BACKING, None) == 0.0
    assert backed_to_a(BACKING, Upstream("M1", "ANL", 150.0, True)) == 0.0  # another kind
    assert backed_to_a(BACKING, Upstream("M1", "class T", 250.0, True)) == 0.0  # a bigger one
    assert backed_to_a(BACKING, Upstream("M1", "class T", 150.0, False)) == 0.0  # that does not break it itself


def test_the_cure_names_the_cable_that_would_do():
    """3000 A asked down to 1000 A: 14.4 mohm in all, 4.8 there, 9.6 more: 8.9 m of 16 mm2 there and back."""
    way = Way(14.4, 0.0048, 0.0, 16.0)
    weak = [WeakFuse("C1", "blade", 15.0, 1000.0), WeakFuse("C2", "blade", 10.0, 1000.0)]
    message, remedy = weak_fuses_says("Board", way, weak, None, MAIN)
    assert "3000 A" in message
    assert "blade of C1 15 A, C2 10 A breaks 1000 A" in message
    added = float(remedy.split(" m more")[0].split()[-1])
    assert 14.4 / (0.0048 + 2 * added * 0.017241 / 16) == pytest.approx(1000.0, rel=0.01)
    assert "backed_by" in remedy
    assert "class T 150 A of M1" in remedy
    assert "fuse_breaks" in remedy


def test_right_at_the_battery_another_kind_is_the_cure():
    message, remedy = weak_fuses_says(
        "Battery", Way(14.4, 0.0048, 0.0, 0.0), [WeakFuse("M1", "blade", 40.0, 1000.0)], None, None
    )
    assert "cable" not in message
    assert "for M1 ANL or terminal block" in remedy
    assert "backed_by" not in remedy


@pytest.mark.parametrize(
    ("backing", "main", "words"),
    [
        (BACKING, Upstream("M1", "class T", 150.0, False), "breaks the short itself"),
        (Backing("class T", 200.0, 2000.0), MAIN, "beyond the 2000 A stated"),
        (BACKING, Upstream("M1", "ANL", 150.0, True), "class T of 200 A at most, not the ANL 150 A of M1"),
    ],
)
def test_why_a_stated_backing_does_not_hold(backing, main, words):
    way = Way(14.4, 0.0048, 0.0, 16.0)
    assert words in weak_fuses_says("Board", way, [WeakFuse("C1", "blade", 15.0, 1000.0)], backing, main)[1]
