"""Ways inside a hollow member: their line, their sides, and the openings that they fill."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hollow_shells import hollow_shell
from plain_shells import CLEAR, WIDTH, Bar, Hole, on_wall, plain_shell, project

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from ribway.router.shell.build import build
from ribway.router.shell.presets import preset
from ribway.router.space.build import build_space
from ribway.router.space.types import Way
from samples.spoilt.changes import change, leg, take

SHELL = hollow_shell(2.0, 1.6, [Bar(1.0, (Hole(0.3), Hole(1.2)))])
# The bay in front is cut in two by a keep-out over its whole width, so that one climbs in the rib or not at all.
BELT = {
    "name": "belt", "why": "belt anchor", "corner": {"wall": "left", "back": 0.0, "up": 0.7},
    "opposite": {"wall": "left", "back": 0.96, "up": 0.8}, "margin": 0.0,
}  # fmt: skip
IN_L1 = {"name": "in-L1", "kind": "inside", "member": "L1", "between": ["L1a", "L1b"], "bore": 0.03}
PLACES = {"a": on_wall(0.5, 0.3), "b": on_wall(0.5, 1.2)}
CIRCUIT = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]
REACH = WIDTH / 2 + CLEAR


def way(entry: dict[str, Any], **vehicle: Any) -> Way:
    space = build_space(project(PLACES, CIRCUIT, None, {"ways": [{**IN_L1, **entry}], **vehicle}), SHELL)
    return next(one for one in space.ways if one.name == "in-L1")


def plan_of(ways: list[dict[str, Any]], runs: int = 1, **shop: Any) -> Plan:
    circuits = [{"id": f"C{n}", "name": "C", "from": "a", "to": ["b"], "cable": "2x2.5"} for n in range(runs)]
    devices: dict[str, dict[str, Any]] = {"a": {"kind": "source"}, "b": {"amps": 1.0}}
    wanted = project(PLACES, circuits, shop, {"ways": ways, "keep_outs": [BELT]}, devices)
    return plan_on(wanted, SHELL)


def errors(plan: Plan) -> list[tuple[str, str]]:
    return [(one.code, one.about) for one in audit_plan(plan) if one.level == "error"]


def test_in_along_and_out() -> None:
    """In 31 mm to the middle, 0.9 m along, 31 mm out: through the front web both times if nobody says otherwise."""
    found = way({})
    assert found.closed == ""
    assert found.length_m == pytest.approx(2 * REACH + 0.9, abs=1e-9)
    assert found.turns == 2
    assert found.shares == ("L1a", "L1b")
    assert found.mouths[0].point[0] == pytest.approx(-1.0 + REACH)
    assert found.mouths[1].point[0] == pytest.approx(-1.0 + REACH)
    assert found.bore_m == 0.03
    np.testing.assert_allclose(found.line[1:3, 0], -1.0)


@pytest.mark.parametrize("sides", [("front", "back"), ("back", "front"), ("back", "back")])
def test_the_sides_it_goes_in_and_comes_out(sides: tuple[str, str]) -> None:
    found = way({"sides": list(sides)})
    for mouth, side in zip(found.mouths, sides, strict=True):
        assert mouth.point[0] == pytest.approx(-1.0 + (REACH if side == "front" else -REACH))
    assert found.length_m == pytest.approx(2 * REACH + 0.9, abs=1e-9)


def test_it_fills_the_openings_it_uses() -> None:
    """0.9 m inside, 469 mm to it and from it; both holes count the cable as in them."""
    plan = plan_of([IN_L1])
    run = plan.runs[0]
    assert run.openings == ("in-L1",)
    assert [one.kind for one in run.legs if one.kind != "stub"] == ["bay", "inside", "bay"]
    assert run.sharp_m == pytest.approx(2 * (0.5 - REACH) + 2 * REACH + 0.9, abs=1e-3)
    for name in ("L1a", "L1b"):
        opening = take(plan, "openings", name)
        assert opening.runs == ("C0",)
        inside = take(plan, "ways", "in-L1").fill_percent
        assert opening.fill_percent == pytest.approx(inside * (30 / 21) ** 2, abs=0.02)
    assert take(plan, "ways", "in-L1").shares == ("L1a", "L1b")
    assert errors(plan) == []


def test_the_openings_limit_what_goes_inside() -> None:
    """A 30 mm hollow would take four; the 21 mm holes into it take as many as pass one of them, and not one more."""
    area = take(plan_of([IN_L1]), "openings", "L1a").fill_percent
    many = int(40.0 // area) + 1
    assert many < 40.0 / (area * (21 / 30) ** 2), "the hollow itself would take them all"
    plan = plan_of([IN_L1], runs=many)
    assert not plan.complete
    assert len(plan.runs) == many - 1
    dead = next(one for one in plan.findings if one.level == "error")
    assert dead.code == "opening-full"
    assert "L1a" in dead.message
    assert errors(plan_of([IN_L1], runs=many - 1)) == []


def test_avoiding_an_opening_avoids_what_goes_through_it() -> None:
    wanted = project(
        PLACES, CIRCUIT, None, {"ways": [IN_L1], "keep_outs": [BELT]}, {"a": {"kind": "source"}, "b": {"amps": 1.0}},
        [{"circuit": "C", "from": "a", "to": "b", "avoid": ["L1b"]}],
    )  # fmt: skip
    plan = plan_on(wanted, SHELL)
    assert not plan.runs
    assert not plan.complete


def test_a_plan_that_forgets_the_openings() -> None:
    """The audit adds up what shares a hole by itself."""
    plan = plan_of([IN_L1])
    assert ("runs-in-opening", "L1a") in errors(change(plan, "openings", "L1a", runs=()))
    assert ("runs-in-opening", "L1a") in errors(change(plan, "ways", "in-L1", shares=("L1b",)))
    assert ("unknown-name", "in-L1") in errors(change(plan, "ways", "in-L1", shares=("L1z",)))
    line = take(plan, "ways", "in-L1").line
    out = [(x, y - 0.06, z) for x, y, z in line]
    moved = leg(change(plan, "ways", "in-L1", line=tuple(out)), "C0", _leg_of(plan), points=tuple(out))
    assert {"through-metal", "leg-gap"} & {code for code, _ in errors(moved)}
    assert ("blocked-used", "L1a") in errors(change(plan, "openings", "L1a", state="blocked"))


def _leg_of(plan: Plan) -> int:
    return next(index for index, one in enumerate(plan.runs[0].legs) if one.kind == "inside")


def test_a_member_that_is_not_hollow() -> None:
    solid = plain_shell(2.0, 1.6, [Bar(1.0, (Hole(0.3), Hole(1.2)))])
    space = build_space(project(PLACES, CIRCUIT, None, {"ways": [IN_L1]}), solid)
    assert space.ways[-1].closed == "inside L1 it runs into L1"


def test_what_is_shut_shuts_it() -> None:
    assert way({}, openings=[{"name": "L1b", "state": "blocked"}]).closed == "L1b: blocked"
    through = {**BELT, "opposite": {"wall": "left", "back": 1.5, "up": 0.8}}
    assert way({}, keep_outs=[through]).closed == "in keep-out belt"


def test_faults() -> None:
    for entry, words in (
        ({"member": "L9"}, "no member is called L9; one of L1"),
        ({"between": ["L1a", "L1c"]}, "L1 has no opening L1c; two of L1a, L1b"),
        ({"sides": ["above", "front"]}, "no mouth of L1a is the above one; one of front, back"),
    ):
        with pytest.raises(RouterFaults, match=words):
            way(entry)


def test_ribs_and_rails_of_a_preset() -> None:
    """Bent ribs are followed at the depth of their holes, the roof-edge rail runs straight; the wheel arch parts the sill."""
    shell = build(preset("medium-high"))
    of = {name: [one.name for one in shell.openings if one.member == name] for name in ("L2", "LE", "LS")}
    entries = [
        {"name": f"in-{name}", "kind": "inside", "member": name, "between": [own[0], own[-1]], "bore": 0.016}
        for name, own in of.items()
    ]
    places = {"a": on_wall(0.5, 0.6), "b": on_wall(2.5, 0.6)}
    found = build_space(project(places, CIRCUIT, None, {"ways": entries}), shell).ways[-3:]
    assert [one.closed for one in found] == ["", "", "inside LS it runs into arch-left"]
    for one in found[:2]:
        ends = one.line[[0, -1]]
        assert one.length_m >= np.linalg.norm(ends[1] - ends[0])
        assert one.length_m < np.linalg.norm(ends[1] - ends[0]) + 0.25
