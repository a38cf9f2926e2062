"""Findings about joints and about cables that move."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.results import Finding, PlanCircuit, PlanDevice, PlanRun
from ribway.router.circuits.stock import Cable
from ribway.router.writing.outcome import Outcome


def joint_findings(
    outcome: Outcome, runs: Sequence[PlanRun], circuits: Sequence[PlanCircuit], devices: Sequence[PlanDevice]
) -> Iterator[Finding]:
    """Joints that bear too little, joints whose rating is not known, moving cables of coarse strand.

    Args:
        outcome: what was decided.
        runs, circuits, devices: the same as the plan says it.
    """
    used = {end for run in runs for end in (run.from_, run.to)}
    parting = {name for entry in outcome.project.runs for name in entry.through}
    fuses = {circuit.id: circuit.fuse_a or 0.0 for circuit in circuits}
    for joint in (one for one in devices if one.kind == "joint" and one.id in used):
        through = [run for run in runs if run.to == joint.id and run.kind != "data" and run.purpose != "spare"]
        if joint.contact_a is None:
            if joint.id in parting:
                yield Finding(
                    level="warning",
                    code="joint-rating-unknown",
                    about=joint.id,
                    message=f"what a contact of {joint.name} bears is not known",
                    remedy="read it off the plug and write contact_amps: 15 A beside it",
                )
            continue
        for run in through:
            if run.design_a > joint.contact_a:
                yield Finding(
                    level="error",
                    code="joint-overloaded",
                    about=joint.id,
                    message=f"{run.id} carries {run.design_a:g} A through contacts of {joint.contact_a:g} A",
                    remedy="a joint with larger contacts, or no joint in this run",
                )
            elif fuses.get(run.circuit, 0.0) > joint.contact_a:
                yield Finding(
                    level="warning",
                    code="joint-below-fuse",
                    about=joint.id,
                    message=f"{run.id} is behind a fuse of {fuses[run.circuit]:g} A, the contacts bear {joint.contact_a:g} A",
                    remedy="a smaller fuse if the load allows it, or a joint with larger contacts",
                )
    yield from _moving(outcome, runs)


def _moving(outcome: Outcome, runs: Sequence[PlanRun]) -> Iterator[Finding]:
    for run in runs:
        if run.moving and not fine_strand(outcome.cable_of[run.id]):
            yield Finding(
                level="warning",
                code="coarse-strand",
                about=run.id,
                message=f"it moves with {', '.join(run.moving)} and needs fine strand, class 5 or 6 of IEC 60228; the stock "
                "does not say that it has it",
                remedy="a cable that is sold as class 5 or 6 for this run",
            )


def fine_strand(cable: Cable) -> bool:
    """Whether a cable is of class 5 or 6: the metric stock is class 5, as its resistances are; of others nobody says.

    Source: IEC 60228:2004, tables 3 and 4.
    """
    return cable.stock.system == "metric" and cable.stock.area_mm2 > 0.0
