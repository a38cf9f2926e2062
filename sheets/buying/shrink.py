"""Heat shrink over the barrels of lugs: which size, how much, and where it has to be lined with adhesive."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units, size_near

WET = frozenset({"engine space", "under floor", "on roof"})
"""Where water comes to a terminal (common practice, no source)."""
PLAIN, LINED = "heat shrink", "heat shrink, adhesive-lined"


@dataclass(frozen=True)
class Tube:
    """A size of tube that shrinks to a third.

    Attributes:
        up_to_mm2: goes over a lug for conductors up to this.
        before_mm: inside, as sold; over the barrel [mm].
        after_mm: inside, shrunk; on the insulation [mm].
        piece_mm: length of a piece over barrel and insulation [mm].
        before_in: inside, as it is sold by the inch [in].
    """

    up_to_mm2: float
    before_mm: float
    after_mm: float
    piece_mm: float
    before_in: float

    def size(self, units: Units) -> str:
        """As it is sold and printed."""
        if units == "metric":
            return f"{self.before_mm:g} mm, shrinks to {self.after_mm:g} mm"
        return f"{size_near(25.4 * self.before_in, units)}, shrinks to a third"


@dataclass(frozen=True)
class Shrink:
    """Pieces of heat shrink at an end of a run.

    Attributes:
        tube: the size.
        lined: whether it is lined with adhesive.
        pieces: how many.
        run: id of the run.
    """

    tube: Tube
    lined: bool
    pieces: int
    run: str

    @property
    def metres(self) -> float:
        """Tube in all pieces [m]."""
        return self.pieces * self.tube.piece_mm / 1000.0


@cache
def tubes() -> tuple[Tube, ...]:
    """The sizes, thin to thick; none of them has a source that could be read."""
    table = files("ribway.sheets.buying").joinpath("heat_shrink.csv").read_text(encoding="utf-8")
    return tuple(
        Tube(
            float(row["up_to_mm2"]),
            float(row["before_mm"]),
            float(row["after_mm"]),
            float(row["piece_mm"]),
            float(row["before_in"]),
        )
        for row in csv.DictReader(table.splitlines())
    )


def tube_for(area_mm2: float) -> Tube:
    """The tube for a lug; the thickest where none is thick enough.

    Args:
        area_mm2: of its conductor [mm2].
    """
    return next((one for one in tubes() if area_mm2 <= one.up_to_mm2 + 1e-9), tubes()[-1])


def shrink_of(plan: Plan) -> Iterator[Shrink]:
    """One piece over the barrel of every lug, and over every terminal that water comes to.

    Args:
        plan: the plan.
    """
    wet = {device.id for device in plan.devices if device.wall in WET}
    for run in plan.runs:
        if run.kind != "dc" or not run.cores:
            continue
        for end in (run.from_, run.to):
            count = _terminals(run, end, end in wet)
            if count:
                yield Shrink(tube_for(run.conductor_area_mm2), end in wet, count, run.id)


def _terminals(run: PlanRun, end: str, wet: bool) -> int:
    lugs = sum(lug.count for lug in run.lugs if lug.at == end)
    return max(lugs, len(run.wire_functions) or run.cores) if wet else lugs
