"""What further boards are looked for with: the circuits that may be fed from them, places, and the project so divided."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES, Circuit, Device
from ribway.models.project import Project
from ribway.router.errors import NameFault
from ribway.router.faults import RouterFaults
from ribway.router.placing.field import circuits_of
from ribway.router.placing.grid import tape_places
from ribway.router.placing.least import Least
from ribway.router.placing.moving import device_of
from ribway.router.placing.spots import Spots, spots_of
from ribway.router.placing.trying import Trying
from ribway.router.planning import Planning
from ribway.router.space.bays import chart_skins

MOST_CIRCUITS = 9
"""So many circuits are divided; of more, those with the longest cables."""


@dataclass(frozen=True, eq=False)
class Asked:
    """A board whose circuits are to be divided, made ready.

    Args:
        main: the board.
        new: ids of each further board and of its feeder.
        base: circuits as they stand.
        all_moved: the project with all that can be moved fed from the first of the further boards.
        there: the same made ready.
        moved: circuits of it, at every place.
        circuits: ids of the circuits that are divided.
        spots: places.
    """

    main: Device
    new: tuple[tuple[str, str], ...]
    base: Least
    all_moved: Project
    there: Planning
    moved: Least
    circuits: tuple[str, ...]
    spots: Spots


def asked(project: Project, trying: Trying, board: str, walls: Sequence[str], step_m: float, boards: int = 1) -> Asked:
    """Make ready what further boards are looked for with.

    Args:
        project: what the user said.
        trying: plans its variants.
        board: id of the board that feeds them.
        walls: skins to look at; that of the board if none are named.
        step_m: between places along the tape [m].
        boards: how many further boards.

    Raises:
        RouterFaults: no such board, or fewer circuits than boards would be.
    """
    main = device_of(project, board)
    circuits = _divisible(project, board)
    if main.kind != "board" or len(circuits) < 1 + boards:
        least = {1: "two", 2: "three"}[boards]
        refused = NameFault(
            f"devices / {board}", f"{board} is no board that feeds {least} circuits or more", "a fuse board"
        )
        raise RouterFaults((refused,))
    ground = trying.prepared(project)
    base = circuits_of(ground)
    circuits = sorted(circuits, key=lambda one: -_metres(base, ground, one))[:MOST_CIRCUITS]
    new = _names(project, boards)
    all_moved = divided(project, main, new[0], [one.id for one in circuits])
    there = trying.prepared(all_moved)
    spots = _spots(all_moved, there, new[0][0], main, walls, step_m)
    ids = tuple(one.id for one in circuits)
    return Asked(main, new, base, all_moved, there, circuits_of(there, spots), ids, spots)


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


def _names(project: Project, boards: int) -> tuple[tuple[str, str], ...]:
    """Ids of new boards and their feeders that nothing has yet."""
    known = {one.id for one in project.devices} | {one.id for one in project.circuits}
    free = ((f"sub-{k}", f"feed-{k}") for k in itertools.count(1) if not {f"sub-{k}", f"feed-{k}"} & known)
    return tuple(itertools.islice(free, boards))


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
