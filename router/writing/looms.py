"""Looms as the plan says them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.models.palette import loom_colour
from ribway.models.plan.looms import Breakout, LoomSection, PlanLoom
from ribway.router.looms.grouping import Section
from ribway.router.rounds import section_diameters
from ribway.router.writing.outcome import Outcome, mm, point, points


def write_looms(outcome: Outcome) -> tuple[PlanLoom, ...]:
    """All looms with their sections and breakouts, each in its own colour."""
    runs = outcome.run_by_id
    names = {device.id: device.name or device.id for device in outcome.project.devices}
    out = []
    for number, loom in enumerate(outcome.layout.looms):
        diameters = section_diameters(loom, outcome.cable_of, runs)
        sections = tuple(
            LoomSection(
                name=f"{loom.id}.{index + 1}",
                branch=section.branch,
                begins=_begins(loom.sections, index, names),
                from_m=round(section.from_m, 4),
                to_m=round(section.to_m, 4),
                runs=section.runs,
                openings=section.ways,
                diameter_mm=mm(diameters[index]),
                loaded_conductors=sum(runs[run].loaded_cores for run in section.runs),
                points=points(section.points),
            )
            for index, section in enumerate(loom.sections)
        )
        breakouts = tuple(
            Breakout(
                at_m=round(one.at_m, 4), runs=one.runs, joining=one.joining, place=one.place, point=point(one.point)
            )
            for one in loom.breakouts
        )
        out.append(
            PlanLoom(
                id=loom.id,
                zone=loom.zone,
                runs=loom.runs,
                sections=sections,
                breakouts=breakouts,
                diameter_mm=mm(max(diameters.values(), default=0.0)),
                length_m=round(loom.length_m, 4),
                colour=loom_colour(number),
            )
        )
    return tuple(out)


def _begins(sections: Sequence[Section], index: int, names: Mapping[str, str]) -> str:
    """Where a branch begins; empty but for a branch's first section."""
    here = sections[index]
    if here.trunk or (index and sections[index - 1].branch == here.branch):
        return ""
    if here.device:
        return f"at {names.get(here.device, here.device)}"
    return f"after {here.way}" if here.way else "off the trunk"
