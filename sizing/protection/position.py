"""Where fuses must sit: near each source along the wire, at both ends where both can feed, at each step to thinner wire."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sizing.errors import SizingError, UnknownRuleError, check_number
from ribway.sizing.fuse import ROUNDING
from ribway.sizing.protection.finding import ProtectionFinding
from ribway.sizing.rules import FuseWindow, fuse_window
from ribway.sizing.tabledata import number_in, table_rows


def farthest_m(rule_set: str, sheathed: bool) -> float:
    """How far from the source a fuse may sit, along the wire [m].

    Args:
        rule_set: `33CFR183` or `ISO10133`.
        sheathed: whether the wire to it lies in a sheath, conduit or enclosure of its own.

    Raises:
        UnknownRuleError: listing the known rule sets.

    Source: column `source` of tables/fuse_positions.csv.
    """
    table = "fuse_positions"
    rows = table_rows(table, ("rule_set", "bare_m", "sheathed_m"), ("rule_set",))
    for row in rows:
        if row["rule_set"] == rule_set:
            return number_in(table, row, "sheathed_m" if sheathed else "bare_m")
    raise UnknownRuleError(f"no fuse distance for {rule_set!r}; accepted: {', '.join(row['rule_set'] for row in rows)}")


@dataclass(frozen=True)
class End:
    """One end of a run.

    Attributes:
        place: its name.
        can_feed: whether current can come from there: battery, alternator, charger, solar controller, inverter-charger.
        fuse_at_m: how far along the wire from there the fuse sits [m]; None if there is none.
        sheathed: whether the wire to the fuse is sheathed.
    """

    place: str
    can_feed: bool
    fuse_at_m: float | None
    sheathed: bool = False

    def __post_init__(self) -> None:
        if self.fuse_at_m is not None:
            check_number(self.fuse_at_m, f"distance of the fuse from {self.place!r} [m]")


def end_findings(run: str, a: End, b: End, rule_set: str = "33CFR183") -> tuple[ProtectionFinding, ...]:
    """Whether a run has a fuse near each end that can feed it.

    Args:
        run: its name.
        a: one end.
        b: the other end.
        rule_set: for the distance.
    """
    both = a.can_feed and b.can_feed
    out: list[ProtectionFinding] = []
    for end in (a, b):
        if not end.can_feed:
            continue
        if end.fuse_at_m is None:
            why = "both its ends can feed it" if both else "it is fed from there"
            says = (
                f"no fuse at {end.place}, and {why}: a short would be fed from {end.place} without one; put one there"
            )
            out.append(ProtectionFinding("both ends" if both else "position", run, says))
            continue
        most_m = farthest_m(rule_set, end.sheathed)
        if end.fuse_at_m > most_m * (1.0 + ROUNDING):
            how = "sheathed wire" if end.sheathed else "bare wire"
            says = (
                f"the fuse sits {1000 * end.fuse_at_m:.0f} mm along the wire from {end.place}; {1000 * most_m:.0f} mm of "
                f"{how} are allowed ({rule_set}): move it nearer"
            )
            out.append(ProtectionFinding("position", run, says))
    return tuple(out)


@dataclass(frozen=True)
class Stage:
    """One conductor behind a fuse.

    Attributes:
        id: its name.
        fed_from: index of the stage that feeds it; -1 for the source.
        derated_a: what it may carry [A].
        fuse_a: rating of a fuse at its beginning [A]; None if there is none.
    """

    id: str
    fed_from: int
    derated_a: float
    fuse_a: float | None = None


def step_down_findings(stages: Sequence[Stage], window: str | FuseWindow = "careful") -> tuple[ProtectionFinding, ...]:
    """Whether every conductor, to the thinnest tail, is protected by the nearest fuse before it.

    Args:
        stages: each after the one that feeds it.
        window: what share of its ampacity a fuse may have.

    Returns:
        One finding a conductor that is not protected.

    Raises:
        SizingError: a stage stands before the one that feeds it.
    """
    rule = fuse_window(window) if isinstance(window, str) else window
    nearest: list[tuple[float, str] | None] = []
    out: list[ProtectionFinding] = []
    for index, stage in enumerate(stages):
        if not -1 <= stage.fed_from < index:
            raise SizingError(f"{stage.id!r} is fed from stage {stage.fed_from}; list it after the one that feeds it")
        check_number(stage.derated_a, f"ampacity of {stage.id!r} [A]")
        before = nearest[stage.fed_from] if stage.fed_from >= 0 else None
        here = before if stage.fuse_a is None else (stage.fuse_a, stage.id)
        nearest.append(here)
        most_a = stage.derated_a * rule.ampacity_factor
        if here is None:
            says = f"no fuse before {stage.id}: put one of at most {most_a:.4g} A at its beginning"
            out.append(ProtectionFinding("step-down", stage.id, says))
        elif here[0] > most_a * (1.0 + ROUNDING):
            says = (
                f"{stage.id} may have a fuse of {most_a:.4g} A and lies behind one of {here[0]:g} A at {here[1]}: "
                "give it a fuse of its own where it begins, or take thicker wire"
            )
            out.append(ProtectionFinding("step-down", stage.id, says))
    return tuple(out)
