"""What the starter catalogue says of a kind of device, and of the leads that come with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from ribway.models.circuits import DeviceKind, Stud, Supply
from ribway.models.nearest import nearest_word
from ribway.models.spelling import folded

Pattern = Literal["home", "switched chain", "with switch", "in line", "none"]
LeadType = Literal["dc", "ac", "data", "earth", "signal"]
FEED = "feed"
"""The name of the lead that brings a device its power."""


@dataclass(frozen=True)
class Lead:
    """A cable that comes with a kind of device.

    Attributes:
        owner: the kind, or the family of kinds, that it comes with.
        name: what it is for; ``feed`` brings the power.
        type: dc, ac and data are planned; earth and signal are only named.
        way: whether it comes into the device from its other end, or goes out to it.
        ends: kinds or families at its other end: groups in order of preference, any kind of a group is as good.
        count: one to the nearest, one to each that is nearest to this device, or laid by hand and only named.
        cable: this cable and no other, as the trade spells it; empty if it is sized.
        least: no thinner than this; empty if the kind says it, or nothing does.
        drop: drop class or share; empty for the kind's own.
        volts: text with its unit, where it is not the system's voltage.
        can_feed: whether the device feeds back through it.
        notes: for people.
    """

    owner: str
    name: str
    type: LeadType
    way: Literal["in", "out"]
    ends: tuple[tuple[str, ...], ...]
    count: Literal["one", "each", "by hand"]
    cable: str
    least: str
    drop: str
    volts: str
    can_feed: bool
    notes: str


@dataclass(frozen=True)
class CatalogueKind:
    """One kind of device.

    Attributes:
        name: our own plain words.
        device: the project's kind of device.
        family: what it has its leads in common with; empty if nothing.
        amps_low: least usual running current, text with unit; empty if it draws none or the plate must say.
        amps: the running current taken: the greatest usual one, so that no cable comes out too thin.
        plate: whether the plate's current or power must be given, since no usual one makes sense.
        start_amps: current for a moment while it starts; empty if it is the running one.
        drop: drop class, or a share.
        pattern: how it is fed: own cable, in a chain with its like and behind their switch, behind a switch, in line with a
            feed, or not at all.
        fuse: fuse guidance; empty if the current alone decides.
        least: no cable thinner than this.
        tail: extra length left at it; empty for the shop's own.
        aliases: what else people call it, in several languages.
        notes: for people.
        source: where the values come from.
        leads: what comes with it, the feed first.
        supply: when it must have power; None if whenever its board has.
        stud: the screw its cables' lugs usually go on; None if it takes no lugs, or many kinds.
    """

    name: str
    device: DeviceKind
    family: str
    amps_low: str
    amps: str
    plate: bool
    start_amps: str
    drop: str
    pattern: Pattern
    fuse: str
    least: str
    tail: str
    aliases: tuple[str, ...]
    notes: str
    source: str
    leads: tuple[Lead, ...]
    supply: Supply | None = None
    stud: Stud | None = None

    def answers_to(self, name: str) -> bool:
        """Whether a lead's end of that name means this kind.

        Args:
            name: a kind or a family.
        """
        return name in (self.name, self.family)

    @property
    def is_light(self) -> bool:
        """Whether it is wired in a chain with its like."""
        return self.pattern == "switched chain"

    @property
    def feed(self) -> Lead | None:
        """The lead that brings its power, if one does."""
        return next((lead for lead in self.leads if lead.name == FEED), None)


@dataclass(frozen=True)
class Catalogue:
    """All kinds.

    Attributes:
        kinds: by name, in the order of the table.
        spellings: name by folded name or alias.
    """

    kinds: Mapping[str, CatalogueKind]
    spellings: Mapping[str, str]

    def find(self, text: str) -> CatalogueKind | None:
        """The kind that a text names.

        Args:
            text: a name or alias, blind to capitals, accents, spaces and dashes.

        Returns:
            The kind, or None.
        """
        name = self.spellings.get(folded(text))
        return self.kinds[name] if name else None

    def nearest(self, text: str) -> str | None:
        """The name of the kind that a misspelt text was probably meant to be.

        Args:
            text: as it was written.

        Returns:
            A kind's name, or None if nothing is alike.
        """
        meant = nearest_word(folded(text), self.spellings)
        return self.spellings[meant] if meant else None
