"""Three panel vans of generic size to start from."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from ribway.router.shell.errors import ShellError
from ribway.router.shell.parameters import ShellParameters, SideDoor, WheelArch, WindowBox

PRESETS = {
    "short-high": ShellParameters(
        name="short-high",
        length_m=3.10,
        rib_stations_left=(0.40, 0.84, 1.30, 1.71, 2.14, 2.60, 3.02),
        rib_stations_right=(0.40, 0.84, 1.80, 2.16, 2.58, 3.02),
        side_door=SideDoor("right", 0.28, 1.38),
        wheel_arch=WheelArch(1.62, 0.96, 0.35, 0.23),
        windows=(WindowBox("left", 0.92, 1.22, 1.16, 1.46),),
    ),
    "medium-high": ShellParameters(
        name="medium-high",
        windows=(WindowBox("left", 0.97, 1.27, 1.16, 1.46), WindowBox("right", 2.42, 2.68, 1.16, 1.46)),
    ),
    "long-high": ShellParameters(
        name="long-high",
        length_m=4.30,
        floor_width_m=1.82,
        waist_width_m=1.86,
        centre_height_m=1.95,
        rib_stations_left=(0.44, 0.92, 1.40, 1.86, 2.33, 2.80, 3.26, 3.74, 4.22),
        rib_stations_right=(0.44, 0.92, 1.40, 2.02, 2.45, 2.88, 3.32, 3.77, 4.22),
        wheel_arch=WheelArch(2.66, 0.98, 0.36, 0.24),
        windows=(WindowBox("left", 1.01, 1.31, 1.16, 1.46), WindowBox("right", 2.10, 2.36, 1.16, 1.46)),
    ),
}  # fmt: skip


def preset(name: str, **overrides: Any) -> ShellParameters:
    """Parameters of a preset, some of them replaced.

    Args:
        name: ``short-high``, ``medium-high`` or ``long-high``.
        overrides: fields of ``ShellParameters`` to replace.

    Returns:
        The parameters.

    Raises:
        ShellError: no such preset, no such field, or values that make no van.
    """
    if name not in PRESETS:
        raise ShellError(f"shell preset '{name}': there is none of that name; accepted: {', '.join(PRESETS)}")
    known = ShellParameters.__dataclass_fields__
    for key in overrides:
        if key not in known:
            raise ShellError(f"shell preset '{name}': '{key}' is no parameter; accepted: {', '.join(known)}")
    return replace(PRESETS[name], **overrides)
