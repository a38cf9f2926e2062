"""Currents, drop and grouping of the audit in cases worked by hand."""

from __future__ import annotations

import math

import pytest

from ribway.models.plan.plan import Plan
from ribway.router.audit.apart import may_lie_together
from ribway.router.audit.book import open_book
from ribway.router.audit.check import audit_plan
from ribway.router.audit.currents import Currents
from ribway.router.audit.drop import Drops, hot_ohm
from ribway.router.audit.surroundings import least_share, stretches
from samples.spoilt.changes import change, rules, section, take

AIR = math.sqrt((60 - 40) / (60 - 30))  # NEC 310.15(B), 60 C insulation in 40 C air


def beside(plan: Plan, amps: float) -> Plan:
    """The report made a DC run of 0.5 mm2 beside the fridge's 5 A in 2.5 mm2."""
    plan = change(plan, "runs", "report-1", kind="dc", design_a=amps)
    return section(plan, "left", 1, loaded_conductors=4)


def share(plan: Plan, run: str) -> float:
    book = open_book(plan)
    return least_share(book, book.runs[run], stretches(book)[run])


def test_a_light_neighbour_does_not_count_but_counts_itself(sample_plan: Plan) -> None:
    """BS 7671 523.5: 0.5 mm2 counts as 22 AWG, 4 A; x 0.816 x 0.6 = 1.96 A grouped; 30 % of it is 0.588 A.

    The light one may be left out when the other's rating is found; its own group still has both.
    """
    light, heavy = beside(sample_plan, 0.58), beside(sample_plan, 0.60)
    assert share(light, "fridge-1") == pytest.approx(AIR)
    assert share(light, "report-1") == pytest.approx(0.6 * AIR)
    assert share(heavy, "fridge-1") == pytest.approx(0.6 * AIR)


def test_data_and_spares_warm_nobody(sample_plan: Plan) -> None:
    assert share(sample_plan, "fridge-1") == pytest.approx(AIR)
    assert share(change(beside(sample_plan, 0.6), "runs", "report-1", purpose="spare"), "fridge-1") == pytest.approx(
        AIR
    )


def test_the_bundle_rule_is_the_plans(sample_plan: Plan) -> None:
    heavy = beside(sample_plan, 5.0)
    assert share(rules(heavy, bundle_rule="NEC"), "fridge-1") == pytest.approx(0.8 * AIR)
    assert share(rules(heavy, bundle_rule="none"), "fridge-1") == pytest.approx(AIR)


def test_shared_legs_count_even_if_the_loom_forgets_them(sample_plan: Plan) -> None:
    """The report is taken out of the section, but both pass the same hole in the same loom."""
    forgotten = section(beside(sample_plan, 5.0), "left", 1, runs=("fridge-1",))
    assert share(forgotten, "fridge-1") == pytest.approx(0.6 * AIR)


@pytest.mark.parametrize("kind", ["board", "joint", "switch", "controller"])
def test_what_makes_no_power_passes_it_on(sample_plan: Plan, kind: str) -> None:
    plan = change(sample_plan, "devices", "board", kind=kind) if kind != "board" else sample_plan
    assert [one for one in audit_plan(plan) if one.level == "error"] == []


@pytest.mark.parametrize("kind", ["source", "inverter", "charger"])
def test_what_makes_its_own_power_does_not(sample_plan: Plan, kind: str) -> None:
    """Then nothing is drawn through the main, and the fridge's drop begins there."""
    found = {(one.code, one.about) for one in audit_plan(change(sample_plan, "devices", "board", kind=kind))}
    assert {("current", "main-1"), ("upstream-drop", "fridge"), ("drop", "fridge-1")} <= found


def test_starting_currents(sample_plan: Plan) -> None:
    """5 A runs and 10 A starts at the fridge, so also at the board that feeds nothing else."""
    currents = Currents(open_book(sample_plan))
    assert currents.drawn("fridge", "dc") == (5.0, 10.0)
    assert currents.circuit(take(sample_plan, "circuits", "main")) == (5.0, 10.0)


def test_drop_by_hand(sample_plan: Plan) -> None:
    """IEC 60228 class 5 at 60 C: 5 A x 2 x (1.6 m x 1.21 + 2.45 m x 7.98 mohm/m) x (1 + 0.00393 x 40)."""
    volts = Drops(open_book(sample_plan), starting=False).run_v(take(sample_plan, "runs", "fridge-1"))
    assert volts == pytest.approx(10 * (1.6 * 1.21e-3 + 2.45 * 7.98e-3) * 1.1572)
    start = Drops(open_book(sample_plan), starting=True).run_v(take(sample_plan, "runs", "fridge-1"))
    assert start == pytest.approx(2 * volts)


def test_copper_is_never_cooler_than_its_air(sample_plan: Plan) -> None:
    cold = open_book(rules(sample_plan, conductor_temperature_c=20.0))
    assert hot_ohm(cold, cold.runs["fridge-1"]) == pytest.approx(7.98e-3 * (1 + 0.00393 * 20))


@pytest.mark.parametrize(
    ("ac_dc", "forms", "together"),
    [
        ("apart", ("round", "flat"), False),
        ("together when sheathed", ("round", "flat"), True),
        ("together when sheathed", ("round", "single"), False),
        ("together when sheathed", ("single", "flat"), False),
    ],
)
def test_ac_beside_dc(sample_plan: Plan, ac_dc: str, forms: tuple[str, str], together: bool) -> None:
    """ABYC E-11, NEC 552.10(C)(3): jacketed cables may lie side by side."""
    plan = rules(sample_plan, ac_dc=ac_dc)
    plan = plan.model_copy(
        update={
            "cables": tuple(
                one.model_copy(update={"form": {"round-3x1.5": forms[0], "flat-2x2.5": forms[1]}.get(one.id, one.form)})
                for one in plan.cables
            )
        }
    )
    book = open_book(plan)
    assert may_lie_together(book, book.runs["outlet-1"], book.runs["fridge-1"]) is together
    assert may_lie_together(book, book.runs["outlet-1"], book.runs["report-1"]) is False
