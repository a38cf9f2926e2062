"""Where to put a second fuse board fed by the first, and which circuits to feed from it.

For every place, every division of the circuits between the two boards is bounded at once: the feeder in each of its sizes, with
the volts that the divided current loses in it at least, and each circuit from where it is fed, with the best sizes behind.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import NEGATIVES, Circuit, Device
from ribway.models.placing import PlacingField
from ribway.models.project import Project
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.errors import NameFault
from ribway.router.faults import RouterFaults
from ribway.router.laying.cutting import tails_m
from ribway.router.placing.device import field_of
from ribway.router.placing.field import circuits_of
from ribway.router.placing.grid import tape_places
from ribway.router.placing.least import Least
from ribway.router.placing.moving import device_of, moved_to
from ribway.router.placing.spots import Spots, spots_of
from ribway.router.placing.trying import Trying
from ribway.router.planning import Planning
from ribway.router.sizes.airs import AIRS
from ribway.router.space.bays import chart_skins
from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.demand import Stretch
from ribway.sizing.resistance import hot_ohm_per_m

Array = NDArray[np.float64]

MOST_CIRCUITS = 9
"""So many circuits are divided; of more, those with the longest cables."""
LEVELS = 12
WORTH_KG = 1e-9


@dataclass(frozen=True)
class SubBoard:
    """What was found.

    Args:
        field: places of the second board; its first planned place is not the present one.
        without_kg: copper of the van as it stands before rounding; infinite if it has no complete plan [kg].
        moved: by place, ids of the circuits that are fed from the second board there.
        divided: circuits that were divided.
    """

    field: PlacingField
    without_kg: float
    moved: tuple[tuple[str, ...], ...]
    divided: tuple[str, ...]


def sub_board_for(
    project: Project,
    trying: Trying,
    board: str,
    walls: Sequence[str] = (),
    step_m: float = 0.2,
    most: int = 8,
) -> SubBoard:
    """Bound every place of a second board and plan the best.

    Args:
        project: what the user said.
        trying: plans its variants.
        board: id of the board that feeds it.
        walls: skins to look at; that of the board if none are named.
        step_m: between places along the tape [m].
        most: places to plan at most.

    Raises:
        RouterFaults: no such board, or no circuits to divide.
    """
    main = device_of(project, board)
    circuits = _divisible(project, board)
    if main.kind != "board" or len(circuits) < 2:
        refused = NameFault(
            f"devices / {board}", f"{board} is no board that feeds two circuits or more", "a fuse board"
        )
        raise RouterFaults((refused,))
    ground = trying.prepared(project)
    base = circuits_of(ground)
    circuits = sorted(circuits, key=lambda one: -_metres(base, ground, one))[:MOST_CIRCUITS]
    new = _names(project)
    all_moved = divided(project, main, new, [one.id for one in circuits])
    there = trying.prepared(all_moved)
    spots = _spots(all_moved, there, new[0], main, walls, step_m)
    bounds, moved = _bounds(ground, there, base, circuits_of(there, spots), [one.id for one in circuits], new[1], spots)
    order = np.argsort(bounds, kind="stable")  # the most hopeful place is planned first
    spots = Spots(spots.device, tuple(spots.found[k] for k in order), spots.refused)
    bounds, moved = bounds[order], [moved[k] for k in order]

    def variant(at: int) -> Project:
        return moved_to(divided(project, main, new, moved[at]), new[0], spots.found[at].place)

    device = next(one for one in all_moved.devices if one.id == new[0])
    found = field_of(all_moved, device, [new[0]], spots, bounds, variant, trying.plan, step_m, most)
    return SubBoard(
        found, trying.plan(project).kg, tuple(tuple(one) for one in moved), tuple(one.id for one in circuits)
    )


def _divisible(project: Project, board: str) -> list[Circuit]:
    """Circuits of a board that could as well be fed from another."""
    boards = {one.id for one in project.devices if one.kind in ("board", "source", "charger", "inverter")}
    return [
        one
        for one in project.circuits
        if one.source == board
        and one.kind == "dc"
        and one.pattern not in NEGATIVES
        and one.return_ in (None, "wired")
        and not boards & set(one.loads)
    ]


def _metres(base: Least, ground: Planning, circuit: Circuit) -> float:
    return sum(float(base.metres(run.id).min()) for run in ground.runs if run.circuit == circuit.id)


def _names(project: Project) -> tuple[str, str]:
    """Ids of a new board and its feeder that nothing has yet."""
    known = {one.id for one in project.devices} | {one.id for one in project.circuits}
    number = next(k for k in itertools.count(1) if not {f"sub-{k}", f"feed-{k}"} & known)
    return f"sub-{number}", f"feed-{number}"


def divided(project: Project, main: Device, new: tuple[str, str], moved: Sequence[str]) -> Project:
    """The project with a second board at the first one's place, and some circuits fed from it.

    Args:
        project: as it was.
        main: the first board.
        new: ids of the second board and of its feeder.
        moved: ids of the circuits.
    """
    board = {"id": new[0], "name": "Second board", "kind": "board", "at": main.at}
    feeder = {"id": new[1], "name": "Feeder to the second board", "from": main.id, "to": (new[0],)}
    circuits = tuple(one.model_copy(update={"source": new[0]}) if one.id in moved else one for one in project.circuits)
    runs = tuple(
        one.model_copy(update={"a": new[0], "via": ()}) if one.circuit in moved and one.a == main.id else one
        for one in project.runs
    )
    return project.model_copy(
        update={
            "devices": (*project.devices, Device.model_validate(board, context={"si": True})),
            "circuits": (*circuits, Circuit.model_validate(feeder, context={"si": True})),
            "runs": runs,
        }
    )


def _spots(project: Project, ground: Planning, name: str, main: Device, walls: Sequence[str], step_m: float) -> Spots:
    own = next(one.wall for one in ground.network.space.portals if one.device == main.id)
    datum, charts = ground.project.vehicle.datum, chart_skins(ground.shell)
    return spots_of(
        project, ground, name, tape_places(main.at, charts, walls or [own], step_m, datum.forward, datum.up)
    )


def _bounds(
    ground: Planning,
    there: Planning,
    base: Least,
    moved: Least,
    circuits: Sequence[str],
    feeder: str,
    spots: Spots,
) -> tuple[Array, list[tuple[str, ...]]]:
    """Bound of each place over all divisions, and the division that its bound is of."""
    division = _Division(there, base, moved, circuits, feeder, len(spots.found))
    first, *rest = circuits
    instead = {first: division.kg} | dict.fromkeys(rest, _nothing)
    bounds = np.broadcast_to(base.with_instead(instead).kg(), len(spots.found)).copy()
    return bounds, division.chosen()


def _nothing(lost: Array, _: Array) -> Array:
    return np.zeros_like(lost)


@dataclass
class _Division:
    """Copper of the divided circuits from both boards, by volts lost before the first."""

    there: Planning
    base: Least
    moved: Least
    circuits: Sequence[str]
    feeder: str
    places: int
    _best: Array = field(init=False)
    _which: NDArray[np.int64] = field(init=False)

    def __post_init__(self) -> None:
        self._best = np.full(self.places, np.inf)
        self._which = np.zeros(self.places, dtype=np.int64)
        self._run: Run = next(run for run in self.there.runs if run.circuit == self.feeder)
        feeds = {feed.circuit.id: feed for feed in self.there.feeds}
        self._amps = [feeds[name].amps for name in self.circuits]
        self._volts = feeds[self.feeder].volts
        self._cables = self._feeder_cables()

    def chosen(self) -> list[tuple[str, ...]]:
        """Circuits fed from the second board, by place."""
        return [tuple(name for bit, name in enumerate(self.circuits) if int(mask) >> bit & 1) for mask in self._which]

    def _feeder_cables(self) -> list[tuple[float, float, float, float]]:
        """Of each cable the feeder could have: copper a metre, tails, ohm a metre there and back, amps it carries."""
        sizer, out = self.there.sizer, []
        here = Stretch("alone, in the coolest air", min(sizer.ambient_c(air) for air in AIRS), 2)
        for cable in self.there.cables[self._run.id]:
            if cable.conductor is not None:
                carries = derated_ampacity(cable.conductor, (here,), sizer.rules).derated_a
                ohm = self._run.cores_in_line * hot_ohm_per_m(cable.conductor, cable.conductor.insulation_c)
                tails = sum(tails_m(self._run, cable.stock.area_mm2, self.there.boards, self.there.project.shop))
                out.append((cable.copper_mm2 * COPPER_KG_PER_M_MM2, tails, ohm, carries))
        return out

    def kg(self, lost: Array, lost_start: Array) -> Array:
        """``(n,)`` least copper of all divisions that feed something from the second board."""
        main = [self.base.circuit(name, lost, lost_start) for name in self.circuits]
        step_v = 0.1 * self._volts / LEVELS
        # A circuit's copper rises with the volts lost before it: the level below bounds it from below.
        levels = [
            [self.moved.circuit(name, lost + k * step_v, lost_start + k * step_v) for k in range(LEVELS + 1)]
            for name in self.circuits
        ]
        table = np.array([[np.broadcast_to(one, self.places) for one in row] for row in levels])
        alone = np.array([np.broadcast_to(one, self.places) for one in main])
        slack = 1.0 + self.there.project.shop.slack / 100.0
        metres = np.broadcast_to(self.moved.metres(self._run.id), self.places) * slack
        best = np.full(self.places, np.inf)
        which = np.zeros(self.places, dtype=np.int64)
        at = np.arange(self.places)
        for mask in range(1, 1 << len(self.circuits)):
            inside = [bit for bit in range(len(self.circuits)) if mask >> bit & 1]
            outside = [bit for bit in range(len(self.circuits)) if not mask >> bit & 1]
            amps = sum(self._amps[bit] for bit in inside)
            stays = alone[outside].sum(axis=0)
            for kg_per_m, tails, ohm, carries in self._cables:
                if carries < amps:
                    continue
                cut = metres + tails
                level = np.floor(cut * ohm * amps / step_v)
                known = np.where(np.isfinite(level), np.minimum(level, LEVELS), LEVELS).astype(np.int64)
                total = stays + kg_per_m * cut + table[inside][:, known, at].sum(axis=0)
                better = total < best - WORTH_KG
                best, which = np.where(better, total, best), np.where(better, mask, which)
        fresh = best < self._best
        self._best, self._which = np.where(fresh, best, self._best), np.where(fresh, which, self._which)
        return best


def saved_kg(found: SubBoard) -> float:
    """Copper that the best second board saves before rounding; negative if it costs [kg]."""
    best = found.field.best[0].planned_kg if found.field.best else None
    return -math.inf if best is None or math.isinf(found.without_kg) else found.without_kg - best
