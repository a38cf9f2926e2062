"""Heat of a short: what a fuse lets through while it opens, against what the conductor behind it stands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.plan import PlanCable
from ribway.models.plan.results import Finding, PlanCircuit
from ribway.router.audit.book import Book
from ribway.router.audit.catalogue import fuse_gates
from ribway.router.audit.conductors import copper_mm2
from ribway.router.audit.findings import error

K_OF: Final = {"copper": (226.0, 234.5), "copper-clad aluminium": (148.0, 228.0), "aluminium": (148.0, 228.0)}
"""k = a sqrt(ln((b + hot) / (b + cool))): IEC 60364-5-54 annex A."""
SOFT_TO_C: Final = 105.0
TWICE: Final = 2.0
SHARE: Final = 0.02
STEPS: Final = 16


def stands_a2s(cable: PlanCable) -> float:
    """What one conductor of a cable stands for a moment, warm as its insulation allows when it comes [A2 s]."""
    a, b = K_OF[cable.metal]
    cool = cable.insulation_c
    final = 160.0 if cool <= SOFT_TO_C else max(250.0, cool + 1.0)
    k = a * math.sqrt(math.log((b + final) / (b + cool)))
    return math.pow(k * (copper_mm2(cable) or 0.0), 2.0)


def lets_through_a2s(kind: str, rating_a: float, least_a: float, most_a: float) -> float:
    """The most that a fuse lets through over a range of currents [A2 s], sampled along straight lines on log paper."""
    gates = fuse_gates(kind)
    top = gates[-1][0]
    low, high = min(least_a / rating_a, top), min(max(least_a, most_a) / rating_a, top)
    samples = [low * math.pow(high / low, step / STEPS) for step in range(STEPS + 1)]
    samples += [gate for gate, _ in gates if low < gate < high]
    return max(math.pow(x * rating_a, 2.0) * _seconds(gates, x) for x in samples)


def _seconds(gates: tuple[tuple[float, float], ...], multiple: float) -> float:
    xs, ys = [math.log(x) for x, _ in gates], [math.log(y) for _, y in gates]
    at = math.log(multiple)
    if at < xs[0] - 1e-9:
        return math.inf
    for place in range(len(xs) - 1):
        if at <= xs[place + 1]:
            share = max(0.0, at - xs[place]) / (xs[place + 1] - xs[place])
            return math.exp(ys[place] + share * (ys[place + 1] - ys[place]))
    return gates[-1][1]


def heat_findings(book: Book, circuit: PlanCircuit, far_a: dict[str, float]) -> Iterator[Finding]:
    """A circuit's runs in a short: as the plan says of the worst of them, and told where one does not stand it.

    Args:
        book: the plan.
        circuit: one whose fuse has a kind.
        far_a: least current of a short at the end of each run [A].
    """
    fuse = circuit.fuse_a or 0.0
    most = circuit.short_near_a if circuit.short_near_a is not None else math.inf
    worst: tuple[float, float, float] | None = None
    for name, amps in far_a.items():
        stands = stands_a2s(book.cable_of(book.runs[name]))
        through = lets_through_a2s(circuit.fuse_kind, fuse, max(amps, TWICE * fuse), most)
        told = any(
            one.code == "short-circuit-heat" and one.level == "error" and name in one.about.split(", ")
            for one in book.plan.findings
        )
        if stands <= 0.0 or (through > stands * (1.0 + SHARE) and not told):
            yield error(
                "short-heat-untold", name,
                f"its fuse lets {through:.3g} A2s through, it stands {stands:.3g} A2s, and no error says so",
            )  # fmt: skip
        if worst is None or through / max(stands, 1e-9) > worst[0]:
            worst = through / max(stands, 1e-9), through, stands
    said = circuit.short_through_a2s, circuit.short_stands_a2s
    if worst is not None and said != (None, None):
        close = all(
            one is not None and abs(one - true) <= SHARE * true for one, true in zip(said, worst[1:], strict=True)
        )
        if not close:
            yield error(
                "short-heat", circuit.id,
                f"said to let {said[0]} of {said[1]} A2s through; it is {worst[1]:.4g} of {worst[2]:.4g} A2s",
            )  # fmt: skip
