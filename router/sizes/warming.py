"""What warms the runs of a loom where they lie together: loaded conductors counted, and the heat of every section.

A bundle is taken as round and as tight as its cables could lie at all (their outside areas without gaps), which is the
least surface that it can have: the heat balance errs to the safe side.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from ribway.models.project import Project
from ribway.models.shop import Shop
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import Cable
from ribway.router.looms.crowd import Neighbourhood
from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Stretch
from ribway.sizing.grouping import Member, counted_conductors
from ribway.sizing.heat.duty import Duty, heating_amps
from ribway.sizing.heat.members import HeatMember, sections_of
from ribway.sizing.heat.section import Section
from ribway.sizing.rules import SizingRules

Key = tuple[str, tuple[tuple[str, int], ...]]


def duties_of(project: Project) -> dict[str, Duty]:
    """How long the loads of circuits are on at a time, where that is said; by circuit.

    Args:
        project: what the user said.
    """
    said = {circuit.id: circuit.duty for circuit in project.circuits if circuit.duty is not None}
    return {name: Duty(3600.0 * one.on, None if one.off is None else 3600.0 * one.off) for name, one in said.items()}


@dataclass(frozen=True)
class Bundle:
    """Runs that lie together in one zone.

    Args:
        counts: loaded conductors as each run has to count them.
        sections: for the heat balance, by run; empty where nothing carries current.
    """

    counts: Mapping[str, int]
    sections: Mapping[str, Section]


@dataclass(frozen=True)
class Warming:
    """Finds the surroundings of runs.

    Args:
        shop: ambients.
        rules: rule set by kind: dc, ac.
        runs: by id.
        cables: candidates by run id, thin to thick.
        sets: name of the set of circuits never loaded together, by circuit; circuits of no set left out.
        duties: how long the loads of a circuit are on at a time, by circuit; those that are on for good left out.
    """

    shop: Shop
    rules: Mapping[str, SizingRules]
    runs: Mapping[str, Run]
    cables: Mapping[str, Sequence[Cable]]
    sets: Mapping[str, str]
    duties: Mapping[str, Duty]
    # Most steps change one cable: the other bundles are found here as they were before.
    known: dict[Key, Bundle] = field(default_factory=dict, compare=False, repr=False)

    def stretches(
        self, near: Mapping[str, Sequence[Neighbourhood]], index: Mapping[str, int]
    ) -> dict[str, tuple[Stretch, ...]]:
        """Surroundings of every run: each bundle that it lies in, with its heat.

        Args:
            near: which runs lie together, by run.
            index: which candidate each run takes.
        """
        bundles: dict[Neighbourhood, Bundle] = {}
        out: dict[str, tuple[Stretch, ...]] = {}
        for run, around in near.items():
            plain: dict[tuple[str, int], Stretch] = {}
            warm: dict[Stretch, None] = {}
            # Beside cables that carry nothing a run is not counted as cooler than alone.
            alone = (Neighbourhood(zone, (run,)) for zone in sorted({one.zone for one in around}))
            for one in dict.fromkeys((*around, *alone)):
                bundle = bundles.get(one)
                if bundle is None:
                    bundle = bundles[one] = self._bundle(one, index)
                count = bundle.counts[run]
                stretch = Stretch(f"{one.zone}, {count} loaded conductors", self._air_c(one), count)
                heat = bundle.sections.get(run)
                if heat is None:
                    plain.setdefault((one.zone, count), stretch)
                else:
                    warm[replace(stretch, heat=heat)] = None
            covered = {(one.where.split(",")[0], one.loaded_conductors) for one in warm}
            out[run] = (*(plain[key] for key in sorted(plain) if key not in covered), *warm)
        return out

    def _bundle(self, one: Neighbourhood, index: Mapping[str, int]) -> Bundle:
        key = (one.zone, tuple((run, index[run]) for run in one.runs))
        if key not in self.known:
            self.known[key] = self._found(one, index)
        return self.known[key]

    def _found(self, one: Neighbourhood, index: Mapping[str, int]) -> Bundle:
        cable_of = {run: self.cables[run][index[run]] for run in one.runs}
        sets = self._sets(one.runs)
        ambient = self._air_c(one)

        def grouped_a(run: str, count: int) -> float:
            conductor = cable_of[run].conductor
            if conductor is None:
                return math.inf  # what is not sized warms nobody
            rules = self.rules["ac" if self.runs[run].kind == "ac" else "dc"]
            return derated_ampacity(conductor, (Stretch("here", ambient, count),), rules).derated_a

        members = [Member(run, self._loaded(run), self._amps(run), sets.get(run, "")) for run in one.runs]
        counts = {run: counted.count for run, counted in counted_conductors(members, grouped_a).items()}
        hot: list[HeatMember] = []
        for run in one.runs:
            conductor = cable_of[run].conductor
            if conductor is not None and self._loaded(run):
                hot.append(
                    HeatMember(run, conductor, self._warms(run, conductor), self._loaded(run), sets.get(run, ""))
                )
        if not hot or self.rules["dc"].derating == "factor":
            return Bundle(counts, {})
        outlines = [outline for run in one.runs for outline in cable_of[run].item(self.runs[run]).outlines]
        diameter_m = math.sqrt(4.0 / math.pi * sum(outline.area_m2 for outline in outlines))
        return Bundle(counts, sections_of(hot, diameter_m))

    def _sets(self, runs: Sequence[str]) -> dict[str, str]:
        """Set of each run that may be left out for another; not if a circuit of the set has two runs here."""
        named = {run: self.sets[self.runs[run].circuit] for run in runs if self.runs[run].circuit in self.sets}
        doubled = {
            self.sets[circuit]
            for circuit, count in Counter(self.runs[run].circuit for run in named).items()
            if count > 1
        }
        return {run: name for run, name in named.items() if name not in doubled}

    def _air_c(self, one: Neighbourhood) -> float:
        return float(getattr(self.shop.ambients, one.zone.replace(" ", "_")))

    def _loaded(self, run: str) -> int:
        return self.runs[run].loaded_cores

    def _warms(self, run: str, conductor: Conductor) -> float:
        """The steady current by which a run warms others [A]; its own wire is held by all of its current."""
        duty = self.duties.get(self.runs[run].circuit)
        amps = self._amps(run)
        return amps if duty is None else heating_amps(amps, duty, conductor.area_mm2, conductor.metal)

    def _amps(self, run: str) -> float:
        return self.runs[run].amps if self._loaded(run) else 0.0
