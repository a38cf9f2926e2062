"""Feeders over the states of the van, converters and solar strings, by hand."""

import itertools
import random

import pytest

from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.feeders.converters import charger_input_a, inverter_input_a
from ribway.sizing.feeders.solar import Panel, solar_run
from ribway.sizing.feeders.states import STATES, Draw, feeder_load


def test_charger_input():
    """40 A at 14.4 V, 0.9, 12.0 V: 576 W / 10.8 V = 53.3 A (first principles)."""
    assert charger_input_a(14.4, 40, 0.9, 12.0) == pytest.approx(53.333, abs=0.001)
    assert round(charger_input_a(14.4, 40, 0.9, 12.0)) == 53
    with pytest.raises(BadNumberError, match=r"0\.9, not 90"):
        charger_input_a(14.4, 40, 90, 12.0)


def test_inverter_input():
    """2000 W at 0.9 from 10.5 V: 211.6 A (first principles)."""
    assert inverter_input_a(2000, 0.9, 10.5) == pytest.approx(211.64, abs=0.01)
    assert inverter_input_a(2000, 0.9, 21.0) == pytest.approx(211.64 / 2, abs=0.01)
    with pytest.raises(BadNumberError, match="lowest input"):
        inverter_input_a(2000, 0.9, 0)


VAN = (
    Draw("lights", {"parked": 6, "driving": 6, "shore": 6, "inverter full": 6}, share=0.5),
    Draw("fridge", {"parked": 5, "driving": 5, "shore": 5, "inverter full": 5}, start_a=12),
    Draw("inverter", {"inverter full": 180}),
    Draw("from the engine", {"driving": 50}, gives=True),
    Draw("from the shore", {"shore": 30}, gives=True),
    Draw("from the sun", {"parked": 20, "driving": 20, "shore": 20, "inverter full": 20}, gives=True),
)


def test_main_fuse_for_the_worst_state():
    """By hand: parked max(8, 20) = 20; driving max(8, 70) = 70; shore 50; inverter full 3 + 5 + 180 = 188."""
    load = feeder_load(VAN)
    assert [one.amps for one in load.states] == [20, 70, 50, 188]
    assert load.worst.state == "inverter full"
    assert load.start_a == 188 - 5 + 12
    assert load.says == "188 A while inverter full (parked 20 A, driving 70 A, shore 50 A)"
    assert feeder_load(VAN[:2] + VAN[3:]).worst.state == "driving"


def test_no_moment_carries_more():
    """Any subset of takers and givers at work sends no more than this between battery and bar (enumeration)."""
    rng = random.Random(2)
    for _ in range(40):
        draws = [
            Draw(f"d{n}", {state: rng.uniform(0, 30) for state in STATES}, gives=rng.random() < 0.4)
            for n in range(rng.randint(1, 6))
        ]
        load = feeder_load(draws)
        for place, state in enumerate(STATES):
            flows = [
                abs(sum((1 if one.gives else -1) * one.amps[state] for one in chosen))
                for count in range(len(draws) + 1)
                for chosen in itertools.combinations(draws, count)
            ]
            assert max(flows) == pytest.approx(load.states[place].amps)


def test_bad_draws_are_refused():
    with pytest.raises(BadNumberError, match="'flying' is not known; accepted: parked, driving, shore, inverter full"):
        Draw("x", {"flying": 1})
    with pytest.raises(BadNumberError, match="diversity"):
        Draw("x", {"parked": 1}, share=0)
    with pytest.raises(SizingError, match="'fridge' is behind the feeder twice"):
        feeder_load([VAN[1], VAN[1]])


PANEL = Panel(22.6, 9.5, 18.6, 9.0, -0.0030, 15)


def test_solar_strings():
    """Two in series at -10 C: 2 x 22.6 x (1 + 0.003 x 35) = 49.95 V; at 70 C 2 x (18.6 - 22.6 x 0.003 x 45) = 31.1 V;
    two strings: 2 x 9.5 x 1.25 = 23.75 A (by hand; NEC 690.8)."""
    run = solar_run(PANEL, 2, 2, -10, 70, 75)
    assert run.cold_open_v == pytest.approx(49.946)
    assert run.working_v == pytest.approx(31.098)
    assert (run.working_a, run.short_a) == (18.0, 23.75)
    assert run.live_ends == ("panels", "controller")
    assert len(run.says) == 1


@pytest.mark.parametrize(("strings", "needs"), [(1, False), (2, False), (3, True)])
def test_string_fuses_where_the_others_drive_more_than_the_label_allows(strings, needs):
    """Two strings: 11.9 A backwards under 15 A; three: 23.75 A (NEC 690.9(A))."""
    assert solar_run(PANEL, 1, strings, 0, 60, 50).string_fuses is needs
    assert solar_run(Panel(22.6, 9.5, 18.6, 9.0, -0.003), 1, strings, 0, 60, 50).string_fuses is needs


def test_too_much_for_the_controller_or_the_hand():
    says = " ".join(solar_run(PANEL, 3, 1, -20, 60, 70).says)
    assert "reaches 77.0 V in the cold, the controller takes 70 V" in says
    assert "above 60 V" in says
    assert "is not known" in " ".join(solar_run(PANEL, 1, 1, 0, 60, None).says)


def test_bad_panels_are_refused():
    with pytest.raises(BadNumberError, match="not per cent"):
        Panel(22.6, 9.5, 18.6, 9.0, -0.3)
    with pytest.raises(BadNumberError, match="check the label"):
        Panel(18.6, 9.5, 22.6, 9.0, -0.003)
    with pytest.raises(BadNumberError, match="in series"):
        solar_run(PANEL, 0, 1, 0, 60, 50)
    with pytest.raises(BadNumberError, match="-60 to 25"):
        solar_run(PANEL, 1, 1, 30, 60, 50)
