"""One server a project: a mark beside the file says where it is open, so that a second one sends people there."""

from __future__ import annotations

import http.client
import json
import os
from pathlib import Path
from urllib.parse import urlsplit

_PATIENCE_S = 1.0


class OpenAlreadyError(Exception):
    """The project is open in another server; the sentence says where."""


class OpenMark:
    """The mark of one project file."""

    def __init__(self, file: Path) -> None:
        """Nothing is marked yet.

        Args:
            file: the project file.
        """
        self._file = file
        self.path = file.with_name(f".{file.name}.open")
        self._set = False

    def set(self, address: str) -> None:
        """Mark the project as open here.

        Args:
            address: of the server, with its key if it has one; others may not read the mark.

        Raises:
            OpenAlreadyError: another server has it open, and answers.
        """
        there = self._read()
        if there and _answers(there):
            raise OpenAlreadyError(f"{self._file}: this project is open already: go on at {there}")
        if not self._file.parent.is_dir():
            return  # a project that is yet to be made
        try:
            self.path.unlink(missing_ok=True)
            handle = os.open(self.path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except OSError:
            return  # a folder that cannot be written to: saving will say so
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(address + "\n")
        self._set = True

    def clear(self) -> None:
        """The project is open here no longer."""
        if self._set:
            self.path.unlink(missing_ok=True)

    def _read(self) -> str:
        try:
            return self.path.read_text(encoding="utf-8").strip()
        except (OSError, UnicodeDecodeError):
            return ""


def _answers(address: str) -> bool:
    """Whether a server of this project answers at an address; one that was killed does not."""
    parts = urlsplit(address)
    if parts.scheme != "http" or parts.hostname is None or parts.port is None:
        return False
    line = http.client.HTTPConnection(parts.hostname, parts.port, timeout=_PATIENCE_S)
    try:
        line.request("GET", f"/state?{parts.query}")
        state = json.loads(line.getresponse().read(1_000_000))
        return isinstance(state, dict) and "sitting" in state
    except (OSError, ValueError, http.client.HTTPException):
        return False
    finally:
        line.close()
