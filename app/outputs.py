"""An output folder appears whole or not at all, and never in the place of anything but an earlier output.

The folder is written under another name beside its place and then renamed. A list of what was written, with checksums,
lies in it: only files that are on the list and still as they were written are ever replaced.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from ribway.models.disk_words import disk_reason

PRODUCTS = ".ribway-products.json"
"""The list of what was written: path to SHA-256."""


class OutputRefusedError(Exception):
    """The output folder cannot be written; what was there is as it was."""


def check_folder(folder: Path) -> None:
    """Make sure that an output folder may be written, before anything takes time.

    Args:
        folder: the output folder; it may be missing.

    Raises:
        OutputRefusedError: it is no folder, or holds something that ribway did not write.
    """
    if folder.is_symlink() or not folder.exists():
        if folder.is_symlink():
            raise OutputRefusedError(f"{folder}: this is a link, not a folder: give the folder itself")
        return
    if not folder.is_dir():
        raise OutputRefusedError(f"{folder}: this is a file, not a folder: give another name")
    try:
        strange = _strangers(folder)
    except OSError as error:
        raise OutputRefusedError(f"{folder}: cannot be looked into: {disk_reason(error)}") from error
    if strange:
        more = f" and {len(strange) - 3} more" if len(strange) > 3 else ""
        raise OutputRefusedError(
            f"{folder}: the folder holds {', '.join(strange[:3])}{more}, not written by ribway or changed since: "
            "move it away, or give another folder"
        )


def publish(folder: Path, write: Callable[[Path], None]) -> None:
    """Write an output folder whole, in the place of an earlier one.

    Args:
        folder: the output folder; parents that are missing are made.
        write: writes everything into the empty folder that it is given.

    Raises:
        OutputRefusedError: as for `check_folder`, or the disk refuses; the earlier output is as it was then.
    """
    check_folder(folder)
    folder = folder.absolute()
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    except OSError as error:
        raise OutputRefusedError(f"{folder}: cannot be written: {disk_reason(error)}") from error
    try:
        write(fresh)
        _list_products(fresh)
        _open_to_others(fresh)
        _swap(fresh, folder)
    except OSError as error:
        raise OutputRefusedError(f"{folder}: cannot be written: {disk_reason(error)}") from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _files(folder: Path) -> list[str]:
    """Everything below a folder but the list itself; empty folders too, since they may be someone's."""
    found = [item for item in folder.rglob("*") if not item.is_dir() or item.is_symlink() or not any(item.iterdir())]
    return sorted(item.relative_to(folder).as_posix() for item in found if item != folder / PRODUCTS)


def _checksum(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _list_products(folder: Path) -> None:
    sums = {name: _checksum(folder / name) for name in _files(folder) if (folder / name).is_file()}
    (folder / PRODUCTS).write_text(json.dumps(sums, indent=0, sort_keys=True) + "\n", encoding="utf-8")


def _strangers(folder: Path) -> list[str]:
    """What lies in a folder and is not as ribway wrote it."""
    try:
        known = json.loads((folder / PRODUCTS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        known = {}
    sums = known if isinstance(known, dict) else {}
    if not sums:  # somebody else's folder, which may be as deep as the disk
        return sorted(item.name for item in folder.iterdir() if item.name != PRODUCTS)
    strange = []
    for name in _files(folder):
        file = folder / name
        plain = file.is_file() and not file.is_symlink()
        if not plain or sums.get(name) != _checksum(file):
            strange.append(name)
    return strange


def _open_to_others(folder: Path) -> None:
    """Give the permissions that anything else made here would have; temporary files are their owner's alone."""
    mask = os.umask(0)
    os.umask(mask)
    folder.chmod(0o777 & ~mask)
    for item in folder.rglob("*"):
        item.chmod((0o777 if item.is_dir() else 0o666) & ~mask)


def _swap(fresh: Path, folder: Path) -> None:
    """Put the new folder in the old one's place; if that fails, the old one goes back."""
    if not folder.exists():
        fresh.rename(folder)
        return
    check_folder(folder)
    old = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.old."))
    try:
        folder.rename(old / folder.name)
        try:
            fresh.rename(folder)
        finally:
            if not folder.exists():
                (old / folder.name).rename(folder)
    finally:
        if folder.exists():
            shutil.rmtree(old, ignore_errors=True)
