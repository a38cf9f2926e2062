"""``ribway place``: what it says, what it writes, and what it refuses."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.placing import PlacingField, PlannedPlace
from ribway.placing_words import placing_parts, proof_words

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"


@pytest.fixture(scope="module")
def field(tmp_path_factory: pytest.TempPathFactory) -> PlacingField:
    file = tmp_path_factory.mktemp("places") / "places.json"
    assert main(["place", str(FILE), "fridge", "--step", "40cm", "--plans", "2", "--out", str(file)]) == 0
    return PlacingField.model_validate_json(file.read_bytes(), context={"si": True})


def test_the_field_is_written(field: PlacingField) -> None:
    count = len(field.points)
    assert count == len(field.walls) == len(field.places) == len(field.bound_kg) > 5
    assert len(field.planned) == 2
    assert field.planned[0].at == 0
    for one in field.planned:
        bound = field.bound_kg[one.at]
        assert one.planned_kg is not None
        assert bound is not None
        assert bound <= one.planned_kg
    assert field.best[0].planned_kg == min(one.planned_kg for one in field.planned if one.planned_kg is not None)


@pytest.mark.parametrize(
    ("words", "most"),
    [(("fridge", "--step", "80cm", "--plans", "2"), 2), (("board", "--second", "--step", "80cm", "--plans", "1"), 2)],
)
def test_on_a_terminal_each_trial_is_counted(
    words: tuple[str, ...], most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    seen = Terminal()
    monkeypatch.setattr(sys, "stderr", seen)
    monkeypatch.setattr("ribway.waiting_line.AFTER_S", 0.0)
    monkeypatch.setattr("ribway.waiting_line.EVERY_S", 0.0)
    assert main(["place", str(FILE), *words]) == 0
    counts = re.findall(r"planning trials, (\d+) of (\d+)", seen.getvalue())
    assert list(dict.fromkeys(counts)) == [(str(done), str(most)) for done in range(most)]


def test_it_is_said_in_words(field: PlacingField) -> None:
    said = "\n".join(part for part in placing_parts(field, "metric") if isinstance(part, str))
    assert f"{len(field.points)} places on" in said
    assert "Cables there: " in said
    assert ("Not proven" in said) is not field.proven


def test_a_proof_is_told_for_what_it_is(field: PlacingField) -> None:
    proven = field.model_copy(update={"proven": True, "open_kg": 1.23456})
    assert "1.234 kg or more" in proof_words(proven, "metric"), "rounded down"
    alone = field.model_copy(update={"planned": (PlannedPlace(at=0, planned_kg=None),)})
    assert proof_words(alone, "metric") == "Nothing is proven."


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("nobody",), "there is no device nobody"),
        (("fridge", "--step", "5 m"), "makes no sense between places"),
        (("fridge", "--size", "big"), "is no size"),
        (("fridge", "--plans", "0"), "0 makes no sense"),
        (("fridge", "--out", "places.txt"), "name such a file with --out"),
    ],
)
def test_what_it_refuses(words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    try:
        code = main(["place", str(FILE), *words])
    except SystemExit as ended:
        code = int(str(ended.code))
    assert code == 2
    assert told in capsys.readouterr().err


VAN = """\
ribway: 1
name: Two sizes
vehicle: {preset: short-high}
shop: {use_at_most: 1 size}
devices:
  - {id: battery, name: Battery, kind: source, at: {wall: left, back: 0.65 m, up: 0.30 m}}
  - {id: board, name: Fuse board, kind: board, at: {wall: left, back: 1.10 m, up: 0.75 m}}
  - {id: fridge, name: Fridge, at: {wall: right, back: 2.05 m, up: 0.60 m}, amps: 5 A}
circuits:
  - {id: main, name: Main feed, from: battery, to: [board]}
  - {id: fridge, name: Fridge, from: board, to: [fridge]}
"""


def test_few_sizes_on_the_shelf_are_kept_to(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With any sizes the fridge would take a thinner cable than the main feed; with one size it takes the same."""
    taken = []
    for text in (VAN.replace("shop: {use_at_most: 1 size}\n", ""), VAN):
        (tmp_path / "project.yaml").write_text(text)
        words = ["place", str(tmp_path), "board", "--step", "80cm", "--plans", "2", "--out", str(tmp_path / "p.json")]
        assert main(words) == 0
        field = PlacingField.model_validate_json((tmp_path / "p.json").read_bytes(), context={"si": True})
        taken.append({size.split(" ", 1)[1] for one in field.planned for size in one.sizes})
    assert len(taken[0]) > 1
    assert len(taken[1]) == 1
    assert "alone, as use_at_most asks" in capsys.readouterr().out
