"""Clock times and dates, and how times and numbers are said in messages."""

import re
from datetime import date
from fractions import Fraction
from math import floor
from typing import Final

from synclint.trade.reading import Form

_CLOCK: Final = Form("clock time", "07:00 (01:20 +1 past midnight)", {})
_DATE: Final = Form("date", "2026-06-14", {})

_CLOCK_TEXT: Final = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])(?::([0-5][0-9]))?(?: +\+([1-9]))?")
_DATE_TEXT: Final = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")

_DAY: Final = 86_400
_HOUR: Final = 3600
_MINUTE: Final = 60
_SHOWN_DIGITS: Final = 3
_MOST_PLACES: Final = 6


def parse_clock_time(text: str) -> Fraction:
    """Read a time of day in seconds after the day's midnight: 07:00, 12:47:14, 01:20 +1 the day after.

    These are seconds of a 24-hour clock face; time zones and their changes are not known here. Raises QuantityError.
    """
    clean = _CLOCK.clean(text)
    match = _CLOCK_TEXT.fullmatch(clean)
    if match is None:
        raise _CLOCK.error(clean, "is not a clock time")
    hours, minutes, seconds, days = (int(part or 0) for part in match.groups())
    return Fraction(days * _DAY + hours * _HOUR + minutes * _MINUTE + seconds)


def parse_date(text: str) -> date:
    """Read a calendar date: 2026-06-14. Raises QuantityError."""
    clean = _DATE.clean(text)
    match = _DATE_TEXT.fullmatch(clean)
    if match is None:
        raise _DATE.error(clean, "is not a date")
    try:
        return date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        raise _DATE.error(clean, "is not in the calendar") from None


def _rounded(value: Fraction) -> int:
    """Round half up, where `round` would go to the even neighbour and surprise who checks by hand."""
    return floor(value + Fraction(1, 2))


def say_number(value: Fraction, digits: int = _SHOWN_DIGITS, places: int = _MOST_PLACES) -> str:
    """Write a number with so many significant digits (more before the point, at most `places` after it): 20.9, 0.18."""
    size = abs(value)
    kept = max(0, digits - len(str(floor(size)))) if size >= 1 else 0
    if 0 < size < 1:
        kept = digits
        while kept < places and size * 10 ** (kept - digits + 1) < 1:
            kept += 1
    kept = min(kept, places)
    whole, part = divmod(_rounded(size * 10**kept), 10**kept)
    text = f"{whole}.{part:0{kept}}".rstrip("0").rstrip(".") if kept else str(whole)
    return f"-{text}" if value < 0 and text != "0" else text


def say_duration(seconds: Fraction) -> str:
    """Write a time given in seconds: 20.9 ms, 3.6 s, 16 min 40 s, 2 h 19 min.

    Three digits below a minute, whole seconds below an hour, whole minutes above.
    """
    if seconds < 0:
        said = say_duration(-seconds)
        return said if said.startswith("0 ") else f"-{said}"
    if seconds == 0:
        return "0 s"
    # What rounds up to the next unit is said in it: 59.96 s is 1 min.
    if seconds * 1000 < Fraction(1999, 2):
        return f"{say_number(seconds * 1000)} ms"
    if seconds < _MINUTE - Fraction(1, 20):
        return f"{say_number(seconds)} s"
    if _rounded(seconds) < _HOUR:
        return _pair(_rounded(seconds), "min", "s")
    return _pair(_rounded(seconds / _MINUTE), "h", "min")


def _pair(count: int, large: str, small: str) -> str:
    whole, rest = divmod(count, 60)
    return f"{whole} {large} {rest} {small}" if rest else f"{whole} {large}"


def say_clock(seconds: Fraction) -> str:
    """Write seconds after the day's midnight as a time of day: 07:00, 12:47:14, 01:20 +1.

    Parts of a second are left off, so that a deadline is never said later than it is.
    """
    days, rest = divmod(floor(seconds), _DAY)
    text = f"{rest // _HOUR:02}:{rest // _MINUTE % 60:02}"
    if rest % _MINUTE:
        text += f":{rest % _MINUTE:02}"
    return f"{text} {days:+}" if days else text


def say_ppm(ppm: Fraction, *, signed: bool = False) -> str:
    """Write a rate error given in parts per million: 0.2 ppm, or +0.2 ppm with its sign."""
    text = say_number(ppm)
    return f"+{text} ppm" if signed and ppm > 0 and text != "0" else f"{text} ppm"


def say_frequency(hertz: Fraction) -> str:
    """Write a frequency given in hertz, to six places: 48 kHz, 47.952048 kHz, 868.3 MHz, 50 Hz."""
    for unit, size in (("MHz", 10**6), ("kHz", 1000)):
        if abs(hertz) >= size:
            return f"{say_number(hertz / size, 12)} {unit}"
    return f"{say_number(hertz, 12)} Hz"
