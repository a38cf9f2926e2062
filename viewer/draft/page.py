"""The page of a draft as text: the surveyed metal in 3D, its openings as a list to tick, one file that fetches nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from string import Template
from typing import Any

import numpy as np

from ribway.models.review.hole import Hole, named_words, place_words, size_words
from ribway.models.review.review import Review
from ribway.viewer.draft.marks import GONE, KEY, KIND_COLOURS, rim_of
from ribway.viewer.draft.metal import Metal, bare_scene
from ribway.viewer.parts import WALLS
from ribway.viewer.report.bars import view_bar
from ribway.viewer.report.inlined import inside_page, policy, scripts_in, text_in
from ribway.viewer.report.markup import element, json_block, text
from ribway.viewer.report.modules import joined
from ribway.viewer.report.page import MARK
from ribway.viewer.report.scene_data import packed_faces, packed_points, views_data

REPORT, DRAFT = "ribway.viewer.report", "ribway.viewer.draft"
START = "draft.js"
ANSWERS_FILE = "openings-answers.json"
FIELDS = (
    ("rename", "New name", "name"),
    ("forward", "Forward mm", "0"),
    ("left", "Left mm", "0"),
    ("up", "Up mm", "0"),
)
TICKS = (("confirm", "It is there"), ("delete", "It is none"))
FREE = ("free", "Its runs go free")
SO_FAR = {"open": "", "confirmed": "confirmed", "deleted": "deleted"}
HEADINGS = ("Opening", "What", "In", "Size", "Where", "Sure", "So far")


def draft_page_text(name: str, file: str, metal: Sequence[Metal], review: Review) -> str:
    """A page on which the openings of a draft are gone through.

    Args:
        name: of the draft.
        file: its project file, as the command that takes the answers is to name it.
        metal: what was surveyed.
        review: its openings.

    Returns:
        HTML that needs nothing else; the same for the same draft.
    """
    style = text_in(REPORT, "page.css") + text_in(DRAFT, "page.css")
    script = inside_page(joined(scripts_in(((REPORT, "scripts"), (REPORT, "vendor"), (DRAFT, "scripts"))), START))
    return Template(text_in(DRAFT, "page.html")).substitute(
        mark=MARK,
        title=text(f"Openings of {name}"),
        policy=policy(style, script),
        style=style,
        command=text(f"ribway survey --answers {ANSWERS_FILE} {file}"),
        licence=text_in(REPORT, "vendor/three-licence.txt").replace("--", "- -"),
        views=view_bar(),
        walls=element("div", _wall_buttons(), class_="bar", role="group", aria_label="Cut away"),
        key=element("ul", *(element("li", element("b", text(mark)), text(f": {word}")) for mark, word in KEY), class_="key"),
        legend=_kinds(review.holes),
        section=_section(review.holes),
        data=json_block(page_data(name, metal, review)),
        script=script,
    )  # fmt: skip


def page_data(name: str, metal: Sequence[Metal], review: Review) -> dict[str, Any]:
    """What the page's scripts are given.

    Args:
        name: of the draft.
        metal: what was surveyed.
        review: its openings.

    Returns:
        Fit for JSON.
    """
    scene = bare_scene(name, metal)
    meshes = [
        {"points": packed_points(one.vertices), **packed_faces(one.faces, len(one.vertices))} for one in scene.parts
    ]
    parts = [
        {"name": one.name, "kind": one.kind, "wall": one.wall, "colour": one.colour, "opacity": one.opacity, "mesh": k}
        for k, one in enumerate(scene.parts)
    ]
    empty: dict[str, Any] = {"runs": [], "rings": [], "devices": [], "keepOuts": []}
    box = {"low": np.round(scene.low, 4).tolist(), "high": np.round(scene.high, 4).tolist()}
    return {
        "draft": {"name": name, "key": _key(name, review), "file": ANSWERS_FILE},
        "meshes": meshes,
        "views": views_data(),
        "walls": list(WALLS),
        "scenes": [{"parts": parts, **empty, **box}],
        "holes": [_hole_data(hole) for hole in review.holes],
    }  # fmt: skip


def _key(name: str, review: Review) -> str:
    """Under which a browser keeps what is ticked: another one as soon as the draft is another."""
    return hashlib.sha256(repr((name, review.holes)).encode("utf-8")).hexdigest()[:20]


def _hole_data(hole: Hole) -> dict[str, Any]:
    sure = "" if hole.is_sure else f"a candidate: {100 * hole.sure:.0f} % sure"
    return {
        "id": hole.name, "wall": hole.wall, "kind": hole.kind, "colour": KIND_COLOURS.get(hole.kind, GONE), "gone": GONE,
        "sure": hole.is_sure, "mark": hole.mark, "points": packed_points(rim_of(hole)),
        "title": f"{hole.name}: {hole.kind}, {size_words(hole)}",
        "lines": [
            line for line in (f"in {hole.member}" if hole.member else "", place_words(hole), sure, named_words(hole)) if line
        ],
    }  # fmt: skip


def _wall_buttons() -> str:
    buttons = (
        element("button", text(wall), type="button", data_wall=wall, aria_pressed="true", class_="small")
        for wall in WALLS
    )
    return element("span", "Metal of", class_="label") + "".join(buttons)


def _kinds(holes: Sequence[Hole]) -> str:
    """The kinds that were found, each with its colour."""
    items = []
    for kind, colour in KIND_COLOURS.items():
        count = sum(one.kind == kind for one in holes)
        if count:
            dot = element("circle", cx="10", cy="10", r="7", fill="none", stroke=colour, stroke_width="4")
            mark = element("svg", dot, class_="chip", viewBox="0 0 20 20", aria_hidden="true")
            items.append(element("li", mark, text(f"{kind} ({count})")))
    return element("ul", *items)


def _section(holes: Sequence[Hole]) -> str:
    """The list: a row an opening, those first that nobody has looked at and the survey is least sure of."""
    head = [element("th", element("button", text(one), type="button", class_="sort", data_column=str(number)), scope="col")
            for number, one in enumerate(HEADINGS)]  # fmt: skip
    ticks = TICKS + (FREE,) * any(one.named for one in holes)
    head += [element("th", text(title), scope="col", class_="tick") for _, title in ticks]
    head += [element("th", text(title), scope="col", class_="entry") for _, title, _ in FIELDS]
    order = sorted(range(len(holes)), key=lambda k: (holes[k].mark != "open", holes[k].is_sure, k))
    rows = (_row(holes[number], ticks) for number in order)
    find = element("label", "Find ", element("input", type="search", class_="filter", placeholder="any word"))
    table = element("table", element("thead", element("tr", *head)), element("tbody", *rows), aria_label="Openings")
    panel = element(
        "section",
        element("h2", "Openings", tabindex="-1"),
        element("div", find, element("span", class_="count", role="status"), class_="finder"),
        element("div", table, class_="wide"),
        class_="panel of-openings", data_panel="openings",
    )  # fmt: skip
    return element("section", panel, class_="plan")


def _row(hole: Hole, ticks: Sequence[tuple[str, str]]) -> str:
    sure = f"{100 * hole.sure:.0f} %"
    words = (hole.kind, hole.member, size_words(hole), place_words(hole), sure, SO_FAR[hole.mark])
    cells = [element("td", element("button", text(hole.name), type="button", class_="pick"), data_label="Opening")]
    cells += [element("td", text(word), data_label=title) for title, word in zip(HEADINGS[1:], words, strict=True)]
    for what, title in ticks:
        if (what, title) == FREE and not hole.named:
            cells.append(element("td", class_="tick"))
            continue
        box = element("input", type="checkbox", **_names(hole, what, title))
        cells.append(element("td", box, class_="tick", data_label=title))
    for what, title, hint in FIELDS:
        if hole.rowed:
            cells.append(element("td", class_="entry"))
            continue
        field = element("input", placeholder=hint, maxlength="40", autocomplete="off", **_names(hole, what, title))
        cells.append(element("td", field, class_=f"entry {what}", data_label=title))
    return element("tr", *cells, data_id=hole.name)


def _names(hole: Hole, what: str, title: str) -> dict[str, str]:
    return {
        "data_note": f"hole/{hole.name}/{what}",
        "data_hole": hole.name,
        "data_what": what,
        "aria_label": f"{hole.name}: {title}",
    }
