"""Sums of money as they are printed."""

from __future__ import annotations

from ribway.models.printed import rounded_up
from ribway.sheets.paper.record import Field
from ribway.sheets.words import NOTHING


def money(value: float | None, currency: str = "") -> str:
    """A sum, rounded up to a hundredth; a dash for none."""
    return NOTHING if value is None else f"{rounded_up(value, 2)} {currency}".strip()


def money_field(key: str, heading: str, currency: str, strong: bool = False) -> Field:
    """A column of sums; its unit is the currency."""
    return Field(
        key, heading, lambda value: money(None if value is None else float(value)), currency, 0.5, "right", strong
    )
