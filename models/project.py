"""The project file as a whole."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from ribway.models.assumed import Assumed, Unplanned
from ribway.models.base import Data
from ribway.models.circuits import Circuit, Device, RunEntry
from ribway.models.loom_wishes import LoomWishes
from ribway.models.run_numbers import RunNumber
from ribway.models.shop import Shop
from ribway.models.vehicle import Vehicle

FORMAT_VERSION = 1


class Alternative(Data):
    """A named set of changes to the base project, laid over it key by key; lists of things with ids merge by id."""

    name: str
    why: str = ""
    change: dict[str, Any]


class Project(Data):
    """Everything the user said."""

    ribway: int = Field(description="version of the project format: 1", ge=1, le=FORMAT_VERSION, strict=True)
    name: str
    revision: str = "A"
    date: str = ""
    vehicle: Vehicle
    shop: Shop = Shop()
    equipment: str | None = Field(
        default=None, description="a sheet beside this file with one row a device: .xlsx, .ods or .csv"
    )
    devices: tuple[Device, ...] = Field(min_length=1)
    circuits: tuple[Circuit, ...] = Field(min_length=1)
    runs: tuple[RunEntry, ...] = ()
    looms: LoomWishes = LoomWishes()
    alternatives: tuple[Alternative, ...] = ()
    assumed: tuple[Assumed, ...] = Field(
        default=(), description="filled in where the sheet is silent; nobody writes it"
    )
    numbers: tuple[RunNumber, ...] = Field(
        default=(), description="given to runs before, from the register beside the file; nobody writes it"
    )
    unplanned: tuple[Unplanned, ...] = Field(default=(), description="leads left out; nobody writes it")
