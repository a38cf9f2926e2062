"""The part of a plan that says what the van is: parts, openings, other ways, keep-outs, bays."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data
from ribway.models.surroundings import Surroundings

Point = tuple[float, float, float]


class PlanPart(Data):
    """A named mesh of the shell, as base64 arrays.

    ``vertices_f32`` holds little-endian float32 triples [m], ``faces_u32`` little-endian uint32 triples.
    """

    name: str
    kind: Literal["skin", "member", "obstacle", "panel"]
    vertices_f32: str
    faces_u32: str


class PlanOpening(Data):
    """An opening, with what the plan puts through it."""

    id: str
    member: str
    shape: Literal["round", "slot"]
    state: Literal["assumed", "measured", "blocked", "drill"]
    raw_bore_mm: float = Field(description="hole as it is in the metal; a slot's width")
    clear_bore_mm: float = Field(description="what is left inside the grommet")
    slot_length_mm: float | None = Field(description="clear overall length of a slot, none for a round hole")
    grommet_mm: float | None
    taken_mm: float = Field(description="diameter of what already runs through")
    area_mm2: float = Field(description="clear area that the fill limit refers to")
    fill_percent: float
    fill_limit_percent: float
    separation: Literal["", "dc", "ac", "data", "mixed"] = ""
    runs: tuple[str, ...]
    centre: Point
    axis: Point
    line: tuple[Point, ...]
    rim: tuple[Point, ...]
    wall: str
    back_m: float
    up_m: float
    bundle_diameter_mm: float = Field(description="what goes through, packed; 0 if nothing does")


class PlanWay(Data):
    """A way that is no opening.

    Over a member, a duct, inside a hollow member, outside the model, an entry of a piece of furniture, or between two
    entries of it. A run that passes a way is also in every way that it shares room with.
    """

    id: str
    kind: Literal["over", "duct", "inside", "outside", "entry", "furniture"]
    member: str | None
    line: tuple[Point, ...]
    area_mm2: float
    fill_percent: float
    fill_limit_percent: float
    clear_bore_mm: float
    runs: tuple[str, ...]
    shares: tuple[str, ...] = Field(default=(), description="openings and other ways whose room it takes as well")
    surroundings: Surroundings | None = Field(default=None, description="what lies round a taped stretch outside")
    taped_m: float | None = Field(
        default=None, description="length of a stretch outside, by tape; its line is a sketch"
    )
    furniture: str = Field(default="", description="the piece of furniture it is in")
    moving: str = Field(default="", description="what moves there: a door, a roof")
    loop_m: float = Field(default=0.0, description="cable left as a loop there")
    lined: bool = Field(default=False, description="over a member, because the lining of that wall stands off")


class PlanKeepOut(Data):
    """A region no cable may enter, its outline on the skin already grown by the margin."""

    id: str
    why: str
    wall: str
    outline: tuple[Point, ...]
    margin_mm: float


class PlanBay(Data):
    """A connected piece of skin between members."""

    id: str
    wall: str
    lay: Literal["square", "taut"]
    exact: bool = Field(description="the skin unrolls flat here, so lengths are exact; else a bound is stated")
    deviation_percent: float
    outline: tuple[Point, ...]
    depth_m: float | None = Field(
        default=None, description="how deep it is behind the lining: the least depth of the members that bound it"
    )
