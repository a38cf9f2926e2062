"""Drawings of the walls: to scale in the PDF itself, and with each place's own distances."""

from __future__ import annotations

import io
import itertools
import re

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from ribway.models.plan.plan import Plan
from ribway.sheets.catalogue import all_files, papers_named
from ribway.sheets.drawing.callouts import Callout, place_callouts
from ribway.sheets.drawing.scale import Extent, fit_scale
from ribway.sheets.fonts import face
from ribway.sheets.marks import Frame
from ribway.sheets.openings_list import openings_list
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.walls.ground import _clipped
from ribway.sheets.walls.marking_out import hole_spot
from ribway.sheets.walls.places_list import places_record
from ribway.sheets.walls.view import view_of

PT_PER_M = 72 / 0.0254


def reader_of(plan: Plan) -> PdfReader:
    return PdfReader(
        io.BytesIO(dict(all_files(plan, Wishes(), papers_named(["marking-out"]), ["pdf"]))["marking-out.pdf"])
    )


def test_every_device_and_used_hole_stands_on_a_wall_with_its_distances(sample_plan: Plan) -> None:
    text = "\n".join(page.extract_text() for page in reader_of(sample_plan).pages)
    flat = " ".join(text.split())
    for device in sample_plan.devices:
        assert re.search(rf"\d+ {re.escape(device.name)}", flat), device.name
        if device.wall in ("left", "right"):
            assert f"back {device.back_m:.2f} m" in text
            assert f"up {device.up_m:.2f} m" in text
    used = [one for one in sample_plan.openings if one.runs]
    assert used
    for one in used:
        assert f"back {one.back_m:.2f} m\nup {one.up_m:.2f} m\nØ {one.raw_bore_mm:g} mm" in text


def crosses(page: object, reader: PdfReader) -> list[tuple[float, float]]:
    """Middles of the horizontal strokes of 14 pt in a page's content: the crosses of devices."""
    stream = ContentStream(page["/Contents"].get_object(), reader)  # type: ignore[index]
    found, start = [], (0.0, 0.0)
    for operands, operator in stream.operations:
        if operator == b"m":
            start = (float(operands[0]), float(operands[1]))
        if operator == b"l":
            across, up = float(operands[0]) - start[0], float(operands[1]) - start[1]
            if abs(up) < 1e-3 and across == pytest.approx(14.0, abs=1e-3):
                found.append((start[0] + across / 2, start[1]))
    return found


def test_holes_are_marked_out_in_inches_where_the_shop_works_in_them(sample_plan: Plan) -> None:
    """25.4 mm to the inch: 31.75 mm is 1 1/4, 50.8 mm 2, 44.45 mm 1 3/4; a slot by width and length."""
    inch = sample_plan.model_copy(update={"rules": sample_plan.rules.model_copy(update={"units": "feet and inches"})})
    hole = sample_plan.openings[0].model_copy(
        update={
            "raw_bore_mm": 31.75,
            "clear_bore_mm": 25.4,
            "slot_length_mm": None,
            "state": "measured",
            "grommet_mm": None,
        }
    )
    assert hole_spot(inch, hole).lines[-1] == 'Ø 1 1/4"'
    assert hole_spot(sample_plan, hole).lines[-1] == "Ø 31.8 mm"
    slot = hole.model_copy(update={"slot_length_mm": 44.45})
    assert hole_spot(inch, slot).lines[-1] == 'slot 1 1/4" × 2"'
    table = openings_list(inch.model_copy(update={"openings": (slot.model_copy(update={"runs": ("fridge-1",)}),)}))
    assert [cell.replace("\xa0", " ") for cell in table.column("Raw bore or slot")] == ['1 1/4" × 2"']
    assert [cell.replace("\xa0", " ") for cell in table.column("Clear")] == ['1" × 1 3/4"']
    assert table.column("Grommet") == ("edge strip",)


def test_a_distance_off_the_metal_that_all_share_is_said_once(sample_plan: Plan) -> None:
    def said(*off_m: float) -> tuple[str, list[str]]:
        devices = tuple(
            one.model_copy(update={"stand_off_m": off_m[index % len(off_m)]})
            for index, one in enumerate(sample_plan.devices)
        )
        record = places_record(sample_plan.model_copy(update={"devices": devices}))
        return " ".join(record.notes), [str(row[6]) for row in record.rows]

    notes, rows = said(0.06, 0.07)
    assert "Every place here stands 0.06 m to 0.07 m off the bare metal." in notes
    assert not any("off the metal" in row for row in rows)
    notes, rows = said(0.02, 0.2)
    assert "Every place" not in notes
    assert all("off the metal" in row for row in rows)


def test_the_scale_that_is_said_is_the_scale_that_is_drawn(sample_plan: Plan) -> None:
    reader = reader_of(sample_plan)
    measured = 0
    for page in reader.pages:
        text = page.extract_text()
        title = re.search(r"(Left|Right) wall, seen from inside: places", text)
        scale = re.search(r"Drawn 1 : ([0-9.]+)", text)
        if title is None or scale is None:
            continue
        wall = title[1].lower()
        devices = [one for one in sample_plan.devices if one.wall == wall]
        per_m = PT_PER_M / float(scale[1])
        spots = sorted(crosses(page, reader))
        there = sorted((view_of(wall).flat(one.point)[0] * per_m, one.point[2] * per_m) for one in devices)
        assert len(spots) == len(there)
        for spot, point in zip(spots, there, strict=True):
            assert spot[0] - spots[0][0] == pytest.approx(point[0] - there[0][0], abs=0.02)
            assert spot[1] - spots[0][1] == pytest.approx(point[1] - there[0][1], abs=0.02)
        measured += len(spots)
    assert measured >= 2


def test_views_show_what_an_eye_inside_the_van_sees() -> None:
    """What is to the right times what is up points at the eye: for each wall, against the direction of looking."""
    looking = {
        "left": (0, 1, 0),
        "right": (0, -1, 0),
        "roof": (0, 0, 1),
        "floor": (0, 0, -1),
        "bulkhead": (1, 0, 0),
        "rear": (-1, 0, 0),
    }
    for wall, direction in looking.items():
        view = view_of(wall)
        right = [view.across[1] if axis == view.across[0] else 0 for axis in range(3)]
        up = [view.up[1] if axis == view.up[0] else 0 for axis in range(3)]
        eye = (
            right[1] * up[2] - right[2] * up[1],
            right[2] * up[0] - right[0] * up[2],
            right[0] * up[1] - right[1] * up[0],
        )
        assert tuple(-one for one in eye) == direction


def test_a_drawing_fits_its_frame_at_a_round_scale() -> None:
    frame = Frame(100.0, 500.0, 50.0, 350.0)
    scaled = fit_scale(Extent(-3.72, 0.0, 0.0, 1.9), frame)
    left, bottom = scaled.at((-3.72, 0.0))
    right, top = scaled.at((0.0, 1.9))
    assert frame.left <= left < right <= frame.right
    assert frame.bottom <= bottom < top <= frame.top
    assert scaled.ratio == 30.0
    assert (right - left) / PT_PER_M * 30 == pytest.approx(3.72)


def test_lines_of_a_column_do_not_cross() -> None:
    spots = [(200.0 + 37.0 * (number * 7 % 11), 100.0 + 23.0 * (number * 5 % 11)) for number in range(10)]
    callouts = [Callout(spot, str(number), ("back", "up")) for number, spot in enumerate(spots)]
    placed = place_callouts(callouts, Frame(0, 100, 0, 500), Frame(700, 800, 0, 500), 1.0, face())
    assert len(placed) == 10
    for column in ([one for one in placed if one.left == 0], [one for one in placed if one.left == 700]):
        for upper, lower in itertools.pairwise(column):
            assert lower.top <= upper.top - upper.height + 1e-6


def test_clipping_against_a_known_area() -> None:
    """The unit square cut to its right half has half its area (shoelace)."""
    shape = _clipped(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), Extent(0.5, 2.0, -1.0, 2.0))
    pairs = zip(shape, shape[1:] + shape[:1], strict=True)
    assert abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2 == pytest.approx(0.5)
    assert _clipped(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), Extent(2.0, 3.0, 0.0, 1.0)) == ()


def test_the_list_gives_each_place_every_cable_that_ends_there(sample_plan: Plan) -> None:
    gets = {str(row[1]).rstrip("*"): str(row[6]) for row in places_record(sample_plan).rows}
    for device in sample_plan.devices:
        ends = [run.id for run in sample_plan.runs if device.id in (run.from_, run.to)]
        assert all(f"{run} " in gets[device.name] for run in ends)
        assert bool(ends) == (gets[device.name] != "no cable of this plan")
