"""What a window shows at the moment, as plain data: looms, metal, thickness, and how far the pull plan has come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ribway.viewer.shapes import Scene, Tube
from ribway.viewer.steps import PullStep, laid_before

WHOLE = -1
"""In place of a step's number: everything is in."""


@dataclass(frozen=True)
class Showing:
    """The state of a window.

    Args:
        steps: the pull plan, in order; may be empty.
        step: number of the step that is shown, from 0; ``WHOLE`` for the finished van.
        looms_off: looms that are switched off.
        walls_off: walls whose metal is cut away.
        true_size: whether cables are drawn as thick as they are.
    """

    steps: tuple[PullStep, ...] = ()
    step: int = WHOLE
    looms_off: frozenset[str] = frozenset()
    walls_off: frozenset[str] = frozenset()
    true_size: bool = False

    @property
    def now(self) -> PullStep | None:
        """The step that is shown; None for the finished van."""
        return self.steps[self.step] if self.step != WHOLE else None

    def loom_switched(self, loom: str) -> Showing:
        """The same with a loom switched on or off."""
        return replace(self, looms_off=self.looms_off ^ {loom})

    def wall_switched(self, wall: str) -> Showing:
        """The same with a wall's metal cut away or put back."""
        return replace(self, walls_off=self.walls_off ^ {wall})

    def size_switched(self) -> Showing:
        """The same with cables true or thicker."""
        return replace(self, true_size=not self.true_size)

    def stepped(self, by: int) -> Showing:
        """The same some steps on or back; before the first and after the last step lies the finished van."""
        count = len(self.steps)
        at = count if self.step == WHOLE and by < 0 else self.step
        at += by
        return replace(self, step=at if 0 <= at < count else WHOLE)

    def everything(self) -> Showing:
        """The finished van with all looms and all metal."""
        return replace(self, step=WHOLE, looms_off=frozenset(), walls_off=frozenset())

    def runs_shown(self, scene: Scene) -> frozenset[str]:
        """The runs that are drawn in their looms' colours: those laid by now, of looms that are switched on.

        Args:
            scene: everything there is.

        Returns:
            Ids of runs; the one that is being pulled stands out by itself and is not among them.
        """
        on = (tube for tube in scene.tubes if tube.loom not in self.looms_off)
        if self.step == WHOLE:
            return frozenset(tube.run for tube in on)
        laid = laid_before(self.steps, self.step)
        return frozenset(tube.run for tube in on if tube.run in laid)

    def pulled_now(self, scene: Scene) -> Tube | None:
        """The run that is pulled in the step that is shown.

        Args:
            scene: everything there is.

        Returns:
            The run as it is drawn; None for work on the bench and for the finished van.
        """
        step = self.now
        return next((tube for tube in scene.tubes if step is not None and tube.run == step.run), None)

    def next_run(self, scene: Scene, runs: Sequence[str], chosen: str | None, by: int) -> str | None:
        """The run that comes next among those that are drawn in their looms' colours.

        Args:
            scene: everything there is.
            runs: ids in their order.
            chosen: the one that is picked.
            by: how many on; negative goes back.

        Returns:
            Its id; None if none is drawn.
        """
        drawn = self.runs_shown(scene)
        there = [run for run in runs if run in drawn]
        if not there:
            return None
        start = -1 if by > 0 else 0
        return there[((there.index(chosen) if chosen in there else start) + by) % len(there)]
