"""Runs parted at joints and cables that move: tails, volts and loops by pencil, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
import small_vans
from joint_vans import CONTACT_OHM, LAMP_A, LOOP_M, PUMP_A, joint_plan, joint_project

from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.router.audit.check import audit_plan
from ribway.router.circuits.joints import contact_ohm
from ribway.router.planner import plan_on
from ribway.sheets.catalogue import all_tables
from samples.spoilt.changes import Spoilt, take
from samples.spoilt.joints import JOINTS

OHM_PER_KM_20C = {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91}
"""Source: IEC 60228:2004 table 3, class 5, plain copper. The stock's twin cables bear 90 C."""
HOT = 1.0 + 0.00393 * 70.0


def test_a_joint_parts_a_run_with_tails_on_both_sides() -> None:
    plan = joint_plan()
    first, second, other = (take(plan, "runs", name) for name in take(plan, "circuits", "P").runs)
    assert [(run.from_, run.to) for run in (first, second, other)] == [
        ("board", "plug"),
        ("plug", "pump"),
        ("board", "fan"),
    ]
    assert (first.tail_a_m, second.tail_b_m) == (0.6, 0.7), "a fuse board's own tail, and the stated one at the far end"
    assert first.cable == second.cable, "both pieces are of one size"
    by_class = 0.3 if first.conductor_area_mm2 < 4.0 else 0.4
    assert first.tail_b_m == second.tail_a_m == by_class, "by cable class on both sides of the joint"
    assert first.design_a == second.design_a == PUMP_A


def test_two_contacts_are_counted_in_the_drop() -> None:
    plan = joint_plan()
    before, first, second = take(plan, "runs", "main"), *(take(plan, "runs", name) for name in ("P-1", "P-2"))

    def lost(run: Any, amps: float) -> float:
        return float(2.0 * OHM_PER_KM_20C[run.conductor_area_mm2] / 1000.0 * HOT * run.cut_m * amps)

    total = PUMP_A + LAMP_A + 1.0
    expected = lost(before, total) + lost(first, PUMP_A) + 2.0 * CONTACT_OHM * PUMP_A
    assert first.drop_v == pytest.approx(expected, abs=2e-3)
    assert second.drop_v == pytest.approx(expected + lost(second, PUMP_A), abs=2e-3)


def test_contacts_of_a_plug_count_even_if_nobody_measured_them() -> None:
    """5 milliohm a contact, erring high; common practice, no source. A fuse in line is no plug."""
    devices = {one.id: one for one in joint_project({"contact_resistance": None}).devices}
    assert contact_ohm(devices["plug"]) == 0.005
    assert contact_ohm(devices["plug"].model_copy(update={"contact_amps": None})) == 0.0
    assert contact_ohm(devices["lamp"]) == 0.0


def test_a_cable_to_a_moving_door_has_its_loop() -> None:
    run = take(joint_plan(), "runs", "L")
    assert (run.loop_m, run.moving) == (LOOP_M, ("rear door",))
    assert any(line.metres == LOOP_M and "loops" in line.what for line in run.reckoning)
    parts = run.sharp_m + run.slack_m + run.loom_side_m + LOOP_M
    assert run.one_way_m == pytest.approx(parts, abs=1.1e-3)
    assert run.cut_m >= parts + run.tail_a_m + run.tail_b_m - 1e-6
    assert [one.about for one in joint_plan().findings if one.code == "coarse-strand"] == [], (
        "class 5 by its resistances"
    )


def test_a_stock_that_does_not_say_its_strand_is_found() -> None:
    plan = joint_plan("awg")
    assert [one.about for one in plan.findings if one.code == "coarse-strand"] == ["L"]
    assert ("coarse-strand", "L") in {(one.code, one.about) for one in audit_plan(plan)}


def test_a_joint_that_bears_too_little_leaves_the_plan_unfinished() -> None:
    plan = joint_plan(bears=5.0)
    (finding,) = [one for one in plan.findings if one.code == "joint-overloaded"]
    assert (finding.level, finding.about, plan.complete) == ("error", "plug", False)
    assert "6 A through contacts of 5 A" in finding.message


def test_a_fuse_above_the_contacts_is_said() -> None:
    plan = joint_plan(bears=7.0)
    assert [one.level for one in plan.findings if one.code == "joint-below-fuse"] == ["warning"]
    assert plan.complete


def test_a_joint_without_its_rating_is_said() -> None:
    plan = plan_on(joint_project({"contact_amps": None}), small_vans.shell())
    assert [one.about for one in plan.findings if one.code == "joint-rating-unknown"] == ["plug"]


def test_the_pin_list_names_every_conductor() -> None:
    table = next(one for one in all_tables(joint_plan()) if one.title == "Joints and pins")
    assert [row[:5] for row in table.rows] == [
        ("1", "P-1", "positive", "red", "P-2"),
        ("2", "P-1", "negative", "black", "P-2"),
    ]


def test_the_audit_passes_it() -> None:
    assert [one for one in audit_plan(joint_plan()) if one.level == "error"] == []


@pytest.mark.parametrize("spoilt", JOINTS, ids=[f"{index}-{one.code}" for index, one in enumerate(JOINTS)])
def test_the_audit_finds_a_wrong_joint(spoilt: Spoilt) -> None:
    found = audit_plan(spoilt.make(joint_plan()))
    assert (spoilt.level, spoilt.code, spoilt.about) in {(one.level, one.code, one.about) for one in found}


@pytest.mark.parametrize(
    ("joint", "circuit", "run", "words"),
    [
        ({"behind": "fixed panel"}, {}, {}, "J would sit behind a fixed panel, where nobody can part it"),
        ({}, {}, {"through": ["L"]}, "a run goes through L, which is load: it must be a device of the kind joint"),
        ({}, {}, {"through": ["K"]}, "a run goes through K, which is nothing in this project"),
        ({}, {}, {"through": ["J", "J"]}, "two runs of the circuit C go through J"),
        ({}, {}, {"via": ["L1a"]}, "a run through joints is several runs"),
        ({}, {"pattern": "switched chain", "to": ["W", "L"]}, {"to": "W"}, "is not parted at joints"),
        (
            {"kind": "load", "contact_amps": "5 A"},
            {},
            {},
            "contact_amps, contact_resistance and behind belong to a joint",
        ),
    ],
)
def test_a_wrong_joint_is_refused_in_words(
    joint: dict[str, Any], circuit: dict[str, Any], run: dict[str, Any], words: str
) -> None:
    wall = {"wall": "left", "back": "1 m", "up": "0.4 m"}
    data = {
        "ribway": 1,
        "name": "van",
        "vehicle": {"preset": "medium-high"},
        "devices": [
            {"id": "B", "name": "Board", "kind": "board", "at": wall},
            {"id": "W", "name": "Switch", "kind": "switch", "at": wall},
            {"id": "L", "name": "Lamp", "at": wall},
            {"id": "J", "name": "Plug", "kind": "joint", "at": wall, **joint},
        ],
        "circuits": [{"id": "C", "name": "C", "from": "B", "to": ["L"], **circuit}],
        "runs": [{"circuit": "C", "from": "B", "to": "L", "through": ["J"], **run}],
    }
    with pytest.raises(ProjectFaults) as caught:
        check_data(data)
    assert words in str(caught.value)
