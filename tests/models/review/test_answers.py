"""Answers files: each answer is checked, all faults at once, and none is taken if one is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.models.project_faults import ProjectFaults
from ribway.models.review.answers import answered, read_answers_file
from ribway.models.review.review import Review, review_of
from samples.draft import found_holes


@pytest.fixture
def review() -> Review:
    return review_of(found_holes())


def written(folder: Path, text: str) -> Path:
    file = folder / "answers.json"
    file.write_text(text, encoding="utf-8")
    return file


def sentences(folder: Path, review: Review, text: str) -> list[str]:
    with pytest.raises(ProjectFaults) as caught:
        answered(review, read_answers_file(written(folder, text)))
    return [str(fault) for fault in caught.value.faults]


def test_answers_are_taken(tmp_path: Path, review: Review) -> None:
    text = """{"ribway_answers": 1, "draft": "any", "openings": [
      {"name": "L1a", "say": "confirm", "move": {"forward": "3 mm", "up": "-1/4 in"}},
      {"name": "L1b", "say": "delete"},
      {"name": "L1d", "rename": "L1b", "say": "confirm"}]}"""
    with pytest.raises(ProjectFaults, match="something else has that name"):
        answered(review, read_answers_file(written(tmp_path, text)))
    after = answered(review, read_answers_file(written(tmp_path, text.replace('"rename": "L1b"', '"rename": "high"'))))
    assert [(one.name, one.mark) for one in after.holes] == [
        ("L1a", "confirmed"), ("L1b", "deleted"), ("high", "confirmed"), ("window-left-1", "open"),
    ]  # fmt: skip
    assert after.hole("L1a").moved_m == pytest.approx((0.003, 0.0, -0.00635))


def test_all_faults_come_at_once_each_with_its_place(tmp_path: Path, review: Review) -> None:
    text = """ribway_answers: 1
openings:
  - {name: L1x, say: confirm}
  - {name: L1a, move: {up: 600 mm}}
  - {name: L1b, say: confirm}
  - {name: L1b, say: delete}
  - {name: L1d, rename: "a/b"}
"""
    said = sentences(tmp_path, review, text)
    assert len(said) == 4
    for place, words in [
        ("openings / L1x, line 3", "there is no opening 'L1x'; did you mean L1"),
        ("openings / L1a, line 4", "0.60 m from where it was found"),
        ("openings / L1b, line 6", "answered twice"),
        ("openings", "L1d cannot be called 'a/b'"),
    ]:
        assert any(place in one and words in one for one in said), (place, words, said)
    assert review == review_of(found_holes())


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ('{"name": "L1a", "move": {"up": "NaN mm"}}', ("L1a / move / up", "NaN mm")),
        ('{"name": "L1a", "move": {"up": 3}}', ("L1a / move / up", "3")),
        ('{"name": "L1a", "move": {"down": "3 mm"}}', ("L1a / move", "down")),
        ('{"name": "L1a", "say": "yes"}', ("L1a / say", "yes")),
        ('{"say": "confirm"}', ("number 1", "name")),
        ('"L1a"', ("number 1", "L1a")),
        ('{"name": "L1a", "say": "delete", "rename": "x"}', ("L1a", "deleted and renamed")),
    ],
)
def test_what_cannot_be_read_is_one_sentence(
    tmp_path: Path, review: Review, entry: str, words: tuple[str, str]
) -> None:
    said = sentences(tmp_path, review, f'{{"ribway_answers": 1, "openings": [{entry}]}}')
    assert len(said) == 1
    for word in words:
        assert word in said[0]


@pytest.mark.parametrize("text", ["", "[]", "{", '{"openings": []}', '{"ribway_answers": 2}', "\x00", "name: x"])
def test_no_answers_file_at_all(tmp_path: Path, review: Review, text: str) -> None:
    said = sentences(tmp_path, review, text)
    assert said
    assert all(one.startswith(str(tmp_path / "answers.json")) for one in said)
