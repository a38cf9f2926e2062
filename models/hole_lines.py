"""Hole rows as a fitter writes them, one a line: ``L2-L7: 25 mm at 420 mm``, ``L6 at 780 mm: blocked``.

Left of the colon stands who: members by wall and number (``L3``, ``L2-L7``, ``R*``, ``B1, B4``, ``LW3``) or one opening
by its name (``L4b``). Right of it stands what is there. Heights are along a rib, distances left or right of the centre
line along a bow, distances back from the datum along a rail. A unit given once holds for the line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.stations import unit_of, with_unit
from ribway.models.written import plain, refuse

HoleState = Literal["assumed", "measured", "blocked", "drill"]

MOST_CHARACTERS = 200
ACCEPTED = (
    "L2-L7: 25 mm at 420 mm, L3: slot 20x45 mm at 1.21 m, R*: as left, L5: none at 220 mm or L6 at 780 mm: blocked"
)
_WHO = r"(?P<stem>[lr][wesp]|[lrb])(?P<first>[0-9]{1,3}|\*)?(?P<letter>[a-z])?"
_MEMBERS = re.compile(_WHO + r"(?:\s*(?:-|to)\s*(?P<again>[lrb][wes]?)?(?P<last>[0-9]{1,3}))?")
_SIDE = re.compile(r"(?P<length>.*?)\s*(?:(?:to the )?(?P<side>left|right|both))?(?: of the centre| of centre)?")
_PART = re.compile(r"(?<!\d),|,(?!\d)|;|\band\b")
_HOLE = re.compile(r"(?:(?P<kind>round|hole|slot)\b)?\s*ø?\s*(?P<a>[0-9.][^x]*?)(?:\s*x\s*(?P<b>[0-9.][^x]*))?")
_STATES: dict[str, HoleState] = {
    "assumed": "assumed", "measured": "measured", "seen": "measured", "blocked": "blocked", "drill": "drill",
}  # fmt: skip


@dataclass(frozen=True)
class MemberRange:
    """Members of one kind.

    Args:
        stem: ``L``, ``R``, ``B`` (ribs and bows), ``LW``, ``LE``, ``LS`` (rails by bay), ``LP`` (front pillar) ...
        first, last: numbers; both None for all of them, or where the stem takes no number.
        letter: of one opening; empty for whole members.
    """

    stem: str
    first: int | None
    last: int | None
    letter: str = ""

    def __str__(self) -> str:
        """As it is written: ``L2-L7``."""
        if self.first is None:
            return self.stem + ("" if self.stem[1:] == "P" else "*") + self.letter
        end = f"-{self.stem}{self.last}" if self.last != self.first else ""
        return f"{self.stem}{self.first}{self.letter}{end}"


@dataclass(frozen=True)
class RawHole:
    """A hole in bare metal: shape, clear diameter or width, and overall length (of a slot) [m]."""

    shape: Literal["round", "slot"]
    width_m: float
    length_m: float


@dataclass(frozen=True)
class HoleLine:
    """One line, read.

    Args:
        row: its number, counted from 1.
        text: as written.
        members: whom it is about.
        places_m: where along the member [m]: height of a rib's hole, distance to the left of the centre line of a bow's
            (negative to the right), distance back from the datum of a rail's; empty for all holes there.
        hole: what is cut there, or None.
        none: there is no hole there.
        like: ``left``, ``right`` or a member whose holes these members have; empty if not said.
        state: what is known, or None if not said.
        taken_m: diameter of what already runs through [m].
        grommet_m: clear inside of the grommet fitted [m].
    """

    row: int
    text: str
    members: tuple[MemberRange, ...]
    places_m: tuple[float, ...] = ()
    hole: RawHole | None = None
    none: bool = False
    like: str = ""
    state: HoleState | None = None
    taken_m: float | None = None
    grommet_m: float | None = None

    @property
    def names_one(self) -> bool:
        """Is it about one member or opening alone."""
        one = len(self.members) == 1
        return one and (self.members[0].first is not None or self.members[0].stem[1:] == "P") and (
            self.members[0].first == self.members[0].last
        )  # fmt: skip


@dataclass
class _Said:
    """What the clauses of a line say, lengths still as text."""

    hole: tuple[str, str, str] | None = None
    none: bool = False
    like: str = ""
    state: HoleState | None = None
    facts: dict[str, str] = field(default_factory=dict)
    spots: list[tuple[str, str]] = field(default_factory=list)

    def lengths(self) -> list[str]:
        sizes = [part for part in (self.hole or ())[1:] if part]
        return [*sizes, *self.facts.values(), *(length for length, _ in self.spots if length != "centre")]


def parse_hole_line(value: object, row: int = 1) -> HoleLine:
    """Read one line.

    Args:
        value: the text; one mapping of one key, which is what YAML makes of an unquoted line, is accepted too.
        row: its number, for the refusal.

    Returns:
        The line.

    Raises:
        SpellingError: with the row, what was found and what is accepted.
    """
    what = f"hole row {row}"
    if isinstance(value, dict) and len(value) == 1:
        value = ": ".join(str(part) for part in next(iter(value.items())))
    if not isinstance(value, str) or not value.strip() or len(value) > MOST_CHARACTERS:
        raise SpellingError(f"{what} must be one line of text, like {ACCEPTED}", repr(value)[:60], ACCEPTED)
    who, colon, said = plain(value).partition(":")
    if not colon:
        raise refuse(what, value, "has no colon between member and hole", ACCEPTED)
    names, _, spots = who.partition(" at ")
    found = _Said()
    _read_spots(spots, found)
    _read_clauses(said, found, value, what)
    line = _measured(found, value, what)
    members = _members(names, value, what)
    if not any((line.hole, line.none, line.like, line.state, line.taken_m, line.grommet_m)):
        raise refuse(what, value, "says nothing about a hole", ACCEPTED)
    needs_place = [one for one in members if one.stem[1:] not in ("W", "E", "S") and not one.letter]
    if line.hole and not line.places_m and needs_place:
        missing = "distance left or right" if needs_place[0].stem == "B" else "height"
        raise refuse(what, value, f"gives no {missing} for the hole", f"it with its place, like {ACCEPTED}")
    return HoleLine(
        row, value.strip(), members, line.places_m, line.hole, line.none, line.like, line.state, line.taken_m,
        line.grommet_m,
    )  # fmt: skip


def parse_hole_lines(texts: Iterable[object]) -> tuple[tuple[HoleLine, ...], tuple[SpellingError, ...]]:
    """Read lines, all faults at once.

    Args:
        texts: one a line, counted from 1.

    Returns:
        The lines that can be read, and one refusal for each that cannot.
    """
    lines, faults = [], []
    for row, text in enumerate(texts, start=1):
        try:
            lines.append(parse_hole_line(text, row))
        except SpellingError as fault:
            faults.append(fault)
    return tuple(lines), tuple(faults)


def _members(names: str, written: str, what: str) -> tuple[MemberRange, ...]:
    out = []
    for name in re.split(r",|;|\band\b", names):
        found = _MEMBERS.fullmatch(name.strip())
        stem = found["stem"].upper() if found else ""
        bare = stem[1:] == "P"
        if found is None or (found["again"] or found["stem"]) != found["stem"] or (found["first"] is None) != bare:
            accepted = "ribs L3, L2-L7 or R*, bows B4, rails by bay LW3, LE2 or LS1, front pillars LP and RP"
            raise refuse(what, written, f"names no member with <{name.strip()}>", accepted)
        if found["letter"] and (found["last"] or found["first"] == "*"):
            raise refuse(what, written, "has a letter and a range", "one opening like L4b, or members like L2-L7")
        first = None if found["first"] in (None, "*") else int(found["first"])
        last = first if found["last"] is None else int(found["last"])
        if found["last"] and (first is None or last is None or last < first):
            raise refuse(what, written, f"runs backwards with <{name.strip()}>", "a rising range like L2-L7")
        out.append(MemberRange(stem, first, last, found["letter"] or ""))
    return tuple(out)


def _read_spots(text: str, said: _Said) -> None:
    for part in _PART.split(_both(text)):
        side = _SIDE.fullmatch(part.strip())
        if part.strip() and side is not None:
            said.spots.append((re.sub("^(the )?(centre|center|middle)$", "centre", side["length"]), side["side"] or ""))


def _both(text: str) -> str:
    return re.sub(r"\b(left and right|right and left|(?:on )?(?:both|either) sides?)\b", "both", text)


def _read_clauses(text: str, said: _Said, written: str, what: str) -> None:
    at_places = False
    for part in (part.strip() for part in _PART.split(_both(text))):
        clause, at, spot = part.partition("at ") if part.startswith("at ") else part.partition(" at ")
        known = _read_clause(clause.strip(), said, at_places)
        if not known and clause and not at and at_places:
            _read_spots(clause, said)
        elif not known and clause:
            raise refuse(what, written, f"cannot be read at <{clause}>", ACCEPTED)
        if at:
            _read_spots(spot, said)
            at_places = True


def _read_clause(clause: str, said: _Said, at_places: bool) -> bool:
    words = clause.split(" ", 1)
    if clause in _STATES:
        said.state = _STATES[clause]
    elif clause in ("none", "no hole"):
        said.none = True
    elif words[0] in ("taken", "grommet") and len(words) == 2:
        said.facts[words[0]] = words[1].strip()
    elif words[0] == "as" and len(words) == 2:
        said.like = words[1] if words[1] in ("left", "right") else words[1].upper()
    elif said.hole is None and not at_places and (hole := _HOLE.fullmatch(clause)):
        said.hole = (hole["kind"] or "", hole["a"].strip(), (hole["b"] or "").strip())
    else:
        return False
    return True


def _measured(said: _Said, written: str, what: str) -> HoleLine:
    """The lengths of a line, read: a width without unit takes its own length's, else the line's."""
    every = said.lengths()

    def metres(piece: str, among: list[str]) -> float:
        try:
            return parse_length(with_unit(piece, among, written, what))
        except SpellingError as fault:
            if str(fault).startswith(what):
                raise
            raise SpellingError(f"{what} <{written}>: {fault}", fault.found, fault.accepted) from None

    places: list[float] = []
    for length, side in said.spots:
        place = 0.0 if length == "centre" else metres(length, every)
        places += {"both": [place, -place], "right": [-place]}.get(side, [place])
    hole = None
    if said.hole is not None:
        kind, a, b = said.hole
        if (kind == "slot" and not b) or (kind in ("round", "hole") and b):
            raise refuse(what, written, "gives a slot one size or a round hole two", "25 mm, or slot 20x45 mm")
        own = [a, b] if unit_of(b) else every
        sizes = [metres(part, own) for part in (a, b) if part]
        hole = RawHole("slot" if b else "round", min(sizes), max(sizes))
        if hole.width_m <= 0.0:
            raise refuse(what, written, "gives a hole no size", "25 mm, or slot 20x45 mm")
    facts = {key: metres(text, every) for key, text in said.facts.items()}
    return HoleLine(
        0, written, (), tuple(places), hole, said.none, said.like, said.state, facts.get("taken"), facts.get("grommet")
    )  # fmt: skip
