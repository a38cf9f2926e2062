"""Changes of a project as a command line says them, turned into edits of its file."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from ribway.editing.changes import Edit, Raw, edited
from ribway.editing.devices import move_device, take_out_device
from ribway.editing.openings import block_opening
from ribway.models.equipment.place_text import parse_place
from ribway.models.faults import SpellingError
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.yaml_text import parse_yaml

WALLS = ("left", "right", "roof", "floor", "bulkhead")
KEYS = ("back", "up", "left", "right", "stand_off", "across", "on", "x", "y", "z")
SIDES = ("left", "right")


def supposed(text: str, moves: Iterable[str], gone: Iterable[str], blocked: Iterable[str], file: str) -> str:
    """A project file's text with the changes made.

    Args:
        text: the text.
        moves: ``fridge=right, back 2.1 m``: a device and its new place; what is not said of it stays.
        gone: ids of devices that are taken out.
        blocked: names of openings that are blocked.
        file: what to call the file in faults.

    Returns:
        The changed text.

    Raises:
        ProjectFaults: a change cannot be read, or names something that is not there.
    """
    edits: Iterable[Edit] = chain(
        (_move(text, words, file) for words in moves), map(take_out_device, gone), map(block_opening, blocked)
    )
    for edit in edits:
        text = edited(text, edit, file)
    return text


def _move(text: str, words: str, file: str) -> Edit:
    device, equals, place = (part.strip() for part in words.partition("="))
    said = read_place(place) if equals else {}
    if not device or not said:
        message = f"{words} is no move: write DEVICE=PLACE, such as 'fridge=right, back 2.1 m, up 60 cm'"
        raise ProjectFaults([Fault(file, f"devices / {device} / at", words, "DEVICE=PLACE", message)])
    before = _place_of(parse_yaml(text, file).raw, device)
    wall = said.get("wall")
    if wall is not None and wall != before.get("wall"):
        before = {}  # on another wall nothing of the old place holds
    other = {"left": "right", "right": "left"}
    return move_device(device, {**{key: v for key, v in before.items() if other.get(key) not in said}, **said})


def _place_of(raw: Raw, device: str) -> dict[str, object]:
    devices = raw.get("devices")
    for one in devices if isinstance(devices, list) else ():
        if isinstance(one, dict) and one.get("id") == device and isinstance(one.get("at"), dict):
            return dict(one["at"])
    return {}


def read_place(words: str) -> dict[str, str]:
    """A place as it is said in words.

    Args:
        words: a wall and distances, parted by commas: ``right, back 2.1 m, up 60 cm``; or as in an equipment sheet:
            ``right 2.1 m back 0.6 m up``.

    Returns:
        The place's keys as in a project file, quantities as text.

    Raises:
        ProjectFaults: a part that is neither a wall nor a distance.
    """
    try:
        said = parse_place(words)
    except SpellingError:
        said = None  # distances alone, or a word that is told of below
    if said is not None and said.lengths and not said.rough:
        return {"wall": said.wall, **said.lengths} if said.wall else dict(said.lengths)
    place: dict[str, str] = {}
    for part in words.split(","):
        key, _, value = part.strip().partition(" ")
        if not value and key in WALLS:
            place["wall"] = key
        elif value and key in KEYS:
            place[key] = value.strip()
        else:
            known = [*WALLS, *KEYS]
            meant = nearest_word(key, known)
            advice = (
                f"did you mean {meant}?" if meant else f"a wall ({', '.join(WALLS)}) or a distance, such as back 2.1 m"
            )
            message = f"'{part.strip()}' says no place: {advice}"
            raise ProjectFaults([Fault("", "at", part.strip(), ", ".join(known), message)])
    return place
