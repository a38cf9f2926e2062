"""Upper bounds on surface distances: shortest paths over points set on the edges of a mesh.

Every such path runs on the surface, so that its length is never below the true distance. With 8 points an edge it was
measured within half a per cent on flat-sided rooms.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

from ribway.router.geometry.surfaces import Floats, Ints, Surface, SurfacePoint, faces_at, position


@dataclass(frozen=True, eq=False)
class EdgePaths:
    """Shortest paths from one point over the points on edges. Nodes: vertices, points on edges, source, targets."""

    nodes: Floats  # (n, 3) [m]
    distance: Floats  # (n,) from the source [m], infinite on another part
    before: Ints  # (n,) the node before on the path, negative at the source
    vertex_count: int
    first_target: int

    def path_to(self, target: int) -> Floats:
        """Points of the path to a target, source first, `(k, 3)` [m]."""
        node = self.first_target + target
        path = [node]
        while self.before[node] >= 0:
            node = int(self.before[node])
            path.append(node)
        return self.nodes[path[::-1]]


def points_per_edge(face_count: int) -> int:
    """Points set on each edge: 8, fewer on a large mesh, where they only serve to prune an exact search."""
    return 8 if face_count <= 1000 else 4 if face_count <= 6000 else 2


def edge_paths(surface: Surface, source: SurfacePoint, targets: list[SurfacePoint], per_edge: int) -> EdgePaths:
    """Shortest paths over points on edges, from one point to every vertex and to some targets.

    Args:
        surface: the surface.
        source: where the paths begin.
        targets: where they may end.
        per_edge: points on each edge, evenly set.

    Returns:
        The paths.
    """
    halves = np.arange(len(surface.start))
    owner = halves[(surface.twin < 0) | (halves < surface.twin)]
    vertex_count = len(surface.vertices)
    edge_of = np.full(len(halves), -1)
    edge_of[owner] = np.arange(len(owner))
    shared = surface.twin[owner] >= 0
    edge_of[surface.twin[owner][shared]] = np.arange(len(owner))[shared]
    share = np.arange(1, per_edge + 1) / (per_edge + 1)
    ends = surface.vertices[surface.start[owner]], surface.vertices[surface.end[owner]]
    on_edges = ends[0][:, None, :] + share[None, :, None] * (ends[1] - ends[0])[:, None, :]
    extra = np.array([position(surface, point) for point in [source, *targets]])
    nodes = np.concatenate((surface.vertices, on_edges.reshape(-1, 3), extra))
    first_extra = len(nodes) - len(extra)

    of_half = vertex_count + edge_of[:, None] * per_edge + np.arange(per_edge)[None, :]
    by_face = of_half.reshape(-1, 3, per_edge)
    pairs = [
        np.stack(np.broadcast_arrays(by_face[:, i, :, None], by_face[:, j, None, :]), axis=-1).reshape(-1, 2)
        for i, j in ((0, 1), (1, 2), (2, 0))
    ]
    pairs.append(np.stack(np.broadcast_arrays(surface.apex[:, None], of_half), axis=-1).reshape(-1, 2))
    chain = np.concatenate((surface.start[owner, None], of_half[owner], surface.end[owner, None]), axis=1)
    pairs.append(np.stack((chain[:, :-1], chain[:, 1:]), axis=-1).reshape(-1, 2))
    for offset, point in enumerate([source, *targets]):
        for face in faces_at(surface, point):
            near = np.concatenate((surface.faces[face], by_face[face].ravel()))
            pairs.append(np.stack((np.full(len(near), first_extra + offset), near), axis=1))
    source_faces = set(faces_at(surface, source))
    direct = [at for at, point in enumerate(targets) if source_faces & set(faces_at(surface, point))]
    pairs.append(np.array([(first_extra, first_extra + 1 + at) for at in direct], dtype=np.int64).reshape(-1, 2))
    links = np.concatenate(pairs)
    # A node that coincides with another would make a link of no length, which a sparse graph cannot hold.
    weight = np.maximum(np.linalg.norm(nodes[links[:, 0]] - nodes[links[:, 1]], axis=1), 1e-14 * surface.size_m)
    links, first = np.unique(np.sort(links, axis=1), axis=0, return_index=True)
    graph = csr_matrix((weight[first], (links[:, 0], links[:, 1])), shape=(len(nodes), len(nodes)))
    distance, before = dijkstra(graph, directed=False, indices=np.array([first_extra]), return_predecessors=True)
    return EdgePaths(nodes, distance[0], before[0].astype(np.int64), vertex_count, first_extra + 1)
