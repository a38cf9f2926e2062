"""The plan as one document."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data
from ribway.models.held_reel import MetalName
from ribway.models.plan.assumptions import PlanAssumption, PlanMeasurement, PlanUnplanned
from ribway.models.plan.bound import CopperBound
from ribway.models.plan.electric import PlanBoard, PlanBudget
from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.results import Finding, PlanCircuit, PlanDevice, PlanRun, Totals
from ribway.models.plan.safe_lengths import PlanSafeLengths
from ribway.models.plan.shell import PlanBay, PlanKeepOut, PlanOpening, PlanPart, PlanWay
from ribway.models.plan.wished import PlanLoomWishes
from ribway.models.run_numbers import RunNumber
from ribway.models.surroundings import Surroundings

PLAN_FORMAT_VERSION = 2


class PlanCable(Data):
    """A stocked cable that the plan uses."""

    id: str
    name: str
    cores: int
    size_name: str
    area_mm2: float
    system: Literal["metric", "awg", "sae", "strands"]
    kind: Literal["dc", "ac", "data"]
    form: Literal["round", "flat", "single"]
    outside_mm: float = Field(ge=0.0)
    thickness_mm: float = Field(ge=0.0)
    plug_mm: float
    insulation_c: float
    min_bend_factor: float
    ohm_per_m_20c: float
    assumed: bool
    metal: MetalName = Field(default="copper", description="what its strands are of")
    held: str = Field(default="", description="how the reel differs from what is sold; empty if it does not")


class PlanRules(Data):
    """Named rules and settings that the numbers rest on."""

    units: Literal["metric", "feet and inches"]
    arm_m: float
    slack_percent: float
    cut_step_m: float
    support_spacing_m: float
    bend_counts_above_deg: float
    fuse_rule: str
    bundle_rule: str
    ac_dc: str
    data_power: str
    conductor_temperature_c: float | None
    ambient_roof_c: float
    ambient_wall_c: float
    ambient_floor_c: float
    ambient_outside_c: dict[Surroundings, float] = Field(
        default_factory=dict, description="air of taped stretches outside the model, by what lies round them"
    )
    lay: Literal["square", "taut"]
    terminal_m: float = 0.05
    body_ohm: float = Field(default=0.01, description="of the body between two earth points")
    body_measured: bool = False
    rule_set: str = Field(default="careful", description="named set that the rules were taken from")
    base: str = Field(default="33CFR183", description="table of amperes")
    ac_rule_set: str = Field(default="", description="named set for AC; as for DC if empty")
    ac_base: str = Field(default="", description="its table of amperes")
    ac_bundle_rule: str = Field(default="", description="its bundle factors")
    derating: Literal["stricter", "factor", "heat"] = Field(
        default="factor", description="how a bundle takes away: by a factor, a heat balance, or the stricter of both"
    )
    volts: float = Field(default=12.0, description="nominal voltage of the van's DC")
    fuse_distance: str = Field(default="33CFR183", description="rule for how far from its source a fuse may sit")
    dc_colours: str = ""
    ac_colours: str = ""


class Plan(Data):
    """A complete, self-contained plan."""

    ribway_plan: int = Field(description="version of the plan format", ge=1, le=PLAN_FORMAT_VERSION)
    name: str
    revision: str
    date: str
    alternative: str = Field(description="name of the alternative; empty for the base")
    frame: str = "x forward, y left, z up (ISO 8855), metres, origin on the cargo floor's centre line at the datum"
    datum: str
    shell: str
    shell_length_m: float
    scale_error_percent: float = Field(
        default=0.0, ge=0.0, description="how far all lengths of a surveyed shell may be off together [%]"
    )
    rules: PlanRules
    devices: tuple[PlanDevice, ...]
    circuits: tuple[PlanCircuit, ...]
    runs: tuple[PlanRun, ...]
    numbers: tuple[RunNumber, ...] = Field(
        default=(), description="every number that was ever given to a run of the project, those of this plan too"
    )
    budgets: tuple[PlanBudget, ...] = Field(default=(), description="of data circuits")
    boards: tuple[PlanBoard, ...] = Field(default=(), description="fuse boards whose ways were stated")
    looms: tuple[PlanLoom, ...]
    loom_wishes: PlanLoomWishes = Field(
        default=PlanLoomWishes(), description="how a person overruled the grouping into looms"
    )
    openings: tuple[PlanOpening, ...]
    ways: tuple[PlanWay, ...]
    bays: tuple[PlanBay, ...]
    keep_outs: tuple[PlanKeepOut, ...]
    parts: tuple[PlanPart, ...]
    cables: tuple[PlanCable, ...]
    totals: Totals
    bound: CopperBound | None = Field(default=None, description="nothing where a run has no route")
    findings: tuple[Finding, ...]
    assumptions: tuple[PlanAssumption, ...] = Field(description="values that were filled in, confirmed or not")
    unplanned: tuple[PlanUnplanned, ...] = Field(description="leads that belong to a device and are not in the plan")
    measurements: tuple[PlanMeasurement, ...] = Field(description="what lengths rest on, the most worth reading first")
    safe_lengths: PlanSafeLengths | None = Field(
        default=None, description="tails that make the whole van long enough; nothing in older plans"
    )
    complete: bool
