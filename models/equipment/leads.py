"""The leads that come with a device beside its feed, and those that lead nowhere."""

from __future__ import annotations

from ribway.models.catalogue.kinds import FEED, Lead
from ribway.models.equipment.ends import Ends
from ribway.models.equipment.groups import Circuits
from ribway.models.equipment.thing import Entry, Thing
from ribway.models.spelling import slug

_NEED_NO_CABLE = frozenset(("source", "earth point"))
_ENDS_OF_SPARES = frozenset(("spare end", "draw cord"))


def lead_all(ends: Ends, found: Circuits) -> list[Entry]:
    """Add a circuit for every other lead whose two ends are there.

    Args:
        ends: all things.
        found: takes the circuits.

    Returns:
        What is not planned: leads without their other end, leads laid by hand, and devices that no cable reaches.
    """
    unplanned: list[Entry] = []
    for thing in ends.things:
        if thing.foreign:
            continue
        for lead in thing.kind.leads:
            if lead.name == FEED and lead.way == "in":
                continue
            others = _others(ends, thing, lead)
            if not others:
                unplanned.append({"about": thing.id, "lead": lead.name, "why": _why(lead)})
            for other in others:
                circuit = _circuit(thing, lead, other)
                (load,) = circuit["to"]
                if {(lead.type, load), (lead.type, thing.id, other.id)} & ends.fed:
                    continue
                found.circuits.append(circuit)
                found.rows[circuit["id"]] = thing.row.row
    return [*unplanned, *_unreached(ends, found)]


def _others(ends: Ends, thing: Thing, lead: Lead) -> list[Thing]:
    if lead.count == "by hand":
        return []
    if lead.count == "each":
        return ends.reached(thing, lead)
    other = ends.other_end(thing, lead)
    return [other] if other is not None else []


def _circuit(thing: Thing, lead: Lead, other: Thing) -> Entry:
    name = thing.id if lead.name == FEED else f"{thing.id}.{slug(lead.name)}"
    if lead.count == "each":
        name = f"{other.id}.{slug(lead.name)}"
    source, load = (other, thing) if lead.way == "in" else (thing, other)
    called = f"{thing.row.name}: {lead.name}" if lead.name != FEED else thing.row.name
    circuit: Entry = {"id": name, "name": called, "kind": lead.type, "from": source.id, "to": [load.id]}
    if lead.volts:
        circuit["volts"] = lead.volts
    drop = lead.drop or (thing.kind.drop if lead.type == "dc" else "")
    if drop and drop != "other":
        circuit["drop"] = drop
    if lead.cable:
        circuit["cable"] = lead.cable
    elif lead.least or (lead.type == "dc" and thing.kind.least):
        circuit["least"] = lead.least or thing.kind.least
    if lead.can_feed:
        circuit["load_can_feed"] = True
    return circuit


def _why(lead: Lead) -> str:
    wanted = " or ".join(kind for group in lead.ends for kind in group)
    note = f" ({lead.notes})" if lead.notes else ""
    if lead.count == "by hand":
        return f"goes to: {wanted}; not planned, lay it by hand{note}"
    return f"its other end is not in the sheet: add a row of kind {wanted}, or lay it by hand{note}"


def _unreached(ends: Ends, found: Circuits) -> list[Entry]:
    """Devices of the sheet that no cable reaches; sources and the ends of spares need none."""
    reached = {name for circuit in found.circuits for name in (circuit["from"], *circuit["to"])}
    lost = []
    for thing in ends.things:
        needs = thing.kind.device not in _NEED_NO_CABLE and thing.kind.name not in _ENDS_OF_SPARES
        if thing.id in reached or thing.foreign or not needs:
            continue
        owners = _owners(ends, thing)
        if thing.kind.device == "switch":
            why = "no row names it as its switch, so no cable leads to it"
        elif owners:
            why = f"no cable leads to it: it belongs to a row of kind {' or '.join(owners)}, and there is none"
        else:
            why = "no cable leads to it unless a circuit of the project file says so"
        lost.append({"about": thing.id, "lead": "", "why": why})
    return lost


def _owners(ends: Ends, thing: Thing) -> list[str]:
    """Kinds whose leads would reach a device."""
    leads = [lead for kind in ends.catalogue.kinds.values() for lead in kind.leads if lead.count == "each"]
    reach = [lead.owner for lead in leads if any(thing.kind.answers_to(end) for group in lead.ends for end in group)]
    return list(dict.fromkeys(reach))
