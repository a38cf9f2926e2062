"""What ribway filled in where the equipment sheet was silent, and what it left out."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data
from ribway.models.fields import Length


class Assumed(Data):
    """A value that nobody confirmed."""

    about: str = Field(description="id of the device or circuit")
    what: str = Field(description="which of its values: place, amps, start_amps, supply, stud, board, switch, fuse")
    value: str
    source: str = Field(description="where the value comes from")
    error: Length | None = Field(default=None, description="how far off a rough place may be")


class Unplanned(Data):
    """A lead that belongs to a device and is not in the plan."""

    about: str = Field(description="id of the device")
    lead: str = Field(description="what the lead is for; empty if it is the device as a whole")
    why: str
