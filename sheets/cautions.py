"""The usual cautions of the trade, each only where the plan gives cause for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ribway.models.chances import chance_text, runs_text
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import strong_devices
from ribway.models.printed import counted
from ribway.sheets.measure_next import worth_measuring
from ribway.sheets.words import amps

_NAMED = 8


@dataclass(frozen=True)
class Caution:
    """One caution.

    Attributes:
        head: what to do, in a few words.
        text: the sentence or two behind it.
    """

    head: str
    text: str


def cautions(plan: Plan) -> tuple[Caution, ...]:
    """The cautions that apply to a plan, in the order of the work.

    Args:
        plan: the plan.

    Returns:
        The cautions; the first stands on every plan.
    """
    return tuple(_cautions(plan))


def _cautions(plan: Plan) -> Iterator[Caution]:
    used = [opening for opening in plan.openings if opening.runs]
    assumed = tuple(opening.id for opening in used if opening.state == "assumed")
    drilled = tuple(opening.id for opening in used if opening.state == "drill")
    heavy = tuple(run.id for run in plan.runs if run.cut_to_template)
    yield Caution(
        "Local codes and the vehicle maker's guideline come first.",
        "Where they ask for more than this plan, or for something else, they hold.",
    )
    if assumed:
        were = "was" if len(assumed) == 1 else "were"
        yield Caution(
            "Check what is assumed before cutting.",
            f"{counted(len(assumed), 'opening')} that this plan uses {were} never measured: {by_member(used)}. See "
            "that each is there, its size, and what runs through it already. The "
            "sheet of holes to check has them in walking order.",
        )
    yield from _strong(plan)
    yield from _short(plan)
    if plan.runs:
        zones = named(tuple(f"{zone.id} ({zone.why})" if zone.why else zone.id for zone in plan.keep_outs))
        yield Caution(
            "Stay out of airbag paths and no-drill zones.",
            f"No cable, clip or screw goes into them. This plan was told of {zones or 'none'}: look for more.",
        )
    if drilled or assumed:
        which = f"Holes to drill: {named(drilled)}. " if drilled else ""
        yield Caution(
            "Look under the floor and behind the metal before drilling.",
            f"{which}Fuel and brake lines, tanks, looms of the maker and closed beams lie there. Use a depth stop; "
            "deburr, and treat bare metal against rust.",
        )
    if used:
        yield Caution(
            "Protect every edge before a cable goes through.",
            "A grommet or edge strip in each opening, first; a cable pulled over bare metal is damaged already.",
        )
    yield from _way_cautions(plan)
    if heavy:
        yield Caution(
            "Cut cables from 16 mm² up to template, on the van.",
            f"Their cut lengths here are estimates to buy by: {named(heavy)}.",
        )
    if any(circuit.kind == "dc" for circuit in plan.circuits):
        yield Caution(
            "Fuse at the source.",
            "Every DC cable has its fuse where it is fed from, as close as can be; a cable that can be fed from both "
            "ends has one at each. Fuses go in last.",
        )
    if any(run.kind == "ac" for run in plan.runs):
        yield Caution(
            "AC is for a licensed person.",
            "AC is routed, measured, kept apart and marked here, not designed: it is to be designed, protected (RCD) "
            "and connected by a licensed person.",
        )


def _strong(plan: Plan) -> Iterator[Caution]:
    """Currents above 10 A that nobody read off a plate: all of them, since cables and fuses are chosen by them."""
    strong = strong_devices(plan)
    if strong:
        words = ", ".join(
            f"{one.name} {amps(one.amps)} A"
            + (f" (start {amps(one.start_amps)} A)" if one.start_amps > one.amps else "")
            for one in strong
        )
        yield Caution(
            "Read the plates of the strong ones.",
            f"Assumed, above 10 A: {words}. Cables and fuses are chosen by them.",
        )


def _short(plan: Plan) -> Iterator[Caution]:
    best = worth_measuring(plan)[:3]
    if best:
        first = "; ".join(one.what for one in best)
        yield Caution(
            "Measure before cutting.",
            f"By the stated errors {runs_text(plan.totals.short_runs)} of {plan.totals.runs} runs are expected to be cut "
            f"too short; the chance that any is: {chance_text(plan.totals.short_chance)}. Most is gained by: {first}. "
            "See Measure next.",
        )


def by_member(openings: list[PlanOpening]) -> str:
    """All assumed openings, those of one member together, since every one has to be looked at: ``L2 a b d, LW1 b``."""
    members: dict[str, list[str]] = {}
    for one in openings:
        if one.state == "assumed":
            stem = one.id[:-1] if one.id[-1:].islower() else one.id
            members.setdefault(stem, []).append(one.id[len(stem) :])
    return ", ".join(stem + rows[0] if len(rows) == 1 else " ".join((stem, *rows)) for stem, rows in members.items())


def _way_cautions(plan: Plan) -> Iterator[Caution]:
    """What ways that are no openings, and taped runs, ask for."""
    ways = [way for way in plan.ways if way.runs]
    taped = tuple(run.id for run in plan.runs if run.measured == "taped")
    outside = tuple(f"{way.id} ({way.surroundings})" for way in ways if way.kind == "outside")
    stored = tuple(dict.fromkeys(way.furniture for way in ways if way.furniture))
    over = tuple(way.id for way in ways if way.kind == "over")
    if taped:
        yield Caution(
            "Taped runs are outside this plan.",
            f"{named(taped)}: only their length is known. They fill no opening and are held against no keep-out here; "
            "find room for them in every hole they take.",
        )
    if outside:
        yield Caution(
            "Outside the model: heat, weather and moving parts.",
            f"{named(outside)}. Conduit against heat, stones and water, well off everything that is hot or moves; seal "
            "both ends; fuse at the source. The lengths are a tape's, the lines in the pictures are sketches.",
        )
    if stored:
        yield Caution(
            "Cover cables in furniture.",
            f"Where things are stored in {named(stored)} they rub, pull and crush: trunking or a board over the cables, "
            "a grommet in every entry.",
        )
    if over:
        yield Caution(
            "The lining must not press on a cable.",
            f"Over members, at {named(over)}: measure the gap with the battens on, edge strip on the member, no screw "
            "there.",
        )


def named(ids: tuple[str, ...]) -> str:
    """The first few of many names, and how many more there are.

    Args:
        ids: the names.

    Returns:
        ``L1a, L2a and 5 more``.
    """
    if len(ids) <= _NAMED:
        return ", ".join(ids)
    return f"{', '.join(ids[: _NAMED - 1])} and {len(ids) - _NAMED + 1} more"
