"""The field of bounds: for every place of a device, copper that no plan with the device there does with less."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Circuit
from ribway.router.circuits.patterns import head_of, order_is_free
from ribway.router.circuits.runs import Run
from ribway.router.laying.cutting import tail_m
from ribway.router.laying.ordering import has_one_order
from ribway.router.paths.jobs import Job
from ribway.router.placing.away import Away, Places
from ribway.router.placing.chains import EXACT_UP_TO, MOMENTS, Loose, headed, least_path, least_tree_m
from ribway.router.placing.least import Least, Lengths
from ribway.router.placing.picks import Needs, Pick, needs_of

if TYPE_CHECKING:
    from ribway.router.placing.room_prices import RoomPrices
    from ribway.router.placing.spots import Spot, Spots
    from ribway.router.planning import Planning

Array = NDArray[np.float64]

TAIL_AREAS_MM2 = (1.0, 4.0, 16.0)
"""One cable of each class of tails."""
MM2 = 1e6


class Bounds:
    """Bounds on copper before rounding at every place, of all runs with a computed route, spares left out.

    Args:
        ground: the project made ready.
        spots: places of one device.
    """

    def __init__(self, ground: Planning, spots: Spots) -> None:
        self._field, self._places = _Field(ground, spots.found), len(spots.found)

    def kg(self, prices: RoomPrices | None = None) -> Array:
        """``(n,)`` copper that no plan with the device there does with less [kg].

        Args:
            prices: of room in openings; None counts shortest ways alone. Any prices give a bound, so the greatest holds.

        Returns:
            Infinite where some run has no way or no size.
        """
        least = np.broadcast_to(self._field.least(prices).kg(), self._places).copy()
        return least if prices is None else least - prices.allowed


def bounds_kg(ground: Planning, spots: Spots) -> Array:
    """``(n,)`` bounds by shortest ways alone [kg]; see `Bounds`."""
    return Bounds(ground, spots).kg()


def circuits_of(ground: Planning, spots: Spots | None = None) -> Least:
    """The circuits of a project, for bounds on their copper.

    Args:
        ground: the project made ready.
        spots: places of one device; as it stands if None.
    """
    return _Field(ground, spots.found if spots is not None else ()).least()


def least_kg(ground: Planning, prices: RoomPrices | None = None, beat: Callable[[], None] = lambda: None) -> float:
    """Copper before rounding that no plan of a project as it stands does with less, spares left out [kg].

    Args:
        ground: the project made ready.
        prices: of room in openings, if they are known; the greater bound holds.
        beat: called again and again; what it raises stops the work.
    """
    return _greatest(_Field(ground, (), beat), prices)


class ClosedBounds:
    """Bounds on copper before rounding of a project as it stands, with some of its ways closed; spares left out.

    Args:
        ground: the project made ready.
        prices: of room in openings, from a plan that may pass all ways; None for none.
    """

    def __init__(self, ground: Planning, prices: RoomPrices | None = None) -> None:
        self._ground, self._prices, self._away = ground, prices, Away(ground.network)
        self._known: dict[AbstractSet[str], float] = {}

    def kg(self, closed: AbstractSet[str] = frozenset()) -> float:
        """Copper that no plan does with less [kg]; infinite where some run has no way or no size.

        Args:
            closed: names of ways that no run passes.
        """
        if closed not in self._known:
            field = _Field(self._ground, (), away=self._away, closed=closed)
            self._known[closed] = _greatest(field, self._prices)
        return self._known[closed]


def _greatest(field: _Field, prices: RoomPrices | None) -> float:
    """The greater of the bounds by shortest ways alone and with prices [kg]."""
    alone = float(field.least().kg()[0])
    return alone if prices is None else max(alone, float(field.least(prices).kg()[0]) - prices.allowed)


class _Field:
    """All that is looked up while the bounds are put together."""

    def __init__(
        self,
        ground: Planning,
        found: Sequence[Spot],
        beat: Callable[[], None] = lambda: None,
        away: Away | None = None,
        closed: AbstractSet[str] = frozenset(),
    ) -> None:
        self._ground, self._beat = ground, beat
        self._away = away or Away(ground.network)
        self._closed = [ground.network.space.way_index(name) for name in sorted(closed)]
        self._portal = {portal.device: index for index, portal in enumerate(ground.network.space.portals)}
        names = found[0].portals if found else {}
        self._places = {name: Places(ground.network, [spot.portals[name] for spot in found]) for name in names}
        self._slack = ground.project.shop.slack / 100.0
        self._known: Least | None = None

    def least(self, prices: RoomPrices | None = None) -> Least:
        """The circuits with their lengths at every place, and what their runs pay for room in openings."""
        if self._known is None:
            self._known = self._made()
        if prices is None or prices.ways != tuple(way.name for way in self._ground.network.space.ways):
            return self._known
        return self._known.with_priced(partial(self._priced, prices))

    def _priced(self, prices: RoomPrices, name: str, picks: Sequence[Pick]) -> list[Array] | None:
        """What a run pays in each of its cables, as metres of the cable; None if it pays nothing."""
        self._beat()
        run = next(run for run in self._ground.runs if run.id == name)
        out = []
        for pick in picks:
            area = self._ground.cables[name][pick.index].item(run).area_m2 * MM2
            cost = prices.of(name, area)
            if cost is None or pick.kg_per_m <= 0.0 or run.taped_m is not None or run.board:
                return None
            metres = cost / (pick.kg_per_m * (1.0 + self._slack))
            out.append(self._between(run.a, run.b, self._shut(run, pick.index) + metres, pick.too_hot))
        return out

    def _made(self) -> Least:
        runs = {run.id: run for run in self._ground.runs if run.circuit}
        first = {run.id: self._metres(run, 0) for run in runs.values()}
        tails = {run.id: sum(self._tails_m(end) for end in (run.a, run.b)) for run in runs.values()}
        cut = {name: float(metres.min()) * (1.0 + self._slack) + tails[name] for name, metres in first.items()}
        needs = needs_of(
            self._ground, {name: metres if np.isfinite(metres) else 0.0 for name, metres in cut.items()}, self._beat
        )
        lengths = {
            run.id: [self._metres(run, pick.index, pick.too_hot) for pick in needs[run.id].picks]
            for run in runs.values()
        }
        counted = frozenset(run.id for run in runs.values() if run.taped_m is None and not run.board)
        loose = {circuit.id: self._loose(circuit, needs) for circuit in self._open_chains()}
        return Least(
            self._ground.feeds,
            runs,
            needs,
            Lengths(lengths, self._slack, counted, self._ground.project.shop.cut_step),
            loose,
        )

    def _metres(self, run: Run, index: int, too_hot: AbstractSet[str] = frozenset()) -> Array:
        """``(n,)`` or ``(1,)`` least route of a run in one of its cables, stubs included [m]."""
        self._beat()
        space = self._ground.network.space
        if run.taped_m is not None:
            return np.full(1, run.taped_m)
        if run.board:
            board = next(one for one in space.boards if one.device == run.board)
            step = space.portals[self._portal[run.b]].point - space.portals[self._portal[run.a]].point
            return np.full(1, abs(float(step @ board.across)) + abs(float(step @ board.up)))
        return self._between(run.a, run.b, self._shut(run, index), too_hot)

    def _shut(self, run: Run, index: int) -> Array:
        """``(w,)`` infinite for ways that this run in this cable may never pass."""
        ground, space = self._ground, self._ground.network.space
        avoid = frozenset(space.way_index(name) for name in run.avoid)
        item = ground.cables[run.id][index].item(run)
        shut = ground.negotiator.alone(Job(item, 0, 0, 0.0, (), avoid))
        if run.by_hand is not None:
            named = {space.way_index(name) for name in run.by_hand}
            shut = shut.copy()
            shut[[way for way in range(len(space.ways)) if way not in named]] = np.inf
        if self._closed:
            shut = shut.copy()
            shut[self._closed] = np.inf
        return shut

    def _between(self, a: str, b: str, shut: Array, too_hot: AbstractSet[str] = frozenset()) -> Array:
        """Least metres between two devices, stubs included; by place if one of them goes with it."""
        portals, places = self._ground.network.space.portals, self._places
        if a in places and b in places:
            return np.zeros(1)  # both go along; what lies between them is left out
        if b in places:
            a, b = b, a
        start = self._portal[b]
        if a in places:
            return self._away.to_places(start, shut, places[a], too_hot) + portals[start].stub_m + places[a].stubs_m
        route = float(self._away.to_devices(start, shut, too_hot)[self._portal[a]])
        return np.full(1, route + portals[start].stub_m + portals[self._portal[a]].stub_m)

    def _open_chains(self) -> list[Circuit]:
        """Circuits whose loads may change their order when the device moves."""
        project = self._ground.project
        kinds = {device.id: device.kind for device in project.devices}
        out = []
        for circuit in project.circuits:
            loads_move = bool(set(circuit.loads) & self._places.keys())
            # Behind a switch or a relay the order does not depend on where the source is.
            source_counts = circuit.source in self._places and not headed(circuit, kinds)
            searched = order_is_free(circuit, project.runs) and not has_one_order(circuit, kinds)
            if (loads_move or source_counts) and searched:
                out.append(circuit)
        return out

    def _loose(self, circuit: Circuit, needs: Mapping[str, Needs]) -> Loose:
        ground = self._ground
        runs = [run for run in ground.runs if run.circuit == circuit.id]
        shut = np.minimum.reduce([self._shut(run, needs[run.id].picks[0].index) for run in runs])
        spans_m, moment_am = self._in_any_order(circuit, runs, shut)
        families = {needs[run.id].family for run in runs}
        same = len(families) == 1 and families != {()}
        common = set.intersection(*({pick.index for pick in needs[run.id].picks} for run in runs)) if same else set()
        picks = tuple(pick for pick in needs[runs[0].id].picks if pick.index in common)
        if not picks:
            picks = (min((pick for run in runs for pick in needs[run.id].picks), key=lambda one: one.kg_per_m),)
            return Loose(spans_m, picks, np.zeros(1), np.inf)
        return Loose(spans_m, picks, moment_am, max(needs[run.id].most_v for run in runs))

    def _in_any_order(self, circuit: Circuit, runs: Sequence[Run], shut: Array) -> tuple[Array, Array]:
        """Least metres and least moment of a chain, whatever the order of its loads."""
        kinds = {device.id: device.kind for device in self._ground.project.devices}
        head = head_of(circuit, kinds) if circuit.pattern in MOMENTS else ()
        free = [load for load in circuit.loads if load not in head]
        if circuit.pattern not in MOMENTS or len(free) > EXACT_UP_TO:
            names = (circuit.source, *circuit.loads)
            return least_tree_m([[self._cut_m(a, b, shut) for b in names] for a in names]), np.zeros(1)
        way = (circuit.source, *head)
        way_in = sum((self._cut_m(a, b, shut) for a, b in pairwise(way)), np.zeros(1))
        start = [self._cut_m(way[-1], name, shut) for name in free]
        between = [[self._cut_m(a, b, shut) for b in free] for a in free]
        span = way_in + least_path(start, between, [0.0] * len(free))
        drawn = self._drawn(runs)
        amps = [drawn.get(name, 0.0) for name in free]
        if len({run.cores_in_line for run in runs}) > 1 or not any(amps):
            return span, np.zeros(1)
        return span, way_in * sum(amps) + least_path(start, between, amps)

    @staticmethod
    def _drawn(runs: Sequence[Run]) -> dict[str, float]:
        """What each load of a chain draws by itself [A], as far as one run ends at it."""
        out = {}
        for run in runs:
            own = run.amps - sum(other.amps for other in runs if other.after == run.id)
            if len(run.draws) == 1 and own > 0.0:
                out[run.draws[0]] = own
        return out

    def _cut_m(self, a: str, b: str, shut: Array) -> Array:
        if a == b:
            return np.zeros(1)
        if a not in self._places and b not in self._places and self._on_one_board(a, b):
            return np.zeros(1)
        return self._between(a, b, shut) * (1.0 + self._slack) + self._tails_m(a) + self._tails_m(b)

    def _on_one_board(self, a: str, b: str) -> bool:
        on = {device.id: device.at.on for device in self._ground.project.devices}
        return on[a] is not None and on[a] == on[b]

    def _tails_m(self, device: str) -> float:
        """Least tail at a device, whatever the cable [m]."""
        shop, ground = self._ground.project.shop, self._ground
        stated = next(one.tail for one in ground.project.devices if one.id == device)
        least = min(tail_m(stated, area, device in ground.boards, shop) for area in TAIL_AREAS_MM2)
        return min(least, shop.tails.terminal)
