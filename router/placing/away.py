"""How far every place is from a device: one search through the network for all places at once."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.geometry.visibility_graph import visibility_graph
from ribway.router.paths.airs import barred_edges
from ribway.router.space.network import Network
from ribway.router.space.tables import BayTable
from ribway.router.space.types import NOWHERE, Portal

Array = NDArray[np.float64]


class Places:
    """Where cables of one device would meet the bays, were it at one place or another.

    Args:
        network: without regard to the device.
        portals: of the device, a place each.
    """

    def __init__(self, network: Network, portals: Sequence[Portal]) -> None:
        self._network = network
        self.portals = tuple(portals)
        self.by_bay: dict[int, NDArray[np.int64]] = {}
        bays = np.array([portal.mouth.bay for portal in portals], dtype=np.int64)
        for bay in np.unique(bays).tolist():
            if bay != NOWHERE:
                self.by_bay[bay] = np.flatnonzero(bays == bay)

    @cached_property
    def stubs_m(self) -> Array:
        """``(n,)`` metres of stub."""
        return np.array([portal.stub_m for portal in self.portals])

    @cached_property
    def in_bay(self) -> dict[int, Array]:
        """By bay, ``(spots, places)`` metres by the bay's lay rule, as the network counts them."""
        return {
            bay: bay_lengths(self._network.tables[bay], [self.portals[one] for one in inside])
            for bay, inside in self.by_bay.items()
        }


class Away:
    """Shortest lengths through a network, from devices to devices and to places where no device stands yet."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._way = np.where(network.target < 2 * network.ways, network.target // 2, -1)
        self._airs = tuple(table.skin.zone for table in network.tables)
        self._graph = csr_array(
            (network.length, network.target, network.indptr), shape=(network.nodes, network.nodes), copy=True
        )
        self._barred: dict[frozenset[str], Array] = {}
        self._known: dict[tuple[int, bytes, frozenset[str]], Array] = {}

    def to_devices(self, start: int, shut: Array, too_hot: AbstractSet[str] = frozenset()) -> Array:
        """``(p,)`` metres from a device's portal to every other one.

        Args:
            start: portal.
            shut: ``(w,)`` infinite for ways that may not be passed.
            too_hot: airs of bays and ways that may not be passed.
        """
        portals = len(self._network.space.portals)
        first = self._network.reaching(0)
        return self._reach(start, shut, too_hot)[first : first + portals]

    def to_places(self, start: int, shut: Array, places: Places, too_hot: AbstractSet[str] = frozenset()) -> Array:
        """``(n,)`` metres from a device's portal to places, stubs left out; infinite where there is no path.

        Args:
            start: portal.
            shut: ``(w,)`` infinite for ways that may not be passed.
            places: see `Places`.
            too_hot: airs of bays and ways that may not be passed.
        """
        reach, network = self._reach(start, shut, too_hot), self._network
        out = np.full(len(places.portals), np.inf)
        for bay, inside in places.by_bay.items():
            spots = network.spots[bay]
            if not spots or self._airs[bay] in too_hot:
                continue
            come = np.array(
                [
                    reach[2 * spot.way + 1 - spot.end] if spot.way >= 0 else (0.0 if spot.portal == start else np.inf)
                    for spot in spots
                ]
            )
            out[inside] = (come[:, None] + places.in_bay[bay]).min(axis=0)
        return out

    def _reach(self, start: int, shut: Array, too_hot: AbstractSet[str]) -> Array:
        airs, network = frozenset(too_hot), self._network
        key = start, shut.tobytes(), airs
        if key not in self._known:
            if airs not in self._barred:
                self._barred[airs] = barred_edges(network, airs)
            self._graph.data = network.length + np.append(shut, 0.0)[self._way] + self._barred[airs]
            self._known[key] = np.asarray(dijkstra(self._graph, indices=network.leaving(start)))  # type: ignore[call-overload]
        return self._known[key]


def bay_lengths(table: BayTable, portals: Sequence[Portal]) -> Array:
    """Shortest lengths from the spots of a bay to further places in it.

    As `ribway.router.space.tables.BayTable.length`, without searching among the new places: exact, since a shortest
    path bends at corners only.

    Args:
        table: the bay with its spots.
        portals: of the places.

    Returns:
        ``(spots, places)`` metres; infinite where there is no path.
    """
    c, s = np.cos(table.bay.turn), np.sin(table.bay.turn)
    turn = np.array(((c, s), (-s, c)))
    spots = np.array([mouth.flat for mouth in table.mouths]).reshape(-1, 2) @ turn.T
    places = np.array([portal.mouth.flat for portal in portals]).reshape(-1, 2) @ turn.T
    off = np.array([abs(mouth.height_m - table.skin.lay_depth_m) for mouth in table.mouths])
    off_places = np.array([abs(portal.mouth.height_m - table.skin.lay_depth_m) for portal in portals])
    square = table.bay.lay == "square"
    ring: shapely.Polygon = shapely.transform(table.bay.outline, lambda points: points @ turn.T)
    domain = PlaneDomain(ring)
    graph = visibility_graph(domain, spots)
    to_corners, _ = graph.shortest(_metric(graph.nodes, graph.nodes, square), len(spots))
    to_corners[np.arange(len(spots)), np.arange(len(spots))] = 0.0
    hops = np.vstack([spots, domain.corners])  # from here a place is seen, or it cannot be reached
    first, second = np.divmod(np.arange(len(hops) * len(places)), max(1, len(places)))
    seen = domain.visible(hops[first], places[second]).reshape(len(hops), len(places))
    last = np.where(seen, _metric(hops, places, square), np.inf)
    best = (to_corners[:, :, None] + last[None]).min(axis=1)
    stretch = 1.0 if square else table.skin.chart.stretch
    return np.asarray(best * stretch + off[:, None] + off_places[None])


def _metric(a: Array, b: Array, square: bool) -> Array:
    step = np.abs(a[:, None] - b[None])
    return np.asarray(step.sum(axis=2) if square else np.hypot(step[..., 0], step[..., 1]))
