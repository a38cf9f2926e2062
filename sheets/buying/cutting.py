"""Which reels to buy so that no piece has a join, for the least money.

This is the cutting stock problem with several stock lengths (Gilmore and Gomory 1961, Operations Research 9:849-859), in its
one-dimensional form. A van has few pieces of a cable, so it is solved by looking at sets of reels in order of their price: the
first set that holds all pieces is the cheapest there is. Whether a set holds them is found by branch and bound over pieces,
longest first.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

MOST_SETS = 60_000
MOST_BRANCHES = 60_000
_MM = 1000.0


@dataclass(frozen=True)
class Offer:
    """A reel that can be bought.

    Attributes:
        length_m: cable on it [m].
        price: of one.
    """

    length_m: float
    price: float


@dataclass(frozen=True)
class CutReel:
    """A reel and what is cut from it.

    Attributes:
        offer: the reel.
        pieces: positions in the list of pieces, longest first.
        left_m: what is left on it [m].
    """

    offer: Offer
    pieces: tuple[int, ...]
    left_m: float


@dataclass(frozen=True)
class Purchase:
    """What to buy.

    Attributes:
        reels: the reels, fullest use first.
        price: all together.
        least: price below which no set of reels can lie.
        proved: whether nothing cheaper is possible.
    """

    reels: tuple[CutReel, ...]
    price: float
    least: float

    @property
    def proved(self) -> bool:
        """Whether nothing cheaper is possible."""
        return self.price <= self.least + 1e-9


class TooShortError(ValueError):
    """No reel is as long as a piece; the message says which and how long."""


def best_reels(pieces_m: Sequence[float], offers: Sequence[Offer]) -> Purchase:
    """The cheapest reels that all pieces can be cut from without a join.

    Args:
        pieces_m: lengths to cut [m], of more than nothing.
        offers: reels that can be bought, any number of each.

    Returns:
        The purchase. It is the cheapest, and of equally cheap ones the one with least cable, as long as it says that it is
        proved; a case too large for that says below which price nothing can lie.

    Raises:
        TooShortError: a piece is longer than every reel.
        ValueError: no reel is offered.
    """
    if not pieces_m:
        return Purchase((), 0.0, 0.0)
    if not offers:
        raise ValueError("no reel is offered")
    pieces = [round(one * _MM) for one in pieces_m]
    longest = max(offers, key=lambda one: one.length_m)
    if max(pieces) > round(longest.length_m * _MM):
        raise TooShortError(
            f"a piece of {max(pieces) / _MM:g} m is longer than the longest reel offered, {longest.length_m:g} m: "
            "a run has no joins, so ask for a longer reel"
        )
    order = sorted(range(len(pieces)), key=lambda index: (-pieces[index], index))
    need = sum(pieces)
    least: float | None = None
    for price, chosen in _sets_by_price(offers, need):
        sizes = [round(offers[index].length_m * _MM) for index in chosen]
        found, sure = _packed([pieces[index] for index in order], sizes)
        if found is None and not sure and least is None:
            least = price  # not known to be impossible
        if found is not None:
            return _purchase(offers, chosen, found, order, pieces, price if least is None else least)
    return _first_fit(offers, pieces, order, least)


def _sets_by_price(offers: Sequence[Offer], need: int) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Sets of reels that are long enough together, cheapest first, then least cable; ends after `MOST_SETS` looked at."""
    sizes = [round(one.length_m * _MM) for one in offers]
    order = sorted(range(len(offers)), key=lambda index: (offers[index].price, sizes[index]))
    waiting: list[tuple[float, int, tuple[int, ...]]] = [(0.0, 0, ())]
    for _ in range(MOST_SETS):
        if not waiting:
            return
        price, length, chosen = heapq.heappop(waiting)
        if length >= need:
            yield price, tuple(order[place] for place in chosen)
        # Without a price a reel more costs nothing, so a set that is long enough still grows: each piece on its own is the end.
        for place in range(chosen[-1] if chosen else 0, len(order)):
            index = order[place]
            more = (round(price + offers[index].price, 6), length + sizes[index], (*chosen, place))
            heapq.heappush(waiting, more)


def _packed(pieces: list[int], sizes: list[int]) -> tuple[list[list[int]] | None, bool]:
    """Put pieces, longest first, onto reels.

    Returns:
        For each reel the positions of its pieces, or None; and whether None means that it is impossible.
    """
    room = list(sizes)
    place: list[int] = []
    branches = 0
    rest = [0] * (len(pieces) + 1)
    for index in range(len(pieces) - 1, -1, -1):
        rest[index] = rest[index + 1] + pieces[index]

    def put(index: int) -> bool:
        nonlocal branches
        if index == len(pieces):
            return True
        smallest = pieces[-1]
        if rest[index] > sum(one for one in room if one >= smallest):
            return False
        tried: set[int] = set()
        for reel in sorted(range(len(room)), key=lambda one: room[one]):
            if room[reel] < pieces[index] or room[reel] in tried:
                continue
            branches += 1
            if branches > MOST_BRANCHES:
                return False
            tried.add(room[reel])
            room[reel] -= pieces[index]
            place.append(reel)
            if put(index + 1):
                return True
            place.pop()
            room[reel] += pieces[index]
        return False

    if not put(0):
        return None, branches <= MOST_BRANCHES
    return [[index for index, reel in enumerate(place) if reel == number] for number in range(len(sizes))], True


def _purchase(
    offers: Sequence[Offer],
    chosen: tuple[int, ...],
    found: list[list[int]],
    order: list[int],
    pieces: list[int],
    least: float,
) -> Purchase:
    reels = []
    for index, inside in zip(chosen, found, strict=True):
        used = sum(pieces[order[one]] for one in inside)
        left_m = round(offers[index].length_m * _MM - used) / _MM
        reels.append(CutReel(offers[index], tuple(order[one] for one in inside), left_m))
    price = round(sum(offers[index].price for index in chosen), 6)
    return Purchase(tuple(sorted(reels, key=lambda one: (one.left_m, -one.offer.length_m))), price, min(least, price))


def _first_fit(offers: Sequence[Offer], pieces: list[int], order: list[int], least: float | None) -> Purchase:
    """A purchase that is good but not proved: each piece onto the first reel with room, of the offer that comes cheapest."""
    best: Purchase | None = None
    for index, offer in enumerate(offers):
        size = round(offer.length_m * _MM)
        if size < max(pieces):
            continue
        reels: list[list[int]] = []
        for position, piece in enumerate(order):
            holding = next(
                (one for one in reels if sum(pieces[order[other]] for other in one) + pieces[piece] <= size), None
            )
            if holding is None:
                reels.append([position])
            else:
                holding.append(position)
        bound = least if least is not None else min(one.price / one.length_m for one in offers) * sum(pieces) / _MM
        made = _purchase(offers, (index,) * len(reels), reels, order, pieces, bound)
        best = made if best is None or made.price < best.price else best
    if best is None:
        raise TooShortError("no reel is as long as the longest piece")
    return best
