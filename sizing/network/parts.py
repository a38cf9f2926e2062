"""What a radial network is made of: a source, pieces of wire, switches and loads, joined at named nodes.

The wires fed from the positive terminal form one tree, those that lead back to the negative one another; the two need
not have the same shape, so unequal cores, a return shared by several loads and a return through the body are all the same
thing: pieces with their own resistance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from ribway.sizing.errors import BadNumberError, SizingError, check_number

LoadKind = Literal["amps", "watts", "ohms"]
"""What a load keeps whatever its voltage: its current (LED driver, motor), its power (inverter, converter) or its
resistance (heater, filament)."""


@dataclass(frozen=True)
class Source:
    """A battery or supply.

    Attributes:
        open_v: voltage at its terminals with nothing drawn [V].
        internal_ohm: its own resistance, with that of its own leads if they are not pieces [ohm].
        plus: node of its positive terminal.
        minus: node of its negative terminal.
    """

    open_v: float
    internal_ohm: float = 0.0
    plus: str = "+"
    minus: str = "-"

    def __post_init__(self) -> None:
        check_number(self.open_v, "voltage of the source [V]", positive=True)
        check_number(self.internal_ohm, "internal resistance of the source [ohm]")
        if self.plus == self.minus:
            raise SizingError(f"both terminals of the source are at node {self.plus!r}; name two nodes")


@dataclass(frozen=True)
class Piece:
    """One conductor, or anything in line with it, from node to node.

    Attributes:
        id: its name.
        a: node at one end.
        b: node at the other end.
        ohm: resistance of the conductor, hot, with its joints [ohm].
        fixed_v: lost whatever flows, as soon as anything flows: a fuse or a contact known by its drop alone [V].
    """

    id: str
    a: str
    b: str
    ohm: float
    fixed_v: float = 0.0

    def __post_init__(self) -> None:
        check_number(self.ohm, f"resistance of {self.id!r} [ohm]")
        check_number(self.fixed_v, f"fixed loss of {self.id!r} [V]")


@dataclass(frozen=True)
class Switch:
    """A switch: one throw for on and off, two for two-way switching.

    Attributes:
        id: its name.
        common: node of its common terminal.
        throws: nodes it can be joined to.
        at: the throw it stands at; None for off.
        contact_ohm: resistance of the closed contact [ohm].
    """

    id: str
    common: str
    throws: tuple[str, ...]
    at: str | None
    contact_ohm: float = 0.0

    def __post_init__(self) -> None:
        check_number(self.contact_ohm, f"contact resistance of {self.id!r} [ohm]")
        if self.at is not None and self.at not in self.throws:
            raise SizingError(
                f"switch {self.id!r} stands at {self.at!r}; it has {', '.join(self.throws) or 'no throws'}"
            )


@dataclass(frozen=True)
class Load:
    """Something that draws current between a node of the positive side and one of the negative side.

    Attributes:
        id: its name.
        plus: node of its positive terminal.
        minus: node of its negative terminal.
        kind: what it keeps: see `LoadKind`.
        value: amps [A], watts [W] or ohms [ohm].
        start_a: current while it starts [A]; None if starting is like running.
        cut_out_v: voltage at its terminals below which it switches off or does not start [V]; None if unknown.
    """

    id: str
    plus: str
    minus: str
    kind: LoadKind
    value: float
    start_a: float | None = None
    cut_out_v: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in get_args(LoadKind):
            raise BadNumberError(
                f"load {self.id!r} is of kind {self.kind!r}; accepted: {', '.join(get_args(LoadKind))}"
            )
        check_number(self.value, f"{self.kind} of load {self.id!r}", positive=self.kind == "ohms")
        for value, name in ((self.start_a, "starting current [A]"), (self.cut_out_v, "cut-out voltage [V]")):
            if value is not None:
                check_number(value, f"{name} of load {self.id!r}")


@dataclass(frozen=True)
class Network:
    """A source with all that hangs on it.

    Attributes:
        source: the source.
        pieces: conductors, fuses, joints.
        loads: what draws current.
        switches: where it can be cut or sent another way.
    """

    source: Source
    pieces: tuple[Piece, ...]
    loads: tuple[Load, ...]
    switches: tuple[Switch, ...] = ()

    def __post_init__(self) -> None:
        seen: set[str] = set()
        names = [one.id for one in self.pieces] + [one.id for one in self.loads] + [one.id for one in self.switches]
        for name in names:
            if name in seen:
                raise SizingError(
                    f"{name!r} is there twice in the network; every piece, load and switch needs its name"
                )
            seen.add(name)
