"""The fuses of the finished van beyond their rating: what they break, where they sit, whether a short opens them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ribway.models.circuits import Device
from ribway.models.shop import Shop
from ribway.router.circuits.drawn import solar_of
from ribway.router.circuits.runs import Feed
from ribway.router.circuits.stock import Cable
from ribway.router.sizes.feeding import CHARGING, Wire
from ribway.router.sizes.held import CircuitSizes, Sized
from ribway.router.sizes.sources import Sources
from ribway.sizing.fuse import FuseChoice
from ribway.sizing.joints import fuse_ohm
from ribway.sizing.protection.finding import ProtectionFinding
from ribway.sizing.protection.kinds import breaking_capacity_a, fuse_kinds, kinds_for
from ribway.sizing.protection.position import End, Stage, end_findings, step_down_findings
from ribway.sizing.protection.prospective import Backing, Upstream, Way, backed_to_a
from ribway.sizing.protection.short import FarShort, far_short, short_amps, short_findings, short_heat_a2s
from ribway.sizing.rules import SizingRules

SMALLEST_KNOWN = {"blade": 1.0, "bolt-down": 30.0}


@dataclass(frozen=True)
class Guard:
    """A circuit's fuse beyond its rating.

    Args:
        kind: kind of fuse: the stated one, else the least capable that breaks the short.
        rating_a: its rating [A].
        breaks_a: what it breaks [A].
        near_a: greatest current of a short right behind it [A]; None if the battery is not known.
        way: of that short; None where the sun drives it, or the battery is not known.
        place: where it sits.
        upstream: the fuse that feeds that place.
        backing: what the maker states for the fuses of that place.
        backed_a: greatest short there that the fuse before makes safe [A].
        far_rating_a: the fuse at the far end, where that can feed too [A].
        far_run: the run at whose end a short draws least, for its fuse.
        far: that short.
        heat_run: the run whose conductor is nearest to what it stands in a short.
        heat_a2s: what the fuse lets through to it at most, and what it stands [A2 s]; None where nothing is known.
        findings: what is wrong.
    """

    kind: str
    rating_a: float
    breaks_a: float
    near_a: float | None
    way: Way | None
    place: str
    upstream: Upstream | None
    backing: Backing | None
    backed_a: float
    far_rating_a: float | None
    far_run: str
    far: FarShort | None
    heat_run: str
    heat_a2s: tuple[float, float] | None
    findings: tuple[ProtectionFinding, ...]

    @property
    def breaks(self) -> bool:
        """Whether the short where it sits is broken, by itself or with the fuse before it; not where nothing is known."""
        return self.near_a is not None and max(self.breaks_a, self.backed_a) >= self.near_a


def guards_of(
    wires: Mapping[str, Wire],
    circuits: Mapping[str, CircuitSizes],
    sized: Mapping[str, Sized],
    cut_m: Mapping[str, float],
    cable_of: Mapping[str, Cable],
    devices: Mapping[str, Device],
    shop: Shop,
    rules: SizingRules,
) -> dict[str, Guard]:
    """Every DC circuit's fuse.

    Args:
        wires: the network.
        circuits: sizes by circuit.
        sized: by run.
        cut_m: cut length by run [m].
        cable_of: by run.
        devices: by id.
        shop: its settings.
        rules: the rule set.

    Returns:
        By circuit; those without a fuse left out.
    """
    by_circuit: dict[str, list[Wire]] = {}
    for wire in wires.values():
        by_circuit.setdefault(wire.feed.circuit.id, []).append(wire)
    sources = Sources(wires, devices, shop)
    out: dict[str, Guard] = {}
    for name, mine in by_circuit.items():
        feed, sizes = mine[0].feed, circuits[name]
        if mine[0].negative:
            continue  # nothing is fused on the way back
        rating = sizes.fuse.fuse.rating_a if isinstance(sizes.fuse, FuseChoice) else feed.circuit.fuse
        if rating is None:
            continue
        place = devices[feed.circuit.source]
        before = wires[mine[0].before].run.id if mine[0].before else ""
        way, near_a = sources.near(mine[0], cable_of[before].stock.area_mm2 if before else 0.0)
        solar, limits = solar_of(devices[mine[0].root]), devices[mine[0].root].kind == "charger"
        # A string reaches more in the cold, with nothing drawn, than any charging voltage.
        highest_v = max(CHARGING * feed.volts, solar.cold_open_v if solar is not None else 0.0)
        family = _family(sizes, rating, None)
        kind = feed.circuit.fuse_kind or _kind(rating, family, highest_v, near_a, place.kind == "board")
        family = _family(sizes, rating, kind)
        breaks = feed.circuit.fuse_breaks or breaking_capacity_a(kind, highest_v)
        upstream = _upstream(feed, out)
        backing = _backing(place)
        findings: list[ProtectionFinding] = []
        far: tuple[str, FarShort] | None = None
        heat: tuple[str, tuple[float, float]] | None = None
        fuse = fuse_ohm(family, rating) if rating >= SMALLEST_KNOWN[family] else 0.0
        # What the sun or a charger drives need never open a fuse: the cable carries more than its fuse for good.
        for wire in mine if solar is None and not limits else ():
            if not wire.closed:
                continue  # a core by itself that nothing is drawn from: its lead back is looked at instead
            length = cut_m[wire.run.id]
            ahead = sources.weakest_ohm(wire) + fuse
            short = far_short(feed.volts, ahead, wire.copper_ohm / length, length, family, rating)
            if far is None or short.amps < far[1].amps:
                far = wire.run.id, short
            conductor = cable_of[wire.run.id].conductor
            if conductor is not None:
                entry_ohm = wires[mine[0].before].least_ohm if mine[0].before else 0.0
                near = near_a if near_a is not None else short_amps(highest_v, entry_ohm + fuse, 0.0)
                findings += short_findings(wire.run.id, conductor, rating, family, short, near, length)
                mine_heat = short_heat_a2s(conductor, rating, family, short, near)
                if heat is None or mine_heat[0] / mine_heat[1] > heat[1][0] / heat[1][1]:
                    heat = wire.run.id, mine_heat
        findings += _positions(feed, rating, mine, sized, cable_of, shop, rules)
        findings += _from_behind(name, mine, sources, circuits, sized, rules)
        out[name] = Guard(
            kind,
            rating,
            breaks,
            near_a,
            way,
            place.id,
            upstream,
            backing,
            backed_to_a(backing, upstream),
            (feed.circuit.far_fuse or rating) if feed.circuit.load_can_feed else None,
            far[0] if far else "",
            far[1] if far else None,
            heat[0] if heat else "",
            heat[1] if heat else None,
            tuple(findings),
        )
    return out


def _from_behind(
    circuit: str,
    mine: list[Wire],
    sources: Sources,
    circuits: Mapping[str, CircuitSizes],
    sized: Mapping[str, Sized],
    rules: SizingRules,
) -> Iterator[ProtectionFinding]:
    """Cables that a battery behind their board can feed too: by no more than the fuses on its way let through."""
    for battery, between in sources.behind(circuit):
        ratings = [rating for one in between for rating in _ratings(one, circuits)]
        reached = sources.way_of(battery)
        stages = [
            Stage(f"{wire.run.id} (from {battery.id})", -1, verdict.ampacity.derated_a, min(ratings))
            for wire in mine
            if ratings and wire.run.id in reached and (verdict := sized[wire.run.id].verdict) is not None
        ]
        yield from step_down_findings(stages, rules.fuse_window)


def _ratings(wire: Wire, circuits: Mapping[str, CircuitSizes]) -> list[float]:
    """Fuses of a circuit on the way of a current that comes from its far end [A]."""
    said, fuse = wire.feed.circuit, circuits[wire.feed.circuit.id].fuse
    near = fuse.fuse.rating_a if isinstance(fuse, FuseChoice) else said.fuse
    far = said.far_fuse if said.load_can_feed else None
    return [rating for rating in (near, far) if rating is not None]


def _upstream(feed: Feed, guards: Mapping[str, Guard]) -> Upstream | None:
    above = guards.get(feed.parent)
    return None if above is None else Upstream(feed.parent, above.kind, above.rating_a, above.breaks)


def _backing(place: Device) -> Backing | None:
    said = place.backed_by
    return None if said is None else Backing(said.fuse_kind, said.fuse, said.up_to)


def _family(sizes: CircuitSizes, rating: float, kind: str | None) -> str:
    stated = [one.family for one in fuse_kinds() if one.kind == kind]
    if stated:
        return stated[0]
    family = sizes.fuse.fuse.family if isinstance(sizes.fuse, FuseChoice) else ""
    return family if family in SMALLEST_KNOWN else "blade" if rating <= 40.0 else "bolt-down"


def _kind(rating: float, family: str, highest_v: float, near_a: float | None, on_board: bool) -> str:
    """The least capable kind that breaks the short; where none does or the short is not known, the usual one.

    A way of a board takes fuses of its family: another is chosen by nobody but who states it.
    """
    able = kinds_for(rating, highest_v, near_a) if near_a is not None else ()
    usual = [one.kind for one in fuse_kinds() if one.family == family and one.from_a <= rating <= one.to_a]
    fitting = [name for name in able if name in usual] or ([] if on_board else list(able))
    return next(iter(fitting), next(iter(usual), ""))


def _positions(
    feed: Feed,
    rating: float,
    wires: list[Wire],
    sized: Mapping[str, Sized],
    cable_of: Mapping[str, Cable],
    shop: Shop,
    rules: SizingRules,
) -> Iterator[ProtectionFinding]:
    circuit = feed.circuit
    stages: list[Stage] = []
    places = {wire.run.id: place for place, wire in enumerate(wires)}
    for wire in wires:
        verdict = sized[wire.run.id].verdict
        derated = verdict.ampacity.derated_a if verdict is not None else 0.0
        after = places[wire.run.after] if wire.run.after else -1
        stages.append(Stage(wire.run.id, after, derated, rating if after < 0 else None))
    yield from step_down_findings(stages, rules.fuse_window)
    if circuit.load_can_feed and circuit.far_fuse is not None:  # one that is not stated is as the near one
        back = [Stage(f"{one.id} (from its far end)", -1, one.derated_a, circuit.far_fuse) for one in stages]
        yield from step_down_findings(back, rules.fuse_window)
    for wire in wires:
        first, sheathed = not wire.run.after, cable_of[wire.run.id].sheathed
        near = End(wire.run.a, first and circuit.fuse_at is not None, circuit.fuse_at, sheathed)
        far_at = None if circuit.far_fuse is None else circuit.far_fuse_at or 0.0
        far = End(wire.run.b, circuit.load_can_feed and far_at is not None, far_at, sheathed)
        yield from end_findings(wire.run.id, near, far, shop.fuse_distance)
