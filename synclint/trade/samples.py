"""Audio samples and LTC bits in a frame."""

from fractions import Fraction
from itertools import pairwise
from math import floor
from typing import Final

from synclint.trade.labels import Label, frame_of
from synclint.trade.rates import LabelRate, Rate

LTC_BITS: Final = 80
"""Bits in an LTC word (libltc; EBU Tech 3097 2.2 as tabulated in secondary texts)."""

LONGEST_CADENCE: Final = 100_000
"""Frames after which a cadence that has not come round is given up (a design choice, no source)."""


def samples_per_frame(sample_rate: Fraction | int, rate: Rate) -> Fraction:
    """Give the samples in a frame for a sample rate in hertz: 2002 at 48 kHz and 23.976, 8008/5 at 29.97.

    AES5-2018 Annex A as tabulated in secondary texts, and CALC.
    """
    return Fraction(sample_rate) / rate.fps


def cadence(sample_rate: Fraction | int, rate: Rate) -> tuple[int, ...]:
    """Give the whole samples of successive frames until they repeat, for a sample rate in hertz.

    Frame k holds the samples from floor(k n) up to floor((k + 1) n), counted from the epoch: 1601, 1602, 1601, 1602,
    1602 at 48 kHz and 29.97 (as tabulated in secondary texts, and CALC). Other equipment starts elsewhere in the same
    round, so compare sums. Raises ValueError if the round has more than LONGEST_CADENCE frames.
    """
    each = samples_per_frame(sample_rate, rate)
    if each.denominator > LONGEST_CADENCE:
        message = f"samples and frames meet after {each.denominator} frames, more than {LONGEST_CADENCE}"
        raise ValueError(message)
    edges = [floor(each * frame) for frame in range(each.denominator + 1)]
    return tuple(after - before for before, after in pairwise(edges))


def ltc_bit_rate(rate: Rate) -> Fraction:
    """Give the bits a second of LTC at the rate its labels count at: 2000 at 25 and at 50 (libltc; CALC)."""
    return LTC_BITS * rate.counted.fps


def samples_since_midnight(label: Label, label_rate: LabelRate, sample_rate: Fraction | int) -> int:
    """Give the samples that passed from label 00:00:00:00 to a label, whole ones, for a sample rate in hertz.

    The frames up to the label take real time: 10:00:00:00 at 29.97 NDF and 48 kHz is 1,729,728,000, where the wall
    clock would give 1,728,000,000 (EBU Tech 3285, quoted, for "first sample count since midnight"; CALC for the
    numbers). Raises LabelError if the label does not exist.
    """
    return floor(frame_of(label, label_rate) * samples_per_frame(sample_rate, label_rate.rate))
