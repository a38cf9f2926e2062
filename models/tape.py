"""A van by tape: ten lines and what is known of its holes; all else is taken from the nearest preset and is assumed.

Distances run back from the datum, heights up from the floor, widths from bare skin to bare skin at the datum.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, ModelWrapValidatorHandler, ValidationError, WithJsonSchema, model_validator
from pydantic_core import InitErrorDetails

from ribway.models.base import Data
from ribway.models.fields import ClearSize, Length
from ribway.models.hole_lines import ACCEPTED as HOLE_ROWS_ACCEPTED
from ribway.models.hole_lines import HoleLine, parse_hole_lines
from ribway.models.nearest import nearest_word
from ribway.models.stations import Stations, StationsOrSame

TAPE_ERROR_M = 0.005
"""How far a tape line may be off: the careful end of the tape's +/-5 to 10 mm (common practice, no source)."""

RIB_ERROR_M = 0.010
"""How far a rib's centre, or a hole in it, may be off when it is read along a tape; common practice, no source."""

LINES = {
    "length": "from the datum to the rear sill: where the van ends",
    "floor_width": "width at the floor: how far it is across below",
    "waist_width": "width at the waist, the widest place: how far the walls stand apart",
    "waist_height": "height of the waist: where the wall turns in",
    "roof_edge_width": "width where wall meets roof: how far the walls lean in",
    "roof_edge_height": "height where wall meets roof: how far a cable climbs",
    "centre_height": "height under the middle of the roof: how much the roof is arched",
    "ribs_left": "rib centres along the left wall: where the holes are",
    "ribs_right": "rib centres along the right wall, or same as left",
    "side_door": "its side, front and rear edge: where no cable can pass (or without: [side_door])",
    "wheel_arch": "its front edge, length and height: what a cable goes round (or without: [wheel_arch])",
    "rib": "depth and face width of one rib: how large a hole can be, how far off the skin cables lie",
}
"""The lines that must be given, and what each is for."""


class TapeDoor(Data):
    """The side door's opening."""

    side: Literal["left", "right"]
    front: Length
    rear: Length


class TapeArch(Data):
    """A wheel arch, the same on both sides."""

    front: Length
    length: Length
    height: Length
    width: Length | None = Field(default=None, description="from the wall inwards")


class TapeRib(Data):
    """One rib: how far it stands off the skin, and how wide its face is."""

    depth: ClearSize
    face_width: ClearSize
    sheet: ClearSize | None = Field(default=None, description="thickness of its sheet")


class TapeWindow(Data):
    """A window in a wall."""

    side: Literal["left", "right"]
    front: Length
    rear: Length
    bottom: Length
    top: Length


def _hole_texts(value: object) -> tuple[str, ...]:
    """Hole rows as lines of text; remarks behind ``#`` and empty lines are left out.

    A block of text is one row a line. YAML makes mappings of unquoted rows in a list; they are turned back.
    """
    if isinstance(value, str):
        value = value.splitlines()
    if isinstance(value, dict):
        value = [{key: item} for key, item in value.items()]
    if not isinstance(value, list | tuple):
        raise ValueError(f"hole rows are lines of text, like {HOLE_ROWS_ACCEPTED}")
    lines = [line.split("#")[0].strip() if isinstance(line, str) else line for line in value]
    rows, faults = parse_hole_lines([line for line in lines if line != ""])
    if faults:
        raise ValueError("; ".join(str(fault) for fault in faults))
    return tuple(row.text for row in rows)


def _yes_or_no(value: object) -> object:
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else value


_HOLES_SCHEMA: dict[str, Any] = {
    "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": ["string", "object"]}}, {"type": "object"}],
    "description": "hole rows, one a line",
    "examples": ["L2-L7: 25 mm at 420 mm"],
}
HoleTexts = Annotated[tuple[str, ...], BeforeValidator(_hole_texts), WithJsonSchema(_HOLES_SCHEMA)]
YesNo = Annotated[
    Literal["yes", "no", "unknown"],
    BeforeValidator(_yes_or_no),
    WithJsonSchema({"enum": ["yes", "no", "unknown", True, False]}),
]


class Tape(Data):
    """What one person reads off a bare van with a tape in a quarter of an hour."""

    length: Length = Field(description=LINES["length"])
    floor_width: Length = Field(description=LINES["floor_width"])
    waist_width: Length = Field(description=LINES["waist_width"])
    waist_height: Length = Field(description=LINES["waist_height"])
    roof_edge_width: Length = Field(description=LINES["roof_edge_width"])
    roof_edge_height: Length = Field(description=LINES["roof_edge_height"])
    centre_height: Length = Field(description=LINES["centre_height"])
    ribs_left: Stations
    ribs_right: StationsOrSame
    side_door: TapeDoor | None = Field(default=None, description=LINES["side_door"])
    wheel_arch: TapeArch | None = Field(default=None, description=LINES["wheel_arch"])
    rib: TapeRib = Field(description=LINES["rib"])
    without: tuple[Literal["side_door", "wheel_arch"], ...] = Field(default=(), description="what this van lacks")
    rear_waist_width: Length | None = Field(default=None, description="width at the waist at the rear end")
    bows: Stations | None = Field(default=None, description="roof bow centres; those of the left ribs if not given")
    windows: tuple[TapeWindow, ...] | None = Field(default=None, description="[] where there is none")
    holes: HoleTexts = ()
    front: Literal["bulkhead", "pillar edge"] | None = Field(default=None, description="what stands at the datum")
    datum_name: str | None = Field(default=None, description="where the hook of the tape went")
    curtain_airbags: YesNo | None = None
    heights_from: Literal["bare floor", "finished floor"] | None = Field(
        default=None, description="what every height in this project is measured from"
    )
    floor_thickness: Length | None = Field(default=None, description="finished floor over the bare one")
    lining_thickness: Length | None = Field(default=None, description="wall and roof lining that goes over the ribs")

    @model_validator(mode="wrap")
    @classmethod
    def _missing_lines_together(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        """Name all missing lines in one sentence, each with what it is for, beside whatever else is wrong."""
        missing = _missing_lines(data)
        kept: list[InitErrorDetails] = []
        try:
            tape = handler(data)
        except ValidationError as error:
            kept = [
                InitErrorDetails(type=e["type"], loc=e["loc"], input=e["input"], ctx=e.get("ctx", {}))
                for e in error.errors(include_url=False)
                if e["type"] != "missing" or len(e["loc"]) > 1
            ]
            if not kept and not missing:
                raise
        if missing:
            words = "; ".join(f"{name} ({LINES[name]})" for name in missing)
            fault = ValueError(f"the tape lacks {len(missing)} of its lines: {words}")
            kept.insert(0, InitErrorDetails(type="value_error", loc=(), input=data, ctx={"error": fault}))
        if kept:
            raise ValidationError.from_exception_data("Tape", kept)
        return tape

    @model_validator(mode="after")
    def _floor(self) -> Self:
        given = [name for name in self.without if getattr(self, name) is not None]
        if given:
            raise ValueError(f"{given[0]} is given, and without says that this van has none: leave one of them out")
        if self.heights_from == "finished floor" and self.floor_thickness is None:
            raise ValueError("heights from the finished floor need floor_thickness, how far it lies above the bare one")
        return self

    @property
    def floor_m(self) -> float:
        """How far above the bare floor heights are measured from [m]."""
        return self.floor_thickness or 0.0 if self.heights_from == "finished floor" else 0.0

    @property
    def rib_stations_right(self) -> tuple[float, ...]:
        """Rib centres of the right wall [m]."""
        return self.ribs_left if isinstance(self.ribs_right, str) else self.ribs_right

    @property
    def hole_lines(self) -> tuple[HoleLine, ...]:
        """The hole rows, read."""
        return parse_hole_lines(self.holes)[0]


def _missing_lines(data: object) -> list[str]:
    """Compulsory lines that are not there; one that stands there misspelt is reported as that, not here."""
    if not isinstance(data, dict):
        return []
    lacks = data.get("without")
    absent = [name for name in LINES if data.get(name) is None and name not in (lacks or ())]
    strange = [str(key) for key in data if key not in Tape.model_fields]
    misspelt = {nearest_word(key, absent) for key in strange}
    return [name for name in absent if name not in misspelt]


_OPTIONAL = {
    "rear_waist_width": "taper",
    "bows": "bow stations",
    "windows": "windows",
    "front": "what stands at the datum",
    "datum_name": "datum",
    "curtain_airbags": "curtain airbags",
    "heights_from": "heights from the bare floor",
    "lining_thickness": "lining thickness",
}


def assumed_lines(tape: Tape) -> tuple[str, ...]:
    """What the tape does not say, so that a preset or a usual value stands in for it.

    Args:
        tape: what was read.

    Returns:
        Names for people, in a fixed order; hole rows are assumed where no line names a rib or a bow.
    """
    names = [words for key, words in _OPTIONAL.items() if getattr(tape, key) is None]
    if tape.wheel_arch is not None and tape.wheel_arch.width is None:
        names.append("wheel arch width")
    if tape.rib.sheet is None:
        names.append("rib sheet thickness")
    stems = {one.stem for line in tape.hole_lines for one in line.members if line.hole or line.none or line.like}
    kinds = (("L", "hole rows of the left ribs"), ("R", "hole rows of the right ribs"), ("B", "hole rows of the bows"))
    names += [words for stem, words in kinds if stem not in stems]
    if not stems & {"LW", "LE", "LS", "RW", "RE", "RS"}:
        names.append("holes of rails and sills")
    return tuple(names)
