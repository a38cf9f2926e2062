"""Loom colours against published models of colour-blind sight and of colour difference."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from ribway.models.palette import LOOM_COLOURS, loom_colour
from ribway.viewer import palette

Values = NDArray[np.float64]

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009: severity 1.0, on linear RGB.
SIGHT: dict[str, list[list[float]]] = {
    "normal": [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
}
# IEC 61966-2-1 (sRGB), D65.
TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)


def lab_as_seen(colour: str, sight: str) -> Values:
    """CIELAB of ``#rrggbb`` as a person with this sight sees it."""
    coded = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(SIGHT[sight]) @ linear, 0.0, 1.0)
    share = (TO_XYZ @ seen) / TO_XYZ.sum(axis=1)
    f = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def ciede2000(first: Values, second: Values) -> float:
    """Colour difference; G. Sharma, W. Wu, E. N. Dalal, Color Research & Application 30(1), 2005, equations 2 to 22."""
    (l1, a1, b1), (l2, a2, b2) = first, second
    mean = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    g = 0.5 * (1 - np.sqrt(mean**7 / (mean**7 + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    dh = 0.0 if grey else (h2 - h1 + 180) % 360 - 180
    d_l, d_c, d_h = l2 - l1, c2 - c1, 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2))
    lm, cm = (l1 + l2) / 2, (c1 + c2) / 2
    total = h1 + h2
    hm = (
        total if grey else total / 2 if abs(h1 - h2) <= 180 else (total + 360) / 2 if total < 360 else (total - 360) / 2
    )
    t = 1.0
    for weight, times, shift in ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63)):
        t += weight * np.cos(np.radians(times * hm + shift))
    s_l = 1 + 0.015 * (lm - 50) ** 2 / np.sqrt(20 + (lm - 50) ** 2)
    s_c, s_h = 1 + 0.045 * cm, 1 + 0.015 * cm * t
    turn = -np.sin(np.radians(60 * np.exp(-(((hm - 275) / 25) ** 2)))) * 2 * np.sqrt(cm**7 / (cm**7 + 25.0**7))
    light, chroma, hue = d_l / s_l, d_c / s_c, d_h / s_h
    return float(np.sqrt(light**2 + chroma**2 + hue**2 + turn * chroma * hue))


@pytest.mark.parametrize(
    ("first", "second", "difference"),
    [
        # Rows of table 1 in Sharma, Wu and Dalal 2005.
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((50.0, 2.5, 0.0), (61.0, -5.0, 29.0), 22.8977),
        ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
        ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
    ],
)
def test_the_yardstick_itself(first: tuple[float, ...], second: tuple[float, ...], difference: float) -> None:
    assert ciede2000(np.array(first), np.array(second)) == pytest.approx(difference, abs=1e-4)


@pytest.mark.parametrize("sight", SIGHT)
def test_any_two_looms_are_told_apart(sight: str) -> None:
    seen = [lab_as_seen(colour, sight) for colour in LOOM_COLOURS]
    assert min(ciede2000(a, b) for a, b in combinations(seen, 2)) >= 12.0


@pytest.mark.parametrize("sight", SIGHT)
@pytest.mark.parametrize("ground", [palette.GROUND, palette.MEMBER, palette.SKIN])
def test_looms_stand_out_from_metal_and_paper(sight: str, ground: str) -> None:
    behind = lab_as_seen(ground, sight)
    assert min(ciede2000(lab_as_seen(colour, sight), behind) for colour in LOOM_COLOURS) >= 10.0


def test_the_first_six_are_okabes_and_itos() -> None:
    """M. Okabe, K. Ito, "Color Universal Design", 2008: without black and yellow."""
    published = {(0, 114, 178), (213, 94, 0), (0, 158, 115), (204, 121, 167), (230, 159, 0), (86, 180, 233)}
    assert published < {palette.rgb_of(colour) for colour in LOOM_COLOURS}


def test_there_are_a_dozen_and_more_then_they_begin_again() -> None:
    assert len(set(LOOM_COLOURS)) == len(LOOM_COLOURS) >= 12
    assert [loom_colour(i) for i in range(len(LOOM_COLOURS))] == list(LOOM_COLOURS)
    assert loom_colour(len(LOOM_COLOURS)) == loom_colour(0)
    with pytest.raises(ValueError, match="0 or more, not -1"):
        loom_colour(-1)


@pytest.mark.parametrize("sight", SIGHT)
def test_rings_by_fill_are_told_apart(sight: str) -> None:
    rings = (palette.RING_EMPTY, palette.RING_EASY, palette.RING_NEAR, palette.RING_FULL)
    assert min(ciede2000(lab_as_seen(a, sight), lab_as_seen(b, sight)) for a, b in combinations(rings, 2)) >= 12.0


@pytest.mark.parametrize(
    ("fill", "limit", "colour"),
    [
        (0.0, 40.0, palette.RING_EMPTY),
        (0.1, 40.0, palette.RING_EASY),
        (29.9, 40.0, palette.RING_EASY),
        (30.0, 40.0, palette.RING_NEAR),
        (40.0, 40.0, palette.RING_NEAR),
        (40.1, 40.0, palette.RING_FULL),
    ],
)
def test_ring_colour_by_fill(fill: float, limit: float, colour: str) -> None:
    assert palette.fill_colour(fill, limit) == colour
