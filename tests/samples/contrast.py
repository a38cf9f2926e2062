"""Contrast and targets as the Web Content Accessibility Guidelines 2.2 define them, of colours and of what a page shows.

Relative luminance and contrast ratio: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance and #dfn-contrast-ratio. Text needs
4.5 : 1 (1.4.3, AA), large text (24 px, or 18.66 px bold) and the borders of controls 3 : 1 (1.4.3, 1.4.11). Targets need 24 px
(2.5.8, AA); 44 px is level AAA (2.5.5), which gloves ask for.
"""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

TEXT, LARGE = 4.5, 3.0
LARGE_PX, LARGE_BOLD_PX, BOLD = 24.0, 18.66, 700
TARGET_PX = 44.0


def luminance(colour: tuple[float, float, float]) -> float:
    """Relative luminance of sRGB channels from 0 to 1."""
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """Contrast ratio of two colours, from 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def channels(colour: str) -> tuple[float, float, float]:
    """``#rrggbb`` as channels from 0 to 1."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


# Every element that shows text of its own, with its colour and what lies behind it down to the first full ground.
TEXTS = """() => {
  const parse = (text) => { const n = text.match(/[\\d.]+/g).map(Number); return [n[0], n[1], n[2], n.length > 3 ? n[3] : 1]; };
  const found = [];
  for (const one of document.querySelectorAll('body *')) {
    if (!one.checkVisibility({ checkVisibilityCSS: true, checkOpacity: true }) || one.closest('[disabled]')) continue;
    const own = [...one.childNodes].some((part) => part.nodeType === 3 && part.textContent.trim());
    const before = getComputedStyle(one, '::before');
    const label = !['none', 'normal', '""'].includes(before.content) && before.display !== 'none';
    const value = one.matches('input:not([type=checkbox]):not([type=radio]), select, textarea');
    if (!own && !label && !value) continue;
    const behind = [];
    for (let up = one; up; up = up.parentElement) {
      const ground = parse(getComputedStyle(up).backgroundColor);
      if (ground[3] > 0) behind.push(ground);
      if (ground[3] === 1) break;
    }
    const style = getComputedStyle(one);
    for (const [what, mine] of [[own || value, style], [label, before]]) {
      const name = `${one.tagName} ${one.className} ${one.textContent.trim().slice(0, 40)}`;
      const [size, weight] = [parseFloat(mine.fontSize), Number(mine.fontWeight)];
      if (what) found.push({ name, colour: parse(mine.color), behind, size, weight });
    }
  }
  return found;
}"""

# Everything that is pressed, as large as what takes the press: the label round a box counts with it.
TARGETS = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary')]
  .filter((one) => one.checkVisibility({ checkVisibilityCSS: true }) && !one.matches('.skip'))
  .map((one) => {
    const box = (one.matches('[type=checkbox], [type=radio]') && one.closest('label') || one).getBoundingClientRect();
    const words = (one.textContent || one.name || '').trim().slice(0, 40);
    return { name: `${one.tagName} ${one.className} ${words}`, wide: box.width, high: box.height };
  })"""


def _over(colour: list[float], ground: tuple[float, float, float]) -> tuple[float, float, float]:
    red, green, blue = (colour[i] / 255 * colour[3] + ground[i] * (1 - colour[3]) for i in range(3))
    return red, green, blue


def faint_texts(page: Page) -> list[str]:
    """Visible texts whose contrast is below what their size needs."""
    faint = []
    found: list[dict[str, Any]] = page.evaluate(TEXTS)
    assert found
    for one in found:
        ground = (1.0, 1.0, 1.0)
        for layer in reversed(one["behind"]):
            ground = _over(layer, ground)
        large = one["size"] >= LARGE_PX or (one["size"] >= LARGE_BOLD_PX and one["weight"] >= BOLD)
        ratio = contrast(_over(one["colour"], ground), ground)
        if ratio < (LARGE if large else TEXT):
            faint.append(f"{one['name']}: {ratio:.2f}")
    return faint


def small_targets(page: Page, least: float = TARGET_PX) -> list[str]:
    """Visible controls that are smaller than a gloved finger needs [px]."""
    found: list[dict[str, Any]] = page.evaluate(TARGETS)
    assert found
    return [
        f"{one['name']}: {one['wide']:.0f} x {one['high']:.0f}"
        for one in found
        if min(one["wide"], one["high"]) < least - 0.5
    ]
