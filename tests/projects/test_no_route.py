"""Good input without a route: the plan says so, where the run stops, and what would free it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding

Raw = dict[str, Any]
PlanIt = Callable[[Raw], Plan]

# The ways into the bay behind rib L3 above the waist rail, where the radio hangs.
DOORS = ("L3d", "L3e", "LW3a", "LW3b", "LE3a", "LE3b")


def openings(**said: str) -> list[dict[str, str]]:
    """The same of every way into the radio's bay."""
    return [{"name": name, **said} for name in DOORS]


def stopped(plan: Plan, run: str) -> Finding:
    """The finding that a run has no route; the plan must say that it is not complete."""
    assert not plan.complete
    assert run not in [one.id for one in plan.runs]
    (finding,) = [finding for finding in plan.findings if finding.level == "error" and finding.about == run]
    assert finding.message.startswith("no route from ")
    return finding


def test_a_bay_with_every_opening_blocked(small: Raw, plan_it: PlanIt) -> None:
    small["vehicle"]["openings"] = openings(state="blocked")
    plan = plan_it(small)
    finding = stopped(plan, "C3")
    assert finding.code == "no-way"
    assert "left 3 upper" in finding.message
    assert all(f"{name} (blocked)" in finding.remedy for name in DOORS)
    assert {"main", "C1", "C2"} <= {run.id for run in plan.runs}


def test_openings_that_the_user_wants_avoided(small: Raw, plan_it: PlanIt) -> None:
    small["runs"] = [{"circuit": "C3", "from": "board", "to": "radio", "avoid": list(DOORS)}]
    finding = stopped(plan_it(small), "C3")
    assert finding.code == "no-way"
    assert "L3d (to be avoided by this run)" in finding.remedy


def test_a_blocked_opening_that_the_user_wants_used(small: Raw, plan_it: PlanIt) -> None:
    small["vehicle"]["openings"] = [{"name": "L3a", "state": "blocked"}]
    small["runs"] = [{"circuit": "C3", "from": "board", "to": "radio", "via": ["L3a"]}]
    finding = stopped(plan_it(small), "C3")
    assert finding.code == "no-way"
    assert "L3a, which via asks for, can't be used: blocked" in finding.message
    assert finding.remedy == "take L3a out of via"


def test_a_plug_that_passes_nowhere(small: Raw, plan_it: PlanIt) -> None:
    """The stocked network lead carries a plug of 14 mm; 2 mm of grommet all round must be bored besides."""
    small["vehicle"]["openings"] = openings(grommet="12 mm")
    small["circuits"].append(
        {"id": "N", "name": "Network", "kind": "data", "from": "lamp", "to": ["radio"], "cable": "8 x 24 AWG"}
    )
    finding = stopped(plan_it(small), "N")
    assert finding.code == "opening-too-small"
    assert any(f"stops at {name} (the plug, 14 mm, does not pass 12 mm" in finding.message for name in DOORS)
    assert "bore it to 18 mm or more" in finding.remedy


def test_openings_that_are_full_already(small: Raw, plan_it: PlanIt) -> None:
    small["vehicle"]["openings"] = openings(taken="12 mm", fill_limit="10 %")
    finding = stopped(plan_it(small), "C3")
    assert finding.code == "opening-full"
    assert "full with this cable, limit 10 %" in finding.message
    assert "bore it larger" in finding.remedy


def test_mains_and_twelve_volts_that_would_have_to_share_the_last_opening(small: Raw, plan_it: PlanIt) -> None:
    small["vehicle"]["openings"] = [entry for entry in openings(state="blocked") if entry["name"] != "LE3a"]
    small["devices"] += [
        {"id": "inlet", "name": "Inlet", "kind": "source", "at": {"wall": "right", "back": "1.5 m", "up": "0.5 m"}},
        {"id": "socket", "name": "Socket", "amps": "4 A", "at": {"wall": "left", "back": "1.55 m", "up": "1.3 m"}},
    ]
    small["circuits"].append({"id": "A1", "name": "Mains", "kind": "ac", "from": "inlet", "to": ["socket"]})
    plan = plan_it(small)
    (finding,) = [finding for finding in plan.findings if finding.level == "error"]
    stopped(plan, finding.about)
    assert finding.about in ("A1", "C3")
    assert "LE3a" in finding.message
    assert "may not share" in finding.message
    assert "another opening" in finding.remedy


@pytest.mark.parametrize("state", ["assumed", "measured"])
def test_with_its_openings_free_the_same_van_is_complete(small: Raw, plan_it: PlanIt, state: str) -> None:
    small["vehicle"]["openings"] = openings(state=state)
    plan = plan_it(small)
    assert plan.complete
    assert [finding for finding in plan.findings if finding.level == "error"] == []
    assert set(DOORS) & set(next(run for run in plan.runs if run.id == "C3").openings)
