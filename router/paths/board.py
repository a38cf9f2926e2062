"""Who takes room in which way while routes are negotiated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ribway.router.paths.admission import Item
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path
from ribway.router.space.network import Network

Shape = tuple[str, float, float, float, bool, int]


@dataclass
class Board:
    """Who is in the room of which way; the only mutable thing here."""

    network: Network
    jobs: Sequence[Job]
    shape_ids: dict[Shape, int]
    inside: list[list[int]] = field(default_factory=list)
    used: list[tuple[int, ...]] = field(default_factory=list)
    shapes: list[int] = field(default_factory=list)
    bundles: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.inside = [[] for _ in range(self.network.ways)]
        self.used = [() for _ in self.jobs]
        self.shapes = [shape_id(job.item, self.shape_ids) for job in self.jobs]

    @property
    def mean_weight(self) -> float:
        """Of all jobs."""
        return sum(job.weight for job in self.jobs) / max(len(self.jobs), 1)

    def put(self, job: int, path: Path | None) -> None:
        """Lead a job along a path, or take it out."""
        left = self.used[job]
        for way in left:
            self.inside[way].remove(job)
        self.used[job] = rooms_of(self.network, path)
        for way in self.used[job]:
            self.inside[way].append(job)
        for way in {*left, *self.used[job]}:
            self.bundles.pop(way, None)
            if self.inside[way]:
                self.bundles[way] = tuple(sorted(self.shapes[one] for one in self.inside[way]))

    def items(self, way: int) -> list[Item]:
        """Cables in a way's room."""
        return [self.jobs[job].item for job in sorted(self.inside[way])]


def _shape(item: Item) -> Shape:
    """All that an opening sees of a cable, without whose it is."""
    return (item.kind, item.width_m, item.thickness_m, item.plug_m, item.sheathed, item.count)


def shape_id(item: Item, known: dict[Shape, int]) -> int:
    """A number for each shape met, so that what is known of bundles is looked up by a few small numbers."""
    return known.setdefault(_shape(item), len(known))


def ways_of(network: Network, path: Path | None) -> tuple[int, ...]:
    """Ways a path passes, in order."""
    if path is None:
        return ()
    nodes = network.target[list(path.edges)]
    return tuple(int(node) // 2 for node in nodes if node < 2 * network.ways)


def rooms_of(network: Network, path: Path | None) -> tuple[int, ...]:
    """Ways whose room a path takes: those it passes, each followed by those that share their room with it."""
    passed, sharers = ways_of(network, path), network.space.sharers
    if not sharers:
        return passed
    return tuple(room for way in passed for room in (way, *sharers.get(way, ())))
