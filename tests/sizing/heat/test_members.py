"""Sections as their runs meet them, by hand; and what the balance says of a loom that the factor forbids or allows."""

import pytest

from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.heat.members import HeatMember, sections_of
from ribway.sizing.heat.section import allowed_amps, hottest_c


def twin(area, insulation=105.0):
    return Conductor(f"{area}", "metric", f"{area}", area, 2, insulation, True)


def test_each_run_sees_the_heat_of_the_others():
    """2.5 mm2: 7.98 mohm/m; 4 mm2: 4.95 mohm/m (IEC 60228): 2 x 64 x 7.98e-3 = 1.021, 2 x 100 x 4.95e-3 = 0.99 W/m."""
    members = [
        HeatMember("a", twin(2.5), 8),
        HeatMember("b", twin(4.0, 90.0), 10),
        HeatMember("spare", twin(1.5, 70.0), 0),
    ]
    sections = sections_of(members, 0.02)
    assert sections["a"].others_w_per_m_20c == pytest.approx(0.99)
    assert sections["b"].others_w_per_m_20c == pytest.approx(1.02144)
    assert sections["spare"].others_w_per_m_20c == pytest.approx(0.99 + 1.02144)
    assert sections["a"].limit_c(105) == 70  # the spare's insulation must stand it too
    assert sections["spare"].limit_c(70) == 70


def test_of_those_never_loaded_together_the_hottest_counts():
    members = [
        HeatMember("fan", twin(2.5), 8, never_with="season"),
        HeatMember("heater", twin(2.5), 9, never_with="season"),
        HeatMember("light", twin(2.5), 1),
    ]
    sections = sections_of(members, 0.02)
    assert sections["light"].others_w_per_m_20c == pytest.approx(2 * 81 * 7.98e-3)
    assert sections["fan"].others_w_per_m_20c == pytest.approx(2 * 1 * 7.98e-3)


def test_all_runs_of_a_section_agree_on_how_hot_it_is():
    """The middle is one place: every equal member, reckoned from its own side, finds the same temperature."""
    members = [HeatMember(f"r{n}", twin(2.5), 9) for n in range(6)]
    sections = sections_of(members, 0.025)
    hot = {hottest_c(section, 40, 7.98e-3, 9) for section in sections.values()}
    assert max(hot) - min(hot) < 1e-9
    assert 40 < max(hot) < 105
    assert all(allowed_amps(section, 40, 7.98e-3, 105) > 9 for section in sections.values())


def test_bad_members_are_refused():
    with pytest.raises(SizingError, match="twice: a, a"):
        sections_of([HeatMember("a", twin(1.0), 1), HeatMember("a", twin(1.0), 1)], 0.01)
    with pytest.raises(BadNumberError, match="loaded cores"):
        HeatMember("a", twin(1.0), 1, -1)
