"""The window: looms and metal switched, a run picked and named, the pull plan stepped through, pictures saved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.about import about_run
from ribway.viewer.controls import EDGE_PX, LIST_PX, ROW_PX, controls_of
from ribway.viewer.draw import add_scene
from ribway.viewer.draw_live import actor_at, add_chosen, add_runs
from ribway.viewer.errors import NothingToShow
from ribway.viewer.keys import HELP, bindings
from ribway.viewer.legend import cautions
from ribway.viewer.look import face, look, save_seen
from ribway.viewer.panel import SMALL_PX, Panel
from ribway.viewer.parts import WALLS
from ribway.viewer.saving import free_name
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.showing import Showing
from ribway.viewer.steps import PullStep, step_words
from ribway.viewer.views import OVERVIEW, seen_in, view_named

if TYPE_CHECKING:
    import pyvista as pv

THICKNESS = 1.5
CAUTION_PLACE = (LIST_PX + EDGE_PX, EDGE_PX + 2 * ROW_PX)


class Window:
    """A plan in a window. What the mouse and the keys do can be called as well."""

    def __init__(self, plan: Plan, plotter: pv.Plotter, steps: Sequence[PullStep] = ()) -> None:
        """Fills a plotter.

        Args:
            plan: the plan.
            plotter: where to draw; empty.
            steps: the pull plan, to be stepped through.
        """
        self.plan = plan
        self.plotter = plotter
        self.showing = Showing(steps=tuple(steps))
        self.chosen: str | None = None
        self._view = OVERVIEW
        self._scenes = {False: scene_of(plan, exaggeration=THICKNESS)}
        self._metal = add_scene(plotter, seen_in(view_named(OVERVIEW), self.scene))
        self._runs = add_runs(plotter, self.scene.tubes)
        drawn = {tube.loom for tube in self.scene.tubes}
        size = (int(plotter.window_size[0]), int(plotter.window_size[1]))
        self._panel = Panel(plotter, controls_of(self.scene.legend, tuple(drawn), size), self._pressed)
        said = cautions(self.scene.heading).replace(". ", ".\n")
        self._panel.write(said, CAUTION_PLACE, "caution", SMALL_PX, palette.CAUTION)
        self._looms = tuple(line.loom for line in self.scene.legend if line.loom in drawn)
        self._helped = True
        self._listen()
        self.show_view(OVERVIEW)
        self._refresh()

    @property
    def scene(self) -> Scene:
        """The layout that is drawn at the moment: cables thicker than true, or true."""
        true_size = self.showing.true_size
        if true_size not in self._scenes:
            self._scenes[true_size] = scene_of(self.plan, exaggeration=1.0)
        return self._scenes[true_size]

    @property
    def shown(self) -> tuple[str, ...]:
        """Ids of the looms that are switched on."""
        return tuple(loom for loom in self._looms if loom not in self.showing.looms_off)

    def toggle(self, loom_id: str) -> None:
        """Switches a loom on or off.

        Args:
            loom_id: the loom's id; empty for the runs that lie alone.

        Raises:
            NothingToShow: if no such loom is drawn.
        """
        if loom_id not in self._looms:
            raise NothingToShow(f"no loom {loom_id!r} is drawn; there are {', '.join(self._looms) or 'none'}")
        self._show(self.showing.loom_switched(loom_id))

    def toggle_wall(self, wall: str) -> None:
        """Cuts a wall's metal away, with its openings and keep-outs, or puts it back.

        Args:
            wall: which wall.

        Raises:
            NothingToShow: if there is no such wall.
        """
        if wall not in WALLS:
            raise NothingToShow(f"there is no wall {wall!r}; there are {', '.join(WALLS)}")
        self._show(self.showing.wall_switched(wall))

    def toggle_thickness(self) -> None:
        """Draws cables as thick as they are, or thicker so that they are seen."""
        self.showing = self.showing.size_switched()
        self._runs = add_runs(self.plotter, self.scene.tubes)
        if self.chosen is not None:
            self.pick(self.chosen)
        self._refresh()

    def step(self, by: int) -> PullStep | None:
        """Goes on in the pull plan, or back.

        Args:
            by: how many steps.

        Returns:
            The step that is shown now; None for the finished van.
        """
        if self.showing.steps:
            self._helped = False
            self.forget()
            self._show(self.showing.stepped(by))
        return self.showing.now

    def show_all(self) -> None:
        """Switches all looms and all metal on and leaves the pull plan."""
        self._show(self.showing.everything())

    def turn_help(self) -> None:
        """Writes what keys do, or takes that back."""
        self._helped = not self._helped
        self._refresh()

    def pick(self, run_id: str) -> str:
        """Names a run in the corner and draws it black and thicker.

        Args:
            run_id: the run's id.

        Returns:
            What is written.

        Raises:
            NothingToShow: if the plan has no such run.
        """
        text = about_run(self.plan, run_id)
        self.chosen = run_id
        self._panel.write(text, "upper_right", "about")
        drawn = next((one for one in self.scene.tubes if one.run == run_id), None)
        if drawn is None:
            self.plotter.renderer.remove_actor("chosen", render=False)
        else:
            add_chosen(self.plotter, drawn, "chosen")
        self.plotter.render()
        return text

    def next_run(self, by: int) -> str | None:
        """Picks the next of the runs that are shown, in the order of the plan.

        Args:
            by: how many on; negative goes back.

        Returns:
            Its id; None if none is shown.
        """
        found = self.showing.next_run(self.scene, [run.id for run in self.plan.runs], self.chosen, by)
        if found is not None:
            self.pick(found)
        return found

    def go_to_box(self, by: int) -> str | None:
        """Goes to the next box, that keys can press; it gets a frame.

        Args:
            by: how many on; negative goes back.

        Returns:
            What stands beside the box; None if there is none.
        """
        label = self._panel.go_on(by)
        self.plotter.render()
        return label

    def press_box(self) -> None:
        """Presses the box with the frame; nothing if none has it."""
        self._panel.press()

    def forget(self) -> None:
        """Takes back the picked run's text and marking, and the frame round a box."""
        self.chosen = None
        self._panel.leave()
        for name in ("about", "chosen"):
            self.plotter.renderer.remove_actor(name, render=False)
        self.plotter.render()

    def pick_at(self, x: float, y: float) -> str | None:
        """Picks the run that is seen at a place of the window.

        Args:
            x: pixels from the left.
            y: pixels from the bottom.

        Returns:
            The run's id, or None if no cable is there.
        """
        seen = actor_at(self.plotter, x, y)
        found = next((run_id for run_id, actor in self._runs.items() if actor is seen), None)
        if found is not None:
            self.pick(found)
        return found

    def show_view(self, name: str) -> None:
        """Goes to a standard view; a wall is seen from inside, with what lies before it cut away.

        Args:
            name: of the view.

        Raises:
            NothingToShow: if there is no such view.
        """
        look(self.plotter, self.scene, name, name not in self.showing.walls_off)
        self._view = name

    def save_picture(self, path: Path | None = None) -> Path:
        """Saves what the window shows as PNG.

        Args:
            path: where to; by default a new file in the current folder, named for the project.

        Returns:
            Where it was saved.
        """
        path = path or free_name(self.plan.name, Path())
        save_seen(self.plotter, path)
        return path

    def close(self) -> None:
        """Closes the window."""
        self.plotter.close()

    def _listen(self) -> None:
        """Ties mouse and keys to what they do."""
        mouse_and_keys = self.plotter.iren
        if mouse_and_keys is None:
            return
        mouse_and_keys.track_click_position(self._clicked, side="left", viewport=True)
        clear: Callable[[str], None] = mouse_and_keys.clear_events_for_key
        on_key: Callable[[str, Callable[[], object]], None] = mouse_and_keys.add_key_event
        for key, act in bindings(self).items():
            clear(key)  # some keys have acts of their own in pyvista
            on_key(key, act)

    def _clicked(self, place: tuple[float, float]) -> None:
        self.pick_at(*place)

    def _pressed(self, kind: str, name: str) -> None:
        """A box was clicked."""
        if kind == "loom":
            self.toggle(name)
        elif kind == "wall":
            self.toggle_wall(name)
        else:
            self.toggle_thickness()

    def _show(self, showing: Showing) -> None:
        self.showing = showing
        self._refresh()

    def _refresh(self) -> None:
        """Brings what is drawn into line with what is to be shown."""
        shown = self.showing.runs_shown(self.scene)
        for run_id, actor in self._runs.items():
            actor.visibility = run_id in shown
        for wall, actors in self._metal.items():
            for actor in actors:
                actor.visibility = wall not in self.showing.walls_off
        face(self.plotter, self.scene, self._view, self._view not in self.showing.walls_off)
        pulled = self.showing.pulled_now(self.scene)
        self.plotter.renderer.remove_actor("pulled", render=False)
        if pulled is not None:
            add_chosen(self.plotter, pulled, "pulled")
        text = step_words(self.showing.steps, self.showing.step) if self.showing.now else HELP * self._helped
        self._panel.write(text, "upper_left", "step")
        self._panel.tell(self.showing)
        self.plotter.render()
