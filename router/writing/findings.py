"""What the user must know about a plan, the serious first."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from ribway.models.plan.results import Finding, PlanCircuit, PlanDevice, PlanRun
from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.models.printed import (
    Units,
    counted,
    radius_down,
    radius_up,
    size_near,
    three_digits_up,
)
from ribway.router.paths.causes import named
from ribway.router.writing.joints import joint_findings
from ribway.router.writing.led_round import led_round_findings
from ribway.router.writing.lugs import lug_findings
from ribway.router.writing.mesh_findings import mesh_findings
from ribway.router.writing.outcome import Outcome
from ribway.router.writing.protection import guards, protection_findings
from ribway.router.writing.runs import tight_corners
from ribway.router.writing.signals import signal_findings
from ribway.router.writing.size_by import bundle_findings
from ribway.router.writing.solar import solar_findings
from ribway.router.writing.stock_gaps import gap_findings, held_findings
from ribway.router.writing.way_findings import way_findings
from ribway.router.writing.wiring import colour_findings, negative_findings, supply_findings
from ribway.router.writing.wishes import wish_findings
from ribway.sizing.fuse import FuseChoice, NoFuse

SHARP_SHARE = 0.5
LEVELS = ("error", "warning", "note")
NOTHING_FEEDS_IT = "nothing-feeds-it"
"""Code of the error that a board is fed by nothing: such a plan is not complete."""


def find(
    outcome: Outcome,
    runs: Sequence[PlanRun],
    circuits: Sequence[PlanCircuit],
    openings: Sequence[PlanOpening],
    devices: Sequence[PlanDevice],
    ways: Sequence[PlanWay],
) -> tuple[Finding, ...]:
    """All findings of a plan.

    Args:
        outcome: what was decided.
        runs, circuits, openings, devices, ways: the same as the plan says it.
    """
    found = [
        *_no_route(outcome),
        *_fuses(outcome),
        *_both_ends_live(outcome),
        *_bends(outcome),
        *_openings(openings, outcome.project.shop.units),
        *mesh_findings(outcome),
        *supply_findings(outcome),
        *solar_findings(outcome, guards(outcome)),
        *protection_findings(outcome),
        *bundle_findings(runs),
        *led_round_findings(outcome),
        *gap_findings(outcome),
        *held_findings(outcome),
        *signal_findings(outcome),
        *wish_findings(outcome),
        *colour_findings(runs),
        *negative_findings(outcome),
        *joint_findings(outcome, runs, circuits, devices),
        *lug_findings(runs, devices),
        *_standing(outcome, runs, circuits, devices),
        *way_findings(runs, ways),
    ]
    return in_order(found)


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """The serious first, then by code and what they are about."""
    return tuple(sorted(found, key=lambda one: (LEVELS.index(one.level), one.code, one.about)))


def _no_route(outcome: Outcome) -> Iterator[Finding]:
    names = _names(outcome)
    for one in outcome.dead_ends:
        runs = [outcome.routed[number] for number in one.runs]
        if one.inside:
            inside, outside = (named([names[device] for device in some]) for some in (one.inside, one.outside))
            ends = f"for {counted(len(runs), 'run')} between {inside} and {outside}"
        else:
            ends = f"from {names[runs[0].a]} to {names[runs[0].b]}"
        yield Finding(
            level="error",
            code=one.dead.code,
            about=", ".join(run.id for run in runs),
            message=f"no route {ends}: {one.dead.message}",
            remedy=one.dead.remedy,
        )


def _names(outcome: Outcome) -> dict[str, str]:
    """What people call each device."""
    return {device.id: device.name or device.id for device in outcome.project.devices}


def _fuses(outcome: Outcome) -> Iterator[Finding]:
    for circuit, sizes in outcome.circuits.items():
        if isinstance(sizes.fuse, NoFuse):
            yield Finding(
                level="error",
                code="no-fuse",
                about=circuit,
                message="no fuse fits between load and wire",
                remedy=sizes.fuse.remedy,
            )
        elif isinstance(sizes.fuse, FuseChoice) and sizes.fuse.warning:
            yield Finding(
                level="warning",
                code="fuse-rule",
                about=circuit,
                message=sizes.fuse.warning,
                remedy="take the careful fuse rule",
            )


def _both_ends_live(outcome: Outcome) -> Iterator[Finding]:
    names = _names(outcome)
    for feed in outcome.feeds:
        said, its = feed.circuit, outcome.circuits.get(feed.circuit.id)
        if said.load_can_feed:
            chosen = its.fuse if its is not None else None
            near_a = chosen.fuse.rating_a if isinstance(chosen, FuseChoice) else said.fuse
            far_a = said.far_fuse or near_a
            near = f"a fuse of {near_a:g} A" if near_a is not None else "a fuse"
            far = "another" if far_a == near_a else f"one of {far_a:g} A"
            loads = ", ".join(names[load] for load in said.loads)
            yield Finding(
                level="warning",
                code="both-ends-live",
                about=said.id,
                message=f"{said.name}: both ends can feed the cable",
                remedy=f"{near} at {names[said.source]} and {far} at {loads}, each close to it",
            )


def _bends(outcome: Outcome) -> Iterator[Finding]:
    """Corners with too little room, the sharp ones (below half the least radius) apart from the rest."""
    sharp: dict[str, str] = {}
    rest: dict[str, str] = {}
    units = outcome.project.shop.units
    for run, laid in outcome.layout.laid.items():
        cable = outcome.cable_of[run]
        make = partial(tight_corners, laid, cable)
        tight = outcome.memory.of("tight", (laid, cable), make) if cable.stock.min_bend_factor > 0.0 else []
        if tight:
            least = min(radius for radius, _ in tight)
            room, needed = radius_down(1000.0 * least, units), radius_up(1000.0 * cable.least_radius_m, units)
            words = f"{run} {room.removesuffix(' mm')} of {needed}"
            (sharp if least < SHARP_SHARE * cable.least_radius_m else rest)[run] = words
    for level, group, about in (("warning", sharp, "far less"), ("note", rest, "somewhat less")):
        if group:
            yield Finding(
                level="warning" if level == "warning" else "note",
                code="tight-bend",
                about=", ".join(group),
                message=f"square corners leave {about} room than the cable's least bend radius: {'; '.join(group.values())}",
                remedy="lay them in a wider sweep there; the cut length already covers the square corner",
            )


def _openings(openings: Sequence[PlanOpening], units: Units) -> Iterator[Finding]:
    assumed = [opening.id for opening in openings if opening.runs and opening.state == "assumed"]
    if assumed:
        yield Finding(
            level="warning",
            code="assumed-openings",
            about=", ".join(assumed),
            message=f"{counted(len(assumed), 'opening')} that this plan uses "
            f"{'was' if len(assumed) == 1 else 'were'} not measured on this van",
            remedy="check each before cutting: that it is there, its size, and what runs through it already",
        )
    for opening in openings:
        if opening.runs and opening.state == "drill":
            yield Finding(
                level="warning",
                code="drill",
                about=opening.id,
                message=f"a hole of {size_near(opening.raw_bore_mm, units)} has to be drilled in {opening.member}",
                remedy="look behind the metal first; keep to the vehicle maker's guideline; deburr, treat against rust, "
                "fit a grommet",
            )


def _unfed(outcome: Outcome, devices: Sequence[PlanDevice]) -> Iterator[Finding]:
    """Boards that nothing feeds, loads without a current, devices without a wire."""
    ends = {run.a for run in outcome.runs if run.circuit} | {run.b for run in outcome.runs if run.circuit}
    fed = {run.b for run in outcome.runs if run.circuit and run.kind != "data"}
    fed |= {circuit.source for circuit in outcome.project.circuits if circuit.load_can_feed}
    for device in devices:
        if device.kind == "mounting board":
            continue
        if device.id not in ends:
            yield Finding(
                level="warning",
                code="no-wire",
                about=device.id,
                message=f"{device.name} has no wire",
                remedy="name it in a circuit, or take it off the list",
            )
        elif device.kind == "board" and device.id not in fed:
            yield Finding(
                level="error",
                code=NOTHING_FEEDS_IT,
                about=device.id,
                message=f"nothing feeds {device.name}",
                remedy="a circuit from the battery to it, with a fuse at the battery",
            )
        elif device.kind in ("load", "outlet") and device.id in fed and device.amps == 0.0:
            yield Finding(
                level="warning",
                code="no-current",
                about=device.id,
                message=f"{device.name} has no amps and no watts: its cable is sized for nothing",
                remedy="read amps or watts off its plate",
            )


def _weakest(circuits: Sequence[PlanCircuit]) -> str:
    return ", ".join(
        f"{circuit.id} {math.floor(10.0 * (circuit.weakest_derated_a or 0.0)) / 10.0:.1f} A" for circuit in circuits
    )


def _standing(
    outcome: Outcome, runs: Sequence[PlanRun], circuits: Sequence[PlanCircuit], devices: Sequence[PlanDevice]
) -> Iterator[Finding]:
    ac = [circuit for circuit in circuits if circuit.kind == "ac"]
    if ac:
        yield Finding(
            level="warning",
            code="licensed-person",
            about=", ".join(circuit.id for circuit in ac),
            message="mains voltage: routed, measured, kept apart and marked here, for information only; no breaker may be "
            f"larger than what the weakest cable behind it carries where it lies: {_weakest(ac)}",
            remedy="to be designed, protected (RCD) and connected by a licensed person; lying side by side with other cables "
            "is checked, crossing them is not: sleeve the AC wherever it crosses",
        )
    heavy = [run.id for run in runs if run.cut_to_template]
    if heavy:
        yield Finding(
            level="note",
            code="cut-to-template",
            about=", ".join(heavy),
            message="cables from 16 mm2 up",
            remedy="cut them to template on the van; the cut length is an estimate on the safe side",
        )
    unknown = [one for one in circuits if one.kind == "dc" and one.fuse_a and one.short_near_a is None]
    if unknown:
        kinds = {device.id: device.kind for device in devices}
        yield Finding(
            level="warning",
            code="short-circuit-unknown",
            about=", ".join(dict.fromkeys(one.source for one in unknown if kinds.get(one.source) == "source")),
            message="the battery's short-circuit current is not known, so nobody knows whether its fuses break a short",
            remedy="ask its maker, and write short_circuit_a (or internal_ohms) at the battery; till then take for the main "
            "fuse the kind that breaks most",
        )
    yield from _unfed(outcome, devices)
    unconfirmed = [device for device in devices if not device.confirmed and device.amps > 10.0]
    if unconfirmed:
        yield Finding(
            level="note",
            code="unconfirmed-amps",
            about=", ".join(device.id for device in unconfirmed),
            message="currents above 10 A that nobody has confirmed: "
            + ", ".join(f"{device.name} {three_digits_up(device.amps)} A" for device in unconfirmed),
            remedy="read them off the plates and mark the devices confirmed",
        )
