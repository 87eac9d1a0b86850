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
