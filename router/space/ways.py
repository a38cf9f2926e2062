"""Openings and ducts as ways between bays, each checked against the metal that is drawn."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.vehicle import OpeningEntry
from ribway.models.way_entries import WayEntry
from ribway.router.errors import PlaceFault
from ribway.router.geometry.charts import Chart
from ribway.router.geometry.polylines import length, turn_angles
from ribway.router.shell.parts import Opening, OpeningState, Shell
from ribway.router.space.bays import BayFinder
from ribway.router.space.metal import Metal
from ribway.router.space.places import find_place
from ribway.router.space.types import NOWHERE, KeepOut, Mouth, Shape, SkinChart, Way, WayKind

Array = NDArray[np.float64]

GROMMET_WALL_M = 0.002  # common practice, no source: a grommet or edge strip takes 2 mm all round
CLEAR_M = 0.001
STANDING = 0.5  # a mouth whose direction lies less than this along the skin stands on the skin
NEAR_SKIN_M = 0.15  # a line further off a skin than this is not on it
DENSE_M = 0.005
COUNT_TURN_RAD = np.radians(15.0)


class WayMaker:
    """Makes ways on one shell.

    Args:
        shell: the shell.
        skins: its skins with all closed regions.
        finder: of its bays.
        keep_outs: a way that crosses one is closed.
        fill_limit: share of a clear area that may be filled if an opening does not say otherwise, 0 to 1.
        datum_back_m: how far the user's datum lies behind the shell model's front edge [m].
        metal: all solid triangles of the shell.
    """

    def __init__(
        self,
        shell: Shell,
        skins: Sequence[SkinChart],
        finder: BayFinder,
        keep_outs: Sequence[KeepOut],
        fill_limit: float,
        datum_back_m: float,
        metal: Metal,
    ) -> None:
        self.shell = shell
        self.skins = skins
        self.by_name = {skin.name: index for index, skin in enumerate(skins)}
        self.finder = finder
        self.keep_outs = keep_outs
        self.limit = fill_limit
        self.datum_back_m = datum_back_m
        self.metal = metal
        self._ready: dict[tuple[int, bytes], tuple[Array, float, int]] = {}
        self._flat_lines: dict[tuple[int, bytes], shapely.Geometry] = {}
        self._free_m: dict[str, float] = {}

    def opening(self, opening: Opening, entry: OpeningEntry | None) -> Way:
        """A way through an opening, with what the user said of it, and closed if the drawn metal closes it.

        Openings are to be announced to `look_ahead` first.
        """
        raw, long = opening.bore_m, opening.length_m
        state: OpeningState = opening.state
        taken, limit, grommet = 0.0, self.limit, None
        if entry is not None:
            raw, long = entry.size or raw, entry.length or max(long, entry.size or 0.0)
            state = entry.state or state
            taken = entry.taken or 0.0
            limit = self.limit if entry.fill_limit is None else entry.fill_limit / 100.0
            grommet = entry.grommet
        free = 2.0 * self._free_m[opening.name]
        closed = ""
        if state == "blocked":
            closed = "blocked"
        elif free < 2.0 * CLEAR_M and state != "drill":
            closed = "there is no hole in the metal"
        # The metal that is drawn decides when it leaves less than the size that is stated.
        bore = raw if state == "drill" or free > 0.97 * raw else min(raw, free)
        if grommet is not None and grommet > bore + 1e-6:
            raise PlaceFault(
                f"vehicle / openings / {opening.name} / grommet",
                f"{grommet * 1000:.0f} mm clear inside, in a hole of {bore * 1000:.0f} mm",
                f"give a grommet that goes into the hole: less than {bore * 1000:.0f} mm clear inside",
            )
        wall = raw - bore
        bore = grommet if grommet is not None else bore - 2.0 * GROMMET_WALL_M
        room = long - wall - (raw - wall - bore)
        if bore <= 0.0:
            closed = closed or "nothing is left of it inside a grommet"
        way = self.way(
            opening.name,
            "opening",
            opening.member,
            opening.line,
            (opening.skin_a, opening.skin_b),
            opening.shape,
            raw,
            max(bore, 0.0),
            max(room, bore, 0.0),
            limit,
            taken,
            grommet,
            state,
            closed,
            opening.rim,
        )
        return replace(way, drawn_bore_m=raw if state == "drill" or free > 0.97 * raw else free)

    def look_ahead(self, openings: Sequence[Opening], entries: Mapping[str, OpeningEntry]) -> None:
        """Measure many openings against the metal, the skins and the keep-outs in one go; `opening` finds it ready."""
        sizes = [(entries[o.name].size if o.name in entries else None) or o.bore_m for o in openings]
        reaches = [0.6 * max(size, 0.01) for size in sizes]
        free = self.metal.clearances([opening.line for opening in openings], reaches)
        self._free_m = {opening.name: float(gap) for opening, gap in zip(openings, free, strict=True)}
        for index, skin in enumerate(self.skins):
            points = [o.line[0] for o in openings if o.skin_a == skin.name]
            points += [o.line[-1] for o in openings if o.skin_b == skin.name]
            if points:
                for point, *found in zip(points, *skin.chart.flatten_on(np.array(points)), strict=True):
                    self._ready[index, point.tobytes()] = (found[0], float(found[1]), int(found[2]))
        for index in {keep_out.skin for keep_out in self.keep_outs}:
            skin = self.skins[index]
            lines = [o.line for o in openings if skin.name in (o.skin_a, o.skin_b)]
            if lines:
                flat = skin.chart.flatten(np.concatenate(lines))[0]
                owner = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
                laid_lines = np.atleast_1d(np.asarray(shapely.linestrings(flat, indices=owner)))
                for line, laid in zip(lines, laid_lines, strict=True):
                    self._flat_lines[index, line.tobytes()] = laid

    def _laid_flat(self, skin: int, point: Array) -> tuple[Array, float, int]:
        key = (skin, point.tobytes())
        if key not in self._ready:
            flat, height, face = self.skins[skin].chart.flatten_on(point[None])
            self._ready[key] = (flat[0], float(height[0]), int(face[0]))
        return self._ready[key]

    def _flat_line(self, skin: int, line: Array) -> shapely.Geometry:
        key = (skin, line.tobytes())
        if key not in self._flat_lines:
            self._flat_lines[key] = shapely.LineString(self.skins[skin].chart.flatten(line)[0])
        return self._flat_lines[key]

    def duct(self, entry: WayEntry, charts: Mapping[str, Chart], where: str) -> Way:
        """A tube or trunking along the places the user gave."""
        spots = [
            find_place(place, charts, self.datum_back_m, f"{where} / path {i + 1}")
            for i, place in enumerate(entry.path)
        ]
        points = []
        for place, spot in zip(entry.path, spots, strict=True):
            depth = self.skins[self.by_name[spot.skin]].lay_depth_m if place.stand_off is None else place.stand_off
            points.append(spot.off(depth))
        bore = entry.bore or 0.0
        return self.way(
            entry.name,
            "duct",
            None,
            np.vstack(points),
            (spots[0].skin, spots[-1].skin),
            "round",
            bore,
            bore,
            bore,
            self.limit,
            0.0,
            None,
            "assumed",
            "",
            np.vstack(points[:1]),
        )

    def way(
        self,
        name: str,
        kind: WayKind,
        member: str | None,
        line: Array,
        skins: tuple[str, str],
        shape: Shape,
        raw_m: float,
        bore_m: float,
        room_m: float,
        limit: float,
        taken_m: float,
        grommet_m: float | None,
        state: OpeningState,
        closed: str,
        rim: Array,
    ) -> Way:
        """A way along a line, with its mouths in their bays; closed if they open into none or a keep-out is crossed."""
        mouths = (self._mouth(skins[0], line[0], line[1]), self._mouth(skins[1], line[-1], line[-2]))
        if not closed:
            closed = self._shut(line, skins, mouths)
        turns = int((turn_angles(line) > COUNT_TURN_RAD).sum()) if len(line) > 2 else 0
        return Way(
            name,
            kind,
            member,
            line,
            length(line),
            turns,
            mouths,
            shape,
            raw_m,
            raw_m,
            bore_m,
            room_m,
            clear_area_m2(shape, bore_m, room_m),
            limit,
            taken_m,
            grommet_m,
            state,
            closed,
            self.skins[self.by_name[skins[0]]].zone,
            rim,
        )

    def keep_outs_on(self, line: Array) -> str:
        """Name of a keep-out that a line runs through within reach of its skin; empty if of none."""
        if not self.keep_outs:
            return ""
        pieces = [
            a + np.linspace(0.0, 1.0, 2 + int(np.linalg.norm(b - a) / DENSE_M))[:, None] * (b - a)
            for a, b in itertools.pairwise(line)
        ]
        dense = np.vstack(pieces)
        for keep_out in self.keep_outs:
            flat, height = self.skins[keep_out.skin].chart.flatten(dense)
            within = shapely.intersects_xy(keep_out.outline, flat[:, 0], flat[:, 1])
            if bool((within & (np.abs(height) <= NEAR_SKIN_M + DENSE_M)).any()):
                return keep_out.name
        return ""

    def _mouth(self, skin: str, point: Array, inner: Array) -> Mouth:
        index = self.by_name[skin]
        chart = self.skins[index].chart
        flat, height, face = self._laid_flat(index, point)
        out = point - inner
        axis = chart.jacobians[face] @ (out / max(float(np.linalg.norm(out)), 1e-12))
        size = float(np.hypot(*axis))
        axis = axis / size if size > STANDING else np.full(2, np.nan)
        bay, inside = self.finder.at(index, flat)
        return Mouth(bay, inside, height, axis, point)

    def _shut(self, line: Array, skins: tuple[str, str], mouths: tuple[Mouth, Mouth]) -> str:
        for keep_out in self.keep_outs:
            in_it = self.skins[keep_out.skin].name in skins
            if in_it and shapely.intersects(self._flat_line(keep_out.skin, line), keep_out.outline):
                return f"in keep-out {keep_out.name}"
        if NOWHERE in (mouths[0].bay, mouths[1].bay):
            return "its mouth opens into no bay"
        return ""


def clear_area_m2(shape: Shape, bore_m: float, room_m: float) -> float:
    """Clear area of a round hole, a slot with round ends, or a gap [m2]."""
    if shape == "round":
        return float(np.pi / 4.0 * bore_m**2)
    if shape == "slot":
        return float(np.pi / 4.0 * bore_m**2 + bore_m * max(room_m - bore_m, 0.0))
    return bore_m * room_m
