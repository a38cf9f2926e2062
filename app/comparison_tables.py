"""The comparison of plans, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rich.table import Table

from ribway.comparison import Difference, Line, differences, lines_of, units_of
from ribway.console import clean, table_of
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, counted, length, mass
from ribway.units import percent, signed_length, signed_mass

_MOST_RUNS = 6
_TELLING_KG = 0.005


def comparison_parts(plans: Sequence[Plan], every_run: bool = False) -> Iterator[Table | str]:
    """The comparison, part by part.

    Args:
        plans: the base first, then its alternatives.
        every_run: all that each run does otherwise, instead of the runs that make most of the copper's difference.

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
    if plans[1:]:
        against = {plan.alternative: differences(plans[0], plan) for plan in plans[1:]}
        yield _changes_table(lines, against, units)
        for name, found in against.items():
            yield from _runs(name, found, every_run, units)


def _changes_table(lines: Sequence[Line], against: Mapping[str, Sequence[Difference]], units: Units) -> Table:
    base = next(line for line in lines if line.name not in against)
    rows = [
        (
            _name(line),
            signed_mass(line.copper_kg - base.copper_kg, units),
            signed_length(line.cable_m - base.cable_m, units),
            signed_length(line.loom_m - base.loom_m, units),
            str(sum(one.moved for one in against[line.name])),
            str(sum(one.resized for one in against[line.name])),
            str(sum(one.only_one for one in against[line.name])),
        )
        for line in lines
        if line.name in against
    ]
    columns = ("", "copper>", "cable>", "looms>", "runs moved>", "resized>", "come, go>")
    return table_of("Against the base", columns, rows)


def _runs(name: str, found: Sequence[Difference], every_run: bool, units: Units) -> Iterator[str]:
    yield clean(f"{name} against the base:")
    if not found:
        yield "  no run differs"
    told = found if every_run else sorted(found, key=lambda one: (-abs(one.copper_kg), one.run))[:_MOST_RUNS]
    for one in told:
        yield clean(f"  {one.run}: {one.what}{_weight(one, units)}")
    if len(told) < len(found):
        rest = sum(one.copper_kg for one in found) - sum(one.copper_kg for one in told)
        yield clean(
            f"  and {counted(len(found) - len(told), 'more run')}, {signed_mass(rest, units)} of copper in all: "
            "--runs shows each"
        )
    yield ""


def _weight(one: Difference, units: Units) -> str:
    return f" ({signed_mass(one.copper_kg, units)})" if abs(one.copper_kg) >= _TELLING_KG else ""


def _name(line: Line) -> str:
    return line.name if line.complete else f"{line.name} (NOT READY)"
