"""Routes and sizes of an earlier plan carried over to a later project: what of them still holds, run by run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ribway.router.circuits.runs import Run
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.space.network import Network
from ribway.router.space.types import NOWHERE

SAME_M = 1e-9


@dataclass(frozen=True)
class Carried:
    """What a later project begins with.

    Args:
        paths: of its routed runs; None where a run is to be led anew.
        loose: numbers of those runs among the routed.
        index: earlier sizes of the runs of circuits that are asked the same.
    """

    paths: tuple[Path | None, ...]
    loose: tuple[int, ...]
    index: Mapping[str, int]


def carried(old: Planning, state: State, new: Planning) -> Carried:
    """What of a finished state a later project can begin with.

    A run keeps its route if it is asked the same, both its devices stand where they stood, and every stretch of the
    route is there and as long as it was. Sizes begin where they were, or for a circuit that is asked
    otherwise (more current, another order) from thin; they grow where it takes that, and are tried lower.

    Args:
        old: the earlier planning.
        state: its finished state.
        new: the later planning.
    """
    network = _Numbers(old.network, new.network)
    path_of = dict(zip((run.id for run in old.routed), state.paths, strict=True))
    paths: list[Path | None] = []
    for run in new.routed:
        before = old.by_id.get(run.id)
        same_way = before is not None and _asked(before) == _asked(run)
        paths.append(network.carry(path_of.get(run.id)) if same_way else None)
    other = {run.circuit for run in new.runs if old.by_id.get(run.id) != run}
    index = {
        run.id: state.index[run.id]
        for run in new.runs
        if run.circuit not in other and old.cables[run.id] == new.cables[run.id]
    }
    loose = tuple(number for number, path in enumerate(paths) if path is None)
    return Carried(tuple(paths), loose, index)


def _asked(run: Run) -> tuple[object, ...]:
    """All that the search is told of a run, beside its cable."""
    return run.a, run.b, run.kind, run.via, run.avoid, run.by_hand, run.functions, run.taped_m, run.board


class _Numbers:
    """Nodes and edges of an earlier network as a later one counts them."""

    def __init__(self, old: Network, new: Network) -> None:
        self._old, self._new = old, new
        number = {way.name: index for index, way in enumerate(new.space.ways)}
        self._way = [number.get(way.name, NOWHERE) for way in old.space.ways]
        before = {portal.device: portal for portal in old.space.portals}
        self._standing: dict[str, int] = {}
        for index, portal in enumerate(new.space.portals):
            earlier = before.get(portal.device)
            if earlier is not None and (
                earlier is portal
                or (
                    np.array_equal(earlier.point, portal.point)
                    and np.array_equal(earlier.stub, portal.stub)
                    and np.array_equal(earlier.mouth.flat, portal.mouth.flat)
                )
            ):
                self._standing[portal.device] = index

    def carry(self, path: Path | None) -> Path | None:
        """A path by the later network's edges; None if one of them is not there or not as long as it was."""
        if path is None:
            return None
        edges = [self._edge(edge) for edge in path.edges]
        return None if NOWHERE in edges else Path(tuple(edges), path.cost)

    def _edge(self, edge: int) -> int:
        old, new = self._old, self._new
        source, target = self._node(int(old.source[edge])), self._node(int(old.target[edge]))
        if NOWHERE in (source, target):
            return NOWHERE
        first = int(new.indptr[source])
        for found in range(first, int(new.indptr[source + 1])):
            same = int(new.target[found]) == target and self._bay(old, edge) == self._bay(new, found)
            if same and abs(float(new.length[found] - old.length[edge])) <= SAME_M:
                return found
        return NOWHERE

    @staticmethod
    def _bay(network: Network, edge: int) -> str:
        bay = int(network.bay[edge])
        return "" if bay == NOWHERE else network.space.bays[bay].name

    def _node(self, node: int) -> int:
        """A node as the later network counts it; ``NOWHERE`` if it is gone or stands elsewhere."""
        old, new = self._old, self._new
        if node < 2 * old.ways:
            way = self._way[node // 2]
            return NOWHERE if way == NOWHERE else 2 * way + node % 2
        portal = node - 2 * old.ways
        reaching = portal >= len(old.space.portals)
        device = old.space.portals[portal - len(old.space.portals) if reaching else portal].device
        index = self._standing.get(device, NOWHERE)
        if index == NOWHERE:
            return NOWHERE
        return new.reaching(index) if reaching else new.leaving(index)
