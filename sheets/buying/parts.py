"""The small parts that a plan needs, counted."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.printed import Units, size_down, size_near, size_up
from ribway.models.rates.rates import Part
from ribway.models.terminals import CLAMP
from ribway.sheets.buying.shrink import LINED, PLAIN, shrink_of
from ribway.sheets.lugs_list import UNKNOWN
from ribway.sheets.terminals import TOO_THICK, crimped_on, takes_at
from ribway.sheets.words import typeset

_INCH_MM = 25.4
CLIP_MM: dict[Units, tuple[float, ...]] = {
    "metric": (6.0, 8.0, 10.0, 13.0, 16.0, 19.0, 25.0, 32.0, 40.0, 50.0),
    "feet and inches": tuple(_INCH_MM * one for one in (0.25, 0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0)),
}
SLEEVE_MM: dict[Units, tuple[float, ...]] = {
    "metric": (8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0),
    "feet and inches": tuple(_INCH_MM * one for one in (0.25, 0.375, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0)),
}
"""Sizes that are sold where a shop works in these units (common practice, no source) [mm]."""
BLADE_TO_A = 30.0
"""Up to this a fuse is a blade; above it is bolted down (ISO 8820-3 blade, ISO 8820-5 bolted; where to change over: common
practice, no source) [A]."""
BOTH_ENDS = "both-ends-live"


@dataclass(frozen=True)
class Need:
    """So much of a part.

    Attributes:
        part: what, as rates name it.
        what: the same in words.
        size: as it is printed; one word of the shop's prices.
        amount: pieces, or metres.
        metres: whether it is metres.
        where: what it is for.
    """

    part: Part
    what: str
    size: str
    amount: float
    metres: bool
    where: str


def parts(plan: Plan) -> tuple[Need, ...]:
    """All parts but cable, in the order in which they are needed.

    Args:
        plan: the plan.

    Returns:
        One entry for each part and size.
    """
    gathered: dict[tuple[Part, str, str], list[Need]] = {}
    for one in _single(plan):
        gathered.setdefault((one.part, one.what, one.size), []).append(one)
    return tuple(
        Need(part, what, size, round(sum(one.amount for one in same), 4), same[0].metres, _joined(same))
        for (part, what, size), same in sorted(gathered.items(), key=lambda item: _rank(item[0]))
    )


def clips_along(length_m: float, spacing_m: float) -> int:
    """Clips for a stretch: one at its beginning, and no farther apart than the spacing.

    Args:
        length_m: the stretch [m].
        spacing_m: greatest distance between supports [m].
    """
    return math.ceil(round(length_m / spacing_m, 6)) + 1


def clips_of(plan: Plan, loom: PlanLoom) -> int:
    """Clips of a loom: on every section with a cable in it; a draw cord alone gets none."""
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    laid = [one for one in loom.sections if not set(one.runs) <= cords]
    return sum(clips_along(one.to_m - one.from_m, plan.rules.support_spacing_m) for one in laid)


def slot_edge_m(width_mm: float, length_mm: float) -> float:
    """Edge round a slot with round ends.

    Args:
        width_mm: its width [mm].
        length_mm: its overall length [mm].

    Returns:
        The way round [m].
    """
    return (math.pi * width_mm + 2.0 * max(0.0, length_mm - width_mm)) / 1000.0


def fuse_kind(amps: float) -> str:
    """Whether a fuse is a blade or bolted down."""
    return "blade fuse" if amps <= BLADE_TO_A else "bolt-down fuse"


def kind_of_fuse(circuit: PlanCircuit) -> str:
    """A circuit's kind of fuse: the one that the plan chose or was told, else blade or bolted; empty without a fuse."""
    if circuit.fuse_a is None:
        return ""
    if not circuit.fuse_kind:
        return fuse_kind(circuit.fuse_a)
    if circuit.fuse_kind.endswith(" strip"):  # not "M5 strip", which reads like the strip of a run M5
        return f"strip fuse, {circuit.fuse_kind.removesuffix(' strip')} screws"
    return f"{circuit.fuse_kind} fuse" if circuit.fuse_kind.endswith("blade") else circuit.fuse_kind


def fuses_of(plan: Plan, circuit_id: str) -> int:
    """Fuses of a circuit: one at its source; of one that both ends can feed, one at each load too; AC and data have none here."""
    for circuit in plan.circuits:
        if circuit.id == circuit_id and circuit.kind == "dc" and circuit.fuse_a is not None:
            both = any(one.code == BOTH_ENDS and one.about == circuit_id for one in plan.findings)
            return 1 + len(circuit.loads) if both else 1
    return 0


def _terminal(plan: Plan, run: PlanRun, end: str) -> tuple[str, str]:
    """What goes on the wires at an end without lugs, and its size."""
    takes, size = takes_at(plan, run, end), f"for {typeset(run.size_name)}"
    on_it = crimped_on(plan, run, takes) if takes else ""
    if not on_it or on_it.startswith(TOO_THICK.split("{")[0]):
        return "crimped terminals", size
    if takes == CLAMP:
        return "ferrules", on_it.removeprefix("ferrule ")
    return "push-on terminals", f"{on_it.removeprefix('push-on ')} {size}"


def _single(plan: Plan) -> Iterator[Need]:
    yield from _edges(plan)
    for loom in plan.looms:
        yield from _along(plan, loom)
    yield from _fuses(plan)
    for run in plan.runs:
        if run.kind == "dc" and run.cores:
            for lug in run.lugs:
                size = f"{typeset(lug.size)} x {lug.stud or UNKNOWN}"
                yield Need("lug", "crimped ring lugs", size, lug.count, False, run.id)
            for end in (run.from_, run.to):
                others = run.cores - sum(lug.count for lug in run.lugs if lug.at == end)
                if others > 0:
                    what, size = _terminal(plan, run, end)
                    yield Need("terminal", what, size, others, False, run.id)
    for one in shrink_of(plan):
        what = LINED if one.lined else PLAIN
        yield Need("heat shrink", what, one.tube.size(plan.rules.units), one.metres, True, one.run)
    pieces = sum(run.pieces for run in plan.runs)
    if pieces:
        yield Need("label", "labels", "both ends", 2 * pieces, False, "every run")
    cords = sum(run.cut_m * run.pieces for run in plan.runs if is_draw_cord(run))
    if cords:
        yield Need("draw cord", "draw cord", "", cords, True, "spares")


def _edges(plan: Plan) -> Iterator[Need]:
    units = plan.rules.units
    for one in plan.openings:
        if not one.runs:
            continue
        if one.slot_length_mm is None:
            size = f"hole {size_near(one.raw_bore_mm, units)}, clear {size_down(one.clear_bore_mm, units)}"
            yield Need("grommet", "grommets", size, 1, False, one.id)
        else:
            grown = one.slot_length_mm + one.raw_bore_mm - one.clear_bore_mm
            yield Need("edge strip", "edge strip", "slots", slot_edge_m(one.raw_bore_mm, grown), True, one.id)


def _along(plan: Plan, loom: PlanLoom) -> Iterator[Need]:
    cords, units = {run.id for run in plan.runs if is_draw_cord(run)}, plan.rules.units
    for section in loom.sections:
        cables = [run for run in section.runs if run not in cords]
        length_m = section.to_m - section.from_m
        if not cables or length_m <= 0.0:
            continue
        count = clips_along(length_m, plan.rules.support_spacing_m)
        yield Need("clip", "clips", _size(section.diameter_mm, CLIP_MM[units], units), count, False, loom.id)
        if len(cables) > 1:
            yield Need(
                "sleeve", "sleeve or tape", _size(section.diameter_mm, SLEEVE_MM[units], units), length_m, True, loom.id
            )


def _fuses(plan: Plan) -> Iterator[Need]:
    ratings: dict[tuple[str, float], None] = {}
    for circuit in plan.circuits:
        if circuit.kind != "dc" or circuit.fuse_a is None:
            continue
        kind = _plural(kind_of_fuse(circuit))
        ratings[kind, circuit.fuse_a] = None
        count, far_a = fuses_of(plan, circuit.id), circuit.far_fuse_a or circuit.fuse_a
        yield Need("fuse", kind, f"{circuit.fuse_a:g} A", 1, False, circuit.id)
        if count > 1:
            ratings[kind, far_a] = None
            yield Need("fuse", kind, f"{far_a:g} A", count - 1, False, circuit.id)
    for kind, amps in sorted(ratings):
        yield Need("fuse", kind, f"{amps:g} A", 1, False, "1 to spare")


def _plural(kind: str) -> str:
    return kind.replace("fuse", "fuses", 1) if "fuse" in kind else f"{kind} fuses"


def sleeve_mm(diameter_mm: float, units: Units) -> float:
    """The least size of sleeve that is sold and goes over a bundle; the bundle's own where none is [mm]."""
    return next((one for one in SLEEVE_MM[units] if one >= diameter_mm - 1e-6), float(math.ceil(diameter_mm)))


def sold_size(mm: float, units: Units) -> str:
    """A size that is sold, as it is named: ``10 mm`` or ``3/8"``."""
    return f"{mm:g} mm" if units == "metric" else size_up(mm, units)


def _size(mm: float, sizes: tuple[float, ...], units: Units) -> str:
    fitting = next((one for one in sizes if one >= mm - 1e-6), None)
    return sold_size(float(math.ceil(mm)) if fitting is None else fitting, units)


def _joined(same: list[Need]) -> str:
    return ", ".join(dict.fromkeys(one.where for one in same))


_ORDER: tuple[Part, ...] = (
    "grommet", "edge strip", "draw cord", "sleeve", "clip", "terminal", "lug", "heat shrink", "fuse", "label",
)  # fmt: skip


_NUMBER = re.compile(
    r"(?P<whole>[0-9]+(?:[.][0-9]+)?)(?![0-9./])(?: (?P<part>[0-9]+/[1-9][0-9]*))?|(?P<alone>[0-9]+/[1-9][0-9]*)"
)
"""The first number of a size, fractions too: ``8``, ``1 1/4``, ``3/8``."""


def _rank(key: tuple[Part, str, str]) -> tuple[int, str, float, str]:
    part, what, size = key
    found = _NUMBER.search(size)
    number = sum(Fraction(one) for one in found.groups() if one) if found else 0
    return _ORDER.index(part), what, float(number), size
