"""The negative side: chassis and shared returns, their volts by pencil, and what is refused in words."""

from __future__ import annotations

from typing import Any

import pytest
from negative_vans import AMPS, BODY_OHM, CONTACT_OHM, negative_plan

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.router.audit.check import audit_plan
from samples.spoilt.changes import Spoilt, take
from samples.spoilt.negatives import CHASSIS, SHARED

OHM_PER_KM_20C = {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21}
"""Source: IEC 60228:2004 table 3, class 5, plain copper."""


def _ohm(plan: Plan, run: PlanRun) -> float:
    """One core from end to end, hot: twin cables of the stock bear 90 C, singles 70 C (alpha of copper, IEC 60028)."""
    hot_c = next(one.insulation_c for one in plan.cables if one.id == run.cable)
    cold = OHM_PER_KM_20C[run.conductor_area_mm2] / 1000.0
    return cold * (1.0 + 0.00393 * (hot_c - 20.0)) * run.cut_m


def _main_v(plan: Plan) -> float:
    run = take(plan, "runs", "main")
    return 2.0 * _ohm(plan, run) * sum(AMPS.values())


def test_a_chassis_return_counts_lead_body_and_bond() -> None:
    plan = negative_plan("chassis")
    bond = take(plan, "runs", "B")
    for name, load in (("P", "pump"), ("F", "fan"), ("U", "usb")):
        there, lead = take(plan, "runs", f"{name}-1"), take(plan, "runs", f"{name}-2")
        assert (there.from_, there.to, lead.from_, lead.to) == ("board", load, load, "rear-earth")
        assert (there.wire_functions, lead.wire_functions, lead.role) == (("positive",), ("negative",), "return")
        assert (there.cores, lead.cores, there.pieces) == (1, 1, 1)
        assert lead.design_a == there.design_a == AMPS[load]
        lost = _main_v(plan) + AMPS[load] * (_ohm(plan, there) + _ohm(plan, lead) + BODY_OHM)
        lost += sum(AMPS.values()) * _ohm(plan, bond)
        assert lead.drop_v == pytest.approx(lost, abs=2e-3)
        assert take(plan, "circuits", name).worst_drop_v == lead.drop_v
    assert take(plan, "circuits", "B").design_a == sum(AMPS.values())
    assert take(plan, "circuits", "B").start_a == sum(AMPS.values()) + 3.0, "the pump takes 3 A more while it starts"
    assert [one.about for one in plan.findings if one.code == "body-not-measured"] == ["P, F, U"]


def test_a_shared_negative_is_sized_for_the_sum() -> None:
    plan = negative_plan("shared")
    negative = take(plan, "circuits", "board.negative")
    runs = [take(plan, "runs", name) for name in negative.runs]
    assert runs[0].design_a == sum(AMPS.values()) == negative.design_a
    assert all(run.wire_functions == ("negative",) for run in runs)
    assert negative.fuse_a is None
    fuses = sum(take(plan, "circuits", name).fuse_a for name in ("P", "F", "U"))
    assert all(run.derated_a is not None and run.derated_a >= fuses for run in runs), "what all fuses let through"
    beyond = list(AMPS)
    back = 0.0
    lost_back: dict[str, float] = {}
    for run in runs:
        back += _ohm(plan, run) * sum(AMPS[load] for load in beyond)
        lost_back[run.to] = back
        beyond.remove(run.to)
    for name, load in (("P", "pump"), ("F", "fan"), ("U", "usb")):
        run = take(plan, "runs", name)
        lost = _main_v(plan) + AMPS[load] * _ohm(plan, run) + lost_back[load]
        assert run.drop_v == pytest.approx(lost, abs=2e-3)


@pytest.mark.parametrize("back", ["chassis", "shared"])
def test_a_joint_in_a_one_core_run_counts_one_contact(back: str) -> None:
    plan = negative_plan(back, True)
    first, second = (take(plan, "runs", name) for name in ("P-1", "P-2"))
    assert (first.to, second.from_, second.to) == ("plug", "plug", "pump")
    there = _main_v(plan) + AMPS["pump"] * (_ohm(plan, first) + CONTACT_OHM)
    assert first.drop_v == pytest.approx(there, abs=2e-3)
    assert take(plan, "circuits", "P").worst_drop_v > there + AMPS["pump"] * _ohm(plan, second)
    assert [one for one in audit_plan(plan) if one.level == "error"] == []


def test_the_feeder_carries_each_load_once() -> None:
    for back in ("wired", "chassis", "shared"):
        assert take(negative_plan(back), "circuits", "main").design_a == sum(AMPS.values())


@pytest.mark.parametrize("back", ["wired", "chassis", "shared"])
def test_the_audit_passes_each_return(back: str) -> None:
    plan = negative_plan(back)
    assert [one for one in audit_plan(plan) if one.level == "error"] == []
    assert plan.complete


@pytest.mark.parametrize("spoilt", CHASSIS, ids=[f"{index}-{one.code}" for index, one in enumerate(CHASSIS)])
def test_the_audit_finds_a_wrong_chassis_return(spoilt: Spoilt) -> None:
    found = audit_plan(spoilt.make(negative_plan("chassis")))
    assert (spoilt.level, spoilt.code, spoilt.about) in {(one.level, one.code, one.about) for one in found}


@pytest.mark.parametrize("spoilt", SHARED, ids=[f"{index}-{one.code}" for index, one in enumerate(SHARED)])
def test_the_audit_finds_a_wrong_shared_negative(spoilt: Spoilt) -> None:
    found = audit_plan(spoilt.make(negative_plan("shared")))
    assert (spoilt.level, spoilt.code, spoilt.about) in {(one.level, one.code, one.about) for one in found}


def _data(circuits: list[dict[str, Any]], earth: dict[str, Any] | None = None, **shop: Any) -> dict[str, Any]:
    wall = {"wall": "left", "back": "1 m", "up": "0.4 m"}
    point = {"id": "E", "name": "Earth", "kind": "earth point", "at": wall, **(earth or {})}
    return {
        "ribway": 1,
        "name": "van",
        "vehicle": {"preset": "medium-high"},
        "shop": shop,
        "devices": [
            {"id": "S", "name": "Battery", "kind": "source", "at": wall},
            {"id": "B", "name": "Board", "kind": "board", "at": wall},
            {"id": "L", "name": "Lamp", "at": wall, "amps": "1 A"},
            {"id": "M", "name": "Motor", "at": wall, "amps": "1 A"},
            point,
        ],
        "circuits": [{"id": "main", "name": "Main", "from": "S", "to": ["B"]}, *circuits],
    }


LAMP: dict[str, Any] = {"id": "C", "name": "C", "from": "B", "to": ["L"]}
BOND: dict[str, Any] = {"id": "bond", "name": "Bond", "from": "S", "to": ["E"], "pattern": "bond"}
ALLOWED = {"allowed_by_maker": True}


@pytest.mark.parametrize(
    ("circuits", "earth", "shop", "words"),
    [
        (
            [{**LAMP, "return": "chassis"}],
            None,
            {},
            "chassis return is refused: nobody says that the vehicle maker allows",
        ),
        ([LAMP], None, {"return": "chassis"}, "chassis return is refused: nobody says that the vehicle maker allows"),
        ([{**LAMP, "return": "chassis"}], ALLOWED, {}, "chassis return needs a bond"),
        (
            [{**LAMP, "return": "chassis"}, BOND],
            None,
            {},
            "nobody says that the vehicle maker allows the earth point E",
        ),
        (
            [{**LAMP, "return": "chassis"}, {**BOND, "from": "L"}],
            ALLOWED,
            {},
            "the bond starts at L, which does not feed B",
        ),
        ([LAMP, BOND, {**BOND, "id": "two"}], ALLOWED, {}, "one star point, one bond"),
        ([{**LAMP, "to": ["L", "M"], "pattern": "chain", "return": "shared"}], None, {}, "is planned for DC home runs"),
        ([{**LAMP, "to": ["L", "E"]}], None, {}, "E is an earth point"),
        ([{**LAMP, "pattern": "shared negative"}], None, {}, "a shared negative follows from its circuits"),
        ([{**LAMP, "earth": "E"}], ALLOWED, {}, "its current does not come back through the body"),
    ],
)
def test_a_wrong_return_is_refused_in_words(
    circuits: list[dict[str, Any]], earth: dict[str, Any] | None, shop: dict[str, Any], words: str
) -> None:
    with pytest.raises(ProjectFaults) as caught:
        check_data(_data(circuits, earth, **shop))
    assert words in str(caught.value)


def test_a_right_return_is_taken() -> None:
    read = check_data(_data([{**LAMP, "return": "chassis"}, BOND], ALLOWED, body_resistance="3 mohm"))
    assert read.base.shop.body_resistance == 0.003
