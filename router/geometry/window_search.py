"""Shortest distances on a polyhedral surface by passing windows on, level by level, until none can be shorter."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ribway.router.geometry.surfaces import Flags, Floats, Ints, Surface, SurfacePoint, faces_at, position, vertex_at
from ribway.router.geometry.windows import (
    Windows,
    apex_distances,
    children,
    distances_to,
    first_windows,
    joined,
    no_windows,
    not_beaten,
)

_REL_TOL = 1e-10
Reached = tuple[float, int, int, int]  # distance of a vertex where paths may turn, vertex, window, root before


@dataclass(frozen=True)
class Root:
    """The source, or a vertex a path turns at."""

    at: tuple[float, float, float]  # [m]
    distance: float  # from the source [m]
    window: int  # window it was reached through, -1 along an edge or none
    before: int  # root before it, -1 for the source
    faces: frozenset[int]  # faces it lies on


@dataclass(frozen=True)
class Arrival:
    """The best way found to a target."""

    distance: float  # [m], infinite when none was found
    window: int  # last window, -1 straight from the root
    root: int


@dataclass(frozen=True, eq=False)
class Search:
    """What a search found."""

    arrivals: tuple[Arrival, ...]
    frontier: tuple[float, ...]  # per target: no path left open is shorter [m]; infinite when none is left open
    windows: Windows
    roots: tuple[Root, ...]


@dataclass(eq=False)
class _State:
    """What changes during a search."""

    surface: Surface
    bound: Floats  # (v,) length of some path to each vertex
    emitted: Floats  # (v,) distance at which a vertex last became a root
    best_apex: Floats  # (h,) least distance of the apex seen through each half edge
    best_cut: Floats  # (h,) and where that line crosses
    roots: list[Root]
    tol: float

    def turned(self, found: list[Reached]) -> tuple[Windows, list[Reached]]:
        """Make roots of vertices reached. Returns their windows, and the vertices reached straight from them."""
        made: list[Windows] = [no_windows()]
        more: list[Reached] = []
        for distance, vertex, window, before in sorted(found):
            if distance > self.bound[vertex] + self.tol or distance >= self.emitted[vertex] - self.tol:
                continue
            self.emitted[vertex] = distance
            at, seen = self.surface.vertices[vertex], self.surface.opposite[vertex]
            x, y, z = at.tolist()
            number = len(self.roots)
            self.roots.append(Root((x, y, z), distance, window, before, frozenset((seen // 3).tolist())))
            made.append(first_windows(self.surface, at, seen, number, distance))
            more += self.reached(at, np.unique(self.surface.faces[seen // 3]), number, distance)
        return joined(made), more

    def reached(self, at: Floats, vertices: Ints, number: int, distance: float) -> list[Reached]:
        """Vertices of the root's own faces, straight from it: bounds taken down, those where paths may turn listed."""
        found = []
        for vertex in vertices.tolist():
            there = distance + float(np.linalg.norm(self.surface.vertices[vertex] - at))
            self.bound[vertex] = min(self.bound[vertex], there)
            if self.surface.bends[vertex]:
                found.append((there, vertex, -1, number))
        return found


@dataclass(frozen=True, eq=False)
class _Goal:
    """A target, its place in the frames of its faces, and its height over every edge's line in space."""

    faces: frozenset[int]
    at: Floats  # (3,) [m]
    places: tuple[tuple[int, float, float], ...]  # half edge, x, y
    x: Floats  # (h,)
    y: Floats  # (h,)


def _goal(surface: Surface, point: SurfacePoint) -> _Goal:
    at = position(surface, point)
    reach = at[None, :] - surface.vertices[surface.start]
    x = (reach * surface.along).sum(axis=1)
    y = np.linalg.norm(reach - x[:, None] * surface.along, axis=1)
    faces = faces_at(surface, point)
    halves = [3 * face + corner for face in faces for corner in range(3)]
    return _Goal(frozenset(faces), at, tuple((half, float(x[half]), float(y[half])) for half in halves), x, y)


def searched(
    surface: Surface, source: SurfacePoint, targets: list[SurfacePoint], bound: Floats, upper: Floats, most_windows: int
) -> Search:
    """Pass windows on from the source until none is left that could shorten the way to a target.

    Args:
        surface: the surface.
        source: where the paths begin.
        targets: where they end.
        bound: (v,) length of some path to each vertex [m], infinite when unknown.
        upper: (t,) length of some path to each target [m].
        most_windows: stop after this many windows.

    Returns:
        The search. When `frontier` is infinite for a target, its arrival is a shortest path.
    """
    tol = _REL_TOL * surface.size_m
    goals = [_goal(surface, target) for target in targets]
    arrivals = [Arrival(np.inf, -1, 0)] * len(goals)
    state, level, pending = _begun(surface, source, bound, tol)
    done: list[Windows] = [no_windows()]
    total = rooted = 0
    while True:
        fresh, pending = state.turned(pending)
        for number in range(rooted, len(state.roots)):
            arrivals = [_beside(state.roots[number], number, *pair) for pair in zip(goals, arrivals, strict=True)]
        rooted = len(state.roots)
        level = joined([level, fresh])
        upper = np.minimum(upper, [arrival.distance for arrival in arrivals])
        level = level.taken(not_beaten(surface, level, state.bound, tol))
        level = level.taken(_may_shorten(level, goals, upper, tol))
        finished = not len(level) and not pending
        if finished or total + len(level) > most_windows:
            frontier = [np.inf if finished else _frontier(surface, level, pending, goal) for goal in goals]
            break
        numbers = total + np.arange(len(level))
        total += len(level)
        done.append(level)
        arrivals = [_arrived(level, numbers, *pair) for pair in zip(goals, arrivals, strict=True)]
        level, found = _passed(state, level, numbers)
        pending += found
    return Search(tuple(arrivals), tuple(frontier), joined(done), tuple(state.roots))


def _begun(surface: Surface, source: SurfacePoint, bound: Floats, tol: float) -> tuple[_State, Windows, list[Reached]]:
    """State, first windows and first vertices reached, from the source."""
    at, own, here = position(surface, source), faces_at(surface, source), vertex_at(surface, source)
    x, y, z = at.tolist()
    vertices, count = len(surface.vertices), len(surface.start)
    root = Root((x, y, z), 0.0, -1, -1, frozenset(own))
    far = np.full(vertices, np.inf)
    state = _State(surface, bound.copy(), far, np.full(count, np.inf), np.zeros(count), [root], tol)
    halves = (3 * np.array(own)[:, None] + np.arange(3)).ravel()
    if here >= 0:
        state.bound[here] = state.emitted[here] = 0.0
        halves = surface.opposite[here]
    else:
        height = ((at - surface.vertices[surface.start[halves]]) * surface.inward[halves]).sum(axis=1)
        halves = halves[height > 1e-9 * surface.length[halves]]
    first = first_windows(surface, at, halves, 0, 0.0)
    return state, first, state.reached(at, np.unique(surface.faces[own]), 0, 0.0)


def _beside(root: Root, number: int, goal: _Goal, best: Arrival) -> Arrival:
    """The best way to a target when it may lie on a face of a root."""
    if not goal.faces & root.faces:
        return best
    there = root.distance + float(np.linalg.norm(goal.at - np.array(root.at)))
    return Arrival(there, -1, number) if there < best.distance else best


def _frontier(surface: Surface, level: Windows, pending: list[Reached], goal: _Goal) -> float:
    """Lower bound on every path that still goes through an open window or a vertex not yet turned at [m]."""
    bounds = [distance + float(np.linalg.norm(surface.vertices[at] - goal.at)) for distance, at, _, _ in pending]
    return min([float(_least(level, goal).min(initial=np.inf)), *bounds])


def _least(level: Windows, goal: _Goal) -> Floats:
    """Lower bound on any path through each window to a target: on from the edge as the crow flies."""
    least: Floats = distances_to(level, goal.x[level.half], goal.y[level.half])[0]
    return least


def _may_shorten(level: Windows, goals: list[_Goal], upper: Floats, tol: float) -> Flags:
    """Whether a window could still shorten the way to any target."""
    keep = np.zeros(len(level), dtype=bool)
    for goal, known in zip(goals, upper.tolist(), strict=True):
        keep |= _least(level, goal) <= known + tol
    return keep


def _arrived(level: Windows, numbers: Ints, goal: _Goal, best: Arrival) -> Arrival:
    """The best way to a target among the windows that go on into one of its faces."""
    for half, x, y in goal.places:
        rows = np.flatnonzero(level.half == half)
        if not len(rows):
            continue
        there = distances_to(level.taken(rows), np.full(len(rows), x), np.full(len(rows), y))[0]
        nearest = int(np.argmin(there))
        if there[nearest] < best.distance:
            row = rows[nearest]
            best = Arrival(float(there[nearest]), int(numbers[row]), int(level.root[row]))
    return best


def _passed(state: _State, level: Windows, numbers: Ints) -> tuple[Windows, list[Reached]]:
    """Bounds at the apexes taken down, vertices where paths may turn listed, and the windows of the next level."""
    surface, half = state.surface, level.half
    distance, cut, seen = apex_distances(surface, level)
    apex = surface.apex[half]
    np.minimum.at(state.bound, apex, distance)
    turning = np.flatnonzero(seen & surface.bends[apex] & (distance <= state.bound[apex] + state.tol))
    found = [
        (float(distance[row]), int(apex[row]), int(numbers[row]), int(level.root[row])) for row in turning.tolist()
    ]
    # One angle, one split: only the window nearest to the apex passes on to both sides of it. Of another, whose line to
    # the apex crosses the edge left of the nearest one's, no line to the right of the apex can be a shortest path.
    visible = np.flatnonzero(seen)
    order = visible[np.lexsort((distance[visible], half[visible]))]
    first = order[np.concatenate(([True], half[order][1:] != half[order][:-1]))] if len(order) else order
    better = first[distance[first] < state.best_apex[half[first]]]
    state.best_apex[half[better]] = distance[better]
    state.best_cut[half[better]] = cut[better]
    worse = seen & (distance > state.best_apex[half] + state.tol)
    left = ~(worse & (cut > state.best_cut[half]))
    right = ~(worse & (cut < state.best_cut[half]))
    return children(surface, level, numbers, cut, left, right), found
