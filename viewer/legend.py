"""The frame round a picture: title, legend of looms, key of marks, cautions. Pillow only."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import ImageDraw

from ribway.models.printed import Units
from ribway.viewer import palette
from ribway.viewer.fonts import Font, font, line_height, text_size
from ribway.viewer.page import Area
from ribway.viewer.shapes import Heading, LegendLine
from ribway.viewer.units import length_text

KEY_ROWS = 9.2
BLOCK = 11.5

KEY: tuple[tuple[str, str], ...] = (
    (palette.DEVICE, "device"),
    (palette.RING_EMPTY, "opening, empty"),
    (palette.RING_EASY, "opening with room left"),
    (palette.RING_NEAR, "opening over 3/4 of its fill limit"),
    (palette.RING_FULL, "opening over its fill limit"),
    (palette.KEEP_OUT, "keep-out: no cable here"),
)


def fitted(text: str, width: float, face: Font) -> str:
    """A text cut to a width.

    Args:
        text: one line.
        width: room in pixels.
        face: its font.

    Returns:
        The text, its end replaced by dots if it is too wide.
    """
    if text_size(text, face)[0] <= width:
        return text
    while text and text_size(text + "…", face)[0] > width:
        text = text[:-1]
    return text.rstrip() + "…"


def title_lines(heading: Heading, view: str) -> tuple[str, str, str]:
    """Words over a picture.

    Args:
        heading: of the plan.
        view: what the picture shows.

    Returns:
        Project with alternative; view, revision and date; sums.
    """
    project = f"{heading.project} – {heading.alternative}" if heading.alternative else heading.project
    sums = (
        f"{heading.copper_kg:.2f} kg copper, {heading.runs} runs, "
        f"{length_text(heading.cut_m, heading.units)} of cable cut"
    )
    return project, f"{view}  ·  revision {heading.revision}  ·  {heading.date}", sums


def cautions(heading: Heading, missing: Sequence[str] = ()) -> str:
    """The line under a picture.

    Args:
        heading: of the plan.
        missing: names that found no room.

    Returns:
        What a reader must know before cutting or drilling.
    """
    parts = [] if heading.complete else ["NOT READY: this plan is not complete."]
    parts.append(
        f"Openings are assumed until checked on the van: {heading.openings_assumed} of "
        f"{heading.openings_used} used ones were never measured."
    )
    if heading.has_ac:
        parts.append("AC: to be designed and connected by a licensed person.")
    if missing:
        parts.append(f"No room for {len(missing)} names.")
    return " ".join(parts)


def draw_title(draw: ImageDraw.ImageDraw, area: Area, heading: Heading, view: str, size_px: int) -> None:
    """Writes the title.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        heading: of the plan.
        view: what the picture shows.
        size_px: size of the plain type.
    """
    project, about, sums = title_lines(heading, view)
    big, plain, strong = font(int(size_px * 1.8), bold=True), font(size_px), font(size_px, bold=True)
    left, top, right, _ = area
    draw.text((left, top), fitted(project, right - left, big), font=big, fill=palette.INK)
    second = top + line_height(big) + size_px // 4
    room = right - left - text_size(sums, strong)[0] - size_px
    draw.text((left, second), fitted(about, room, plain), font=plain, fill=palette.QUIET_INK)
    draw.text((right, second), sums, font=strong, fill=palette.INK, anchor="ra")


def draw_caution(draw: ImageDraw.ImageDraw, area: Area, text: str, size_px: int) -> None:
    """Writes the caution, smaller if it is long.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        text: one line.
        size_px: size of the type.
    """
    left, top, right, bottom = area
    while size_px > 9 and text_size(text, font(size_px, bold=True))[0] > right - left:
        size_px -= 1
    face = font(size_px, bold=True)
    draw.text(
        (left, (top + bottom) / 2), fitted(text, right - left, face), font=face, fill=palette.CAUTION, anchor="lm"
    )


def draw_legend(draw: ImageDraw.ImageDraw, area: Area, lines: Sequence[LegendLine], units: Units, size_px: int) -> int:
    """Writes the table of looms: colour, name and zone, runs, cable cut.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        lines: one a loom.
        units: how lengths are written.
        size_px: size of the plain type.

    Returns:
        Where the table ends, in pixels from the top.
    """
    left, top, right, bottom = area
    small, strong = font(int(size_px * 0.9)), font(size_px, bold=True)
    runs_right, swatch = right - int(size_px * 4.6), int(size_px * 1.5)
    draw.text((left, top), "Loom, zone", font=small, fill=palette.QUIET_INK)
    draw.text((runs_right, top), "runs", font=small, fill=palette.QUIET_INK, anchor="ra")
    draw.text((right, top), "cable cut", font=small, fill=palette.QUIET_INK, anchor="ra")
    y = top + line_height(small) + size_px // 3
    draw.line((left, y, right, y), fill="#c9cfd5", width=1)
    y += size_px // 3
    tall, low = line_height(strong) + line_height(small) + size_px // 2, line_height(strong) + size_px // 4
    row = tall if len(lines) * tall <= bottom - y else low
    shown = min(len(lines), max(1, (bottom - y) // row))
    if shown < len(lines):
        shown = max(1, shown - 1)
    for line in lines[:shown]:
        height = line_height(strong)
        draw.rounded_rectangle((left, y + 2, left + swatch, y + height - 2), radius=3, fill=line.colour)
        text_left = left + swatch + size_px // 2
        room = runs_right - text_left - size_px * 2.2
        draw.text((text_left, y), fitted(loom_title(line), room, strong), font=strong, fill=palette.INK)
        draw.text((runs_right, y), str(line.runs), font=strong, fill=palette.INK, anchor="ra")
        draw.text((right, y), length_text(line.cut_m, units), font=strong, fill=palette.INK, anchor="ra")
        if row == tall and line.zone and line.zone != line.loom:
            draw.text((text_left, y + height), fitted(line.zone, room, small), font=small, fill=palette.QUIET_INK)
        y += row
    if shown < len(lines):
        draw.text((left, y), f"and {len(lines) - shown} more looms", font=small, fill=palette.INK)
        y += row
    return int(y)


def draw_blocks(draw: ImageDraw.ImageDraw, area: Area, lines: Sequence[LegendLine], units: Units, size_px: int) -> None:
    """Writes the looms side by side in rows, for a legend below the picture.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        lines: one a loom.
        units: how lengths are written.
        size_px: size of the plain type.
    """
    left, top, right, bottom = area
    small, strong = font(int(size_px * 0.9)), font(size_px, bold=True)
    swatch, height = int(size_px * 1.5), line_height(strong)
    row = height + line_height(small) + size_px // 2
    columns = max(1, int((right - left) / (size_px * BLOCK)))
    width = (right - left) / columns
    room_for = columns * max(1, (bottom - top) // row)
    shown = len(lines) if len(lines) <= room_for else room_for - 1
    for i, line in enumerate(lines[:shown]):
        x, y = left + (i % columns) * width, top + (i // columns) * row
        draw.rounded_rectangle((x, y + 2, x + swatch, y + height - 2), radius=3, fill=line.colour)
        x += swatch + size_px // 2
        room = width - swatch - size_px
        draw.text((x, y), fitted(loom_title(line, zone_too=True), room, strong), font=strong, fill=palette.INK)
        sums = f"{line.runs} run{'s' if line.runs != 1 else ''}, {length_text(line.cut_m, units)} cut"
        draw.text((x, y + height), fitted(sums, room, small), font=small, fill=palette.INK)
    if shown < len(lines):
        x, y = left + (shown % columns) * width, top + (shown // columns) * row
        draw.text((x, y), f"and {len(lines) - shown} more looms", font=small, fill=palette.INK)


def loom_title(line: LegendLine, zone_too: bool = False) -> str:
    """A loom's name in a legend.

    Args:
        line: the loom.
        zone_too: whether its zone follows.

    Returns:
        The name, with AC said where the name does not say it.
    """
    name = (line.loom or "single runs") + (" (AC)" if line.has_ac and "AC" not in line.loom.upper().split() else "")
    return f"{name}, {line.zone}" if zone_too and line.zone and line.zone != line.loom else name


def draw_key(draw: ImageDraw.ImageDraw, area: Area, thickness: float, size_px: int) -> None:
    """Explains marks and rings.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        thickness: how many times thicker than true cables are drawn.
        size_px: size of the plain type.
    """
    left, top, right, bottom = area
    face = font(int(size_px * 0.85))
    y, step = float(top), (bottom - top) / (len(KEY) + 1.3)
    radius = size_px * 0.42
    for colour, text in KEY:
        middle = (left + size_px * 0.75, y + step / 2 - size_px // 8)
        box = (middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius)
        if text.startswith("opening"):
            draw.ellipse(box, outline=colour, width=max(2, size_px // 6))
        elif text.startswith("keep-out"):
            draw.rectangle(box, fill=colour + "30", outline=colour, width=2)
        else:
            draw.ellipse(box, fill=colour)
        draw.text((left + size_px * 2, y), fitted(text, right - left - size_px * 2, face), font=face, fill=palette.INK)
        y += step
    drawn = (
        "cables drawn at true thickness"
        if abs(thickness - 1.0) < 1e-9
        else f"cables drawn {thickness:g} times as thick"
    )
    draw.text((left, y), drawn, font=face, fill=palette.QUIET_INK)
