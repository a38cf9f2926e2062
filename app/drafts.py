"""A draft's openings: read from its files to be gone through, and put back with a backup, remarks kept."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from ribway.editing.changes import Change, edited
from ribway.editing.saving import ChangedOnDiskError, save
from ribway.models.backup import replace_file
from ribway.models.disk_words import disk_reason
from ribway.models.equipment.filled import is_filled
from ribway.models.equipment.from_file import sheet_path
from ribway.models.fault_words import problems_of
from ribway.models.named_faults import faults_at_names
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import MOST_BYTES, project_file
from ribway.models.review.found import FOUND_FILE, Found, as_found, as_hole, found_text, read_found
from ribway.models.review.hole import Hole, Mark
from ribway.models.review.naming import places_naming
from ribway.models.review.review import Review, ReviewError, review_of
from ribway.models.review.writing import follows, writings
from ribway.models.review.writing import saved as as_saved
from ribway.models.text_file import read_text
from ribway.models.vehicle import Vehicle
from ribway.models.yaml_text import Document, parse_yaml

if TYPE_CHECKING:
    from ribway.router.shell.parts import Opening, Shell
    from ribway.viewer.draft.metal import Metal

MARKS: Mapping[str, Mark] = {"measured": "confirmed", "blocked": "deleted"}


@dataclass(frozen=True)
class Draft:
    """A draft as it was read.

    Args:
        file: the project file.
        text: its text, as the next edit starts from it.
        name: of the project.
        review: its openings, found ones that the file does not list among them.
        found: what the survey found; None where there is no such file.
        shell: its metal.
    """

    file: Path
    text: str
    name: str
    review: Review
    found: Found | None
    shell: Shell


def is_draft(path: Path) -> bool:
    """Whether a path means a project of which only the openings are there yet: surveyed, and no device in it.

    Args:
        path: a project file or its folder; may be anything else.
    """
    try:
        file = project_file(path)
        if not os.path.isfile(file.parent / FOUND_FILE):
            return False
        raw = parse_yaml(read_text(file, MOST_BYTES), str(file)).raw
    except ProjectFaults:
        return False
    sheet = sheet_path(raw, file.parent)
    return not raw.get("devices") and (sheet is None or not is_filled(sheet))


def read_draft(path: Path) -> Draft:
    """Read the openings of a project, of which nothing else but its vehicle need be there.

    Args:
        path: project file, or its folder.

    Raises:
        ProjectFaults: the file, its mesh or what the survey found cannot be used.
    """
    file = project_file(path)
    text = read_text(file, MOST_BYTES)
    document = parse_yaml(text, str(file))
    vehicle = _vehicle(document, file)
    shell = _shell(vehicle, file)
    beside = file.parent / FOUND_FILE
    found = read_found(beside) if os.path.isfile(beside) else None
    listed = {one.name: one.state or ("measured" if vehicle.mesh else "assumed") for one in vehicle.openings}
    holes = _holes(shell.openings, found, listed, rowed=vehicle.mesh is None)
    holes = [replace(one, named=places_naming(document.raw, one.was)) if one.is_way else one for one in holes]
    name = str(document.raw.get("name") or vehicle.name)
    return Draft(file, text, name, review_of(holes, (one.name for one in vehicle.ways)), found, shell)


def _shell(vehicle: Vehicle, file: Path) -> Shell:
    from ribway.router.faults import RouterFaults
    from ribway.router.shell.choose import shell_of_vehicle

    try:
        return shell_of_vehicle(vehicle, file.parent)
    except RouterFaults as error:
        named = [(one.place, one.found, one.accepted, one.sentence) for one in error.faults]
        raise ProjectFaults(faults_at_names(file, "", named)) from None


def _vehicle(document: Document, file: Path) -> Vehicle:
    raw = document.raw.get("vehicle")
    faults = [
        Fault(str(file), f"line {document.line_of(one.path)}", one.found, one.accepted, one.message)
        for one in document.problems
    ]
    try:
        vehicle = Vehicle.model_validate(raw)
    except ValidationError as error:
        for one in problems_of(error, raw, {}, in_project=False):
            line = document.line_of(("vehicle", *one.path))
            place = " / ".join(str(part) for part in ("vehicle", *one.path))
            faults.append(Fault(str(file), f"{place}, line {line}", one.found, one.accepted, one.message, line))
        raise ProjectFaults(faults) from None
    if faults:
        raise ProjectFaults(faults)
    return vehicle


def _holes(openings: tuple[Opening, ...], found: Found | None, listed: Mapping[str, str], *, rowed: bool) -> list[Hole]:
    """The shell's openings with what the survey knew of them, then what it found and the file does not list."""
    known = {one.name: one for one in found.openings} if found else {}
    holes = [_as_hole(one, listed, rowed=rowed) for one in openings]
    holes = [
        replace(one, kind=known[one.name].kind, sure=known[one.name].sure, rim=known[one.name].rim)
        if one.name in known
        else one
        for one in holes
    ]
    there = {one.name for one in holes}
    for one in known.values():
        if one.name not in there:
            hole = as_hole(one)
            # What it would have taken by itself and the file does not list any more was taken out by a person.
            out = hole.is_way and hole.is_sure and hole.mark == "open"
            holes.append(replace(hole, mark="deleted") if out else hole)
    return holes


def _as_hole(one: Opening, listed: Mapping[str, str], *, rowed: bool) -> Hole:
    from ribway.router.survey.found_file import spots

    state = listed.get(one.name, "")
    return Hole(
        one.name, one.name, "way", one.member, "slot" if one.shape == "slot" else "round", one.bore_m, one.length_m,
        (one.skin_a, one.skin_b), spots(one.line), spots(one.rim), 1.0, state, rowed,
        MARKS.get(state or one.state, "open"),
    )  # fmt: skip


def _given(changes: Sequence[Change], raw: dict[str, Any]) -> Sequence[Change]:
    """An edit that is the same whatever it is made on."""
    return changes


def save_draft(draft: Draft, review: Review) -> tuple[Draft, Path | None]:
    """Put what was said of a draft's openings into its files.

    Args:
        draft: as it was read, or as it was saved last.
        review: what is said now.

    Returns:
        The draft as it goes on, and the backup of the project file; None if nothing was to be changed.

    Raises:
        ProjectFaults: something cannot be written as it was said, or an opening would lie in the metal; the files are as
            they were.
        ChangedOnDiskError: somebody else changed the file meanwhile.
        OSError: the disk refuses.
    """

    try:
        batches = writings(review, parse_yaml(draft.text, str(draft.file)).raw)
    except ReviewError as error:
        raise ProjectFaults([Fault(str(draft.file), "vehicle / openings", "", "", str(error))]) from None
    text = draft.text
    for batch in batches:
        changes = [Change(one.names, one.value, one.add) for one in batch]
        text = edited(text, partial(_given, changes), str(draft.file))
    if text != draft.text:
        # A hole that was moved into the metal is said now, not when the van is planned.
        _shell(_vehicle(parse_yaml(text, str(draft.file)), draft.file), draft.file)
    backup = save(draft.file, draft.text, text)
    after, found = as_saved(review), draft.found
    if found is not None:
        found = found.model_copy(update={"openings": tuple(as_found(one) for one in after.holes)})
        if found != draft.found:
            beside = draft.file.parent / FOUND_FILE
            replace_file(beside, found_text(found).encode("utf-8"))
    return replace(draft, text=text, review=after, found=found), backup


def consequences(draft: Draft, review: Review) -> tuple[str, ...]:
    """What becomes of the runs that name openings which are deleted, a sentence each.

    Args:
        draft: as it was read or saved last.
        review: what is said now; it can be saved.
    """
    raw = parse_yaml(draft.text, str(draft.file)).raw
    return tuple(one.words for one in follows(review, raw) if one.words)


class Keeper:
    """Saves a draft again and again while it is gone through, each time from where it was saved last."""

    def __init__(self, draft: Draft) -> None:
        """Begins with a draft as it was read.

        Args:
            draft: the draft.
        """
        self.draft = draft

    def save(self, review: Review) -> tuple[Review | None, str]:
        """Put what was said into the files.

        Args:
            review: what is said now.

        Returns:
            How it goes on from there, None if it could not be saved, and a sentence about it.
        """
        try:
            before = self.draft
            self.draft, backup = save_draft(self.draft, review)
        except ProjectFaults as error:
            return None, f"not saved: {error.faults[0]}"
        except ChangedOnDiskError as error:
            return None, f"not saved: {error}"
        except OSError as error:
            return None, f"not saved: {self.draft.file}: {disk_reason(error)}"
        kept = f", the file before is {backup.name}" if backup else ""
        more = "".join(f"; {one}" for one in consequences(before, review))
        return self.draft.review, f"saved in {self.draft.file.name}{kept}{more}"


def metal_of(draft: Draft) -> list[Metal]:
    """The surveyed metal to be drawn.

    Args:
        draft: the draft.
    """
    from ribway.viewer.draft.metal import Metal

    shell = draft.shell
    out = [Metal(one.name, "skin", one.name, one.mesh.vertices, one.mesh.faces) for one in shell.skins]
    out += [Metal(one.name, "member", one.skins[0], one.mesh.vertices, one.mesh.faces) for one in shell.members]
    out += [Metal(one.name, "obstacle", "", one.mesh.vertices, one.mesh.faces) for one in shell.obstacles]
    return out + [Metal(name, "panel", "", mesh.vertices, mesh.faces) for name, mesh in shell.panels]
