"""The part of a plan that says what was decided: runs, circuits, looms, totals, findings."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data
from ribway.models.plan.assumptions import RunError
from ribway.models.plan.electric import FuseBeyondRating, PlanFactor, PlanLimit, PlanSizeBy, SeenAtDevice
from ribway.models.plan.shell import Point
from ribway.models.surroundings import Surroundings

Kind = Literal["dc", "ac", "data"]


class PlanDevice(SeenAtDevice):
    """A device where it really sits."""

    id: str
    name: str
    kind: str
    zone: str
    wall: str
    back_m: float
    up_m: float
    left_m: float
    stand_off_m: float
    point: Point
    amps: float
    start_amps: float
    confirmed: bool
    feeds: tuple[str, ...] = Field(description="circuits it is the source of")
    allowed_by_maker: bool = Field(default=False, description="of an earth point: current may come back through it")
    contact_a: float | None = Field(default=None, description="of a joint: what one contact bears; None if not said")
    contact_ohm: float = Field(default=0.0, description="of one contact of a joint")
    behind: str = Field(default="", description="what covers a joint")
    moving: str = Field(default="", description="what it moves with: a door, a roof")
    loop_m: float = Field(default=0.0, description="left as a loop by each cable that ends at it")
    stud: str = Field(default="", description="the screw that lugs go on; empty if not known")
    takes: str = Field(
        default="", description="tab or clamp screw that takes its wires; of a board with a stud, its ways'"
    )
    on: str = Field(default="", description="mounting board that it is fixed on")
    across_m: float = Field(default=0.0, description="from the left edge of the board it is fixed on")
    board_up_m: float = Field(default=0.0, description="above the lower edge of the board it is fixed on")
    width_m: float = Field(default=0.0, description="of a mounting board")
    height_m: float = Field(default=0.0, description="of a mounting board")


class PlanLeg(Data):
    """One stretch of a run: a stub at a device, a bay, an opening or another way, or a mounting board.

    ``points`` is the sharp polyline as it is drawn; ``sharp_m`` is what counts for the cut length and is never less
    than the polyline's own length. Of a leg outside the model, and of one that stands for a taped run, the points are a
    sketch and the length is a tape's.
    """

    kind: Literal["stub", "bay", "opening", "over", "duct", "inside", "outside", "furniture", "taped", "board"]
    name: str
    sharp_m: float
    points: tuple[Point, ...]
    zone: Literal["wall", "roof", "floor"] | Surroundings
    ambient_c: float
    lay: Literal["square", "taut", ""] = ""


class LengthLine(Data):
    """One line of the reckoning behind a cut length."""

    what: str
    metres: float


class PlanLug(Data):
    """A lug at an end of a run."""

    at: str = Field(description="device")
    size: str = Field(description="of the conductor, as its cable's size is named")
    stud: str = Field(description="empty if nobody said which")
    count: int


class PlanRun(Data):
    """One cable from one device to another."""

    id: str
    circuit: str
    from_: str = Field(alias="from")
    to: str
    kind: Kind
    purpose: Literal["main", "circuit", "spare"]
    role: Literal["feed", "switch leg", "travellers", "control", "return"] = Field(
        default="feed", description="what its pattern uses it for; a control lead never carries the load"
    )
    openings: tuple[str, ...] = Field(description="openings and other ways in order")
    legs: tuple[PlanLeg, ...]
    straight_m: float
    taut_m: float
    sharp_m: float
    rounded_m: float
    slack_m: float
    loop_m: float = Field(default=0.0, description="left as loops where it crosses to something that moves")
    moving: tuple[str, ...] = Field(default=(), description="what it moves with: a door, a roof")
    loom_side_m: float = Field(description="added because the cable lies on the outside of its loom's bends")
    tail_a_m: float
    tail_b_m: float
    one_way_m: float = Field(description="sharp + slack + loom side + loops: device to device, without tails")
    there_and_back_m: float
    cut_m: float
    cut_feet_inches: str
    cut_arms: str
    reckoning: tuple[LengthLine, ...]
    bends: int
    bend_angle_deg: float
    least_bend_radius_mm: float
    tightest_radius_mm: float | None
    centreline: tuple[Point, ...]
    cable: str = Field(description="id in the plan's stock")
    pieces: int = Field(default=1, description="equal cables side by side: 2 for a pair of singles, each cut to cut_m")
    cores: int = Field(description="conductors in all pieces together")
    loaded_cores: int = Field(
        default=0, description="conductors that carry its current at once; of two travellers only one does"
    )
    wire_functions: tuple[str, ...] = Field(
        default=(), description="what each conductor is for; empty for data, spares"
    )
    wire_colours: tuple[str, ...] = Field(default=(), description="colour of each conductor, in the same order")
    conductor_area_mm2: float
    size_name: str
    outside_mm: float = Field(ge=0.0)
    thickness_mm: float = Field(ge=0.0)
    plug_mm: float
    copper_kg: float
    design_a: float
    drop_v: float
    drop_percent: float
    drop_limit_percent: float | None
    derated_a: float | None
    bundle_factor: float
    ambient_factor: float
    heat_factor: float = Field(
        default=1.0, description="what the heat balance of its hottest section leaves, 1 at most"
    )
    table_a: float | None = Field(default=None, description="amperes of its table, alone in air of 30 deg C")
    table_says: str = Field(default="", description="which table, row and column")
    factors: tuple[PlanFactor, ...] = Field(default=(), description="from the table's amperes to what it may carry")
    limits: tuple[PlanLimit, ...] = Field(default=(), description="every limit it was held against")
    copper_c: float | None = Field(default=None, description="temperature of its copper that the drop was reckoned at")
    loss_w: float | None = Field(default=None, description="heat in its conductors at its design current")
    loss_wh_per_day: float | None = Field(default=None, description="of a day; empty where hours are not known")
    size_by: tuple[PlanSizeBy, ...] = Field(
        default=(), description="what it would take if its bundle took away otherwise; where that decided its size"
    )
    fixed_length_m: float | None = Field(default=None, description="length of a maker's lead, which is never cut")
    deciding: str = Field(description="what decided the size")
    loom: str = Field(description="empty for a draw cord that lies by itself, and on a mounting board")
    measured: Literal["computed", "by hand", "taped"] = Field(
        default="computed",
        description="computed on the shell; the same with the ways that a person named; or taped, with no route at all",
    )
    by_hand: tuple[str, ...] = Field(default=(), description="the ways that a person named, in order")
    cut_to_template: bool = Field(description="from 16 mm2 up: cut to template on the van")
    lugs: tuple[PlanLug, ...] = Field(default=(), description="at both ends; size of conductor times stud")
    margin_m: float = Field(description="slack, tails and rounding in the cut length, less what the terminals need")
    errors: tuple[RunError, ...] = Field(description="what the stated errors of measurements do to its length")
    short_chance: float = Field(description="chance, 0 to 1, that these errors add up to more than the margin")


class PlanCircuit(FuseBeyondRating):
    """What one protective device feeds."""

    id: str
    name: str
    kind: Kind
    source: str
    loads: tuple[str, ...]
    pattern: str
    order: str = Field(
        default="", description="how the order of a chain came about; empty where there is nothing to order"
    )
    supply: str = Field(
        default="", description="what is to switch its power: always, main switch, ...; empty if not known"
    )
    supply_given: str = Field(
        default="", description="class of what feeds it; other than its supply only with a finding"
    )
    return_: Literal["wired", "chassis", "shared"] = Field(
        default="wired", alias="return", description="how its current comes back"
    )
    earth: str = Field(default="", description="earth point of a chassis return")
    negative: str = Field(
        default="", description="circuit whose conductor leads its current back; empty if its own does"
    )
    never_with: str = Field(default="", description="name of a set of circuits of which only one is loaded at a time")
    on_s: float | None = Field(default=None, description="longest time on without a pause; for good if empty [s]")
    off_s: float | None = Field(default=None, description="shortest pause after that; once and then cold if empty [s]")
    load_can_feed: bool = Field(default=False, description="its far end is a source too")
    control_a: float = Field(default=0.0, description="what flows in control leads; 0 in circuits that carry a load")
    volts: float
    runs: tuple[str, ...]
    design_a: float
    start_a: float
    fuse_a: float | None
    fuse_given: bool
    fuse_low_a: float
    fuse_high_a: float
    weakest_derated_a: float | None
    drop_limit_percent: float | None
    upstream_drop_v: float
    upstream_start_drop_v: float
    worst_drop_v: float
    worst_drop_percent: float
    start_drop_percent: float


class Totals(Data):
    """Sums over the plan. Copper counts every conductor of every cable cut."""

    copper_kg: float
    copper_mains_kg: float
    copper_circuits_kg: float
    copper_spares_kg: float
    copper_tails_kg: float = Field(description="share of the above that is tails, slack and rounding; not added again")
    copper_ac_kg: float = Field(description="share of the above that is AC; not added again")
    other_metal_kg: float = Field(
        default=0.0, description="aluminium in conductors, beside the copper: cores of clad and of other reels"
    )
    cable_m: float = Field(description="cut lengths of all pieces that have a conductor")
    draw_cord_m: float = Field(description="cut lengths of draw cords; no cable")
    one_way_m: float = Field(description="of all runs, draw cords among them")
    runs: int = Field(description="draw cords among them")
    openings_used: int
    holes_drilled: int
    fullest_opening: str
    fullest_percent: float
    bends: int
    loom_m: float
    worst_drop_percent: float
    worst_drop_run: str
    worst_drop_v: float
    short_chance: float = Field(description="chance that any run is short, errors counted as if none were shared")
    short_runs: float = Field(description="expected number of runs that are short, which holds whatever they share")


class Finding(Data):
    """Something the user must know."""

    level: Literal["error", "warning", "note"]
    code: str
    about: str
    message: str
    remedy: str
