"""Where a thing is, as a tape gives it."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, ValidationInfo, field_validator, model_validator

from ribway.models.base import Data
from ribway.models.fields import Length, SignedLength
from ribway.models.surroundings import Surroundings

Wall = Literal["left", "right", "roof", "floor", "bulkhead"]

_NEEDS: dict[str, tuple[str, ...]] = {
    "left": ("back", "up"),
    "right": ("back", "up"),
    "roof": ("back",),
    "floor": ("back",),
    "bulkhead": ("up",),
}


class Place(Data):
    """A place by tape: a wall with distances, or x, y, z.

    ``left`` and ``right`` walls take ``back`` (from the datum) and ``up`` (from the floor); ``roof`` and ``floor`` take
    ``back`` and one of ``left``/``right`` (of the centre line, 0 if neither); ``bulkhead`` takes ``up`` and one of
    ``left``/``right``. ``on`` names a mounting board: ``across`` and ``up`` count from its lower left corner as one faces
    it from inside the van (of a board on floor or roof: as one faces forward). ``x, y, z`` are ISO 8855 axes from the
    datum on the floor's centre line: x forward (so behind the datum it is negative), y to the left, z up. A device may
    stand ``outside`` the model, where no tape of this project reaches; a way of kind outside leads to it.
    """

    wall: Wall | None = Field(default=None, description="left, right, roof, floor or bulkhead")
    back: Length | None = Field(default=None, description="distance back from the datum")
    up: Length | None = Field(default=None, description="height above the floor")
    left: Length | None = Field(default=None, description="left of the centre line")
    right: Length | None = Field(default=None, description="right of the centre line")
    stand_off: Length | None = Field(default=None, description="how far off the bare metal the wire ends")
    on: str | None = Field(default=None, description="id of the mounting board it is fixed on")
    across: Length | None = Field(default=None, description="from the board's left edge")
    x: SignedLength | None = None
    y: SignedLength | None = None
    z: SignedLength | None = None
    outside: Surroundings | None = Field(default=None, description="a device outside the model: what lies round it")

    moving: str | None = Field(default=None, description="what it moves with: rear door, sliding door, pop-top")
    loop: Length | None = Field(
        default=None, description="cable left as a loop where it crosses to what moves; 0.3 m if not said"
    )

    @field_validator("left", "right", mode="before")
    @classmethod
    def _on_its_own_side(cls, value: object, info: ValidationInfo) -> object:
        """A minus sign is refused in words of the side: just leaving it out would put the thing on the wrong one."""
        if isinstance(value, str) and (body := value.strip())[:1] in {"-", "\u2212"}:
            other = "right" if info.field_name == "left" else "left"
            raise ValueError(
                f"{info.field_name} is {value}: what lies on the other side is {other}: {body[1:].strip()}"
            )
        return value

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.loop is not None and self.moving is None:
            raise ValueError("a loop is left where something moves: say what, as moving: rear door")
        if self.outside is not None:
            extra = [key for key in type(self).model_fields if key != "outside" and getattr(self, key) is not None]
            if extra:
                raise ValueError(f"a place outside the model takes no {', '.join(extra)}")
            return self
        if self.on is not None or self.across is not None:
            return self._on_board()
        if self.wall is None:
            if None in (self.x, self.y, self.z):
                raise ValueError("a place is a wall with its distances (wall, back, up), or all of x, y, z")
            extra = [key for key in ("back", "up", "left", "right") if getattr(self, key) is not None]
            if extra:
                raise ValueError(f"a place by x, y, z takes no {', '.join(extra)}")
            return self
        if any(value is not None for value in (self.x, self.y, self.z)):
            raise ValueError("give a wall with its distances, or x, y, z, not both")
        missing = [key for key in _NEEDS[self.wall] if getattr(self, key) is None]
        if missing:
            raise ValueError(f"a place on the {self.wall} needs {' and '.join(missing)}")
        if self.left is not None and self.right is not None:
            raise ValueError("give left or right of the centre line, not both")
        allowed = {*_NEEDS[self.wall], *(("left", "right") if self.wall in ("roof", "floor", "bulkhead") else ())}
        extra = [
            key for key in ("back", "up", "left", "right") if getattr(self, key) is not None and key not in allowed
        ]
        if extra:
            raise ValueError(f"a place on the {self.wall} takes no {', '.join(extra)}")
        return self

    def _on_board(self) -> Self:
        others = ("wall", "back", "left", "right", "x", "y", "z", "stand_off")
        extra = [key for key in others if getattr(self, key) is not None]
        if None in (self.on, self.across, self.up) or extra:
            also = f", and no {', '.join(extra)}" if extra else ""
            raise ValueError(f"a place on a mounting board is on, across and up{also}")
        return self

    @property
    def to_left_m(self) -> float:
        """Distance to the left of the centre line [m], negative to the right."""
        if self.right is not None:
            return -self.right
        return self.left or 0.0
