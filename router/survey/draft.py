"""What a survey found, as a draft project and a survey.yaml: text for a person to check, every guess with its reason."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator

import numpy as np

from ribway.models.review.found import FOUND_FILE
from ribway.models.survey_answers import SurveyAnswers
from ribway.router.shell.parts import Points
from ribway.router.survey.openings import FoundOpening
from ribway.router.survey.scan.draft import tape_lines
from ribway.router.survey.survey import Survey

SHELL_FILE = "shell.glb"
_PLACES = 5
MOST_PERCENT = 5.0


def project_text(survey: Survey, name: str, mesh_name: str) -> str:
    """The draft project file.

    Args:
        survey: what was found.
        name: of the project.
        mesh_name: the surveyed file, for the comment.

    Returns:
        YAML; openings are marked assumed, so that all papers say so until a person has confirmed them.
    """
    return "\n".join(_project_lines(survey, name, mesh_name)) + "\n"


def _project_lines(survey: Survey, name: str, mesh_name: str) -> Iterator[str]:
    axes, scale = survey.placing.axes, survey.placing.scale
    if survey.scan is not None:
        yield f"# Drafted from the scan {_plain(mesh_name)}: its lines as a tape gives them. Small holes are in no scan."
    else:
        yield f"# Drafted from {_plain(mesh_name)}; {SHELL_FILE} is that mesh, parted, named and in the van's frame."
    yield "# Nothing here is certain before you have looked: correct survey.yaml and survey again, or correct this file."
    yield f"# unit:    {survey.placing.unit.unit}: {survey.placing.unit.reason}"
    yield f"# up:      {axes.up}: {axes.reasons[0]}"
    yield f"# forward: {axes.forward}: {axes.reasons[1]}"
    yield f"# lengths: within {scale.per_metre * 1000:.0f} mm a metre ({scale.reason})"
    if survey.scan is None:
        yield "# openings: found in the metal. state: assumed -> measured once you saw the hole; blocked if it is none."
    yield ""
    yield "ribway: 1"
    yield f"name: {_quoted(name)}"
    yield "revision: A"
    yield ""
    yield "vehicle:"
    if survey.scan is not None:
        if not survey.placing.scale.residuals_m:
            yield "  # CHECK: hold a tape to one length first and write it into survey.yaml: the scale is a guess until then."
        yield _scale_line(survey)
        yield from tape_lines(survey.scan)
    else:
        yield from _mesh_lines(survey, name)
    yield ""
    yield "equipment: equipment.xlsx      # or equipment.csv: one row for each thing with a wire"


def _scale_line(survey: Survey) -> str:
    """The error that all lengths share, rounded up to a hundredth of a per cent."""
    scale = survey.placing.scale
    percent = math.ceil(1e4 * scale.per_metre - 1e-9) / 100
    return f"  scale_error: {min(percent, MOST_PERCENT):.2f} %   # {scale.reason}"


def _mesh_lines(survey: Survey, name: str) -> Iterator[str]:
    """The vehicle as a mesh with its parts and openings."""
    yield f"  name: {_quoted(name)}"
    yield f"  mesh: {SHELL_FILE}"
    yield _scale_line(survey)
    yield "  parts:"
    for skin in survey.skins:
        depth = _length(survey.lay_depth_m[skin])
        yield f"    - {{part: {skin}, name: {skin}, kind: skin, lay_depth: {depth}}}"
    for part in survey.parts:
        skins = f"[{', '.join(part.skins)}]"
        if part.member_kind is not None:
            depth = _length(part.depth_m)
            yield f"    - {{part: {part.name}, name: {part.name}, kind: {part.kind}, skins: {skins}, depth: {depth}}}"
        elif part.kind == "obstacle":
            yield f"    - {{part: {part.name}, name: {part.name}, kind: obstacle, skins: {skins}}}"
    ways = survey.ways
    yield "  openings:" if ways else "  openings: []"
    for opening in ways:
        yield from _opening_lines(opening)
    if survey.candidates:
        yield f"  # {len(survey.candidates)} candidates of which it is not sure enough lie in {FOUND_FILE} and were not taken:"
        yield "  # look at each in the window (ribway view) or on the page (ribway page), and confirm those that are there."
    others = [one for one in survey.openings if one.kind != "way"]
    if others:
        yield "  # found as well, and no way from bay to bay:"
        for one in others:
            yield f"  #   {one.name}: {_size(one)} {one.kind} at {_point(one.centre)}"


def _opening_lines(opening: FoundOpening) -> Iterator[str]:
    size = f"size: {_length(opening.bore_m)}"
    if opening.shape == "slot":
        size += f", length: {_length(max(opening.length_m, opening.bore_m))}"
    yield (
        f"    - {{name: {opening.name}, member: {opening.member}, shape: {opening.shape}, {size}, "
        f"skins: [{', '.join(opening.skins)}], state: assumed,"
    )
    path = ", ".join(
        "{" + ", ".join(f"{axis}: {_length(value)}" for axis, value in zip("xyz", point.tolist(), strict=True)) + "}"
        for point in opening.line
    )
    sure = "" if opening.sure >= 1.0 else f"  # {opening.sure:.0%} sure"
    yield f"       path: [{path}]}}{sure}"


def answers_text(survey: Survey, answers: SurveyAnswers, mesh_path: str) -> str:
    """The survey.yaml that says what was assumed, for a person to correct.

    Args:
        survey: what was found.
        answers: what was said before; it is kept.
        mesh_path: the mesh as the file is to name it, relative to where it will lie.
    """
    return "\n".join(_answer_lines(survey, answers, mesh_path)) + "\n"


def _answer_lines(survey: Survey, answers: SurveyAnswers, mesh_path: str) -> Iterator[str]:
    placing, report = survey.placing, survey.report
    tilt = np.degrees(placing.axes.tilt_rad)
    yield "# What was found out about a mesh. Correct it, then: ribway survey survey.yaml --out FOLDER"
    yield f"# {report.kind}: {report.triangles} triangles, {report.parts} named parts, {report.bodies} bodies, "
    yield f"# {report.closed} of them closed, {' by '.join(f'{side:.4g}' for side in report.extents)} in its own numbers."
    for sentence in survey.mends.sentences():
        yield f"# mended: {sentence}."
    yield ""
    yield f"mesh: {_quoted(mesh_path)}"
    yield f"unit: {placing.unit.unit}{_note(placing.unit.reason, placing.unit.sure)}"
    yield f'up: "{placing.axes.up}"{_note(placing.axes.reasons[0], placing.axes.sure)}'
    yield f'forward: "{placing.axes.forward}"{_note(placing.axes.reasons[1], answers.forward is not None)}'
    yield f"straighten: {'true' if answers.straighten else 'false'}   # turned by {tilt:.2f} degrees against these axes"
    yield ""
    yield "# Distances taped on the van set the scale: two opposite sides, or two points by the mesh file's own numbers."
    if answers.tape:
        yield "tape:"
        for one in answers.tape:
            ends = ", ".join(end if isinstance(end, str) else str(list(end)) for end in one.between)
            yield f"  - {{between: [{ends}], is: {_length(one.distance)}}}"
        residuals = ", ".join(f"{1000 * value:+.1f} mm" for value in placing.scale.residuals_m)
        yield f"# mesh less tape after scaling: {residuals}; lengths within {1000 * placing.scale.per_metre:.1f} mm a metre"
    else:
        yield "tape: []"
        yield "#  - {between: [front, rear], is: 3.725 m}"
    yield ""
    yield "# Names of found openings that are none:"
    yield f"not_openings: [{', '.join(_quoted(name) for name in answers.not_openings)}]"


def report_lines(survey: Survey) -> Iterator[str]:
    """The survey in sentences, for the screen.

    Args:
        survey: what was found.
    """
    report, placing = survey.report, survey.placing
    yield (
        f"{report.kind}: {report.triangles} triangles in {report.parts} named parts; {report.bodies} bodies, "
        f"{report.closed} of them watertight"
    )
    for sentence in survey.mends.sentences():
        yield f"mended: {sentence}"
    yield f"unit: {placing.unit.unit}{'' if placing.unit.sure else ' (not sure)'}: {placing.unit.reason}"
    yield f"up: {placing.axes.up}{'' if placing.axes.sure else ' (not sure)'}: {placing.axes.reasons[0]}"
    yield f"forward: {placing.axes.forward} (confirm it): {placing.axes.reasons[1]}"
    if placing.axes.tilt_rad > 1e-6:
        yield f"straightened by {np.degrees(placing.axes.tilt_rad):.2f} degrees"
    if np.abs(placing.moved).max() > 0:
        yield f"moved by {_point(placing.moved)}, so that the front edge of the floor is the datum"
    for residual in placing.scale.residuals_m:
        yield f"tape check: the mesh is {1000 * residual:+.1f} mm off after scaling"
    yield f"lengths: within {1000 * placing.scale.per_metre:.0f} mm a metre ({placing.scale.reason})"
    if not survey.condition.is_clean:
        yield f"this mesh is {'a scan' if survey.condition.is_scan else 'not clean'}: {survey.condition.reason}"
    if survey.scan is not None:
        yield from (line.strip() for line in tape_lines(survey.scan))
        return
    for part in survey.fused:
        on = ", ".join(part.skins)
        yield f"{part.name}: ribs and rails are one body in this file, which stands on {on}; they are one member here"
    yield f"skins: {', '.join(survey.skins) or 'none'}"
    counts: dict[str, int] = {}
    for part in survey.parts:
        counts[part.kind] = counts.get(part.kind, 0) + 1
    yield f"parts: {', '.join(f'{count} {kind}' for kind, count in counts.items()) or 'none'}"
    kinds: dict[str, int] = {}
    for one in survey.openings:
        kinds[one.kind] = kinds.get(one.kind, 0) + 1
    yield f"openings: {', '.join(f'{count} {kind}' for kind, count in kinds.items()) or 'none'}"
    if survey.candidates:
        yield f"{len(survey.candidates)} of the ways are only candidates: look at each before you take it"


def _note(reason: str, sure: bool) -> str:
    return f"   # {'' if sure else 'CHECK: '}{reason}"


def _length(value_m: float) -> str:
    return f"{round(value_m, _PLACES) + 0.0:.{_PLACES}f} m"


def _point(point: Points) -> str:
    return "x {:.3f}, y {:.3f}, z {:.3f} m".format(*(point + 0.0).tolist())


def _size(one: FoundOpening) -> str:
    bore = f"{1000 * one.bore_m:.1f}"
    return f"{bore} x {1000 * one.length_m:.1f} mm" if one.length_m > 1.001 * one.bore_m else f"{bore} mm"


def _quoted(text: str) -> str:
    """Text as YAML takes it whatever is in it; JSON's strings are YAML's."""
    return json.dumps(text, ensure_ascii=False)


def _plain(text: str) -> str:
    return "".join(sign if sign.isprintable() else " " for sign in text)
