"""Label arithmetic against two independent libraries: OpenTimelineIO and libavutil (the one that PyAV brings).

Both accept labels that do not exist, such as 00:01:00;00, so validity is not checked against them.
"""

import ctypes
from collections.abc import Callable
from fractions import Fraction as Fr

import av._core
import pytest
from opentimelineio import opentime

from synclint.trade.labels import Label, frame_of, label_of, labels_per_day, parse_label
from synclint.trade.rates import Count, LabelRate, Rate

DROP_FRAME, DAY_MAX = 1, 2
DROP = [LabelRate(Rate(Fr(30_000, 1001)), Count.DF), LabelRate(Rate(Fr(60_000, 1001)), Count.DF)]
PLAIN = [
    *(LabelRate(Rate(Fr(n * 1000, 1001)), Count.NDF) for n in (24, 30, 60)),
    *(LabelRate(Rate(Fr(n))) for n in (24, 25, 30, 50, 60)),
]
LABELS_A_STEP = 9973
"""A prime, so that a walk through the day meets every frame digit and every second."""


class Rational(ctypes.Structure):
    """AVRational."""

    _fields_ = (("num", ctypes.c_int), ("den", ctypes.c_int))


class Timecode(ctypes.Structure):
    """AVTimecode."""

    _fields_ = (("start", ctypes.c_int), ("flags", ctypes.c_uint32), ("rate", Rational), ("fps", ctypes.c_uint))


def libav() -> ctypes.CDLL:
    """The libavutil that PyAV is linked with, for it has no binding of its own to av_timecode."""
    library = ctypes.CDLL(av._core.__file__)
    if not hasattr(library, "av_timecode_make_string"):
        pytest.skip("this system finds no functions of a library through the one that is linked with it")
    library.av_timecode_init.argtypes = [ctypes.c_void_p, Rational, ctypes.c_int, ctypes.c_int, ctypes.c_void_p]
    library.av_timecode_make_string.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
    library.av_timecode_make_string.restype = ctypes.c_char_p
    library.av_timecode_init_from_string.argtypes = [ctypes.c_void_p, Rational, ctypes.c_char_p, ctypes.c_void_p]
    return library


def libav_labels(rate: LabelRate) -> Callable[[int], str]:
    """What libavutil calls a frame."""
    library, timecode = libav(), Timecode()
    fps = Rational(rate.rate.fps.numerator, rate.rate.fps.denominator)
    flags = DAY_MAX | (DROP_FRAME if rate.drop else 0)
    assert library.av_timecode_init(ctypes.byref(timecode), fps, flags, 0, None) == 0
    buffer, make = ctypes.create_string_buffer(64), library.av_timecode_make_string

    # the reference keeps the memory that the function reads
    here = ctypes.byref(timecode)
    return lambda frame: str(make(here, buffer, frame), "ascii")


def otio_labels(rate: LabelRate) -> Callable[[int], str]:
    """What OpenTimelineIO calls a frame."""
    fps, time, say = float(rate.rate.fps), opentime.RationalTime, opentime.to_timecode
    drop = rate.drop
    return lambda frame: str(say(time(frame, fps), fps, drop))


@pytest.mark.parametrize("rate", DROP, ids=lambda rate: rate.name)
def test_every_drop_frame_label_of_a_day(rate: LabelRate) -> None:
    """Every frame of 24 hours of labels bears the label that OpenTimelineIO and libavutil give it: both run here."""
    theirs, others, day = otio_labels(rate), libav_labels(rate), labels_per_day(rate)
    for start in range(0, day, day // 144):
        frames = range(start, start + day // 144)
        ours = [str(label_of(frame, rate)) for frame in frames]
        assert ours == list(map(theirs, frames))
        assert ours == list(map(others, frames))


@pytest.mark.parametrize("rate", DROP + PLAIN, ids=lambda rate: rate.name)
def test_frames_of_labels(rate: LabelRate) -> None:
    """A walk of more than 200 labels through the day, read back by OpenTimelineIO and by libavutil: both run here."""
    fps, library = float(rate.rate.fps), libav()
    exact = Rational(rate.rate.fps.numerator, rate.rate.fps.denominator)
    for frame in range(0, labels_per_day(rate), LABELS_A_STEP):
        text = str(label_of(frame, rate))
        timecode = Timecode()
        assert library.av_timecode_init_from_string(ctypes.byref(timecode), exact, text.encode(), None) == 0
        assert frame_of(parse_label(text), rate) == timecode.start == frame
        assert opentime.from_timecode(text, fps).value == frame


@pytest.mark.parametrize("rate", PLAIN, ids=lambda rate: rate.name)
def test_non_drop_labels_through_the_day(rate: LabelRate) -> None:
    """A walk through the day, and its first and last minute whole, against both libraries, which run here.

    OpenTimelineIO wraps NDF at 29.97 and 59.94 after the labels of a DF day, so there it is asked for no more.
    """
    theirs, others, day, minute = otio_labels(rate), libav_labels(rate), labels_per_day(rate), 60 * rate.rate.nominal
    short_day = labels_per_day(LabelRate(rate.rate, Count.DF))
    for frame in [*range(minute), *range(minute, day, LABELS_A_STEP), *range(day - minute, day)]:
        assert str(label_of(frame, rate)) == others(frame)
        if frame < short_day:
            assert others(frame) == theirs(frame)


@pytest.mark.parametrize("rate", DROP + PLAIN, ids=lambda rate: rate.name)
def test_the_day_wraps_as_in_libav(rate: LabelRate) -> None:
    """Told to keep to 24 hours, libavutil returns to zero at the frame where we do: it runs here."""
    others, day = libav_labels(rate), labels_per_day(rate)
    for frame in (day - 1, day, day + 1, day + 100_000):
        assert str(label_of(frame, rate)) == others(frame)
    assert label_of(day, rate) == Label(0, 0, 0, 0, rate.drop)


@pytest.mark.parametrize("thousandths", [24_000, 25_000])
def test_libav_has_no_drop_frame_elsewhere(thousandths: int) -> None:
    """DF at 23.976 and at 25000/1001 is refused by libavutil as by `LabelRate.count_allowed`: it runs here."""
    rate, timecode = Rate(Fr(thousandths, 1001)), Timecode()
    refused = libav().av_timecode_init(ctypes.byref(timecode), Rational(thousandths, 1001), DROP_FRAME, 0, None) < 0
    assert refused is not LabelRate(rate, Count.DF).count_allowed
