"""Greatest lengths of data links: the trunk, its drops, and a link as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ribway.sizing.errors import UnknownRuleError, check_number
from ribway.sizing.tabledata import number_in, table_rows


@dataclass(frozen=True)
class DataLink:
    """A kind of data link.

    Attributes:
        name: its name.
        longest_m: from end to end, or the trunk of a bus [m].
        longest_drop_m: from the trunk of a bus to a device [m]; None where there are no drops.
        bend_factor: least inside bend radius over outside diameter.
    """

    name: str
    longest_m: float
    longest_drop_m: float | None
    bend_factor: float


@cache
def data_link(name: str) -> DataLink:
    """A data link of the table.

    Raises:
        UnknownRuleError: listing the known links.

    Source: column `source` of tables/data_links.csv.
    """
    table = "data_links"
    rows = table_rows(table, ("link", "longest_m", "longest_drop_m", "bend_factor"), ("link",))
    for row in rows:
        if row["link"] == name:
            drop = number_in(table, row, "longest_drop_m") if row["longest_drop_m"] else None
            return DataLink(name, number_in(table, row, "longest_m"), drop, number_in(table, row, "bend_factor"))
    raise UnknownRuleError(f"data link {name!r} is not known; accepted: {', '.join(row['link'] for row in rows)}")


def link_faults(name: str, trunk_m: float, drops_m: Sequence[float] = ()) -> tuple[str, ...]:
    """What is too long in a data link.

    Args:
        name: kind of link.
        trunk_m: cut length from end to end, slack and coils included [m].
        drops_m: cut length of each drop [m].

    Returns:
        One sentence a fault.
    """
    link = data_link(name)
    check_number(trunk_m, "length of the trunk [m]")
    out: list[str] = []
    if trunk_m > link.longest_m:
        out.append(
            f"{name}: {trunk_m:.2f} m from end to end; at most {link.longest_m:g} m: shorten it, or put a repeater in"
        )
    for number, drop_m in enumerate(drops_m, start=1):
        check_number(drop_m, f"length of drop {number} [m]")
        if link.longest_drop_m is None:
            out.append(f"{name}: drop {number} of {drop_m:.2f} m; this link has none: lead the trunk past the device")
        elif drop_m > link.longest_drop_m:
            out.append(
                f"{name}: drop {number} is {drop_m:.2f} m; at most {link.longest_drop_m:g} m: lead the trunk nearer"
            )
    return tuple(out)
