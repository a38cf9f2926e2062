"""Circuits and devices as the plan says them."""

from __future__ import annotations

from ribway.models.circuits import NEGATIVES, Device
from ribway.models.plan.electric import PlanState
from ribway.models.plan.results import PlanCircuit, PlanDevice
from ribway.models.terminals import terminals
from ribway.router.circuits.drawn import at_other_volts, driven_a, limit_percent, own_amps
from ribway.router.circuits.joints import contact_ohm, moving_devices
from ribway.router.circuits.negatives import negative_of
from ribway.router.circuits.passing import feeder_of
from ribway.router.circuits.runs import Feed
from ribway.router.sizes.feeding import kept
from ribway.router.sizes.protecting import Guard
from ribway.router.writing.orders import order_words
from ribway.router.writing.outcome import Outcome, point
from ribway.router.writing.protection import backing_fields, device_fields, guard_fields, guards
from ribway.sizing.fuse import FuseChoice


def write_circuits(outcome: Outcome) -> tuple[PlanCircuit, ...]:
    """All circuits in the order of the project."""
    by_id = {feed.circuit.id: feed for feed in outcome.feeds}
    protected = guards(outcome)
    return tuple(
        _circuit(outcome, by_id[circuit.id], protected.get(circuit.id)) for circuit in outcome.project.circuits
    )


def _circuit(outcome: Outcome, feed: Feed, guard: Guard | None) -> PlanCircuit:
    circuit, sizes = feed.circuit, outcome.circuits.get(feed.circuit.id)
    fuse = sizes.fuse if sizes is not None else None
    ends = [sizes.lost_v[run] for run in feed.runs if run in sizes.lost_v] if sizes is not None else []
    starts = [sizes.lost_start_v[run] for run in feed.runs if run in sizes.lost_start_v] if sizes is not None else []
    worst, start = max(ends, default=0.0), max(starts, default=0.0)
    return PlanCircuit(
        id=circuit.id,
        name=circuit.name,
        kind=circuit.kind,
        source=circuit.source,
        loads=circuit.loads,
        pattern=circuit.pattern,
        order=order_words(outcome, feed),
        supply=outcome.supplies.circuits.get(circuit.id) or "",
        supply_given=outcome.supplies.boards.get(circuit.source, "") if circuit.kind != "data" else "",
        return_=circuit.return_ or "wired",
        earth=circuit.earth or "",
        negative=negative_of(circuit, outcome.project.circuits),
        never_with=circuit.never_with or "",
        on_s=None if circuit.duty is None else round(3600.0 * circuit.duty.on, 1),
        off_s=None if circuit.duty is None or circuit.duty.off is None else round(3600.0 * circuit.duty.off, 1),
        load_can_feed=circuit.load_can_feed,
        control_a=round(circuit.control_amps, 3) if circuit.pattern == "control" else 0.0,
        volts=feed.volts,
        runs=feed.runs,
        design_a=round(feed.amps, 3),
        start_a=round(feed.start_amps, 3),
        fuse_a=fuse.fuse.rating_a if isinstance(fuse, FuseChoice) else circuit.fuse,
        fuse_given=circuit.fuse is not None,
        fuse_low_a=round(fuse.least_a, 2) if fuse is not None else 0.0,
        fuse_high_a=round(fuse.most_a, 2) if fuse is not None else 0.0,
        weakest_derated_a=round(sizes.weakest_a, 2) if sizes is not None and sizes.weakest_a is not None else None,
        drop_limit_percent=outcome.sizer.limit_percent(feed),
        **guard_fields(guard, circuit),
        states=_states(outcome, feed),
        upstream_drop_v=round(sizes.upstream_v, 4) if sizes is not None else 0.0,
        upstream_start_drop_v=round(sizes.upstream_start_v, 4) if sizes is not None else 0.0,
        worst_drop_v=round(worst, 4),
        worst_drop_percent=round(100.0 * worst / feed.volts, 3),
        start_drop_percent=round(100.0 * start / feed.volts, 3),
    )


def _states(outcome: Outcome, feed: Feed) -> tuple[PlanState, ...]:
    """What a circuit to one board carries in each state of the van; nothing where the board states its current."""
    boards = [outcome.sizer.devices[load] for load in feed.circuit.loads]
    if len(boards) != 1 or boards[0].kind != "board" or feed.circuit.kind == "data":
        return ()
    load = feeder_of(boards[0], feed.circuit.kind, outcome.project)
    if load is None:
        return ()
    return tuple(
        PlanState(state=one.state, takes_a=round(one.taken_a, 3), gives_a=round(one.given_a, 3)) for one in load.states
    )


def _kept(outcome: Outcome, device: Device, feed: Feed | None) -> dict[str, float]:
    """What a DC load keeps other than its current."""
    if feed is None or feed.circuit.kind != "dc":
        return {}
    kind, value = kept(device, feed.circuit, feed.volts, outcome.project.shop)
    return {"watts": {"keeps_w": round(value, 3)}, "ohms": {"keeps_ohm": round(value, 5)}}.get(kind, {})


def _rounded(amps: float | None) -> float | None:
    return None if amps is None else round(amps, 3)


def _own(outcome: Outcome, device: Device, feed: Feed | None) -> tuple[float, float]:
    """What a device itself draws, running and starting [A]."""
    shop = outcome.project.shop
    if feed is None:
        return own_amps(device, shop.volts, shop.drop.other, shop)
    return own_amps(device, feed.volts, limit_percent(feed.circuit, shop), at_other_volts(feed.circuit, shop))


def write_devices(outcome: Outcome) -> tuple[PlanDevice, ...]:
    """All devices where they really sit, distances from the user's datum."""
    datum = outcome.project.vehicle.datum.forward
    portals = {portal.device: portal for portal in outcome.space.portals}
    feeds: dict[str, list[str]] = {}
    for circuit in outcome.project.circuits:
        feeds.setdefault(circuit.source, []).append(circuit.id)
    feed_of: dict[str, Feed] = {}
    for circuit in outcome.project.circuits:
        if circuit.kind != "data" and circuit.pattern not in NEGATIVES:
            feed = next(one for one in outcome.feeds if one.circuit.id == circuit.id)
            for load in circuit.loads:
                feed_of.setdefault(load, feed)
    seen, _ = device_fields(outcome)
    out, loops = [], moving_devices(outcome.project)
    for device in outcome.project.devices:
        portal = portals[device.id]
        running, starting = _own(outcome, device, feed_of.get(device.id))
        out.append(
            PlanDevice(
                id=device.id,
                name=device.name,
                kind=device.kind,
                zone=outcome.zone_of[device.id],
                wall=portal.wall,
                back_m=round(-float(portal.point[0]) - datum, 4) + 0.0,
                up_m=round(float(portal.point[2]) - outcome.project.vehicle.datum.up, 4) + 0.0,
                left_m=round(float(portal.point[1]), 4) + 0.0,
                stand_off_m=round(portal.stub_m + portal.mouth.height_m, 4),
                point=point(portal.point),
                amps=round(running, 3),
                start_amps=round(starting, 3),
                confirmed=device.confirmed,
                feeds=tuple(feeds.get(device.id, ())),
                allowed_by_maker=device.allowed_by_maker,
                contact_a=device.contact_amps,
                contact_ohm=round(contact_ohm(device), 6),
                behind=device.behind or "",
                moving=device.at.moving or "",
                loop_m=round(loops.get(device.id, 0.0), 4),
                stud=device.stud or "",
                takes=terminals()[device.takes].takes if device.takes else "",
                on=device.at.on or "",
                across_m=round(device.at.across or 0.0, 4),
                board_up_m=round(device.at.up or 0.0, 4) if device.at.on is not None else 0.0,
                width_m=round(device.width or 0.0, 4),
                height_m=round(device.height or 0.0, 4),
                share=device.share / 100.0,
                states=device.states,
                gives_a=_rounded(driven_a(device)),
                load=device.load,
                cut_out_v=device.cut_out_volts,
                **backing_fields(device),
                **_kept(outcome, device, feed_of.get(device.id)),
                **seen.get(device.id, {}),
            )
        )
    return tuple(out)
