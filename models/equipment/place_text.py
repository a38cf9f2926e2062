"""Places as people write them in one cell: by the tape, or roughly."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files

from ribway.models.lengths import parse_length
from ribway.models.nearest import nearest_word
from ribway.models.spelling import folded
from ribway.models.written import refuse

ACCEPTED = "left 1.2 m back 0.9 m up, roof 2 m back 300 mm left, or roughly: rear left high, roof middle"
_WALLS = ("left", "right", "roof", "floor", "bulkhead")
_FLAT = ("roof", "floor", "bulkhead")
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*", re.UNICODE)
_UNITS = frozenset((
    "m", "cm", "mm", "metre", "metres", "meter", "meters", "in", "inch", "inches", "ft", "foot", "feet", "arm",
    "arms", "length", "lengths", "centimetre", "centimetres", "centimeter", "centimeters", "millimetre",
    "millimetres", "millimeter", "millimeters",
))  # fmt: skip
_PHRASES = (
    (re.compile(r"\b(?:above|off|from|over) (?:the )?(?:bare )?floor\b"), "up"),
    (re.compile(r"\b(?:über|ueber|vom|ab) (?:dem )?boden\b"), "up"),
    (re.compile(r"\bau[- ]dessus du (?:sol|plancher)\b|\bdu sol\b"), "up"),
    (re.compile(r"\b(?:from|of) (?:the )?(?:centre|center)(?: ?line)?\b"), ""),
    (
        re.compile(r"\b(?:mid|half|halb|mi|half|media|mezza)[- ](?:height|high|hoch|hauteur|hoog|altura|altezza)\b"),
        "waist",
    ),
    (re.compile(r"\bhalf ?way up\b"), "waist"),
)
_WHOSE_SIDE = (
    "driver", "drivers", "passenger", "nearside", "offside", "kerb", "curb", "kerbside", "fahrerseite",
    "beifahrerseite", "conducteur", "passager",
)  # fmt: skip


@dataclass(frozen=True)
class SaidPlace:
    """What a person said of a place.

    Attributes:
        wall: which wall; empty if it was not said.
        lengths: text of each distance, by ``back``, ``up``, ``left``, ``right``, ``x``, ``y``, ``z``.
        along: front, middle or back, roughly.
        height: up, waist or low, roughly.
        side: left, middle or right of the centre line, roughly.
        zone: name of the zone that the thing is in, whose place this is; empty if it has a place of its own.
    """

    wall: str = ""
    lengths: Mapping[str, str] = field(default_factory=dict)
    along: str = ""
    height: str = ""
    side: str = ""
    zone: str = ""

    @property
    def rough(self) -> tuple[str, ...]:
        """Distances that the place needs and that only words give."""
        if {"x", "y", "z"} & set(self.lengths):
            return ()
        needs = {"left": ("back", "up"), "right": ("back", "up"), "bulkhead": ("up",)}.get(self.wall, ("back",))
        missing = [key for key in needs if key not in self.lengths]
        sideways = self.wall in _FLAT and not {"left", "right"} & set(self.lengths)
        if sideways and (self.side in ("left", "right") or missing):
            missing.append("side")
        return tuple(missing)


@cache
def place_words() -> dict[str, str]:
    """Meaning by folded word."""
    text = (files("ribway.models.equipment") / "place_words.csv").read_text(encoding="utf-8")
    found: dict[str, str] = {}
    for row in csv.DictReader(text.splitlines(), strict=True):
        for word in row["words"].split("|"):
            found.setdefault(folded(word), row["meaning"])
    return found


def parse_place(text: str, arm_m: float | None = None) -> SaidPlace:
    """Read a place.

    Args:
        text: what stands in the cell.
        arm_m: length of one arm measure [m].

    Returns:
        The place as it was said; distances are checked, and kept as they were written.

    Raises:
        SpellingError: unknown words, no wall, or distances that cannot be read.
    """
    tokens = _tokens(text)
    lengths, loose = _bound(tokens, text)
    for key, length in lengths.items():
        parse_length(length, arm_m=arm_m, what=f"place <{text}>: {key}", allow_negative=key in "xyz")
    return with_words(SaidPlace(lengths=lengths), loose, text)


def with_words(said: SaidPlace, words: list[str], text: str) -> SaidPlace:
    """A place with the words that stand beside no distance.

    Args:
        said: the place so far.
        words: their meanings in the order in which they stand.
        text: the whole text, for refusals.

    Returns:
        The place; a wall is found among the words.

    Raises:
        SpellingError: no wall, or two.
    """
    if {"x", "y", "z"} & set(said.lengths):
        if words:
            raise refuse("place", text, "has words beside x, y, z", "x -1.2 m y 0.6 m z 0.9 m")
        return said
    flat = [word for word in words if word in _FLAT]
    sides = [word for word in words if word in ("left", "right")]
    if len(set(flat)) > 1 or len(set(sides)) > 1:
        raise refuse("place", text, f"names {' and '.join(dict.fromkeys(flat or sides))}", "one wall")
    wall = flat[0] if flat else sides[0] if sides else ""
    if not wall and said.wall:
        wall = said.wall
    if not wall:
        raise refuse("place", text, "does not say which wall (left, right, roof, floor, bulkhead)", ACCEPTED)
    along = [word for word in words if word in ("back", "front", "middle")]
    heights = [word for word in words if word in ("up", "low", "waist")]
    if (len(set(along)) > 1 and "middle" not in along) or len(set(heights)) > 1:
        raise refuse("place", text, "says two things at once", ACCEPTED)
    side = sides[0] if flat and sides else ""
    return replace(said, wall=wall, along=_along(along), height=heights[0] if heights else "", side=side)


def _along(words: list[str]) -> str:
    """``rear middle`` is the rear, in the middle of the width."""
    return next((word for word in words if word != "middle"), words[0] if words else "")


def _tokens(text: str) -> list[tuple[str, str]]:
    """Words with their meanings, and what stands between them: lengths."""
    plain = text.casefold()
    for pattern, word in _PHRASES:
        plain = pattern.sub(f" {word} ", plain)
    tokens: list[tuple[str, str]] = []
    rest = ""
    end = 0
    for found in _WORD.finditer(plain):
        word = folded(found[0]).replace(" ", "")
        between = plain[end : found.start()]
        rest += between
        end = found.end()
        number_before = bool(re.search(r"[0-9½¼¾⅛⅜⅝⅞]\s*$", rest)) or bool(re.search(r"[0-9]\s*-\s*$", rest))
        if word in _UNITS and number_before:
            rest += found[0]
            continue
        if _is_length(rest):
            tokens.append(("length", rest.strip(" ,;:.")))
        elif rest.strip(" ,;:.+-–()/&"):
            raise refuse("place", text, f"holds <{rest.strip()}>, which is no distance", ACCEPTED)
        rest = ""
        meaning = place_words().get(word)
        if word in _WHOSE_SIDE:
            raise refuse(
                "place", text, "names a side that differs from country to country", "left or right, looking forward"
            )
        if meaning is None:
            meant = nearest_word(word, place_words())
            hint = f"{meant}, as in {ACCEPTED}" if meant else ACCEPTED
            raise refuse("place", text, f"holds the word <{found[0]}>, which is unknown here", hint)
        if meaning != "noise":
            tokens.append(("word", meaning))
    rest += plain[end:]
    if _is_length(rest):
        tokens.append(("length", rest.strip(" ,;:.")))
    elif rest.strip(" ,;:.+-–()/&"):
        raise refuse("place", text, f"holds <{rest.strip()}>, which is no distance", ACCEPTED)
    return tokens


def _is_length(text: str) -> bool:
    return bool(re.search(r"[0-9½¼¾⅛⅜⅝⅞]", text))


def _bound(tokens: list[tuple[str, str]], text: str) -> tuple[dict[str, str], list[str]]:
    """Each distance with the word that says which way it goes: the word behind it, or else the one before it."""
    for step in (1, -1):
        bound = _try_bind(tokens, step)
        if bound is not None:
            return bound
    raise refuse("place", text, "does not say of each distance whether it is back, up, left or right", ACCEPTED)


def _try_bind(tokens: list[tuple[str, str]], step: int) -> tuple[dict[str, str], list[str]] | None:
    ways = ("back", "up", "left", "right") if step > 0 else ("back", "up", "left", "right", "x", "y", "z")
    lengths: dict[str, str] = {}
    used: set[int] = set()
    for index, (kind, value) in enumerate(tokens):
        if kind != "length":
            continue
        beside = index + step
        if not 0 <= beside < len(tokens) or tokens[beside][1] not in ways or tokens[beside][0] != "word":
            return None
        if beside in used or tokens[beside][1] in lengths:
            return None
        lengths[tokens[beside][1]] = value
        used.add(beside)
    loose = [value for index, (kind, value) in enumerate(tokens) if kind == "word" and index not in used]
    if step > 0 and any(word in "xyz" for word in loose):
        return None
    return lengths, loose
