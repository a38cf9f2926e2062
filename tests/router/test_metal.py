"""The mesh that is drawn and the network that is searched are one thing.

Crossings and distances are taken by this folder's own Moeller-Trumbore (`helpers/metal.py`), on the shell's triangles.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from metal import Metal
from plain_shells import Bar, Hole, mesh_of, on_wall, plain_shell, project, rod, solid_of, with_filled, without
from vans import Van, van

from ribway.router.geometry.fillets import rounded
from ribway.router.geometry.packing import pack
from ribway.router.laying.layer import Laid
from ribway.router.paths.admission import Item, Separation, admits
from ribway.router.planner import plan_on
from ribway.router.shell.build import build
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset

PRESETS = ("short-high", "medium-high", "long-high")


def metal_of(shell: Shell) -> Metal:
    """All that is solid: members, obstacles, skins."""
    parts = [(part.name, part.mesh) for part in (*shell.members, *shell.obstacles, *shell.skins)]
    tri = np.concatenate([mesh.vertices[mesh.faces] for _, mesh in parts])
    return Metal(tri, [name for name, mesh in parts for _ in mesh.faces])


@pytest.fixture(scope="module", params=PRESETS)
def routed(request: pytest.FixtureRequest) -> tuple[Van, Metal, list[Laid]]:
    """A preset with 40 random routes."""
    one = van(request.param, 60, seed=1)
    return one, metal_of(one.shell), [laid for *_, laid in one.routes(40, seed=2)]


def test_no_line_crosses_drawn_metal(routed: tuple[Van, Metal, list[Laid]]) -> None:
    """Neither the sharp line nor the rounded one, for thin and for thick cables."""
    one, metal, laid = routed
    for number, run in enumerate(laid):
        where = [one.space.ways[way].name for way in run.ways]
        radius = (0.03, 0.1)[number % 2]
        assert not metal.crossings(run.line), where
        assert not metal.crossings(rounded(run.guarded, radius, radius).points), (radius, where)
    assert sum(len(run.ways) for run in laid) > 100, "the routes are real ones"


def test_lengths_of_these_routes(routed: tuple[Van, Metal, list[Laid]]) -> None:
    """straight <= taut <= sharp, rounded <= sharp; the drawn line is never longer than what is cut for it."""
    _, _, laid = routed
    for run in laid:
        drawn = float(np.linalg.norm(np.diff(run.line, axis=0), axis=1).sum())
        assert run.straight_m <= run.taut_m + 1e-9
        assert run.taut_m <= run.sharp_m + 1e-9
        assert drawn <= run.sharp_m + 1e-9
        assert rounded(run.guarded, 0.06, 0.06).length_m <= run.sharp_m + 1e-9
        for before, after in zip(run.legs[:-1], run.legs[1:], strict=True):
            assert after.points[0] == pytest.approx(before.points[-1], abs=1e-5), "legs join"


def test_a_bundle_that_is_admitted_keeps_inside_the_holes_outline(routed: tuple[Van, Metal, list[Laid]]) -> None:
    """Random cables are put into every opening these routes pass until it is full; the metal stays out of the bundle."""
    one, metal, laid = routed
    rng = random.Random(5)
    apart = Separation("apart", "together")
    filled = 0
    for index in sorted({way for run in laid for way in run.ways})[::2]:
        way = one.space.ways[index]
        items: list[Item] = []
        for k in range(6):
            size = rng.choice((0.004, 0.0054, 0.006, 0.008))
            more = [*items, Item(f"x{k}", "dc", size, size, 0.0, True)]
            items = more if admits(way, more, apart) else items
        if way.shape == "round":
            radius = pack(tuple(outline for item in items for outline in item.outlines), quick=True).diameter_m / 2
        else:
            radius = way.bore_m / 2  # in a slot the cables lie side by side: no bundle is thicker than the slot is wide
        assert items, way.name
        assert 2 * radius <= way.bore_m + 1e-9
        assert metal.distance(way.line, 0.05) >= radius, way.name
        assert metal.distance(way.line, 0.05) >= 0.97 * way.raw_bore_m / 2, "the hole is as large as it says"
        filled += len(items)
    assert filled > 50


@pytest.fixture(scope="module")
def two_holes() -> Shell:
    """One rib, a near hole and a far one."""
    return plain_shell(1.5, 1.2, [Bar(0.7, (Hole(0.3), Hole(0.9)))])


def routes(shell: Shell) -> tuple[tuple[str, ...], list[tuple[str, str]]]:
    """Openings of the one run, and findings as (code, about)."""
    wanted = project(
        {"a": on_wall(0.2, 0.35), "b": on_wall(1.2, 0.4)},
        [{"id": "C", "name": "C", "from": "a", "to": ["b"]}],
        devices={"b": {"amps": 0.1}},
    )
    plan = plan_on(wanted, shell)
    return (plan.runs[0].openings if plan.runs else ()), [(found.code, found.about) for found in plan.findings]


def test_filling_a_hole_in_the_mesh_changes_the_route_and_is_said(two_holes: Shell) -> None:
    assert routes(two_holes)[0] == ("L1a",)
    openings, found = routes(with_filled(two_holes, "L1a"))
    assert openings == ("L1b",)
    assert ("no-hole-in-mesh", "L1a") in found


def test_taking_a_hole_off_the_list_changes_the_route(two_holes: Shell) -> None:
    openings, found = routes(without(two_holes, "L1a"))
    assert openings == ("L1b",)
    assert "no-hole-in-mesh" not in [code for code, _ in found]


def test_with_all_holes_filled_there_is_no_route(two_holes: Shell) -> None:
    openings, found = routes(with_filled(with_filled(two_holes, "L1a"), "L1b"))
    assert openings == ()
    assert ("no-way", "C") in found


def test_a_hole_made_smaller_in_the_mesh_has_the_meshs_size(two_holes: Shell) -> None:
    """A ring is left in the hole: what the metal leaves free counts, not what is listed."""
    member = two_holes.members[0]
    line = two_holes.openings[0].line
    ring = rod(line[0] - [0.015, 0, 0], line[1] + [0.015, 0, 0], 0.026) - rod(line[0], line[1], 0.016)
    narrow = replace(two_holes, members=(replace(member, mesh=mesh_of(solid_of(member.mesh) + ring)),))
    wanted = project(
        {"a": on_wall(0.2, 0.35), "b": on_wall(1.2, 0.4)}, [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]
    )
    plan = plan_on(wanted, narrow)
    clear = {opening.id: opening.clear_bore_mm for opening in plan.openings}
    assert clear["L1a"] == pytest.approx(16.0 - 4.0, abs=0.11), "less 2 mm of grommet all round"
    assert clear["L1b"] == pytest.approx(25.0 - 4.0)


def test_filling_the_holes_of_a_preset_one_after_another() -> None:
    """Devices on either side of rib L1 of a real van: as each hole the run used is filled, the route moves to another."""
    shell = build(preset("short-high", rib_stations_right=(0.84,), bow_stations=(0.84,)))
    wanted = project(
        {"a": {"wall": "left", "back": 0.2, "up": 0.7}, "b": {"wall": "left", "back": 0.6, "up": 0.75}},
        [{"id": "C", "name": "C", "from": "a", "to": ["b"]}],
    )
    lengths, seen = [], set()
    for _ in range(3):
        plan = plan_on(wanted, shell)
        passed = plan.runs[0].openings
        assert not seen & set(passed)
        assert {found.about for found in plan.findings if found.code == "no-hole-in-mesh"} == seen
        lengths.append(plan.runs[0].sharp_m)
        mine = [name for name in passed if name.startswith("L1")]
        seen |= set(mine)
        for name in mine:
            shell = filled_hat(shell, name)
        if not mine:
            break
    assert len(seen) >= 2
    assert lengths == sorted(lengths)


def filled_hat(shell: Shell, name: str) -> Shell:
    """A preset's shell with one hole closed in both webs, still on the list."""
    opening = next(one for one in shell.openings if one.name == name)
    members = []
    for member in shell.members:
        if member.name == opening.member:
            axis = (opening.line[1] - opening.line[0]) / np.linalg.norm(opening.line[1] - opening.line[0])
            plug = rod(opening.line[0] + 0.0062 * axis, opening.line[1] - 0.0062 * axis, opening.length_m + 0.002)
            member = replace(member, mesh=mesh_of(solid_of(member.mesh) + plug))
        members.append(member)
    return replace(shell, members=tuple(members))
