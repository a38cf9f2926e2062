"""Devices, circuits and runs as the project file gives them."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from ribway.models.base import Data
from ribway.models.electrics import (
    Backing,
    CoaxName,
    Duty,
    FuseKindName,
    LinkName,
    LoadKind,
    Maker,
    Output,
    Panels,
    Share,
    SomeAmps,
    VanState,
)
from ribway.models.fields import (
    Amps,
    AreaMm2,
    CableText,
    Decibels,
    DropPercent,
    FuseAmps,
    Hours,
    Length,
    Megahertz,
    Ohms,
    SystemVolts,
    Volts,
    Watts,
    within,
)
from ribway.models.place import Place
from ribway.models.surroundings import Surroundings
from ribway.models.terminals import Takes

Id = Annotated[str, StringConstraints(strict=True, pattern=r"^[A-Za-z][A-Za-z0-9_.-]{0,39}$")]
Kind = Literal["dc", "ac", "data"]
Pattern = Literal[
    "home", "sub-board", "chain", "switched chain", "switch drop", "two-way", "dimmer", "relay", "control", "stated",
    "bond", "shared negative",
]  # fmt: skip
Return = Literal["wired", "chassis", "shared"]
NEGATIVES = frozenset({"bond", "shared negative"})
"""Patterns of circuits that only lead current back: no fuse is in them."""
Order = Literal["cheapest", "as listed"]
Supply = Literal["always", "main switch", "ignition", "load shed", "solar"]
DeviceKind = Literal[
    "source", "board", "load", "outlet", "switch", "controller", "sensor", "inverter", "charger", "joint", "earth point",
    "mounting board",
]  # fmt: skip
Stud = Literal["M3", "M4", "M5", "M6", "M8", "M10", "M12", "M16", "#8", "#10", '1/4"', '5/16"', '3/8"', '1/2"']
BoardSize = Annotated[Length, within(0.05, 3.0, "m")]


class Device(Data):
    """Anything with a wire."""

    id: Id
    name: str
    kind: DeviceKind = "load"
    at: Place
    amps: Amps | None = Field(default=None, description="running current")
    watts: Watts | None = None
    start_amps: Amps | None = None
    zone: str | None = Field(
        default=None, description="what part of the van it belongs to; found from its place if not said"
    )
    tail: Length | None = Field(default=None, description="extra length left here, instead of the shop's")
    supply: Supply | None = Field(default=None, description="when it must have power; that of its board if not said")
    stud: Stud | None = Field(
        default=None, description="the screw its cables' lugs go on; that of its kind if not said"
    )
    takes: Takes | None = Field(
        default=None,
        description="what takes its wires if no stud does: a tab or a clamp screw; of a board with a stud too, those of its ways",
    )
    allowed_by_maker: bool = Field(
        default=False, description="of an earth point: the vehicle's maker allows current back through it"
    )
    contact_amps: Amps | None = Field(default=None, description="of a joint: what one of its contacts bears")
    contact_resistance: Ohms | None = Field(
        default=None,
        description="of one contact of a joint; 5 mohm if only its amps are said (common practice, no source)",
    )
    behind: Literal["nothing fixed", "removable panel", "fixed panel"] | None = Field(
        default=None, description="of a joint: what covers it when the van is finished"
    )
    width: BoardSize | None = Field(default=None, description="of a mounting board")
    height: BoardSize | None = Field(default=None, description="of a mounting board")
    confirmed: bool = False
    load: LoadKind = Field(default="constant current", description="what it keeps when its voltage falls")
    cut_out_volts: Annotated[Volts, within(0.1, 1000.0, "V")] | None = Field(
        default=None, description="voltage below which it switches off or does not start"
    )
    hours_per_day: Hours | None = Field(default=None, description="how long it runs: for what its cable loses")
    share: Share = Field(default=100.0, description="share of it that flows together with the rest of a feeder")
    states: tuple[VanState, ...] = Field(default=(), description="states of the van in which it draws; all if empty")
    maker: Maker | None = Field(default=None, description="what its maker asks of its wires")
    terminal: AreaMm2 | None = Field(default=None, description="thickest conductor its terminal takes")
    terminal_amps: SomeAmps | None = Field(default=None, description="what its terminal or plug may carry")
    output: Output | None = Field(default=None, description="what a charger or an inverter gives")
    panels: Panels | None = Field(default=None, description="the panels behind a solar entry")
    short_circuit_a: SomeAmps | None = Field(default=None, description="what a battery drives into a dead short")
    internal_ohms: Annotated[Ohms, within(1e-5, 100.0, "ohm")] | None = Field(
        default=None, description="a battery's internal resistance"
    )
    ways: int | None = Field(default=None, ge=1, le=60, strict=True, description="ways of a board")
    amps_per_way: SomeAmps | None = Field(default=None, description="greatest fuse of a board's way")
    amps_total: SomeAmps | None = Field(default=None, description="what a board may carry in all")
    backed_by: Backing | None = Field(
        default=None, description="of a board: what its fuses stand behind the fuse before it, as their maker says"
    )

    @model_validator(mode="after")
    def _one_load(self) -> Self:
        if self.kind == "mounting board" and (None in (self.width, self.height) or self.at.on is not None):
            raise ValueError("a mounting board has a width, a height and a place on a wall, roof or floor")
        said = (self.contact_amps, self.contact_resistance, self.behind)
        if self.kind != "joint" and said != (None, None, None):
            raise ValueError("contact_amps, contact_resistance and behind belong to a joint")
        if self.kind != "mounting board" and (self.width, self.height) != (None, None):
            raise ValueError("width and height belong to a mounting board")
        if self.stud is not None and self.takes is not None and self.kind != "board":
            raise ValueError(
                "give stud or takes, not both: a board alone may have a stud for its feed and takes for its ways"
            )
        if self.amps is not None and self.watts is not None:
            raise ValueError("give amps or watts, not both")
        if self.ways is not None and self.amps_per_way is None:
            raise ValueError("a board with ways needs amps_per_way: the greatest fuse of one way")
        if self.backed_by is not None and self.kind != "board":
            raise ValueError("backed_by belongs to a board: it says what its fuses stand behind the fuse before it")
        if self.short_circuit_a is not None and self.internal_ohms is not None:
            raise ValueError("give short_circuit_a or internal_ohms, not both")
        return self


class Circuit(Data):
    """What one protective device feeds."""

    id: Id
    name: str
    kind: Kind = "dc"
    source: Id = Field(alias="from")
    loads: tuple[Id, ...] = Field(alias="to", min_length=1)
    pattern: Pattern = "home"
    order: Order = Field(default="cheapest", description="whether the loads of a chain may change places")
    control_amps: Annotated[Amps, within(0.01, 30.0, "A")] = Field(
        default=0.2, description="what a relay's coil or a module's input takes from its switch"
    )
    supply: Supply | None = Field(default=None, description="what switches its power; that of its loads if not said")
    volts: SystemVolts | None = None
    drop: Literal["critical", "other"] | DropPercent = "other"
    cable: CableText | None = Field(default=None, description="this cable and no other")
    least: CableText | None = Field(default=None, description="no cable thinner than this")
    fuse: FuseAmps | None = None
    return_: Return | None = Field(
        default=None, alias="return", description="how its current comes back; as the shop's setting has it if not said"
    )
    earth: Id | None = Field(default=None, description="earth point of a chassis return, where several are allowed")
    group: Id | None = Field(
        default=None, description="circuits of one group share one negative; by their source if not said"
    )
    load_can_feed: bool = Field(default=False, description="the far end is a source too: it needs its own fuse")
    fuse_kind: FuseKindName | None = Field(
        default=None, description="kind of fuse; one that breaks the short if not said"
    )
    fuse_breaks: SomeAmps | None = Field(default=None, description="what the fuse's maker says it breaks")
    fuse_at: Length | None = Field(default=None, description="how far along the wire from the source the fuse sits")
    far_fuse: FuseAmps | None = Field(default=None, description="the fuse at the far end, where that can feed too")
    far_fuse_at: Length | None = Field(default=None, description="how far along the wire from the far end it sits")
    never_with: Annotated[str, StringConstraints(min_length=1, max_length=40)] | None = Field(
        default=None, description="name of a set of circuits of which only one is loaded at a time"
    )
    duty: Duty | None = Field(default=None, description="how long its load is on at a time; for good if not said")
    link: LinkName | None = Field(default=None, description="kind of data link, for its greatest length")
    coax: CoaxName | None = Field(default=None, description="kind of coaxial cable, for its loss")
    frequency: Megahertz | None = Field(default=None, description="highest frequency in the coax")
    loss_allowed: Decibels | None = Field(default=None, description="loss allowed in the coax, plugs included")
    bus_least_volts: Annotated[Volts, within(0.1, 60.0, "V")] | None = Field(
        default=None, description="least volts that the devices of a bus that carries their power need"
    )

    @model_validator(mode="after")
    def _whole_budget(self) -> Self:
        if self.coax is not None and (self.frequency is None or self.loss_allowed is None):
            raise ValueError("a coax needs frequency and loss_allowed, to be held against its budget")
        return self

    @model_validator(mode="after")
    def _no_far_fuse_unused(self) -> Self:
        if not self.load_can_feed and (self.far_fuse, self.far_fuse_at) != (None, None):
            raise ValueError(
                "a fuse at the far end is for a far end that can feed too: write load_can_feed: true, or leave far_fuse "
                "and far_fuse_at out"
            )
        return self


class RunEntry(Data):
    """What a person wants of one run. It names a run that follows from its circuit, or states one."""

    id: Id | None = None
    circuit: Id
    a: Id = Field(alias="from")
    b: Id = Field(alias="to")
    cable: CableText | None = None
    through: tuple[Id, ...] = Field(
        default=(), description="joints that part it, in order: at furniture that comes out, at a door"
    )
    via: tuple[str, ...] = ()
    avoid: tuple[str, ...] = ()
    tail_a: Length | None = Field(default=None, alias="tail_from")
    tail_b: Length | None = Field(default=None, alias="tail_to")
    by_hand: tuple[str, ...] | None = Field(
        default=None, description="exactly these openings and other ways, in this order; shortest in the bays between"
    )
    taped: Length | None = Field(
        default=None,
        description="device to device by tape along the way, without tails or slack, which are added; no route is "
        "computed and no opening is filled",
    )
    surroundings: Surroundings | None = Field(
        default=None,
        description="where a taped run lies, for its heat; the hottest of wall, roof and floor if not said",
    )
    fixed_length: Annotated[Length, within(0.05, 100.0, "m")] | None = Field(
        default=None, description="length of a maker's lead: held against its way, never cut"
    )

    @model_validator(mode="after")
    def _one_way_of_measuring(self) -> Self:
        given = [key for key in ("by_hand", "taped") if getattr(self, key) is not None]
        given += [key for key in ("via", "avoid") if getattr(self, key)]
        if len(given) > 1 and given != ["via", "avoid"]:
            raise ValueError(
                f"give one of {', '.join(given)}: by_hand names every way already, and a taped run names none"
            )
        if self.taped is not None and self.taped <= 0.0:
            raise ValueError("a taped run has a length: the tape from device to device along the way, such as 4.2 m")
        if self.surroundings is not None and self.taped is None:
            raise ValueError("surroundings is for a taped run: give taped, or name a way of kind outside in by_hand")
        return self
