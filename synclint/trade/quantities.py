"""Quantities with their units: read exactly into base units, and said again for people.

Readers raise QuantityError and nothing else; its message shows the form. `times` holds clock times, dates and what is
said; its names are to be had from here too.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from synclint.trade.rates import Rate
from synclint.trade.reading import NUMBER, SIGNED, UNIT, Form, QuantityError
from synclint.trade.times import (
    parse_clock_time,
    parse_date,
    say_clock,
    say_duration,
    say_frequency,
    say_number,
    say_ppm,
)

__all__ = [
    "DECIBEL_LIMIT",
    "Level",
    "LevelUnit",
    "Offset",
    "Power",
    "QuantityError",
    "Radiated",
    "parse_clock_time",
    "parse_date",
    "parse_decibels",
    "parse_duration",
    "parse_frequency",
    "parse_frequency_range",
    "parse_full_scale",
    "parse_length",
    "parse_offset",
    "parse_power",
    "parse_ppm",
    "parse_resistance",
    "parse_temperature_range",
    "parse_voltage",
    "parse_voltage_range",
    "say_clock",
    "say_duration",
    "say_frequency",
    "say_number",
    "say_ppm",
]

DECIBEL_LIMIT: Final = 200
"""How many decibels, up or down, a level or a ratio may have: ten powers of ten, more than any that a set meets."""

_ONE: Final = Fraction(1)
_MILLI: Final = Fraction(1, 1000)
_TIMES: Final = {"ms": _MILLI, "s": _ONE, "min": Fraction(60), "h": Fraction(3600)}
_HERTZ: Final = {"hz": _ONE, "khz": Fraction(1000), "mhz": Fraction(10**6), "ghz": Fraction(10**9)}
_OHMS: Final = {"ohm": _ONE, "ohms": _ONE, "kohm": Fraction(1000), "kohms": Fraction(1000)}
_VOLTS: Final = {"vpp": _ONE, "mvpp": _MILLI}

_DURATION: Final = Form("time", "45 min", _TIMES)
_FREQUENCY: Final = Form("frequency", "48 kHz", _HERTZ)
_BAND: Final = Form("band", "865..868 MHz", _HERTZ)
_PPM: Final = Form("rate in ppm", "0.2 ppm", {"ppm": _ONE}, signed=True)
_LENGTH: Final = Form("length", "0.6 m", {"m": _ONE, "cm": Fraction(1, 100), "km": Fraction(1000)})
_RESISTANCE: Final = Form("resistance", "75 ohm", _OHMS)
_DECIBELS: Final = Form("ratio in decibels", "30 dB", {"db": _ONE}, signed=True)
_FULL_SCALE: Final = Form("level below full scale", "-18 dBFS", {"dbfs": _ONE}, signed=True)
_TEMPERATURE: Final = Form("temperature", "8..31 C", {"c": _ONE, "°c": _ONE}, signed=True)
_VOLTAGE_RANGE: Final = Form("range of voltage", "0.3..5 Vpp", _VOLTS)
_LEVEL: Final = Form("level", "1 Vpp open", {**_VOLTS, "dbu": _ONE, "dbv": _ONE}, signed=True)
_POWER: Final = Form("power", "14 dBm EIRP", {"dbm": _ONE}, signed=True)
_OFFSET: Final = Form("offset", "+2 frames", {"frame": _ONE, "frames": _ONE, "ms": _MILLI, "s": _ONE}, signed=True)

_PART: Final = re.compile(rf"({NUMBER}) *(ms|s|min|h)", re.IGNORECASE | re.ASCII)
_PARTS: Final = re.compile(rf"(?:{_PART.pattern})(?: +{_PART.pattern}){{0,3}}", re.IGNORECASE | re.ASCII)
_SHARE: Final = re.compile(r"([+-]?[0-9]{1,6}/[0-9]{1,6}) *frames?", re.IGNORECASE | re.ASCII)
_LEVEL_TEXT: Final = re.compile(
    rf"({SIGNED}) *({UNIT})(?: +(?:(open)|into +({NUMBER}) *(k?ohms?)))?", re.IGNORECASE | re.ASCII
)
_POWER_TEXT: Final = re.compile(rf"({SIGNED}) *({UNIT})(?: +(EIRP|ERP))?", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True)
class Offset:
    """By how much a label is ahead (+) of what it should be: in frames or in seconds, whichever was written."""

    frames: Fraction | None = None
    seconds: Fraction | None = None

    def __post_init__(self) -> None:
        """Refuse an offset that is said twice or not at all: ValueError."""
        if (self.frames is None) == (self.seconds is None):
            message = "an offset is in frames or in seconds"
            raise ValueError(message)

    def in_seconds(self, rate: Rate) -> Fraction:
        """Give the offset in seconds, frames lasting what they last at the rate."""
        return self.seconds if self.seconds is not None else (self.frames or Fraction(0)) * rate.frame

    def in_frames(self, rate: Rate) -> Fraction:
        """Give the offset in frames of the rate."""
        return self.frames if self.frames is not None else (self.seconds or Fraction(0)) * rate.fps


class LevelUnit(StrEnum):
    """What a level is measured in: volts peak to peak, decibels to 0.7746 V rms, decibels to 1 V rms."""

    VPP = "Vpp"
    DBU = "dBu"
    DBV = "dBV"


@dataclass(frozen=True, slots=True)
class Level:
    """A signal level: `value` in volts peak to peak, dBu or dBV; `load` in ohms, None if open or not said."""

    value: Fraction
    unit: LevelUnit
    load: Fraction | None = None
    is_open: bool = False


class Radiated(StrEnum):
    """Against which aerial a radiated power is stated: an isotropic one or a dipole (2.15 dB between them)."""

    EIRP = "EIRP"
    ERP = "ERP"


@dataclass(frozen=True, slots=True)
class Power:
    """A power in dBm, and how it is radiated if that was said."""

    dbm: Fraction
    radiated: Radiated | None = None


def parse_frequency(text: str) -> Fraction:
    """Read a frequency in hertz: 48 kHz, 48.048 kHz, 47952 Hz, 868.3 MHz. Raises QuantityError."""
    return _FREQUENCY.read(text)


def parse_duration(text: str) -> Fraction:
    """Read a time in seconds: 45 min, 24 h, 3 ms, 1 h 30 min (larger units first). Raises QuantityError."""
    clean = _DURATION.clean(text)
    if _PARTS.fullmatch(clean) is None:
        raise _DURATION.refusal(clean)
    parts = [(Fraction(number), _TIMES[unit.lower()]) for number, unit in _PART.findall(clean)]
    units = [unit for _, unit in parts]
    if units != sorted(set(units), reverse=True):
        raise _DURATION.error(clean, "has its units out of order")
    return sum((number * unit for number, unit in parts), Fraction(0))


def parse_ppm(text: str) -> Fraction:
    """Read a rate error in parts per million: 0.2 ppm, +0.31 ppm. Raises QuantityError."""
    return _PPM.read(text)


def parse_length(text: str) -> Fraction:
    """Read a length in metres: 0.6 m, 60 cm, 1 km. Raises QuantityError."""
    return _LENGTH.read(text)


def parse_decibels(text: str) -> Fraction:
    """Read a ratio in decibels: 30 dB. Raises QuantityError, and so for more than 200 dB either way."""
    return _in_reach(_DECIBELS, _DECIBELS.read(text), text)


def parse_full_scale(text: str) -> Fraction:
    """Read a level against full scale, in dBFS and so not above 0: -18 dBFS. Raises QuantityError."""
    value = _in_reach(_FULL_SCALE, _FULL_SCALE.read(text), text)
    if value > 0:
        raise _FULL_SCALE.error(text.strip(" "), "is above full scale, which is 0 dBFS")
    return value


def parse_resistance(text: str) -> Fraction:
    """Read a resistance in ohms: 75 ohm, 1 kohm. Raises QuantityError."""
    return _RESISTANCE.read(text)


def parse_temperature_range(text: str) -> tuple[Fraction, Fraction]:
    """Read a range of temperature, low and high in degrees Celsius: 8..31 C, -5..40 C, 21 C. Raises QuantityError."""
    return _TEMPERATURE.read_range(text)


def parse_frequency_range(text: str) -> tuple[Fraction, Fraction]:
    """Read a band, low and high in hertz: 865..868 MHz, 868.3 MHz. Raises QuantityError."""
    return _BAND.read_range(text)


def parse_voltage_range(text: str) -> tuple[Fraction, Fraction]:
    """Read a range of voltage, low and high in volts peak to peak: 0.3..5 Vpp, 1..300 mVpp. Raises QuantityError."""
    return _VOLTAGE_RANGE.read_range(text)


def parse_offset(text: str) -> Offset:
    """Read an offset in frames or seconds: +2 frames, 1/2 frame, 3 ms, 0 frames. Raises QuantityError."""
    clean = _OFFSET.clean(text)
    share = _SHARE.fullmatch(clean)
    if share is not None:
        try:
            return Offset(frames=Fraction(share[1]))
        except ZeroDivisionError:
            raise _OFFSET.error(clean, "divides by zero") from None
    value = _OFFSET.read(clean)
    return Offset(frames=value) if "frame" in clean.lower() else Offset(seconds=value)


def parse_voltage(text: str) -> Level:
    """Read a level and its load: 1 Vpp open, 600 mVpp into 75 ohm, -10 dBV, +4 dBu into 600 ohm.

    Raises QuantityError, and so for a load of 0 ohm and for dBu or dBV beyond 200 either way.
    """
    clean = _LEVEL.clean(text)
    match = _LEVEL_TEXT.fullmatch(clean)
    if match is None:
        raise _LEVEL.refusal(clean)
    number, unit, is_open, load, ohms = match.groups()
    value = _LEVEL.value(number, unit, clean)
    in_volts = unit.lower() in _VOLTS
    if in_volts and value < 0:
        raise _LEVEL.error(clean, "is below zero")
    if not in_volts:
        _in_reach(_LEVEL, value, clean)
    if load and not Fraction(load):
        raise _LEVEL.error(clean, "stands over a short circuit")
    level_unit = LevelUnit.VPP if in_volts else LevelUnit.DBU if unit.lower() == "dbu" else LevelUnit.DBV
    return Level(value, level_unit, Fraction(load) * _OHMS[ohms.lower()] if load else None, is_open is not None)


def _in_reach(form: Form, value: Fraction, text: str) -> Fraction:
    """Give decibels back; QuantityError if they are beyond the limit."""
    if abs(value) > DECIBEL_LIMIT:
        raise form.error(text.strip(" "), f"is beyond {DECIBEL_LIMIT} dB")
    return value


def parse_power(text: str) -> Power:
    """Read a power in dBm: 14 dBm EIRP, 14 dBm ERP, 10 dBm. Raises QuantityError."""
    clean = _POWER.clean(text)
    match = _POWER_TEXT.fullmatch(clean)
    if match is None:
        raise _POWER.refusal(clean)
    value = _POWER.value(match[1], match[2], clean)
    return Power(value, Radiated(match[3].upper()) if match[3] else None)
