"""The frame round a picture: title, key of marks, cautions. Pillow only."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import ImageDraw

from ribway.models.printed import counted, mass
from ribway.viewer import palette
from ribway.viewer.fonts import Font, font, line_height, text_size
from ribway.viewer.page import Area
from ribway.viewer.shapes import Heading, LegendLine
from ribway.viewer.units import length_text

KEY_ROWS = 9.2

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
        f"{mass(heading.copper_kg, heading.units)} copper, {counted(heading.runs, 'run')}, "
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
        f"{heading.openings_used} used ones {'was' if heading.openings_assumed == 1 else 'were'} never measured."
    )
    if heading.sketches:
        parts.append(f"Taped, drawn as a sketch: {', '.join(heading.sketches)}.")
    if heading.has_ac:
        parts.append("AC: to be designed and connected by a licensed person.")
    if heading.thinned:
        parts.append(f"{heading.thinned[0].upper()}{heading.thinned[1:]}.")
    if missing:
        parts.append(f"No room for {counted(len(missing), 'name')}.")
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


def loom_title(line: LegendLine) -> str:
    """A loom's name and zone in a legend.

    Args:
        line: the loom.

    Returns:
        The name, with AC said where the name does not say it, and the zone where that says more.
    """
    alone = "single runs" if line.cut_m > 0.0 else "draw cords alone"
    name = (line.loom or alone) + (" (AC)" if line.has_ac and "AC" not in line.loom.upper().split() else "")
    return f"{name}, {line.zone}" if line.zone and line.zone != line.loom else name


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
