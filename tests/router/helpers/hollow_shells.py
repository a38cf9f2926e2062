"""Plain shells with ribs of sheet: a box open at its ends, in which cables can run."""

from __future__ import annotations

from dataclasses import replace

from plain_shells import DEPTH, HALF_WIDTH, SEAM, SHEET, WIDTH, Bar, box, mesh_of, plain_shell, solid_of

from ribway.router.shell.parts import Shell


def hollow_shell(length: float, height: float, ribs: list[Bar]) -> Shell:
    """As `plain_shell`, without a roof, every rib hollow: sheet of 2 mm round its section."""
    shell = plain_shell(length, height, ribs)
    members = []
    for member, rib in zip(shell.members, ribs, strict=True):
        x0, x1 = -rib.back - WIDTH / 2 + SHEET, -rib.back + WIDTH / 2 - SHEET
        hollow = box((x0, HALF_WIDTH - DEPTH + SHEET, -0.05), (x1, HALF_WIDTH - SEAM - SHEET, height + 0.05))
        members.append(replace(member, mesh=mesh_of(solid_of(member.mesh) - hollow)))
    return replace(shell, members=tuple(members))
