"""A window's boxes and texts, drawn over the van."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Literal

from ribway.viewer import palette
from ribway.viewer.controls import GAP_PX, Control
from ribway.viewer.fonts import font_file
from ribway.viewer.showing import Showing

if TYPE_CHECKING:
    import pyvista as pv

Corner = Literal["upper_left", "upper_right"]

TYPE_PX = 11
SMALL_PX = 9
FRAME_PX = 3
SWITCHES = ("loom", "wall", "thickness")


class Panel:
    """The boxes of a window. A click on one is passed on; ``tell`` sets them to what is shown."""

    def __init__(self, plotter: pv.Plotter, controls: Sequence[Control], on_press: Callable[[str, str], None]) -> None:
        """Draws the boxes.

        Args:
            plotter: where to.
            controls: the boxes with their places.
            on_press: called with kind and id of a box that is clicked.
        """
        self._plotter = plotter
        self._on_press = on_press
        self._ready = False
        self._at: int | None = None
        self.switches = tuple(one for one in controls if one.kind in SWITCHES)
        self._boxes = {(one.kind, one.id): self._add_box(one) for one in self.switches}
        for number, one in enumerate(controls):
            if one.kind == "key":
                self._add_sample(one)
            size = TYPE_PX if one.box_px == 0 or one.box_px >= SMALL_PX + 5 else SMALL_PX
            left = one.x + one.box_px + (GAP_PX if one.box_px else 0)
            self.write(one.label, (left, one.y), f"label {number}", size)
        self._ready = True

    def tell(self, showing: Showing) -> None:
        """Sets all boxes.

        Args:
            showing: what the window shows.
        """
        for (kind, name), box in self._boxes.items():
            on = {
                "loom": name not in showing.looms_off,
                "wall": name not in showing.walls_off,
                "thickness": showing.true_size,
            }[kind]
            box.GetRepresentation().SetState(int(on))

    def go_on(self, by: int) -> str | None:
        """Goes to the next box, which gets a frame.

        Args:
            by: how many on; negative goes back.

        Returns:
            What stands beside it; None if there is no box.
        """
        if not self.switches:
            return None
        start = -1 if by > 0 else 0
        self._at = ((start if self._at is None else self._at) + by) % len(self.switches)
        self._frame(self.switches[self._at])
        return self.switches[self._at].label

    def press(self) -> None:
        """Presses the box with the frame; nothing if none has it."""
        if self._at is not None:
            self._on_press(self.switches[self._at].kind, self.switches[self._at].id)

    def leave(self) -> None:
        """Takes the frame away."""
        self._at = None
        self._plotter.renderer.remove_actor("frame", render=False)

    def _frame(self, one: Control) -> None:
        """A frame round a box."""
        from vtkmodules.vtkCommonCore import vtkPoints
        from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
        from vtkmodules.vtkRenderingCore import vtkActor2D, vtkPolyDataMapper2D

        low, high = FRAME_PX, one.box_px + FRAME_PX
        corners = vtkPoints()
        for x, y in ((-low, -low), (high, -low), (high, high), (-low, high)):
            corners.InsertNextPoint(one.x + x, one.y + y, 0.0)
        round_it = vtkCellArray()
        round_it.InsertNextCell(5)
        for corner in (0, 1, 2, 3, 0):
            round_it.InsertCellPoint(corner)
        outline = vtkPolyData()
        outline.SetPoints(corners)
        outline.SetLines(round_it)
        mapper = vtkPolyDataMapper2D()
        mapper.SetInputData(outline)
        actor = vtkActor2D()
        actor.SetMapper(mapper)
        actor.GetProperty().SetColor(*(value / 255.0 for value in palette.rgb_of(palette.FOCUS)))
        actor.GetProperty().SetLineWidth(3.0)
        add: Callable[..., object] = self._plotter.add_actor
        self._plotter.renderer.remove_actor("frame", render=False)
        add(actor, name="frame", pickable=False, reset_camera=False, render=False)

    def write(
        self, text: str, place: Corner | tuple[int, int], name: str, size_px: int = TYPE_PX, colour: str = palette.INK
    ) -> None:
        """Writes a text, instead of the one of that name.

        Args:
            text: one or more lines; nothing is written if it is empty.
            place: a corner, or the text's lower left corner in pixels.
            name: of the actor.
            size_px: size of the type.
            colour: of the type, ``#rrggbb``.
        """
        self._plotter.renderer.remove_actor(name, render=False)
        if not text:
            return
        file = font_file()
        actor = self._plotter.add_text(
            text,
            position=place,
            name=name,
            font_size=size_px,
            color=colour,
            font_file=str(file) if file else None,
            render=False,
        )
        if isinstance(place, str):
            style = actor.GetTextProperty()
            style.SetBackgroundColor(1.0, 1.0, 1.0)
            style.SetBackgroundOpacity(0.8)

    def _add_box(self, one: Control) -> pv.vtkButtonWidget:
        """A box in its colour: filled when it is on."""
        import pyvista as pv

        return pv.Plotter.add_checkbox_button_widget(
            self._plotter,
            callback=partial(self._clicked, one.kind, one.id),
            value=True,
            position=(one.x, one.y),
            size=one.box_px,
            border_size=2,
            color_on=one.colour,
            color_off=palette.GROUND,
            background_color=one.colour,
        )

    def _add_sample(self, one: Control) -> None:
        """A dot in the colour of a mark."""
        from vtkmodules.vtkFiltersSources import vtkRegularPolygonSource
        from vtkmodules.vtkRenderingCore import vtkActor2D, vtkPolyDataMapper2D

        disc = vtkRegularPolygonSource()
        disc.SetNumberOfSides(24)
        disc.SetRadius(one.box_px / 2.0)
        disc.SetCenter(one.x + one.box_px / 2.0, one.y + one.box_px / 2.0 + 2.0, 0.0)
        mapper = vtkPolyDataMapper2D()
        mapper.SetInputConnection(disc.GetOutputPort())
        actor = vtkActor2D()
        actor.SetMapper(mapper)
        actor.GetProperty().SetColor(*(value / 255.0 for value in palette.rgb_of(one.colour)))
        add: Callable[..., object] = self._plotter.add_actor
        add(actor, name=f"sample {one.label}", pickable=False, reset_camera=False, render=False)

    def _clicked(self, kind: str, name: str, _: bool) -> None:
        """A box tells its state once while it is being made, which is no click."""
        if self._ready:
            self._on_press(kind, name)
