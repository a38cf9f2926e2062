"""A draft's openings from the files into window and page, and what was said of them back into the files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from ribway.cli import main
from ribway.drafts import Keeper, is_draft, metal_of, read_draft
from ribway.models.review.found import FOUND_FILE, read_found
from ribway.models.review.review import marked, moved, renamed
from samples.draft import PROJECT, write_draft

ANSWERS = """{"ribway_answers": 1, "draft": "Small draft", "openings": [
 {"name": "L1a", "say": "confirm", "rename": "L1low"},
 {"name": "L1b", "say": "delete"},
 {"name": "L1d", "say": "confirm", "move": {"up": "4 mm"}},
 {"name": "window-left-1", "say": "confirm"}
]}"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return write_draft(tmp_path)


def test_a_draft_is_known_by_what_was_found_and_by_having_no_device(file: Path) -> None:
    assert is_draft(file)
    assert is_draft(file.parent)
    (file.parent / "equipment.csv").write_text(
        "Name,Kind,Place\nFridge,fridge,left 1 m back 0.5 m up\n", encoding="utf-8"
    )
    assert not is_draft(file)
    (file.parent / "equipment.csv").unlink()
    assert is_draft(file)
    (file.parent / FOUND_FILE).unlink()
    assert not is_draft(file)
    assert not is_draft(file.parent / "nothing.yaml")


def test_openings_of_the_file_and_found_ones_come_together(file: Path) -> None:
    draft = read_draft(file)
    got = {one.name: (one.kind, one.state, one.mark, one.is_sure) for one in draft.review.holes}
    assert got == {
        "L1a": ("way", "assumed", "open", True),
        "L1b": ("way", "assumed", "open", True),
        "L1c": ("way", "measured", "confirmed", True),
        "L1d": ("way", "", "open", False),
        "window-left-1": ("window", "", "open", True),
    }
    assert {one.name for one in metal_of(draft)} == {"left", "L1"}
    assert draft.review.hole("L1c").centre == pytest.approx((-1.0, 0.87, 1.2))


def test_answers_go_into_the_file_with_a_backup_and_remarks_kept(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (file.parent / "a.json").write_text(ANSWERS, encoding="utf-8")
    assert main(["survey", "--answers", str(file.parent / "a.json"), str(file)]) == 0
    said = capsys.readouterr().out
    assert "4 of 5 openings changed: 0 to look at, 4 confirmed, 1 deleted" in said
    assert (file.parent / "project.yaml.bak-1").read_text(encoding="utf-8") == PROJECT
    text = file.read_text(encoding="utf-8")
    for kept in ("looked at twice", "# from the floor up", "# behind the seat", "# by tape"):
        assert kept in text
    assert "{name: L1low, member: L1, shape: round, size: 25 mm, skins: [left, left], state: measured" in text
    assert "L1b" not in text
    draft = read_draft(file)
    assert [(one.name, one.mark) for one in draft.review.holes] == [
        ("L1low", "confirmed"), ("L1c", "confirmed"), ("L1d", "confirmed"), ("L1b", "deleted"),
        ("window-left-1", "confirmed"),
    ]  # fmt: skip
    assert draft.review.hole("L1d").centre == pytest.approx((-1.0, 0.87, 1.004))
    assert draft.review.hole("L1d").sure == pytest.approx(0.56)
    # The same again finds nothing of the old names; a new file with nothing in it changes nothing.
    assert main(["survey", "--answers", str(file.parent / "a.json"), str(file)]) == 2
    assert "there is no opening 'L1a'" in capsys.readouterr().err
    (file.parent / "b.json").write_text('{"ribway_answers": 1}', encoding="utf-8")
    assert main(["survey", "--answers", str(file.parent / "b.json"), str(file)]) == 0
    assert not (file.parent / "project.yaml.bak-2").exists()


RUNS = """\
runs:   # what the fitter wants
  - {id: fridge, circuit: fridge, from: bar, to: fridge, via: [L1a, L1b]}   # low, then behind the seat
  - id: lamp
    circuit: lamp
    from: bar
    to: lamp
    by_hand: [L1b, L1c]   # as pulled last year
"""


def test_renamed_and_deleted_openings_that_runs_name(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Remarks stay; another reader of YAML finds the new names; what a deletion means is said and has to be chosen."""
    text = file.read_text(encoding="utf-8")
    file.write_text(text + RUNS, encoding="utf-8")
    answers = file.parent / "a.json"
    gone: dict[str, object] = {"name": "L1b", "say": "delete"}
    for said, code, words in (
        (gone, 2, "named in runs / fridge / via, runs / lamp / by_hand: say free"),
        ({**gone, "free": True, "instead": "L1c"}, 2, "say one of them"),
        ({**gone, "say": "confirm", "free": True}, 2, "is not deleted"),
        ({**gone, "instead": "L1d"}, 2, "cannot give way to L1d"),
        ({**gone, "free": True}, 0, "runs / lamp is not laid by hand any more"),
    ):
        renames = {"name": "L1a", "rename": "low"}
        answers.write_text(json.dumps({"ribway_answers": 1, "openings": [renames, said]}), encoding="utf-8")
        assert main(["survey", "--answers", str(answers), str(file)]) == code
        told = capsys.readouterr()
        assert words in (told.err if code else told.out)
        assert code == 0 or file.read_text(encoding="utf-8") == text + RUNS
    after = file.read_text(encoding="utf-8")
    for kept in ("# what the fitter wants", "# low, then behind the seat", "# behind the seat", "# by tape"):
        assert kept in after
    read = YAML(typ="safe").load(after)
    assert [run.get("via") for run in read["runs"]] == [["low"], None]
    assert "by_hand" not in read["runs"][1]
    assert [one["name"] for one in read["vehicle"]["openings"]] == ["low", "L1c"]
    assert main(["page", str(file), "--openings", "--out", str(file.parent / "p.html")]) == 0
    assert "named in runs / fridge / via" in (file.parent / "p.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ({"name": "L9z", "say": "confirm"}, "there is no opening 'L9z'"),
        ({"name": "L1a", "move": {"up": "three"}}, "L1a / move / up"),
        ({"name": "L1a", "move": {"up": "2 m"}}, "2.00 m from where it was found"),
        ({"name": "L1a", "move": {"up": "100 mm"}}, "runs into the member's metal"),
        ({"name": "L1a", "rename": "L1c"}, "something else has that name"),
    ],
)
def test_a_bad_answer_is_said_and_nothing_is_written(
    file: Path, capsys: pytest.CaptureFixture[str], answer: dict[str, object], words: str
) -> None:
    both = {"ribway_answers": 1, "openings": [{"name": "L1b", "say": "confirm"}, answer]}
    (file.parent / "a.json").write_text(json.dumps(both), encoding="utf-8")
    assert main(["survey", "--answers", str(file.parent / "a.json"), str(file)]) == 2
    assert words in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == PROJECT
    assert not list(file.parent.glob("*.bak*"))


def test_bad_files_are_said(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (file.parent / "a.json").write_text(ANSWERS, encoding="utf-8")
    assert main(["survey", "--answers", str(file.parent / "no.json"), str(file)]) == 2
    assert "no.json" in capsys.readouterr().err
    assert main(["survey", "--answers", str(file.parent / "a.json"), str(file), "--out", "x"]) == 2
    assert "without --out" in capsys.readouterr().err
    (file.parent / FOUND_FILE).write_text('{"ribway_found": 1, "openings": [{"name": "x"}]}', encoding="utf-8")
    assert main(["survey", "--answers", str(file.parent / "a.json"), str(file)]) == 2
    assert "survey the mesh again" in capsys.readouterr().err
    (file.parent / "shell.obj").unlink()
    assert main(["page", str(file), "--openings", "--out", str(file.parent / "p.html")]) == 2
    assert "shell.obj" in capsys.readouterr().err


def test_saved_step_by_step_from_the_window(file: Path) -> None:
    keeper = Keeper(read_draft(file))
    review, said = keeper.save(marked(keeper.draft.review, "L1a", "confirmed"))
    assert review is not None
    assert "project.yaml.bak-1" in said
    review, said = keeper.save(renamed(moved(review, "L1c", (0.0, 0.0, 0.01)), "L1c", "top"))
    assert review is not None
    assert "bak-2" in said
    after = read_draft(file).review
    assert after.hole("top").centre == pytest.approx((-1.0, 0.87, 1.21))
    assert after.hole("L1a").mark == "confirmed"
    assert {one.name for one in read_found(file.parent / FOUND_FILE).openings} == {one.name for one in after.holes}


def test_what_somebody_else_wrote_meanwhile_is_not_lost(file: Path) -> None:
    keeper = Keeper(read_draft(file))
    file.write_text(PROJECT + "# mine\n", encoding="utf-8")
    review, said = keeper.save(marked(keeper.draft.review, "L1a", "confirmed"))
    assert review is None
    assert "changed by somebody else" in said
    assert file.read_text(encoding="utf-8").endswith("# mine\n")


def test_the_page_of_a_draft_and_its_command(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = file.parent / "p.html"
    assert main(["page", str(file), "--out", str(page)]) == 0
    assert f"ribway survey --answers openings-answers.json {file}" in capsys.readouterr().out
    text = page.read_text(encoding="utf-8")
    for name in ("L1a", "L1b", "L1c", "L1d", "window-left-1"):
        assert f'data-id="{name}"' in text


def test_a_window_without_a_screen_is_said(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    assert main(["view", str(file)]) == 1
    assert "needs a screen" in capsys.readouterr().err
    assert main(["view", str(file), "--openings", "--picture", "x.png"]) == 2
    assert "ribway survey --picture" in capsys.readouterr().err
