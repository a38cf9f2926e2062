"""Least copper that circuits could do with, for many places at once.

Sizes follow from volts: a run's size costs copper and leaves volts to what it feeds. Every size of a feeder is tried with the
best sizes behind it, down the tree, so that the answer is the least of all choices of sizes over these lengths. Lengths are
bounds from below, volts and copper rise with length, and all that couples runs otherwise (bundles, room in openings) is left
out: no plan does with less.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ribway.router.circuits.runs import Feed, Run
from ribway.router.placing.chains import Loose
from ribway.router.placing.picks import Needs, Pick
from ribway.router.sizes.growing import alike

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Lengths:
    """What a run measures at each place.

    Args:
        metres: by run id and position of the pick, ``(n,)`` or ``(1,)``: route and stubs [m].
        slack: share added along the way.
        counted: runs whose copper counts; what is taped or lies on a mounting board is the same everywhere.
        step_m: cut lengths are rounded up to this, and volts are lost over the rounded ones [m].
        priced: as ``metres``, with what a run pays for room in openings counted as metres of its cable; those of no price
            left out [m].
    """

    metres: Mapping[str, Sequence[Array]]
    slack: float
    counted: frozenset[str]
    step_m: float
    priced: Mapping[str, Sequence[Array]] = field(default_factory=dict)

    def rounded(self, cut_m: Array) -> Array:
        """Cut lengths rounded up, with play for what is a whole step but for the last bits."""
        return np.asarray(np.ceil(cut_m / self.step_m - 1e-6) * self.step_m)

    def cut_m(self, run: str, position: int, pick: Pick) -> Array:
        """Metres to cut before rounding."""
        return self.metres[run][position] * (1.0 + self.slack) + pick.tails_m

    def paid_m(self, run: str, position: int, pick: Pick) -> Array:
        """Metres to pay for before rounding: those to cut, and what room in openings is worth on the way."""
        return self.priced.get(run, self.metres[run])[position] * (1.0 + self.slack) + pick.tails_m


class Least:
    """Least copper of a project's circuits."""

    def __init__(
        self,
        feeds: Sequence[Feed],
        runs: Mapping[str, Run],
        needs: Mapping[str, Needs],
        lengths: Lengths,
        loose: Mapping[str, Loose],
        instead: Mapping[str, Callable[[Array, Array], Array]] | None = None,
    ) -> None:
        """Args: ``instead``: copper of some circuits, with all behind them, found otherwise from the volts lost before."""
        self._instead = instead or {}
        self._runs, self._needs, self._lengths, self._loose = runs, needs, lengths, loose
        self._feeds = {feed.circuit.id: feed for feed in feeds}
        self._groups = {feed.circuit.id: alike(feed, runs) for feed in feeds}
        self._children: dict[str, list[str]] = {}
        self._roots: list[str] = []
        for feed in feeds:
            at = self._fed_through(feed)
            if at:
                self._children.setdefault(at, []).append(feed.circuit.id)
            else:
                self._roots.append(feed.circuit.id)

    def _fed_through(self, feed: Feed) -> str:
        """Run that brings a circuit its current; empty if none does, or if only round a ring."""
        above, parent = {feed.circuit.id}, feed.parent
        while parent in self._feeds and parent not in above:
            above.add(parent)
            parent = self._feeds[parent].parent
        if parent or feed.parent not in self._feeds:
            return ""
        through = [run for run in self._feeds[feed.parent].runs if feed.circuit.source in self._runs[run].draws]
        return through[0] if through else ""

    def restricted(self, keeps: Callable[[str, Pick], bool]) -> Least | None:
        """The same circuits with some of the cables left out; None if some run has none left.

        Args:
            keeps: whether a run may still be made of a cable.
        """
        kept = {
            run: [at for at, pick in enumerate(needs.picks) if keeps(run, pick)] for run, needs in self._needs.items()
        }
        if not all(kept.values()):
            return None
        needs = {
            run: replace(self._needs[run], picks=tuple(self._needs[run].picks[at] for at in places))
            for run, places in kept.items()
        }
        metres = {run: [self._lengths.metres[run][at] for at in places] for run, places in kept.items()}
        priced = {run: [one[at] for at in kept[run]] for run, one in self._lengths.priced.items()}
        lengths = replace(self._lengths, metres=metres, priced=priced)
        return Least(tuple(self._feeds.values()), self._runs, needs, lengths, self._loose)

    def kg(self) -> Array:
        """``(n,)`` copper before rounding [kg]; infinite where no size in stock holds the volts."""
        nothing = np.zeros(1)
        return np.asarray(sum((self._circuit(one, nothing, nothing) for one in self._roots), nothing))

    def with_instead(self, instead: Mapping[str, Callable[[Array, Array], Array]]) -> Least:
        """The same circuits, the copper of some found otherwise."""
        feeds = tuple(self._feeds.values())
        return Least(feeds, self._runs, self._needs, self._lengths, self._loose, instead)

    def with_priced(self, priced: Callable[[str, Sequence[Pick]], Sequence[Array] | None]) -> Least:
        """The same circuits, their runs paying for more than their metres.

        Args:
            priced: metres that a run pays for, by its cables; None for those that it is long. Asked of circuits alone whose
                loads keep their order.
        """
        fixed = [name for feed in self._feeds.values() if feed.circuit.id not in self._loose for name in feed.runs]
        found = {name: priced(name, self._needs[name].picks) for name in fixed}
        lengths = replace(self._lengths, priced={name: one for name, one in found.items() if one is not None})
        return Least(tuple(self._feeds.values()), self._runs, self._needs, lengths, self._loose, self._instead)

    def metres(self, run: str) -> Array:
        """``(n,)`` or ``(1,)`` route of a run in its thinnest cable, stubs included [m]."""
        return self._lengths.metres[run][0]

    def circuit(self, name: str, lost: Array, lost_start: Array) -> Array:
        """``(n,)`` or ``(1,)`` copper of a circuit and all behind it, if so many volts are lost before it [kg]."""
        return self._circuit(name, lost, lost_start)

    def _circuit(self, name: str, lost: Array, lost_start: Array) -> Array:
        if name in self._instead:
            return self._instead[name](lost, lost_start)
        if name in self._loose:
            loose = self._loose[name]
            below = [child for run in self._feeds[name].runs for child in self._children.get(run, ())]
            # Where along the chain they hang is open, so nothing is taken as lost in it.
            kids = (self._circuit(child, lost, lost_start) for child in below)
            return np.asarray(sum(kids, loose.kg(lost)))
        total = np.zeros(1)
        for group in self._groups[name]:
            total = total + self._group(group, lost, lost_start)
        return total

    def _group(self, group: Sequence[str], lost: Array, lost_start: Array) -> Array:
        """Runs of one size: all sizes that they could have, the best one at each place."""
        common = set.intersection(*({pick.index for pick in self._needs[run].picks} for run in group))
        if len(group) > 1 and not (common and self._same_cables(group)):
            return self._each_its_own(group, lost, lost_start)
        best = np.full(1, np.inf)
        for index in sorted(common):
            best = np.minimum(best, self._in_size(group, index, lost, lost_start))
        return best

    def _same_cables(self, group: Sequence[str]) -> bool:
        families = {self._needs[run].family for run in group}
        return len(families) == 1 and families != {()}

    def _in_size(self, group: Sequence[str], index: int, lost: Array, lost_start: Array) -> Array:
        kg = np.zeros(1)
        before: dict[str, tuple[Array, Array]] = {}
        for run in group:
            position = next(i for i, pick in enumerate(self._needs[run].picks) if pick.index == index)
            entry = before.get(self._runs[run].after, (lost, lost_start))
            own, before[run] = self._run(run, position, *entry)
            kg = kg + own
            if not np.isfinite(kg).any():
                break
        return kg

    def _each_its_own(self, group: Sequence[str], lost: Array, lost_start: Array) -> Array:
        """Runs of one circuit whose sizes may differ: each as small as may be behind the thickest before it."""
        total = np.zeros(1)
        before: dict[str, tuple[Array, Array]] = {}
        for run in group:
            entry = before.get(self._runs[run].after, (lost, lost_start))
            tried = [self._run(run, position, *entry) for position in range(len(self._needs[run].picks))]
            total = total + _least(kg for kg, _ in tried)
            before[run] = _least(volts[0] for _, volts in tried), _least(volts[1] for _, volts in tried)
        return total

    def _run(self, run: str, position: int, lost: Array, lost_start: Array) -> tuple[Array, tuple[Array, Array]]:
        """Copper of a run in one size and of all behind it, and the volts lost at its end, running and starting."""
        needs = self._needs[run]
        pick = needs.picks[position]
        cut = self._lengths.cut_m(run, position, pick)
        with np.errstate(invalid="ignore"):  # no path and no current: no volts
            ohm = self._lengths.rounded(cut) * pick.ohm_per_m + needs.extra_ohm
            end = lost + np.where(np.isfinite(cut), ohm * needs.amps, 0.0)
            end_start = lost_start + np.where(np.isfinite(cut), ohm * needs.start_amps, 0.0)
        with np.errstate(invalid="ignore"):
            kg = (
                pick.kg_per_m * self._lengths.paid_m(run, position, pick)
                if run in self._lengths.counted
                else np.zeros(1)
            )
        held = np.isfinite(cut) & (end <= needs.most_v) & (end_start <= needs.most_start_v)
        kg = np.where(held, kg, np.inf)
        if held.any():
            for child in self._children.get(run, ()):
                kg = kg + self._circuit(child, end, end_start)
        return kg, (end, end_start)


def _least(values: Iterable[Array]) -> Array:
    return np.asarray(np.minimum.reduce(np.broadcast_arrays(*values)))
