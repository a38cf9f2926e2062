"""The measurements that a plan's lengths rest on, each with its stated error and with what it moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ribway.models.plan.assumptions import Whose
from ribway.models.plan.results import PlanDevice
from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.models.project import Project
from ribway.models.tape import RIB_ERROR_M, TAPE_ERROR_M
from ribway.router.chance.survey import Measurement
from ribway.router.chance.sway import Moves, Vector
from ribway.router.writing.body_lines import PRESET_ERROR_M, body_lines
from ribway.router.writing.preset_values import length_text

ROW_ERROR_M = 0.05
"""How far a typical hole may lie from where a preset has it, along its member; common practice, no source."""
MESH_ERROR_M = 0.02
"""How far a point of a scanned mesh may be off: the careful end of 1 to 2 cm (common practice, no source)."""
_ROW_STEP_M = 0.06
_BACK: Vector = (-1.0, 0.0, 0.0)
_LEFT: Vector = (0.0, 1.0, 0.0)
_UP: Vector = (0.0, 0.0, 1.0)
_AXES = {"left": (_BACK, _UP), "right": (_BACK, _UP), "roof": (_BACK, _LEFT), "floor": (_BACK, _LEFT)}


@dataclass(frozen=True)
class Survey:
    """A measurement with whose it is and what it is called."""

    whose: Whose
    about: str
    what: str
    measurement: Measurement


def device_key(name: str) -> str:
    """What a device is called among the things that runs pass."""
    return f"device {name}"


def way_key(name: str) -> str:
    """What an opening or another way is called among the things that runs pass."""
    return f"way {name}"


def surveys(
    project: Project, openings: Sequence[PlanOpening], ways: Sequence[PlanWay], devices: Sequence[PlanDevice]
) -> tuple[Survey, ...]:
    """All measurements that openings and devices in use rest on.

    Lines of the body, distances of ribs and rows of holes are shared: each moves everything that was placed by it. An
    opening that was measured itself rests on its own reading alone.

    Args:
        project: what was said.
        openings, ways, devices: of the plan.
    """
    used = [one for one in openings if one.runs]
    found = [*body_lines(project, used, devices)] if project.vehicle.mesh is None else []
    lines = [Survey("shell", "", line.what, line.measurement) for line in found]
    return (
        *lines,
        *_members(project, used),
        *_rows(project, used),
        *_own(project, used),
        *_other_ways(ways),
        *_devices(project, devices),
    )


def _scaled(axis: Vector, by: float) -> Vector:
    return (axis[0] * by, axis[1] * by, axis[2] * by)


def _together(names: Sequence[str], axis: Vector, by: float) -> Moves:
    return dict.fromkeys(names, _scaled(axis, by))


def _guessed(project: Project, opening: PlanOpening) -> bool:
    """Whether it stands where a row says, and nobody looked at it itself."""
    return project.vehicle.mesh is None and opening.state == "assumed"


def _on_rib(opening: PlanOpening) -> bool:
    """Whether it goes through a rib or bow: those are told apart by number, a rail is one member from end to end."""
    return opening.member[-1:].isdigit()


def _members(project: Project, used: Sequence[PlanOpening]) -> Iterator[Survey]:
    """Ribs and bows: distance back."""
    given = set(project.vehicle.parameters)
    by_member: dict[str, list[PlanOpening]] = {}
    for opening in used:
        if _on_rib(opening) and _guessed(project, opening):
            by_member.setdefault(opening.member, []).append(opening)
    for member, holes in by_member.items():
        key = {"left": "rib_stations_left", "right": "rib_stations_right"}.get(holes[0].wall, "bow_stations")
        read = project.vehicle.tape is not None or key in given
        error = RIB_ERROR_M if read else PRESET_ERROR_M
        kind = "bow" if holes[0].wall == "roof" else "rib"
        moves = _together([way_key(one.id) for one in holes], _BACK, error)
        what = f"{kind} {member}: distance back"
        yield Survey("shell", member, what, Measurement(f"member {member}", error, RIB_ERROR_M, (moves,)))


def _rows(project: Project, used: Sequence[PlanOpening]) -> Iterator[Survey]:
    """Typical rows: one height for all ribs, one distance from the centre line for all bows."""
    tape = project.vehicle.tape
    named = {one.stem for line in tape.hole_lines for one in line.members} if tape is not None else set()
    guessed = [one for one in used if _on_rib(one) and _guessed(project, one)]
    walls = [one for one in guessed if one.wall in ("left", "right")]
    roof = [one for one in guessed if one.wall == "roof"]
    for holes in _clusters({one.id: one.up_m for one in walls}):
        ids = set(holes)
        stems = {one.member[:1] for one in walls if one.id in ids}
        error = RIB_ERROR_M if stems <= named else ROW_ERROR_M
        height = sum(holes.values()) / len(holes)
        moves = _together([way_key(name) for name in holes], _UP, error)
        what = f"rib holes about {length_text(height, project.shop)} up: their height on one rib"
        yield Survey("shell", "", what, Measurement(f"rib row {height:.2f}", error, RIB_ERROR_M, (moves,)))
    for holes in _clusters({one.id: one.centre[1] for one in roof}):
        error = RIB_ERROR_M if "B" in named else ROW_ERROR_M
        off = sum(holes.values()) / len(holes)
        moves = _together([way_key(name) for name in holes], _LEFT, error)
        side = "left" if off > 0 else "right"
        what = (
            f"bow holes about {length_text(abs(off), project.shop)} {side} of the centre line: that distance on one bow"
        )
        yield Survey("shell", "", what, Measurement(f"bow row {off:.2f}", error, RIB_ERROR_M, (moves,)))


def _clusters(values: Mapping[str, float]) -> list[dict[str, float]]:
    """Names whose values follow one another closely: one row."""
    rows: list[dict[str, float]] = []
    last = 0.0
    for name, value in sorted(values.items(), key=lambda item: (item[1], item[0])):
        if not rows or value - last > _ROW_STEP_M:
            rows.append({})
        rows[-1][name] = value
        last = value
    return rows


def _own(project: Project, used: Sequence[PlanOpening]) -> Iterator[Survey]:
    """Each opening by itself: how far it is off its row, its own reading, or where a rail's passage really is."""
    meshed = project.vehicle.mesh is not None
    for one in used:
        along = _UP if one.wall in ("left", "right") else _LEFT
        key = way_key(one.id)
        error: float
        parts: tuple[Vector, ...]
        if meshed and one.state == "assumed":
            error, parts = MESH_ERROR_M, (_BACK, along)
        elif meshed or one.state != "assumed":
            error, parts = RIB_ERROR_M, (_BACK, along)
        elif _on_rib(one):
            error, parts = RIB_ERROR_M, (along,)
        else:
            error, parts = ROW_ERROR_M, (_BACK,)
        moves = tuple(_together([key], axis, error) for axis in parts)
        what = f"opening {one.id}: where it is"
        yield Survey("opening", one.id, what, Measurement(key, error, RIB_ERROR_M, moves))


def _other_ways(ways: Sequence[PlanWay]) -> Iterator[Survey]:
    for way in ways:
        if way.runs:
            moves = tuple(_together([way_key(way.id)], axis, RIB_ERROR_M) for axis in (_BACK, _LEFT, _UP))
            measurement = Measurement(way_key(way.id), RIB_ERROR_M, RIB_ERROR_M, moves)
            yield Survey("opening", way.id, f"way {way.id}: where it is", measurement)


def _devices(project: Project, devices: Sequence[PlanDevice]) -> Iterator[Survey]:
    """Devices: by the tape, or roughly; a rough place's radius is shared evenly between its two directions."""
    rough = {entry.about: entry.error or 0.0 for entry in project.assumed if entry.what == "place"}
    for device in devices:
        error = max(rough.get(device.id, 0.0), TAPE_ERROR_M)
        axes = _AXES.get(device.wall, (_LEFT, _UP))
        each = error / 2**0.5 if device.id in rough else error
        moves = tuple(_together([device_key(device.id)], axis, each) for axis in axes)
        measurement = Measurement(device_key(device.id), error, TAPE_ERROR_M, moves)
        yield Survey("device", device.id, f"{device.name}: its place", measurement)
