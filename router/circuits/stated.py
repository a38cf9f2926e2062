"""The runs of a circuit that states them one by one: outwards from its source, each device reached once."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.circuits import Circuit, RunEntry
from ribway.router.errors import NameFault
from ribway.router.faults import Collector


def stated_ends(circuit: Circuit, wanted: Sequence[RunEntry], collector: Collector) -> list[tuple[str, str]]:
    """Ends of the runs of a circuit that states them; of others there is nothing to say.

    Args:
        circuit: the circuit.
        wanted: the runs that the project names of it, in order.
        collector: takes what is wrong: a device not fed yet, reached twice, or not at all.

    Returns:
        From and to of each run; empty if the circuit has another pattern.
    """
    if circuit.pattern != "stated":
        return []
    pairs: list[tuple[str, str]] = []
    reached = {circuit.source}
    for entry in wanted:
        if entry.a not in reached:
            collector.add(
                NameFault(
                    f"runs / {entry.id or circuit.id}",
                    f"{entry.a} is not fed yet at that point of circuit {circuit.id}",
                    f"runs in order from {circuit.source} outwards, each starting where one before it ends",
                )
            )
        if entry.b in reached and entry.b != circuit.earth:
            collector.add(
                NameFault(
                    f"runs / {entry.id or circuit.id}",
                    f"{entry.b} is reached twice in circuit {circuit.id}, the second time from {entry.a}: that is a ring",
                    "each device fed from one side: leave this run out, or the one that reaches it before",
                )
            )
        reached.add(entry.b)
        pairs.append((entry.a, entry.b))
    missing = [load for load in circuit.loads if load not in reached]
    if missing:
        collector.add(
            NameFault(
                f"circuits / {circuit.id} / to", f"no stated run reaches {', '.join(missing)}", "a run to each load"
            )
        )
    return pairs
