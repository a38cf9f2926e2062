"""What must be said of solar runs: volts in the cold for their controller and their fuse, both ends live."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ribway.models.plan.results import Finding
from ribway.router.circuits.drawn import solar_of
from ribway.router.sizes.protecting import Guard
from ribway.router.writing.outcome import Outcome


def solar_findings(outcome: Outcome, known: Mapping[str, Guard]) -> Iterator[Finding]:
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
        if solar.kills_controller:
            panels = outcome.sizer.devices[feed.circuit.source].panels
            takes = panels.controller_volts if panels is not None else None
            yield Finding(
                level="error",
                code="solar-volts",
                about=feed.circuit.id,
                message=f"the string reaches {solar.cold_open_v:.1f} V in the cold, the controller takes {takes:g} V",
                remedy="fewer panels in series, or a controller for more volts",
            )
        guard = known.get(feed.circuit.id)
        if guard is not None and guard.breaks_a < solar.short_a:
            need = (
                "each string needs"
                if solar.string_fuses
                else "one or two strings need no fuse (NEC 690.9(A)); if one, take"
            )
            yield Finding(
                level="warning",
                code="solar-fuse",
                about=feed.circuit.id,
                message=f"no {guard.kind or 'known'} fuse of {guard.rating_a:g} A is made to open {solar.cold_open_v:.1f} V",
                remedy=f"{need} a fuse made for solar (gPV, IEC 60269-6) of that voltage, and write its fuse_breaks",
            )
