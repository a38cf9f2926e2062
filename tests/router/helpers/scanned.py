"""A scan of a preset van: rays from its middle line outwards, noise, dropouts, and a scanner that was not held straight."""

from __future__ import annotations

from functools import cache

import numpy as np
import pyvista as pv
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation
from vtkmodules.vtkCommonCore import mutable
from vtkmodules.vtkCommonDataModel import vtkStaticCellLocator

from ribway.router.shell.build import build
from ribway.router.shell.parts import Mesh
from ribway.router.shell.presets import preset

Array = NDArray[np.float64]
EYE_M = 0.9
FAR_M = 3.0


@cache
def clean_scan(name: str, columns: int, around: int) -> Mesh:
    """What rays in planes square to the van see of walls, roof, floor, arches and ribs, and rays forward of the bulkhead.

    Args:
        name: of the preset; its doors stand open.
        columns, around: rays along the van and round it.
    """
    shell = build(preset(name))
    solid = [*shell.skins, *shell.members, *shell.obstacles]
    metal = pv.merge([pv.PolyData.from_regular_faces(one.mesh.vertices, one.mesh.faces) for one in solid])
    locator = vtkStaticCellLocator()
    locator.SetDataSet(metal)
    locator.BuildLocator()
    length = shell.length_m
    x = -np.linspace(0.004, length - 0.004, columns)
    angle = np.linspace(0.0, 2 * np.pi, around, endpoint=False)
    start = np.stack(np.broadcast_arrays(x[:, None], 0.0, EYE_M + 0 * angle), axis=-1).reshape(-1, 3)
    out = np.stack(np.broadcast_arrays(0.0 * x[:, None], np.cos(angle), np.sin(angle)), axis=-1).reshape(-1, 3)
    sides = _grid_mesh(_hits(locator, start, out), columns, around, closed=True)
    y, z = np.linspace(-0.8, 0.8, around // 3), np.linspace(0.1, 1.75, around // 3)
    start = np.stack([v.reshape(-1) for v in np.meshgrid([-1.0], y, z, indexing="ij")], axis=1)
    front = _grid_mesh(_hits(locator, start, np.tile([1.0, 0, 0], (len(start), 1))), len(y), len(z), closed=False)
    return Mesh(
        np.concatenate([sides.vertices, front.vertices]),
        np.concatenate([sides.faces, front.faces + len(sides.vertices)]).astype(np.int32),
    )


def _hits(locator: vtkStaticCellLocator, starts: Array, out: Array) -> Array:
    found = np.full(starts.shape, np.nan)
    t, at, par, sub = mutable(0.0), [0.0] * 3, [0.0] * 3, mutable(0)
    for k, (a, b) in enumerate(zip(starts.tolist(), (starts + FAR_M * out).tolist(), strict=True)):
        if locator.IntersectWithLine(a, b, 1e-6, t, at, par, sub):
            found[k] = at
    return found


def _grid_mesh(points: Array, rows: int, columns: int, closed: bool) -> Mesh:
    index = np.arange(rows * columns).reshape(rows, columns)
    right = np.roll(index, -1, axis=1)
    a, b, c, d = index[:-1], right[:-1], right[1:], index[1:]
    if not closed:
        a, b, c, d = (part[:, :-1] for part in (a, b, c, d))
    faces = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    good = np.isfinite(points).all(axis=1)
    corners = points[faces]
    span = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    faces = faces[good[faces].all(axis=1) & (span < 0.15)]
    used, again = np.unique(faces, return_inverse=True)
    return Mesh(points[used], again.reshape(-1, 3).astype(np.int32))


def scan(name: str, seed: int, noise_m: float, columns: int = 500, around: int = 300) -> Mesh:
    """A scan with noise, 1 % of its faces missing, turned by up to 3 degrees about each axis, moved."""
    mesh = clean_scan(name, columns, around)
    rng = np.random.default_rng(seed)
    turn = Rotation.from_euler("xyz", rng.uniform(-3, 3, 3), degrees=True).as_matrix()
    noisy = mesh.vertices + rng.normal(0.0, noise_m, mesh.vertices.shape)
    return Mesh(noisy @ turn.T + rng.uniform(-2, 2, 3), mesh.faces[rng.random(len(mesh.faces)) > 0.01])
