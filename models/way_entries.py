"""Ways that are no openings, and furniture that cables run through, as the project file gives them."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ribway.models.base import Data
from ribway.models.fields import ClearSize, Length
from ribway.models.place import Place
from ribway.models.surroundings import Surroundings

Side = Literal["front", "back", "below", "above", "left", "right"]
WayEntryKind = Literal["over", "duct", "inside", "outside"]

_NEEDS: dict[WayEntryKind, tuple[str, ...]] = {
    "over": ("member", "at", "gap"),
    "duct": ("path", "bore"),
    "inside": ("member", "between", "bore"),
    "outside": ("ends", "taped", "bore", "surroundings"),
}
_TAKES: dict[WayEntryKind, tuple[str, ...]] = {
    "over": (*_NEEDS["over"], "width"),
    "duct": (*_NEEDS["duct"], "member"),
    "inside": (*_NEEDS["inside"], "sides"),
    "outside": (*_NEEDS["outside"], "device"),
}
_ALL = ("member", "at", "gap", "width", "path", "bore", "between", "sides", "ends", "device", "taped", "surroundings")


class WayEntry(Data):
    """A way that is no opening.

    Over a member's inner face, a duct, inside a hollow member between two of its openings, or a stretch outside the
    model of which a tape gives the length.
    """

    name: str
    kind: WayEntryKind
    member: str | None = None
    at: Place | None = Field(default=None, description="where a way over a member crosses it")
    gap: Length | None = Field(default=None, description="how far the lining stands off the member's inner face")
    width: ClearSize | None = Field(default=None, description="room along the member for cables side by side")
    path: tuple[Place, ...] = Field(default=(), description="a duct's corners in order, its two mouths included")
    bore: ClearSize | None = Field(
        default=None,
        description="clear inside: of a duct, of a hollow member, of the tightest place of a stretch outside",
    )
    between: tuple[str, str] | None = Field(default=None, description="the two openings of a hollow member")
    sides: tuple[Side, Side] | None = Field(
        default=None,
        description="on which side it goes in at the first opening and comes out at the second; in front for both if not "
        "said, or on the first wall's side where openings lead round a corner",
    )
    ends: tuple[Place, ...] = Field(
        default=(), max_length=2, description="where cables leave a skin and come back; one place if a device follows"
    )
    device: str | None = Field(default=None, description="the device outside the model at the stretch's other end")
    taped: Length | None = Field(default=None, description="length of a stretch outside, by tape")
    surroundings: Surroundings | None = Field(default=None, description="what lies round a stretch outside")
    moving: str | None = Field(default=None, description="what moves there: rear door, sliding door, pop-top")
    loop: Length | None = Field(default=None, description="cable left as a loop there; 0.3 m if not said")

    @model_validator(mode="after")
    def _complete(self) -> Self:
        missing = [key for key in _NEEDS[self.kind] if getattr(self, key) in (None, ())]
        if self.kind == "duct" and len(self.path) < 2:
            missing = [key for key in missing if key != "path"] + ["path (two places or more)"]
        if missing:
            raise ValueError(f"a way of kind {self.kind} needs {', '.join(missing)}")
        if self.loop is not None and self.moving is None:
            raise ValueError("a loop is left where something moves: say what, as moving: rear door")
        extra = [key for key in _ALL if key not in _TAKES[self.kind] and getattr(self, key) not in (None, ())]
        if extra:
            raise ValueError(f"a way of kind {self.kind} takes no {', '.join(extra)}")
        if self.between is not None and self.between[0] == self.between[1]:
            raise ValueError(f"between names two openings of {self.member}, not {self.between[0]} twice")
        if self.kind == "outside" and len(self.ends) + (self.device is not None) != 2:
            raise ValueError("a stretch outside has two ends: two places on skins, or one place and a device")
        return self


class FurnitureOpening(Data):
    """Where cables enter a piece of furniture: a place on a skin behind it, or on a face of it."""

    name: str
    at: Place
    bore: ClearSize = Field(description="clear inside of the hole with its grommet")


class FurnitureEntry(Data):
    """A piece of furniture that cables run through: a box, with named entries; inside they run square."""

    name: str
    corner: Place = Field(description="by x, y, z")
    opposite: Place = Field(description="the opposite corner, by x, y, z")
    entries: tuple[FurnitureOpening, ...] = Field(min_length=1)
    devices: tuple[str, ...] = Field(default=(), description="devices that stand in it: their cables leave by an entry")

    @model_validator(mode="after")
    def _box(self) -> Self:
        for corner in (self.corner, self.opposite):
            if corner.x is None:
                raise ValueError("both corners of a piece of furniture are given by x, y, z")
        names = [entry.name for entry in self.entries]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"two entries are called {', '.join(twice)}: give each its own name")
        if len(self.entries) + len(self.devices) < 2:
            raise ValueError("a piece of furniture needs two entries, or an entry and a device that stands in it")
        return self
