"""Texts of the project as data: what was read once is kept, so that going back and forth costs no reading."""

from __future__ import annotations

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

    def of(self, text: str) -> Raw:
        """The data of a text, not to be changed.

        Raises:
            ProjectFaults: it is no YAML.
        """
        if text not in self._raws:
            self.keep(text, parse_yaml(text, self._file).raw)
        return self._raws[text]

    def keep(self, text: str, raw: Raw) -> None:
        """Keep what a text is known to hold."""
        self._raws.pop(text, None)
        self._raws[text] = raw
        while len(self._raws) > MOST_KEPT:
            self._raws.pop(next(iter(self._raws)))
