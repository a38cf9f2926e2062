"""Which members a hole row names in a given van."""

from __future__ import annotations

import re
from collections.abc import Mapping

from ribway.models.hole_lines import HoleLine, MemberRange
from ribway.router.shell.layout import bow_stations, side_layout
from ribway.router.shell.parameters import ShellParameters
from ribway.router.shell.row_members import RowMember

WHAT = {"W": "bay of the waist rail", "E": "bay of the roof-edge rail", "S": "bay of the sill", "": "rib"}


class Selector:
    """Finds members by the trade's names.

    Args:
        parameters: of the van.
        known: its members that can have holes.
    """

    def __init__(self, parameters: ShellParameters, known: Mapping[str, RowMember]) -> None:
        self._known = known
        self._there: dict[str, range] = {"B": range(1, len(bow_stations(parameters)) + 1)}
        for side in ("left", "right"):
            layout = side_layout(parameters, side)
            self._there[layout.letter] = range(1, len(layout.stations) + 1)
            for code in "WES":
                self._there[layout.letter + code] = range(len(layout.bays))

    def names(self, line: HoleLine) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
        """Members that a line names.

        Args:
            line: the row.

        Returns:
            Their names; and what was found and is accepted, for each that this van does not have.
        """
        names: list[str] = []
        faults: list[tuple[str, str]] = []
        for one in line.members:
            self._take(one, line.names_one, names, faults)
        return tuple(dict.fromkeys(names)), tuple(faults)

    def _take(self, one: MemberRange, alone: bool, names: list[str], faults: list[tuple[str, str]]) -> None:
        if one.stem[1:] == "P":
            if one.stem in self._known:
                names.append(one.stem)
            else:
                faults.append((f"no cable can pass a front pillar {one.stem} here", "leave the row out"))
            return
        there = self._there[one.stem]
        if one.first is None or one.last is None:
            names += [name for name in (f"{one.stem}{n}" for n in there) if name in self._known]
            return
        strange = []
        for number in range(one.first, one.last + 1):
            name = f"{one.stem}{number}"
            if name in self._known:
                names.append(name)
            elif number not in there:
                strange.append(number)
            elif alone:
                faults.append((f"{name} {_door_words(one.stem)}", self._near(one.stem, number)))
        if strange:
            faults.append((f"there is no {_what(one.stem)} {one.stem}{strange[-1]}", self._near(one.stem, strange[-1])))

    def _near(self, stem: str, number: int) -> str:
        numbers = [
            int(name[len(stem) :]) for name in self._known if re.fullmatch(rf"{stem}[0-9]+", name) and name != "B0"
        ]
        if not numbers:
            return f"this van has no {_what(stem)} there"
        nearest = min(numbers, key=lambda n: (abs(n - number), n))
        return f"they are {stem}{min(numbers)} to {stem}{max(numbers)}; did you mean {stem}{nearest}?"


def _what(stem: str) -> str:
    return "bow" if stem == "B" else WHAT[stem[1:]]


def _door_words(stem: str) -> str:
    if len(stem) == 1:
        return "is a pillar of the side door, where no cable passes"
    return "lies in the side door, where there is no rail"
