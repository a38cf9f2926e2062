"""The plan put together."""

from __future__ import annotations

from ribway.models.plan.bundles import with_bundle_checks
from ribway.models.plan.plan import PLAN_FORMAT_VERSION, Plan, PlanCable, PlanRules
from ribway.models.run_numbers import with_runs
from ribway.models.surroundings import SURROUNDINGS, Surroundings
from ribway.router.circuits.runs import DRAW_CORD
from ribway.router.sizes.rules import bundle_words, fuse_words
from ribway.router.writing.assumptions import write_assumptions, write_unplanned
from ribway.router.writing.bound import write_bound
from ribway.router.writing.budgets import budgets_of
from ribway.router.writing.bundles import bundle_findings
from ribway.router.writing.chance import with_chances
from ribway.router.writing.circuits import write_circuits, write_devices
from ribway.router.writing.findings import find
from ribway.router.writing.looms import write_looms
from ribway.router.writing.outcome import Outcome
from ribway.router.writing.protection import write_boards
from ribway.router.writing.runs import write_runs
from ribway.router.writing.safe_lengths import write_safe_lengths
from ribway.router.writing.shell import write_bays, write_keep_outs, write_openings, write_parts, write_ways
from ribway.router.writing.totals import totals
from ribway.router.writing.wishes import write_wishes
from ribway.sizing.resistance import conductor_ohm_per_m_20c


def write_plan(outcome: Outcome) -> Plan:
    """Everything that was decided, as a document that stands alone."""
    project = outcome.project
    runs, circuits = write_runs(outcome), write_circuits(outcome)
    looms, openings, devices = write_looms(outcome), write_openings(outcome), write_devices(outcome)
    ways, cables = write_ways(outcome), _cables(outcome)
    runs, measurements = with_chances(project, runs, openings, ways, devices)
    sums = totals(runs, circuits, looms, openings, {run: cable.stock.metal for run, cable in outcome.cable_of.items()})
    bays = write_bays(outcome)
    looms = with_bundle_checks(looms, {run.id: run for run in runs}, bays, project.shop.bend_counts_above_deg)
    findings = (
        *find(outcome, runs, circuits, openings, devices, ways),
        *bundle_findings(looms, runs, bays, project.shop.bend_counts_above_deg, project.shop.units),
    )
    laid = not outcome.dead_ends and all(one.verdict is None or one.verdict.ok for one in outcome.sized.values())
    return Plan(
        ribway_plan=PLAN_FORMAT_VERSION,
        name=project.name,
        revision=project.revision,
        date=project.date,
        alternative=outcome.alternative,
        datum=project.vehicle.datum.name,
        shell=outcome.shell.name,
        shell_length_m=round(outcome.shell.length_m, 4),
        scale_error_percent=project.vehicle.scale_error or 0.0,
        rules=_rules(outcome),
        devices=devices,
        circuits=circuits,
        runs=runs,
        numbers=with_runs(project.numbers, runs, {one.id: one.zone for one in devices}),
        budgets=budgets_of(outcome),
        boards=write_boards(outcome),
        looms=looms,
        loom_wishes=write_wishes(outcome),
        openings=openings,
        ways=ways,
        bays=bays,
        keep_outs=write_keep_outs(outcome),
        parts=write_parts(outcome),
        cables=cables,
        totals=sums,
        bound=None if outcome.bounds is None else write_bound(outcome.bounds, sums.copper_kg),
        findings=findings,
        assumptions=write_assumptions(project, openings, devices, cables),
        unplanned=write_unplanned(project),
        measurements=measurements,
        safe_lengths=write_safe_lengths(runs, project.shop.cut_step),
        complete=laid and not any(finding.level == "error" for finding in findings),
    )


def _rules(outcome: Outcome) -> PlanRules:
    shop = outcome.project.shop
    return PlanRules(
        units=shop.units,
        arm_m=shop.arm_length,
        slack_percent=shop.slack,
        cut_step_m=shop.cut_step,
        support_spacing_m=shop.support_spacing,
        bend_counts_above_deg=shop.bend_counts_above_deg,
        fuse_rule=fuse_words(outcome.sizer.rules),
        bundle_rule=bundle_words(outcome.sizer.rules),
        rule_set=outcome.sizer.rules.name,
        base=outcome.sizer.rules.base,
        ac_rule_set=outcome.sizer.ac_rules.name,
        ac_base=outcome.sizer.ac_rules.base,
        ac_bundle_rule=bundle_words(outcome.sizer.ac_rules),
        derating=outcome.sizer.rules.derating,
        volts=shop.volts,
        fuse_distance=shop.fuse_distance,
        ac_dc=shop.ac_dc,
        data_power=shop.data_power,
        conductor_temperature_c=shop.conductor_temperature,
        ambient_roof_c=shop.ambients.roof,
        ambient_wall_c=shop.ambients.wall,
        ambient_floor_c=shop.ambients.floor,
        ambient_outside_c=_outside(outcome),
        lay=shop.lay,
        terminal_m=shop.tails.terminal,
        body_ohm=shop.body_resistance,
        body_measured=shop.body_measured,
        dc_colours=shop.dc_colours,
        ac_colours=shop.ac_colours,
    )


def _outside(outcome: Outcome) -> dict[Surroundings, float]:
    """Air outside the model, where a run lies in it."""
    zones = {leg.zone for laid in outcome.layout.laid.values() for leg in laid.legs}
    return {one: outcome.sizer.ambient_c(one) for one in SURROUNDINGS if one in zones}


def _cables(outcome: Outcome) -> tuple[PlanCable, ...]:
    used = {cable.stock.id: cable for run, cable in outcome.cable_of.items() if run in outcome.layout.laid}
    out = []
    for name in sorted(used):
        stock, conductor = used[name].stock, used[name].conductor
        ohm = conductor_ohm_per_m_20c(conductor) if conductor is not None else 0.0
        out.append(
            PlanCable(
                id=stock.id,
                name=stock.spelling if name != DRAW_CORD else DRAW_CORD,
                cores=stock.cores,
                size_name=stock.size,
                area_mm2=stock.area_mm2,
                system=stock.system,
                kind=stock.kind,
                form=stock.form,
                outside_mm=stock.outside_mm,
                thickness_mm=stock.thickness_mm,
                plug_mm=stock.plug_mm,
                insulation_c=stock.insulation_c,
                min_bend_factor=stock.min_bend_factor,
                ohm_per_m_20c=round(ohm, 9),
                assumed="no source" in stock.source,
                metal=stock.metal,
                held=stock.held,
            )
        )
    return tuple(out)
