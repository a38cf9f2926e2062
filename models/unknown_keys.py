"""Keys of the project file that nothing reads: misspelt ones, and ones at the wrong place."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.nearest import nearest_word
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.schema import accepted_keys


def unknown_keys(raw: object, path: IndexPath = ()) -> Iterator[Problem]:
    """Find the unknown keys.

    Args:
        raw: the project file's data, or the part of it at the path.
        path: where that part stands in the file.

    Yields:
        A problem for each, with the nearest right key if one is alike.
    """
    if isinstance(raw, list):
        for index, item in enumerate(raw):
            yield from unknown_keys(item, (*path, index))
    if not isinstance(raw, dict):
        return
    known = accepted_keys(path)
    for key, value in raw.items():
        if known is None or key in known:
            yield from unknown_keys(value, (*path, key))
            continue
        meant = misspelt(str(key), known, raw)
        accepted = ", ".join(known)
        advice = f"did you mean {meant}?" if meant else f"accepted are {accepted}"
        yield Problem((*path, key), str(key), accepted, f"the key {key} is unknown here: {advice}")


def misspelt(key: str, known: tuple[str, ...], raw: dict[str, object]) -> str | None:
    """The key that an unknown one was probably meant to be, one that is not there already by preference."""
    free = [name for name in known if name not in raw]
    return nearest_word(key, free) or nearest_word(key, known)
