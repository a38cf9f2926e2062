"""Runs and feeds joined to what leads their current back: the bond's sum, the shared negative's places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ribway.router.circuits.negatives import negative_of

if TYPE_CHECKING:
    from ribway.router.circuits.runs import Feed, Run


@dataclass(frozen=True)
class LedBack:
    """Runs and feeds that know their way back."""

    runs: tuple[Run, ...]
    feeds: tuple[Feed, ...]


def led_back(runs: Sequence[Run], feeds: Sequence[Feed], body_ohm: float) -> LedBack:
    """Join each run to the run that leads its current back, and give the bond the sum of what comes through the body.

    Args:
        runs: of all circuits.
        feeds: of all circuits.
        body_ohm: of the body between two earth points [ohm].
    """
    circuits = [feed.circuit for feed in feeds]
    back = {circuit.id: negative_of(circuit, circuits) for circuit in circuits}
    if not any(back.values()):
        return LedBack(tuple(runs), tuple(feeds))
    served = {name: [feed for feed in feeds if back[feed.circuit.id] == name] for name in back.values() if name}
    sums = {name: _sum(group) for name, group in served.items()}
    kinds = {circuit.id: circuit.pattern for circuit in circuits}
    reaching = {(run.circuit, run.b): run.id for run in runs}
    out = []
    for run in runs:
        name = back.get(run.circuit, "")
        if kinds.get(run.circuit) == "bond" and run.circuit in sums:
            run = replace(run, amps=sums[run.circuit][0], start_amps=sums[run.circuit][1])
        elif name and kinds[name] == "bond" and run.role == "return":
            bond = next(one.id for one in runs if one.circuit == name)
            run = replace(run, returns_by=bond, extra_ohm=run.extra_ohm + body_ohm)
        elif name and kinds[name] == "shared negative" and run.draws:  # the last piece, where joints part a run
            run = replace(run, returns_by=reaching[name, run.b])
        out.append(run)
    fed = []
    for feed in feeds:
        name = feed.circuit.id
        if name in served:
            feed = replace(feed, serves=tuple(one.circuit.id for one in served[name]))
            if kinds[name] == "bond":
                feed = replace(feed, amps=sums[name][0], start_amps=sums[name][1])
        fed.append(feed)
    return LedBack(tuple(out), tuple(fed))


def _sum(feeds: Sequence[Feed]) -> tuple[float, float]:
    """Running current of several circuits, and the same while the worst of them starts [A]."""
    running = sum(feed.amps for feed in feeds)
    return running, running + max((feed.start_amps - feed.amps for feed in feeds), default=0.0)
