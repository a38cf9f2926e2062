"""Field types of the project file: text as a person writes it in, SI numbers out.

Every quantity is text with its unit (``"1.2 m"``, ``"4' 2 1/4\\""``, ``"4 A"``), so that neither YAML nor a spreadsheet
can turn it into something else. A float that is already SI is accepted from code only (``context={"si": True}``),
which is how a project is rebuilt from a plan or changed by a programme.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, ValidationInfo, WithJsonSchema

from ribway.models.amounts import (
    parse_amps,
    parse_celsius,
    parse_decibels,
    parse_hours,
    parse_megahertz,
    parse_ohms,
    parse_percent,
    parse_volts,
    parse_watts,
)
from ribway.models.cables import parse_cable
from ribway.models.lengths import parse_length


def _is_si(info: ValidationInfo) -> bool:
    return bool(info.context and info.context.get("si"))


def _number(value: object, info: ValidationInfo) -> float | None:
    """A float handed over by code (never from a file), or None."""
    if _is_si(info) and isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return None


def _length(value: object, info: ValidationInfo) -> float:
    number = _number(value, info)
    arm_m = info.context.get("arm_m") if info.context else None
    return parse_length(value, arm_m=arm_m) if number is None else number


def _signed_length(value: object, info: ValidationInfo) -> float:
    number = _number(value, info)
    arm_m = info.context.get("arm_m") if info.context else None
    return parse_length(value, arm_m=arm_m, allow_negative=True) if number is None else number


def _by(parse: Callable[[object], float]) -> Callable[[object, ValidationInfo], float]:
    def validate(value: object, info: ValidationInfo) -> float:
        number = _number(value, info)
        return parse(value) if number is None else number

    return validate


def _cable(value: object) -> object:
    """Checks the spelling, keeps the text: the stock list decides which reel it is."""
    parse_cable(value)
    return value


def _area(value: object) -> float:
    """Copper of one core [mm2]: `6 mm2` or `10 AWG`."""
    return parse_cable(value).area_mm2


WITH_UNIT = r"[^0-9.,+\s/-]"  # a bare number is refused: something that is no digit must stand there


def _text_schema(example: str, what: str, pattern: str = WITH_UNIT) -> WithJsonSchema:
    schema: dict[str, Any] = {"type": "string", "pattern": pattern, "description": what, "examples": [example]}
    return WithJsonSchema(schema)


def _plain(value: float) -> str:
    """A number without a power of ten: 0.00001, 1000000."""
    return f"{value:.10f}".rstrip("0").rstrip(".") if 0.0 < abs(value) < 1e-3 or abs(value) >= 1e5 else f"{value:g}"


def within(low: float, high: float, unit: str) -> AfterValidator:
    """Limits outside which a setting makes no sense.

    Args:
        low: least value accepted, in the field's SI unit.
        high: greatest value accepted, likewise.
        unit: what to call that unit in the refusal.

    Returns:
        A validator for `Annotated`.
    """

    def validate(value: float) -> float:
        if not low <= value <= high:
            limits = f"{_plain(low)} to {_plain(high)} {unit}"
            raise ValueError(f"{_plain(value)} {unit} makes no sense here: accepted are {limits}")
        return value

    return AfterValidator(validate)


Length = Annotated[float, BeforeValidator(_length), _text_schema("1.2 m", "a length with its unit")]
LayDepth = Annotated[Length, within(0.001, 0.3, "m")]  # nearer than a millimetre a cable's axis would lie in the metal
SignedLength = Annotated[float, BeforeValidator(_signed_length), _text_schema("-0.3 m", "a length with its unit")]
Amps = Annotated[float, BeforeValidator(_by(parse_amps)), _text_schema("4 A", "a current")]
Watts = Annotated[float, BeforeValidator(_by(parse_watts)), _text_schema("60 W", "a power")]
Volts = Annotated[float, BeforeValidator(_by(parse_volts)), _text_schema("12 V", "a voltage")]
Ohms = Annotated[float, BeforeValidator(_by(parse_ohms)), _text_schema("4 mohm", "a resistance")]
Megahertz = Annotated[float, BeforeValidator(_by(parse_megahertz)), _text_schema("450 MHz", "a frequency")]
Decibels = Annotated[float, BeforeValidator(_by(parse_decibels)), _text_schema("3 dB", "a loss")]
Hours = Annotated[float, BeforeValidator(_by(parse_hours)), _text_schema("8 h", "hours of a day")]
AreaMm2 = Annotated[float, BeforeValidator(_by(_area)), _text_schema("6 mm2", "copper of one core")]
Percent = Annotated[float, BeforeValidator(_by(parse_percent)), _text_schema("3 %", "a share")]
Celsius = Annotated[float, BeforeValidator(_by(parse_celsius)), _text_schema("60 °C", "a temperature")]
CableText = Annotated[str, BeforeValidator(_cable), _text_schema("2x2.5", "a cable in the trade's spelling", r"\S")]
SystemVolts = Annotated[Volts, within(1.0, 1000.0, "V")]
DropPercent = Annotated[Percent, within(0.1, 50.0, "%")]
FuseAmps = Annotated[Amps, within(0.1, 2000.0, "A")]
ScalePercent = Annotated[Percent, within(0.0, 5.0, "%")]
"""How far the scale of a mesh may be off: more speaks of another unit."""
FillPercent = Annotated[Percent, within(5.0, 50.0, "%")]
ClearSize = Annotated[Length, within(0.001, 2.0, "m")]
