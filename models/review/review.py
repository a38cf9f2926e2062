"""What a person can do to the openings of a draft: confirm, delete, leave open, rename, move; pure functions."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import NoReturn

from ribway.models.nearest import nearest_word
from ribway.models.review.hole import Hole, Mark, Spot, shifted

NAME_FORM = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ._-]{0,38}[A-Za-z0-9._-])?")
NAME_WORDS = "1 to 40 letters, digits, blanks, dots, dashes, underscores"
FARTHEST_M = 0.5
"""A hole that is farther off is another hole."""


class ReviewError(ValueError):
    """What was asked cannot be done; each of its sentences says why and what to do."""

    @property
    def sentences(self) -> tuple[str, ...]:
        """One for each thing that cannot be done."""
        return tuple(str(one) for one in self.args)

    def __str__(self) -> str:
        """All sentences, one after the other."""
        return "; ".join(self.sentences)


@dataclass(frozen=True)
class Review:
    """The openings of a draft in order.

    Args:
        holes: all of them, those that were found and not taken too.
        taken: names that others of the project have (ways that are no openings).
    """

    holes: tuple[Hole, ...]
    taken: frozenset[str] = frozenset()

    def hole(self, name: str) -> Hole:
        """The opening of a name.

        Args:
            name: as it is called now.

        Raises:
            ReviewError: there is none.
        """
        for one in self.holes:
            if one.name == name:
                return one
        meant = nearest_word(name, [one.name for one in self.holes])
        hint = f"did you mean {meant}?" if meant else f"there are {len(self.holes)}: look at them with ribway view"
        raise ReviewError(f"there is no opening {name!r}; {hint}")

    def counts(self) -> dict[Mark, int]:
        """How many are open, confirmed, deleted."""
        marks: tuple[Mark, ...] = ("open", "confirmed", "deleted")
        return {mark: sum(one.mark == mark for one in self.holes) for mark in marks}


def marked(review: Review, name: str, mark: Mark) -> Review:
    """An opening confirmed, deleted or left open.

    Args:
        review: before.
        name: of the opening.
        mark: what is said of it.

    Raises:
        ReviewError: there is no such opening.
    """
    return _with(review, replace(review.hole(name), mark=mark))


def freed(review: Review, name: str, free: bool = True) -> Review:
    """Say that what names an opening is to leave it out once the opening is deleted.

    Args:
        review: before.
        name: of the opening.
        free: whether it is to.

    Raises:
        ReviewError: there is no such opening.
    """
    return _with(review, replace(review.hole(name), freed=free, instead=""))


def replaced(review: Review, name: str, other: str) -> Review:
    """Say which opening is to be named instead of one that is deleted.

    Args:
        review: before.
        name: of the opening that is deleted.
        other: of the one in its place.

    Raises:
        ReviewError: there is no such opening, or the other is no way of the project or deleted itself.
    """
    hole, instead = review.hole(name), review.hole(other)
    listed = bool(instead.state) or instead.rowed or instead.mark == "confirmed"
    if instead.was == hole.was or not instead.is_way or instead.mark == "deleted" or not listed:
        _refuse(hole, f"cannot give way to {other}: name another way of the project that is there")
    return _with(review, replace(hole, freed=False, instead=instead.was))


def renamed(review: Review, name: str, new: str) -> Review:
    """An opening called otherwise.

    Args:
        review: before.
        name: of the opening.
        new: its new name; blanks at its ends are left out.

    Raises:
        ReviewError: there is no such opening, it takes its name from a row, or the new name cannot be had.
    """
    return renamed_together(review, {name: new})


def renamed_together(review: Review, names: Mapping[str, str]) -> Review:
    """Several openings called otherwise at once, so that names may change places.

    Args:
        review: before.
        names: new name by present one.

    Raises:
        ReviewError: as for `renamed`; it says of every opening that is refused why.
    """
    wanted = {name: " ".join(new.split()) for name, new in names.items()}
    wanted = {name: new for name, new in wanted.items() if review.hole(name).name != new}
    refused = [why for name in wanted if (why := _name_refused(review, name, wanted))]
    if refused:
        raise ReviewError(*refused)
    holes = tuple(replace(one, name=wanted.get(one.name, one.name)) for one in review.holes)
    return replace(review, holes=holes)


def _name_refused(review: Review, name: str, wanted: Mapping[str, str]) -> str:
    """Why an opening cannot be called as wanted; empty if it can."""
    new = wanted[name]
    if review.hole(name).rowed:
        return f"opening {name} is called by wall, rib and row: its name cannot be changed, only its row can"
    if not NAME_FORM.fullmatch(new):
        return f"opening {name} cannot be called {new!r}: a name has {NAME_WORDS}"
    others = (wanted.get(one.name, one.name) for one in review.holes if one.name != name)
    if new in review.taken or new in others:
        return f"opening {name} cannot be called {new}: something else has that name"
    return ""


def moved(review: Review, name: str, by: Spot) -> Review:
    """An opening moved, its mouths and its rim with it.

    Args:
        review: before.
        name: of the opening.
        by: how far forward, left, up [m].

    Raises:
        ReviewError: there is no such opening, it stands in a row, or it would be too far from where it was found.
    """
    hole = review.hole(name)
    if not all(math.isfinite(value) for value in by):
        _refuse(hole, "cannot be moved by what is no number")
    if hole.rowed and any(by):
        _refuse(hole, "stands in a row: measure the row, the opening goes with it")
    far: Spot = (hole.moved_m[0] + by[0], hole.moved_m[1] + by[1], hole.moved_m[2] + by[2])
    if math.hypot(*far) > FARTHEST_M:
        _refuse(hole, f"would be {math.hypot(*far):.2f} m from where it was found; {FARTHEST_M:g} m at most")
    there = replace(hole, line=shifted(hole.line, by), rim=shifted(hole.rim, by), moved_m=far)
    return _with(review, there)


def to_look_at(review: Review) -> tuple[Hole, ...]:
    """The openings that nobody has decided about, the least sure ways first, then by their order."""
    waiting = [one for one in review.holes if one.mark == "open"]
    return tuple(sorted(waiting, key=lambda one: (not one.is_way, one.sure)))


def review_of(holes: Iterable[Hole], taken: Iterable[str] = ()) -> Review:
    """A review to begin with.

    Args:
        holes: as the project file and the survey have them.
        taken: names of other things.
    """
    return Review(tuple(holes), frozenset(taken))


def _with(review: Review, hole: Hole) -> Review:
    return replace(review, holes=tuple(hole if one.name == hole.name else one for one in review.holes))


def _refuse(hole: Hole, why: str) -> NoReturn:
    raise ReviewError(f"opening {hole.name} {why}")
