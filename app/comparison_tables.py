"""The comparison of plans, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from ribway.comparison import Line, differences, lines_of, units_of
from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan
from ribway.models.printed import length, mass
from ribway.units import percent


def comparison_parts(plans: Sequence[Plan]) -> Iterator[Table | str]:
    """The comparison, part by part.

    Args:
        plans: the base first, then its alternatives.

    Yields:
        Tables and lines of text.
    """
    lines, units = lines_of(plans), units_of(plans)
    copper = [
        (
            _name(line),
            *(
                mass(kg, units)
                for kg in (
                    line.copper_kg,
                    line.mains_kg,
                    line.circuits_kg,
                    line.spares_kg,
                    line.tails_kg,
                    line.ac_kg,
                )
            ),
        )
        for line in lines
    ]
    columns = ("", "all>", "mains>", "circuits>", "spares>", "of it tails>", "of it AC>")
    yield table_of("Copper, least first", columns, copper)
    for line in lines:
        if line.other_metal_kg > 0.0:
            yield clean(
                f"{_name(line)} has {mass(line.other_metal_kg, units)} of aluminium in its conductors besides: less copper "
                "is not less cable there"
            )
    routes = [
        (
            _name(line),
            length(line.cable_m, units),
            length(line.draw_cord_m, units),
            length(line.loom_m, units),
            str(line.openings),
            percent(line.fullest_percent),
            line.fullest or "-",
            str(line.drilled),
        )
        for line in lines
    ]
    ways = ("", "cable cut>", "cord cut>", "looms>", "openings>", "fullest>", "that is", "to drill>")
    yield table_of("Cable and holes", ways, routes)
    worst = [
        (
            _name(line),
            percent(line.worst_drop_percent),
            line.worst_drop_run or "-",
            str(line.bends),
            str(line.sizes),
            line.sizes_used or "-",
        )
        for line in lines
    ]
    yield table_of("Drop, bends, sizes", ("", "drop>", "at worst", "bends>", "sizes>", "of DC cable"), worst)
    if len({line.volts for line in lines}) > 1:
        yield table_of("Nominal voltage", ("", "DC>"), [(_name(line), f"{line.volts:g} V") for line in lines])
    for plan in plans[1:]:
        yield clean(f"{plan.alternative} against the base:")
        found = differences(plans[0], plan)
        for difference in found:
            yield clean(f"  {difference.run}: {difference.what}")
        if not found:
            yield "  no run differs"
        yield ""


def _name(line: Line) -> str:
    return line.name if line.complete else f"{line.name} (NOT READY)"
