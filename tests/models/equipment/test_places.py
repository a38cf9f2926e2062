"""Places as people write them, and rough ones resolved against the van."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

from ribway.models.equipment.outline import outline_of, presets
from ribway.models.equipment.place_resolve import resolve
from ribway.models.equipment.place_text import SaidPlace, parse_place
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.place import Place
from ribway.models.project import Project
from ribway.router.shell.choose import shell_of
from ribway.router.shell.presets import PRESETS
from ribway.router.space.build import build_space


@pytest.mark.parametrize(
    ("text", "wall", "lengths"),
    [
        ("left 1.2 m back 0.9 m up", "left", {"back": "1.2 m", "up": "0.9 m"}),
        ("roof 2 m back 300 mm left", "roof", {"back": "2 m", "left": "300 mm"}),
        ("left wall, back 1,2 m, up 0,9 m", "left", {"back": "1,2 m", "up": "0,9 m"}),
        ("1.2 m back, 0.9 m up, left", "left", {"back": "1.2 m", "up": "0.9 m"}),
        ("links 1,2 m hinten 0,9 m hoch", "left", {"back": "1,2 m", "up": "0,9 m"}),
        ("droite 2 m arrière 60 cm haut", "right", {"back": "2 m", "up": "60 cm"}),
        ("left 3' 9 1/2\" back 2' 4\" up", "left", {"back": "3' 9 1/2\"", "up": "2' 4\""}),
        ("left 12 ft 6 in back 3 ft up", "left", {"back": "12 ft 6 in", "up": "3 ft"}),
        ("left 1m20 back, 90 cm above the floor", "left", {"back": "1m20", "up": "90 cm"}),
        ("bulkhead 0.7 m left 0.35 m up", "bulkhead", {"left": "0.7 m", "up": "0.35 m"}),
        ("floor left 0.5 m back 0.4 m", "floor", {"left": "0.5 m", "back": "0.4 m"}),
        ("right 2.5 arms back 0.4 m up", "right", {"back": "2.5 arms", "up": "0.4 m"}),
        ("x -1.2 m y 0.5 m z 0.9 m", "", {"x": "-1.2 m", "y": "0.5 m", "z": "0.9 m"}),
    ],
)
def test_a_place_by_the_tape(text: str, wall: str, lengths: dict[str, str]) -> None:
    said = parse_place(text, 1.7)
    assert (said.wall, dict(said.lengths)) == (wall, lengths)
    assert said.rough == ()
    at = resolve(said, None, "anything").at
    Place.model_validate(at, context={"arm_m": 1.7})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("rear left high", SaidPlace("left", {}, "back", "up", "")),
        ("front right low", SaidPlace("right", {}, "front", "low", "")),
        ("roof middle", SaidPlace("roof", {}, "middle", "", "")),
        ("roof rear right", SaidPlace("roof", {}, "back", "", "right")),
        ("hinten links oben", SaidPlace("left", {}, "back", "up", "")),
        ("arrière gauche haut", SaidPlace("left", {}, "back", "up", "")),
        ("atrás derecha abajo", SaidPlace("right", {}, "back", "low", "")),
        ("achter rechts laag", SaidPlace("right", {}, "back", "low", "")),
        ("left wall mid-height rear", SaidPlace("left", {}, "back", "waist", "")),
        ("port side aft", SaidPlace("left", {}, "back", "", "")),
        ("left 1.2 m back high", SaidPlace("left", {"back": "1.2 m"}, "", "up", "")),
    ],
)
def test_a_rough_place(text: str, said: SaidPlace) -> None:
    assert parse_place(text) == said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("high", "which wall"),
        ("lft 1 m back", "write left"),
        ("left 1.2 back 0.9 up", "has no unit"),
        ("left 1.2 m", "which wall"),
        ("driver side 1 m back", "differs from country to country"),
        ("left right 1 m back", "left and right"),
        ("roof floor middle", "roof and floor"),
        ("rear front left", "two things at once"),
        ("left 12-6.5 back 1 m up", "feet and inches or a range"),
        ("2025-05-10", "whether it is back"),
        ("left ??", "which is no distance"),
    ],
)
def test_what_is_no_place_says_why(text: str, words: str) -> None:
    with pytest.raises(SpellingError, match=r".") as refusal:
        parse_place(text)
    assert words in str(refusal.value)
    assert text in str(refusal.value)


def test_the_presets_known_here_are_those_of_the_shells() -> None:
    """The sizes stand in two places, since this room may not ask the other: they must agree."""
    assert set(presets()) == set(PRESETS)
    for name, shell in PRESETS.items():
        row = presets()[name]
        for key in (
            "length",
            "floor_width",
            "waist_width",
            "waist_height",
            "roof_edge_width",
            "roof_edge_height",
            "rib_width",
        ):
            assert float(row[key]) == getattr(shell, f"{key}_m"), (name, key)
        for side in ("left", "right"):
            assert tuple(map(float, row[f"rib_stations_{side}"].split())) == getattr(shell, f"rib_stations_{side}")
        assert shell.bow_stations is None
        door, arch = shell.side_door, shell.wheel_arch
        assert door is not None
        assert arch is not None
        assert row["side_door"] == f"{door.side} {door.front_m:.2f} {door.rear_m:.2f}"
        assert row["wheel_arch"] == f"{arch.front_m:.2f} {arch.length_m:.2f} {arch.height_m:.2f} {arch.width_m:.2f}"
        windows = [f"{w.side} {w.front_m:.2f} {w.rear_m:.2f} {w.bottom_m:.2f} {w.top_m:.2f}" for w in shell.windows]
        assert row["windows"] == "|".join(windows)


WORDS = [
    " ".join(words) for words in itertools.product(("front", "middle", "rear"), ("left", "right"), ("low", "high"))
] + [f"roof {along}{side}" for along in ("front", "middle", "rear") for side in ("", " left", " right")]


@pytest.mark.parametrize("name", sorted(PRESETS))
def test_a_rough_place_keeps_off_doors_windows_and_ribs_and_within_its_error(name: str) -> None:
    shell, outline = PRESETS[name], outline_of({"preset": name})
    assert outline is not None
    for text, thing in itertools.product(WORDS, ("lamp", "fan", "pump")):
        found = resolve(parse_place(text), outline, thing)
        place = Place.model_validate(found.at)
        assert place.wall is not None
        back = place.back
        assert back is not None
        stations = {"left": shell.rib_stations_left, "right": shell.rib_stations_right}.get(
            place.wall, shell.rib_stations_left
        )
        assert all(abs(back - station) >= shell.rib_width_m / 2 for station in stations), (text, found)
        door, arch = shell.side_door, shell.wheel_arch
        if place.wall == "right" and door is not None:
            assert not door.front_m < back < door.rear_m
        if place.up is not None and arch is not None and place.up < arch.height_m:
            assert not arch.front_m < back < arch.front_m + arch.length_m
        for window in shell.windows:
            if window.side == place.wall and place.up is not None and window.bottom_m < place.up < window.top_m:
                assert not window.front_m < back < window.rear_m
        third = {"front": 0, "middle": 1, "rear": 2}[
            next(word for word in text.split() if word in ("front", "middle", "rear"))
        ]
        for corner in (third / 3 * shell.length_m, (third + 1) / 3 * shell.length_m):
            # 0.12 m at the ends of the van are no place for anything and do not count.
            assert abs(back - corner) <= found.error_m + 0.12 + 1e-9, (text, found)
        assert found.error_m >= 0.2


def test_things_at_one_rough_place_do_not_lie_on_one_point_and_each_stays_where_it_is() -> None:
    outline = outline_of({"preset": "medium-high"})
    places = [tuple(resolve(parse_place("roof middle"), outline, f"lamp {n}").at.items()) for n in range(12)]
    assert len(set(places)) == 12
    assert places[3] == tuple(resolve(parse_place("roof middle"), outline, "lamp 3").at.items())


def test_a_measured_length_moves_a_rough_place() -> None:
    said = parse_place("rear left high")
    short = resolve(said, outline_of({"preset": "medium-high", "parameters": {"length": "3.0 m"}}), "lamp")
    plain = resolve(said, outline_of({"preset": "medium-high"}), "lamp")
    assert parse_length(short.at["back"]) < parse_length(plain.at["back"])


def test_a_datum_behind_the_front_edge_shortens_every_distance_back() -> None:
    said = parse_place("rear left high")
    moved = resolve(said, outline_of({"preset": "medium-high", "datum": {"forward": "0.5 m"}}), "lamp")
    plain = resolve(said, outline_of({"preset": "medium-high"}), "lamp")
    assert math.isclose(parse_length(plain.at["back"]) - parse_length(moved.at["back"]), 0.5, abs_tol=0.06)


def test_a_keep_out_is_kept_out_of() -> None:
    bag = {"wall": "left", "back": "2.5 m", "up": "1.1 m"}
    vehicle = {
        "preset": "medium-high",
        "keep_outs": [
            {"name": "bag", "why": "airbag", "corner": bag, "opposite": {**bag, "back": "3.7 m", "up": "1.3 m"}}
        ],
    }
    found = resolve(parse_place("rear left high"), outline_of(vehicle), "lamp").at
    assert not 1.1 < parse_length(found["up"]) < 1.3 or parse_length(found["back"]) < 2.5


def test_a_mesh_van_has_no_rough_places() -> None:
    assert outline_of({"mesh": "van.obj"}) is None
    with pytest.raises(SpellingError, match="mesh file"):
        resolve(parse_place("rear left high"), None, "lamp")


def test_rough_places_are_on_the_metal_of_the_real_shell(tmp_path: Path) -> None:
    """Every rough word at once, looked for on the shell, which refuses places off the metal or on a member."""
    outline = outline_of({"preset": "medium-high"})
    devices = [
        {"id": f"d{n}", "name": text, "at": resolve(parse_place(text), outline, f"d{n}").at, "amps": "0.1 A"}
        for n, text in enumerate(WORDS)
    ]
    battery = {"id": "b", "name": "Battery", "kind": "source", "at": {"wall": "left", "back": "0.6 m", "up": "0.3 m"}}
    project = Project.model_validate(
        {
            "ribway": 1,
            "name": "everywhere",
            "vehicle": {"preset": "medium-high"},
            "shop": {"spare": "none"},
            "devices": [battery, *devices],
            "circuits": [
                {"id": f"c{n}", "name": "c", "kind": "data", "from": "b", "to": [f"d{n}"], "cable": "4 x 0.25 mm2"}
                for n in range(len(devices))
            ],
        }
    )
    space = build_space(project, shell_of(project, tmp_path))
    assert len(space.portals) == len(devices) + 1
