"""Text files of people, read with a clear sentence for everything that can be in the way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ribway.models.disk_words import disk_reason
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, InputFaults, ProjectFaults, whole_file

_HEAD_BYTES = 20_000


def read_text(
    path: Path,
    most_bytes: int,
    faults: type[InputFaults] = ProjectFaults,
    other_kind: Callable[[str, str], str] = lambda text, file: "",
) -> str:
    """Read a text file.

    Args:
        path: the file.
        most_bytes: size above which it is refused [byte].
        faults: what to raise.
        other_kind: why the text (its beginning, and the file's name) is another kind of file; empty if it is not.

    Returns:
        The text, line ends as they stand, without a byte order mark.

    Raises:
        InputFaults: missing, a folder, unreadable, too big, of another kind, or no UTF-8 text.
    """
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise faults([_unreadable(path, error)]) from None
    except ValueError:
        raise faults([whole_file(str(path), "this is no file name", found=str(path))]) from None
    other = other_kind(data[:_HEAD_BYTES].decode("utf-8", errors="replace").removeprefix("\ufeff"), str(path))
    if other:
        raise faults([whole_file(str(path), other)])
    if len(data) > most_bytes:
        message = f"the file is bigger than {most_bytes / 1e6:g} MB, which is too big for what it should be"
        raise faults([whole_file(str(path), message, accepted=f"{most_bytes / 1e6:g} MB at most")])
    if data[:4] == b"PK\x03\x04":
        message = "this is a spreadsheet or an archive, not text: save it as text"
        raise faults([whole_file(str(path), message, accepted="UTF-8 text")])
    if b"\0" in data:
        raise faults([whole_file(str(path), "this is a binary file, not text", accepted="UTF-8 text")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"the file is not UTF-8 text (byte {data[error.start]:#04x}): save it with the encoding UTF-8"
        raise faults([whole_file(str(path), message, accepted="UTF-8 text", line=line)]) from None


def _unreadable(path: Path, error: OSError) -> Fault:
    """Why a file cannot be read, and what to do."""
    if isinstance(error, FileNotFoundError):
        meant = _beside(path)
        return whole_file(str(path), f"there is no such file{f': did you mean {meant}?' if meant else ''}")
    if isinstance(error, IsADirectoryError):
        return whole_file(str(path), "this is a folder, not a file", accepted="a file")
    if isinstance(error, PermissionError):
        return whole_file(str(path), "you may not read this file: change its permissions")
    return whole_file(str(path), f"the file cannot be read: {disk_reason(error)}")


def _beside(path: Path) -> str | None:
    """The file beside a missing one that was probably meant."""
    try:
        names = [
            item.name
            for item in path.parent.iterdir()
            if item.is_file() and not item.name.startswith(".") and _ending(item) == _ending(path)
        ]
    except OSError:
        return None
    return nearest_word(path.name, names)


def _ending(path: Path) -> str:
    """A file's ending, both spellings of YAML as one."""
    ending = path.suffix.lower()
    return ".yaml" if ending == ".yml" else ending
