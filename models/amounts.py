"""Currents, powers, voltages, shares and temperatures as people write them: text with a unit, or a refusal."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from ribway.models.written import DECIMAL, plain, read_decimal, refuse, require_text

_FORM = re.compile(rf"(?P<sign>[+-]?) ?(?P<number>{DECIMAL}) ?(?P<unit>[^0-9.,+ -].*)?")
_ONE, _MILLI, _KILO = Fraction(1), Fraction(1, 1000), Fraction(1000)


@dataclass(frozen=True)
class _Quantity:
    """What a quantity may be written in.

    Attributes:
        factors: units in small letters, with what one of them is in `unit`.
        unit: the unit of the result, of `least` and of `most`.
        least: smallest value accepted.
        most: largest value accepted: ten times what any van holds, to catch slips.
        accepted: examples.
    """

    factors: dict[str, Fraction]
    unit: str
    least: float
    most: float
    accepted: str


_AMPS = _Quantity(
    {
        **dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), _ONE),
        **dict.fromkeys(("ma", "milliamp", "milliamps"), _MILLI),
        "ka": _KILO,
    },
    "A",
    0.0,
    1e6,
    "4 A, 300 mA or 2 kA",
)
_WATTS = _Quantity(
    {
        **dict.fromkeys(("w", "watt", "watts"), _ONE),
        **dict.fromkeys(("mw", "milliwatt", "milliwatts"), _MILLI),
        **dict.fromkeys(("kw", "kilowatt", "kilowatts"), _KILO),
    },
    "W",
    0.0,
    1e5,
    "60 W or 1.5 kW",
)
_OHMS = _Quantity(
    {**dict.fromkeys(("ohm", "ohms"), _ONE), **dict.fromkeys(("mohm", "milliohm", "milliohms"), _MILLI)},
    "ohm",
    0.0,
    1e3,
    "2 mohm or 0.05 ohm",
)
_VOLTS = _Quantity(
    {**dict.fromkeys(("v", "volt", "volts"), _ONE), **dict.fromkeys(("mv", "millivolt", "millivolts"), _MILLI)},
    "V",
    0.0,
    1500.0,
    "12 V or 500 mV",
)
_HERTZ = _Quantity({"mhz": _ONE, "ghz": Fraction(1000), "khz": _MILLI}, "MHz", 0.0, 1e5, "450 MHz or 2.4 GHz")
_DECIBELS = _Quantity({"db": _ONE}, "dB", 0.0, 200.0, "3 dB")
_HOURS = _Quantity(
    {
        **dict.fromkeys(("h", "hour", "hours"), _ONE),
        **dict.fromkeys(("min", "minutes"), Fraction(1, 60)),
        **dict.fromkeys(("s", "seconds"), Fraction(1, 3600)),
    },
    "h",
    0.0,
    24.0,
    "8 h or 30 min",
)
_PERCENT = _Quantity(dict.fromkeys(("%", "percent", "per cent"), _ONE), "%", 0.0, 100.0, "3 %")
_DEGREE = r"(?:°|deg(?:rees?)?) ?"
_CELSIUS = re.compile(rf"(?:{_DEGREE})?c|℃|(?:{_DEGREE})?celsius")
_FAHRENHEIT = re.compile(rf"(?:{_DEGREE})?f|℉|(?:{_DEGREE})?fahrenheit")
_DEGREES = _Quantity({}, "°C", -60.0, 300.0, "60 °C or 60 C")


def parse_amps(text: object, *, what: str = "current") -> float:
    """Read a current.

    Args:
        text: what stands in the field, "4 A", "300 mA" or "2 kA"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The current [A].

    Raises:
        SpellingError: not text, no unit or another one, ambiguous, negative, or beyond reason.
    """
    return _electric(text, what, _AMPS)


def parse_watts(text: object, *, what: str = "power") -> float:
    """Read a power.

    Args:
        text: what stands in the field, "60 W" or "1.5 kW"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The power [W].

    Raises:
        SpellingError: as for `parse_amps`.
    """
    return _electric(text, what, _WATTS)


def parse_volts(text: object, *, what: str = "voltage") -> float:
    """Read a voltage.

    Args:
        text: what stands in the field, "12 V" or "500 mV"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The voltage [V].

    Raises:
        SpellingError: as for `parse_amps`.
    """
    return _electric(text, what, _VOLTS)


def parse_ohms(text: object, *, what: str = "resistance") -> float:
    """Read a resistance.

    Args:
        text: what stands in the field, "0.5 ohm" or "2 mohm"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The resistance [ohm].

    Raises:
        SpellingError: as for `parse_amps`.
    """
    return _electric(text, what, _OHMS)


def parse_megahertz(text: object, *, what: str = "frequency") -> float:
    """Read a frequency, "450 MHz" or "2.4 GHz" [MHz]; see `parse_amps`."""
    return _electric(text, what, _HERTZ)


def parse_decibels(text: object, *, what: str = "loss") -> float:
    """Read a loss, "3 dB" [dB]; see `parse_amps`."""
    return _electric(text, what, _DECIBELS)


def parse_hours(text: object, *, what: str = "time") -> float:
    """Read a time of a day, "8 h" or "30 min" [h]; see `parse_amps`."""
    return _electric(text, what, _HOURS)


def parse_percent(text: object, *, what: str = "share") -> float:
    """Read a share in percent.

    Args:
        text: what stands in the field, "3 %"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The share [%], 3.0 for "3 %".

    Raises:
        SpellingError: as for `parse_amps`, or more than 100 %.
    """
    return _electric(text, what, _PERCENT)


def parse_celsius(text: object, *, what: str = "temperature") -> float:
    """Read a temperature.

    Args:
        text: what stands in the field, "60 °C", "60 C" or "140 °F"; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        The temperature [deg C].

    Raises:
        SpellingError: not text, no unit or another one, ambiguous, or outside -60 to 300 deg C.
    """
    written = require_text(text, what, _DEGREES.accepted)
    value, unit = _value_and_unit(written, what, _DEGREES)
    if _FAHRENHEIT.fullmatch(unit):
        value = (value - 32) * Fraction(5, 9)
    elif not _CELSIUS.fullmatch(unit):
        raise refuse(what, written, "is not in degrees Celsius", _DEGREES.accepted)
    return _within(value, written, what, _DEGREES)


def _electric(text: object, what: str, quantity: _Quantity) -> float:
    """Read a quantity whose units are multiples of one another."""
    written = require_text(text, what, quantity.accepted)
    value, unit = _value_and_unit(written, what, quantity)
    if unit not in quantity.factors:
        raise refuse(what, written, f"is not in {quantity.unit}", quantity.accepted)
    if re.search(r"[0-9 ]M[AVWavw]$", written.rstrip()):
        raise refuse(what, written, "has a capital M, which is a million", quantity.accepted)
    return _within(value * quantity.factors[unit], written, what, quantity)


def _value_and_unit(written: str, what: str, quantity: _Quantity) -> tuple[Fraction, str]:
    form = _FORM.fullmatch(plain(written))
    if form is None:
        raise refuse(what, written, "is not one number with a unit", quantity.accepted)
    if form["unit"] is None:
        raise refuse(what, written, "has no unit", quantity.accepted)
    value = read_decimal(form["number"], what, written)
    return (-value if form["sign"] == "-" else value), form["unit"]


def _within(value: Fraction, written: str, what: str, quantity: _Quantity) -> float:
    if not quantity.least <= value <= quantity.most:
        limits = f"{quantity.least:.0f} to {quantity.most:.0f} {quantity.unit}"
        raise refuse(what, written, f"is outside {limits}", f"a value within them, like {quantity.accepted}")
    return float(value)
