"""What the project file says of its vehicle, as shell parameters or as a shell read from a mesh file."""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path
from typing import Any, Literal, cast

import numpy as np

from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.nearest import nearest_word
from ribway.models.place import Place
from ribway.models.vehicle import OpeningEntry, Vehicle
from ribway.router.geometry.meshes import face_normals, nearest_on_triangles, triangles
from ribway.router.shell.assemble import MemberSpec, ObstacleSpec, OpeningSpec, SkinSpec, near, shell_from_parts
from ribway.router.shell.errors import ShellError
from ribway.router.shell.mesh_file import load_parts
from ribway.router.shell.on_skin import point_on_skin
from ribway.router.shell.parameters import ShellParameters
from ribway.router.shell.parts import MemberKind, Points, Shell
from ribway.router.shell.presets import PRESETS, preset

UNIT_M = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048}
LAY_DEPTH_M = 0.0275
MEMBER_DEPTH_M = 0.055
ZONES = {"roof": "roof", "floor": "floor"}


def preset_parameters(vehicle: Vehicle) -> ShellParameters:
    """Shell parameters of a preset with what was measured put in its place.

    Args:
        vehicle: names the preset; its ``parameters`` hold lengths as text (``length: 3.72 m``), lists and groups of them,
            under the names of ``ShellParameters`` without the ending ``_m``.

    Raises:
        ShellError: unknown preset or parameter, a value that can't be read, or values that make no van.
    """
    name = vehicle.preset or ""
    if name not in PRESETS:
        nearest = nearest_word(name, list(PRESETS))
        hint = f"did you mean {nearest}?" if nearest else f"accepted: {', '.join(PRESETS)}"
        raise ShellError(f"there is no preset '{name}'; {hint}", place="preset")
    faults: list[str] = []
    given: dict[str, Any] = {}
    for key, value in vehicle.parameters.items():
        try:
            given |= _fields_of(ShellParameters, {key: value}, "parameters")
        except ShellError as fault:
            faults.append(str(fault))
    try:
        parameters = preset(name, **given)
    except ShellError as fault:
        faults.extend(_spoken(one) for one in fault.sentences)
    if faults:
        raise ShellError(*faults, place="parameters")
    return parameters


def _spoken(text: str) -> str:
    """A fault of the shell builder in the words of the project file: names without unit endings, counted from 1."""
    text = re.sub(r"\[(\d+)\]\.", lambda found: f" {int(found[1]) + 1} / ", text)
    return re.sub(r"(?<=[a-z])_m\b", "", text)


def _fields_of(kind: type, given: Mapping[str, Any], where: str) -> dict[str, Any]:
    hints = typing.get_type_hints(kind)
    known = {field.name.removesuffix("_m"): field.name for field in fields(kind) if field.name != "name"}
    out = {}
    for key, value in given.items():
        if key not in known:
            nearest = nearest_word(key, list(known))
            hint = f"did you mean {nearest}?" if nearest else f"accepted: {', '.join(known)}"
            raise ShellError(f"{where}: there is no '{key}'; {hint}")
        field = known[key]
        out[field] = _value(hints[field], value, f"{where} / {key}", field.endswith("_m") or "stations" in field)
    return out


def _value(kind: Any, value: Any, where: str, metric: bool) -> Any:
    """One value of a parameter, read by its declared type."""
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin in (types.UnionType, typing.Union):
        if value is None:
            return None
        return _value(next(arg for arg in args if arg is not type(None)), value, where, metric)
    if origin is tuple:
        if not isinstance(value, list | tuple):
            raise ShellError(f"{where}: a list is wanted, found {value!r}")
        kinds = [args[0]] * len(value) if len(args) == 2 and args[1] is Ellipsis else list(args)
        if len(value) != len(kinds):
            raise ShellError(f"{where}: a list of {len(value)} items was found; accepted are {len(kinds)}")
        return tuple(
            _value(one, item, f"{where} {i + 1}", metric)
            for i, (one, item) in enumerate(zip(kinds, value, strict=True))
        )
    if isinstance(kind, type) and is_dataclass(kind):
        if not isinstance(value, Mapping):
            raise ShellError(f"{where}: a group of values is wanted, found {value!r}")
        read = _fields_of(kind, value, where)
        needed = [field.name for field in fields(kind) if field.default is MISSING and field.default_factory is MISSING]
        missing = [name.removesuffix("_m") for name in needed if name not in read]
        if missing:
            raise ShellError(f"{where}: {', '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing")
        return kind(**read)
    if origin is Literal:
        if value not in args:
            raise ShellError(f"{where}: {value!r}; accepted: {', '.join(map(str, args))}")
        return value
    if kind is float and metric:
        try:
            return parse_length(value, what=where, allow_negative=True)
        except SpellingError as fault:
            raise ShellError(str(fault)) from fault
    if kind is float and isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if kind in (int, bool, str) and type(value) is kind:
        return value
    raise ShellError(f"{where}: {value!r} can't be read as {getattr(kind, '__name__', kind)}")


def mesh_shell(vehicle: Vehicle, folder: Path) -> Shell:
    """A shell from a mesh file whose named parts, members and openings the project lists.

    Args:
        vehicle: mesh file, unit, up axis, parts, openings.
        folder: the project's folder, to which the file's path is relative.

    Raises:
        ShellError: the file can't be used, or an entry does not fit it.
    """
    path = folder / (vehicle.mesh or "")
    try:
        parts = load_parts(path, unit_m=UNIT_M[vehicle.mesh_unit or "m"], up=vehicle.mesh_up)
    except ShellError as fault:
        raise ShellError(*fault.sentences, place="mesh") from fault
    skins, members, obstacles = [], [], []
    for use in vehicle.parts:
        if use.kind == "skin":
            zone = use.zone or ZONES.get(use.name, "wall")
            depth = LAY_DEPTH_M if use.lay_depth is None else use.lay_depth
            skins.append(SkinSpec(use.part, use.name, cast(Any, zone), depth))
        elif use.kind == "obstacle":
            obstacles.append(ObstacleSpec(use.part, use.name, use.skins))
        elif use.kind != "panel":
            kind: MemberKind = use.kind
            members.append(MemberSpec(use.part, use.name, kind, use.skins, use.depth or MEMBER_DEPTH_M))
    bare = shell_from_parts(vehicle.name, parts, skins, members, [], obstacles)
    openings: list[OpeningSpec] = []
    faults: list[str] = []
    for entry in vehicle.openings:
        try:
            openings.append(_opening(entry, bare, members, vehicle.datum.forward))
        except ShellError as fault:
            faults.extend(fault.sentences)
    try:
        shell = shell_from_parts(vehicle.name, parts, skins, members, openings, obstacles)
    except ShellError as fault:
        faults.extend(fault.sentences)
    if faults:
        raise ShellError(*faults, place="openings")
    return shell


def _opening(entry: OpeningEntry, shell: Shell, members: list[MemberSpec], datum_back_m: float) -> OpeningSpec:
    where = f"opening '{entry.name}'"
    member = next((one for one in members if one.name == entry.member), None)
    if member is None:
        said = f"is in member '{entry.member}'" if entry.member else "names no member"
        raise ShellError(f"{where} {said}; {near(entry.member, [m.name for m in members])}")
    if entry.size is None or (entry.at is None and not entry.path):
        raise ShellError(f"{where} of a mesh needs its size and its place (at, or path)")
    path = np.array([_xyz(place, shell, datum_back_m, where, 0.0) for place in entry.path]) if entry.path else None
    if path is not None:
        centre = path[len(path) // 2]
        axis = path[-1] - path[0]
    else:
        place = cast(Place, entry.at)
        centre = _xyz(place, shell, datum_back_m, where, member.depth_m / 2.0)
        letter = entry.axis or ("z" if member.kind in ("rail", "sill") else "x")
        axis = -np.eye(3)["xyz".index(letter)]
    sides = entry.skins or (member.skins[0], member.skins[-1])
    return OpeningSpec(
        entry.name,
        member.name,
        centre,
        axis,
        entry.shape or "round",
        entry.size,
        entry.length or entry.size,
        sides[0],
        sides[1],
        grain=_grain(shell, sides[0], centre, axis),
        path=path,
        state=entry.state or "measured",
    )


def _grain(shell: Shell, skin: str, centre: Points, axis: Points) -> Points | None:
    """Which way a slot is long: along its member, in the skin's own slope."""
    mesh = next((one.mesh for one in shell.skins if one.name == skin), None)
    if mesh is None:
        return None
    tri = triangles(mesh.vertices, mesh.faces)
    face = nearest_on_triangles(centre[None], tri)[0]
    grain = np.cross(axis, face_normals(tri[face])[0])
    size = float(np.linalg.norm(grain))
    return np.asarray(grain / size) if size > 1e-6 * float(np.linalg.norm(axis)) else None


def _xyz(place: Place, shell: Shell, datum_back_m: float, where: str, stand_off_m: float) -> Points:
    """The point of a place: as given, or on the skin with its stand-off."""
    if place.wall is None:
        return np.array((cast(float, place.x) - datum_back_m, cast(float, place.y), cast(float, place.z)))
    skin = next((one for one in shell.skins if one.name == place.wall), None)
    if skin is None:
        raise ShellError(f"{where}: this shell has no {place.wall}")
    return point_on_skin(
        skin.mesh, place, datum_back_m, where, place.stand_off if place.stand_off is not None else stand_off_m
    )
