"""Steps back and forth, and the journal that keeps them."""

from __future__ import annotations

import json
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from ribway.live.history import MOST_STEPS, History, opened, redone, saved, taken, undone, with_step
from ribway.live.journal import Journal


@given(
    st.lists(
        st.one_of(st.text(max_size=3).map(lambda text: ("edit", text)), st.sampled_from([("undo", ""), ("redo", "")]))
    )
)
def test_undo_and_redo_walk_one_line_of_states(moves: list[tuple[str, str]]) -> None:
    """Against two plain stacks, as undo is commonly explained."""
    history, before, after, now = opened("start"), [], [], "start"
    for move, text in moves:
        old = history
        if move == "edit":
            history = with_step(history, text, "edit")
            if text != now:
                before, after, now = [*before, now][-(MOST_STEPS - 1) :], [], text
        elif move == "undo":
            history = undone(history)
            if before:
                after, now, before = [*after, now], before[-1], before[:-1]
        else:
            history = redone(history)
            if after:
                before, now, after = [*before, now], after[-1], after[:-1]
        assert history.text == now
        assert history.revision == old.revision + (history is not old)
        assert bool(history.undo_words) == bool(before)
        assert bool(history.redo_words) == bool(after)
        assert history.unsaved == (now != "start")


def test_what_is_saved_is_no_longer_unsaved_and_can_still_be_taken_back() -> None:
    history = saved(with_step(opened("a"), "b", "edit"))
    assert not history.unsaved
    assert undone(history).text == "a"
    assert undone(history).unsaved


def test_the_files_new_state_is_a_step_that_can_be_taken_back() -> None:
    history = taken(with_step(opened("a"), "mine", "edit"), "theirs")
    assert (history.text, history.unsaved) == ("theirs", False)
    assert undone(history).text == "mine"


def test_many_steps_are_not_kept_for_ever() -> None:
    history = opened("0")
    for number in range(1, 3 * MOST_STEPS):
        history = with_step(history, str(number), "edit")
    assert len(history.steps) == MOST_STEPS
    assert history.text == str(3 * MOST_STEPS - 1)


def kept(journal: Journal, *texts: str) -> History:
    history = opened("on disk\n")
    for text in texts:
        history = with_step(history, text, f"to {text}")
        assert journal.add(history, f"to {text}") == ""
    return history


def test_the_journal_tells_what_was_not_saved(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "project.yaml")
    assert journal.read() is None
    history = kept(journal, "one\n", "two ü\n")
    found = Journal(tmp_path / "project.yaml").read()
    assert found is not None
    assert (found.disk, found.text, found.undo_words) == ("on disk\n", "two ü\n", "to two ü\n")
    assert undone(found).text == "one\n"
    journal.add(undone(undone(history)), "undo")
    assert journal.read() is None
    assert list(tmp_path.iterdir()) == []


def test_a_last_line_that_a_crash_cut_off_is_left_out(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "project.yaml")
    kept(journal, "one\n", "two\n")
    whole, found = journal.path.read_text(encoding="utf-8"), None
    for length in range(len(whole) - 2, len(whole) - len(json.dumps({"text": "two\n"})), -7):
        journal.path.write_text(whole[:length], encoding="utf-8")
        found = journal.read()
        assert found is not None
        assert found.text == "one\n"
    assert found is not None
    journal.add(with_step(found, "three\n", "to three"), "to three")
    again = journal.read()
    assert again is not None
    assert [step.text for step in again.steps] == ["on disk\n", "one\n", "three\n"]


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "missing" / "project.yaml")
    assert "cannot be kept here" in journal.add(with_step(opened("a"), "b", "edit"), "edit")
