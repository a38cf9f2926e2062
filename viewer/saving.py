"""Picture files: names that are free, and files that appear whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO

from PIL import Image


def save_png(image: Image.Image, path: Path) -> None:
    """Writes a picture; the file appears whole or not at all.

    Args:
        image: the picture.
        path: where to; an older file there is replaced.

    Raises:
        OSError: if the file cannot be written.
    """
    _save(path, lambda stream: image.save(stream, format="PNG"))


def save_gif(frames: Sequence[Image.Image], path: Path, shown_ms: Sequence[int]) -> None:
    """Writes frames that follow one another for ever; the file appears whole or not at all.

    Args:
        frames: one or more pictures with the same palette.
        path: where to; an older file there is replaced.
        shown_ms: how long each is shown [ms].

    Raises:
        OSError: if the file cannot be written.
    """
    first, *others = frames
    _save(
        path,
        lambda stream: first.save(
            stream, format="GIF", save_all=True, append_images=others, duration=list(shown_ms), loop=0, optimize=True
        ),
    )


def _save(path: Path, write: Callable[[IO[bytes]], None]) -> None:
    """Writes beside the place and then moves there."""
    handle, name = tempfile.mkstemp(suffix=path.suffix, dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            write(stream)
        # A temporary file is for its owner's eyes alone; a picture has the rights any new file has.
        mask = os.umask(0)
        os.umask(mask)
        part.chmod(0o666 & ~mask)
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise


def free_name(project: str, folder: Path) -> Path:
    """A name for a new picture.

    Args:
        project: the project's name.
        folder: where the file is to lie.

    Returns:
        A path in the folder that is not taken, named for the project and numbered.
    """
    stem = re.sub(r"[^\w-]+", "-", project).strip("-") or "van"
    number = 1
    while (path := folder / f"{stem}-{number}.png").exists():
        number += 1
    return path
