"""What a plan rests on, written down: values nobody confirmed and those that were, and leads left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.equipment.assumptions import assumptions
from ribway.models.plan.assumptions import AssumedKey, PlanAssumption, PlanUnplanned
from ribway.models.plan.plan import PlanCable
from ribway.models.plan.results import PlanDevice
from ribway.models.plan.shell import PlanOpening
from ribway.models.printed import Units, radius_up, size_near, size_up
from ribway.models.project import Project
from ribway.models.tape import LINES, assumed_lines
from ribway.router.shell.from_project import preset_parameters
from ribway.router.shell.tape import nearest_preset
from ribway.router.writing.preset_values import length_text, rows_text

_STOCK_SOURCE = "stock list (common practice, no source)"
_LINE_FIELDS = {
    "length": "length_m", "floor_width": "floor_width_m", "waist_width": "waist_width_m",
    "waist_height": "waist_height_m", "roof_edge_width": "roof_edge_width_m", "roof_edge_height": "roof_edge_height_m",
    "centre_height": "centre_height_m",
}  # fmt: skip
_ROWS_OF_PRESET = {
    "rib_stations_left": "rib centres along the left wall",
    "rib_stations_right": "rib centres along the right wall",
    "bow_stations": "bow centres along the roof",
    "side_door": "side door: its side, front and rear edge",
    "wheel_arch": "wheel arch: its front edge, length and height",
    "windows": "windows",
    "rib_depth": "depth of one rib",
    "rib_width": "face width of one rib",
    "rib_rows": "hole rows of a typical rib",
    "bow_rows": "hole rows of a typical bow",
}


def write_assumptions(
    project: Project, openings: Sequence[PlanOpening], devices: Sequence[PlanDevice], cables: Sequence[PlanCable]
) -> tuple[PlanAssumption, ...]:
    """Everything that a preset, the catalogue, the stock list or a guess may have filled in.

    Args:
        project: what was said, its sheet and its tape's holes in it.
        openings: all; those that no run goes through are left out.
        devices, cables: of the plan.

    Returns:
        In the order shell, openings, devices, circuits, cables.
    """
    keys: dict[str, AssumedKey] = {
        "running current": "amps", "power": "watts", "current while starting": "start_amps",
        "when it has power": "supply", "place": "place", "stud of its lugs": "stud",
        "fed from": "board", "switched by": "switch", "fuse": "fuse",
    }  # fmt: skip
    read = {device.id for device in project.devices if device.confirmed}
    said = []
    for one in assumptions(project):
        key = keys[one.what]
        said.append(
            PlanAssumption(
                whose="circuit" if key in ("board", "switch", "fuse") else "device",
                about=one.about,
                name=one.name,
                key=key,
                what=one.what,
                value=one.value,
                source=one.source,
                error_m=one.error_m,
                # Whoever writes "confirmed" in the project file over a current of the catalogue has read the plate.
                confirmed=key in ("amps", "watts") and one.about in read,
            )
        )
    doubtful = {(one.about, one.key) for one in said if one.whose == "device"}
    return (
        *_shell(project),
        *_openings(project, openings),
        *(one for one in said if one.whose == "device"),
        *_plates(project, devices, doubtful),
        *(one for one in said if one.whose == "circuit"),
        *(_cable(cable, project.shop.units) for cable in cables),
    )


def write_unplanned(project: Project) -> tuple[PlanUnplanned, ...]:
    """Leads that belong to a device and are not in the plan."""
    names = {device.id: device.name for device in project.devices}
    return tuple(
        PlanUnplanned(about=one.about, name=names.get(one.about, one.about), lead=one.lead, why=one.why)
        for one in project.unplanned
    )


def _line(what: str, value: str, source: str, confirmed: bool) -> PlanAssumption:
    return PlanAssumption(
        whose="shell", about="", name="van", key="line", what=what, value=value, source=source, confirmed=confirmed
    )


def _shell(project: Project) -> Iterator[PlanAssumption]:
    vehicle, shop = project.vehicle, project.shop
    if vehicle.tape is not None:
        source = f"preset {nearest_preset(vehicle.tape.length).name}, the nearest by length"
        for what in assumed_lines(vehicle.tape):
            yield _line(what, "", source, False)
    elif vehicle.preset is not None:
        parameters = preset_parameters(vehicle)
        for key, field in _LINE_FIELDS.items():
            yield _preset_line(LINES[key].split(":")[0], length_text(getattr(parameters, field), shop), key, project)
        for key, what in _ROWS_OF_PRESET.items():
            yield _preset_line(what, rows_text(parameters, key, shop), key, project)


def _preset_line(what: str, value: str, key: str, project: Project) -> PlanAssumption:
    read = key in project.vehicle.parameters
    return _line(what, value, "read off this van" if read else f"preset {project.vehicle.preset}", read)


def _openings(project: Project, openings: Sequence[PlanOpening]) -> Iterator[PlanAssumption]:
    tape = project.vehicle.tape
    typical = (
        "a row that names several members" if tape is not None else f"hole rows of preset {project.vehicle.preset}"
    )
    for one in openings:
        if one.runs and one.state in ("assumed", "measured"):
            shape = "slot" if one.shape == "slot" else "round"
            there = f"{length_text(one.back_m, project.shop)} back, {length_text(one.up_m, project.shop)} up"
            yield PlanAssumption(
                whose="opening",
                about=one.id,
                name=one.id,
                key="hole",
                what="that it is there, its size, its place",
                value=f"{shape} {size_near(one.raw_bore_mm, project.shop.units)}, {there}",
                source="measured on this van" if one.state == "measured" else typical,
                confirmed=one.state == "measured",
            )


def _plates(
    project: Project, devices: Sequence[PlanDevice], doubtful: set[tuple[str, AssumedKey]]
) -> Iterator[PlanAssumption]:
    """Currents that somebody read off a plate."""
    stated = {device.id: device for device in project.devices}
    for device in devices:
        said = stated[device.id]
        from_output = said.amps is None and said.output is not None
        if (device.confirmed or from_output) and device.amps > 0.0:
            key: AssumedKey = "watts" if said.watts is not None else "amps"
            value = f"{said.watts:g} W" if said.watts is not None else f"{device.amps:g} A"
            if (device.id, key) not in doubtful:
                yield PlanAssumption(
                    whose="device",
                    about=device.id,
                    name=device.name,
                    key=key,
                    what="power" if key == "watts" else "running current",
                    value=value,
                    source="what it gives, its efficiency and lowest input" if from_output else "read off the plate",
                    confirmed=device.confirmed,
                )


def _across(cable: PlanCable, units: Units) -> str:
    """A cable's size across: a diameter, or of a flat one width and thickness."""
    if cable.outside_mm == cable.thickness_mm:
        return f"Ø {size_up(cable.outside_mm, units)}"
    return f"{size_up(cable.outside_mm, units).removesuffix(' mm')} x {size_up(cable.thickness_mm, units)}"


def _bends(cable: PlanCable, units: Units) -> str:
    """The least bend radius of its centre line, as corners are held to it; nothing for a cord."""
    if cable.min_bend_factor <= 0.0 or not cable.cores:
        return ""
    return f", bends to {radius_up((cable.min_bend_factor + 0.5) * cable.outside_mm, units)}"


def _cable(cable: PlanCable, units: Units) -> PlanAssumption:
    plug = f"plug {size_up(cable.plug_mm, units)}" if cable.plug_mm > 0.0 else "no plug"
    return PlanAssumption(
        whose="cable",
        about=cable.id,
        name=cable.name,
        key="stock",
        what="outside size, plug and least bend",
        value=f"{_across(cable, units)}, {plug}{_bends(cable, units)}",
        source=_STOCK_SOURCE if cable.assumed else "stock list, with its source",
        confirmed=not cable.assumed,
    )
