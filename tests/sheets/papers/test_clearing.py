"""Words of drawings are kept off one another."""

from __future__ import annotations

from itertools import combinations
from typing import Literal

from hypothesis import given
from hypothesis import strategies as st

from ribway.sheets.drawing.clearing import cleared
from ribway.sheets.fonts import face
from ribway.sheets.marks import Text

Give = Literal["", "move", "drop"]


def text(x: float, y: float, words: str, give: Give = "") -> Text:
    return Text(x, y, words, 10.0, False, x - 1.0, x + 200.0, give=give)


def covers(one: Text, other: Text) -> bool:
    wide = (face().measure(one.text, 10.0, False), face().measure(other.text, 10.0, False))
    across = one.x < other.x + wide[1] and other.x < one.x + wide[0]
    return across and abs(one.y - other.y) < 9.7  # Vera reaches from 2.4 below to 7.3 above at 10 pt


def test_what_may_be_missed_goes_and_what_may_move_moves() -> None:
    fixed, tick, name = text(0.0, 0.0, "L3d"), text(5.0, 1.0, "0.5", "drop"), text(4.0, 2.0, "roof", "move")
    kept = [one for one in cleared((tick, name, fixed), face()) if isinstance(one, Text)]
    assert tick not in kept
    assert fixed in kept
    moved = next(one for one in kept if one.text == "roof")
    assert moved.x == name.x
    assert moved.y > name.y + 9.0


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(0, 200), st.sampled_from(["", "drop"])), max_size=12))
def test_nothing_that_may_be_missed_covers_another(spots: list[tuple[float, float, Give]]) -> None:
    marks = [text(x, y, "A.12", give) for x, y, give in spots]
    kept = [one for one in cleared(marks, face()) if isinstance(one, Text)]
    assert [one for one in kept if not one.give] == [one for one in marks if not one.give]
    for one, other in combinations(kept, 2):
        assert (not one.give and not other.give) or not covers(one, other)
