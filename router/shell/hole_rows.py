"""Hole rows as written, laid over a van: own rows of its members, and what is known of each hole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ribway.models.hole_lines import HoleLine, HoleState, RawHole
from ribway.models.vehicle import OpeningEntry
from ribway.router.shell.hole_fit import Cut, unfit
from ribway.router.shell.hole_select import Selector
from ribway.router.shell.parameters import HoleRow, ShellParameters
from ribway.router.shell.profile import Profile, make_profile
from ribway.router.shell.row_members import RowMember, lowest_m, row_members
from ribway.router.shell.rows import rows_of
from ribway.router.shell.tape_faults import TapeFault, metres

PLACE = "vehicle / tape / holes"
MATCH_M = (
    0.015  # a hole is meant when its outline holds the place, or its centre is this near: reading error and a half
)


@dataclass(frozen=True)
class HoleRows:
    """What hole rows say of a van.

    Args:
        own_rows: for `ShellParameters.own_rows`.
        openings: state, grommet and what is taken, by opening name.
        faults: rows that do not fit this van.
    """

    own_rows: tuple[tuple[str, tuple[HoleRow, ...]], ...]
    openings: tuple[OpeningEntry, ...]
    faults: tuple[TapeFault, ...]


def lay_hole_rows(parameters: ShellParameters, lines: tuple[HoleLine, ...], floor_m: float = 0.0) -> HoleRows:
    """Lay hole rows over a van, later ones over earlier ones.

    The first hole given for a member takes the place of its typical ones; further holes join it. A hole that overlaps
    an earlier one takes its place. A row about one member alone is measured, one about several is assumed, unless it
    says otherwise. Over a wheel arch a row about several members leaves out what does not fit.

    Args:
        parameters: the van with its typical rows.
        lines: the rows.
        floor_m: how far above the bare floor heights in them are measured from [m].

    Returns:
        Own rows of every member that a line names, opening facts, and all faults.
    """
    sheet = _Sheet(parameters, floor_m)
    for line in lines:
        sheet.lay(line)
    return sheet.result()


class _Sheet:
    """The hole list while it is being filled in."""

    def __init__(self, parameters: ShellParameters, floor_m: float) -> None:
        self._parameters, self._floor_m = parameters, floor_m
        self._profile: Profile = make_profile(parameters)
        self._known: Mapping[str, RowMember] = row_members(parameters)
        self._select = Selector(parameters, self._known)
        self._cuts: dict[str, list[Cut]] = {}
        self._given: set[str] = set()
        self._faults: list[tuple[int, TapeFault]] = []

    def _fault(self, line: HoleLine, found: str, accepted: str) -> None:
        self._faults.append((line.row, TapeFault(PLACE, f"row {line.row} <{line.text}>: {found}", accepted)))

    def lay(self, line: HoleLine) -> None:
        names, strange = self._select.names(line)
        for found, accepted in strange:
            self._fault(line, found, accepted)
        for name in names:
            member = self._known[name]
            if line.like:
                self._copy(line, member)
            elif line.hole is not None and line.places_m and not line.members[0].letter:
                for place in line.places_m:
                    self._cut(line, member, self._bare(member, place), line.hole)
            else:
                self._change(line, member)

    def _bare(self, member: RowMember, place_m: float) -> float:
        return place_m + self._less(member)

    def _less(self, member: RowMember) -> float:
        """How far above the bare floor the member's places are counted from [m]."""
        return self._floor_m if member.kind in ("rib", "pillar") else 0.0

    def _now(self, member: RowMember) -> list[Cut]:
        """The member's holes in naming order."""
        if member.name not in self._cuts:
            self._cuts[member.name] = [Cut(row) for row in rows_of(self._parameters, member)]
        cuts = self._cuts[member.name]
        cuts.sort(key=lambda cut: -cut.row.place_m if member.falls else cut.row.place_m)
        return cuts

    def _cut(self, line: HoleLine, member: RowMember, place_m: float, hole: RawHole) -> None:
        row = HoleRow(place_m, hole.width_m, hole.shape, hole.length_m if hole.shape == "slot" else 0.0)
        cuts = self._now(member) if member.name in self._given else []
        self._given.add(member.name)
        if not line.names_one and self._meets_arch(member, row):
            self._cuts[member.name] = cuts
            return
        kept = [cut for cut in cuts if abs(cut.row.place_m - place_m) >= (cut.row.reach_m + row.reach_m) / 2]
        state: HoleState = line.state or ("measured" if line.names_one else "assumed")
        self._cuts[member.name] = [*kept, Cut(row, line, state, line.taken_m, line.grommet_m)]

    def _meets_arch(self, member: RowMember, row: HoleRow) -> bool:
        return member.kind == "rib" and row.place_m - row.reach_m / 2 < lowest_m(self._parameters, member)

    def _copy(self, line: HoleLine, member: RowMember) -> None:
        source = self._source(line.like, member)
        if source is None:
            near = self._select_hint(member)
            self._fault(line, f"{line.like} has no holes that {member.name} could have", near)
            return
        rows = [replace(cut.row) for cut in self._now(source)]
        rows = [row for row in rows if not self._meets_arch(member, row)]
        self._given.add(member.name)
        self._cuts[member.name] = [Cut(row, line, line.state or "assumed") for row in rows]

    def _source(self, like: str, member: RowMember) -> RowMember | None:
        """Whose holes these are: the member named, or the mirrored one, for a rib the nearest of that wall."""
        if like not in ("left", "right"):
            found = self._known.get(like)
            return found if found is not None and found.kind == member.kind else None
        if member.side == like or member.falls:
            return None
        if member.kind != "rib":
            return self._known.get(like[0].upper() + member.name[1:])
        ribs = [one for one in self._known.values() if one.kind == "rib" and one.side == like]
        return min(ribs, key=lambda one: (abs(one.station_m - member.station_m), one.name), default=None)

    def _select_hint(self, member: RowMember) -> str:
        alike = [one.name for one in self._known.values() if one.kind == member.kind and one.name != member.name]
        return f"write as left, as right or as {alike[0]}" if alike else "list its holes"

    def _change(self, line: HoleLine, member: RowMember) -> None:
        """Take away, resize or mark holes that are there."""
        cuts = self._now(member)
        meant = self._meant(line, member, cuts)
        changed = []
        for cut in cuts:
            if cut not in meant:
                changed.append(cut)
            elif line.hole is not None:
                place = self._bare(member, line.places_m[0]) if line.places_m else cut.row.place_m
                slot = line.hole.shape == "slot"
                row = HoleRow(place, line.hole.width_m, line.hole.shape, line.hole.length_m if slot else 0.0)
                state: HoleState = line.state or ("measured" if line.names_one else "assumed")
                changed.append(Cut(row, line, state, line.taken_m, line.grommet_m))
            elif not line.none:
                changed.append(
                    replace(
                        cut,
                        state=line.state or cut.state,
                        taken_m=cut.taken_m if line.taken_m is None else line.taken_m,
                        grommet_m=cut.grommet_m if line.grommet_m is None else line.grommet_m,
                    )
                )
        self._cuts[member.name] = changed

    def _meant(self, line: HoleLine, member: RowMember, cuts: list[Cut]) -> list[Cut]:
        letter = line.members[0].letter
        if letter:
            number = ord(letter) - ord("a")
            if number < len(cuts):
                return [cuts[number]]
            self._fault(line, f"{member.name} has no hole {letter}", self._holes_words(member, cuts))
            return []
        if not line.places_m:
            return cuts
        meant = []
        for place in (self._bare(member, place) for place in line.places_m):
            near = min(cuts, key=lambda cut: abs(cut.row.place_m - place), default=None)
            if near is not None and abs(near.row.place_m - place) <= max(near.row.reach_m / 2, MATCH_M):
                meant.append(near)
            elif line.names_one:
                there = metres(place - self._less(member))
                self._fault(line, f"{member.name} has no hole at {there}", self._holes_words(member, cuts))
        return meant

    def _holes_words(self, member: RowMember, cuts: list[Cut]) -> str:
        less = self._less(member)
        listed = ", ".join(f"{chr(ord('a') + i)} at {metres(cut.row.place_m - less)}" for i, cut in enumerate(cuts))
        return f"its holes are {listed}" if listed else "it has no holes at all"

    def result(self) -> HoleRows:
        own, entries = [], []
        for name, member in self._known.items():
            if name not in self._cuts:
                continue
            cuts = self._now(member)
            for line, found, accepted in unfit(self._parameters, self._profile, member, cuts, self._less(member)):
                self._fault(line, found, accepted)
            own.append((name, tuple(cut.row for cut in cuts)))
            entries += [
                _entry(f"{name}{chr(ord('a') + i)}", cut)
                for i, cut in enumerate(cuts)
                if (cut.state, cut.taken_m, cut.grommet_m) != (None, None, None)
            ]
        first: dict[int, TapeFault] = {}  # a row about many members speaks once
        for row, fault in sorted(self._faults, key=lambda one: one[0]):
            first.setdefault(row, fault)
        return HoleRows(tuple(own), tuple(entries), tuple(first.values()))


def _entry(name: str, cut: Cut) -> OpeningEntry:
    facts = {"name": name, "state": cut.state, "taken": cut.taken_m, "grommet": cut.grommet_m}
    known = {key: value for key, value in facts.items() if value is not None}
    return OpeningEntry.model_validate(known, context={"si": True})
