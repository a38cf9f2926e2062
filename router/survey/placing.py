"""From the file's own numbers to the van's frame: scale, turn, and where the datum goes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ribway.models.survey_answers import SurveyAnswers
from ribway.router.shell.from_project import UNIT_M
from ribway.router.shell.mesh_file import frame_turn
from ribway.router.shell.parts import Mesh, Points
from ribway.router.survey.axes import AxesGuess, guess_axes
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.scale import Scale, TapeCheck, UnitGuess, fit_scale, guess_unit
from ribway.router.survey.scan.lines import ScanLines
from ribway.router.survey.scan.patches import Patches
from ribway.router.survey.topology import Topology, topology_of

UP_BY_FORMAT = {"glb": "y", "gltf": "y"}
HERE_M = 0.001


@dataclass(frozen=True, eq=False)
class Placing:
    """How the file was placed.

    Args:
        unit: what is believed of its unit.
        scale: metres of one unit, after the tape.
        axes: how it stands.
        moved: ``(3,)`` added after scale and turn, so that the datum is the origin [m].
    """

    unit: UnitGuess
    scale: Scale
    axes: AxesGuess
    moved: Points

    def to_file(self, points: Points) -> Points:
        """Points of the van's frame [m] in the file's own numbers, ``(n, 3)``."""
        return np.asarray((points - self.moved) / self.scale.unit_m @ self.axes.turn)

    def to_van(self, points: Points) -> Points:
        """Points of the file in the van's frame, ``(n, 3)`` [m]."""
        return np.asarray(points @ self.axes.turn.T * self.scale.unit_m + self.moved)


def first_placing(
    topology: Topology, kind: str, stated: str | None, answers: SurveyAnswers, patches: Patches | None = None
) -> Placing:
    """Unit and axes of a mended mesh, from its shape and from what was answered.

    Args:
        topology: in the file's own numbers.
        kind: of the file.
        stated: unit that the file states.
        answers: go before any guess.
        patches: of a scan, whose faces have no normals to speak of.

    Raises:
        SurveyError: of no van's size, or axes that do not go together.
    """
    points = topology.mesh.vertices
    middles = points[topology.mesh.faces].mean(axis=1)
    up = UP_BY_FORMAT.get(kind)
    if patches is None:
        axes = guess_axes(topology.normals, topology.areas, middles, up)
    else:
        axes = guess_axes(patches.normals, patches.areas, patches.middles, up)
    if answers.up is not None or answers.forward is not None or not answers.straighten:
        axes = _answered(axes, answers)
    extents = np.ptp(points @ axes.turn.T, axis=0).tolist()
    unit = guess_unit(extents, answers.unit or stated)
    if answers.unit is not None:
        unit = UnitGuess(answers.unit, "you say so", True)
    return Placing(unit, fit_scale(UNIT_M[unit.unit], ()), axes, np.zeros(3))


def _answered(axes: AxesGuess, answers: SurveyAnswers) -> AxesGuess:
    """The guess with what a person says about up and forward; the fine turn of the guess is kept."""
    up, forward = answers.up or axes.up, answers.forward or axes.forward
    if up[-1] == forward[-1]:
        other = next(name for name in "xyz" if name != up[-1])
        if answers.up is not None and answers.forward is not None:
            raise SurveyError(f"up is {up} and forward is {forward}: accepted are two axes square to each other")
        up, forward = (up, other) if answers.up is not None else (other, forward)
    plain = frame_turn(up, forward)
    guessed = frame_turn(axes.up, axes.forward)
    fine = axes.turn @ guessed.T  # how the guess departs from the file's own axes, in the van's frame as guessed
    if not answers.straighten:
        turn, tilt = plain, 0.0
    else:
        back = plain @ guessed.T
        turn, tilt = back @ fine @ back.T @ plain, axes.tilt_rad
    told = "you say so"
    reasons = (told if answers.up else axes.reasons[0], told if answers.forward else axes.reasons[1])
    return replace(axes, turn=turn, up=up, forward=forward, tilt_rad=tilt, reasons=reasons, sure=answers.up is not None)


def placed(topology: Topology, placing: Placing) -> Topology:
    """A mended mesh in the van's frame [m]."""
    return topology_of(Mesh(placing.to_van(topology.mesh.vertices), topology.mesh.faces))


def datum_shift(skins: Mapping[str, Mesh], everything: Points) -> Points:
    """What is to be added so that the datum (front edge of the floor, on the centre line) is the origin.

    Args:
        skins: by name [m].
        everything: ``(n, 3)`` all points, for what a missing skin would have told [m].

    Returns:
        ``(3,)``; zero in each axis that is right within a millimetre already [m].
    """
    floor = skins.get("floor")
    base = everything if floor is None else floor.vertices
    z = float(np.median(base[:, 2])) if floor is not None else float(everything[:, 2].min())
    bulkhead = skins.get("bulkhead")
    x = float(np.median(bulkhead.vertices[:, 0])) if bulkhead is not None else float(base[:, 0].max())
    walls = [skins[name].vertices[:, 1] for name in ("left", "right") if name in skins]
    y = (float(walls[0].max()) + float(walls[1].min())) / 2 if len(walls) == 2 else float(base[:, 1].mean())
    shift = -np.array([x, y, z])
    shift[np.abs(shift) < HERE_M] = 0.0
    return shift


def scan_tape_checks(answers: SurveyAnswers, placing: Placing, lines: ScanLines) -> list[TapeCheck]:
    """As `tape_checks`, of a scan.

    Args:
        answers: with distances between sides or points.
        placing: before the tape.
        lines: as read off the scan before the tape.

    Raises:
        SurveyError: as for `tape_checks`.
    """
    spans = {
        frozenset(("front", "rear")): lines.length_m,
        frozenset(("left", "right")): lines.waist_width_m,
        frozenset(("floor", "roof")): lines.centre_height_m,
    }
    return _checks(answers, placing, lambda what, a, b: _span(what, spans.get(frozenset((a, b)))))


def _span(what: str, span_m: float | None) -> float:
    if span_m is None:
        raise SurveyError(
            f"tape check {what}: accepted are front and rear, left and right, floor and roof, or two points"
        )
    return span_m


def tape_checks(answers: SurveyAnswers, placing: Placing, skins: Mapping[str, Mesh]) -> list[TapeCheck]:
    """The tape distances of the answers as pairs of points in the file's own numbers.

    Args:
        answers: with distances between sides or points.
        placing: before the tape.
        skins: by name, in the van's frame [m].

    Raises:
        SurveyError: a side that the mesh does not have, or two that are the same.
    """
    return _checks(answers, placing, lambda what, a, b: _sides(what, a, b, skins))


def _checks(answers: SurveyAnswers, placing: Placing, span: Callable[[str, str, str], float]) -> list[TapeCheck]:
    out = []
    unit_m = placing.scale.unit_m
    for one in answers.tape:
        a, b = one.between
        what = f"between {_spoken(a)} and {_spoken(b)}"
        if isinstance(a, str) and isinstance(b, str):
            pair = span(what, a, b)
            # A span between two sides has no one point: only its length matters to the scale.
            points = np.array([[0.0, 0.0, 0.0], [pair / unit_m, 0.0, 0.0]])
        elif isinstance(a, str) or isinstance(b, str):
            raise SurveyError(f"tape check {what}: name two sides, or give two points by the file's own numbers")
        else:
            points = np.array([a, b], dtype=np.float64)
        out.append(TapeCheck(points, one.distance, what))
    return out


def _spoken(end: str | tuple[float, float, float]) -> str:
    return end if isinstance(end, str) else str(list(end))


def _sides(what: str, a: str, b: str, skins: Mapping[str, Mesh]) -> float:
    """Distance between two opposite sides in the van's frame [m]."""
    pair = frozenset((a, b))
    if pair == {"front", "rear"} and "floor" in skins:
        return float(np.ptp(skins["floor"].vertices[:, 0]))
    if pair == {"left", "right"} and {"left", "right"} <= set(skins):
        return float(skins["left"].vertices[:, 1].max() - skins["right"].vertices[:, 1].min())
    if pair == {"floor", "roof"} and {"floor", "roof"} <= set(skins):
        return float(skins["roof"].vertices[:, 2].max() - np.median(skins["floor"].vertices[:, 2]))
    raise SurveyError(
        f"tape check {what}: accepted are front and rear, left and right, floor and roof, of skins that were found "
        f"({', '.join(sorted(skins)) or 'none'}), or two points by the file's own numbers"
    )
