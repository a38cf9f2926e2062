"""The main fuse and the bar behind it, for the worst state of the van."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.sizing.errors import check_number
from ribway.sizing.feeders.states import FeederLoad
from ribway.sizing.fuse import ROUNDING, FuseChoice, NoFuse, choose_fuse
from ribway.sizing.rules import FuseWindow, fuse_window


@dataclass(frozen=True)
class MainFuse:
    """A main fuse with what it was chosen for.

    Attributes:
        fuse: the fuse, or why none fits.
        load_a: current it was chosen for [A]: the worst state, and enough that it also carries the worst start.
        because: one clause for people.
        faults: sentences about the bar.
    """

    fuse: FuseChoice | NoFuse
    load_a: float
    because: str
    faults: tuple[str, ...]


def main_fuse(
    load: FeederLoad, weakest_derated_a: float, bar_a: float | None, window: str | FuseWindow = "careful"
) -> MainFuse:
    """The main fuse of a battery, or the fuse of a feeder.

    Args:
        load: what it carries by state.
        weakest_derated_a: derated ampacity of the weakest conductor behind it that has no fuse of its own [A].
        bar_a: what the bar behind it may carry [A]; None if not known.
        window: fuse window or its name.

    Returns:
        The fuse, the current it was chosen for and why, and what is wrong with the bar.
    """
    if bar_a is not None:
        check_number(bar_a, "amperes of the bar [A]", positive=True)
    rule = fuse_window(window) if isinstance(window, str) else window
    for_start_a = load.start_a / rule.load_factor
    load_a = max(load.worst.amps, for_start_a)
    because = load.says
    if for_start_a > load.worst.amps:
        because += f"; raised to {load_a:.4g} A so that it carries the start of {load.start_a:.4g} A"
    fuse = choose_fuse(load_a, weakest_derated_a, rule)
    rating_a = fuse.fuse.rating_a if isinstance(fuse, FuseChoice) else None
    return MainFuse(fuse, load_a, because, bar_faults(load, rating_a, bar_a, rule))


def bar_faults(
    load: FeederLoad | None, fuse_a: float | None, bar_a: float | None, window: FuseWindow
) -> tuple[str, ...]:
    """What is wrong with a bar: more flows than it may carry, or the fuse before it does not protect it.

    Args:
        load: what it carries by state; None if it is not known by state.
        fuse_a: rating of the fuse before it, chosen or stated [A]; None if there is none.
        bar_a: what it may carry [A]; None if not known.
        window: how far above what a conductor may carry its fuse may lie.
    """
    if bar_a is None:
        return ("what the bar may carry is not known: ask its maker",)
    if load is not None and load.worst.amps > bar_a * (1.0 + ROUNDING):
        flows = f"{load.worst.amps:.4g} A flow while {load.worst.state}"
        return (f"{flows}, the bar may carry {bar_a:g} A: take a bigger one",)
    if fuse_a is not None and fuse_a > bar_a * window.ampacity_factor * (1.0 + ROUNDING):
        return (f"the {fuse_a:g} A fuse does not protect a bar of {bar_a:g} A: take a bigger bar",)
    return ()
