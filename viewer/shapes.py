"""What a picture shows, as plain arrays: parts, cables, marks, rings, patches, legend."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ribway.models.printed import Units

Points = NDArray[np.float64]
Faces = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class PartShape:
    """A part of the shell.

    Args:
        name: as in the plan.
        kind: skin, member, obstacle or panel.
        wall: the wall it belongs to, empty if that cannot be told.
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices.
        edges: ``(k, 2, 3)`` lines drawn along its creases and rims [m].
        colour: ``#rrggbb``.
        opacity: 0 clear to 1 solid.
    """

    name: str
    kind: str
    wall: str
    vertices: Points
    faces: Faces
    edges: Points
    colour: str
    opacity: float


@dataclass(frozen=True, eq=False)
class Tube:
    """One run as it is drawn.

    Args:
        run: the run's id.
        loom: its loom's id, empty if it lies alone.
        points: ``(n, 3)`` the curve [m].
        radius_m: as drawn [m].
        colour: ``#rrggbb``, its loom's.
        openings: openings and other ways it passes, in order.
        half_thick_m: half the thickness of a flat cable, as drawn; its radius is half its width then [m]. 0 if round.
        thin: ``(n, 3)`` across which directions a flat cable is thin; empty if it is round.
        banded: drawn with white bands, since a loom before its own has the same colour.
    """

    run: str
    loom: str
    points: Points
    radius_m: float
    colour: str
    openings: tuple[str, ...]
    half_thick_m: float = 0.0
    thin: Points = field(default_factory=lambda: np.empty((0, 3)))
    banded: bool = False


@dataclass(frozen=True, eq=False)
class Marker:
    """A device.

    Args:
        device: its id.
        label: a short name.
        wall: the wall it is fixed to.
        point: ``(3,)`` where its wires end [m].
    """

    device: str
    label: str
    wall: str
    point: Points


@dataclass(frozen=True, eq=False)
class Ring:
    """The rim of an opening.

    Args:
        opening: its id.
        wall: the wall it is counted with.
        points: ``(n, 3)`` the rim, last point not repeated [m].
        colour: ``#rrggbb`` by how full it is.
        fill_percent: how full the plan makes it [%].
        runs: how many runs go through.
        state: assumed, measured, blocked or drill.
    """

    opening: str
    wall: str
    points: Points
    colour: str
    fill_percent: float
    runs: int
    state: str


@dataclass(frozen=True, eq=False)
class Patch:
    """A keep-out on its skin.

    Args:
        keep_out: its id.
        why: what it is for.
        wall: the wall it lies on.
        outline: ``(n, 3)`` corners in order [m].
    """

    keep_out: str
    why: str
    wall: str
    outline: Points


@dataclass(frozen=True)
class LegendLine:
    """A loom in the legend.

    Args:
        loom: its id.
        colour: ``#rrggbb``.
        zone: the part of the van it serves.
        runs: how many runs it gathers.
        cut_m: cable cut for it, all pieces, tails included; draw cords are left out [m].
        has_ac: whether AC is among them.
        banded: drawn with white bands, since a loom before it has the same colour.
    """

    loom: str
    colour: str
    zone: str
    runs: int
    cut_m: float
    has_ac: bool
    banded: bool = False


@dataclass(frozen=True)
class Heading:
    """What stands over and under a picture.

    Args:
        project: the project's name.
        alternative: the alternative's name, empty for the base.
        date: as in the plan.
        revision: as in the plan.
        copper_kg: all copper cut [kg].
        runs: how many runs.
        cut_m: all cable cut; draw cords are left out [m].
        openings_used: how many openings are used.
        openings_assumed: how many of those were never measured.
        holes_drilled: how many holes are to be drilled.
        has_ac: whether there is AC.
        complete: whether the plan is ready.
        units: how lengths are written.
        sketches: runs and ways whose lengths are taped and whose lines are sketches.
        thinned: what to say of metal that is drawn coarser than it is; empty if all of it is drawn.
    """

    project: str
    alternative: str
    date: str
    revision: str
    copper_kg: float
    runs: int
    cut_m: float
    openings_used: int
    openings_assumed: int
    holes_drilled: int
    has_ac: bool
    complete: bool
    units: Units
    sketches: tuple[str, ...] = ()
    thinned: str = ""


@dataclass(frozen=True, eq=False)
class Scene:
    """Everything a picture shows.

    Args:
        heading: words over and under it.
        parts: the shell.
        tubes: the runs.
        markers: the devices.
        rings: the openings.
        patches: the keep-outs.
        legend: the looms.
        low: ``(3,)`` least corner of everything [m].
        high: ``(3,)`` greatest corner of everything [m].
    """

    heading: Heading
    parts: tuple[PartShape, ...]
    tubes: tuple[Tube, ...]
    markers: tuple[Marker, ...]
    rings: tuple[Ring, ...]
    patches: tuple[Patch, ...]
    legend: tuple[LegendLine, ...]
    low: Points
    high: Points
