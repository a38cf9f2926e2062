"""Lugs at the ends of runs: size of conductor times stud."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ribway.models.plan.results import Finding, PlanDevice, PlanLug, PlanRun
from ribway.models.terminals import taken_by
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import Cable
from ribway.router.laying.cutting import THICK_MM2


def lugs_of(run: Run, cable: Cable, taking: Mapping[str, tuple[str, str]]) -> tuple[PlanLug, ...]:
    """The lugs of a run.

    From 16 mm2 up every end has one on each conductor; a thinner one only where its device has a stud. None where
    a tab or a clamp screw takes it.

    Args:
        run: the run.
        cable: what it is laid in.
        taking: stud and other terminals by device; empty text where nobody said which.
    """
    if run.kind == "data" or run.purpose == "spare":
        return ()
    thick = cable.stock.area_mm2 >= THICK_MM2
    used = len(run.functions) or cable.conductors
    ends = {end: taken_by(*taking[end], source=end == run.a) for end in (run.a, run.b)}
    return tuple(
        PlanLug(at=end, size=cable.stock.size, stud=stud, count=used)
        for end, (stud, takes) in ends.items()
        if stud or (thick and not takes)
    )


def lug_findings(runs: Sequence[PlanRun], devices: Sequence[PlanDevice]) -> Iterator[Finding]:
    """Devices whose studs nobody said, though their lugs have to be bought."""
    names = {device.id: device.name for device in devices}
    unknown = dict.fromkeys(lug.at for run in runs for lug in run.lugs if not lug.stud)
    if unknown:
        yield Finding(
            level="note",
            code="stud-unknown",
            about=", ".join(unknown),
            message=f"which screw the lugs go on is not known: {', '.join(names[one] for one in unknown)}",
            remedy='read it off the device and write stud: M8 (or M6, 3/8" ...) beside it before lugs are bought',
        )
