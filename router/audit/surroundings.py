"""What warms a run: the air of each of its legs and the loaded conductors that lie with it there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.results import Finding, PlanLeg, PlanRun
from ribway.models.plan.shell import Point
from ribway.router.audit.book import Book
from ribway.router.audit.catalogue import bundle_factor
from ribway.router.audit.conductors import ambient_factor, base_amps
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, distances_to_line

LIGHT: Final = 0.3
"""A conductor at 30 % or less of its grouped rating may be left out when the others' rating is found (BS 7671 523.5,
read second-hand). It still counts for itself."""
EDGE: Final = 1e-4
ON_LINE_M: Final = 0.002


@dataclass(frozen=True)
class Stretch:
    """Part of a run: air temperature [deg C] and the runs of its loom that lie together there."""

    air_c: float
    runs: frozenset[str]


def stretches(book: Book) -> dict[str, set[Stretch]]:
    """Every distinct stretch of every run: by its loom's sections, and by legs that it shares with loom-mates."""
    out: dict[str, set[Stretch]] = {}
    lying = book.once(sections_by_leg)
    for loom in book.plan.looms:
        shared = _shared(book, loom)
        for name in loom.runs:
            found = out.setdefault(name, set())
            for place, leg in enumerate(book.runs[name].legs):
                found.add(Stretch(leg.ambient_c, frozenset({name})))
                if leg.kind != "stub":
                    found.add(Stretch(leg.ambient_c, frozenset(shared[_key(leg)])))
                    found |= {Stretch(leg.ambient_c, frozenset(runs)) for runs in lying.get((loom.id, name, place), ())}
    for run in book.plan.runs:
        out.setdefault(run.id, {Stretch(leg.ambient_c, frozenset({run.id})) for leg in run.legs})
    return out


def sections_by_leg(book: Book) -> dict[tuple[str, str, int], list[tuple[str, ...]]]:
    """By loom, run and place of a leg in it: the runs of each section of the loom that the leg lies in.

    It lies in those on whose line any of its straights has its middle. A straight within a hair of a section's end tells
    nothing: what begins there, in other air or among other runs, touches the section too. It counts where nothing else does.
    """
    found: dict[tuple[str, str, int], list[tuple[str, ...]]] = {}
    touched: dict[tuple[str, str, int], list[tuple[str, ...]]] = {}
    for loom in book.plan.looms:
        legs = [(name, place) for name in loom.runs for place in range(len(book.runs[name].legs))]
        lines = [as_line(book.runs[name].legs[place].points) for name, place in legs]
        starts = np.concatenate([np.zeros((0, 3)), *(line[:-1] for line in lines)])
        ends = np.concatenate([np.zeros((0, 3)), *(line[1:] for line in lines)])
        middles = (starts + ends) / 2.0
        whose = np.repeat(np.arange(len(legs)), [len(line) - 1 for line in lines])
        for section in loom.sections:
            path = as_line(section.points)
            low, high = path.min(axis=0) - ON_LINE_M, path.max(axis=0) + ON_LINE_M
            near = ((middles >= low) & (middles <= high)).all(axis=1)
            on_line = distances_to_line(middles[near], path) <= ON_LINE_M
            touches = np.zeros(len(on_line), dtype=np.bool_)
            for end in (path[0], path[-1]):
                reach = [np.linalg.norm(points[near] - end, axis=1) for points in (starts, ends)]
                touches |= np.maximum(*reach) <= ON_LINE_M
            for into, which in ((found, on_line & ~touches), (touched, on_line & touches)):
                for name, place in (legs[one] for one in np.unique(whose[near][which])):
                    if name in section.runs:
                        into.setdefault((loom.id, name, place), []).append(section.runs)
    return touched | found


def _key(leg: PlanLeg) -> tuple[str, str, tuple[Point, ...]]:
    return leg.kind, leg.name, min(leg.points, leg.points[::-1])


def _shared(book: Book, loom: PlanLoom) -> Mapping[tuple[str, str, tuple[Point, ...]], set[str]]:
    found: dict[tuple[str, str, tuple[Point, ...]], set[str]] = {}
    for name in loom.runs:
        for leg in book.runs[name].legs:
            if leg.kind != "stub":
                found.setdefault(_key(leg), set()).add(name)
    return found


def least_share(book: Book, run: PlanRun, around: set[Stretch]) -> float:
    """Ambient times bundle factor where it is least along a run; 1 at most."""
    insulation_c, rule = book.cable_of(run).insulation_c, book.bundle_rule_of(run)
    shares = [1.0]
    for stretch in around:
        own = book.loaded(run)
        others = _others(book, run, stretch)
        # Where only the heat balance is asked for, the factor for neighbours does not hold: see `heat`.
        # At 50 V and above it is law.
        bundle = 1.0 if book.plan.rules.derating == "heat" and run.kind != "ac" else bundle_factor(rule, own + others)
        shares.append(ambient_factor(insulation_c, stretch.air_c) * bundle)
    return min(shares)


def _others(book: Book, run: PlanRun, stretch: Stretch) -> int:
    """Loaded conductors beside a run; of circuits never loaded together only one counts, if each has one run here."""
    heavy = [book.runs[name] for name in stretch.runs if name != run.id and not _is_light(book, name, stretch)]
    circuits = Counter(book.runs[name].circuit for name in stretch.runs)
    own = set_of(book, run, circuits)
    by_set: dict[str, int] = {}
    for other in heavy:
        name = set_of(book, other, circuits) or f"alone {other.id}"
        if name != own:
            by_set[name] = max(by_set.get(name, 0), book.loaded(other))
    return sum(by_set.values())


def set_of(book: Book, run: PlanRun, circuits: Mapping[str, int]) -> str:
    """Set of circuits never loaded together that a run may be left out by; empty if there is none."""
    name = book.circuits[run.circuit].never_with if run.circuit else ""
    if not name:
        return ""
    mine = [one for one in circuits if one and book.circuits[one].never_with == name]
    return name if all(circuits[one] == 1 for one in mine) else ""


def _is_light(book: Book, name: str, stretch: Stretch) -> bool:
    run = book.runs[name]
    base = base_amps(book.cable_of(run), book.base_of(run))
    if not book.is_loaded(run) or base is None:
        return not book.is_loaded(run)
    circuits = Counter(book.runs[other].circuit for other in stretch.runs)
    by_set: dict[str, int] = {}
    for other in (book.runs[name] for name in stretch.runs):
        key = set_of(book, other, circuits) or f"alone {other.id}"
        by_set[key] = max(by_set.get(key, 0), book.loaded(other))
    loaded = sum(by_set.values())
    grouped = base * ambient_factor(book.cable_of(run).insulation_c, stretch.air_c)
    return run.design_a <= LIGHT * grouped * bundle_factor(book.bundle_rule_of(run), loaded) * (1.0 + EDGE)


def check_ambients(book: Book) -> Iterator[Finding]:
    """Each leg in the air that its zone has, in the zone of its bay, and in what lies round its way outside."""
    rules = book.plan.rules
    air: dict[str, float] = {
        "roof": rules.ambient_roof_c, "wall": rules.ambient_wall_c, "floor": rules.ambient_floor_c,
    }  # fmt: skip
    hottest = max(air.values())
    outside: dict[str, float] = dict(rules.ambient_outside_c.items())
    around = {way.id: way.surroundings for way in book.plan.ways if way.kind == "outside"}
    for run in book.plan.runs:
        for leg in run.legs:
            if leg.zone not in air and leg.zone not in outside:
                yield error("ambient", run.id, f"the plan does not say how hot it is in the {leg.zone}")
                continue
            # A taped run of which nobody said where it lies is reckoned in the hottest air of the shell.
            asked = outside[leg.zone] if leg.zone in outside else hottest if leg.kind == "taped" else air[leg.zone]
            if leg.ambient_c < asked - 0.05:
                yield error(
                    "ambient",
                    run.id,
                    f"{leg.kind} {leg.name} reckons with {leg.ambient_c:g} C, the {leg.zone} is {asked:g} C",
                )
            if leg.kind == "outside" and leg.zone != around.get(leg.name):
                yield error(
                    "ambient", run.id, f"{leg.name} lies {around.get(leg.name)}, its leg is reckoned in the {leg.zone}"
                )
            wall = book.bay_walls[leg.name] if leg.kind == "bay" else ""
            zone = wall if wall in ("roof", "floor") else "wall"
            if wall and leg.zone != zone and leg.ambient_c < air[zone] - 0.05:
                yield error("ambient", run.id, f"{leg.name} is part of the {wall}, but counts as {leg.zone}")


def worst_air_c(run: PlanRun) -> float:
    """Hottest air along a run [deg C]."""
    return float(np.max([leg.ambient_c for leg in run.legs]))
