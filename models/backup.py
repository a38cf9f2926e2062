"""A file replaced whole or not at all, what was there kept beside it."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def replace_file(path: Path, data: bytes) -> Path | None:
    """Put new contents in a file's place.

    Args:
        path: the file; it may be missing.
        data: its new contents.

    Returns:
        The backup of what was there, ``name.bak-1`` or the next free number; None if nothing was there, or if it was
        the same already and nothing was written.

    Raises:
        OSError: the folder cannot be written to; the file is as it was.
    """
    target = path.resolve()
    backup = None
    if target.exists():
        original = target.read_bytes()
        if original == data:
            return None
        backup = _kept(target, original)
    put_file(target, data)
    return backup


def put_file(path: Path, data: bytes) -> None:
    """Put new contents in a file's place, whole or not at all; nothing is kept of what was there.

    Args:
        path: the file; it may be missing.
        data: its new contents.

    Raises:
        OSError: the folder or the file cannot be written to; the file is as it was.
    """
    target = path.resolve()
    mode = target.stat().st_mode & 0o7777 if target.exists() else None
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode if mode is not None else 0o666 & ~_mask())
        os.replace(name, target)
    finally:
        Path(name).unlink(missing_ok=True)  # gone already if it has taken the file's place


def _kept(target: Path, original: bytes) -> Path:
    number = 1
    while True:
        backup = target.with_name(f"{target.name}.bak-{number}")
        try:
            with backup.open("xb") as file:
                file.write(original)
            return backup
        except FileExistsError:
            number += 1


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
