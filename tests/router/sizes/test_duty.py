"""Loads that are on for a while: what lies beside them is warmed less; their own wire, fuse and drop are held as before."""

from __future__ import annotations

import pytest
from electric_vans import circuit, planned, run

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan

WINCH = {"at": {"wall": "left", "back": "1.50 m", "up": "0.9 m"}, "amps": "31 A"}
FEED = {"from": "board", "to": ["winch"], "cable": "2x6", "drop": "20 %"}


def with_winch(**duty: str) -> Plan:
    """A winch of 31 A whose cable leaves the board beside the radio's; heat balance alone."""
    said = {**FEED, "duty": duty} if duty else FEED
    return planned({"winch": WINCH}, {"W": said}, derating="heat")


@pytest.fixture(scope="module")
def steady() -> Plan:
    return with_winch()


@pytest.fixture(scope="module")
def short() -> Plan:
    return with_winch(on="4 s")


def test_what_lies_beside_it_may_carry_more(steady: Plan, short: Plan) -> None:
    assert run(short, "C3").size_name == run(steady, "C3").size_name
    assert (run(short, "C3").derated_a or 0.0) > 1.02 * (run(steady, "C3").derated_a or 0.0)


def test_its_own_wire_fuse_and_drop_are_as_before(steady: Plan, short: Plan) -> None:
    for name in ("W", "main"):
        one, other = circuit(steady, name), circuit(short, name)
        assert (one.fuse_a, one.design_a, one.worst_drop_v) == (other.fuse_a, other.design_a, other.worst_drop_v)
        assert run(short, name).size_name == run(steady, name).size_name
    fuse = circuit(short, "W").fuse_a or 0.0
    assert fuse >= 1.25 * 31.0
    assert (run(short, "W").derated_a or 0.0) >= fuse


def test_hours_are_as_good_as_for_good(steady: Plan) -> None:
    assert run(with_winch(on="2 h", off="1 min"), "C3").derated_a == run(steady, "C3").derated_a


def test_the_audit_reckons_it_anew(short: Plan) -> None:
    """A plan that says less time on than what its amperes were reckoned for is found out."""
    assert short.complete
    forgot = [one.model_copy(update={"on_s": None}) if one.id == "W" else one for one in short.circuits]
    found = audit_plan(short.model_copy(update={"circuits": tuple(forgot)}))
    assert any(one.code == "too-hot" and one.about == "C3" for one in found)
