"""The main fuse by hand: load x 1.25 and the next size up (common practice, no source)."""

from ribway.sizing.feeders.main_fuse import main_fuse
from ribway.sizing.feeders.states import Draw, feeder_load
from ribway.sizing.fuse import FuseChoice, NoFuse

INVERTER = Draw("inverter", {"inverter full": 180})
FRIDGE = Draw("fridge", {"parked": 5, "inverter full": 5}, start_a=20)


def test_worst_state_decides():
    """185 A x 1.25 = 231 -> 250 A; the start of 200 A needs no more."""
    chosen = main_fuse(feeder_load([INVERTER, FRIDGE]), 300, 300)
    assert isinstance(chosen.fuse, FuseChoice)
    assert (chosen.fuse.fuse.rating_a, chosen.load_a, chosen.faults) == (250, 185, ())
    assert chosen.because == "185 A while inverter full (parked 5 A, driving 0 A, shore 0 A)"


def test_it_carries_the_start():
    """5 A runs, 20 A start: 20 A and no less."""
    chosen = main_fuse(feeder_load([FRIDGE]), 40, 100)
    assert isinstance(chosen.fuse, FuseChoice)
    assert chosen.fuse.fuse.rating_a == 20
    assert chosen.because.endswith("raised to 16 A so that it carries the start of 20 A")


def test_wire_and_bar_may_be_too_weak():
    load = feeder_load([INVERTER, FRIDGE])
    assert isinstance(main_fuse(load, 240, 300).fuse, NoFuse)
    assert main_fuse(load, 300, 150).faults == (
        "185 A flow while inverter full, the bar may carry 150 A: take a bigger one",
    )
    assert main_fuse(load, 300, 200).faults == ("the 250 A fuse does not protect a bar of 200 A: take a bigger bar",)
    assert main_fuse(load, 300, None).faults == ("what the bar may carry is not known: ask its maker",)
