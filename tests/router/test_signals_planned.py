"""Data links, coax, powered buses, makers' leads and AC figures of a planned van."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any, get_args

import pytest
from electric_vans import codes, planned, run

from ribway.models.electrics import CoaxName, FuseKindName, LinkName
from ribway.models.plan.plan import Plan
from ribway.models.reading import ProjectFaults

TABLES = Path(__file__).parents[2] / "sizing" / "tables"
FAR = {"at": {"wall": "right", "back": "1.50 m", "up": "1.2 m"}, "kind": "sensor"}


def lead(**keys: Any) -> Plan:
    """A data lead from the radio across the roof to a camera on the other wall: some metres of it."""
    return planned({"camera": FAR}, {"D1": {"kind": "data", "from": "radio", "to": ["camera"], **keys}})


def told(plan: Plan, code: str) -> str:
    return " ".join(one.message for one in plan.findings if one.code == code)


@pytest.mark.parametrize(
    ("names", "table", "column"),
    [(LinkName, "data_links", "link"), (CoaxName, "coax", "cable"), (FuseKindName, "fuse_kinds", "kind")],
)
def test_what_a_project_may_name_is_what_the_tables_have(names: Any, table: str, column: str) -> None:
    rows = csv.DictReader((TABLES / f"{table}.csv").read_text(encoding="utf-8").splitlines())
    assert set(get_args(names)) == {row[column] for row in rows}


def test_a_link_longer_than_its_standard_allows_is_told() -> None:
    """USB 3 goes 3 m (trade figure), USB 2 goes 5 m (its delay budget)."""
    long = lead(link="USB 3")
    cut = run(long, "D1").cut_m
    assert 3.0 < cut < 5.0
    assert "at most 3 m" in told(long, "link-length")
    assert "link-length" not in codes(lead(link="USB 2"))


def test_coax_keeps_its_budget_or_is_told() -> None:
    """RG-174 at 1 GHz loses 110 dB in 100 m (maker's sheets), and two plugs 0.2 dB each."""
    cut = run(lead(), "D1").cut_m
    lost = 1.10 * cut + 0.4
    over = lead(coax="RG-174", frequency="1 GHz", loss_allowed=f"{lost - 0.05:.2f} dB")
    assert f"{lost:.2f} dB" in told(over, "coax-loss")
    assert "coax-loss" not in codes(lead(coax="RG-174", frequency="1 GHz", loss_allowed=f"{lost + 0.05:.2f} dB"))


def test_coax_without_a_budget_is_refused() -> None:
    with pytest.raises(ProjectFaults, match="frequency and loss_allowed"):
        lead(coax="RG-58")


def test_a_bus_that_carries_power_keeps_its_volts() -> None:
    """0.25 mm2 at 20 deg C: 76.3 ohm/km by resistivity 0.01908; 1 A there and back over the lead, and hotter copper."""
    device = {**FAR, "amps": "1 A"}
    bus = {"kind": "data", "from": "radio", "to": ["camera"], "cable": "4 x 0.25 mm2"}
    plan = planned({"camera": device}, {"D1": {**bus, "bus_least_volts": "11.8 V"}})
    cold_v = 12.0 - 2.0 * run(plan, "D1").cut_m * 0.0689655 * 1.0  # ideal copper, 58 MS/m: no wire loses less
    assert cold_v < 11.8
    assert "it needs 11.8 V" in told(plan, "bus-volts")
    assert "bus-volts" not in codes(planned({"camera": device}, {"D1": {**bus, "bus_least_volts": "9 V"}}))


def fixed(length: str) -> Plan:
    from ribway.models.reading import check_data
    from ribway.router.planner import plan_project
    from samples.small_lab import SMALL

    entry = {"circuit": "C3", "from": "board", "to": "radio", "fixed_length": length}
    return plan_project(check_data({**SMALL, "runs": [entry]}).base, Path("."))


def test_a_makers_lead_is_held_against_its_way_and_never_cut() -> None:
    short, long = fixed("1 m"), fixed("6 m")
    needed = run(long, "C3").cut_m
    assert "too short" in told(short, "lead-too-short")
    assert f"coil {6.0 - needed:.2f} m" in told(long, "lead-coil")
    assert run(long, "C3").fixed_length_m == 6.0


def test_ac_figures_are_for_the_licensed_person() -> None:
    plan = planned(
        {
            "inlet": {"kind": "source", "at": {"wall": "right", "back": "0.55 m", "up": "0.3 m"}},
            "socket": {"kind": "outlet", "at": {"wall": "right", "back": "1.50 m", "up": "1.2 m"}, "watts": "1 kW"},
        },
        {"A1": {"kind": "ac", "from": "inlet", "to": ["socket"]}},
    )
    (one,) = [finding for finding in plan.findings if finding.code == "ac-information"]
    assert one.level == "note"
    assert "IEC 60364-5-52" in one.message  # metric stock
    assert "licensed person" in one.remedy
    own = run(plan, "A1")
    assert own.table_a == {1.5: 14.0, 2.5: 18.5}[own.conductor_area_mm2]  # method A2, PVC (memory)
    assert (plan.rules.ac_rule_set, plan.rules.ac_base) == ("IEC-AC", "IEC60364")
