"""What a planning process is asked for: requests in their order, and whether something newer makes the present one stale."""

from __future__ import annotations

from multiprocessing.connection import Connection
from typing import Any

PLAN = "plan"
COPY = "copy"
Request = tuple[str, int, Any]
"""Kind, number, and what it is about."""


class Superseded(Exception):
    """A newer request to plan waits: what is left of the present one would be stale."""


class Desk:
    """Requests that come through a pipe; a request to plan that a newer one follows is left out.

    A copy waits until no request to plan does: papers are of what stands now, and of a plan that was not given up halfway.
    """

    def __init__(self, pipe: Connection) -> None:
        """Nothing has come yet.

        Args:
            pipe: to the server.
        """
        self._pipe = pipe
        self._waiting: list[Request] = []

    def next(self) -> Request:
        """The next request, waited for if there is none.

        Raises:
            EOFError, OSError: the server is gone.
        """
        while True:
            if not self._waiting:
                self._waiting.append(self._pipe.recv())
            self._take_in()
            kinds = [kind for kind, _, _ in self._waiting]
            first = next((i for i, kind in enumerate(kinds) if kind != COPY), 0) if PLAN in kinds else 0
            request = self._waiting.pop(first)
            if request[0] != PLAN or not self.newer():
                return request

    def newer(self) -> bool:
        """Whether a request to plan waits."""
        self._take_in()
        return any(kind == PLAN for kind, _, _ in self._waiting)

    def quiet(self, seconds: float) -> bool:
        """Wait a while, at most until something comes.

        Args:
            seconds: how long [s].

        Returns:
            Whether nothing came.
        """
        return not self._waiting and not self._pipe.poll(seconds)

    def _take_in(self) -> None:
        while self._pipe.poll():
            self._waiting.append(self._pipe.recv())
