"""What the runs of a circuit are called: by the circuit and a number, unless the project names them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import count


def run_names(circuit: str, stated: Sequence[str | None], taken: Collection[str] = ()) -> list[str]:
    """The name of each run of a circuit; no name is given twice.

    A run is numbered by its place in the circuit. Where that number is on another run already, because the project keeps the
    names that were written on cables, it gets the next one after all that are in use.

    Args:
        circuit: id of the circuit.
        stated: the name that the project gives to each run, in order; None where it gives none.
        taken: names that runs of other circuits have.

    Returns:
        The names, in order.
    """
    used = {name for name in stated if name} | set(taken)
    if len(stated) == 1 and not stated[0] and circuit not in used:
        return [circuit]
    names: list[str] = []
    for place, name in enumerate(stated, start=1):
        found = name or f"{circuit}-{place}"
        if not name and found in used:
            found = next(free for n in count(len(stated) + 1) if (free := f"{circuit}-{n}") not in used)
        used.add(found)
        names.append(found)
    return names
