"""Where a device could go, for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.placing import PlacingField, PlannedPlace, place_words
from ribway.models.printed import Units, counted, grams_down, grams_up, length
from ribway.units import percent

if TYPE_CHECKING:
    from ribway.router.placing.holes import BestHoles, HolesWorth
    from ribway.router.placing.subboards import SubBoard
    from ribway.router.placing.two_boards import TwoBoards

SHOWN = 6


def placing_parts(field: PlacingField, units: Units) -> Iterator[Table | str]:
    """What was found, part by part.

    Args:
        field: the field with its plans.
        units: the shop's.

    Yields:
        Tables and lines of text.
    """
    walls = ", ".join(dict.fromkeys(field.walls))
    looked = f"{counted(len(field.points), 'place')} on {walls}, every {length(field.step_m, units)} of the tape"
    left_out = ", ".join(f"{count} {reason}" for reason, count in sorted(field.refused.items()))
    yield clean(f"{field.name} ({field.device}): {looked}" + (f"; left out: {left_out}" if left_out else ""))
    now = field.planned[0]
    rows = [_row(field, one, units) for one in field.best[:SHOWN]]
    if now not in field.best[:SHOWN]:
        rows.append(_row(field, now, units))
    columns = ("place", "copper>", "at least>", "cable cut>", "drop>", "to drill>")
    yield table_of("Planned, least copper before rounding first", columns, rows)
    yield from _best(field, units)
    yield clean(proof_words(field, units))


def _row(field: PlacingField, one: PlannedPlace, units: Units) -> tuple[str, ...]:
    words = place_words(field.places[one.at], lambda metres: length(metres, units))
    least = field.bound_kg[one.at]
    return (
        words + (" (now)" if one.at == 0 else ""),
        "NOT READY" if one.planned_kg is None else grams_up(one.planned_kg, units),
        "-" if least is None else grams_down(least, units),
        "-" if one.cable_m is None else length(one.cable_m, units),
        percent(one.worst_drop_percent),
        "-" if one.holes_drilled is None else str(one.holes_drilled),
    )


def _best(field: PlacingField, units: Units) -> Iterator[str]:
    """The best place against the present one: what it saves, its sizes, and what has to be looked at."""
    if not field.best:
        yield "No place that was planned has a complete plan."
        return
    best, now = field.best[0], field.planned[0]
    if best.at == 0:
        yield clean(f"{field.name} is best where it is, of all places that were planned.")
    else:
        words = place_words(field.places[best.at], lambda metres: length(metres, units))
        if now.planned_kg is not None and best.planned_kg is not None:
            saved = now.planned_kg - best.planned_kg
            yield clean(f"Best: {words}. It saves {grams_down(saved, units)} of copper against the present place.")
        else:
            yield clean(f"Best: {words}. The present place has no complete plan.")
    yield clean(f"Cables there: {', '.join(best.sizes)}")
    for said in best.findings:
        yield clean(f"  to look at there: {said}")


def proof_words(field: PlacingField, units: Units) -> str:
    """How sure it is that no other place does better.

    Args:
        field: the field with its plans.
        units: the shop's.
    """
    if not field.best:
        return "Nothing is proven."
    if field.proven:
        rest = (
            "no other place is left"
            if field.open_kg is None
            else f"all others need {grams_down(field.open_kg, units)} or more"
        )
        return f"Proven for these places: none does with less copper; {rest}, whatever the routes and sizes."
    least, best, gap = field.open_kg, field.best[0].planned_kg, ""
    if least is not None and best:
        # Rounded up: what may yet be saved is never told too small.
        gap = f" ({math.ceil(max(0.0, best - least) / best * 1e4) / 100.0:.2f} % below the best)"
    return (
        f"Not proven: {counted(field.open_places, 'place')} not planned yet might do with less, none with less than "
        f"{'' if least is None else grams_down(least, units)}{gap}. --plans N plans more of them."
    )


def second_board_parts(found: SubBoard, units: Units) -> Iterator[Table | str]:
    """Where a second board could go, and what it would feed.

    Args:
        found: see `ribway.router.placing.subboards`.
        units: the shop's.
    """
    field = found.field
    yield clean(f"A second board, fed by the first: {counted(len(field.points), 'place')} looked at")
    rows = []
    for one in field.best[:SHOWN]:
        least = field.bound_kg[one.at]
        rows.append(
            (
                place_words(field.places[one.at], lambda metres: length(metres, units)),
                ", ".join(found.moved[one.at]),
                "-" if one.planned_kg is None else grams_up(one.planned_kg, units),
                "-" if least is None else grams_down(least, units),
                percent(one.worst_drop_percent),
            )
        )
    yield table_of(
        "Planned, least copper before rounding first", ("place", "feeds", "copper>", "at least>", "drop>"), rows
    )
    if not field.best:
        yield "No place that was planned has a complete plan."
        return
    saved = None if math.isinf(found.without_kg) else found.without_kg - (field.best[0].planned_kg or 0.0)
    if saved is None:
        yield "Without it the van has no complete plan."
    elif saved > 0.0:
        yield f"The best saves {grams_down(saved, units)} of copper against {grams_up(found.without_kg, units)} without it."
    else:
        yield f"None that was planned saves copper: without it the van takes {grams_up(found.without_kg, units)}."
    bounds = [kg for kg in field.bound_kg if kg is not None]
    if bounds:
        yield clean(
            f"Whatever the place and the division of {', '.join(found.divided)}, no plan with it does with less than "
            f"{grams_down(min(bounds), units)}."
        )
        if not math.isinf(found.without_kg) and min(bounds) >= found.without_kg:
            yield "So it is proven that a second board on these places saves no copper."


def two_boards_parts(found: TwoBoards, units: Units) -> Iterator[Table | str]:
    """Where two further boards could go, and what each would feed.

    Args:
        found: see `ribway.router.placing.two_boards`.
        units: the shop's.
    """
    places = found.ask.spots.found
    yield clean(f"Two further boards, fed by the first: {counted(found.count, 'pair')} of places looked at")
    rows = [
        (
            " and ".join(place_words(places[at].place, lambda metres: length(metres, units)) for at in one.places),
            " and ".join(", ".join(names) for names in one.feeds),
            "NOT READY" if math.isinf(one.kg) else grams_up(one.kg, units),
            grams_down(one.bound_kg, units),
            percent(one.worst_drop_percent),
        )
        for one in found.pairs[:SHOWN]
    ]
    yield table_of(
        "Planned, least copper before rounding first", ("places", "feeding", "copper>", "at least>", "drop>"), rows
    )
    best = found.pairs[0].kg if found.pairs else math.inf
    if math.isinf(best):
        yield "No pair that was planned has a complete plan."
        return
    if math.isinf(found.without_kg):
        yield "Without them the van has no complete plan."
    elif best < found.without_kg:
        saved = grams_down(found.without_kg - best, units)
        yield f"The best saves {saved} of copper against {grams_up(found.without_kg, units)} without them."
    else:
        yield f"None that was planned saves copper: without them the van takes {grams_up(found.without_kg, units)}."
    yield clean(
        f"Whatever the places and the division of {', '.join(found.ask.circuits)}, no plan with two of them does with less "
        f"than {grams_down(found.least_kg, units)}."
    )
    if not math.isinf(found.without_kg) and found.least_kg >= found.without_kg:
        yield "So it is proven that two further boards on these places save no copper."


def holes_parts(found: HolesWorth, units: Units) -> Iterator[Table | str]:
    """Which holes are worth drilling.

    Args:
        found: see `ribway.router.placing.holes`.
        units: the shop's.
    """
    if not found.holes:
        yield "No opening of this project is one that may be drilled (state: drill)."
        return
    rows = [
        (
            one.name,
            ", ".join(one.runs) or "no run: not worth it",
            "NOT READY" if math.isinf(one.without_kg) else grams_up(one.without_kg, units),
            "-" if math.isinf(one.without_kg) else _signed(one.without_kg - found.with_kg, units),
        )
        for one in found.holes
    ]
    yield table_of("Holes that may be drilled", ("hole", "passed by", "copper without it>", "it saves>"), rows)
    whole = "no complete plan" if math.isinf(found.with_kg) else grams_up(found.with_kg, units)
    yield clean(
        f"Copper before rounding with those that are passed: {whole}. A hole is drilled where it saves its runs more than "
        f"{length(found.drill_costs_m, units)} of detour (shop: drill_costs)."
    )
    steps = [_step_row(before, one, units) for before, one in zip((None, *found.steps), found.steps, strict=False)]
    yield table_of(
        "The best holes to drill for every number, detours not counted",
        ("drilled>", "which", "copper>", "saves>", "other holes"),
        steps,
    )
    if not any(math.isfinite(one.kg) for one in found.steps):
        yield "No plan is complete, whichever of them are drilled."
    elif len(found.steps[-1].names) < len(found.holes):
        yield "No plan that was made with more of them does with less copper."


def _step_row(before: BestHoles | None, one: BestHoles, units: Units) -> tuple[str, ...]:
    saves = "-"
    if before is not None and not math.isinf(one.kg):
        saves = "first complete plan" if math.isinf(before.kg) else grams_down(max(0.0, before.kg - one.kg), units)
    if math.isinf(one.kg):
        others = "-"
    elif one.proven:
        others = "proven: none does with less"
    else:
        others = f"not proven: {grams_down(one.open_kg, units)} or more"
    return (
        str(len(one.names)),
        ", ".join(one.names) or "none",
        "NOT READY" if math.isinf(one.kg) else grams_up(one.kg, units),
        saves,
        others,
    )


def _signed(kg: float, units: Units) -> str:
    return f"-{grams_up(-kg, units)}" if kg < 0.0 else grams_down(kg, units)
