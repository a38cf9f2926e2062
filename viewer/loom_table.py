"""The list beside a loom's picture: its runs with cable, cut length and ends, and how thick its trunk is where."""

from __future__ import annotations

from dataclasses import dataclass

from PIL import ImageDraw

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted, length, rounded_up, size_up
from ribway.viewer import palette
from ribway.viewer.fonts import font, line_height, text_size
from ribway.viewer.legend import fitted
from ribway.viewer.page import Area
from ribway.viewer.report.words import place

LEAST_PX = 11


@dataclass(frozen=True)
class Line:
    """A line of the list.

    Args:
        left: what stands at the left.
        right: what stands at the right.
        strong: set in bold.
    """

    left: str
    right: str = ""
    strong: bool = False


def table_lines(plan: Plan, loom: PlanLoom) -> tuple[Line, ...]:
    """What is said of a loom.

    Args:
        plan: the plan.
        loom: one of its looms.

    Returns:
        Two lines a run; then one a stretch of the trunk.
    """
    units = plan.rules.units
    names = {device.id: device.name or device.id for device in plan.devices}
    cables = {cable.id: cable.name for cable in plan.cables}
    runs = [run for run in plan.runs if run.id in loom.runs]
    lines = [Line(counted(len(runs), "run"), "cut", True)]
    for run in runs:
        name = "draw cord" if is_draw_cord(run) else cables.get(run.cable, run.cable)
        pieces = f"{run.pieces} × " if run.pieces > 1 else ""
        lines.append(Line(f"{run.id}  {pieces}{name}", length(run.cut_m, units), True))
        lines.append(Line(f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"))
    trunk = [one for one in loom.sections if one.branch == 0]
    if len(loom.runs) > 1 and trunk:
        lines.append(Line(""))
        lines.append(Line("Trunk, from – to", "thick", True))
        for one in trunk:
            thick = f"{rounded_up(one.diameter_mm, 0)} mm" if units == "metric" else size_up(one.diameter_mm, units)
            begins, ends = (place(at_m - loom.begins_m, units) for at_m in (one.from_m, one.to_m))
            lines.append(Line(f"{begins} – {ends}, {counted(len(one.runs), 'run')}", thick))
    return tuple(lines)


def draw_table(draw: ImageDraw.ImageDraw, area: Area, plan: Plan, loom: PlanLoom, size_px: int) -> None:
    """Writes the list, smaller where it is long; what finds no room at all is counted.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        plan: the plan.
        loom: one of its looms.
        size_px: size of the plain type.
    """
    lines = table_lines(plan, loom)
    left, top, right, bottom = area
    size = size_px
    while size > LEAST_PX and line_height(font(size)) * (len(lines) + 1) > bottom - top:
        size -= 1
    height = line_height(font(size))
    room = (bottom - top) // height
    shown = lines if len(lines) <= room else lines[: room - 1]
    y = top
    draw.rounded_rectangle((left, y + 2, left + size, y + height - 4), radius=3, fill=loom.colour)
    for number, line in enumerate(shown):
        face = font(size, bold=line.strong)
        start = left + (int(size * 1.5) if number == 0 else 0)
        wide = text_size(line.right, face)[0] if line.right else 0
        ink = palette.INK if line.strong or line.right else palette.QUIET_INK
        draw.text((start, y), fitted(line.left, right - start - wide - size, face), font=face, fill=ink)
        draw.text((right, y), line.right, font=face, fill=palette.INK, anchor="ra")
        y += height
    if len(shown) < len(lines):
        draw.text((left, y), f"and {counted(len(lines) - len(shown), 'more line')}", font=font(size), fill=palette.INK)
