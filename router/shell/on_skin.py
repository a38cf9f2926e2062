"""The point of a skin's mesh that a tape place means."""

from __future__ import annotations

import numpy as np

from ribway.models.place import Place
from ribway.router.geometry.meshes import face_normals, segment_hits, triangles
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import Mesh, Points

FAR_M = 6.0
EYE_M = 0.8


def sight(place: Place, datum_back_m: float) -> tuple[Points, Points]:
    """The line along which a tape place is looked for, from inside the van outwards.

    Args:
        place: by wall.
        datum_back_m: how far the datum lies behind the shell model's front edge [m].

    Returns:
        Its start and end, ``(3,)`` each [m].
    """
    x = -((place.back or 0.0) + datum_back_m)
    if place.wall in ("left", "right"):
        side = FAR_M if place.wall == "left" else -FAR_M
        return np.array((x, 0.0, place.up)), np.array((x, side, place.up))
    if place.wall in ("roof", "floor"):
        start = np.array((x, place.to_left_m, EYE_M))
        return start, start + np.array((0.0, 0.0, FAR_M if place.wall == "roof" else -FAR_M))
    start = np.array((-0.5, place.to_left_m, place.up))
    return start, start + np.array((FAR_M, 0.0, 0.0))


def point_on_skin(mesh: Mesh, place: Place, datum_back_m: float, where: str, stand_off_m: float) -> Points:
    """The point itself, ``stand_off_m`` off the metal.

    Raises:
        ShellError: there is no metal there.
    """
    tri = triangles(mesh.vertices, mesh.faces)
    start, end = sight(place, datum_back_m)
    t = segment_hits(start, end, tri)
    if not np.isfinite(t).any():
        raise ShellError(f"{where}: there is no metal of the {place.wall} there")
    face = int(np.argmin(t))
    return drawn_back(start + float(t[face]) * (end - start), end - start, face_normals(tri[[face]])[0], stand_off_m)


def drawn_back(foot: Points, line: Points, normal: Points, stand_off_m: float) -> Points:
    """A point that stands off the metal but keeps its taped distances: it is drawn back along the line of sight.

    Args:
        foot: ``(3,)`` where the line meets the metal [m].
        line: ``(3,)`` direction of the line, outwards.
        normal: ``(3,)`` unit normal of the metal, inwards.
        stand_off_m: distance off the metal, square to it [m].

    Returns:
        ``(3,)`` point [m]; on a leaning wall its height is still the taped one.
    """
    out = line / np.linalg.norm(line)
    return np.asarray(foot - out * stand_off_m / max(abs(float(out @ normal)), 0.1))
