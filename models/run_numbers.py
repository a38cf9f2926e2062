"""Numbers that were given to runs: each for once and for ever, to the run that joins the same two ends in the same circuit."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Literal, Protocol

from pydantic import Field, StringConstraints

from ribway.models.base import Data

RunName = Annotated[str, StringConstraints(strict=True, pattern=r"^[A-Za-z][A-Za-z0-9_.-]{0,79}$")]
RunRole = Literal["feed", "switch leg", "travellers", "control", "return"]
Ends = tuple[str, str, str, str]
"""Circuit, role, and both ends; which of the ends comes first says nothing."""
Identity = tuple[Ends, int]
"""What makes a run the same run in every revision: its ends, and which of those with the same ends it is."""


class RunNumber(Data):
    """What one run is called, and what it was called before."""

    run: RunName = Field(description="what the run is called")
    circuit: RunName | Literal[""] = Field(default="", description="empty for a spare")
    role: RunRole = "feed"
    from_: RunName = Field(alias="from")
    to: RunName
    nth: int = Field(default=1, ge=1, le=999, strict=True, description="which of the runs with these ends")
    zone: Annotated[str, StringConstraints(strict=True, max_length=80)] = Field(
        default="", description="of a spare: what part of the van it leads to"
    )
    before: tuple[RunName, ...] = Field(default=(), description="earlier names, which no other run gets either")

    @property
    def identity(self) -> Identity:
        """Which run it belongs to."""
        return ends_of(self.circuit, self.role, self.from_, self.to), self.nth

    @property
    def names(self) -> tuple[str, ...]:
        """The name and all earlier ones."""
        return (self.run, *self.before)


class NamedRun(Protocol):
    """What of a planned run its number hangs on."""

    @property
    def id(self) -> str: ...
    @property
    def circuit(self) -> str: ...
    @property
    def role(self) -> RunRole: ...
    @property
    def from_(self) -> str: ...
    @property
    def to(self) -> str: ...


def ends_of(circuit: str, role: str, a: str, b: str) -> Ends:
    """The ends of a run, in an order of their own.

    Args:
        circuit: id of its circuit; empty for a spare.
        role: what it is for in it.
        a, b: devices at its ends.
    """
    return (circuit, role, *sorted((a, b)))  # type: ignore[return-value]


def identities(ends: Iterable[Ends]) -> list[Identity]:
    """Which run each is, those with the same ends counted from 1 in the order given."""
    seen: Counter[Ends] = Counter()
    out = []
    for one in ends:
        seen[one] += 1
        out.append((one, seen[one]))
    return out


def with_runs(
    numbers: Sequence[RunNumber], runs: Sequence[NamedRun], zones: Mapping[str, str] | None = None
) -> tuple[RunNumber, ...]:
    """The numbers with those of planned runs; none is ever left out again.

    Args:
        numbers: given before.
        runs: all runs of a plan, in its order. One that the project calls otherwise now has its earlier name under ``before``.
        zones: by device, for spares: one that was led to another device of its zone has its line led there too.

    Returns:
        By circuit, spares last, then by name as a person counts. The same again if every run is called as before.
    """
    known = {one.identity: one for one in numbers}
    found = identities(ends_of(run.circuit, run.role, run.from_, run.to) for run in runs)
    for run, identity in zip(runs, found, strict=True):
        was, zone = known.get(identity), (zones or {}).get(run.to, "") if not run.circuit else ""
        if was is None and not run.circuit:
            led = next((one for one in known.values() if not one.circuit and one.run == run.id), None)
            if led is not None:
                del known[led.identity]
                ends = {"from_": run.from_, "to": run.to, "nth": identity[1], "zone": zone}
                known[identity] = led.model_copy(update=ends)
                continue
        if was is None:
            known[identity] = RunNumber(
                **{"from": run.from_},
                run=run.id,
                circuit=run.circuit,
                role=run.role,
                to=run.to,
                nth=identity[1],
                zone=zone,
            )
        elif was.run != run.id:
            before = tuple(name for name in was.names if name != run.id)
            known[identity] = was.model_copy(update={"run": run.id, "before": before, "zone": zone or was.zone})
        elif zone and was.zone != zone:
            known[identity] = was.model_copy(update={"zone": zone})
    return tuple(
        sorted(known.values(), key=lambda one: (not one.circuit, one.circuit, counting(one.run), one.identity))
    )


def counting(name: str) -> tuple[tuple[int, str], ...]:
    """A key by which ``lamps-9`` comes before ``lamps-10``."""
    return tuple((int(part), "") if part.isdigit() else (0, part) for part in re.split(r"(\d+)", name))
