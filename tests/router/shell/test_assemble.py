"""A shell put together from a file's parts and a survey list is the shell that was exported."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ribway.router.shell.assemble import MemberSpec, ObstacleSpec, OpeningSpec, SkinSpec, shell_from_parts
from ribway.router.shell.errors import ShellError
from ribway.router.shell.mesh_file import export_parts, load_parts
from ribway.router.shell.parts import Mesh, Opening, Shell


def survey(shell: Shell) -> dict[str, list]:
    """The lists a person would write for a shell, straight holes by centre and axis alone."""
    return {
        "skins": [SkinSpec(s.name, s.name, s.zone, s.lay_depth_m) for s in shell.skins],
        "members": [MemberSpec(m.name, m.name, m.kind, m.skins, m.depth_m) for m in shell.members],
        "obstacles": [ObstacleSpec(o.name, o.name, o.skins) for o in shell.obstacles],
        "openings": [spec(opening) for opening in shell.openings],
    }


def spec(opening: Opening) -> OpeningSpec:
    """One line of the survey list."""
    half = len(opening.rim) // 2
    return OpeningSpec(
        opening.name, opening.member, opening.line[:2].mean(axis=0), 7.0 * (opening.line[1] - opening.line[0]),
        opening.shape, opening.bore_m, opening.length_m, opening.skin_a, opening.skin_b,
        grain=opening.rim[half - 1] - opening.rim[half] if opening.shape == "slot" else None,
        path=opening.line if len(opening.line) > 2 else None,
    )  # fmt: skip


@pytest.fixture
def parts(shells: dict[str, Shell], tmp_path: Path) -> dict[str, Mesh]:
    """The medium van's parts through a GLB file."""
    export_parts(shells["medium-high"], tmp_path / "van.glb")
    return load_parts(tmp_path / "van.glb")


def test_file_and_survey_give_the_shell_back(shells: dict[str, Shell], parts: dict[str, Mesh]) -> None:
    """Mouths may move along the axis by a bore's radius times the taper: webs are not square to a tapered wall."""
    built = shells["medium-high"]
    shell = shell_from_parts("file", parts, **survey(built))
    assert shell.length_m == pytest.approx(built.length_m, abs=1e-6)
    assert [name for name, _ in shell.panels] == sorted(name for name, _ in built.panels)
    for ours, theirs in zip(built.openings, shell.openings, strict=True):
        assert (ours.name, ours.member, ours.skin_a, ours.skin_b) == (
            theirs.name,
            theirs.member,
            theirs.skin_a,
            theirs.skin_b,
        )
        assert np.abs(ours.line - theirs.line).max() < 0.0003, ours.name
        assert theirs.state == "measured"
        centre = ours.rim.mean(axis=0)
        assert np.linalg.norm(centre - theirs.rim.mean(axis=0)) < 0.0005, ours.name
        if ours.shape == "slot":
            assert np.abs(ours.rim - theirs.rim).max() < 0.0005, ours.name
    for ours, theirs in zip(built.skins, shell.skins, strict=True):
        assert ours.name == theirs.name
        assert np.array_equal(ours.mesh.faces, theirs.mesh.faces)


def test_skins_given_inside_out_are_turned(shells: dict[str, Shell], parts: dict[str, Mesh]) -> None:
    built = shells["medium-high"]
    flipped = {n: Mesh(m.vertices, m.faces[:, ::-1]) if n in ("left", "floor") else m for n, m in parts.items()}
    for name in ("left", "floor"):
        shell = shell_from_parts("file", flipped, **survey(built))
        mesh = next(s.mesh for s in shell.skins if s.name == name)
        a, b, c = (mesh.vertices[mesh.faces[:, i]] for i in range(3))
        assert (np.cross(b - a, c - a)[:, 1 if name == "left" else 2] * (-1 if name == "left" else 1) > 0).all()


def test_a_hole_that_is_not_there_is_refused(shells: dict[str, Shell], parts: dict[str, Mesh]) -> None:
    lists = survey(shells["medium-high"])
    first = next(o for o in lists["openings"] if o.name == "L4b")
    corner = next(o for o in lists["openings"] if o.name == "LE3a")
    for wrong, expected in (
        (
            replace(first, centre=first.centre + np.array((0, 0, 0.1))),
            "opening 'L4b': the mesh has metal where the hole",
        ),
        (replace(first, bore_m=0.030), "opening 'L4b': the mesh has metal"),
        (replace(first, centre=first.centre + np.array((0.25, 0, 0))), "opening 'L4b': there is no metal"),
        (replace(first, axis=np.zeros(3)), "opening 'L4b' has axis"),
        (replace(first, length_m=0.01), "opening 'L4b' is 0.02 by 0.01"),
        (replace(corner, path=corner.path + np.array((0.05, 0, 0))), "opening 'LE3a': its path from .* runs into"),
        (replace(corner, path=corner.path[:1]), "opening 'LE3a': its path is no list"),
    ):
        with pytest.raises(ShellError, match=expected):
            shell_from_parts("file", parts, **{**lists, "openings": [wrong]})


def test_all_unknown_names_at_once(shells: dict[str, Shell], parts: dict[str, Mesh]) -> None:
    lists = survey(shells["medium-high"])
    lists["members"][0] = replace(lists["members"][0], part="nothing")
    lists["openings"][0] = replace(lists["openings"][0], member="L77", skin_a="ceiling")
    lists["openings"][1] = replace(lists["openings"][2])
    with pytest.raises(ShellError) as caught:
        shell_from_parts("file", parts, **lists)
    for part in ("'nothing' is not in the file", "member 'L77'", "skin 'ceiling'", "listed twice"):
        assert part in str(caught.value)
