"""Looms as the plan says them."""

from __future__ import annotations

from ribway.models.palette import loom_colour
from ribway.models.plan.results import Breakout, LoomSection, PlanLoom
from ribway.router.rounds import section_diameters
from ribway.router.writing.outcome import Outcome, mm, point, points


def write_looms(outcome: Outcome) -> tuple[PlanLoom, ...]:
    """All looms with their sections and breakouts, each in its own colour."""
    runs = outcome.run_by_id
    out = []
    for number, loom in enumerate(outcome.layout.looms):
        diameters = section_diameters(loom, outcome.cable_of, runs)
        sections = tuple(
            LoomSection(
                name=f"{loom.id}.{index + 1}",
                from_m=round(section.from_m, 4),
                to_m=round(section.to_m, 4),
                runs=section.runs,
                openings=section.ways,
                diameter_mm=mm(diameters[index]),
                loaded_conductors=sum(2 for run in section.runs if runs[run].kind != "data" and runs[run].amps > 0.0),
                points=points(section.points),
            )
            for index, section in enumerate(loom.sections)
        )
        breakouts = tuple(
            Breakout(at_m=round(one.at_m, 4), runs=one.runs, place=one.place, point=point(one.point))
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
