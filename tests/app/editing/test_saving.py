"""Saving: a backup, the permissions kept, and nothing written over another's work."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.editing.saving import ChangedOnDiskError, save


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "project.yaml"
    path.write_bytes(b"name: a # x\r\n")
    path.chmod(0o640)
    return path


def test_what_was_there_is_kept_beside_it(file: Path) -> None:
    backup = save(file, "name: a # x\r\n", "name: b # x\r\n")
    assert backup == file.with_name("project.yaml.bak-1")
    assert backup.read_bytes() == b"name: a # x\r\n"
    assert file.read_bytes() == b"name: b # x\r\n"
    assert file.stat().st_mode & 0o777 == 0o640
    assert save(file, "name: b # x\r\n", "name: b # x\r\n") is None


def test_a_file_that_was_changed_meanwhile_stays(file: Path) -> None:
    file.write_text("name: theirs\n", encoding="utf-8")
    with pytest.raises(ChangedOnDiskError, match="changed by somebody else"):
        save(file, "name: a # x\r\n", "name: mine\n")
    assert file.read_text(encoding="utf-8") == "name: theirs\n"
    assert [item.name for item in file.parent.iterdir()] == ["project.yaml"]


def test_a_byte_order_mark_stays(file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbfname: a\n")
    save(file, "name: a\n", "name: ä\n")
    assert file.read_bytes() == b"\xef\xbb\xbf" + "name: ä\n".encode()


def test_a_link_is_followed(file: Path) -> None:
    link = file.with_name("link.yaml")
    link.symlink_to(file)
    save(link, "name: a # x\r\n", "name: b\n")
    assert link.is_symlink()
    assert file.read_text(encoding="utf-8") == "name: b\n"
