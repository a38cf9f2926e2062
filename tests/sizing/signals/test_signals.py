"""Coax, data links, powered buses and fixed leads, by hand and closed forms."""

import math

import pytest

from ribway.sizing.errors import BadNumberError, SizingError, UnknownRuleError
from ribway.sizing.signals.coax import Coax, coax_budget, coax_db_per_m, coax_named
from ribway.sizing.signals.fixed_lead import lead_reach
from ribway.sizing.signals.links import data_link, link_faults
from ribway.sizing.signals.powered_bus import bus_volts

NAMES = ("RG-58", "RG-8X", "RG-213", "RG-174", "low-loss 5 mm", "low-loss 10 mm", "RG-6", "RG-59")


@pytest.mark.parametrize("name", NAMES)
def test_the_line_goes_through_both_stated_losses_and_rises_between_root_and_straight(name):
    """Physics: skin effect with the root of the frequency, dielectric with the frequency; both parts 0 or more."""
    cable = coax_named(name)
    assert 100 * coax_db_per_m(cable, 100) == pytest.approx(cable.db_per_100m_low)
    assert 100 * coax_db_per_m(cable, 1000) == pytest.approx(cable.db_per_100m_high)
    for low, high in ((1, 10), (50, 200), (400, 2400), (1000, 6000)):
        ratio = coax_db_per_m(cable, high) / coax_db_per_m(cable, low)
        assert math.sqrt(high / low) * 0.999 <= ratio <= high / low


def test_rg58_at_400_mhz():
    """Handbook: RG-58 loses about 36 to 40 dB per 100 m at 400 MHz (common practice, no source)."""
    assert 35 < 100 * coax_db_per_m(coax_named("RG-58"), 400) < 40


def test_a_budget_in_decibels():
    """3 dB is half the power (definition: 10^-0.3 = 50.1 %); two plugs of 0.25 dB and 10 m of 0.25 dB/m are 3 dB."""
    cable = Coax("even", 50, 25 * math.sqrt(0.1), 25.0, 10)
    budget = coax_budget(cable, 10, 1000, 3.0, connectors=2, connector_db=0.25)
    assert budget.lost_db == pytest.approx(3.0)
    assert budget.arrives_percent == pytest.approx(50.1, abs=0.05)
    assert budget.longest_m == pytest.approx(10)
    assert budget.holds
    assert not coax_budget(cable, 10.1, 1000, 3.0, connectors=2, connector_db=0.25).holds
    assert coax_budget(cable, 1, 1000, 0.4, connectors=2, connector_db=0.25).longest_m == 0
    with pytest.raises(BadNumberError, match="1 to 6000"):
        coax_db_per_m(cable, 0)
    with pytest.raises(UnknownRuleError, match="accepted: RG-58"):
        coax_named("string")


def test_data_links():
    """IEEE 802.3: 100 m; ISO 11898: 40 m at 1 Mbit/s; marine backbones: drops of 6 m; USB 2: 5 m (memory)."""
    longest = {
        "Ethernet over twisted pair": 100,
        "CAN 1 Mbit/s": 40,
        "USB 2": 5,
        "LIN": 40,
        "marine backbone, mid cable": 200,
    }
    assert {name: data_link(name).longest_m for name in longest} == longest
    assert link_faults("CAN 250 kbit/s", 20, [1, 6, 0.5]) == ()
    faults = link_faults("CAN 1 Mbit/s", 41, [0.2, 0.9])
    assert "41.00 m from end to end; at most 40 m" in faults[0]
    assert "drop 2 is 0.90 m; at most 0.3 m" in faults[1]
    assert "this link has none" in link_faults("USB 2", 2, [1])[0]
    with pytest.raises(UnknownRuleError, match="accepted: CAN"):
        data_link("smoke")


def test_powered_bus():
    """Three devices of 0.2 A, 4 m apart, 0.05 ohm/m: pieces carry 0.6, 0.4, 0.2 A over 0.4 ohm: 0.24, 0.40, 0.48 V."""
    bus = bus_volts(12.0, 0.05, [4, 4, 4], [0.2, 0.2, 0.2], 11.55)
    assert bus.volts == pytest.approx((11.76, 11.60, 11.52))
    assert bus.fails_at == 2
    assert bus_volts(12.0, 0.05, [4, 4, 4], [0.2] * 3, 11.5).fails_at is None
    plugs = bus_volts(12.0, 0.05, [4], [1.0], 9.0, joint_ohm=0.02)
    assert plugs.volts == pytest.approx((12 - 0.4 - 0.02,))
    with pytest.raises(SizingError, match="1 pieces of bus but 2 devices"):
        bus_volts(12, 0.05, [1], [1, 1], 9)


def test_fixed_leads():
    reach = lead_reach("heater control", 6.0, 4.2, 1.0)
    assert reach.reaches
    assert reach.spare_m == pytest.approx(1.8)
    assert reach.says.endswith("coil 1.80 m, do not cut it; there is room for 1.00 m: order a shorter one")
    short = lead_reach("heater control", 4.0, 4.2)
    assert not short.reaches
    assert "0.20 m too short; move a device, never extend it" in short.says
    assert lead_reach("x", 4.2, 4.2).reaches
