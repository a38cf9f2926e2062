"""Runs that go a longer way in a thinner cable, so that nobody draws them the short way."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding
from ribway.router.writing.outcome import Outcome

LED_ROUND = "led-round"


def led_round_findings(outcome: Outcome) -> Iterator[Finding]:
    """A note for each run that is led round air too hot for its cable.

    Args:
        outcome: what was decided.
    """
    for run, said in sorted(outcome.led_round.items()):
        airs = " and ".join(f"{air}, {outcome.sizer.ambient_c(air):g} °C" for air in sorted(said.airs))
        yield Finding(
            level="note",
            code=LED_ROUND,
            about=run,
            message=f"kept out of hot air ({airs}), in which {outcome.cable_of[run].stock.spelling} carries too little",
            remedy=f"do not draw it through there, though that may be shorter: there it takes {said.through.stock.spelling}",
        )
