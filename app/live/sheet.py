"""The equipment sheet that a project names, as it lies on disk: its rows changed with a backup, and what others write noticed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.editing.changes import Raw
from ribway.editing.sheet_rows import edit_sheet, save_sheet
from ribway.live.history import SheetChange
from ribway.live.refusing import RefusedError
from ribway.models.disk_words import disk_reason
from ribway.models.equipment.from_file import sheet_path
from ribway.models.project_faults import ProjectFaults


class SheetOnDisk:
    """One project's sheet, if it names one."""

    def __init__(self, folder: Path) -> None:
        """Reads nothing yet.

        Args:
            folder: where the project file lies.
        """
        self._folder = folder
        self._seen: tuple[Path, int, int] | None = None

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

    def edit(self, raw: Raw, device: str, values: Mapping[str, Any] | None) -> tuple[SheetChange | None, str, str]:
        """Change a device's row; it is written at once.

        Args:
            raw: the project file's data.
            device: the device's id.
            values: as for `amend_row`; None takes the row out.

        Returns:
            The change, None if the sheet says so already; its name, and what was done, in words.

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
            return None, "", f"{path.name} says so already."
        self.look(raw)
        name = f"{device} {'taken out of' if values is None else 'changed in'} {path.name}"
        rows = "marked with # in" if values is None else "written into"
        return (
            SheetChange(path, before, after),
            name,
            f"{device} is {rows} {path.name}; what was there is {backup.name}.",
        )

    def go(self, raw: Raw, change: SheetChange, back: bool) -> str:
        """Take a change of the sheet back, or make it again.

        Args:
            raw: the project file's data.
            change: the change.
            back: take it back.

        Returns:
            What was done, in words; a sheet that somebody else changed meanwhile stays as it is.

        Raises:
            RefusedError: the disk refuses.
        """
        before, after = (change.after, change.before) if back else (change.before, change.after)
        try:
            save_sheet(change.path, before, after)
        except ProjectFaults:
            return f"{change.path.name} was changed by somebody else meanwhile: it stays as it is."
        except OSError as error:
            raise RefusedError(f"{change.path}: cannot be written: {disk_reason(error)}") from None
        self.look(raw)
        return f"{change.path.name} is {'again as it was' if back else 'changed again'}."
