"""Texts of the project as data: what was read once is kept, so that going back and forth costs no reading."""

from __future__ import annotations

import threading

from ribway.editing.changes import Raw
from ribway.models.yaml_text import parse_yaml

MOST_KEPT = 60


class Readings:
    """Data by text, of the last few texts."""

    def __init__(self, file: str) -> None:
        """Nothing is read yet.

        Args:
            file: what to call the file in faults.
        """
        self._file = file
        self._raws: dict[str, Raw] = {}
        self._lock = threading.Lock()  # a thread may read while the server tells how things stand

    def of(self, text: str) -> Raw:
        """The data of a text, not to be changed.

        Raises:
            ProjectFaults: it is no YAML.
        """
        found = self._raws.get(text)
        if found is None:
            found = parse_yaml(text, self._file).raw
            self.keep(text, found)
        return found

    def keep(self, text: str, raw: Raw) -> None:
        """Keep what a text is known to hold."""
        with self._lock:
            self._raws.pop(text, None)
            self._raws[text] = raw
            while len(self._raws) > MOST_KEPT:
                self._raws.pop(next(iter(self._raws)))
