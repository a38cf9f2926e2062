"""Input that is well formed but does not fit its shell or its stock: all faults at once, each with place and remedy."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.project_faults import ProjectFaults
from ribway.router.faults import RouterFaults
from samples.damage import Change, Place, parameters, strays

Raw = dict[str, Any]
PlanIt = Callable[[Raw], Plan]

# Damage of the shell itself: nothing can be placed on it, so each is found alone. (what, change, words of the refusal)
SHELL_FAULTS: tuple[tuple[str, Change, tuple[str, ...]], ...] = (
    (
        "preset misspelt",
        lambda raw: raw["vehicle"].update(preset="shrt-high"),
        ("shrt-high", "did you mean short-high"),
    ),
    ("parameter misspelt", parameters(lenght="3 m"), ("lenght", "did you mean length")),
    ("parameter without unit", parameters(length="3"), ("length", "has no unit")),
    ("text for a list", parameters(rib_stations_left="0.4 m"), ("rib_stations_left", "list", "0.4 m")),
    ("ribs out of order", parameters(rib_stations_left=["0.84 m", "0.40 m"]), ("rib_stations_left", "0.84", "rising")),
    (
        "rib behind the van",
        parameters(rib_stations_left=["0.84 m", "2.40 m"]),
        ("rib_stations_left", "2.4", "accepted"),
    ),
    ("hole bigger than its rib", parameters(rib_rows=[{"place": "0.5 m", "bore": "60 mm"}]), ("0.06", "0.047")),
    (
        "door longer than the van",
        parameters(side_door={"side": "right", "front": "0.3 m", "rear": "4 m"}),
        ("side_door", "4"),
    ),
    (
        "door on the roof",
        parameters(side_door={"side": "top", "front": "0.3 m", "rear": "1 m"}),
        ("top", "left, right"),
    ),
    ("lacking hole of no rib", parameters(missing_holes=[["L9", 1]]), ("missing_holes", "L9", "L3")),
    ("width below zero", parameters(floor_width="-1 m"), ("floor_width", "-1", "accepted")),
)

# Damage of one project, all found in one go. (key path, words of the refusal)
STRAY_FAULTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("devices / far / at", ("no metal on the right", "back 9.000 m", "back 0.00 to 1.70 m")),
    ("devices / high / at", ("no metal on the right", "up 1.900 m", "up 0.00 to 1.62 m")),
    ("devices / glass / at", ("no metal on the left", "back 1.070 m", "windows")),
    ("devices / aside / at", ("no metal on the roof", "left 2.000 m", "up to 0.80 m")),
    ("devices / rib / at", ("inside member R2", "20 mm", "stand_off of 55 mm")),
    ("devices / loose / at", ("0.90 m from the nearest skin", "within 0.6 m")),
    ("devices / bagged / at", ("keep-out bag", "airbag", "outside")),
    ("vehicle / keep_outs / nowhere", ("touches no skin", "enclose some metal")),
    ("vehicle / openings / L2x", ("no opening of that name", "did you mean L2a")),
    ("vehicle / openings / Z9", ("no opening of that name", "B0a")),
    ("vehicle / ways / tube / path 2", ("back 7.000 m", "back 0.00 to 1.70 m")),
    ("vehicle / ways / gap / member", ("B12", "B2")),
    ("vehicle / ways / beside / at", ("B2 does not pass there", "B2 itself")),
    ("runs / C1 / via", ("LS22a", "did you mean LS2a")),
    ("runs / C2 / avoid", ("B2x", "did you mean B2a")),
    ("shop / lay_by_bay", ("left 9 lower", "did you mean")),
)  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words"), [case[1:] for case in SHELL_FAULTS], ids=[case[0] for case in SHELL_FAULTS]
)
def test_a_shell_that_cannot_be_is_refused(small: Raw, plan_it: PlanIt, change: Change, words: tuple[str, ...]) -> None:
    change(small)
    with pytest.raises((RouterFaults, ProjectFaults)) as refusal:
        plan_it(small)
    said = str(refusal.value)
    assert said.startswith("vehicle")
    assert [word for word in words if word not in said] == []


@pytest.fixture(scope="module")
def stray_faults(plan_it: PlanIt) -> RouterFaults:
    """What is refused of a project with sixteen faults."""
    with pytest.raises(RouterFaults) as refusal:
        plan_it(strays())
    return refusal.value


def test_all_faults_come_at_once(stray_faults: RouterFaults) -> None:
    assert sorted(fault.place for fault in stray_faults.faults) == sorted(place for place, _ in STRAY_FAULTS)


@pytest.mark.parametrize(("place", "words"), STRAY_FAULTS, ids=[place for place, _ in STRAY_FAULTS])
def test_each_fault_says_where_what_and_what_would_do(
    stray_faults: RouterFaults, place: str, words: tuple[str, ...]
) -> None:
    (said,) = [str(fault) for fault in stray_faults.faults if fault.place == place]
    assert said in str(stray_faults)
    assert [word for word in words if word not in said] == []


def test_a_duct_without_a_bore_is_refused_with_its_line_of_the_file(small: Raw, plan_it: PlanIt) -> None:
    left: Place = {"wall": "left", "back": "0.6 m", "up": "0.8 m"}
    small["vehicle"]["ways"] = [{"name": "tube", "kind": "duct", "path": [left, {**left, "back": "1 m"}]}]
    with pytest.raises(ProjectFaults, match="vehicle / ways / tube: a way of kind duct needs bore"):
        plan_it(small)


def test_cables_that_nobody_sells_are_named_together(small: Raw, plan_it: PlanIt) -> None:
    small["circuits"][1]["cable"] = "2x3.3 mm2"
    small["circuits"][2]["cable"] = "3x1.5"
    with pytest.raises(RouterFaults) as refusal:
        plan_it(small)
    assert [fault.place for fault in refusal.value.faults] == ["circuits / C1 / cable", "circuits / C2 / cable"]
    assert all("2x4" in str(fault) for fault in refusal.value.faults)


def test_a_run_that_its_circuit_does_not_have_is_refused(small: Raw, plan_it: PlanIt) -> None:
    small["runs"] = [{"circuit": "C1", "from": "board", "to": "lamp"}]
    with pytest.raises(
        RouterFaults, match="runs / C1: circuit C1 has no run from board to lamp; one of board to fridge"
    ):
        plan_it(small)


def test_a_stated_run_before_its_feed_is_refused(small: Raw, plan_it: PlanIt) -> None:
    small["circuits"][1]["pattern"] = "stated"
    small["runs"] = [{"circuit": "C1", "from": "radio", "to": "fridge"}]
    with pytest.raises(RouterFaults, match="runs / C1: radio is not fed yet"):
        plan_it(small)


def test_no_stocked_size_is_good_enough(small: Raw, plan_it: PlanIt) -> None:
    """Every circuit that cannot be wired is named, with what it asks of its cable."""
    small["devices"][2].update(amps="400 A", start_amps="500 A")
    with pytest.raises(RouterFaults) as refusal:
        plan_it(small)
    said = {fault.place: str(fault) for fault in refusal.value.faults}
    assert set(said) == {"circuits / main", "circuits / C1"}
    assert "run C1 (Fridge)" in said["circuits / C1"]
    assert "1x95" in said["circuits / C1"]
    assert "400 A" in said["circuits / C1"]


def test_what_would_be_needed_agrees_with_the_resistance_of_copper(small: Raw, plan_it: PlanIt) -> None:
    """A cable stated too thin is refused, and the area asked for is that of Ohm's law, or a little more.

    Source of the reference: resistivity 0.017241 ohm mm2/m at 20 degrees C with 0.00393 per kelvin (annealed copper,
    IEC 60028); a plain class 5 conductor of IEC 60228 may have up to 16 % more than its nominal area of that copper
    would (2.5 mm2: 7.98 ohm/km allowed, 6.90 of solid copper).
    """
    small["circuits"][1] = {"id": "C1", "name": "Fridge", "from": "battery", "to": ["fridge"], "least": "2x6"}
    cut_m = next(run.cut_m for run in plan_it(small).runs if run.id == "C1")
    small["circuits"][1].update(cable="2x1", least=None)
    with pytest.raises(RouterFaults, match=r"run C1 \(Fridge\): 2x1") as refusal:
        plan_it(small)
    wanted = re.search(r"([0-9.]+) mm2 or more would be needed \(drop\)", str(refusal.value))
    assert wanted is not None
    hot = 0.017241 * (1.0 + 0.00393 * (90.0 - 20.0))
    ideal = 2.0 * cut_m * 5.0 * hot / (0.05 * 12.0)
    assert 0.98 * ideal <= float(wanted[1]) <= 1.20 * ideal
