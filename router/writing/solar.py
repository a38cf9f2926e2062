"""What must be said of solar runs."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding
from ribway.router.circuits.drawn import solar_of
from ribway.router.writing.outcome import Outcome


def solar_findings(outcome: Outcome) -> Iterator[Finding]:
    """Volts in the cold, both ends live, fuses of strings: of every circuit that comes from described panels."""
    for feed in outcome.feeds:
        solar = solar_of(outcome.sizer.devices[feed.circuit.source])
        if solar is None or feed.circuit.kind != "dc":
            continue
        says = list(solar.says)
        if solar.string_fuses:
            says.append("each string needs a fuse of its own")
        yield Finding(
            level="warning",
            code="solar",
            about=feed.circuit.id,
            message=f"{feed.circuit.name}: up to {solar.short_a:.1f} A; {'; '.join(says)}",
            remedy="insulation, switches and controller for the volts in the cold; cover the panels while connecting",
        )
