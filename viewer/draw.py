"""Puts a scene into a pyvista plotter. pyvista is loaded inside functions only."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ribway.viewer import palette
from ribway.viewer.bands import colours_of_faces
from ribway.viewer.camera import Camera
from ribway.viewer.shapes import PartShape, Scene, Tube
from ribway.viewer.sweep import hoop, joined, ribbon, tube

if TYPE_CHECKING:
    import pyvista as pv

Points = NDArray[np.float64]
Faces = NDArray[np.int32]

SIDES = 10
PAINT = "paint"
MARK_M = 0.022
RING_M = 0.0022
RING_USED_M = 0.0036


def surface_of(vertices: Points, faces: Faces) -> pv.PolyData:
    """Triangles as pyvista holds them.

    Args:
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices.

    Returns:
        The surface.
    """
    import pyvista as pv

    return pv.PolyData(vertices, np.insert(faces, 0, 3, axis=1).astype(np.int64).ravel())


def tube_mesh(one: Tube, thicker: float = 1.0) -> tuple[Points, Faces]:
    """A run's surface, round or flat.

    Args:
        one: the run.
        thicker: how many times thicker than it is laid out.

    Returns:
        ``(n, 3)`` vertices [m] and ``(m, 3)`` triangles.
    """
    if one.half_thick_m > 0.0:
        return ribbon(one.points, one.thin, one.radius_m * thicker, one.half_thick_m * thicker, SIDES)
    return tube(one.points, one.radius_m * thicker, SIDES)


def cables_surface(tubes: Sequence[Tube], thicker: float = 1.0) -> pv.PolyData:
    """Cables as one surface that knows its colours.

    Args:
        tubes: the runs, at least one.
        thicker: how many times thicker than they are laid out.

    Returns:
        The surface, with red, green and blue of each triangle.
    """
    meshes = [tube_mesh(one, thicker) for one in tubes]
    surface = surface_of(*joined(meshes))
    painted = [colours_of_faces(one, len(faces), SIDES) for one, (_, faces) in zip(tubes, meshes, strict=True)]
    surface.cell_data[PAINT] = np.concatenate(painted)
    return surface


def by_loom(tubes: Iterable[Tube]) -> Mapping[str, tuple[Tube, ...]]:
    """The runs of each loom.

    Args:
        tubes: runs of any looms.

    Returns:
        Runs by loom id, in the order in which the looms come.
    """
    looms: dict[str, list[Tube]] = defaultdict(list)
    for one in tubes:
        looms[one.loom].append(one)
    return {loom: tuple(runs) for loom, runs in looms.items()}


def add_shell(plotter: pv.Plotter, parts: Iterable[PartShape]) -> Mapping[str, tuple[pv.Actor, ...]]:
    """Adds the metal: solid parts first, then the ones seen through, each with their creases.

    Args:
        plotter: where to.
        parts: the shell's parts.

    Returns:
        What was added, by wall.
    """
    import pyvista as pv

    alike: dict[tuple[float, str, str], list[PartShape]] = defaultdict(list)
    for part in parts:
        alike[part.opacity, part.colour, part.wall].append(part)
    added: dict[str, list[pv.Actor]] = defaultdict(list)
    for (opacity, colour, wall), same in sorted(alike.items(), key=lambda item: -item[0][0]):
        surface = surface_of(*joined([(part.vertices, part.faces) for part in same]))
        metal = plotter.add_mesh(
            surface, color=colour, opacity=opacity, ambient=0.45, diffuse=0.6, specular=0.0, pickable=False,
            show_scalar_bar=False,
        )  # fmt: skip
        added[wall].append(metal)
        edges = np.concatenate([part.edges for part in same])
        if len(edges):
            lines = pv.line_segments_from_points(edges.reshape(-1, 3))
            drawn = plotter.add_mesh(
                lines, color=palette.EDGE, line_width=1.2, opacity=0.35 if opacity < 0.1 else 0.8, lighting=False,
                pickable=False,
            )  # fmt: skip
            added[wall].append(drawn)
    return {wall: tuple(actors) for wall, actors in added.items()}


def add_cables(plotter: pv.Plotter, surface: pv.PolyData, name: str | None = None) -> pv.Actor:
    """Adds cables in their colours.

    Args:
        plotter: where to.
        surface: of one run or of several, from ``cables_surface``.
        name: of the actor; an older one of this name goes.

    Returns:
        The actor.
    """
    return plotter.add_mesh(
        surface, scalars=PAINT, rgb=True, ambient=0.55, diffuse=0.5, specular=0.05, show_scalar_bar=False,
        name=name, reset_camera=False, render=False,
    )  # fmt: skip


def add_marks(plotter: pv.Plotter, scene: Scene, balls_too: bool) -> Mapping[str, tuple[pv.Actor, ...]]:
    """Adds devices, rims of openings and keep-outs.

    Args:
        plotter: where to.
        scene: what is shown.
        balls_too: whether devices get a ball; a picture draws its dots later, over everything.

    Returns:
        The rims and keep-outs, by wall.
    """
    import pyvista as pv

    if scene.markers and balls_too:
        ball = pv.Sphere(radius=MARK_M, theta_resolution=16, phi_resolution=12)
        faces = np.asarray(ball.regular_faces, dtype=np.int32)
        balls = joined([(np.asarray(ball.points, dtype=np.float64) + mark.point, faces) for mark in scene.markers])
        plotter.add_mesh(surface_of(*balls), color=palette.DEVICE, ambient=0.5, diffuse=0.5, pickable=False)
    added: dict[str, list[pv.Actor]] = defaultdict(list)
    rings: dict[tuple[str, str], list[tuple[Points, Faces]]] = defaultdict(list)
    for ring in scene.rings:
        rings[ring.wall, ring.colour].append(hoop(ring.points, RING_USED_M if ring.runs else RING_M))
    for (wall, colour), meshes in rings.items():
        added[wall].append(plotter.add_mesh(surface_of(*joined(meshes)), color=colour, lighting=False, pickable=False))
    for patch in scene.patches:
        corners = len(patch.outline)
        if corners < 3:
            continue
        face = pv.PolyData(patch.outline, faces=np.concatenate([[corners], np.arange(corners)])).triangulate()
        tint = plotter.add_mesh(face, color=palette.KEEP_OUT, opacity=0.18, lighting=False, pickable=False)
        rim = pv.lines_from_points(np.concatenate([patch.outline, patch.outline[:1]]))
        line = plotter.add_mesh(rim, color=palette.KEEP_OUT, line_width=2.0, lighting=False, pickable=False)
        added[patch.wall] += [tint, line]
    return {wall: tuple(actors) for wall, actors in added.items()}


def add_scene(plotter: pv.Plotter, scene: Scene, balls_too: bool = True) -> Mapping[str, tuple[pv.Actor, ...]]:
    """Adds everything but the cables.

    Args:
        plotter: where to.
        scene: what is shown.
        balls_too: whether devices get a ball.

    Returns:
        Metal, rims of openings and keep-outs, by wall.
    """
    import pyvista as pv

    plotter.background_color = pv.Color(palette.GROUND)
    marks, metal = add_marks(plotter, scene, balls_too), add_shell(plotter, scene.parts)
    return {wall: (*metal.get(wall, ()), *marks.get(wall, ())) for wall in {**metal, **marks}}


def aim(plotter: pv.Plotter, camera: Camera) -> None:
    """Points a plotter's camera.

    Args:
        plotter: the plotter.
        camera: from where and how wide.
    """
    plotter.camera.position = tuple(camera.place)
    plotter.camera.focal_point = tuple(camera.target)
    plotter.camera.up = tuple(camera.up)
    plotter.camera.parallel_projection = camera.half_height_m > 0.0
    if camera.half_height_m > 0.0:
        plotter.camera.parallel_scale = camera.half_height_m
    else:
        plotter.camera.view_angle = camera.angle_deg
    plotter.reset_camera_clipping_range()


def rendered(scene: Scene, camera: Camera, size: tuple[int, int]) -> NDArray[np.uint8]:
    """Draws a scene off screen.

    Args:
        scene: what is shown.
        camera: from where and how wide.
        size: width and height in pixels.

    Returns:
        ``(height, width, 3)`` the picture.
    """
    import pyvista as pv

    plotter = pv.Plotter(off_screen=True, window_size=list(size))
    try:
        # Multisampling drops see-through surfaces when layers are peeled, so it goes before anything is drawn.
        plotter.disable_anti_aliasing()
        plotter.enable_anti_aliasing(aa_type="ssaa")
        for runs in by_loom(scene.tubes).values():
            add_cables(plotter, cables_surface(runs))
        add_scene(plotter, scene, balls_too=False)
        aim(plotter, camera)
        plotter.render()
        image = plotter.screenshot(return_img=True)
    finally:
        plotter.close()
    return np.ascontiguousarray(np.asarray(image, dtype=np.uint8)[..., :3])
