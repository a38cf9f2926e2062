"""A van by tape: measured off a preset's metal it is that preset again; its holes are cut where they were read."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from plain_shells import project
from tape_off_mesh import tape_lines
from vans import random_places

from ribway.models.tape import RIB_ERROR_M, TAPE_ERROR_M, Tape
from ribway.router.faults import RouterFaults
from ribway.router.laying.layer import Layer
from ribway.router.paths.search import Searcher
from ribway.router.shell.build import build
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import PRESETS
from ribway.router.shell.tape import nearest_preset, tape_error_m, tape_shell
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network

DEVICES, ROUTES = 48, 30


def tape_of(lines: Mapping[str, Any], **more: Any) -> Tape:
    return Tape.model_validate({**lines, "curtain_airbags": "no", **more}, context={"si": True})


@pytest.mark.parametrize("name", PRESETS)
def test_a_preset_measured_by_tape_is_that_preset(shells: dict[str, Shell], name: str) -> None:
    """Every passage and every metal part lies where it lies in the preset, to a millimetre."""
    taped = build(tape_shell(tape_of(tape_lines(shells[name]))).parameters)
    assert [one.name for one in taped.openings] == [one.name for one in shells[name].openings]
    for one, other in zip(taped.openings, shells[name].openings, strict=True):
        assert (one.shape, one.bore_m, one.skin_a, one.skin_b) == (
            other.shape,
            other.bore_m,
            other.skin_a,
            other.skin_b,
        )
        assert np.abs(one.line - other.line).max() < 0.001, one.name
    for part, same in zip((*taped.skins, *taped.members), (*shells[name].skins, *shells[name].members), strict=True):
        assert part.name == same.name
        for end in ("min", "max"):
            corner, wanted = (getattr(mesh.vertices, end)(axis=0) for mesh in (part.mesh, same.mesh))
            assert np.abs(corner - wanted).max() < 0.001, part.name


@dataclass(frozen=True)
class Routed:
    """Lengths of routes by pair of devices [m], and how many members each passes."""

    metres: dict[tuple[str, str], float]
    members: dict[tuple[str, str], int]


def refused(shell: Shell, places: dict[str, dict[str, Any]]) -> set[str]:
    try:
        build_space(on(places), shell)
    except RouterFaults as faults:
        return {fault.place.split(" / ")[1] for fault in faults.faults}
    return set()


def on(places: dict[str, dict[str, Any]]) -> Any:
    first, second = list(places)[:2]
    return project(places, [{"id": "C", "name": "C", "from": first, "to": [second]}])


def routed(shell: Shell, places: dict[str, dict[str, Any]], pairs: list[tuple[str, str]]) -> Routed:
    """Shortest route of each pair alone."""
    space = build_space(on(places), shell)
    network = build_network(space)
    index = {portal.device: i for i, portal in enumerate(space.portals)}
    search, layer = Searcher(network), Layer(network)
    metres, members = {}, {}
    for a, b in pairs:
        path = search.path(index[a], index[b], network.length, np.zeros(network.ways))
        assert path is not None
        laid = layer.lay(path, index[a], index[b])
        metres[a, b] = laid.sharp_m
        members[a, b] = sum(leg.kind == "opening" for leg in laid.legs)
    return Routed(metres, members)


def beside_members(places: dict[str, dict[str, Any]], lines: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Places that are not in front of a rib or bow, where it would be open which side of it a cable comes out."""
    aside = lines["rib"]["face_width"] / 2 + 2 * RIB_ERROR_M
    stations = (*lines["ribs_left"], *lines["ribs_right"])
    return {
        name: place
        for name, place in places.items()
        if all(abs(place.get("back", -1.0) - station) > aside for station in stations)
    }


def read_with_errors(lines: Mapping[str, Any], seed: int) -> dict[str, Any]:
    """The tape lines, each off by its whole error to one side or the other: the worst a careful reader does."""
    rng = random.Random(seed)

    def off(value: Any, error_m: float) -> Any:
        if isinstance(value, Mapping):
            return {key: off(one, error_m) for key, one in value.items()}
        return value + rng.choice((-error_m, error_m)) if isinstance(value, float) else value

    read = {key: off(value, TAPE_ERROR_M) for key, value in lines.items() if not key.startswith("ribs")}
    for key in ("ribs_left", "ribs_right"):
        read[key] = tuple(off(station, RIB_ERROR_M) for station in lines[key])
    return {**read, "rib": dict(lines["rib"])}


def test_routes_are_as_long_as_in_the_preset_and_off_by_less_than_the_stated_error(shells: dict[str, Shell]) -> None:
    """Exact lines: less than 1 mm. Lines off by +/-5 mm each and ribs by +/-10 mm: less than `tape_error_m` says."""
    true = shells["long-high"]
    lines = tape_lines(true)
    # With these two seeds no stretch between ribs falls below the width at which a rail is taken to have two holes.
    read = [lines, read_with_errors(lines, 4), read_with_errors(lines, 5)]
    taped = [build(tape_shell(tape_of(one)).parameters) for one in read]
    assert all([one.name for one in shell.openings] == [one.name for one in true.openings] for shell in taped)
    places = beside_members(random_places(true, DEVICES, 11), lines)
    for shell in (true, *taped):
        bad = refused(shell, places)
        places = {name: place for name, place in places.items() if name not in bad}
    assert len(places) > DEVICES / 3
    rng = random.Random(5)
    pairs = [tuple(rng.sample(sorted(places), 2)) for _ in range(ROUTES)]
    expected, exact, *wrong = (routed(shell, places, pairs) for shell in (true, *taped))
    worst = 0.0
    for pair in pairs:
        assert abs(exact.metres[pair] - expected.metres[pair]) < 0.001, pair
        for found in wrong:
            members = max(found.members[pair], expected.members[pair])
            difference = abs(found.metres[pair] - expected.metres[pair])
            assert difference < tape_error_m(members), (pair, difference, members)
            worst = max(worst, difference)
    assert worst > 2 * TAPE_ERROR_M, "errors of the tape must show in the lengths, or nothing was tested"


def test_stated_error_grows_with_what_was_read() -> None:
    """By hand: twice 6 x 5 mm; with four members twice 30 + 40 mm; twice 5 + 20 mm."""
    assert tape_error_m(0) == pytest.approx(0.060)
    assert tape_error_m(4) == pytest.approx(0.140)
    assert tape_error_m(2, lines=1) == pytest.approx(0.050)


@pytest.mark.parametrize(
    ("length_m", "name"), [(2.0, "short-high"), (3.39, "short-high"), (3.5, "medium-high"), (6.0, "long-high")]
)
def test_nearest_preset_by_length(length_m: float, name: str) -> None:
    assert nearest_preset(length_m).name == name


def test_typical_holes_and_windows_without_room_are_left_out(shells: dict[str, Shell]) -> None:
    """Shallow ribs hold smaller holes; a waist moved onto a typical row takes it away."""
    lines = tape_lines(shells["medium-high"])
    moved = {**lines, "waist_height": 0.78, "rib": {**lines["rib"], "depth": 0.030}, "ribs_left": (0.42, 1.12, 1.80)}
    parameters = tape_shell(tape_of(moved)).parameters
    assert 0.78 not in [row.place_m for row in parameters.rib_rows]
    assert max(row.bore_m for row in parameters.rib_rows) == pytest.approx(0.030 - 2 * (0.0015 + 0.0005 + 0.002))
    assert [window.side for window in parameters.windows] == ["right"]


def test_a_pillar_edge_has_no_bulkhead_and_no_pillar_holes(shells: dict[str, Shell]) -> None:
    shell = build(tape_shell(tape_of(tape_lines(shells["short-high"]), front="pillar edge")).parameters)
    assert "bulkhead" not in [skin.name for skin in shell.skins]
    assert not [one.name for one in shell.openings if one.name[:2] in ("LP", "B0")]
