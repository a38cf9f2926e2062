"""The usual layouts as pieces: a pair of cores, a chain of loads, a switch leg, two-way switching, a return by the body.

A place called `X` has the nodes `X+` and `X-`.
"""

from __future__ import annotations

from collections.abc import Sequence

from ribway.sizing.errors import SizingError, check_number
from ribway.sizing.network.parts import Piece, Switch


def conductor_ohm(ohm_per_m: float, length_m: float, joints_ohm: float = 0.0) -> float:
    """Resistance of one conductor with its joints [ohm].

    Args:
        ohm_per_m: resistance per metre, hot [ohm/m].
        length_m: length of this one conductor [m].
        joints_ohm: joints, contacts and fuses in line with it [ohm].
    """
    for value, name in (
        (ohm_per_m, "resistance [ohm/m]"),
        (length_m, "length [m]"),
        (joints_ohm, "resistance of joints [ohm]"),
    ):
        check_number(value, name)
    return ohm_per_m * length_m + joints_ohm


def pair(name: str, start: str, end: str, there_ohm: float, back_ohm: float | None = None) -> tuple[Piece, Piece]:
    """Both cores of a run between two places.

    Args:
        name: of the run; its pieces are `name+` and `name-`.
        start: place nearer the source.
        end: place at the far end.
        there_ohm: resistance of the positive core with its joints [ohm].
        back_ohm: of the negative core [ohm]; as the positive one if not given.
    """
    back = there_ohm if back_ohm is None else back_ohm
    return Piece(f"{name}+", f"{start}+", f"{end}+", there_ohm), Piece(f"{name}-", f"{start}-", f"{end}-", back)


def chain(name: str, start: str, places: Sequence[str], core_ohms: Sequence[float]) -> tuple[Piece, ...]:
    """A chain of loads, each fed on from the one before.

    Args:
        name: of the chain; its pairs are `name1`, `name2` ...
        start: place it begins at.
        places: `(n,)` places in order.
        core_ohms: `(n,)` resistance of one core of the piece that ends at each place [ohm].

    Raises:
        SizingError: if the two have different lengths.
    """
    if len(places) != len(core_ohms):
        raise SizingError(f"chain {name!r}: {len(places)} places but {len(core_ohms)} pieces; give one for each")
    out: list[Piece] = []
    for number, (before, place, ohm) in enumerate(zip((start, *places), places, core_ohms, strict=False), start=1):
        out += pair(f"{name}{number}", before, place, ohm)
    return tuple(out)


def switch_leg(
    name: str, start: str, end: str, to_switch_ohm: float, on_ohm: float, back_ohm: float, *, on: bool = True
) -> tuple[tuple[Piece, ...], Switch]:
    """A load whose positive goes by way of a switch and whose negative comes straight back.

    Args:
        name: of the leg.
        start: place it is fed from.
        end: place of the load.
        to_switch_ohm: of the conductor from the start to the switch [ohm].
        on_ohm: of the conductor from the switch to the load [ohm].
        back_ohm: of the negative conductor [ohm].
        on: whether the switch is closed.

    Returns:
        The pieces and the switch.
    """
    into, out_of = f"{name}.in", f"{name}.out"
    pieces = (
        Piece(f"{name}.feed", f"{start}+", into, to_switch_ohm),
        Piece(f"{name}.leg", out_of, f"{end}+", on_ohm),
        Piece(f"{name}-", f"{start}-", f"{end}-", back_ohm),
    )
    return pieces, Switch(f"{name}.switch", into, (out_of,), out_of if on else None)


def two_way(
    name: str,
    start: str,
    end: str,
    feed_ohm: float,
    travellers_ohm: tuple[float, float],
    lamp_ohm: float,
    back_ohm: float,
    stand: tuple[int, int],
) -> tuple[tuple[Piece, ...], tuple[Switch, Switch]]:
    """Two-way switching: a light that two switches turn on and off, with two travellers between them.

    Args:
        name: of the circuit.
        start: place it is fed from.
        end: place of the light.
        feed_ohm: of the conductor from the start to the first switch [ohm].
        travellers_ohm: of the two conductors between the switches [ohm].
        lamp_ohm: of the conductor from the second switch to the light [ohm].
        back_ohm: of the negative conductor [ohm].
        stand: which traveller (0 or 1) each switch stands at; the light is on when they are equal.

    Returns:
        The pieces and both switches.

    Raises:
        SizingError: a switch stands at anything but 0 or 1.
    """
    if not set(stand) <= {0, 1}:
        raise SizingError(f"two-way switches {name!r} stand at {stand!r}; each stands at 0 or 1")
    near = (f"{name}.near0", f"{name}.near1")
    far = (f"{name}.far0", f"{name}.far1")
    pieces = (
        Piece(f"{name}.feed", f"{start}+", f"{name}.in", feed_ohm),
        Piece(f"{name}.traveller0", near[0], far[0], travellers_ohm[0]),
        Piece(f"{name}.traveller1", near[1], far[1], travellers_ohm[1]),
        Piece(f"{name}.lamp", f"{name}.out", f"{end}+", lamp_ohm),
        Piece(f"{name}-", f"{start}-", f"{end}-", back_ohm),
    )
    first = Switch(f"{name}.switch1", f"{name}.in", near, near[stand[0]])
    return pieces, (first, Switch(f"{name}.switch2", f"{name}.out", far, far[stand[1]]))


def body_return(
    name: str, at: str, source_minus: str, earth_lead_ohm: float, body_ohm: float | None, joints_ohm: Sequence[float]
) -> tuple[Piece, Piece]:
    """A way back through the body: earth lead, its joints, and the metal between the two earth points.

    Args:
        name: of the return.
        at: place of the load.
        source_minus: node that the body is joined to the source at.
        earth_lead_ohm: of the lead from the load to its earth point [ohm].
        body_ohm: of the body between the two earth points, stated or measured [ohm]; painted or bonded seams make any
            guess worthless, so None is refused.
        joints_ohm: of each joint on the way: lug to body here, body to strap there ... [ohm].

    Raises:
        SizingError: the body's resistance is not known.
    """
    if body_ohm is None:
        raise SizingError(
            f"return {name!r} goes through the body, whose resistance is not known: measure it between the two earth "
            "points (pass 10 A and read the volts), or run a negative conductor"
        )
    earth = f"{name}.earth"
    body = conductor_ohm(0.0, 0.0, body_ohm) + sum(conductor_ohm(0.0, 0.0, joint) for joint in joints_ohm)
    return Piece(f"{name}.lead", f"{at}-", earth, earth_lead_ohm), Piece(f"{name}.body", earth, source_minus, body)
