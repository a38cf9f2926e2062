"""Where a device could go, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.placing import PlacingField, PlannedPlace, place_words
from ribway.models.printed import Units, counted, grams_down, grams_up, length
from ribway.units import percent

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
    least = "" if field.open_kg is None else grams_down(field.open_kg, units)
    return (
        f"Not proven: {counted(field.open_places, 'place')} not planned yet might do with less, none with less than {least}. "
        "--plans N plans more of them."
    )
