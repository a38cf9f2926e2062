"""What keys do to a draft that is gone through in the window; a pure function of what stands on the desk."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from ribway.models.review.hole import Hole, Spot, named_words, place_words, size_words
from ribway.models.review.review import Review, ReviewError, freed, marked, moved, renamed

Asks = Literal["", "save", "close", "picture", "overview", "left", "right", "roof", "floor", "bulkhead", "rear"]

STEPS_M = (0.001, 0.005, 0.025)
VIEW_KEYS: dict[str, Asks] = {
    "0": "overview", "4": "left", "6": "right", "8": "bulkhead", "2": "rear", "9": "roof", "1": "floor",
}  # fmt: skip
NUDGES: dict[str, Spot] = {
    "Right": (1.0, 0.0, 0.0), "Left": (-1.0, 0.0, 0.0), "Up": (0.0, 0.0, 1.0), "Down": (0.0, 0.0, -1.0),
    "comma": (0.0, 1.0, 0.0), "period": (0.0, -1.0, 0.0),
}  # fmt: skip
NAMED_SIGNS = {"space": " ", "minus": "-", "underscore": "_", "period": "."}
MOST_LETTERS = 40
HELP = (
    "click: pick an opening     n, b: next, previous one to look at",
    "c: it is there (C: all of its member)     x: it is none     o: leave it open     u: undo",
    "f: once it is deleted, the runs that name it go free",
    "t: type another name     arrows: forward, back, up, down   , . : left, right   m: step 1, 5, 25 mm",
    "s: save     i: picture     0: overview   4 6 8 2 9 1: left, right, front, rear, roof, floor     q: close",
)


@dataclass(frozen=True)
class Desk:
    """A draft as it lies before a person.

    Args:
        review: the openings as they are now.
        kept: as they were saved last.
        chosen: name of the picked opening; empty if none is.
        typing: what was typed of a new name; None while no name is typed.
        step_m: how far one nudge goes [m].
        note: what to say about the last key.
        undone: earlier states, the last one at the end.
        warned: whether it was said that closing loses what was not saved.
    """

    review: Review
    kept: Review
    chosen: str = ""
    typing: str | None = None
    step_m: float = STEPS_M[0]
    note: str = ""
    undone: tuple[tuple[Review, str], ...] = ()
    warned: bool = False

    @property
    def is_changed(self) -> bool:
        """Whether anything was said that is not saved."""
        return self.review != self.kept

    @property
    def hole(self) -> Hole | None:
        """The picked opening."""
        return next((one for one in self.review.holes if one.name == self.chosen), None)


def desk_of(review: Review) -> Desk:
    """A desk with a draft as it was read.

    Args:
        review: its openings.
    """
    return Desk(review, review)


def picked(desk: Desk, name: str) -> Desk:
    """An opening picked, by a click say.

    Args:
        desk: before.
        name: of the opening; empty to let go.
    """
    return replace(desk, chosen=name, typing=None, note="", warned=False)


def pressed(desk: Desk, key: str) -> tuple[Desk, Asks]:
    """What a key does.

    Args:
        desk: before.
        key: its name as X has it: ``c``, ``Left``, ``comma``, ``Return`` ...

    Returns:
        The desk after it, and what is to be done outside of it: saving, closing, a picture, a view; mostly nothing.
    """
    if desk.typing is not None:
        return _typed(desk, key), ""
    desk = replace(desk, note="", warned=desk.warned and key == "q")
    if key in VIEW_KEYS:
        return desk, VIEW_KEYS[key]
    if key == "s":
        return desk, "save"
    if key == "i":
        return desk, "picture"
    if key == "q":
        if desk.is_changed and not desk.warned:
            return replace(desk, warned=True, note="not saved yet: s saves, q again closes and loses it"), ""
        return desk, "close"
    return _acted(desk, key), ""


def _acted(desk: Desk, key: str) -> Desk:
    """A key that is about openings."""
    if key in ("n", "b"):
        return _next(desk, 1 if key == "n" else -1)
    if key == "u":
        if not desk.undone:
            return replace(desk, note="nothing to undo")
        review, chosen = desk.undone[-1]
        return replace(desk, review=review, chosen=chosen, undone=desk.undone[:-1], note="taken back")
    if key == "m":
        step_m = STEPS_M[(STEPS_M.index(desk.step_m) + 1) % len(STEPS_M)]
        return replace(desk, step_m=step_m, note=f"one nudge is {1000 * step_m:g} mm")
    if key == "Escape":
        return picked(desk, "")
    hole = desk.hole
    if key not in ("c", "C", "x", "o", "f", "t", *NUDGES):
        return desk
    if hole is None:
        return replace(desk, note="pick an opening first: click at it, or press n")
    try:
        return _about(desk, hole, key)
    except ReviewError as error:
        return replace(desk, note=str(error))


def _about(desk: Desk, hole: Hole, key: str) -> Desk:
    """A key that is about the picked opening."""
    if key == "c":
        return _next(_changed(desk, marked(desk.review, hole.name, "confirmed"), f"{hole.name} confirmed"), 1)
    if key == "C":
        review = desk.review
        same = [one for one in review.holes if one.member == hole.member and one.mark == "open" and one.is_sure]
        for one in same:
            review = marked(review, one.name, "confirmed")
        return _changed(desk, review, f"{len(same)} sure openings of {hole.member or 'no member'} confirmed")
    if key == "x":
        gone = _changed(desk, marked(desk.review, hole.name, "deleted"), f"{hole.name} deleted")
        if hole.named and not hole.freed:
            return replace(gone, note=f"{hole.name} deleted, {named_words(hole)}: f sets those free, o leaves it")
        return _next(gone, 1)
    if key == "f":
        if not hole.named:
            return replace(desk, note=f"nothing names {hole.name}")
        return _changed(desk, freed(desk.review, hole.name), f"what names {hole.name} leaves it out once it is deleted")
    if key == "o":
        return _changed(desk, marked(desk.review, hole.name, "open"), f"{hole.name} is open again")
    if key == "t":
        if hole.rowed:
            raise ReviewError(f"opening {hole.name} is called by wall, rib and row: its name cannot be changed")
        return replace(desk, typing="", note=f"new name of {hole.name}: type it, Return takes it, Escape does not")
    x, y, z = NUDGES[key]
    by = (x * desk.step_m, y * desk.step_m, z * desk.step_m)
    return _changed(desk, moved(desk.review, hole.name, by), "")


def _typed(desk: Desk, key: str) -> Desk:
    """A key while a name is typed."""
    typing = desk.typing or ""
    if key == "Escape":
        return replace(desk, typing=None, note="the name stays")
    if key == "BackSpace":
        return replace(desk, typing=typing[:-1])
    if key in ("Return", "KP_Enter"):
        try:
            review = renamed(desk.review, desk.chosen, typing)
        except ReviewError as error:
            return replace(desk, note=str(error))
        new = " ".join(typing.split())
        return replace(_changed(desk, review, f"{desk.chosen} is called {new} now"), chosen=new, typing=None)
    sign = NAMED_SIGNS.get(key, key)
    return replace(desk, typing=(typing + sign)[:MOST_LETTERS]) if len(sign) == 1 else desk


def _changed(desk: Desk, review: Review, note: str) -> Desk:
    if review == desk.review:
        return replace(desk, note=note)
    return replace(desk, review=review, note=note, undone=(*desk.undone, (desk.review, desk.chosen)))


def _next(desk: Desk, step: int) -> Desk:
    """The next opening in line that nobody has decided about; from the end it goes on at the beginning."""
    names = [one.name for one in desk.review.holes]
    waiting = {one.name for one in desk.review.holes if one.mark == "open"}
    if not waiting:
        return replace(desk, note=f"{desk.note}; " * bool(desk.note) + "all are looked at: s saves")
    start = names.index(desk.chosen) if desk.chosen in names else (-1 if step > 0 else len(names))
    order = [names[(start + step * k) % len(names)] for k in range(1, len(names) + 1)]
    return replace(desk, chosen=next(name for name in order if name in waiting))


def about_words(desk: Desk) -> str:
    """What is said of the picked opening, a line each; empty if none is picked."""
    hole = desk.hole
    if hole is None:
        return ""
    lines = [
        f"{hole.name}: {hole.kind}, {size_words(hole)}",
        f"in {hole.member}" if hole.member else "in no member",
        place_words(hole),
        {"open": "nobody has looked at it", "confirmed": "confirmed", "deleted": "deleted: it is none"}[hole.mark],
    ]
    if hole.named:
        lines.append(named_words(hole) + (", freed" if hole.freed else ""))
    if not hole.is_sure:
        lines.append(f"a candidate: {100 * hole.sure:.0f} % sure")
    if any(hole.moved_m):
        forward, left, up = (1000 * value for value in hole.moved_m)
        lines.append(f"moved {forward:+.0f} mm forward, {left:+.0f} mm left, {up:+.0f} mm up")
    if desk.typing is not None:
        lines.append(f"new name: {desk.typing}_")
    return "\n".join(lines)


def state_words(desk: Desk) -> str:
    """How far one is, and what the last key did."""
    counts = desk.review.counts()
    unsaved = ", not saved" if desk.is_changed else ""
    head = f"{counts['open']} to look at, {counts['confirmed']} confirmed, {counts['deleted']} deleted{unsaved}"
    return f"{head}\n{desk.note}" if desk.note else head
