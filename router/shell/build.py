"""A shell from its parameters."""

from __future__ import annotations

import numpy as np

from ribway.router.shell import dimensions as dim
from ribway.router.shell.fittings import arch_cutters, arch_solids, build_panels
from ribway.router.shell.members import build_members
from ribway.router.shell.parameters import ShellParameters
from ribway.router.shell.parts import Obstacle, Opening, Points, Shell
from ribway.router.shell.passages import Passage, all_passages
from ribway.router.shell.profile import make_profile
from ribway.router.shell.skins import build_skins
from ribway.router.shell.solids import outline, ring_at, to_mesh


def build(parameters: ShellParameters) -> Shell:
    """Build the shell of a panel van as true meshes with all holes cut.

    Args:
        parameters: what the fitter measured; unconfirmed holes are marked assumed.

    Returns:
        The shell.

    Raises:
        ShellError: the measurements make no closed shell.
    """
    profile = make_profile(parameters)
    passages = all_passages(parameters, profile)
    arches = arch_solids(parameters, profile)
    return Shell(
        name=parameters.name,
        skins=build_skins(parameters, profile),
        members=build_members(parameters, profile, passages, arch_cutters(parameters, profile)),
        obstacles=tuple(
            Obstacle(f"arch-{side}", (side, "floor"), to_mesh(solid))
            for side, solid in zip(("left", "right")[: len(arches)], arches, strict=True)
        ),
        openings=tuple(_opening(passage) for passage in passages),
        panels=build_panels(parameters, profile),
        length_m=parameters.length_m,
    )


def _opening(passage: Passage) -> Opening:
    shape, bore_m, length_m = passage.hole
    return Opening(
        passage.name,
        passage.member,
        shape,
        bore_m,
        length_m,
        passage.line,
        passage.skin_a,
        passage.skin_b,
        _rim(passage),
    )


def _rim(passage: Passage) -> Points:
    """The hole's outline on the outer face of the first wall it passes."""
    first, second = passage.line[0], passage.line[1]
    axis = (second - first) / np.linalg.norm(second - first)
    return ring_at(outline(*passage.hole), first + dim.CLEAR_M * axis, axis, passage.grain)
