"""How this workshop works: its arms, tails, steps, temperatures and limits."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from ribway.models.base import Data
from ribway.models.circuits import Return
from ribway.models.colours.conventions import AcColours, DcColours
from ribway.models.fields import (
    Amps,
    CableText,
    Celsius,
    DropPercent,
    FillPercent,
    LayDepth,
    Length,
    Ohms,
    Percent,
    SystemVolts,
    within,
)
from ribway.models.held_reel import HeldReel
from ribway.models.loom_costs import CopperPerM
from ribway.models.size_count import SizeCount


class Tails(Data):
    """Extra length left at each end, by cable class."""

    thin: Length = Field(default=0.3, description="below 4 mm2, and data")
    medium: Length = Field(default=0.4, description="4 mm2 to below 16 mm2")
    thick: Length = Field(default=0.5, description="16 mm2 and up")
    board: Length = Field(default=0.6, description="any cable, at a fuse board")
    terminal: Length = Field(
        default=0.05, description="at each end of a cable that lies on a mounting board: strip, lug, bend"
    )


class Ambients(Data):
    """Hottest air a cable lies in.

    Engine space: 33 CFR 183.425 note 1 derates for 50 C there. All others: common practice, no source.
    """

    roof: Celsius = 60.0
    wall: Celsius = 40.0
    floor: Celsius = 40.0
    engine_space: Celsius = Field(default=50.0, description="33 CFR 183.425 note 1; hotter beside an exhaust")
    under_floor: Celsius = 40.0
    on_roof: Celsius = 60.0
    cab: Celsius = 50.0


class DropClasses(Data):
    """Greatest voltage drop, there and back, source to device.

    ABYC E-11 and ISO 10133 allow 3 % for critical circuits and 10 % for the rest; 5 % for the rest is the careful habit
    of camper builders (common practice, no source). ``start`` holds while a motor starts: many fridges and heaters cut out
    at 10.4 to 10.8 V (common practice, no source; their plate or manual says).
    """

    critical: DropPercent = 3.0
    other: DropPercent = 5.0
    start: DropPercent = 10.0


class Shop(Data):
    """Settings of the workshop. Every default is common practice and can be replaced."""

    units: Literal["metric", "feet and inches"] = "metric"
    arm_length: Annotated[Length, within(0.5, 3.0, "m")] = Field(
        default=1.70, description="outstretched arms, fingertip to fingertip"
    )
    slack: Annotated[Percent, within(0.0, 50.0, "%")] = 5.0
    tails: Tails = Tails()
    cut_step: Annotated[Length, within(0.001, 1.0, "m")] = Field(
        default=0.05, description="cut lengths are rounded up to this"
    )
    support_spacing: Annotated[Length, within(0.05, 3.0, "m")] = 0.45
    lay: Literal["square", "taut"] = "square"
    lay_depth: LayDepth | None = Field(default=None, description="how far off the skin cables lie between members")
    lay_by_bay: dict[str, Literal["square", "taut"]] = Field(default_factory=dict)
    ambients: Ambients = Ambients()
    volts: SystemVolts = 12.0
    drop: DropClasses = DropClasses()
    conductor_temperature: Celsius | None = Field(default=None, description="the insulation's rated one if not said")
    fill_limit: FillPercent = 40.0
    keep_out_margin: Length = 0.02
    edge_margin: Length = Field(default=0.01, description="kept clear of window and door edges")
    bend_counts_above_deg: float = Field(default=15.0, ge=1.0, le=90.0, strict=True)
    bend_costs: Length = Field(default=0.05, description="detour worth taking to save one bend")
    drill_costs: Length = Field(default=1.0, description="detour worth taking to save drilling one hole")
    opening_costs: Length = Field(default=0.1, description="detour worth taking to save dressing one more opening")
    search: Literal["quick", "thorough"] = Field(
        default="quick",
        description="thorough: all routes chosen at once too, and taken where that is lighter; takes longer",
    )
    loom_costs: CopperPerM = Field(
        default=0.0, description="copper that a metre of loom is worth: sleeve, clips, labour"
    )
    return_: Return = Field(default="wired", alias="return", description="how current comes back from DC home runs")
    body_resistance: Ohms = Field(
        default=0.01, description="of the body between two earth points; the default: common practice, no source"
    )
    body_measured: bool = Field(default=False, description="whether somebody measured the body's resistance")
    amps_at: SystemVolts | None = Field(
        default=None, description="voltage that the DC devices' amps are stated at; they are converted from it"
    )
    rules: Literal["careful", "33CFR183", "NEC", "ISO13297"] = Field(
        default="careful", description="named rule set for sizes and fuses"
    )
    ac_rules: Literal["NEC-AC", "IEC-AC"] | None = Field(
        default=None,
        description="named rule set for AC, for information: NEC-AC where the stock is awg, IEC-AC where it is metric, if "
        "not said",
    )
    derating: Literal["stricter", "factor", "heat"] = Field(
        default="stricter", description="what a bundle takes away: a factor, a heat balance, or the stricter of both"
    )
    fuse_rule: Literal["careful", "33 CFR 183 limit"] | None = Field(
        default=None, description="fuse window, instead of the rule set's"
    )
    bundle_rule: Literal["33 CFR 183", "NEC", "none"] | None = Field(
        default=None, description="bundle factors, instead of the rule set's"
    )
    fuse_distance: Literal["33CFR183", "ISO10133"] = Field(
        default="33CFR183", description="how far from its source a fuse may sit"
    )
    ac_dc: Literal["apart", "together when sheathed"] = "apart"
    data_power: Literal["apart", "together"] = "together"
    stock: Literal["metric", "awg"] = "metric"
    only: tuple[str, ...] = Field(
        default=(), description="ids of the stocked cables this shop really has; all if empty"
    )
    use_at_most: SizeCount | None = Field(
        default=None, description="sizes of DC cable that this shop keeps; the best of them are chosen"
    )
    held: tuple[HeldReel, ...] = Field(
        default=(), description="reels that are not what they claim: undersize, of another metal, suspect"
    )
    spare: CableText | Literal["draw cord", "none"] = "draw cord"
    dc_colours: DcColours = Field(default="red and black", description="wire colours of DC, positive and negative")
    ac_colours: AcColours = Field(default="brown and blue", description="wire colours of AC, line and neutral")
    source_short_circuit: Amps | None = Field(default=None, description="what the battery delivers into a dead short")
