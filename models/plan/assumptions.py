"""The part of a plan that says what it rests on: values nobody confirmed, leads left out, errors of what was measured."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data

Whose = Literal["shell", "opening", "device", "circuit", "cable"]
AssumedKey = Literal[
    "line", "hole", "place", "amps", "watts", "start_amps", "supply", "board", "switch", "fuse", "stud", "stock"
]


class PlanAssumption(Data):
    """A value that a preset, the catalogue or the stock list may have filled in, and whether somebody confirmed it."""

    whose: Whose
    about: str = Field(description="id of the opening, device, circuit or cable; empty for the shell")
    name: str = Field(description="what it is called")
    key: AssumedKey = Field(description="which of its values")
    what: str = Field(description="the same in words")
    value: str
    source: str = Field(description="where the value comes from")
    error_m: float = Field(default=0.0, description="how far off a rough place may be")
    confirmed: bool


class PlanUnplanned(Data):
    """A lead that belongs to a device and is not in the plan."""

    about: str
    name: str
    lead: str = Field(description="what the lead is for; empty if it is the device as a whole")
    why: str


class RunError(Data):
    """What one measurement's stated error does to a run's length, at most."""

    measurement: str = Field(description="id of the measurement")
    mean_m: float = Field(description="by how much it makes the run longer on the average")
    metres: float = Field(description="bound of the change in length about that mean, to either side")


class PlanMeasurement(Data):
    """A value read, or taken for granted, that runs' lengths depend on."""

    id: str
    whose: Whose
    about: str = Field(description="member, opening or device; empty for a line of the shell")
    what: str
    error_m: float = Field(description="its stated error, a bound to either side")
    after_m: float = Field(description="the error that is left once it was read off the van")
    gain: float = Field(description="by how many the expected number of runs that are short falls if it is read")


AssumedList = tuple[PlanAssumption, ...]
"""In the order shell, openings, devices, circuits, cables."""
