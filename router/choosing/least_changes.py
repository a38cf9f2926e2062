"""The cheapest changes that let all runs through, as one integer programme over bays and the ways between them.

Whether a run finds a way asks for no lengths, so that the network shrinks to bays as nodes and ways as arcs. Runs alike in
cable and start flow as one commodity. Flows may part, holes are filled by area alone, and what else stands in the way of
cables side by side is left out: so every set of changes that lets all runs through, in the cables they have here, is
allowed, and the programme's optimum is a lower bound on the price of all of them; so is that of some runs without the
others.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from ribway.router.choosing.changes import ELSEWHERE_PRICE, PLUG_PRICE, Change, covers, made, offers_at, price_of
from ribway.router.choosing.flows import MM2, SPARE_MM2, Flow, cap_mm2, passes_alone, shape_of
from ribway.router.choosing.rows import Rows
from ribway.router.paths.admission import Item
from ribway.router.paths.jobs import Job
from ribway.router.planning import Planning
from ribway.router.space.types import NOWHERE, Way

Array = NDArray[np.float64]

NODES = 400  # of branching, at most
NOW = -1
METRE_PRICE = 0.01
SLIP = 1e-6
GAP = 0.03  # where straight lines count a little, nothing finer is looked for


@dataclass(frozen=True)
class Answer:
    """Changes that the programme takes.

    Args:
        changes: cheapest first.
        price: summed.
        least: no changes that let all runs through, in the cables they have, cost less.
    """

    changes: tuple[Change, ...]
    price: float
    least: float


class LeastChanges:
    """The programme of one van.

    Args:
        planning: what was planned.
        jobs: of its routed runs, in the cables that they are asked for.
        whom: jobs that flow; leaving others out makes it quicker and no dearer.
        straight: of changes that cost the same, take those nearer to straight lines; the price then holds a little for that,
            and is no lower bound.
        most: nothing dearer is looked for.
    """

    def __init__(
        self, planning: Planning, jobs: Sequence[Job], whom: Collection[int], straight: bool, most: float = np.inf
    ) -> None:
        self._planning, self._jobs = planning, tuple(jobs)
        self._whom, self._straight, self._most = sorted(whom), straight, most + SLIP
        self._ways = planning.space.ways
        self._passes: dict[tuple[int, Item], dict[int, bool]] = {}
        self._zone = list(range(len(planning.space.bays) + len(planning.space.portals)))
        self._ends = [self._ends_of(way) for way in self._ways]
        self.changes: list[Change] = []
        self._cost: list[float] = []
        self._whole: list[bool] = []
        self._top: list[float] = []
        self._rows = Rows()
        self._at: dict[int, list[int]] = {}
        self._pose()

    def _variable(self, cost: float, top: float, whole: bool) -> int:
        self._cost.append(cost)
        self._top.append(top)
        self._whole.append(whole)
        return len(self._cost) - 1

    def _change(self, change: Change) -> int:
        self.changes.append(change)
        return self._variable(change.price, 1.0, True)

    def _pose(self) -> None:
        # Changes come first, so that a change's place in the list is its variable's.
        for index, way in enumerate(self._ways):
            self._at[index] = [self._change(one) for one in offers_at(index, way) if one.price <= self._most]
        self._made = [made(self._ways[one.way], one) for one in self.changes]
        self._join()
        plug: dict[int, int] = {}
        away: dict[int, int] = {}
        for number in self._whom:
            run, job = self._planning.routed[number], self._jobs[number]
            if self._most >= ELSEWHERE_PRICE:
                away[number] = self._change(Change("elsewhere", run=run.id, price=ELSEWHERE_PRICE))
            if job.item.plug_m > 0.0 and self._most >= PLUG_PRICE:
                plug[number] = self._change(Change("plug", run=run.id, price=PLUG_PRICE))
        if np.isfinite(self._most):
            self._rows.add({at: one.price for at, one in enumerate(self.changes)}, -np.inf, self._most)
        for held in self._at.values():
            if len(held) > 1:
                self._rows.add(dict.fromkeys(held, 1.0), -np.inf, 1.0)
        inside: dict[int, list[tuple[Flow, int]]] = {}
        for flow, ends in self._flows(plug, away):
            for number, columns in self._lead(flow, ends).items():
                for room in (number, *self._planning.space.sharers.get(number, ())):
                    inside.setdefault(room, []).extend((flow, column) for column in columns)
        for room, columns_of in inside.items():
            self._fill(room, columns_of)

    def _join(self) -> None:
        """Bays between which a way holds all runs that flow, as it is, are one zone: nobody minds which of them is meant."""
        jobs = [self._jobs[number] for number in self._whom]
        if any(job.via or job.exact for job in jobs):
            return
        items = {shape_of(job.item) for job in jobs}
        avoided = {way for job in jobs for way in job.avoid}
        all_mm2 = MM2 * sum(job.item.area_m2 for job in jobs)
        wide = [
            not way.closed
            and index not in avoided
            and all_mm2 <= cap_mm2(way)
            and all(self._options(index, item)[NOW] for item in items)
            for index, way in enumerate(self._ways)
        ]
        for index, pair in enumerate(self._ends):
            shared = self._planning.space.sharers.get(index, ())
            if pair is not None and not self._ways[index].room_only and all(wide[room] for room in (index, *shared)):
                a, b = (self._zone[node] for node in pair)
                self._zone = [a if zone == b else zone for zone in self._zone]
        self._ends = [None if pair is None else (self._zone[pair[0]], self._zone[pair[1]]) for pair in self._ends]

    def _flows(
        self, plug: Mapping[int, int], away: Mapping[int, int]
    ) -> list[tuple[Flow, list[tuple[int, dict[int, float], float]]]]:
        """Each flow with what arrives where: node, coefficients of changes, constant."""
        out: dict[Flow, list[tuple[int, dict[int, float], float]]] = {}
        for number in self._whom:
            job = self._jobs[number]
            start, end = self._zone[self._node(job.start)], self._zone[self._node(job.end)]
            if start == end and not job.via:
                continue
            item = shape_of(job.item)
            ends = (job.start, job.end) if self._straight else None
            key = Flow(item, start, job.via, job.exact, job.avoid, ends)
            less = {away[number]: -1.0} if number in away else {}
            if number in plug:
                less[plug[number]] = -1.0
                bare = replace(key, item=replace(item, plug_m=0.0))
                out.setdefault(bare, []).append((end, {plug[number]: 1.0}, 0.0))
            out.setdefault(key, []).append((end, less, 1.0))
        return list(out.items())

    def _node(self, portal: int) -> int:
        """Bays come first, then devices that stand in none."""
        space = self._planning.space
        bay = space.portals[portal].mouth.bay
        return bay if bay != NOWHERE else len(space.bays) + portal

    def _ends_of(self, way: Way) -> tuple[int, int] | None:
        number = {portal.device: index for index, portal in enumerate(self._planning.space.portals)}
        found = []
        for device, mouth in zip(way.ends_at, way.mouths, strict=True):
            if device and device not in number:
                return None
            node = self._node(number[device]) if device else mouth.bay
            if node == NOWHERE:
                return None
            found.append(node)
        return found[0], found[1]

    def _lead(self, flow: Flow, ends: list[tuple[int, dict[int, float], float]]) -> dict[int, list[int]]:
        """Variables of a flow on each way, and the balance of every node."""
        nodes = len(self._planning.space.bays) + len(self._planning.space.portals)
        layers = len(flow.via) + 1
        balance: dict[int, dict[int, float]] = {}
        most = float(len(ends))
        columns: dict[int, list[int]] = {}
        for index, way in enumerate(self._ways):
            pair = None if way.room_only or index in flow.avoid else self._ends[index]
            if pair is None or (pair[0] == pair[1] and not flow.via) or not self._ever(index, flow.item):
                continue
            detour = self._detour_m(way, flow) * METRE_PRICE
            for layer in range(layers):
                up = layer < layers - 1 and flow.via[layer] == index
                if flow.exact and not up:
                    continue
                for a, b in (pair, pair[::-1]):
                    column = self._variable(detour, most, False)
                    columns.setdefault(index, []).append(column)
                    balance.setdefault(a + layer * nodes, {})[column] = -1.0
                    balance.setdefault(b + (layer + up) * nodes, {})[column] = 1.0
        constant: dict[int, float] = {}
        for node, less, there in ends:
            sink = node + (layers - 1) * nodes
            row = balance.setdefault(sink, {})
            for column, share in less.items():
                row[column] = row.get(column, 0.0) - share
            constant[sink] = constant.get(sink, 0.0) + there
        for node, row in balance.items():
            if node != flow.start:  # as much leaves it as arrives elsewhere
                self._rows.add(row, constant.get(node, 0.0), constant.get(node, 0.0))
        return columns

    def _detour_m(self, way: Way, flow: Flow) -> float:
        """How much longer a straight line is by way of a way [m]; 0 if that does not count."""
        if flow.devices is None:
            return 0.0
        a, b = (self._planning.space.portals[device].point for device in flow.devices)
        middle = way.line[len(way.line) // 2]
        return float(np.linalg.norm(a - middle) + np.linalg.norm(middle - b) - np.linalg.norm(a - b))

    def _ever(self, way: int, item: Item) -> bool:
        """Whether a cable ever passes a way, alone, whatever is changed."""
        rooms = (way, *self._planning.space.sharers.get(way, ()))
        return all(any(self._options(room, item).values()) for room in rooms)

    def _options(self, room: int, item: Item) -> dict[int, bool]:
        """Which states of a room let a cable pass alone: as it is (-1), and with each change."""
        if (room, item) not in self._passes:
            way = self._ways[room]
            self._passes[room, item] = {
                NOW: not way.closed and passes_alone(way, item),
                **{one: passes_alone(self._made[one], item) for one in self._at[room]},
            }
        return self._passes[room, item]

    def _fill(self, room: int, columns_of: Sequence[tuple[Flow, int]]) -> None:
        """Who passes a room only if it is changed, and how much it holds."""
        way = self._ways[room]
        by_flow: dict[Flow, list[int]] = {}
        for flow, column in columns_of:
            by_flow.setdefault(flow, []).append(column)
        for flow, columns in by_flow.items():
            options = self._options(room, flow.item)
            if not options[NOW]:
                most = self._top[columns[0]]
                need = {one: -most for one, passes in options.items() if passes}
                self._rows.add({**dict.fromkeys(columns, 1.0), **need}, -np.inf, 0.0)
        now = 0.0 if way.closed else cap_mm2(way)
        row = {column: flow.item.area_m2 * MM2 for flow, columns in by_flow.items() for column in columns}
        if sum(row[column] * self._top[column] for column in row) <= now:
            return
        for one in self._at[room]:
            beside = self.changes[one].what == "beside"
            row[one] = (0.0 if beside else now) - cap_mm2(self._made[one])
        self._rows.add(row, -np.inf, now + SPARE_MM2)

    def answer(self, but: Sequence[Sequence[Change]] = (), beyond: Sequence[Sequence[Change]] = ()) -> Answer | None:
        """The cheapest changes.

        Args:
            but: sets that are known; none that does all that one of them does is taken again.
            beyond: sets that are not enough; each answer does something that none of them does alone.

        Returns:
            The answer, or None if there is none, or none was found within the nodes.
        """
        rows = Rows(*(list(part) for part in vars(self._rows).values()))
        for some in but:
            row: dict[int, float] = {}
            for one in some:
                for at, change in enumerate(self.changes):
                    if change.place == one.place and change.more_mm >= one.more_mm:
                        row[at] = 1.0
            rows.add(row, -np.inf, len(some) - 1.0)
        for some in beyond:
            more = {at: 1.0 for at, change in enumerate(self.changes) if not covers(some, (change,))}
            rows.add(more, 1.0, np.inf)
        count = len(self._cost)
        matrix = csr_array((rows.value, (rows.row, rows.column)), shape=(len(rows.low), count))
        found = milp(
            np.array(self._cost),
            integrality=np.array(self._whole, dtype=np.int64),
            bounds=Bounds(np.zeros(count), np.array(self._top)),
            constraints=LinearConstraint(matrix, np.array(rows.low), np.array(rows.high)),
            options={"node_limit": NODES, "mip_rel_gap": GAP if self._straight else 0.0},
        )
        if found.x is None:
            return None
        taken = sorted(
            (change for at, change in enumerate(self.changes) if found.x[at] > 0.5),
            key=lambda one: (one.price, one.way, one.run),
        )
        bound = found.mip_dual_bound
        return Answer(tuple(taken), price_of(taken), 0.0 if self._straight else float(bound or 0.0))
