"""The base as other shops or other batteries would have it: fewer sizes of cable, another system voltage."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.printed import counted
from ribway.models.project import Project


def suppositions(
    base: Project, sizes: Sequence[int], volts: Sequence[float]
) -> tuple[dict[str, Project], tuple[str, ...]]:
    """What is to be planned beside the base and its alternatives.

    Args:
        base: the base.
        sizes: numbers of sizes of DC cable at most.
        volts: system voltages [V].

    Returns:
        Projects by name, and what was taken for granted of each, in words. Where the shop keeps to some sizes, any sizes
        are among them.
    """
    found = {counted(number, "size"): with_sizes(base, number) for number in sizes}
    if base.shop.use_at_most is not None:
        found["any sizes"] = with_sizes(base, None)
    notes: list[str] = []
    if volts:
        from ribway.router.choosing.other_volts import at_volts

        for one in volts:
            other = at_volts(base, one)
            found[f"{one:g} V"] = other.project
            notes += [f"{one:g} V: {note}" for note in other.notes]
    return found, tuple(notes)


def with_sizes(base: Project, number: int | None) -> Project:
    """The base in a shop that keeps so many sizes of DC cable; any if None."""
    return base.model_copy(update={"shop": base.shop.model_copy(update={"use_at_most": number})})
