"""Puts a scene into a pyvista plotter. One of the two files that touch pyvista, loaded inside functions only."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ribway.viewer import palette
from ribway.viewer.camera import Camera
from ribway.viewer.shapes import Marker, PartShape, Scene, Tube
from ribway.viewer.sweep import joined, ribbon, tube

if TYPE_CHECKING:
    import pyvista as pv

Points = NDArray[np.float64]
Faces = NDArray[np.int32]

SIDES = 10
MARK_M = 0.022
RING_M = 0.0022
RING_USED_M = 0.0036
RUN_OF_FACE = "run"
CHOSEN = "#111417"
CHOSEN_THICKER = 1.4
TO_FRONT = -66000.0


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


def loom_mesh(tubes: Iterable[Tube]) -> pv.PolyData:
    """The runs of a loom as one surface; each face knows its run's number.

    Args:
        tubes: the loom's runs.

    Returns:
        The surface, with the cell array ``run``: the place of each face's run among ``tubes``.
    """
    meshes = [tube_mesh(one) for one in tubes]
    surface = surface_of(*joined(meshes))
    surface.cell_data[RUN_OF_FACE] = np.repeat(np.arange(len(meshes)), [len(faces) for _, faces in meshes])
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


def add_shell(plotter: pv.Plotter, parts: Iterable[PartShape]) -> None:
    """Adds the metal: solid parts first, then the ones seen through, then their creases.

    Args:
        plotter: where to.
        parts: the shell's parts.
    """
    import pyvista as pv

    alike: dict[tuple[float, str], list[PartShape]] = defaultdict(list)
    for part in parts:
        alike[part.opacity, part.colour].append(part)
    for (opacity, colour), same in sorted(alike.items(), key=lambda item: -item[0][0]):
        surface = surface_of(*joined([(part.vertices, part.faces) for part in same]))
        plotter.add_mesh(
            surface, color=colour, opacity=opacity, ambient=0.45, diffuse=0.6, specular=0.0, pickable=False,
            show_scalar_bar=False,
        )  # fmt: skip
        edges = np.concatenate([part.edges for part in same])
        if len(edges):
            lines = pv.line_segments_from_points(edges.reshape(-1, 3))
            plotter.add_mesh(
                lines, color=palette.EDGE, line_width=1.2, opacity=0.35 if opacity < 0.1 else 0.8, lighting=False,
                pickable=False,
            )  # fmt: skip


def add_loom(plotter: pv.Plotter, tubes: tuple[Tube, ...]) -> tuple[pv.Actor, pv.PolyData]:
    """Adds the runs of one loom.

    Args:
        plotter: where to.
        tubes: the loom's runs, at least one.

    Returns:
        The actor and its surface.
    """
    surface = loom_mesh(tubes)
    actor = plotter.add_mesh(
        surface, color=tubes[0].colour, ambient=0.55, diffuse=0.5, specular=0.05, scalars=None, show_scalar_bar=False
    )
    return actor, surface


def add_marks(plotter: pv.Plotter, scene: Scene, balls_too: bool) -> None:
    """Adds devices, rims of openings and keep-outs.

    Args:
        plotter: where to.
        scene: what is shown.
        balls_too: whether devices get a ball; a picture draws its dots later, over everything.
    """
    import pyvista as pv

    if scene.markers and balls_too:
        ball = pv.Sphere(radius=MARK_M, theta_resolution=16, phi_resolution=12)
        faces = np.asarray(ball.regular_faces, dtype=np.int32)
        balls = joined([(np.asarray(ball.points, dtype=np.float64) + mark.point, faces) for mark in scene.markers])
        plotter.add_mesh(surface_of(*balls), color=palette.DEVICE, ambient=0.5, diffuse=0.5, pickable=False)
    rings: dict[str, list[tuple[Points, Faces]]] = defaultdict(list)
    for ring in scene.rings:
        closed = np.concatenate([ring.points, ring.points[:2]])
        rings[ring.colour].append(tube(closed, RING_USED_M if ring.runs else RING_M, 6))
    for colour, meshes in rings.items():
        plotter.add_mesh(surface_of(*joined(meshes)), color=colour, lighting=False, pickable=False)
    for patch in scene.patches:
        corners = len(patch.outline)
        if corners < 3:
            continue
        face = pv.PolyData(patch.outline, faces=np.concatenate([[corners], np.arange(corners)])).triangulate()
        plotter.add_mesh(face, color=palette.KEEP_OUT, opacity=0.18, lighting=False, pickable=False)
        rim = pv.lines_from_points(np.concatenate([patch.outline, patch.outline[:1]]))
        plotter.add_mesh(rim, color=palette.KEEP_OUT, line_width=2.0, lighting=False, pickable=False)


def add_scene(
    plotter: pv.Plotter, scene: Scene, balls_too: bool = True
) -> Mapping[str, tuple[pv.Actor, pv.PolyData, tuple[Tube, ...]]]:
    """Adds everything.

    Args:
        plotter: where to.
        scene: what is shown.
        balls_too: whether devices get a ball.

    Returns:
        For each loom its actor, its surface and its runs.
    """
    import pyvista as pv

    plotter.background_color = pv.Color(palette.GROUND)
    looms = {loom: (*add_loom(plotter, runs), runs) for loom, runs in by_loom(scene.tubes).items()}
    add_marks(plotter, scene, balls_too)
    add_shell(plotter, scene.parts)
    return looms


def add_chosen(plotter: pv.Plotter, chosen: Tube, name: str) -> None:
    """Adds a run once more, black and thicker, before everything else.

    Args:
        plotter: where to.
        chosen: the run.
        name: of the actor; an older one of this name goes.
    """
    surface = surface_of(*tube_mesh(chosen, CHOSEN_THICKER))
    actor = plotter.add_mesh(surface, color=CHOSEN, name=name, pickable=False, reset_camera=False, render=False)
    # Its depth is moved right to the front, so that neighbours and ribs do not hide what was asked for.
    actor.mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor.mapper.SetRelativeCoincidentTopologyPolygonOffsetParameters(0.0, TO_FRONT)


def name_devices(plotter: pv.Plotter, markers: Sequence[Marker], name: str, size_px: int) -> None:
    """Writes the names of devices beside them, instead of those written before.

    Args:
        plotter: where to.
        markers: the devices.
        name: of the actor.
        size_px: size of the type.
    """
    plotter.renderer.remove_actor(f"{name}-labels", render=False)
    if not markers:
        return
    plotter.add_point_labels(
        np.stack([mark.point for mark in markers]),
        [mark.label for mark in markers],
        name=name,
        font_size=size_px,
        text_color=palette.INK,
        shape_color=palette.GROUND,
        shape_opacity=0.75,
        show_points=False,
        always_visible=True,
        pickable=False,
        reset_camera=False,
        render=False,
    )


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
        add_scene(plotter, scene, balls_too=False)
        aim(plotter, camera)
        plotter.render()
        image = plotter.screenshot(return_img=True)
    finally:
        plotter.close()
    return np.ascontiguousarray(np.asarray(image, dtype=np.uint8)[..., :3])
