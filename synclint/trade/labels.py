"""Timecode labels: which frame bears which, and how two ways of counting part.

A label counts frames, so its seconds are only as long as its frames are: at 23.976 and at 29.97 NDF an hour of labels
lasts 3603.6 s (CALC).

Here labels are a device's own count at its full rate (59.94 DF drops four); `LabelRate.counted` gives the rate of the
labels on a cable. DF or NDF not said counts as NDF. DF where it does not exist, such as 25 DF, drops nothing, so it
counts as NDF too: a rule tells the user, and arithmetic does not fail.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Final

from synclint.trade.rates import LabelRate

DAY: Final = 86_400
"""Seconds in a day."""

_TENS_A_DAY: Final = 144
_TEXT_LIMIT: Final = 40
_LABEL_TEXT: Final = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9]):([0-5][0-9])([:;.])([0-9]{2,3})")


class LabelError(ValueError):
    """A label that is not written as one, or that does not exist at its rate."""


@dataclass(frozen=True, order=True, slots=True)
class Label:
    """A timecode label: hours, minutes, seconds, frames, and whether it is a drop-frame label."""

    hours: int
    minutes: int
    seconds: int
    frames: int
    drop: bool = False

    def __str__(self) -> str:
        """Write hh:mm:ss:ff, or hh:mm:ss;ff for drop frame."""
        mark = ";" if self.drop else ":"
        return f"{self.hours:02}:{self.minutes:02}:{self.seconds:02}{mark}{self.frames:02}"


def parse_label(text: str) -> Label:
    """Read a label hh:mm:ss:ff; a semicolon or a point before the frames means drop frame (as in libavutil).

    Raises LabelError if it is not written so, or if hours, minutes or seconds are out of range. The frames are judged
    by `is_valid`, which knows the rate.
    """
    match = _LABEL_TEXT.fullmatch(text.strip(" ")) if len(text) <= _TEXT_LIMIT else None
    if match is None:
        shown = text[:_TEXT_LIMIT]
        message = f"{shown if shown.isprintable() else ascii(shown)} is not a label: write one such as 10:00:00:00"
        raise LabelError(message)
    hours, minutes, seconds, mark, frames = match.groups()
    return Label(int(hours), int(minutes), int(seconds), int(frames), mark != ":")


def _counting(rate: LabelRate) -> tuple[int, int]:
    """Frames in a second of labels, and labels dropped each minute that is no tenth.

    2 are dropped at 29.97 DF, 4 at 59.94 DF (libavutil and OpenTimelineIO), else none.
    """
    nominal = rate.rate.nominal
    return nominal, nominal // 15 if rate.drop and rate.count_needed else 0


def labels_per_day(rate: LabelRate) -> int:
    """Count the labels from 00:00:00:00 to its return, in frames: 2,589,408 at 29.97 DF (CALC)."""
    return _TENS_A_DAY * _in_ten_minutes(*_counting(rate))


def _in_ten_minutes(nominal: int, dropped: int) -> int:
    return 600 * nominal - 9 * dropped


def label_of(frame: int, rate: LabelRate) -> Label:
    """Give the label of a frame counted from 00:00:00:00, wrapping at 24 hours of labels both ways.

    Drop frame: labels 0 and 1 (0 to 3 at 59.94) of each minute are skipped except in minutes 0, 10 .. 50
    (ST 12-1 as tabulated in secondary texts; libavutil and OpenTimelineIO).
    """
    nominal, dropped = _counting(rate)
    in_ten = _in_ten_minutes(nominal, dropped)
    number = frame % (_TENS_A_DAY * in_ten)
    if dropped:
        tens, rest = divmod(number, in_ten)
        number += 9 * dropped * tens
        # The first minute of the ten drops nothing, so it is longer than the nine that follow.
        number += dropped * max(0, (rest - dropped) // (60 * nominal - dropped))
    whole, frames = divmod(number, nominal)
    minutes, seconds = divmod(whole, 60)
    return Label(minutes // 60, minutes % 60, seconds, frames, bool(dropped))


def _complaint(label: Label, rate: LabelRate) -> str | None:
    """Say why a label does not exist at a rate, or None if it does."""
    nominal, dropped = _counting(rate)
    in_range = 0 <= label.hours < 24 and 0 <= label.minutes < 60 and 0 <= label.seconds < 60
    if not in_range or not 0 <= label.frames < nominal:
        return f"{label} is out of range at {rate.name}"
    if label.drop != bool(dropped):
        return f"{label} is written as {'DF' if label.drop else 'NDF'}, and {rate.name} counts otherwise"
    if label.frames < dropped and label.seconds == 0 and label.minutes % 10:
        return f"{label} does not exist: {rate.name} drops it"
    return None


def is_valid(label: Label, rate: LabelRate) -> bool:
    """Tell whether a label exists at a rate and is written for its count: 00:01:00;00 at 29.97 DF does not.

    The rule is that of `label_of`. General libraries accept dropped labels, so none of them confirms this.
    """
    return _complaint(label, rate) is None


def frame_of(label: Label, rate: LabelRate) -> int:
    """Give the number of the frame that bears a label, in frames from 00:00:00:00.

    N = 30 (3600 h + 60 m + s) + f - 2 (M - floor(M/10)) with M = 60 h + m at 29.97 DF (libavutil, OpenTimelineIO, and
    ST 2059-1:2021 9.3.3.4 as tabulated in secondary texts). Raises LabelError if no frame bears it.
    """
    complaint = _complaint(label, rate)
    if complaint is not None:
        raise LabelError(complaint)
    minutes = 60 * label.hours + label.minutes
    nominal, dropped = _counting(rate)
    return nominal * (60 * minutes + label.seconds) + label.frames - dropped * (minutes - minutes // 10)


def label_speed(rate: LabelRate) -> Fraction:
    """Give the mean seconds of label for a real second: 1000/1001 at 23.976 NDF, 1000000/999999 at 29.97 DF (CALC)."""
    return rate.rate.fps * DAY / labels_per_day(rate)


def divergence(a: LabelRate, b: LabelRate, seconds: Fraction) -> Fraction:
    """Give the seconds of label by which a is ahead of b on average, some real seconds after they agreed (CALC)."""
    return (label_speed(a) - label_speed(b)) * seconds


def divergence_frames(a: LabelRate, b: LabelRate, seconds: Fraction) -> Fraction:
    """Give the same as `divergence` in frames of label at a's counted rate.

    29.97 NDF against DF: -108 after an hour of DF labels (CALC).
    """
    return divergence(a, b, seconds) * a.rate.counted.nominal


def exact_divergence(a: LabelRate, b: LabelRate, seconds: Fraction) -> Fraction:
    """Give the seconds of label by which a reads ahead of b at that very instant, both counted from zero (CALC).

    Unlike the mean this moves in steps: 29.97 DF against NDF, 2/30 s from the first minute and 18/30 s after ten.
    """
    return _reading(a, seconds) - _reading(b, seconds)


def _reading(rate: LabelRate, seconds: Fraction) -> Fraction:
    """Give the label that shows after some real seconds, as seconds of label that do not wrap."""
    days, frame = divmod(floor(seconds * rate.rate.fps), labels_per_day(rate))
    label = label_of(frame, rate)
    whole = (60 * label.hours + label.minutes) * 60 + label.seconds
    return days * DAY + whole + Fraction(label.frames, rate.rate.nominal)


def second_aligned(a: LabelRate, b: LabelRate) -> bool:
    """Tell whether whole seconds of two labels agree for ever: 24, 25 and 30 do, 23.976 and 29.97 NDF do (CALC)."""
    return label_speed(a) == label_speed(b)


def seconds_per_slip(a: LabelRate, b: LabelRate) -> Fraction | None:
    """Give the real seconds in which two labels part by one frame of a's counted rate, None if they never part.

    24 against 23.976: 1001/24 s, 41.7 s (CALC).
    """
    apart = abs(divergence_frames(a, b, Fraction(1)))
    return 1 / apart if apart else None
