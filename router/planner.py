"""The one file that chains the stages: shell, space, network, routes, looms, lengths, sizes, plan.

Cables start as thin as a straight run would allow and are routed; measured lengths and looms ask for thicker ones, which
are routed again where they no longer fit. Sizes only go up, so this ends; then one pass tries to lower each circuit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path as FilePath

import numpy as np

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.audit.check import audit_plan
from ribway.router.bounding import Question, copper_bound
from ribway.router.cutting import Cut, tails_m
from ribway.router.faults import Collector, RouterFaults
from ribway.router.given_runs import check_given, taped, with_given
from ribway.router.growing import Grower, alike
from ribway.router.held import CircuitSizes, Sized
from ribway.router.joints import moving_devices, moving_ways
from ribway.router.laying import Laid, Layer
from ribway.router.looms.crowd import Neighbourhood
from ribway.router.ordering import order_chains
from ribway.router.paths.admission import Separation
from ribway.router.paths.dead_ends import DeadEnd, explain
from ribway.router.paths.jobs import Job
from ribway.router.paths.negotiation import Negotiator
from ribway.router.paths.search import Path
from ribway.router.patterns import arranged
from ribway.router.rounds import Layout, cuts_of, layout_of
from ribway.router.rules import sizing_rules
from ribway.router.runs import Feed, Run, derive
from ribway.router.shell.parts import Shell, SkinZone
from ribway.router.shells import shell_of, survey_of
from ribway.router.sizes import Sizer
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network
from ribway.router.stock import COPPER_KG_PER_M_MM2, Cable, candidates
from ribway.router.supply import supplies_of
from ribway.router.surveyed import from_bare_floor
from ribway.router.warming import Warming
from ribway.router.writing.findings import in_order
from ribway.router.writing.outcome import Outcome
from ribway.router.writing.plan import write_plan
from ribway.router.zones import spares, zones
from ribway.sizing.demand import Stretch
from ribway.sizing.verdict import passes

ROUNDS = 20
STEPS = 100
DATA_COST_KG_PER_M = 0.005  # what a metre without copper counts as, so that it too is kept short


class AuditError(RuntimeError):
    """The finished plan does not pass its own audit; nothing may be built from it."""


@dataclass(frozen=True, eq=False)
class State:
    """What one round of planning found; all of it belongs together."""

    index: Mapping[str, int]
    paths: tuple[Path | None, ...]
    layout: Layout
    cuts: Mapping[str, Cut]
    stretches: Mapping[str, tuple[Stretch, ...]]
    sized: Mapping[str, Sized]
    circuits: Mapping[str, CircuitSizes]


def plan_project(project: Project, base_folder: FilePath, alternative: str = "") -> Plan:
    """Plan a project from beginning to end.

    Args:
        project: what the user said.
        base_folder: where the project file lies; mesh paths are relative to it.
        alternative: name of the alternative that ``project`` already is; empty for the base.

    Returns:
        The plan; ``complete`` is false if a run has no route.

    Raises:
        RouterFaults: places and names that do not fit the shell, or circuits for which no stocked size is good enough.
        AuditError: the plan does not pass its own audit, which is a defect of this programme.
    """
    project = survey_of(project)
    shell = shell_of(project, base_folder)
    try:
        plan = _Planning(project, shell).plan(alternative)
    except RouterFaults as faults:
        raise from_bare_floor(faults, project.vehicle.datum.up) from faults
    audited = audit_plan(plan)
    known = {(finding.code, finding.about) for finding in plan.findings}
    errors = [one for one in audited if one.level == "error" and (one.code, one.about) not in known]
    if errors and plan.complete:
        raise AuditError("; ".join(f"{one.about}: {one.message}" for one in errors[:5]))
    more = [one for one in audited if one.level != "error" and (one.code, one.about) not in known]
    return plan.model_copy(update={"findings": in_order((*plan.findings, *more))})


class _Planning:
    """One project on one shell."""

    def __init__(self, project: Project, shell: Shell) -> None:
        self._space = build_space(project, shell)
        self._network: Network = build_network(self._space)
        project, self._orders = order_chains(arranged(project), self._network)
        self._project, self._shell, shop = project, shell, project.shop
        real, self._feeds = derive(project)
        real = with_given(real, project.runs)
        check_given(real, project.runs, self._space)
        portals = {portal.device: portal for portal in self._space.portals}
        self._zone_of = zones(project, self._space.portals, shell.length_m)
        self._runs: tuple[Run, ...] = real + spares(project, real, self._zone_of, portals)
        self._by_id = {run.id: run for run in self._runs}
        self._routed = tuple(run for run in self._runs if run.taped_m is None and not run.board)
        self._cables = self._candidates()
        sets = {circuit.id: circuit.never_with for circuit in project.circuits if circuit.never_with is not None}
        warming = Warming(shop, sizing_rules(shop), self._by_id, self._cables, sets)
        devices = {device.id: device for device in project.devices}
        self._sizer = Sizer(shop, self._by_id, self._feeds, self._cables, warming, devices)
        self._grower = Grower(self._sizer)
        self._separation = Separation(shop.ac_dc, shop.data_power)
        self._negotiator = Negotiator(
            self._network, self._separation, shop.bend_costs, shop.drill_costs, shop.opening_costs
        )
        self._layer = Layer(self._network)
        self._boards = frozenset(device.id for device in project.devices if device.kind == "board")
        self._portal_index = {portal.device: index for index, portal in enumerate(self._space.portals)}

    def _candidates(self) -> dict[str, tuple[Cable, ...]]:
        collector = Collector()
        found = {run.id: collector.take(partial(candidates, run, self._project.shop)) or () for run in self._runs}
        collector.raise_all()
        return found

    def plan(self, alternative: str) -> Plan:
        """Route, measure, size, and write it down."""
        state = self._lowered(self._grown())
        whole = all(path is not None for path in state.paths)
        return write_plan(
            Outcome(
                project=self._project,
                alternative=alternative,
                shell=self._shell,
                space=self._space,
                runs=self._runs,
                feeds=self._feeds,
                zone_of=self._zone_of,
                cable_of={run: self._cables[run][state.index[run]] for run in self._cables},
                paths=state.paths,
                layout=state.layout,
                cuts=state.cuts,
                sized=state.sized,
                reason_of={run: self._sizer.reason(run, state.index, one.demand) for run, one in state.sized.items()},
                circuits=state.circuits,
                sizer=self._sizer,
                dead_ends=self._dead_ends(state),
                bounds=copper_bound(self._question(state)) if whole else None,
                orders=self._orders,
                supplies=supplies_of(self._project),
            )
        )

    def _question(self, state: State) -> Question:
        """What the bound on copper is asked about a finished state."""
        stub_of = {portal.device: portal.stub_m for portal in self._space.portals}
        return Question(
            network=self._network,
            negotiator=self._negotiator,
            sizer=self._sizer,
            shop=self._project.shop,
            boards=self._boards,
            runs=self._routed,
            jobs=self._jobs(state.index),
            cables=self._cables,
            index=state.index,
            sized=state.sized,
            cuts=state.cuts,
            stubs_m={run.id: stub_of[run.a] + stub_of[run.b] for run in self._routed},
        )

    def _jobs(self, index: Mapping[str, int]) -> tuple[Job, ...]:
        """What is to be routed through the van: all runs but taped ones and those that stay on one mounting board."""
        jobs = []
        for run in self._routed:
            cable = self._cables[run.id][index[run.id]]
            weight = cable.copper_mm2 * COPPER_KG_PER_M_MM2 + DATA_COST_KG_PER_M
            via = tuple(self._space.way_index(name) for name in (run.via if run.by_hand is None else run.by_hand))
            avoid = frozenset(self._space.way_index(name) for name in run.avoid)
            start, end = self._portal_index[run.a], self._portal_index[run.b]
            jobs.append(Job(cable.item(run), start, end, weight, via, avoid, run.by_hand is not None))
        return tuple(jobs)

    def _grown(self) -> State:
        """Route, measure, size up, until nothing grows."""
        index = self._first_sizes()
        paths: Sequence[Path | None] = ()
        for _ in range(ROUNDS):
            paths = self._negotiator.route(self._jobs(index), paths).paths  # of the routed runs alone
            state = self._sized_up(index, tuple(paths), self._layout(paths))
            if state.index == index:
                return state
            index = dict(state.index)
        raise AuditError(f"sizes still grow after {ROUNDS} rounds")

    def _first_sizes(self) -> dict[str, int]:
        """Sizes that a straight cable in the coolest air, alone, would need: no route asks for less."""
        index = dict.fromkeys(self._cables, 0)
        zones_: tuple[SkinZone, ...] = ("wall", "roof", "floor")
        coolest = min(zones_, key=self._sizer.ambient_c)
        near = {run.id: (Neighbourhood(coolest, (run.id,)),) for run in self._runs}
        ends = {portal.device: portal.point for portal in self._space.portals}
        straight = {run.id: float(np.linalg.norm(ends[run.a] - ends[run.b])) for run in self._runs}
        for _ in range(STEPS):
            stretches = self._sizer.counts(near, index)
            sized, _ = self._sizer.hold(straight, stretches, index)
            try:
                bigger = self._grower.wanted(sized, straight, stretches, index)
            except RouterFaults:
                # Nothing in stock will do. Thin cables find a route, and with its length it is said what would be needed.
                return dict.fromkeys(self._cables, 0)
            if not bigger:
                break
            for run in bigger:
                index[run] += 1
        return index

    def _layout(self, paths: Sequence[Path | None]) -> Layout:
        laid: dict[str, Laid] = {}
        boards = {board.device: board for board in self._space.boards}
        path_of = dict(zip((run.id for run in self._routed), paths, strict=True))
        for run in self._runs:
            a, b, path = self._portal_index[run.a], self._portal_index[run.b], path_of.get(run.id)
            if run.taped_m is not None:
                ends = self._space.portals[a], self._space.portals[b]
                laid[run.id] = taped(run, run.taped_m, *ends, self._project.shop.ambients)
            elif run.board:
                laid[run.id] = self._layer.lay_on(boards[run.board], a, b)
            elif path is not None:
                laid[run.id] = self._layer.lay(path, a, b)
        layout = layout_of(self._runs, laid, self._zone_of, self._project.shop.bend_counts_above_deg)
        return replace(layout, loops=self._loops(laid))

    def _loops(self, laid: Mapping[str, Laid]) -> dict[str, float]:
        """Length left as loops where runs cross to something that moves [m]; a taped run has them in its tape."""
        devices, ways = moving_devices(self._project), moving_ways(self._project)
        out = {}
        for run in self._runs:
            if run.id in laid and run.taped_m is None and (devices or ways):
                passed = (self._space.ways[way].name for way in laid[run.id].ways)
                at_ends = sum(devices.get(end, 0.0) for end in (run.a, run.b))
                out[run.id] = at_ends + sum(ways.get(name, 0.0) for name in passed)
        return {run: metres for run, metres in out.items() if metres > 0.0}

    def _hold(self, index: Mapping[str, int], paths: tuple[Path | None, ...], layout: Layout) -> State:
        cable_of = {run: self._cables[run][index[run]] for run in layout.laid}
        cuts = cuts_of(layout, self._by_id, cable_of, self._boards, self._project.shop)
        feeds = [replace(feed, runs=tuple(run for run in feed.runs if run in cuts)) for feed in self._feeds]
        sizer = replace(self._sizer, feeds=[feed for feed in feeds if self._whole(feed)])
        stretches = sizer.counts(layout.near, index)
        sized, circuits = sizer.hold({run: cut.cut_m for run, cut in cuts.items()}, stretches, index)
        return State(dict(index), paths, layout, cuts, stretches, sized, circuits)

    def _whole(self, feed: Feed) -> bool:
        """A circuit whose runs still hang together when those without a route are left out."""
        reached = {feed.circuit.source}
        for run in feed.runs:
            one = self._by_id[run]
            if one.a not in reached or (one.after and one.after not in feed.runs):
                return False
            reached.add(self._by_id[run].b)
        return bool(feed.runs)

    def _sized_up(self, index: Mapping[str, int], paths: tuple[Path | None, ...], layout: Layout) -> State:
        index = dict(index)
        for _ in range(STEPS):
            state = self._hold(index, paths, layout)
            bigger = self._grower.wanted(
                state.sized, {run: cut.cut_m for run, cut in state.cuts.items()}, state.stretches, index
            )
            if not bigger:
                return state
            for run in bigger:
                index[run] += 1
        raise AuditError(f"sizes still grow after {STEPS} steps")

    def _lowered(self, state: State) -> State:
        """One pass: try to take each circuit one size down, with everything held against its limits again."""
        order = sorted(
            (feed for feed in self._feeds if feed.circuit.kind != "data"),
            key=lambda feed: (-sum(self._kg(run, state) for run in feed.runs if run in state.cuts), feed.circuit.id),
        )
        for feed in order:
            for group in alike(feed, self._by_id):
                own = [run for run in group if run in state.sized and state.index[run] > 0]
                while own and all(self._may_shrink(feed, run, state) for run in own):
                    lower = {**state.index, **{run: state.index[run] - 1 for run in own}}
                    trial = self._hold(lower, state.paths, state.layout)
                    fine = all(one.verdict is None or one.verdict.ok for one in trial.sized.values())
                    if not fine or not self._fits(lower, state.paths):
                        break
                    state = trial
                    own = [run for run in own if state.index[run] > 0]
        return state

    def _may_shrink(self, feed: Feed, run: str, state: State) -> bool:
        """Whether one size less might keep this run's own limits, all else as it is; it seldom does.

        A thinner cable may be cut shorter: its tails can be of the next class, and the last step may fall away.
        """
        demand, thinner = state.sized[run].demand, self._cables[run][state.index[run] - 1].conductor
        if demand is None or thinner is None:
            return False
        one, shop = self._by_id[run], self._project.shop
        areas = [self._cables[run][index].stock.area_mm2 for index in (state.index[run], state.index[run] - 1)]
        tails = [sum(tails_m(one, area, self._boards, shop)) for area in areas]
        shorter_m = max(0.0, tails[0] - tails[1]) + shop.cut_step
        legs = tuple(replace(leg, cut_m=max(0.0, leg.cut_m - shorter_m)) for leg in demand.legs)
        return passes(thinner, replace(demand, legs=legs, fuse_a=feed.circuit.fuse), self._sizer.rules).ok

    def _kg(self, run: str, state: State) -> float:
        return self._cables[run][state.index[run]].copper_mm2 * state.cuts[run].cut_m

    def _fits(self, index: Mapping[str, int], paths: Sequence[Path | None]) -> bool:
        return self._negotiator.all_admit(self._jobs(index), paths)

    def _dead_ends(self, state: State) -> dict[str, DeadEnd]:
        jobs = self._jobs(state.index)
        pairs = list(zip(jobs, state.paths, strict=True))
        return {
            run.id: explain(
                self._network,
                job,
                [pair for other, pair in zip(self._routed, pairs, strict=True) if other is not run],
                self._separation,
            )
            for run, (job, path) in zip(self._routed, pairs, strict=True)
            if path is None
        }
