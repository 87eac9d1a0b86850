"""Speeds at which recordings are played, how two of them part, and how long a file can run."""

from fractions import Fraction
from math import ceil
from typing import Final

RIFF_LIMIT: Final = 2**32
"""Bytes in a RIFF file at most, its size field having 32 bits (from memory)."""

SIGNED_RIFF_LIMIT: Final = 2**31
"""Bytes beyond which a reader that takes the size for a signed number fails (from memory)."""

FAT32_LIMIT: Final = 2**32 - 1
"""Bytes in a file on a FAT32 card at most (from memory)."""


def speed_ratio(played: Fraction | int, taken: Fraction | int) -> Fraction:
    """Give how fast a recording is played against life, both in frames a second or both in hertz (CALC)."""
    return Fraction(played) / Fraction(taken)


def parting(first: Fraction, second: Fraction, seconds: Fraction) -> Fraction:
    """Give the seconds by which two recordings of one scene part over its length in seconds.

    |r1/r2 - 1| x length (CALC), where `first` and `second` are speed ratios, the second not zero.
    """
    return abs(first / second - 1) * seconds


def playback_speed(shot_at: Fraction | int, played_at: Fraction | int) -> Fraction:
    """Give the speed at which music is played to a camera, the inverse of the picture's ratio (CALC).

    Both rates are in frames a second.
    """
    return Fraction(shot_at) / Fraction(played_at)


def time_stamp_wrap(sample_rate: Fraction | int, bits: int = 32) -> Fraction:
    """Give the seconds after midnight at which a sample count of so many bits is full, for a sample rate in hertz.

    44,739.24 s, 12:25:39 and a bit, at 96 kHz and 32 bits (CALC; EBU Tech 3285, quoted, for the two 32-bit words).
    """
    return Fraction(2**bits) / Fraction(sample_rate)


def _bytes_a_second(tracks: int, bits: int, sample_rate: Fraction | int) -> Fraction:
    return tracks * ceil(bits / 8) * Fraction(sample_rate)


def seconds_in(limit_bytes: int, tracks: int, bits: int, sample_rate: Fraction | int) -> Fraction:
    """Give the seconds of PCM sound that fill a number of bytes, headers aside, for a sample rate in hertz (CALC)."""
    return limit_bytes / _bytes_a_second(tracks, bits, sample_rate)


def bytes_for(seconds: Fraction | int, tracks: int, bits: int, sample_rate: Fraction | int) -> int:
    """Give the bytes that some seconds of PCM sound take, headers aside and rounded up, at hertz (CALC)."""
    return ceil(seconds * _bytes_a_second(tracks, bits, sample_rate))
