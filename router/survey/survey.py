"""The survey: from a mesh file to named parts, skins and found openings in the van's frame."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from ribway.models.survey_answers import SurveyAnswers
from ribway.router.shell.parts import Member, Mesh, Obstacle, Points, Shell, Skin, SkinZone
from ribway.router.survey.condition import Condition, condition_of
from ribway.router.survey.crossings import SLACK_RAD, WAVY_SLACK_RAD, Crossing, link
from ribway.router.survey.dividing import divided
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.near_skins import NearSkin
from ribway.router.survey.openings import TAKEN, FoundOpening, bare_openings, found_openings, large_openings
from ribway.router.survey.passages import find_passages
from ribway.router.survey.placing import Placing, datum_shift, first_placing, placed, scan_tape_checks, tape_checks
from ribway.router.survey.reading import RawMesh, read_mesh
from ribway.router.survey.repair import Mends, mend
from ribway.router.survey.rings import find_rings
from ribway.router.survey.scale import fit_scale
from ribway.router.survey.scan.levelling import level
from ribway.router.survey.scan.lines import ScanLines, read_lines
from ribway.router.survey.scan.patches import patches_of
from ribway.router.survey.skin_sheets import find_skins, sub_mesh
from ribway.router.survey.sorting import FRAME, Part, all_single, named_parts, sort_bodies
from ribway.router.survey.topology import Ints, Topology, bodies, topology_of
from ribway.router.survey.united import is_united, parted

LAY_DEPTH_M = 0.0275
WHOLE_SHARE = 0.5
"""A scan is one surface for the most part; a noisy drawing of many parts is none."""
LAY_STEP_M = 1e-5


@dataclass(frozen=True)
class FileReport:
    """What a file holds, as a person asks it.

    Args:
        kind: its format.
        triangles: how many.
        parts: named meshes in it.
        bodies: pieces that hang together.
        closed: how many of those are watertight.
        extents: its three sides in its own numbers, as it lies.
    """

    kind: str
    triangles: int
    parts: int
    bodies: int
    closed: int
    extents: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Survey:
    """All that was found in a mesh.

    Args:
        report: of the file.
        mends: what was mended.
        condition: whether it is clean, torn or a scan.
        placing: unit, scale, axes, datum, each with its reason.
        skins: by name, in the van's frame [m].
        parts: members, obstacles, panels.
        lay_depth_m: stand-off of each skin's openings: how far off the metal cables lie [m].
        openings: ways through members, access holes, windows, doors.
        scan: of a scan, its lines as a tape gives them, instead of skins and parts.
    """

    report: FileReport
    mends: Mends
    condition: Condition
    placing: Placing
    skins: dict[str, Mesh]
    parts: tuple[Part, ...]
    lay_depth_m: dict[str, float]
    openings: tuple[FoundOpening, ...]
    scan: ScanLines | None = None

    @property
    def ways(self) -> tuple[FoundOpening, ...]:
        """The openings that lead from bay to bay and are sure enough to be drafted."""
        return tuple(one for one in self.openings if one.kind == "way" and one.sure >= TAKEN)

    @property
    def fused(self) -> tuple[Part, ...]:
        """Ribs and rails that the file holds as one body: one member, whose openings are numbered along the van."""
        return tuple(part for part in self.parts if part.kind == "brace")

    @property
    def candidates(self) -> tuple[FoundOpening, ...]:
        """The ways that a person has to look at before they are taken."""
        return tuple(one for one in self.openings if one.kind == "way" and one.sure < TAKEN)


def survey_file(path: str | Path, answers: SurveyAnswers | None = None) -> Survey:
    """Survey a mesh file.

    Args:
        path: the file.
        answers: what a person says about it; it goes before what is found out.

    Raises:
        SurveyError: the file cannot be used, or holds nothing that could be a shell.
    """
    raw = read_mesh(path)
    try:
        return survey_mesh(raw, answers or SurveyAnswers())
    except SurveyError as error:
        raise SurveyError(f"{path}: {error}") from error


def one_mesh(raw: RawMesh) -> Mesh:
    """All parts of a file as one mesh; names are not trusted."""
    offsets = np.cumsum([0, *(len(mesh.vertices) for mesh in raw.parts.values())])
    vertices = np.concatenate([mesh.vertices for mesh in raw.parts.values()])
    faces = [mesh.faces + offset for mesh, offset in zip(raw.parts.values(), offsets[:-1], strict=True)]
    return Mesh(vertices, np.concatenate(faces).astype(np.int32))


def survey_mesh(raw: RawMesh, answers: SurveyAnswers) -> Survey:
    """Survey a mesh that was read.

    Args:
        raw: as read.
        answers: what a person says about it.
    """
    mended, mends = mend(one_mesh(raw))
    body = bodies(mended)
    is_open = np.bincount(body, weights=(mended.twin.reshape(-1, 3) < 0).any(axis=1)) > 0
    extents = np.ptp(mended.mesh.vertices, axis=0)
    report = FileReport(
        raw.facts.kind, raw.triangles, len(raw.parts), len(is_open), int((~is_open).sum()), tuple(extents.tolist())
    )
    state = condition_of(mended, mends)
    if state.is_scan and float(np.bincount(body, weights=mended.areas).max()) > WHOLE_SHARE * float(mended.areas.sum()):
        return _survey_scan(mended, mends, state, report, raw, answers)
    placing = first_placing(mended, raw.facts.kind, raw.facts.unit, answers)
    united, place = mended, np.arange(len(mended.areas))
    if is_united(placed(mended, placing), body):
        apart = parted(placed(mended, placing))
        if apart is not None:
            place = apart.place
            mended = topology_of(Mesh(placing.to_file(apart.mesh.vertices), apart.mesh.faces))
            body = bodies(mended)
    sheets = set(np.unique(body[: int(place[place >= 0].min())]).tolist()) if mended is not united else None
    topology = placed(mended, placing)
    found = find_skins(topology, body, sheets)
    skins = {name: sub_mesh(topology, faces) for name, faces in found.faces.items()}
    shift = datum_shift(skins, topology.mesh.vertices) if skins else np.zeros(3)
    grown, frame, member_at = body, -1, None
    for one in [one for one in sort_bodies(topology, body, found, skins) if one.place == FRAME][:1] if skins else []:
        apart_again = divided(topology, body, one.number, skins)
        if apart_again is None:
            continue
        cut = topology_of(apart_again.mesh)
        if all_single(named_parts(cut, apart_again.body, sort_bodies(cut, apart_again.body, found, skins)), skins):
            frame, member_at, body = one.number, apart_again.member_at, apart_again.body
            mended = topology_of(Mesh(placing.to_file(apart_again.mesh.vertices), apart_again.mesh.faces))
            topology = placed(mended, placing)
    believed = placing
    if answers.tape:
        believed_m = placing.scale.unit_m
        placing = replace(placing, scale=fit_scale(believed_m, tape_checks(answers, placing, skins)))
        shift = shift * (placing.scale.unit_m / believed_m)
    placing = replace(placing, moved=shift)
    topology = placed(mended, placing)
    skins = {name: sub_mesh(topology, faces) for name, faces in found.faces.items()}
    parts = named_parts(topology, body, sort_bodies(topology, body, found, skins)) if skins else []
    metal = placed(united, placing)
    passages = find_passages(metal, find_rings(metal, state.is_wavy))
    # Holes face each other in what is grown together; whose they are is told by where they lie.
    own = np.where(place >= 0, grown[place], -1)
    crossings = link(metal, own, passages, slack_rad=WAVY_SLACK_RAD if state.is_wavy else SLACK_RAD)
    if member_at is not None:
        crossings = _of_members(crossings, frame, member_at, lambda points: believed.to_van(placing.to_file(points)))
    ways = found_openings(crossings, parts, skins, state) if skins else bare_openings(crossings, state)
    large = large_openings(
        passages, {name: np.flatnonzero(np.isin(place, faces)) for name, faces in found.faces.items()}, 0.0
    )
    openings = tuple(one for one in [*ways, *large] if one.name not in answers.not_openings)
    return Survey(report, mends, state, placing, skins, tuple(parts), _lay_depths(openings, skins), openings)


def _of_members(
    crossings: list[Crossing], frame: int, member_at: Callable[[Points], Ints], back: Callable[[Points], Points]
) -> list[Crossing]:
    """Crossings of a frame that was divided, each with the member in which it lies.

    Args:
        crossings: as linked in the whole frame.
        frame: its body.
        member_at: the body at points, as they lay when the frame was divided.
        back: points as they lay then.
    """
    mine = [one for one in crossings if one.body == frame]
    if not mine:
        return crossings
    at = member_at(back(np.array([one.line.mean(axis=0) for one in mine])))
    known = {id(one): int(number) for one, number in zip(mine, at, strict=True) if number >= 0}
    return [replace(one, body=known.get(id(one), one.body)) for one in crossings]


def _survey_scan(
    mended: Topology, mends: Mends, state: Condition, report: FileReport, raw: RawMesh, answers: SurveyAnswers
) -> Survey:
    """A scan: levelled, then read off as a tape would."""
    patches = patches_of(mended.mesh, mended.areas)
    placing = first_placing(mended, raw.facts.kind, raw.facts.unit, answers, patches)
    rough = placing.to_van(mended.mesh.vertices)
    found = level(rough)
    if answers.tape:
        believed_m = placing.scale.unit_m
        lines = read_lines(Mesh(found(rough), mended.mesh.faces), found)
        placing = replace(placing, scale=fit_scale(believed_m, scan_tape_checks(answers, placing, lines)))
        rough = placing.to_van(mended.mesh.vertices)
        found = level(rough)
    axes = replace(placing.axes, turn=found.turn @ placing.axes.turn)
    placing = replace(placing, axes=axes, moved=found.moved)
    lines = read_lines(Mesh(found(rough), mended.mesh.faces), found)
    return Survey(report, mends, state, placing, {}, (), {}, (), lines)


def _lay_depths(openings: tuple[FoundOpening, ...], skins: dict[str, Mesh]) -> dict[str, float]:
    """The usual stand-off of mouths from each skin; that of all skins where one has no openings."""
    if not skins:
        return {}
    everything = np.concatenate([mesh.vertices for mesh in skins.values()])
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    per_skin: dict[str, list[float]] = {name: [] for name in skins}
    for name, mesh in skins.items():
        ends = [
            one.line[k]
            for one in openings
            if one.kind == "way" and one.skins[0] == one.skins[1]
            for k in (0, -1)
            if one.skins[k] == name
        ]
        if ends:
            per_skin[name] = np.abs(NearSkin(mesh, middle).signed(np.array(ends))).tolist()
    all_m = [value for values in per_skin.values() for value in values]
    usual = float(np.median(all_m)) if all_m else LAY_DEPTH_M
    rounded = {name: float(np.median(values)) if values else usual for name, values in per_skin.items()}
    return {name: round(value / LAY_STEP_M) * LAY_STEP_M for name, value in rounded.items()}


def shell_of_survey(survey: Survey, name: str) -> Shell:
    """The bare metal of a survey as a shell without openings, to be written as a mesh file with named parts.

    Args:
        survey: with at least one skin.
        name: of the shell.
    """
    zones: dict[str, SkinZone] = {"roof": "roof", "floor": "floor"}
    members, obstacles, panels = [], [], []
    for part in survey.parts:
        if part.member_kind is not None:
            members.append(Member(part.name, part.member_kind, part.skins, part.mesh, part.depth_m))
        elif part.kind == "obstacle":
            obstacles.append(Obstacle(part.name, part.skins, part.mesh))
        else:
            panels.append((part.name, part.mesh))
    made = tuple(
        Skin(skin, mesh, zones.get(skin, "wall"), survey.lay_depth_m[skin]) for skin, mesh in survey.skins.items()
    )
    length = max((-float(skin.mesh.vertices[:, 0].min()) for skin in made), default=0.0)
    return Shell(name, made, tuple(members), tuple(obstacles), (), tuple(panels), length)
