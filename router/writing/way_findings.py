"""What the user must know about runs given by hand, and about ways that are no openings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.results import Finding, PlanRun
from ribway.models.plan.shell import PlanWay

OUTSIDE_REMEDY = {
    "engine space": "keep it off the exhaust and everything that moves, in heat-proof conduit",
    "under floor": "in conduit against stones and water, off exhaust, fuel and brake lines, drained and clipped",
    "on roof": "in conduit that stands the sun, with a gland at each end and a drip loop",
    "cab": "off pedals, steering and airbags, and out of reach of feet and seats",
}
"""Common practice, no source."""


def way_findings(runs: Sequence[PlanRun], ways: Sequence[PlanWay]) -> Iterator[Finding]:
    """Findings of all runs and ways.

    Args:
        runs, ways: as the plan says them.
    """
    yield from _taped(runs)
    for way in ways:
        if way.runs:
            yield from _outside(way)
    yield from _stored(ways)
    yield from _lined(ways)


def _taped(runs: Sequence[PlanRun]) -> Iterator[Finding]:
    taped = [run for run in runs if run.measured == "taped"]
    if taped:
        yield Finding(
            level="warning",
            code="taped-run",
            about=", ".join(run.id for run in taped),
            message="taped by hand, no route is computed: they fill no opening, lie in no bundle and are held against no "
            f"keep-out here; each is reckoned alone, in {_air(taped)}",
            remedy="see that every hole they take has room for them beside what this plan puts there",
        )


def _air(runs: Sequence[PlanRun]) -> str:
    hottest = sorted({f"{leg.ambient_c:g} °C ({leg.zone})" for run in runs for leg in run.legs})
    return "air of " + " or ".join(hottest)


def _outside(way: PlanWay) -> Iterator[Finding]:
    if way.surroundings is not None:
        yield Finding(
            level="warning",
            code="outside-model",
            about=way.id,
            message=f"{', '.join(way.runs)} lie outside the model for {way.taped_m or 0.0:.2f} m, {way.surroundings}: the "
            "length is a tape's, the line in the pictures is a sketch",
            remedy=f"{OUTSIDE_REMEDY[way.surroundings]}; seal both ends; fuse at the source, before the stretch begins",
        )


def _stored(ways: Sequence[PlanWay]) -> Iterator[Finding]:
    pieces = {way.furniture: way for way in ways if way.furniture and way.runs}
    for name in pieces:
        runs = dict.fromkeys(run for way in ways if way.furniture == name for run in way.runs)
        yield Finding(
            level="warning",
            code="in-furniture",
            about=name,
            message=f"{', '.join(runs)} lie in furniture {name}, where things are stored",
            remedy="cover them there: trunking or a board screwed over them, so that nothing stored rubs, pulls or crushes "
            "them; a grommet in every entry",
        )


def _lined(ways: Sequence[PlanWay]) -> Iterator[Finding]:
    over = [way for way in ways if way.kind == "over" and way.runs]
    if over:
        yield Finding(
            level="warning",
            code="over-member",
            about=", ".join(way.id for way in over),
            message="cables cross over a member, between it and the lining",
            remedy="the lining must not press on the cable: measure the gap with the battens on, keep screws away, and put an "
            "edge strip on the member",
        )
