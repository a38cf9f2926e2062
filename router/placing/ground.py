"""What all places have in common: the shell, the network, the runs and what each of them could be made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from ribway.models.project import Project
from ribway.router.faults import Collector
from ribway.router.given_runs import with_given
from ribway.router.ordering import order_chains
from ribway.router.paths.admission import Separation
from ribway.router.paths.negotiation import Negotiator
from ribway.router.patterns import arranged
from ribway.router.rules import sizing_rules
from ribway.router.runs import Feed, Run, derive
from ribway.router.shell.parts import Shell
from ribway.router.sizes import Sizer
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network
from ribway.router.stock import Cable, candidates
from ribway.router.warming import Warming


@dataclass(frozen=True, eq=False)
class Ground:
    """A project made ready, without any route.

    Args:
        project: heights from the bare floor, patterns arranged, chains in order.
        shell: the bare metal.
        network: bays, ways and devices as they stand.
        runs: all but spares.
        feeds: circuits, parents first.
        cables: candidates by run, thin to thick.
        sizer: holds conductors against limits.
        negotiator: knows what passes which way alone.
    """

    project: Project
    shell: Shell
    network: Network
    runs: tuple[Run, ...]
    feeds: tuple[Feed, ...]
    cables: Mapping[str, tuple[Cable, ...]]
    sizer: Sizer
    negotiator: Negotiator

    @property
    def by_id(self) -> dict[str, Run]:
        """Runs by id."""
        return {run.id: run for run in self.runs}

    @property
    def boards(self) -> frozenset[str]:
        """Fuse boards, where a cable gets a tail of its own."""
        return frozenset(device.id for device in self.project.devices if device.kind == "board")

    @property
    def portals(self) -> dict[str, int]:
        """Index of each device's portal."""
        return {portal.device: index for index, portal in enumerate(self.network.space.portals)}


def ground_of(project: Project, shell: Shell) -> Ground:
    """Make a project ready.

    Args:
        project: with heights from the bare floor.
        shell: the bare metal.

    Raises:
        RouterFaults: places, names or cables that do not fit.
    """
    network = build_network(build_space(project, shell))
    project, _ = order_chains(arranged(project), network)
    runs, feeds = derive(project)
    runs = with_given(runs, project.runs)
    collector = Collector()
    cables = {run.id: collector.take(partial(candidates, run, project.shop)) or () for run in runs}
    collector.raise_all()
    shop, by_id = project.shop, {run.id: run for run in runs}
    sets = {circuit.id: circuit.never_with for circuit in project.circuits if circuit.never_with is not None}
    warming = Warming(shop, sizing_rules(shop), by_id, cables, sets)
    sizer = Sizer(shop, by_id, feeds, cables, warming, {device.id: device for device in project.devices})
    separation = Separation(shop.ac_dc, shop.data_power)
    negotiator = Negotiator(network, separation, shop.bend_costs, shop.drill_costs, shop.opening_costs)
    return Ground(project, shell, network, runs, feeds, cables, sizer, negotiator)
