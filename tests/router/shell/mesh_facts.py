"""Plain facts of a triangle mesh for tests; imports nothing of the shell's code."""

from __future__ import annotations

from collections import Counter, defaultdict

import numpy as np
from numpy.typing import NDArray


def directed_edges(faces: NDArray[np.int32]) -> Counter[tuple[int, int]]:
    """How often each directed edge occurs."""
    return Counter((int(f[i]), int(f[(i + 1) % 3])) for f in faces for i in range(3))


def is_closed(faces: NDArray[np.int32]) -> bool:
    """Is every directed edge there once, and its reverse once."""
    edges = directed_edges(faces)
    return all(n == 1 and edges[b, a] == 1 for (a, b), n in edges.items())


def is_sheet(faces: NDArray[np.int32]) -> bool:
    """Is every edge used by one face or by two that run along it in opposite directions, with no loose vertex."""
    return max(directed_edges(faces).values()) == 1 and len(np.unique(faces)) == faces.max() + 1


def euler(faces: NDArray[np.int32]) -> int:
    """Vertices - edges + faces: 1 for a disc, one less for each hole."""
    edges = {tuple(sorted(edge)) for edge in directed_edges(faces)}
    return len(np.unique(faces)) - len(edges) + len(faces)


def volume(vertices: NDArray[np.float64], faces: NDArray[np.int32]) -> float:
    """Volume by the divergence theorem."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def area_vectors(vertices: NDArray[np.float64], faces: NDArray[np.int32]) -> NDArray[np.float64]:
    """Area vectors of all faces."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    return np.cross(b - a, c - a) / 2


def unroll(vertices: NDArray[np.float64], faces: NDArray[np.int32]) -> dict[int, list[NDArray[np.float64]]]:
    """Lay one face after the other into the plane, each with true side lengths.

    Returns:
        All places each vertex got; a sheet that unrolls without stretch gives each vertex one place.
    """
    owner = {edge: i for i, f in enumerate(faces) for edge in ((f[0], f[1]), (f[1], f[2]), (f[2], f[0]))}
    places: dict[int, list[NDArray[np.float64]]] = defaultdict(list)

    def third(p: NDArray[np.float64], q: NDArray[np.float64], a: int, b: int, c: int) -> NDArray[np.float64]:
        ab, ac = vertices[b] - vertices[a], vertices[c] - vertices[a]
        long = np.linalg.norm(ab)
        along = ab @ ac / long
        up = np.sqrt(max(ac @ ac - along**2, 0.0))
        u = (q - p) / long
        return p + along * u + up * np.array([-u[1], u[0]])

    a, b, c = faces[0]
    p, q = np.zeros(2), np.array([np.linalg.norm(vertices[b] - vertices[a]), 0.0])
    flat = {0: {a: p, b: q, c: third(p, q, a, b, c)}}
    queue = [0]
    while queue:
        face = queue.pop()
        for vertex, place in flat[face].items():
            places[int(vertex)].append(place)
        f = faces[face]
        for a, b in ((f[0], f[1]), (f[1], f[2]), (f[2], f[0])):
            other = owner.get((b, a))
            if other is not None and other not in flat:
                c = next(v for v in faces[other] if v not in (a, b))
                p, q = flat[face][b], flat[face][a]
                flat[other] = {b: p, a: q, c: third(p, q, b, a, c)}
                queue.append(other)
    return places
