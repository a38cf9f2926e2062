"""What the plate and the manual of a device say beyond its current: its maker's wires, what it gives, its panel."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ribway.models.base import Data
from ribway.models.fields import Amps, AreaMm2, Celsius, FuseAmps, Hours, Length, Percent, Volts, Watts, within

LoadKind = Literal["constant current", "constant power", "resistance"]
"""What a load keeps whatever its voltage: LED drivers and motors, converters and inverters, heaters and filaments."""
VanState = Literal["parked", "driving", "shore", "inverter full"]
FuseFamily = Literal["blade", "bolt-down"]
FuseKindName = Literal[
    "mini blade", "blade", "big blade", "M5 strip", "M8 strip", "ANL", "terminal block", "class T"
]  # fmt: skip
LinkName = Literal[
    "CAN 1 Mbit/s",
    "CAN 500 kbit/s",
    "CAN 250 kbit/s",
    "marine backbone, thin cable",
    "marine backbone, mid cable",
    "LIN",
    "RS-485 100 kbit/s",
    "Ethernet over twisted pair",
    "USB 2",
    "USB 3",
    "HDMI without amplifier",
    "analogue video, 75 ohm",
]
CoaxName = Literal["RG-58", "RG-8X", "RG-213", "RG-174", "low-loss 5 mm", "low-loss 10 mm", "RG-6", "RG-59"]
SomeAmps = Annotated[Amps, within(0.001, 1e6, "A")]
SomeVolts = Annotated[Volts, within(0.1, 1000.0, "V")]
SomeWatts = Annotated[Watts, within(0.1, 1e5, "W")]
Share = Annotated[Percent, within(1.0, 100.0, "%")]


class MakerRow(Data):
    """One line of a maker's table of wires: up to this length, this copper."""

    up_to: Annotated[Length, within(0.01, 100.0, "m")]
    area: AreaMm2


class Maker(Data):
    """What the maker of a device asks of its wires; the stricter of it and the rules decides."""

    areas: tuple[MakerRow, ...] = Field(default=(), description="its table, short to long")
    counts: Literal["one way", "there and back"] = Field(default="one way", description="what the table's lengths are")
    fuse: FuseAmps | None = Field(default=None, description="greatest fuse before it")
    drop: Annotated[Volts, within(0.001, 100.0, "V")] | None = Field(
        default=None, description="greatest loss to its terminals"
    )

    @model_validator(mode="after")
    def _rises(self) -> Self:
        for short, long in pairwise(self.areas):
            if long.up_to <= short.up_to or long.area < short.area:
                raise ValueError("the maker's table must go from short to long, and copper must not fall")
        return self


class Duty(Data):
    """How long a load is on at a time: a winch, a jack, a starter. Its wire, fuse and drop are held by its current all the
    same; less of its heat reaches what lies beside it."""

    on: Annotated[Hours, within(1.0 / 3600.0, 24.0, "h")] = Field(description="longest time on without a pause")
    off: Annotated[Hours, within(1.0 / 3600.0, 24.0, "h")] | None = Field(
        default=None, description="shortest pause after that; once, and cold again before the next time, if not said"
    )


class Backing(Data):
    """What the maker of a board's fuses says in writing: behind this fuse they stand a greater short than by themselves."""

    fuse_kind: FuseKindName = Field(description="kind of the fuse before the board")
    fuse: FuseAmps = Field(description="its greatest rating")
    up_to: SomeAmps = Field(description="greatest short at the board")


class Output(Data):
    """What a charger or an inverter gives. Its input current is found from it, at the lowest input voltage it works at."""

    volts: SomeVolts | None = Field(default=None, description="highest voltage a charger gives")
    amps: SomeAmps | None = Field(default=None, description="current a charger gives")
    watts: SomeWatts | None = Field(default=None, description="what an inverter gives")
    efficiency: Annotated[Percent, within(10.0, 100.0, "%")] = Field(
        default=85.0, description="share of the power that arrives: common practice, no source"
    )
    lowest_input: SomeVolts = Field(description="lowest voltage at its input while it works")

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if (self.watts is None) == (self.amps is None) or (self.amps is None) != (self.volts is None):
            raise ValueError("give volts and amps of a charger, or watts of an inverter")
        return self


class Panels(Data):
    """A field of equal solar panels, as their label says."""

    open_volts: SomeVolts = Field(description="open-circuit voltage of one panel")
    short_amps: SomeAmps = Field(description="its short-circuit current")
    best_volts: SomeVolts = Field(description="its voltage at greatest power")
    best_amps: SomeAmps = Field(description="its current at greatest power")
    volts_per_kelvin: Annotated[Percent, within(0.0, 0.99, "%")] = Field(
        default=0.35, description="how much the open-circuit voltage falls per kelvin: common practice, no source"
    )
    greatest_fuse: FuseAmps | None = None
    in_series: int = Field(default=1, ge=1, le=20, strict=True)
    strings: int = Field(default=1, ge=1, le=20, strict=True)
    coldest: Annotated[Celsius, within(-60.0, 25.0, "°C")] = -10.0
    hottest_cell: Annotated[Celsius, within(25.0, 100.0, "°C")] = 70.0
    controller_volts: SomeVolts | None = Field(default=None, description="greatest input voltage of the controller")

    @model_validator(mode="after")
    def _inside_its_limits(self) -> Self:
        if self.best_volts > self.open_volts or self.best_amps > self.short_amps:
            raise ValueError("greatest power lies above open circuit or short circuit: check the label")
        return self
