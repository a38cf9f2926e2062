"""Voltage drop, there and back: one load, and a chain of loads node by node."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.sizing.errors import SizingError, check_number
from ribway.sizing.radial import radial_network


def loop_ohm(
    positive_ohm_per_m: float,
    positive_m: float,
    negative_ohm_per_m: float | None = None,
    negative_m: float | None = None,
    extra_ohm: float = 0.0,
) -> float:
    """Resistance there and back.

    Args:
        positive_ohm_per_m: of the way there [ohm/m].
        positive_m: length of the way there, one way [m].
        negative_ohm_per_m: of the way back [ohm/m]; as the way there if not given.
        negative_m: length of the way back [m]; as the way there if not given.
        extra_ohm: joints, contacts, a measured body return [ohm].

    Returns:
        Loop resistance [ohm].
    """
    back_ohm_per_m = positive_ohm_per_m if negative_ohm_per_m is None else negative_ohm_per_m
    back_m = positive_m if negative_m is None else negative_m
    for value, name in (
        (positive_ohm_per_m, "resistance there [ohm/m]"),
        (back_ohm_per_m, "resistance back [ohm/m]"),
        (positive_m, "length there [m]"),
        (back_m, "length back [m]"),
        (extra_ohm, "extra resistance [ohm]"),
    ):
        check_number(value, name)
    return positive_ohm_per_m * positive_m + back_ohm_per_m * back_m + extra_ohm


def drop_v(amps: float, loop_resistance_ohm: float) -> float:
    """Drop of one load on its own loop [V]: I R."""
    check_number(amps, "current [A]")
    check_number(loop_resistance_ohm, "loop resistance [ohm]")
    return amps * loop_resistance_ohm


def drop_percent(volts_lost: float, nominal_v: float) -> float:
    """Drop as per cent of the nominal voltage."""
    check_number(volts_lost, "drop [V]")
    check_number(nominal_v, "nominal voltage [V]", positive=True)
    return 100.0 * volts_lost / nominal_v


def area_needed_mm2(amps: float, loop_m: float, allowed_v: float, resistivity_ohm_mm2_per_m: float) -> float:
    """Copper area at which a single load drops exactly the allowed voltage.

    Args:
        amps: current [A].
        loop_m: there and back [m].
        allowed_v: drop allowed [V].
        resistivity_ohm_mm2_per_m: [ohm mm2/m]; times 1000 area-lengths of a table, or of hot copper.

    Returns:
        Area [mm2].
    """
    check_number(amps, "current [A]")
    check_number(loop_m, "length there and back [m]")
    check_number(allowed_v, "allowed drop [V]", positive=True)
    check_number(resistivity_ohm_mm2_per_m, "resistivity [ohm mm2/m]", positive=True)
    return resistivity_ohm_mm2_per_m * loop_m * amps / allowed_v


def chain_drops(
    segments_ohm_loop: Sequence[float], load_amps: Sequence[float], upstream_v: float = 0.0
) -> tuple[float, ...]:
    """Volts lost at each node of a daisy chain of constant-current loads.

    Args:
        segments_ohm_loop: `(n,)` loop resistance of the piece that ends at each node, from the source on [ohm].
        load_amps: `(n,)` current drawn at each node [A].
        upstream_v: lost before the chain begins, e.g. in a feeder, with the current that flows there [V].

    Returns:
        `(n,)` volts lost between source and node; rises along the chain.

    Raises:
        SizingError: if the two have different lengths; BadNumberError: for a number that is not finite or negative.

    Source: Kirchhoff: a piece carries the sum of the loads at and beyond its end.
    """
    if len(segments_ohm_loop) != len(load_amps):
        raise SizingError(
            f"{len(segments_ohm_loop)} pieces of chain but {len(load_amps)} loads; give one load for each"
        )
    return radial_network(range(-1, len(load_amps) - 1), segments_ohm_loop, load_amps, upstream_v).drops_v
