"""The negative side: which conductor leads a circuit's current back, and through what."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.circuits import NEGATIVES, Circuit
from ribway.models.project import Project

NEGATIVE_ENDING = ".negative"


def with_negatives(project: Project) -> Project:
    """Say of every circuit how its current comes back, and make the negatives that several share.

    Args:
        project: control circuits apart; what it says of returns is already checked.

    Returns:
        The project; every DC circuit has its return, a chassis return its earth point, and each group of circuits that
        share a negative one circuit more. Doing it again changes nothing.
    """
    allowed = [one.id for one in project.devices if one.kind == "earth point" and one.allowed_by_maker]
    names = {circuit.id for circuit in project.circuits}
    circuits: list[Circuit] = []
    groups: dict[str, list[Circuit]] = {}
    for circuit in project.circuits:
        back = return_of(circuit, project)
        if back != circuit.return_ or (back == "chassis" and circuit.earth is None):
            earth = circuit.earth or (allowed[0] if back == "chassis" and allowed else None)
            circuit = circuit.model_copy(update={"return_": back, "earth": earth})
        if back == "shared":
            groups.setdefault(group_of(circuit), []).append(circuit)
        circuits.append(circuit)
    for name, members in groups.items():
        if name + NEGATIVE_ENDING not in names:
            circuits.append(_negative(name, members))
    return project.model_copy(update={"circuits": tuple(circuits)})


def return_of(circuit: Circuit, project: Project) -> str:
    """How the current of a circuit comes back: what it says, else, for a DC home run, what the shop's setting says."""
    if circuit.return_ is not None:
        return circuit.return_
    plain = circuit.kind == "dc" and circuit.pattern == "home" and not circuit.load_can_feed
    return project.shop.return_ if plain else "wired"


def group_of(circuit: Circuit) -> str:
    """The group whose negative a circuit shares."""
    return circuit.group or circuit.source


def negative_of(circuit: Circuit, circuits: Sequence[Circuit]) -> str:
    """Id of the circuit that leads a circuit's current back; empty if its own cable does."""
    if circuit.return_ == "shared":
        return group_of(circuit) + NEGATIVE_ENDING
    if circuit.return_ == "chassis":
        return next(one.id for one in circuits if one.pattern == "bond")
    return ""


def _negative(name: str, members: Sequence[Circuit]) -> Circuit:
    loads = tuple(dict.fromkeys(load for circuit in members for load in circuit.loads))
    plain = {"drop": "other", "cable": None, "least": None, "fuse": None, "load_can_feed": False, "supply": None}
    return members[0].model_copy(
        update={
            **plain,
            "id": name + NEGATIVE_ENDING,
            "name": f"{name}: shared negative",
            "loads": loads,
            "pattern": "shared negative",
            "order": "cheapest",
            "return_": "wired",
            "group": None,
        }
    )


def is_negative(circuit: Circuit) -> bool:
    """Whether a circuit only leads current back."""
    return circuit.pattern in NEGATIVES
