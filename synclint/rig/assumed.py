"""What is assumed of a device by its class where neither kit nor setup says; every use is printed as assumed.

To add a device class: a row here, with the source of its figures, and its word in the two schemas.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from synclint.findings import Confirmed, Source

_PRACTICE = Source("common practice, no source", Confirmed.PRACTICE)
_MEASURED = Source("7 to 33 ppm reported of small cameras; common practice, no source", Confirmed.PRACTICE)
_OSCILLATORS = Source(
    "common practice, no source; 2 ppm after a year in Vig, SLCET-TR-92-1, table 1", Confirmed.PRACTICE
)


@dataclass(frozen=True, slots=True)
class Defaults:
    """What is assumed of a class: the accuracy of its own clock in ppm, and on what that rests."""

    accuracy: Fraction | None
    source: Source = _PRACTICE
    rounds_rate_names: bool = False
    """Whether menus of this class say 24, 30 and 60 for 23.976, 29.97 and 59.94."""
    keeps_time_for_others: bool = False
    """Whether it is made to be a master."""


BY_CLASS: Mapping[str, Defaults] = {
    "tuned generator": Defaults(Fraction("0.2"), keeps_time_for_others=True),
    "compensated generator": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "wireless master": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "sync generator": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "network leader": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "timecode slate": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "bag recorder": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "field recorder": Defaults(Fraction(1), _OSCILLATORS, keeps_time_for_others=True),
    "cinema camera": Defaults(Fraction(5)),
    "shoulder camcorder": Defaults(Fraction(10)),
    "compact cinema camera": Defaults(Fraction(20)),
    "video recorder": Defaults(Fraction(20)),
    "audio console": Defaults(Fraction(20)),
    "playback device": Defaults(Fraction(20)),
    "small camera": Defaults(Fraction(30), _MEASURED, rounds_rate_names=True),
    "action camera": Defaults(Fraction(30), _MEASURED, rounds_rate_names=True),
    "drone camera": Defaults(Fraction(30), _MEASURED, rounds_rate_names=True),
    "phone": Defaults(Fraction(30), _MEASURED, rounds_rate_names=True),
    "computer": Defaults(Fraction(50)),
    "network gateway": Defaults(None),
    "display": Defaults(None),
    "loudspeaker": Defaults(None),
    "through-thing": Defaults(None),
}

VARYING_SHARE = Fraction(2, 5)
"""How much of a class's accuracy is assumed to wander through a day (common practice, no source)."""
VARYING_WHY = (
    "on top of an assumed accuracy two fifths of it wander, of a stated one nothing (common practice, no source)"
)

ROUNDS_RATE_NAMES = frozenset(name for name, row in BY_CLASS.items() if row.rounds_rate_names)

TOLERANCE_WHY = "one frame, the usual tolerance between recordings (common practice, no source)"
OWN_CLOCK_WHY = "a device paces itself unless told otherwise (common practice, no source)"


def varying_of(cls: str | None) -> Fraction:
    """How far the rate of a class is assumed to wander through a day, in ppm."""
    assumed = accuracy_of(cls)
    return assumed[0] * VARYING_SHARE if assumed else Fraction(0)


def accuracy_of(cls: str | None) -> tuple[Fraction, str] | None:
    """The accuracy in ppm assumed of a class and why, or None where nothing is assumed."""
    row = BY_CLASS.get(cls or "")
    if row is None or row.accuracy is None:
        return None
    return row.accuracy, f"class {cls}: {row.source.text}"


@dataclass(frozen=True, slots=True)
class Spread:
    """A value that is assumed of a socket or a lead, from the least to the most that is met with, and why."""

    least: Fraction
    usual: Fraction
    most: Fraction
    why: str


def _spread(least: str, usual: str, most: str, what: str) -> Spread:
    return Spread(Fraction(least), Fraction(usual), Fraction(most), f"{what} ({_PRACTICE.text})")


_VIDEO_OUTPUT = Spread(Fraction(75), Fraction(75), Fraction(75), "a video output has 75 ohm (from memory)")

OUTPUT_OHMS: Mapping[str, Spread] = {
    "LTC": _spread("50", "600", "1000", "timecode outputs have 50 ohm to 1 kohm, 600 ohm in the sums"),
    "black burst": _VIDEO_OUTPUT,
    "tri-level": _VIDEO_OUTPUT,
    "word clock": Spread(Fraction(10), Fraction(75), Fraction(75), "a word clock output has 75 ohm (from memory)"),
    "AES reference": Spread(Fraction(75), Fraction(110), Fraction(110), "an AES output has 110 ohm (from memory)"),
}
"""What is assumed of an output that says no impedance, by what it gives."""

MICROPHONE_OHMS = _spread("1000", "2000", "10000", "microphone inputs have 1 to 10 kohm, 2 kohm in the sums")
LINE_OHMS = _spread("4700", "10000", "100000", "line and timecode inputs have 5 to 100 kohm, 10 kohm in the sums")
BRIDGING_OHMS = _spread("4700", "10000", "100000", "an input with its 75 ohm switched off has some 10 kohm")
AES_OHMS = Spread(Fraction(110), Fraction(110), Fraction(110), "an AES input has 110 ohm (from memory)")
LEAD_OHMS = _spread("0", "0.1", "0.3", "a lead has 0.1 ohm a metre, out and back")

MICROPHONE_RANGE = (Fraction(1, 1000), Fraction(3, 10))
MICROPHONE_RANGE_WHY = f"a microphone input takes up to some 300 mVpp before it clips ({_PRACTICE.text})"
LINE_RANGE = (Fraction(3, 10), Fraction(8))
LINE_RANGE_WHY = f"a line input wants some 0.3 to 8 Vpp ({_PRACTICE.text})"
TIMECODE_RANGE = (Fraction(3, 10), Fraction(5))
TIMECODE_RANGE_WHY = f"timecode inputs read from some 0.3 to 5 Vpp ({_PRACTICE.text})"

MICROPHONE_NOMINAL = _spread("-60", "-50", "-40", "speech comes from a microphone at some -50 dBu")
"""What automatic gain of a microphone input is made for, in dBu."""

PLUG_IN_POWER = (Fraction(3), Fraction(2200), "plug-in power is some 3 V behind 2.2 kohm (from memory)")
PHANTOM_POWER = (Fraction(48), Fraction(6800), "phantom power is 48 V behind 6.8 kohm in each leg (from memory)")
"""Volts and ohms of what an input feeds a microphone with, and on what that rests."""

SEPARATION = _spread("40", "50", "60", "neighbouring tracks and wires are some 50 dB apart")
"""By how many decibels a signal is weaker beside its own wire or track."""

RADIO_DELAY = _spread("2", "10", "20", "a digital sound radio takes some 2 to 20 ms")
"""How many milliseconds a digital radio hop for sound takes."""

DECODES_FROM = (Fraction(3), f"a decoder wants some 3 s of whole labels ({_PRACTICE.text})")
"""How many seconds of timecode a decoder needs to be sure of it."""
