"""Single choices whose answer is known beforehand, and what is said when there is none."""

from dataclasses import replace

import pytest

from ribway.sizing.choice import Choice, NoConductor, choose_conductor, stock_order
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.fuse import FuseChoice
from ribway.sizing.rules import rule_set
from ribway.sizing.verdict import passes

CAREFUL = rule_set()
METRIC = tuple(
    Conductor(f"{area:g}", "metric", f"{area:g}", area, 2, 105.0, True)
    for area in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0)
)
COOL = (Stretch("wall", 30, 2),)


def demand(cut_m, amps, limit=3.0, **more):
    return Demand((Leg(cut_m, amps),), more.pop("stretches", COOL), more.pop("nominal_v", 12.0), limit, **more)


def chosen(*args, **more):
    answer = choose_conductor(METRIC, demand(*args, **more), CAREFUL)
    assert isinstance(answer, Choice)
    return answer


def test_drop_decides():
    """voltage_drop.csv rows 14-17: 6 A, 7.5 m, 12 V, 3 %; with class 5 copper at 30 C 4 mm2 fails, 6 passes."""
    choice = chosen(7.5, 6, conductor_temperature_c=20.0)
    assert (choice.verdict.conductor.id, choice.reason) == ("6", "drop")
    drop = choice.verdict.limit("drop")
    assert drop is not None
    # IEC 60228 class 5: 3.30 ohm/km; never cooler than its surroundings, so 30 C: x 1.0393 (IEC 60028).
    assert drop.value == pytest.approx(100 * 2 * 7.5 * 6 * 3.30e-3 * 1.0393 / 12, rel=1e-9)
    assert drop.margin == pytest.approx(3 - drop.value)
    assert choice.below is not None
    assert [limit.name for limit in choice.below.broken] == ["drop"]


def test_hot_is_the_insulation_unless_said():
    """Row 16: at 60 C 0.831 V against 0.718 at 20 C (IEC 60228 class 5, 2.5 mm2)."""
    at_60 = passes(METRIC[4], demand(7.5, 6, conductor_temperature_c=60.0), CAREFUL)
    assert at_60.node_lost_v[0] == pytest.approx(0.831, rel=0.005)
    unsaid = passes(METRIC[4], demand(7.5, 6), CAREFUL)
    assert unsaid.copper_c == 105.0
    assert unsaid.node_lost_v[0] == pytest.approx(0.718 * (1 + 0.00393 * 85), rel=0.005)
    assert unsaid.device_v == pytest.approx(12 - unsaid.node_lost_v[0])


def test_short_run_in_a_full_hot_loom_is_decided_by_fuse_or_ampacity():
    choice = chosen(0.5, 16, stretches=(Stretch("roof loom", 60, 8),))
    assert choice.reason == "fuse window"
    fuse = choice.verdict.fuse
    assert isinstance(fuse, FuseChoice)
    assert fuse.fuse.rating_a == 20
    assert choice.verdict.ampacity.where == "roof loom"
    assert chosen(0.5, 16, fused=False, stretches=(Stretch("roof loom", 60, 8),)).reason == "ampacity"


def test_the_limit_the_size_below_breaks_hardest_is_the_reason():
    """0.75 mm2 (20 AWG, 16 A) at 40 C among 30: 16 x 0.931 x 0.4 = 5.96 A, under a 7.5 A fuse for 6 A: 26 % over.

    Drop at 105 C, 26.0 ohm/km (IEC 60228): 7.5 m loses 26 %, 1 m 3.47 %; allowed 3 %.
    """
    full = (Stretch("trunk", 40, 30),)
    for cut_m, reason in ((7.5, "drop"), (1.0, "fuse window")):
        choice = choose_conductor((METRIC[1], METRIC[7]), demand(cut_m, 6, stretches=full), CAREFUL)
        assert isinstance(choice, Choice)
        assert choice.below is not None
        assert {limit.name for limit in choice.below.broken} == {"ampacity", "fuse window", "drop"}
        assert choice.reason == reason


def test_lowest_volts_may_be_at_a_nearer_node():
    """A thin tail beyond the first node loses more than the rest of the chain."""
    legs = (Leg(1, 2, beyond_v=0.5, beyond_start_v=0.8), Leg(1, 1))
    verdict = passes(METRIC[4], Demand(legs, COOL, 12.0, 10.0, 10.0), CAREFUL)
    first, last = verdict.node_lost_v
    assert first > last
    assert verdict.device_v == pytest.approx(12 - first)
    assert verdict.device_start_v == pytest.approx(12 - first - 0.3)


def test_mechanical_minimum_and_smallest():
    """ISO 10133: 0.75 mm2 in a sheath, 1.0 single."""
    choice = chosen(0.5, 0.1)
    assert (choice.verdict.conductor.id, choice.reason) == ("0.75", "mechanical minimum")
    singles = tuple(replace(wire, sheath=False) for wire in METRIC)
    single = choose_conductor(singles, demand(0.5, 0.1), CAREFUL)
    assert isinstance(single, Choice)
    assert single.verdict.conductor.id == "1"
    first = choose_conductor(METRIC[1:], demand(0.5, 0.1), CAREFUL)
    assert isinstance(first, Choice)
    assert (first.index, first.reason, first.below) == (0, "smallest in stock", None)
    assert chosen(0.5, 0.1, least_area_mm2=2.5).verdict.conductor.id == "2.5"


def test_start_decides_when_it_sags_more():
    choice = choose_conductor(METRIC, Demand((Leg(4, 3, start_a=25),), COOL, 12.0, 10.0, 10.0), CAREFUL)
    assert isinstance(choice, Choice)
    assert choice.reason == "start drop"
    assert choice.verdict.device_start_v < choice.verdict.device_v
    assert choice.verdict.device_start_v >= 12 * 0.9


def test_what_lies_beyond_and_before_counts():
    plain, fed = chosen(3, 5), chosen(3, 5, upstream_v=0.15)
    assert fed.index > plain.index
    beyond = choose_conductor(METRIC, Demand((Leg(3, 5, beyond_v=0.15),), COOL, 12.0, 3.0), CAREFUL)
    assert isinstance(beyond, Choice)
    assert beyond.index == fed.index


def test_a_circuit_of_others_behind_the_same_fuse_asks_for_more_wire():
    assert chosen(0.5, 1, circuit_a=24).verdict.ampacity.derated_a >= 30


def test_sizes_go_up_and_can_be_lowered_again():
    up = choose_conductor(METRIC, demand(0.5, 0.1), CAREFUL, from_index=5)
    assert isinstance(up, Choice)
    assert (up.index, up.reason) == (5, "kept from before")
    assert chosen(0.5, 0.1).index < up.index


def test_when_the_stock_is_too_thin_the_needed_area_is_said():
    answer = choose_conductor(METRIC[:5], demand(7.5, 6, conductor_temperature_c=20.0), CAREFUL)
    assert isinstance(answer, NoConductor)
    assert answer.needed.decided_by == "drop"
    # Row 17: 4.31 mm2 of ideal copper at 20 C; stranded copper at 30 C needs 1.16 x 1.04 more at most.
    assert 4.31 < (answer.needed.area_mm2 or 0) < 4.31 * 1.25
    assert "mm2 or more would be needed (drop)" in answer.needed.says
    assert answer.largest.conductor is METRIC[4]


def test_when_no_copper_helps_it_is_said_why():
    feeder = choose_conductor(METRIC, demand(1, 5, upstream_v=0.4), CAREFUL)
    assert isinstance(feeder, NoConductor)
    assert feeder.needed.area_mm2 is None
    assert "0.4 V of it before: thicken what feeds it" in feeder.needed.says
    for more, said in (
        ({"fixed_loss_v": 0.3, "upstream_v": 0.1}, "0.3 V of it in its fuse, contacts and return"),
        ({"legs": (Leg(1, 5, beyond_v=0.37),)}, "0.37 V of it beyond: thicken what lies behind it"),
    ):
        other = choose_conductor(METRIC, replace(demand(1, 5), **more), CAREFUL)
        assert isinstance(other, NoConductor)
        assert said in other.needed.says
    drop = feeder.largest.limit("drop")
    assert drop is not None
    assert not drop.size_helps
    fuse = choose_conductor(METRIC, demand(1, 20, fuse_a=20.0), CAREFUL)
    assert isinstance(fuse, NoConductor)
    assert (fuse.needed.area_mm2, fuse.needed.decided_by) == (None, "fuse window")
    heat = choose_conductor(METRIC, demand(1, 5, stretches=(Stretch("by the heater", 110, 2),)), CAREFUL)
    assert isinstance(heat, NoConductor)
    assert heat.needed.area_mm2 is None
    assert heat.needed.decided_by == "ampacity"


def test_150_percent_preset_warns_in_the_verdict():
    loose = replace(CAREFUL, fuse_window="33CFR183-150")
    assert passes(METRIC[4], demand(1, 5), CAREFUL).warnings == ()
    (warning,) = passes(METRIC[4], demand(1, 5), loose).warnings
    assert "150 %" in warning


def test_stock_is_kept_in_order():
    mixed = stock_order(METRIC[::-1])
    assert mixed == METRIC
    with pytest.raises(SizingError, match="thin to thick"):
        choose_conductor(METRIC[::-1], demand(1, 1), CAREFUL)
    with pytest.raises(SizingError, match="no stocked cable"):
        choose_conductor((), demand(1, 1), CAREFUL)
    with pytest.raises(SizingError, match="index 10"):
        choose_conductor(METRIC, demand(1, 1), CAREFUL, from_index=10)


def test_demands_that_make_no_sense_are_refused():
    with pytest.raises(SizingError, match="leg"):
        Demand((), COOL, 12.0, 3.0)
    with pytest.raises(SizingError, match="surroundings"):
        Demand((Leg(1, 1),), (), 12.0, 3.0)
    with pytest.raises(BadNumberError, match="nominal"):
        demand(1, 1, nominal_v=0.0)
    with pytest.raises(BadNumberError, match="running current"):
        demand(1, float("inf"))
    with pytest.raises(BadNumberError, match="fuse rating"):
        demand(1, 1, fuse_a=0.0)
    with pytest.raises(BadNumberError, match="way back"):
        Leg(1, 1, return_ohm=-0.1)
