"""The project file as it lies on disk: read, watched, saved, and never written over what somebody else left there."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from ribway.editing.saving import ChangedOnDiskError, save
from ribway.live.refusing import RefusedError
from ribway.models.disk_words import disk_reason
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import MOST_BYTES
from ribway.models.text_file import read_text

Otherwise = Literal["", "changed", "gone"]


class OnDisk:
    """One project file.

    Attributes:
        otherwise: what somebody else did to it since it was read: nothing, changed, or gone.
    """

    def __init__(self, file: Path) -> None:
        """Reads nothing yet.

        Args:
            file: the project file; it may be missing.
        """
        self.file = file
        self.otherwise: Otherwise = ""
        self._stat: tuple[int, int] | None = None

    def read(self) -> str:
        """The file's text; from now on it is watched.

        Raises:
            ProjectFaults: it cannot be read.
        """
        self._stat = self._seen()
        text = read_text(self.file, MOST_BYTES)
        self.otherwise = ""
        return text

    def look(self, known: str) -> bool:
        """Notice what somebody else did to the file.

        Args:
            known: its text as it was last read or written.

        Returns:
            Whether there is something new to tell.
        """
        seen = self._seen()
        if seen == self._stat:
            return False
        self._stat = seen
        before = self.otherwise
        try:
            self.otherwise = "" if read_text(self.file, MOST_BYTES) == known else "changed"
        except ProjectFaults:
            self.otherwise = "gone" if seen is None else "changed"
        return self.otherwise != before

    def save(self, before: str, after: str) -> Path | None:
        """Write the file, what was there kept beside it.

        Args:
            before: the text that the changes started from.
            after: the text to write.

        Returns:
            The backup; None if there was nothing to write.

        Raises:
            RefusedError: somebody else changed or moved the file, or the disk refuses.
        """
        try:
            backup = save(self.file, before, after)
        except ChangedOnDiskError as error:
            self.otherwise = "changed"
            raise RefusedError(str(error)) from None
        except ProjectFaults as error:
            self.otherwise = "gone" if self._seen() is None else "changed"
            raise RefusedError("\n".join(map(str, error.faults))) from None
        except OSError as error:
            raise RefusedError(f"{self.file}: cannot be written: {disk_reason(error)}") from None
        self._stat = self._seen()
        self.otherwise = ""
        return backup

    def create(self, text: str) -> None:
        """Write a file that was not there.

        Raises:
            RefusedError: it is there, or the disk refuses.
        """
        try:
            self.file.parent.mkdir(parents=True, exist_ok=True)
            with self.file.open("x", encoding="utf-8", newline="") as file:
                file.write(text)
        except OSError as error:
            raise RefusedError(f"{self.file}: cannot be made: {disk_reason(error)}") from None

    def copy(self, text: str) -> Path:
        """Write a text beside the file, under a name that is free.

        Returns:
            ``project.mine-1.yaml``, or the next number.

        Raises:
            RefusedError: the disk refuses.
        """
        number = 1
        while True:
            target = self.file.with_name(f"{self.file.stem}.mine-{number}{self.file.suffix}")
            try:
                with target.open("x", encoding="utf-8", newline="") as file:
                    file.write(text)
            except FileExistsError:
                number += 1
                continue
            except OSError as error:
                raise RefusedError(f"{target}: cannot be written: {disk_reason(error)}") from None
            return target

    def _seen(self) -> tuple[int, int] | None:
        try:
            found = self.file.stat()
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size
