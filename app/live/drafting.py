"""From a project's data, complete or not, to something that can be planned and drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from ribway.editing.alternatives import changed_by
from ribway.models.circuits import Device
from ribway.models.project import Project
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import checked_raw
from ribway.models.shop import Shop
from ribway.models.vehicle import Vehicle

Raw = dict[str, Any]
M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True)
class Draft:
    """What a project's data comes to.

    Args:
        raw: the data with what its equipment sheet says.
        project: the project; one without circuits, which can be drawn, if the data has faults; None if not even its
            vehicle can be read.
        faults: what is wrong or missing.
    """

    raw: Raw
    project: Project | None
    faults: tuple[Fault, ...]


def draft_of(raw: Raw, folder: Path, alternative: str = "") -> Draft:
    """Check a project's data.

    Args:
        raw: the data as the project file has it.
        folder: where the file lies.
        alternative: the alternative to lay over it; empty for the base.

    Returns:
        What it comes to.
    """
    try:
        if alternative:
            # The base's sheet comes first: an alternative changes what stands in it too.
            raw = changed_by(checked_raw(raw, folder)[0], alternative)
            raw.pop("equipment", None)
        joined, project, faults = checked_raw(raw, folder)
    except ProjectFaults as error:
        return Draft(raw, _bare(raw), error.faults)
    return Draft(joined, _bare(joined) if faults else project, faults)


def fresh_faults(before: Draft, after: Draft) -> tuple[Fault, ...]:
    """Faults that a change brought.

    Args:
        before: the project before it.
        after: the project after it.
    """
    known = {(fault.place, fault.message) for fault in before.faults}
    return tuple(fault for fault in after.faults if (fault.place, fault.message) not in known)


def _bare(raw: Raw) -> Project | None:
    """The van and those of its devices that can be read, without circuits: enough to be drawn."""
    vehicle = _read(Vehicle, raw.get("vehicle"))
    if vehicle is None:
        return None
    entries = raw.get("devices")
    devices = [_read(Device, entry) for entry in entries] if isinstance(entries, list) else []
    return Project.model_construct(
        ribway=1,
        name=str(raw.get("name") or "van"),
        revision=str(raw.get("revision") or ""),
        date="",
        vehicle=vehicle,
        shop=_read(Shop, raw.get("shop") or {}) or Shop(),
        equipment=None,
        devices=tuple(one for one in devices if one is not None),
        circuits=(),
        runs=(),
        alternatives=(),
        assumed=(),
        unplanned=(),
    )


def _read(kind: type[M], data: object) -> M | None:
    try:
        return kind.model_validate(data, context={"arm_m": Shop().arm_length}) if isinstance(data, Mapping) else None
    except ValidationError:
        return None
