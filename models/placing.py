"""Where to put a device: a field of bounds on copper over places of the shell, and the places that were planned."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import Field

from ribway.models.base import Data
from ribway.models.place import Place
from ribway.models.plan.shell import Point

PLACING_FORMAT_VERSION = 1


class PlannedPlace(Data):
    """A place at which the whole van was planned."""

    at: int = Field(description="which of the field's places")
    planned_kg: float | None = Field(description="copper before lengths are rounded; nothing where no plan is complete")
    copper_kg: float | None = Field(default=None, description="of all cables as they are cut")
    cable_m: float | None = None
    worst_drop_percent: float | None = None
    holes_drilled: int | None = None
    sizes: tuple[str, ...] = Field(default=(), description="cables of the runs at the device, run by run")
    findings: tuple[str, ...] = Field(
        default=(), description="errors and warnings that the present place does not have"
    )


class PlacingField(Data):
    """What was found of one device.

    Copper is that of all runs with a computed route before lengths are rounded to the cutting step.
    """

    ribway_places: int = Field(default=PLACING_FORMAT_VERSION, ge=1, le=PLACING_FORMAT_VERSION)
    project: str
    device: str
    name: str = Field(description="of the device, for people")
    step_m: float = Field(description="distance between places along the tape")
    points: tuple[Point, ...] = Field(description="where the device's wires end [m]; the present place first")
    walls: tuple[str, ...] = Field(description="skin that each place lies on")
    places: tuple[Place, ...] = Field(description="each as the project counts")
    bound_kg: tuple[float | None, ...] = Field(
        description="no plan with the device there does with less; nothing where some run has no way or no size there"
    )
    planned: tuple[PlannedPlace, ...] = Field(description="places that were planned, the present one first")
    refused: dict[str, int] = Field(description="places that were left out, by reason")
    proven: bool = Field(description="no place of the grid does with less than the best that was planned")
    open_kg: float | None = Field(
        description="least bound of the places that were not planned; nothing if none is left"
    )

    @property
    def best(self) -> tuple[PlannedPlace, ...]:
        """Complete plans, least copper first."""
        done = [one for one in self.planned if one.planned_kg is not None]
        return tuple(sorted(done, key=lambda one: (one.planned_kg or 0.0, one.at)))

    @property
    def open_places(self) -> int:
        """How many places that were not planned might do with less than the best."""
        least = self.best[0].planned_kg if self.best else None
        done = {one.at for one in self.planned}
        return sum(
            1
            for at, kg in enumerate(self.bound_kg)
            if at not in done and kg is not None and (least is None or kg < least)
        )


def place_words(place: Place, metres: Callable[[float], str]) -> str:
    """A place as a tape gives it: ``left, 1.10 m back, 0.75 m up``.

    Args:
        place: the place.
        metres: how a length is written.
    """
    if place.wall is None:
        said = [("x", place.x), ("y", place.y), ("z", place.z)]
        return ", ".join(f"{key} {value:.3f} m" for key, value in said if value is not None)
    along = [(place.back, "back"), (place.left, "left"), (place.right, "right"), (place.up, "up")]
    return ", ".join([place.wall, *(f"{metres(value)} {word}" for value, word in along if value is not None)])
