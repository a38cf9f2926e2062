"""Voltages and currents everywhere in a radial network, with loads of constant current, power and resistance.

The load voltages u satisfy u = E - Z i(u), where Z[j, k] is the resistance of what loads j and k share, there and back, with
the source's own. Loads of constant power have two solutions or none. The upper one, which is where a system settles,
is followed from no power (where there is one solution) to full power by Newton steps; where it ends, the determinant of
the Jacobian I + Z di/du becomes 0 and no more power can be delivered.

Source: Kirchhoff's laws; power-flow continuation as in Ajjarapu and Christy, IEEE Trans. Power Systems 7 (1992) 416.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.sizing.errors import NoOperatingPointError
from ribway.sizing.network.parts import Load, Network, Piece
from ribway.sizing.network.tree import Trees, trees, way_to_source

Vector = NDArray[np.float64]

SMALLEST_STEP: Final = 1e-7
"""Share of the power at which following is given up: within that of the greatest power the wires could deliver."""
NEWTON_STEPS: Final = 30
CLOSE: Final = 1e-13
"""A Newton step this small against the source voltage ends the search."""


@dataclass(frozen=True)
class LoadPoint:
    """Where one load settles.

    Attributes:
        load: its id.
        volts: at its terminals [V]; 0 if a switch cuts it off.
        amps: drawn [A].
        fed: False if a switch cuts it off.
    """

    load: str
    volts: float
    amps: float
    fed: bool


@dataclass(frozen=True)
class Solution:
    """A network solved.

    Attributes:
        loads: by load id.
        piece_amps: current in every piece and closed switch that is fed, 0 or more [A].
        node_v: voltage of every fed node against the negative terminal [V].
        source_a: drawn from the source [A].
        source_v: between the source's terminals [V].
    """

    loads: Mapping[str, LoadPoint]
    piece_amps: Mapping[str, float]
    node_v: Mapping[str, float]
    source_a: float
    source_v: float


def solve_network(network: Network, starting: frozenset[str] = frozenset()) -> Solution:
    """Solve a radial network.

    Args:
        network: the network, its switches where they stand.
        starting: ids of loads that draw their starting current, as a constant current.

    Returns:
        Volts and amps at every load, piece and node.

    Raises:
        NotRadialError: see `trees`. NoOperatingPointError: the wires cannot feed the loads; in words.
    """
    grown = trees(network)
    fed = [_as_it_draws(load, starting) for load in network.loads if load.id not in grown.dead]
    pieces, paths = _paths(fed, grown)
    ohms = np.array([piece.ohm for piece in pieces], dtype=np.float64)
    shared = (paths * ohms) @ paths.T + network.source.internal_ohm
    live = paths[[load.value > 0.0 for load in fed]].any(axis=0)
    fixed = np.array([piece.fixed_v for piece in pieces], dtype=np.float64) * live
    volts, amps = _settle(fed, network.source.open_v - paths @ fixed, shared)
    carried = amps @ paths
    through = dict(zip((piece.id for piece in pieces), (float(one) for one in carried), strict=True))
    lost = {piece.id: piece.ohm * through[piece.id] + float(loss) for piece, loss in zip(pieces, fixed, strict=True)}
    drawn = float(amps.sum())
    source_v = network.source.open_v - network.source.internal_ohm * drawn
    points = {load.id: LoadPoint(load.id, 0.0, 0.0, False) for load in network.loads}
    for load, at, current in zip(fed, volts, amps, strict=True):
        points[load.id] = LoadPoint(load.id, float(at), float(current), True)
    return Solution(points, through, _node_volts(network, grown, lost, source_v), drawn, source_v)


def _as_it_draws(load: Load, starting: frozenset[str]) -> Load:
    if load.id in starting and load.start_a is not None:
        return Load(load.id, load.plus, load.minus, "amps", load.start_a)
    return load


def _paths(fed: Sequence[Load], grown: Trees) -> tuple[list[Piece], Vector]:
    """All pieces that any fed load uses, and `(loads, pieces)` 1 where a load's current flows through a piece."""
    found: dict[str, int] = {}
    pieces: list[Piece] = []
    uses: list[list[int]] = []
    for load in fed:
        mine = [*way_to_source(load.plus, grown.plus), *way_to_source(load.minus, grown.minus)]
        for piece in mine:
            if piece.id not in found:
                found[piece.id] = len(pieces)
                pieces.append(piece)
        uses.append([found[piece.id] for piece in mine])
    paths = np.zeros((len(fed), len(pieces)))
    for row, mine_at in enumerate(uses):
        paths[row, mine_at] = 1.0
    return pieces, paths


def _settle(fed: Sequence[Load], feed_v: Vector, shared: Vector) -> tuple[Vector, Vector]:
    """Volts and amps of the fed loads on the upper branch."""
    amps = np.array([load.value if load.kind == "amps" else 0.0 for load in fed])
    watts = np.array([load.value if load.kind == "watts" else 0.0 for load in fed])
    siemens = np.array([1.0 / load.value if load.kind == "ohms" else 0.0 for load in fed])
    volts = np.linalg.solve(np.eye(len(fed)) + shared * siemens, feed_v - shared @ amps) if fed else feed_v
    if (volts <= 0.0).any():
        raise NoOperatingPointError(_too_many_amps(fed, volts))
    share, step = (0.0, 1.0) if watts.any() else (1.0, 1.0)
    while share < 1.0:
        step = min(step, 1.0 - share)
        tried = _newton(volts, feed_v, shared, amps, watts * (share + step), siemens)
        if tried is not None:
            volts, share, step = tried, share + step, 2.0 * step
        else:
            step /= 2.0
            if step < SMALLEST_STEP:
                raise NoOperatingPointError(_too_many_watts(fed, volts, share))
    return volts, amps + watts / volts + siemens * volts


def _newton(
    start: Vector, feed_v: Vector, shared: Vector, amps: Vector, watts: Vector, siemens: Vector
) -> Vector | None:
    """The solution near a start, or None if it is not reached or lies past the turning point."""
    volts, scale = start, float(feed_v.max())
    for _ in range(NEWTON_STEPS):
        jacobian = np.eye(len(volts)) + shared * (siemens - watts / volts**2)
        sign, _ = np.linalg.slogdet(jacobian)
        if sign <= 0.0:
            return None
        change = np.linalg.solve(jacobian, feed_v - shared @ (amps + watts / volts + siemens * volts) - volts)
        volts = volts + change
        if (volts <= 0.0).any() or not np.isfinite(volts).all():
            return None
        if float(np.abs(change).max()) <= CLOSE * scale:
            return volts
    return None


def _node_volts(network: Network, grown: Trees, lost: Mapping[str, float], source_v: float) -> dict[str, float]:
    volts = {network.source.plus: source_v, network.source.minus: 0.0}
    for node, step in grown.plus.items():
        volts[node] = volts[step.node] - lost.get(step.piece.id, 0.0)
    for node, step in grown.minus.items():
        volts[node] = volts[step.node] + lost.get(step.piece.id, 0.0)
    return volts


def _too_many_amps(fed: Sequence[Load], volts: Vector) -> str:
    worst = int(np.argmin(volts))
    return (
        f"load {fed[worst].id!r} would be left with {float(volts[worst]):.3g} V: the wires cannot carry what is drawn; "
        "take thicker or shorter wire, a higher voltage, or less current"
    )


def _too_many_watts(fed: Sequence[Load], volts: Vector, share: float) -> str:
    worst = int(np.argmin(np.where([load.kind == "watts" for load in fed], volts, np.inf)))
    total = sum(load.value for load in fed if load.kind == "watts")
    return (
        f"{total:.4g} W of constant power cannot be fed at any voltage: at {share * total:.3g} W load "
        f"{fed[worst].id!r} is down to {float(volts[worst]):.3g} V and the voltage collapses; "
        "take thicker or shorter wire, a higher voltage, or less power"
    )
