"""Where a shell's metal is not as it is said to be, or is measured with a bound."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding
from ribway.models.printed import size_down, size_near
from ribway.router.writing.outcome import Outcome


def mesh_findings(outcome: Outcome) -> Iterator[Finding]:
    """Holes that the metal lacks or has smaller than they are said to be, and skins whose lengths are bounded.

    Args:
        outcome: what was planned.
    """
    units = outcome.project.shop.units
    for way in outcome.space.ways:
        if way.kind == "opening" and way.closed == "there is no hole in the metal":
            yield Finding(
                level="warning",
                code="no-hole-in-mesh",
                about=way.name,
                message=f"{way.name} is listed, but the metal of {way.member} has no hole there; it is not used",
                remedy="correct the list or the mesh",
            )
        if (
            way.kind == "opening"
            and not way.closed
            and way.drawn_bore_m < way.raw_bore_m - 1e-3
            and way.state != "drill"
        ):
            yield Finding(
                level="note",
                code="smaller-in-mesh",
                about=way.name,
                message=f"{way.name} is said to be {size_near(1000 * way.raw_bore_m, units)}, the drawn metal leaves "
                f"{size_down(1000 * way.drawn_bore_m, units)}; the smaller is used",
                remedy="correct the hole in the shell's parameters or mesh",
            )
    for skin in outcome.space.skins:
        if not skin.chart.exact:
            yield Finding(
                level="note",
                code="curved-skin",
                about=skin.name,
                message=f"the {skin.name} is curved both ways: in-bay lengths are bounded to "
                f"{100 * (skin.chart.stretch - 1):.1f} %, not exact",
                remedy="measure long runs on it with a string before cutting",
            )
