"""The vehicle part of the project file: which shell, what was changed on it, ways and keep-outs."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ribway.models.base import Data
from ribway.models.fields import ClearSize, FillPercent, LayDepth, Length, ScalePercent
from ribway.models.place import Place, Wall
from ribway.models.tape import Tape
from ribway.models.way_entries import FurnitureEntry, WayEntry

OpeningStateText = Literal["assumed", "measured", "blocked", "drill"]


class Datum(Data):
    """What ``back`` and ``up`` are measured from."""

    name: str = "front edge of the cargo floor"
    forward: Length = Field(default=0.0, description="how far the datum lies behind the shell model's own front edge")
    up: Length = Field(default=0.0, description="how far above the bare floor heights are measured from")


class PartUse(Data):
    """What a named part of a mesh file is."""

    part: str
    name: str
    kind: Literal["skin", "rib", "bow", "rail", "sill", "pillar", "brace", "obstacle", "panel"]
    skins: tuple[Wall, ...] = ()
    depth: Length | None = None
    zone: Literal["wall", "roof", "floor"] | None = None
    lay_depth: LayDepth | None = None


class OpeningEntry(Data):
    """An opening of a mesh shell, or what is known better about an opening of a preset."""

    name: str
    member: str | None = None
    at: Place | None = None
    axis: Literal["x", "y", "z"] | None = None
    shape: Literal["round", "slot"] | None = None
    size: ClearSize | None = Field(default=None, description="raw diameter of a round hole, width of a slot")
    length: ClearSize | None = Field(default=None, description="overall length of a slot")
    skins: tuple[Wall, Wall] | None = None
    path: tuple[Place, ...] = Field(
        default=(), description="mouth, corners, mouth of a passage that is not straight, by x, y, z"
    )
    grommet: ClearSize | None = Field(default=None, description="clear inside of the grommet or edge strip fitted")
    taken: Length | None = Field(default=None, description="diameter of what already runs through (a factory loom)")
    fill_limit: FillPercent | None = None
    state: OpeningStateText | None = None


class KeepOutEntry(Data):
    """A region no cable may enter: two opposite corners on a wall, or of a box by x, y, z."""

    name: str
    why: str = Field(description="airbag, window, heat, fuel, gas locker, screw zone ...")
    corner: Place
    opposite: Place
    margin: Length = 0.0

    @model_validator(mode="after")
    def _same_kind(self) -> Self:
        if self.corner.outside is not None or self.opposite.outside is not None:
            raise ValueError("a keep-out lies in the van: its corners are on a wall, or given by x, y, z")
        if self.corner.wall != self.opposite.wall:
            raise ValueError("both corners of a keep-out lie on the same wall, or both are given by x, y, z")
        return self


class Vehicle(Data):
    """Which shell, and what is known about it."""

    name: str = "van"
    preset: str | None = None
    parameters: dict[str, object] = Field(default_factory=dict, description="preset values measured on the real van")
    tape: Tape | None = Field(default=None, description="the van by tape: ten lines and its hole rows")
    mesh: str | None = Field(default=None, description="mesh file beside the project file")
    mesh_unit: Literal["m", "cm", "mm", "in", "ft"] | None = None
    mesh_up: Literal["y", "z"] | None = None
    scale_error: ScalePercent | None = Field(
        default=None,
        description="how far all lengths of a mesh or scan may be off together; a survey writes what its tape checks leave",
    )
    parts: tuple[PartUse, ...] = ()
    datum: Datum = Datum()
    openings: tuple[OpeningEntry, ...] = ()
    ways: tuple[WayEntry, ...] = ()
    furniture: tuple[FurnitureEntry, ...] = ()
    lining: dict[Wall, ClearSize] = Field(
        default_factory=dict,
        description="how far the lining of a wall stands off its members' inner faces: a way over every one of them",
    )
    keep_outs: tuple[KeepOutEntry, ...] = ()

    @model_validator(mode="after")
    def _one_shell(self) -> Self:
        if sum(shell is not None for shell in (self.preset, self.mesh, self.tape)) != 1:
            raise ValueError("a vehicle has either a preset or a mesh, or a tape")
        if self.tape is not None and self.parameters:
            raise ValueError("parameters change a preset; a tape has lines of its own")
        if self.tape is not None and (self.datum.forward or self.datum.up):
            raise ValueError("a tape starts at the datum: give heights_from and floor_thickness in the tape itself")
        if self.scale_error is not None and self.preset is not None:
            raise ValueError("scale_error is of a mesh or a scan; a preset's lines have errors of their own")
        if self.mesh is None and self.parts:
            raise ValueError("parts describe a mesh file; a preset brings its own")
        return self
