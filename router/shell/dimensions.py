"""Secondary dimensions of the body that nobody measures; common practice, no source. All in metres."""

from __future__ import annotations

SEAM_M = 0.0005
"""Gap between a member's metal and the skin it is welded to, so that no two faces coincide."""

CLEAR_M = 0.006
"""How far a passage's mouth stands clear of the metal."""

OVERLAP_M = 0.001
"""How far an abutting member reaches into the other's sheet, so that no slit stays between them."""

EDGE_LEG_M = 0.070
"""Width of the roof-edge rail on wall and on roof, and of front pillars and roof header on either skin."""

SILL_LEG_M = 0.080
"""Width of the sill on floor and on wall, so how far it reaches off either."""

SILL_DEPTH_M = 0.060
"""How thick the sill's two legs are, before its inner corner is chamfered."""

WAIST_HALF_M = 0.0275
"""Half the face width of the waist rail."""

DOOR_FLANGE_M = 0.005
"""Skin left between the door opening and its pillar."""

DOOR_FOOT_M = 0.015
"""Height of the strip of wall left below the side door."""

DOOR_HEAD_M = 0.025
"""Height of the strip of wall left between side door and roof-edge rail."""

CHAMFER_M = 0.03
"""Corner chamfer of door openings and windows."""

FIRST_FACET_M = 0.110
"""Least width of the roof facet that the roof-edge rail stands on."""

CENTRE_FRACTION = 0.56
"""Half width of the flat middle of the roof, as a fraction of the half width at the roof edge."""

CROWN_FACETS = 4
"""Flat facets between roof edge and the roof's flat middle."""

PORTAL_MARGIN_M = 0.030
"""Skin that must stay free beside a member where a passage comes out."""

WINDOW_MARGIN_M = 0.040
"""Skin between a window and the members round it."""

METAL_MARGIN_M = 0.002
"""Least metal between a hole and the bend of the sheet it is in."""


def lay_depth_m(rib_depth_m: float) -> float:
    """How far off the skin the holes, and so the cables, lie: half the members' depth.

    Args:
        rib_depth_m: depth of the members [m].

    Returns:
        Stand-off [m].
    """
    return rib_depth_m / 2


def largest_bore_m(rib_depth_m: float, sheet_m: float) -> float:
    """Widest hole that fits into a member's web at the lay depth.

    Args:
        rib_depth_m: depth of the members [m].
        sheet_m: sheet thickness [m].

    Returns:
        Clear width [m].
    """
    return rib_depth_m - 2 * (sheet_m + SEAM_M + METAL_MARGIN_M)
