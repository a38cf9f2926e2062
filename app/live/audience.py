"""Browsers that listen: each has a queue, and is told of every new state."""

from __future__ import annotations

import asyncio


class Audience:
    """All who listen. Only how things stand now is of use: what somebody who is slow has not heard yet is left out."""

    def __init__(self) -> None:
        """Nobody listens yet."""
        self._queues: set[asyncio.Queue[str | None]] = set()

    def tell(self, text: str) -> None:
        """Tell everybody."""
        for queue in self._queues:
            if not queue.empty() and queue.get_nowait() is None:
                queue.put_nowait(None)
                continue
            queue.put_nowait(text)

    def join(self, text: str) -> asyncio.Queue[str | None]:
        """A queue that is told of everything from now on.

        Args:
            text: what it is told first.
        """
        queue: asyncio.Queue[str | None] = asyncio.Queue()
        queue.put_nowait(text)
        self._queues.add(queue)
        return queue

    def end(self) -> None:
        """Tell everybody that there is nothing more to come."""
        for queue in self._queues:
            while not queue.empty():
                queue.get_nowait()
            queue.put_nowait(None)

    def leave(self, queue: asyncio.Queue[str | None]) -> None:
        """Tell this one nothing more."""
        self._queues.discard(queue)
