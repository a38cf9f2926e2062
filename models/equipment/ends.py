"""What is at the other end of a lead, and which boards and switches the rows name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ribway.models.catalogue.kinds import Catalogue, Lead
from ribway.models.equipment.grid import fault_at
from ribway.models.equipment.thing import Thing, nearest
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault
from ribway.models.spelling import folded

RELAY = "relay module"
_SPLIT = re.compile(r"\s*[+,]\s*")
FEEDERS = ("board", "source", "inverter", "charger")


def _serves(thing: Thing, kinds: tuple[str, ...]) -> bool:
    """Whether a thing is of the device kinds wanted; a relay serves as a switch."""
    return thing.kind.device in kinds or (thing.kind.name == RELAY and "switch" in kinds)


@dataclass
class Ends:
    """All things of a project, to be found by name, by kind and by nearness.

    Attributes:
        file: the sheet, for faults.
        things: those of the sheet, and those of the project file that a row may name.
        titles: header of the columns board and switch as the sheet has them.
        catalogue: all kinds.
        fed: what circuits of the project file reach already.
        faults: names that lead to nothing.
    """

    file: str
    things: Sequence[Thing]
    titles: dict[str, str]
    catalogue: Catalogue
    fed: frozenset[tuple[str, ...]] = frozenset()
    faults: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Find everything once."""
        self._by_name = {folded(thing.row.name): thing for thing in reversed(self.things)}
        self._by_name.update(
            {folded(thing.id): thing for thing in reversed(self.things) if folded(thing.id) not in self._by_name}
        )
        self.boards = {thing.id: self._named(thing, "board", thing.row.board, FEEDERS) for thing in self.things}
        both = {thing.id: self._switches_of(thing) for thing in self.things}
        self.switches = {name: found[0] for name, found in both.items()}
        self.partners = {name: found[1] for name, found in both.items()}

    def _switches_of(self, thing: Thing) -> tuple[Thing | None, Thing | None]:
        """The switch, or the two switches, that a row names: ``S1 + S2`` unless one is really called so."""
        said = thing.row.switch
        parts = [said] if folded(said) in self._by_name else [part for part in _SPLIT.split(said, maxsplit=1) if part]
        first, second = ([self._named(thing, "switch", part, ("switch",)) for part in parts] + [None, None])[:2]
        return first, second

    def _named(self, thing: Thing, key: str, said: str, kinds: tuple[str, ...]) -> Thing | None:
        """The thing that a row names as its board or switch."""
        if not said:
            return None
        found = self._by_name.get(folded(said))
        good = [other.row.name for other in self.things if _serves(other, kinds) and other.id != thing.id]
        satellite = key == "board" and thing.kind.pattern == "none"
        if found is not None and found.id != thing.id and (_serves(found, kinds) or satellite):
            return found
        meant = nearest_word(said, good)
        what = f"{said} is no {key}" if found is not None else f"there is no {key} {said} in the sheet"
        advice = f"did you mean {meant}?" if meant else f"there are {', '.join(good[:12]) or 'none'}"
        self.faults.append(
            fault_at(self.file, thing.row.row, self.titles[key], said, ", ".join(good[:12]), f"{what}: {advice}")
        )
        return None

    @property
    def named_switches(self) -> set[str]:
        """Ids of all switches that rows name."""
        named = (*self.switches.values(), *self.partners.values())
        return {switch.id for switch in named if switch is not None}

    def other_end(self, thing: Thing, lead: Lead) -> Thing | None:
        """The thing at the other end of a lead.

        Args:
            thing: the device that the lead comes with.
            lead: the lead.

        Returns:
            The nearest of the best group of kinds that is there at all, or None.
        """
        for group in lead.ends:
            found = nearest(thing, (other for other in self.things if any(map(other.kind.answers_to, group))))
            if found is not None:
                return found
        return None

    def reached(self, thing: Thing, lead: Lead) -> list[Thing]:
        """The things that a lead of the sort "one to each" goes to.

        Args:
            thing: the device that the leads come with.
            lead: the lead.

        Returns:
            Things at its other ends to which no other device with such a lead is nearer; a board that a row names goes
            before nearness.
        """
        used = self.named_switches
        found = []
        for other in self.things:
            if not self._may_end(lead, other) or other.id in used or other.foreign:
                continue
            owners = [one for one in self.things if any(self._may_end(mine, other) for mine in one.kind.leads)]
            owner = self.boards[other.id] or nearest(other, owners)
            if owner is not None and owner.id == thing.id:
                found.append(other)
        return found

    def _may_end(self, lead: Lead, other: Thing) -> bool:
        return lead.count == "each" and any(other.kind.answers_to(end) for group in lead.ends for end in group)
