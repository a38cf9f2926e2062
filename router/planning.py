"""One project on one shell, ready to be routed: its space, runs, stock, and the rules that all of it is held against."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from functools import partial

from ribway.models.project import Project
from ribway.models.told import LEAST, Told, untold
from ribway.router.bounding import PARTS, Bounds, LoomBounds, Question, copper_bound, same_cables, sharpened
from ribway.router.circuits.banks import with_banks
from ribway.router.circuits.joints import moving_devices, moving_ways
from ribway.router.circuits.patterns import arranged
from ribway.router.circuits.runs import Feed, Run, derive
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2, Cable, candidates
from ribway.router.circuits.supply import supplies_of
from ribway.router.circuits.zones import spares, zones
from ribway.router.faults import Collector
from ribway.router.laying.given_runs import check_given, taped, with_given
from ribway.router.laying.layer import Laid, Layer
from ribway.router.laying.ordering import order_chains
from ribway.router.memory import Memory
from ribway.router.paths.admission import Separation
from ribway.router.paths.causes import Cause, causes
from ribway.router.paths.jobs import Job
from ribway.router.paths.negotiation import Negotiator
from ribway.router.paths.room import room_of
from ribway.router.paths.search import Path
from ribway.router.placing.field import least_kg
from ribway.router.rounds import Cuts, Layout, cuts_of, layout_of
from ribway.router.shell.parts import Shell
from ribway.router.sizes.growing import Grower
from ribway.router.sizes.held import CircuitSizes, Sized
from ribway.router.sizes.rules import ac_rules, sizing_rules
from ribway.router.sizes.sizer import Sizer
from ribway.router.sizes.warming import Bundle, Key, Warming, duties_of
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network
from ribway.router.space.types import Way
from ribway.router.state import State
from ribway.router.writing.outcome import Outcome

__all__ = ["Planning", "State"]

DATA_COST_KG_PER_M = 0.005  # what a metre without copper counts as, so that it too is kept short


class Planning:
    """One project on one shell.

    Args:
        project: what the user said, places from the bare floor.
        shell: the bare metal.
        memory: what was made before for this shell; a new one if nothing was.

    Raises:
        RouterFaults: places and names that do not fit the shell, or cables that no stock has.
    """

    def __init__(self, project: Project, shell: Shell, memory: Memory | None = None) -> None:
        self.memory = Memory() if memory is None else memory
        self.space = build_space(project, shell, self.memory)
        self.network: Network = build_network(self.space, self.memory)
        project, self.orders = order_chains(with_banks(arranged(project)), self.network)
        self.project, self.shell, shop = project, shell, project.shop
        real, self.feeds = derive(project)
        real = with_given(real, project.runs)
        check_given(real, project.runs, self.space)
        portals = {portal.device: portal for portal in self.space.portals}
        self.zone_of = zones(project, self.space.portals, shell.length_m)
        self.runs: tuple[Run, ...] = real + spares(project, real, self.zone_of, portals)
        self.by_id = {run.id: run for run in self.runs}
        self.routed = tuple(run for run in self.runs if run.taped_m is None and not run.board)
        shop_says = shop.model_dump_json()
        self.cables = self._candidates(shop_says)
        sets = {circuit.id: circuit.never_with for circuit in project.circuits if circuit.never_with is not None}
        duties = duties_of(project)
        rules = {"ac": ac_rules(shop), "dc": sizing_rules(shop)}
        devices = {device.id: device for device in project.devices}
        # All that sizes depend on, beside lengths and neighbours. Where a device stands is none of it, nor whether a draw cord
        # ends at it, which is whatever lies farthest in a zone.
        runs = tuple(run if run.circuit else replace(run, a="", b="") for run in self.runs)
        said = (shop_says, runs, tuple(sorted(sets.items())), tuple(sorted(duties.items())))
        nowhere = tuple(device.model_copy(update={"at": None}) for device in project.devices)
        bundles: dict[Key, Bundle] = self.memory.of("bundles", said, dict)
        held: dict[tuple[object, ...], tuple[CircuitSizes, dict[str, Sized]]] = self.memory.of(
            "circuits", (said, self.feeds, nowhere), dict
        )
        self._cuts: Cuts = self.memory.of("cuts", (said, self.runs, nowhere), dict)
        warming = Warming(shop, rules, self.by_id, self.cables, sets, duties, bundles)
        self.sizer = Sizer(shop, self.by_id, self.feeds, self.cables, warming, devices, held)
        self.grower = Grower(self.sizer)
        self.separation = Separation(shop.ac_dc, shop.data_power)
        room = self.memory.of("room", (self.space.ways, self.separation), partial(room_of, self.space, self.separation))
        self.negotiator = Negotiator(
            self.network, self.separation, shop.bend_costs, shop.drill_costs, shop.opening_costs, room
        )
        self.boards = frozenset(device.id for device in project.devices if device.kind == "board")
        self._layer = Layer(self.network, self.memory)
        self._portal_index = {portal.device: index for index, portal in enumerate(self.space.portals)}

    def with_ways(self, ways: tuple[Way, ...], left_out: frozenset[str] = frozenset()) -> Planning:
        """The same project on a shell with other ways: bored, drilled, freed.

        Args:
            ways: those that are there already first, in their order.
            left_out: runs that are not to be led through the van.
        """
        other, shop = copy(self), self.project.shop
        other.space = replace(self.space, ways=ways)
        other.network = build_network(other.space, self.memory)
        other.routed = tuple(run for run in self.routed if run.id not in left_out)
        other.negotiator = Negotiator(
            other.network, self.separation, shop.bend_costs, shop.drill_costs, shop.opening_costs
        )
        other._layer = Layer(other.network)
        return other

    def _candidates(self, shop_says: str) -> dict[str, tuple[Cable, ...]]:
        collector, found = Collector(), {}
        for run in self.runs:
            make = partial(candidates, run, self.project.shop)
            found[run.id] = collector.take(partial(self.memory.of, "candidates", (run, shop_says), make)) or ()
        collector.raise_all()
        return found

    def jobs(self, index: Mapping[str, int]) -> tuple[Job, ...]:
        """What is to be routed through the van: all runs but taped ones and those that stay on one mounting board."""
        jobs = []
        for run in self.routed:
            cable = self.cables[run.id][index[run.id]]
            weight = cable.copper_mm2 * COPPER_KG_PER_M_MM2 + DATA_COST_KG_PER_M
            via = tuple(self.space.way_index(name) for name in (run.via if run.by_hand is None else run.by_hand))
            avoid = frozenset(self.space.way_index(name) for name in run.avoid)
            start, end = self._portal_index[run.a], self._portal_index[run.b]
            jobs.append(Job(cable.item(run), start, end, weight, via, avoid, run.by_hand is not None))
        return tuple(jobs)

    def layout(self, paths: Sequence[Path | None]) -> Layout:
        """Routes laid out in space and gathered into looms.

        Args:
            paths: of the routed runs, in order.
        """
        laid: dict[str, Laid] = {}
        boards = {board.device: board for board in self.space.boards}
        path_of = dict(zip((run.id for run in self.routed), paths, strict=True))
        for run in self.runs:
            a, b, path = self._portal_index[run.a], self._portal_index[run.b], path_of.get(run.id)
            if run.taped_m is not None:
                ends = self.space.portals[a], self.space.portals[b]
                laid[run.id] = taped(run, run.taped_m, *ends, self.project.shop.ambients)
            elif run.board:
                laid[run.id] = self._layer.lay_on(boards[run.board], a, b)
            elif path is not None:
                laid[run.id] = self._layer.lay(path, a, b)
        above_deg = self.project.shop.bend_counts_above_deg
        layout = layout_of(self.runs, laid, self.zone_of, above_deg, self.memory)
        return replace(layout, loops=self._loops(laid), known=self._cuts)

    def _loops(self, laid: Mapping[str, Laid]) -> dict[str, float]:
        """Length left as loops where runs cross to something that moves [m]; a taped run has them in its tape."""
        devices, ways = moving_devices(self.project), moving_ways(self.project)
        out = {}
        for run in self.runs:
            if run.id in laid and run.taped_m is None and (devices or ways):
                passed = (self.space.ways[way].name for way in laid[run.id].ways)
                at_ends = sum(devices.get(end, 0.0) for end in (run.a, run.b))
                out[run.id] = at_ends + sum(ways.get(name, 0.0) for name in passed)
        return {run: metres for run, metres in out.items() if metres > 0.0}

    def hold(self, index: Mapping[str, int], paths: tuple[Path | None, ...], layout: Layout) -> State:
        """Every run held against its limits with the cables it has now.

        Args:
            index: which candidate each run takes.
            paths: of the routed runs, in order.
            layout: of these paths.
        """
        cable_of = {run: self.cables[run][index[run]] for run in layout.laid}
        cuts = cuts_of(layout, self.by_id, cable_of, self.boards, self.project.shop)
        feeds = [replace(feed, runs=tuple(run for run in feed.runs if run in cuts)) for feed in self.feeds]
        sizer = replace(self.sizer, feeds=[feed for feed in feeds if self._hangs_together(feed)])
        stretches = sizer.counts(layout.near, index)
        sized, circuits = sizer.hold({run: cut.cut_m for run, cut in cuts.items()}, stretches, index)
        return State(dict(index), paths, layout, cuts, stretches, sized, circuits)

    def _hangs_together(self, feed: Feed) -> bool:
        """A circuit whose runs still hang together when those without a route are left out."""
        reached = {feed.circuit.source}
        for run in feed.runs:
            one = self.by_id[run]
            if one.a not in reached or (one.after and one.after not in feed.runs):
                return False
            reached.add(self.by_id[run].b)
        return bool(feed.runs)

    def fits(self, index: Mapping[str, int], paths: Sequence[Path | None]) -> bool:
        """Whether every way admits the cables that pass it."""
        return self.negotiator.all_admit(self.jobs(index), paths)

    def bounds(self, state: State, told: Told = untold) -> Bounds:
        """How little copper any plan could do with.

        Args:
            state: finished, every run with a route.
            told: how far it is.
        """
        stub_of = {portal.device: portal.stub_m for portal in self.space.portals}
        question = Question(
            network=self.network,
            negotiator=self.negotiator,
            sizer=self.sizer,
            shop=self.project.shop,
            boards=self.boards,
            runs=self.routed,
            jobs=self.jobs(state.index),
            cables=self.cables,
            index=state.index,
            sized=state.sized,
            cuts=state.cuts,
            stubs_m={run.id: stub_of[run.a] + stub_of[run.b] for run in self.routed},
        )
        from ribway.router.placing.room_prices import room_prices

        found = copper_bound(question, told)
        told(LEAST, 2, PARTS)
        prices = room_prices(self, state)
        found = sharpened(found, least_kg(self, prices, lambda: told(LEAST, 3, PARTS)))
        told(LEAST, PARTS, PARTS)
        price = self.project.shop.loom_costs
        return replace(found, looms=self._loom_bounds(question, state, price, found.planned_kg)) if price else found

    def _loom_bounds(self, question: Question, state: State, price: float, copper_kg: float) -> LoomBounds:
        from ribway.router.choosing.sharing import least_with_looms, stretches_of

        loom_m = stretches_of(self.network).loom_m(self.network, state.paths)
        least = least_with_looms(same_cables(question), self.network, price)
        planned = copper_kg + price * loom_m
        return LoomBounds(price, loom_m, planned, min(least, planned))

    def outcome(self, state: State, alternative: str, bounds: Bounds | None) -> Outcome:
        """A finished state with all that is needed to write it down.

        Args:
            state: the finished state.
            alternative: name of the alternative that the project is; empty for the base.
            bounds: on its copper, if they were looked for.
        """
        return Outcome(
            project=self.project,
            alternative=alternative,
            shell=self.shell,
            space=self.space,
            runs=self.runs,
            feeds=self.feeds,
            zone_of=self.zone_of,
            cable_of={run: self.cables[run][state.index[run]] for run in self.cables},
            paths=state.paths,
            layout=state.layout,
            cuts=state.cuts,
            sized=state.sized,
            reason_of={run: self.sizer.reason(run, state.index, one.demand) for run, one in state.sized.items()},
            circuits=state.circuits,
            sizer=self.sizer,
            dead_ends=self._dead_ends(state),
            routed=self.routed,
            bounds=bounds,
            orders=self.orders,
            supplies=supplies_of(self.project),
            memory=self.memory,
            led_round=state.led_round,
        )

    def _dead_ends(self, state: State) -> tuple[Cause, ...]:
        if state.whole:
            return ()
        units = self.project.shop.units
        return causes(self.network, self.jobs(state.index), state.paths, self.separation, units)
