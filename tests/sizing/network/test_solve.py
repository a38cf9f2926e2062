"""Networks whose answer is known: closed forms and tests/data/checks/voltage_drop.csv; and what is said of bad ones."""

import math
from dataclasses import replace

import pytest

from ribway.sizing.errors import NoOperatingPointError, NotRadialError, SizingError
from ribway.sizing.network.devices import device_volts
from ribway.sizing.network.layouts import body_return, chain, conductor_ohm, pair, switch_leg, two_way
from ribway.sizing.network.parts import Load, Network, Piece, Source, Switch
from ribway.sizing.network.solve import solve_network

COPPER = 0.017241  # IEC 60028


def ohm(area, metres):
    return conductor_ohm(COPPER / area, metres)


def lost(network, load, nominal=12.0):
    return nominal - solve_network(network).loads[load].volts


def test_feeder_and_branch_with_fuse_and_joints():
    """voltage_drop.csv row 19: 0.259 + 0.552 + 0.070 = 0.880 V. The feeder carries 60 A, 8 of them for the branch."""
    feeder, branch = pair("feeder", "", "board", ohm(16, 2)), pair("branch", "board", "lamp", ohm(2.5, 5))
    branch = (replace(branch[0], fixed_v=0.030 + 2 * 0.020), branch[1])
    loads = (Load("lamp", "lamp+", "lamp-", "amps", 8), Load("rest", "board+", "board-", "amps", 52))
    network = Network(Source(12.0), (*feeder, *branch), loads)
    assert lost(network, "lamp") == pytest.approx(0.880, abs=0.0015)
    assert solve_network(network).piece_amps["feeder+"] == pytest.approx(60)


def test_unequal_cores():
    """Row 20: positive 6 mm2, negative 1.5 mm2, 10 A, 5 m: 0.718 V; both 6: 0.287 V."""
    for back, expected in ((1.5, 0.718), (6, 0.287)):
        pieces = pair("run", "", "x", ohm(6, 5), ohm(back, 5))
        assert lost(Network(Source(12.0), pieces, (Load("x", "x+", "x-", "amps", 10),)), "x") == pytest.approx(
            expected, abs=0.0005
        )


def test_eight_lamps_in_a_chain():
    """Row 21: drop at each."""
    places = [f"l{n}" for n in range(8)]
    pieces = chain("lamps", "", places, [ohm(0.75, 3.0)] + [ohm(0.75, 1.2)] * 7)
    loads = tuple(Load(place, f"{place}+", f"{place}-", "amps", 0.3) for place in places)
    solved = solve_network(Network(Source(12.0), pieces, loads))
    printed = [0.331, 0.447, 0.546, 0.629, 0.695, 0.745, 0.778, 0.794]
    assert [12 - solved.loads[place].volts for place in places] == pytest.approx(printed, abs=0.0006)


def test_switch_leg():
    """Row 22: loop 12.4 m, 0.428 V; and nothing when it is off."""
    for on in (True, False):
        pieces, switch = switch_leg("leg", "", "lamp", ohm(1, 4 + 1.4), ohm(1, 1.4 + 0.8), ohm(1, 4.8), on=on)
        network = Network(Source(12.0), pieces, (Load("lamp", "lamp+", "lamp-", "amps", 2),), (switch,))
        solved = solve_network(network)
        assert solved.loads["lamp"].fed is on
        assert solved.loads["lamp"].volts == pytest.approx(12 - 0.428 if on else 0.0, abs=0.0005)
        assert solved.source_a == (2 if on else 0)
    assert device_volts(network)[0].says == "lamp: switched off"


@pytest.mark.parametrize("stand", [(0, 0), (0, 1), (1, 0), (1, 1)])
def test_two_way_switching(stand):
    """On when both stand at the same traveller; the drop is of that traveller (closed form)."""
    pieces, switches = two_way("stair", "", "lamp", 0.02, (0.05, 0.08), 0.01, 0.03, stand)
    network = Network(Source(12.0), pieces, (Load("lamp", "lamp+", "lamp-", "amps", 3),), switches)
    at = solve_network(network).loads["lamp"]
    assert at.fed is (stand[0] == stand[1])
    if at.fed:
        assert at.volts == pytest.approx(12 - 3 * (0.02 + (0.05, 0.08)[stand[0]] + 0.01 + 0.03))


def test_constant_power_on_one_loop():
    """Row 18: 72 W, 12.0 V, 0.10345 ohm: 11.343 V, 6.347 A."""
    network = Network(Source(12.0), pair("run", "", "x", 0.10345 / 2), (Load("x", "x+", "x-", "watts", 72),))
    at = solve_network(network).loads["x"]
    assert (at.volts, at.amps) == (pytest.approx(11.343, abs=0.0005), pytest.approx(6.347, abs=0.001))


def test_the_most_power_two_places_can_have():
    """Maximum power transfer: V^2/4R = 72 W through 0.5 ohm; just under it is solved, just over it refused in words."""

    def fed(watts):
        pieces = (*pair("run", "", "x", 0.125), Piece("joint", "x+", "y+", 0.25))
        return solve_network(Network(Source(12.0), pieces, (Load("pump", "y+", "x-", "watts", watts),))).loads["pump"]

    assert fed(71.999).volts == pytest.approx(6, abs=0.03)
    assert fed(71.999).volts > 6
    with pytest.raises(NoOperatingPointError, match=r"72.1 W .*at 72 W load 'pump'.*collapses; take thicker"):
        fed(72.1)


def test_resistance_of_the_source_and_a_heater_divide_the_voltage():
    """Closed form: V R/(R + Ri + loop)."""
    network = Network(Source(12.8, 0.01), pair("run", "", "h", 0.02), (Load("h", "h+", "h-", "ohms", 1.2),))
    solved = solve_network(network)
    assert solved.loads["h"].volts == pytest.approx(12.8 * 1.2 / (1.2 + 0.01 + 0.04))
    assert solved.source_v == pytest.approx(12.8 * (1.2 + 0.04) / (1.2 + 0.01 + 0.04))


def test_a_shared_return_couples_its_loads():
    """Two loads on positives of their own and one negative of 0.1 ohm: each loses (Ia + Ib) 0.1 there."""
    pieces = (Piece("a", "+", "a+", 0.02), Piece("b", "+", "b+", 0.03), Piece("back", "both-", "-", 0.1))
    loads = (Load("la", "a+", "both-", "amps", 4), Load("lb", "b+", "both-", "amps", 6))
    network = Network(Source(12.0), pieces, loads)
    assert lost(network, "la") == pytest.approx(4 * 0.02 + 10 * 0.1)
    assert lost(network, "lb") == pytest.approx(6 * 0.03 + 10 * 0.1)
    assert solve_network(network).piece_amps["back"] == pytest.approx(10)


def test_return_through_the_body_with_its_joints():
    """10 A: lead 3 mohm, body 2 mohm, two joints of 5 mohm, positive 20 mohm: 0.35 V."""
    back = body_return("pump.back", "pump", "-", 0.003, 0.002, [0.005, 0.005])
    network = Network(
        Source(12.0), (Piece("pump+", "+", "pump+", 0.02), *back), (Load("pump", "pump+", "pump-", "amps", 10),)
    )
    assert lost(network, "pump") == pytest.approx(0.35)
    with pytest.raises(SizingError, match="measure it between the two earth points"):
        body_return("pump.back", "pump", "-", 0.003, None, [])


def test_the_fridge_cuts_out_while_the_pump_starts():
    """Closed form: 0.05 ohm shared loop; fridge 5 A, pump 4 A starting 20 A, battery 11.5 V."""
    pieces = pair("feed", "", "board", 0.025)
    fridge = Load("fridge", "board+", "board-", "amps", 5, start_a=9, cut_out_v=10.4)
    pump = Load("pump", "board+", "board-", "amps", 4, start_a=20)
    one_by_one = device_volts(Network(Source(11.5), pieces, (fridge, pump)))
    assert one_by_one[0].running_v == pytest.approx(11.5 - 9 * 0.05)
    assert one_by_one[0].lowest_v == pytest.approx(11.5 - 25 * 0.05)
    assert one_by_one[0].lowest_when == "pump"
    assert one_by_one[0].stays_on is False
    assert one_by_one[0].says == "fridge: 11.05 V running, 10.25 V while pump starts; cuts out below 10.4 V"
    assert one_by_one[1].stays_on is None
    together = device_volts(Network(Source(11.5), pieces, (fridge, pump)), together=True)
    assert together[0].lowest_v == pytest.approx(11.5 - 29 * 0.05)


def test_a_start_that_collapses_the_voltage_is_named():
    """An inverter of 500 W lives on 0.06 ohm; 80 A more leave 12 - 4.8 = 7.2 V, which delivers 7.2^2/(4 x 0.06) = 216 W."""
    pieces = pair("feed", "", "board", 0.03)
    loads = (
        Load("inverter", "board+", "board-", "watts", 500),
        Load("winch", "board+", "board-", "amps", 1, start_a=80),
    )
    assert device_volts(Network(Source(12.0), pieces, loads[:1]))[0].running_v > 6
    with pytest.raises(NoOperatingPointError, match="while winch starts: 500 W of constant power"):
        device_volts(Network(Source(12.0), pieces, loads))


def test_heaters_near_a_shared_return_may_gain_from_a_load():
    """A load elsewhere lowers what a heater draws, so a third device on the heater's return sees more: Kirchhoff by hand."""
    pieces = (Piece("p", "+", "p", 1.0), Piece("n", "n", "-", 0.5))
    heater, third = Load("heater", "p", "n", "ohms", 0.5), Load("third", "+", "n", "amps", 0.0)
    pull = Load("pull", "p", "-", "amps", 3.0)
    base = solve_network(Network(Source(12.0), pieces, (heater, third))).loads["third"].volts
    with_pull = solve_network(Network(Source(12.0), pieces, (heater, third, pull))).loads["third"].volts
    assert base == pytest.approx(12 - 12 / 2.0 * 0.5)
    assert with_pull == pytest.approx(12 - (12 - 3.0) / 2.0 * 0.5)


RUN = pair("run", "", "x", 0.01)
LAMP = Load("lamp", "x+", "x-", "amps", 1)


@pytest.mark.parametrize(
    ("pieces", "loads", "switches", "says"),
    [
        ((*RUN, Piece("r1", "x+", "y", 0.1), Piece("r2", "y", "+", 0.1)), (LAMP,), (), "'run[+]'.*form a ring that closes"),
        ((*RUN, Piece("twice", "+", "x+", 0.1)), (LAMP,), (), "'twice', 'run[+]' form a ring"),
        ((*RUN, Piece("oops", "x+", "x-", 0.1)), (LAMP,), (), "'run[+]', 'oops', 'run-' join .* dead short"),
        ((*RUN, Piece("self", "x+", "x+", 0.1)), (LAMP,), (), "'self' begins and ends at node 'x[+]'"),
        (RUN, (Load("lamp", "x-", "x+", "amps", 1),), (), "'x-' lies on the negative side; swap"),
        (RUN, (Load("lamp", "x+", "+", "amps", 1),), (), "'[+]' lies on the positive side; swap"),
        (RUN, (Load("lamp", "q", "x-", "amps", 1),), (), "no wire leads from its positive end 'q'"),
        ((RUN[0],), (LAMP,), (), "no wire leads from its negative end 'x-'"),
        (RUN, (LAMP,), (Switch("s", "+", ("x+",), "x+"),), "'s', 'run[+]' form a ring"),
    ],
)  # fmt: skip
def test_what_is_not_radial_is_refused_in_words(pieces, loads, switches, says):
    with pytest.raises(NotRadialError, match=says):
        solve_network(Network(Source(12.0), tuple(pieces), tuple(loads), tuple(switches)))


def test_currents_no_wire_can_carry_are_refused():
    with pytest.raises(NoOperatingPointError, match="'x' would be left with -8 V"):
        solve_network(Network(Source(12.0), pair("run", "", "x", 0.5), (Load("x", "x+", "x-", "amps", 20),)))


def test_bad_parts_are_refused():
    with pytest.raises(SizingError, match="there twice"):
        Network(Source(12.0), (RUN[0], RUN[0]), ())
    with pytest.raises(SizingError, match="stands at 'z'"):
        Switch("s", "a", ("b",), "z")
    with pytest.raises(SizingError, match="'pounds'; accepted: amps, watts, ohms"):
        Load("x", "a", "b", "pounds", 1)
    with pytest.raises(SizingError, match="resistance of 'w'"):
        Piece("w", "a", "b", math.nan)
    with pytest.raises(SizingError, match="both terminals"):
        Source(12.0, plus="a", minus="a")
    with pytest.raises(SizingError, match="2 places but 1"):
        chain("c", "", ["a", "b"], [0.1])
    with pytest.raises(SizingError, match="each stands at 0 or 1"):
        two_way("t", "", "x", 0, (0, 0), 0, 0, (0, 2))


def test_a_network_without_loads_rests():
    solved = solve_network(Network(Source(12.0), RUN, ()))
    assert (solved.source_a, solved.source_v, solved.node_v["x+"]) == (0, 12, 12)
