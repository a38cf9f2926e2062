"""An output folder appears whole or not at all, and replaces nothing but an earlier output."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from ribway.outputs import PRODUCTS, OutputRefusedError, check_folder, publish


def contents(folder: Path) -> dict[str, str]:
    """All files below a folder, the list of products aside."""
    files = [item for item in folder.rglob("*") if item.is_file() and item.name != PRODUCTS]
    return {item.relative_to(folder).as_posix(): item.read_text(encoding="utf-8") for item in files}


def write_two(folder: Path) -> None:
    (folder / "plan.json").write_text("{}", encoding="utf-8")
    (folder / "papers").mkdir()
    (folder / "papers" / "cut.csv").write_text("1", encoding="utf-8")


def write_one(folder: Path) -> None:
    (folder / "plan.json").write_text("[]", encoding="utf-8")


def test_it_appears_whole_with_a_list_of_what_was_written(tmp_path: Path) -> None:
    out = tmp_path / "new" / "out"
    publish(out, write_two)
    assert contents(out) == {"plan.json": "{}", "papers/cut.csv": "1"}
    # sha256 of "1", as `printf 1 | sha256sum` gives it
    assert json.loads((out / PRODUCTS).read_text())["papers/cut.csv"] == (
        "6b86b273ff34fce19d6b804eff5a3f5747ada4eaa22f1d49c01e52ddb7875b4b"
    )
    assert [item.name for item in out.parent.iterdir()] == ["out"]


def test_an_earlier_output_is_replaced_and_nothing_of_it_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(out, write_two)
    publish(out, write_one)
    assert contents(out) == {"plan.json": "[]"}
    assert [item.name for item in tmp_path.iterdir()] == ["out"]


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    publish(out, write_one)
    assert contents(out) == {"plan.json": "[]"}


class Broken(Exception):
    """What goes wrong in the middle."""


def test_when_writing_fails_the_last_output_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(out, write_two)

    def write_half(folder: Path) -> None:
        write_one(folder)
        raise Broken

    with pytest.raises(Broken):
        publish(out, write_half)
    assert contents(out) == {"plan.json": "{}", "papers/cut.csv": "1"}
    assert [item.name for item in tmp_path.iterdir()] == ["out"]


def test_a_full_disk_is_told_in_words_and_leaves_nothing(tmp_path: Path) -> None:
    def write_too_much(folder: Path) -> None:
        write_one(folder)
        raise OSError(28, "No space left on device")

    with pytest.raises(OutputRefusedError, match="cannot be written: the disk is full"):
        publish(tmp_path / "out", write_too_much)
    assert list(tmp_path.iterdir()) == []


def test_someone_elses_file_is_never_replaced(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(out, write_two)
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefusedError, match=r"out: the folder holds notes\.txt, not written by ribway"):
        publish(out, write_one)
    assert contents(out)["plan.json"] == "{}"


def test_a_product_that_was_filled_in_by_hand_is_never_replaced(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(out, write_two)
    (out / "papers" / "cut.csv").write_text("1, done", encoding="utf-8")
    with pytest.raises(OutputRefusedError, match=r"holds papers/cut\.csv"):
        check_folder(out)


def test_a_strange_folder_is_refused(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    for number in range(5):
        (home / f"{number}.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefusedError, match=r"holds 0\.txt, 1\.txt, 2\.txt and 2 more"):
        check_folder(home)


def test_files_and_links_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefusedError, match="this is a file, not a folder"):
        publish(file, write_one)
    link = tmp_path / "link"
    link.symlink_to(tmp_path)
    with pytest.raises(OutputRefusedError, match="this is a link"):
        publish(link, write_one)
    with pytest.raises(OutputRefusedError, match="cannot be written"):
        publish(file / "below", write_one)
    assert file.read_text(encoding="utf-8") == "mine"


def test_permissions_are_those_of_any_new_file(tmp_path: Path) -> None:
    def write_private(folder: Path) -> None:
        write_one(folder)
        (folder / "plan.json").chmod(0o600)

    old = os.umask(0o027)
    try:
        publish(tmp_path / "out", write_private)
    finally:
        os.umask(old)
    assert (tmp_path / "out").stat().st_mode & 0o777 == 0o750
    assert (tmp_path / "out" / "plan.json").stat().st_mode & 0o777 == 0o640
