"""A table as HTML, with its title, its search field and its notes."""

from __future__ import annotations

from ribway.viewer.report.markup import element, text
from ribway.viewer.report.table import Cell, Column, Row, Table


def panel(table: Table, plan: str) -> str:
    """A table with its title and its filter.

    Args:
        table: the table.
        plan: the number of its plan on the page, for an id.

    Returns:
        HTML.
    """
    find = element(
        "label",
        "Find ",
        element("input", type="search", class_="filter", autocomplete="off", placeholder="any word", maxlength="80"),
    )
    count = element("span", class_="count", role="status")
    head = element("tr", *(_head(index, column) for index, column in enumerate(table.columns)))
    rows = (_row(table, row) for row in table.rows)
    grid = element("table", element("thead", head), element("tbody", *rows), aria_label=table.title)
    return element(
        "section",
        element("h2", text(table.title), tabindex="-1"),
        element("div", find, count, class_="finder"),
        element("div", grid, class_="wide"),
        *(element("p", text(note), class_="note") for note in table.notes),
        class_=f"panel of-{table.id}",
        data_panel=table.id,
        id=f"{table.id}-{plan}",
    )


def _head(index: int, column: Column) -> str:
    if column.kind in ("tick", "entry"):
        return element("th", text(column.heading), scope="col", class_=column.kind)
    sort = element("button", text(column.heading), type="button", class_="sort", data_column=str(index))
    # Browsers leave buttons out where a heading is repeated on the next sheet of paper.
    return element("th", sort, element("span", text(column.heading), class_="printed"), scope="col", class_=column.kind)


def _row(table: Table, row: Row) -> str:
    cells = (
        _cell(table, row, index, column, one)
        for index, (column, one) in enumerate(zip(table.columns, row.cells, strict=True))
    )
    return element(
        "tr",
        *cells,
        data_id=row.id,
        # Ids may hold blanks, never a line feed: the project file has each on one line.
        data_runs="\n".join(row.runs) if row.runs else False,
        data_openings="\n".join(row.openings) if row.openings else False,
        class_=row.level or False,
    )


def _cell(table: Table, row: Row, index: int, column: Column, one: Cell) -> str:
    note = f"{table.id}/{row.id}/{column.note}"
    label = f"{row.id}: {column.heading}"
    if column.kind == "tick":
        inside = element("input", type="checkbox", data_note=note, aria_label=label)
    elif column.kind == "entry":
        inside = element(
            "input", data_note=note, aria_label=label, placeholder=column.hint, maxlength="40", autocomplete="off"
        )
    elif index == 0 and (row.runs or row.openings):
        inside = element("button", text(one.text), type="button", class_="pick", title="show in the picture")
    else:
        first, *rest = one.text.split("\n")
        inside = element("div", text(first), element("small", text("\n".join(rest)))) if rest else text(first)
    names = " ".join(filter(None, (column.kind, column.show, "strong" if column.strong else "")))
    return element(
        "td",
        inside,
        class_=names,
        data_label=column.heading,
        data_value=False if one.value is None else f"{one.value:.10g}",
    )
