"""Ways to do the job that are open: the one that is worked on, and the one that is shown beside it."""

from __future__ import annotations

from collections.abc import Collection

from ribway.editing.changes import Raw
from ribway.live.crew import Crew, work_of
from ribway.live.refusing import RefusedError

BASE = ""


class Ways:
    """Which of the base and its alternatives are open; each that is open is planned.

    Attributes:
        here: the alternative that is worked on; `BASE` for the base.
        beside: the one shown beside it; None for none.
    """

    def __init__(self, crew: Crew) -> None:
        """The base, with nothing beside it.

        Args:
            crew: who plans.
        """
        self._crew = crew
        self.here: str = BASE
        self.beside: str | None = None

    @property
    def halted(self) -> bool:
        """Whether something that is open is not planned as it stands, and nobody is at it."""
        return any(self._crew.halted(work_of(name)) for name in (self.here, self.beside) if name is not None)

    @property
    def work(self) -> str:
        """What planning the way that is worked on is called."""
        return work_of(self.here)

    def open(self, here: str, beside: str | None, names: Collection[str]) -> None:
        """Open others; who is no longer looked at is planned no longer.

        Args:
            here: what to work on from now on.
            beside: what to show beside it.
            names: of the alternatives there are.

        Raises:
            RefusedError: there is no such alternative.
        """
        for name in (here, beside or BASE):
            if name != BASE and name not in names:
                raise RefusedError(f"there is no alternative {name}")
        if here == beside:
            beside = None
        closed = {self.here, self.beside} - {here, beside, BASE, None}
        self.here, self.beside = here, beside
        for gone in closed:
            if gone:
                self._crew.stop(work_of(gone))

    def keep(self, names: Collection[str]) -> str:
        """Close what is no longer there.

        Args:
            names: of the alternatives there are.

        Returns:
            The alternative that was worked on and is gone; empty if it is not gone.
        """
        gone = self.here if self.here != BASE and self.here not in names else ""
        beside = self.beside if self.beside in (BASE, None) or self.beside in names else None
        self.open(BASE if gone else self.here, beside, names)
        self._crew.keep([work_of(name) for name in (BASE, *names)])
        return gone

    def plan(self, raw: Raw, revision: int, touched: str = BASE) -> None:
        """Plan what is open.

        Args:
            raw: the project's data.
            revision: of the history that it belongs to.
            touched: where it was changed: in the base, which changes all, or in an alternative.
        """
        for name in dict.fromkeys((self.here, self.beside)):
            if name is not None and touched in (BASE, name):
                self._crew.plan(work_of(name), raw, revision)
