"""The part of a plan that says how sizes came about, and what fuse boards hold."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data


class PlanFactor(Data):
    """One step from the amperes of a table to what a conductor may carry where it lies."""

    name: str
    value: float
    before_a: float
    after_a: float
    because: str


class PlanSizeBy(Data):
    """What a run would take if a bundle took away otherwise, all else as it is."""

    by: Literal["factor alone", "heat balance alone", "neither"]
    size: str = Field(description="smallest stocked size that would do; empty if none")
    carries_a: float


class PlanState(Data):
    """What a feeder carries in a state of the van."""

    state: str
    takes_a: float
    gives_a: float


class PlanLimit(Data):
    """One limit that a run was held against, with what is left to it."""

    name: str
    value: float
    bound: float
    sense: Literal["at most", "at least"]
    unit: str
    margin: float
    says: str


class PlanBudget(Data):
    """A budget of a data circuit: the length of a link, the loss in a coax, the volts of a bus, the reach of a lead."""

    kind: Literal["length", "loss", "volts", "lead"]
    circuit: str
    runs: tuple[str, ...] = Field(description="in order from the source; their cut lengths count")
    of: str = Field(description="name of the link or the coax; of a bus the device that sees least; of a lead empty")
    value: float
    bound: float
    sense: Literal["at most", "at least"]
    unit: str
    frequency_mhz: float | None = Field(default=None, description="highest frequency in a coax")
    plugs: int = Field(default=0, description="of a coax")
    drawn_a: tuple[float, ...] = Field(default=(), description="of a bus: what the device at the end of each run draws")
    says: str = Field(description="how the value came about")

    @property
    def holds(self) -> bool:
        """Whether it is kept."""
        over = self.value - self.bound if self.sense == "at most" else self.bound - self.value
        return over <= 1e-6 * max(abs(self.value), abs(self.bound))


class PlanWayOf(Data):
    """The way of a board that a circuit has; the first is 1."""

    circuit: str
    way: int


class PlanBoard(Data):
    """A fuse board whose ways were stated."""

    id: str
    ways: int
    amps_per_way: float
    amps_total: float | None = Field(description="what the board may carry in all; empty if nobody said")
    used: int
    spare: int
    amps: float = Field(description="what its circuits draw at once in the worst state of the van")
    circuits: tuple[PlanWayOf, ...]


class FuseBeyondRating(Data):
    """What the plan says of a circuit's fuse beyond its rating: kind, what it breaks, shorts, states, the far end's fuse."""

    fuse_kind: str = Field(default="", description="kind of fuse: the stated one, else one that breaks the short")
    fuse_breaks_a: float | None = Field(default=None, description="what that kind breaks at the highest voltage")
    fuse_breaks_given: bool = Field(default=False, description="whether that is its maker's own figure")
    fuse_backed_by: str = Field(
        default="", description="circuit whose fuse makes a greater short safe for it, as its maker says; empty if none"
    )
    fuse_backed_to_a: float | None = Field(default=None, description="up to this short at its board")
    far_fuse_a: float | None = Field(default=None, description="the fuse at the far end, where that can feed too")
    states: tuple[PlanState, ...] = Field(
        default=(), description="of a feeder: what it carries in each state of the van, diversity applied"
    )
    far_fuse_given: bool = Field(default=False, description="whether that was stated")
    short_near_a: float | None = Field(
        default=None, description="greatest current of a short at the fuse; empty if the battery is not known"
    )
    short_far_run: str = Field(default="", description="run at whose end a short draws least")
    short_far_a: float | None = Field(default=None, description="least current of a short at that end")
    short_sure_to_m: float | None = Field(
        default=None, description="along that run a short draws twice the fuse's rating up to here"
    )
    short_heat_run: str = Field(default="", description="run whose conductor is nearest to what it stands in a short")
    short_through_a2s: float | None = Field(default=None, description="what the fuse lets through to it at most [A2 s]")
    short_stands_a2s: float | None = Field(default=None, description="what it stands [A2 s]")


class SeenAtDevice(Data):
    """What the plan says of a device's volts, and of what it needs and gives."""

    share: float = Field(default=1.0, description="diversity: share of its current that counts in a feeder, 0 to 1")
    states: tuple[str, ...] = Field(default=(), description="states of the van in which it draws; all if empty")
    gives_a: float | None = Field(
        default=None, description="what it drives into a circuit: a charger's output, a solar field's short circuit"
    )
    load: str = Field(default="constant current", description="what it keeps when its voltage falls")
    cut_out_v: float | None = Field(default=None, description="voltage below which it switches off")
    running_v: float | None = Field(default=None, description="at its terminals with everything running")
    lowest_v: float | None = Field(default=None, description="the least there while anything starts")
    lowest_when: str = Field(default="", description="what starts then; empty if running is the lowest")
    internal_ohm: float | None = Field(default=None, description="a battery's resistance in a dead short")
    sag_ohm: float = Field(default=0.0, description="a battery's resistance that its volts are reckoned with")
    keeps_w: float | None = Field(default=None, description="power of a load that keeps it")
    keeps_ohm: float | None = Field(default=None, description="resistance of a load that keeps it")
    backed_kind: str = Field(default="", description="of a board: kind of fuse behind which its fuses stand more")
    backed_fuse_a: float | None = Field(default=None, description="greatest rating of that fuse")
    backed_to_a: float | None = Field(default=None, description="greatest short at the board then")
