"""Findings about what switches a device's power, and about colours that mean two things."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.colours.conventions import double_meanings
from ribway.models.plan.results import Finding, PlanRun
from ribway.router.writing.outcome import Outcome


def supply_findings(outcome: Outcome) -> Iterator[Finding]:
    """Devices and circuits that ask for power of one class and hang on another."""
    names = {device.id: device.name for device in outcome.project.devices}
    names |= {circuit.id: circuit.name for circuit in outcome.project.circuits}
    for one in outcome.supplies.misfits:
        yield Finding(
            level="warning",
            code="other-supply",
            about=one.about,
            message=f"{names[one.about]} is to have its power {_words(one.wants)}, but {names[one.board]} gives it "
            f"{_words(one.gets)}",
            remedy=f"feed circuit {one.circuit} from a board of the class {one.wants}, or say another supply for it",
        )


def negative_findings(outcome: Outcome) -> Iterator[Finding]:
    """What rests on the body's resistance, where nobody measured it."""
    through = [one.id for one in outcome.project.circuits if one.return_ == "chassis"]
    shop = outcome.project.shop
    if through and not shop.body_measured:
        yield Finding(
            level="warning",
            code="body-not-measured",
            about=", ".join(through),
            message=f"the body counts as {1000.0 * shop.body_resistance:g} milliohm between two earth points: common "
            "practice, no source",
            remedy="pass 10 A between the points, read the volts, write body_resistance and body_measured: true under shop",
        )


def _words(supply: str) -> str:
    return supply if supply == "always" else f"by {supply}"


def colour_findings(runs: Sequence[PlanRun]) -> Iterator[Finding]:
    """Colours that would mean two things in this van."""
    wires = [
        (run.kind, function, colour)
        for run in runs
        for function, colour in zip(run.wire_functions, run.wire_colours, strict=True)
    ]
    for colour, meanings in double_meanings(wires).items():
        yield Finding(
            level="warning",
            code="colour-means-two",
            about=colour,
            message=f"{colour} would mean {' and '.join(meanings)} in one van",
            remedy="choose other colours under shop: dc_colours red and yellow keeps black for AC, for example",
        )
