"""The equipment sheet that a project names, as it lies on disk: its rows changed with a backup, and what others write noticed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.editing.changes import Raw
from ribway.editing.sheet_rows import edit_sheet, save_sheet
from ribway.live.refusing import RefusedError
from ribway.models.disk_words import disk_reason
from ribway.models.equipment.from_file import sheet_path
from ribway.models.project_faults import ProjectFaults


class SheetOnDisk:
    """One project's sheet, if it names one.

    Attributes:
        back_words: what `put_back` would take back; empty for nothing.
    """

    def __init__(self, folder: Path) -> None:
        """Reads nothing yet.

        Args:
            folder: where the project file lies.
        """
        self._folder = folder
        self._seen: tuple[Path, int, int] | None = None
        self._last: tuple[Path, bytes, bytes] | None = None
        self.back_words = ""

    def look(self, raw: Raw) -> bool:
        """Notice that the sheet is otherwise than when it was last looked at.

        Args:
            raw: the project file's data.

        Returns:
            Whether it is; not the first time.
        """
        path, before = sheet_path(raw, self._folder), self._seen
        try:
            found = None if path is None else path.stat()
        except OSError:
            return False  # being written by somebody, or gone: planning says so
        self._seen = None if path is None or found is None else (path, found.st_mtime_ns, found.st_size)
        return before is not None and self._seen != before

    def edit(self, raw: Raw, device: str, values: Mapping[str, Any] | None) -> str:
        """Change a device's row; it is written at once.

        Args:
            raw: the project file's data.
            device: the device's id.
            values: as for `amend_row`; None takes the row out.

        Returns:
            What was done, in words.

        Raises:
            RefusedError: it cannot be done, or the sheet would not be readable afterwards.
        """
        path = sheet_path(raw, self._folder)
        try:
            if path is None:
                raise RefusedError("this project names no equipment sheet")
            before = path.read_bytes()
            after = edit_sheet(raw, self._folder, device, values)
            backup = save_sheet(path, before, after)
        except ProjectFaults as error:
            raise RefusedError("\n".join(map(str, error.faults))) from None
        except OSError as error:
            raise RefusedError(f"{path}: cannot be written: {disk_reason(error)}") from None
        if backup is None:
            return f"{path.name} says so already."
        self._last = (path, before, after)
        self.back_words = f"{device} {'taken out of' if values is None else 'changed in'} {path.name}"
        self.look(raw)
        rows = "marked with # in" if values is None else "written into"
        return f"{device} is {rows} {path.name}; what was there is {backup.name}."

    def put_back(self, raw: Raw) -> str:
        """Take the last change of the sheet back.

        Args:
            raw: the project file's data.

        Returns:
            What was done, in words.

        Raises:
            RefusedError: there was none, or the sheet was changed since.
        """
        if self._last is None:
            raise RefusedError("nothing was changed in the sheet")
        path, before, after = self._last
        try:
            save_sheet(path, after, before)
        except ProjectFaults as error:
            raise RefusedError("\n".join(map(str, error.faults))) from None
        except OSError as error:
            raise RefusedError(f"{path}: cannot be written: {disk_reason(error)}") from None
        self._last, self.back_words = None, ""
        self.look(raw)
        return f"{path.name} is again as it was."
