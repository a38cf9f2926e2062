"""No cable goes through drawn metal: neither its sharp polyline nor its centreline."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.results import Finding
from ribway.models.plan.shell import Point
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.given import is_sketch
from ribway.router.audit.meshes import crossings, triangles_of
from ribway.router.audit.polylines import as_line, distance, distances_to_line

Array = NDArray[np.float64]
SOLID: Final = ("skin", "member", "obstacle")
AT_DEVICE_M: Final = 0.002
"""A device may sit on the metal: what touches it this near to the device's point is no crossing."""

ON_SKETCH_M: Final = 0.001


def check_metal(book: Book) -> Iterator[Finding]:
    """Every leg and every centreline against every skin, member and obstacle; sketches of taped stretches left out."""
    start, end, owned = _segments(book)
    said: set[tuple[str, str, str]] = set()
    for part in book.plan.parts:
        if part.kind not in SOLID:
            continue
        triangles = triangles_of(part)
        if triangles is None:
            yield error("unreadable-part", part.name, f"the arrays of {part.name} cannot be read")
            continue
        if not len(triangles):
            continue
        segments, places = crossings(start, end, triangles)
        for segment, place in zip(segments.tolist(), places, strict=True):
            for run, kind in owned[segment]:
                if (run, kind, part.name) in said or _at_a_device(book, run, place) or _on_a_sketch(book, run, place):
                    continue
                said.add((run, kind, part.name))
                x, y, z = place.tolist()
                yield error(
                    "through-metal", run, f"its {kind} goes through {part.name} at x {x:.3f}, y {y:.3f}, z {z:.3f} m"
                )


def _segments(book: Book) -> tuple[Array, Array, list[list[tuple[str, str]]]]:
    """All distinct segments, start and end, with the runs and kinds of leg they belong to: loom-mates share many."""
    owned: dict[tuple[Point, Point], list[tuple[str, str]]] = {}
    for run in book.plan.runs:
        drawn = ((leg.kind, leg.points) for leg in run.legs if not is_sketch(leg))
        for kind, points in (*drawn, ("centreline", run.centreline)):
            for ends in pairwise(points):
                owned.setdefault(ends, []).append((run.id, kind))
    ordered = sorted(owned)
    start, end = as_line([one for one, _ in ordered]), as_line([other for _, other in ordered])
    return start, end, [owned[ends] for ends in ordered]


def _on_a_sketch(book: Book, run: str, place: Array) -> bool:
    """Whether a place lies on the sketch of a taped stretch, which goes through whatever is in its way."""
    sketches = (as_line(leg.points) for leg in book.runs[run].legs if is_sketch(leg))
    return any(float(distances_to_line(place[None], line)[0]) <= ON_SKETCH_M for line in sketches)


def _at_a_device(book: Book, run: str, place: Array) -> bool:
    ends = (book.runs[run].from_, book.runs[run].to)
    return any(distance(book.devices[device].point, place) <= AT_DEVICE_M for device in ends)
