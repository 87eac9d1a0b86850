"""Laws of the arithmetic that hold for every value."""

from collections.abc import Callable
from contextlib import suppress
from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade import quantities as q
from synclint.trade.drift import drift_seconds, seconds_until
from synclint.trade.labels import (
    LabelError,
    divergence,
    divergence_frames,
    exact_divergence,
    frame_of,
    is_valid,
    label_of,
    labels_per_day,
    parse_label,
    second_aligned,
    seconds_per_slip,
)
from synclint.trade.rates import Count, LabelRate, Rate, RateError, parse_label_rate, parse_rate
from synclint.trade.samples import cadence, samples_per_frame
from synclint.trade.speed import bytes_for, seconds_in, speed_ratio

NAMES = ["23.976", "24", "25", "29.97", "30", "47.952", "48", "50", "59.94", "60", "96", "100", "119.88", "120"]
rates = st.sampled_from([parse_rate(name) for name in NAMES])
label_rates = st.builds(LabelRate, rates, st.sampled_from([None, Count.NDF, Count.DF]))
seconds = st.fractions(min_value=0, max_value=10 * 86_400, max_denominator=100_000)
texts = st.one_of(
    st.text(max_size=80),
    st.text(alphabet="0123456789+-./: ,;eENDFpfshzHkMVudbmWC°Ω", max_size=45),
    st.builds(
        "{}{}{}".format,
        st.sampled_from(["1", "-1", "1..2", "1/2", "1e5", "07:00", "2026-06-14", "99999999999999"]),
        st.sampled_from(["", " ", "  "]),
        st.sampled_from(
            ["", "s", "Hz", "frames", "Vpp open", "dBu", "dBm ERP", "C", "ppm", "DF", "p", "+1", "mVpp into 75 ohm"]
        ),
    ),
)


@given(label_rates, st.integers(-(10**7), 10**7))
def test_a_label_names_its_frame(rate: LabelRate, frame: int) -> None:
    label = label_of(frame, rate)
    assert is_valid(label, rate)
    assert frame_of(label, rate) == frame % labels_per_day(rate)
    assert parse_label(str(label)) == label


@given(label_rates, st.integers(0, 10**7))
def test_labels_go_up_by_one_and_wrap(rate: LabelRate, frame: int) -> None:
    this, after = label_of(frame, rate), label_of(frame + 1, rate)
    assert (after > this) == ((frame + 1) % labels_per_day(rate) != 0)


@given(label_rates, label_rates, seconds)
def test_divergence_is_antisymmetric_and_grows_evenly(a: LabelRate, b: LabelRate, time: Fr) -> None:
    assert divergence(a, b, time) == -divergence(b, a, time)
    assert exact_divergence(a, b, time) == -exact_divergence(b, a, time)
    assert divergence(a, b, 2 * time) == 2 * divergence(a, b, time)
    assert divergence(a, a, time) == exact_divergence(a, a, time) == 0


@given(label_rates, label_rates, label_rates, seconds)
def test_divergences_add_up(a: LabelRate, b: LabelRate, c: LabelRate, time: Fr) -> None:
    assert divergence(a, b, time) + divergence(b, c, time) == divergence(a, c, time)


@given(label_rates, label_rates)
def test_aligned_labels_never_slip(a: LabelRate, b: LabelRate) -> None:
    slip = seconds_per_slip(a, b)
    assert (slip is None) == second_aligned(a, b)
    if slip is not None:
        assert abs(divergence_frames(a, b, slip)) == 1


@given(label_rates, seconds)
def test_the_mean_speed_keeps_near_the_label(rate: LabelRate, time: Fr) -> None:
    """Inside ten minutes DF strays by 60.53 ms and a label holds for a frame: arithmetic; 60.53 + 41.71 < 110 ms."""
    wall = parse_label_rate("120")
    apart = exact_divergence(rate, wall, time) - divergence(rate, wall, time)
    assert abs(apart) < Fr("0.11")


@given(rates)
def test_folding_is_done_once(rate: Rate) -> None:
    assert rate.counted.counted == rate.counted
    assert rate.counted.fps <= 30
    assert (rate.fps / rate.counted.fps).denominator == 1
    assert rate.frame * rate.fps == 1


@given(st.one_of(rates, st.builds(Rate, st.fractions(Fr(1, 100), 10_000, max_denominator=10_000))))
def test_a_rate_reads_back_from_its_name(rate: Rate) -> None:
    """But where the name is a decimal so close to a rate over 1.001 that it is taken for that."""
    read = parse_rate(rate.name)
    assert read == rate or (read.fractional and abs(read.fps - rate.fps) < Fr(65, 10_000))


@given(label_rates)
def test_a_label_rate_reads_back_from_its_name(rate: LabelRate) -> None:
    assert parse_label_rate(rate.name) == rate
    assert parse_label_rate(rate.name.lower()) == rate


@given(rates, st.sampled_from([32_000, 44_100, 48_000, 88_200, 96_000, 192_000, Fr(48_000_000, 1001), 48_048]))
def test_a_cadence_loses_no_sample(rate: Rate, hertz: int | Fr) -> None:
    each, steps = samples_per_frame(hertz, rate), cadence(hertz, rate)
    assert sum(steps) == each * len(steps)
    assert all(abs(step - each) < 1 for step in steps)
    assert max(steps) - min(steps) <= 1


@given(st.fractions(Fr(1, 1000), 1000), st.fractions(Fr(1, 1000), 100))
def test_drift_reaches_its_budget_when_it_says(ppm: Fr, budget: Fr) -> None:
    until = seconds_until(ppm, budget)
    assert until is not None
    assert drift_seconds(ppm, until) == budget


@given(st.integers(1, 10_000), st.integers(1, 10_000))
def test_speeds_are_inverse(a: int, b: int) -> None:
    assert speed_ratio(a, b) * speed_ratio(b, a) == 1


@given(
    st.integers(1, 2**40), st.integers(1, 64), st.sampled_from([16, 24, 32]), st.sampled_from([44_100, 48_000, 96_000])
)
def test_a_file_is_as_long_as_its_bytes(limit: int, tracks: int, bits: int, hertz: int) -> None:
    assert bytes_for(seconds_in(limit, tracks, bits, hertz), tracks, bits, hertz) == limit


@given(seconds)
def test_a_said_time_reads_back_nearly(time: Fr) -> None:
    """Said to three digits, to a second above a minute, to a minute above an hour."""
    back = q.parse_duration(q.say_duration(time))
    room = Fr(30) if time >= 3599 else Fr(1, 2) if time >= 59 else time / 200 + Fr(1, 10**9)
    assert abs(back - time) <= room
    assert q.say_duration(back) == q.say_duration(time)


@given(st.integers(0, 10 * 86_400 - 1))
def test_a_said_clock_time_reads_back(time: int) -> None:
    assert q.parse_clock_time(q.say_clock(Fr(time))) == time


@given(st.integers(-(10**6), 10**6))
def test_a_said_ppm_reads_back(thousandths: int) -> None:
    ppm = Fr(thousandths, 1000)
    back = q.parse_ppm(q.say_ppm(ppm, signed=True))
    assert abs(back - ppm) <= abs(ppm) / 200


@given(st.integers(0, 10**9))
def test_a_said_frequency_reads_back(hertz: int) -> None:
    assert q.parse_frequency(q.say_frequency(Fr(hertz))) == hertz


@given(st.dates())
def test_a_date_reads_back(day: object) -> None:
    assert q.parse_date(str(day)) == day


@given(seconds, seconds)
def test_a_longer_time_is_never_said_shorter(a: Fr, b: Fr) -> None:
    short, long = sorted((a, b))
    assert q.parse_duration(q.say_duration(short)) <= q.parse_duration(q.say_duration(long))


@pytest.mark.parametrize("read", [getattr(q, name) for name in q.__all__ if name.startswith("parse_")])
@given(text=texts)
def test_readers_of_quantities_raise_their_own_error_alone(read: Callable[[str], object], text: str) -> None:
    with suppress(q.QuantityError):
        read(text)


@pytest.mark.parametrize(
    ("read", "error"), [(parse_rate, RateError), (parse_label_rate, RateError), (parse_label, LabelError)]
)
@given(text=texts)
def test_readers_of_rates_and_labels_raise_their_own_error_alone(
    read: Callable[[str], object], error: type[Exception], text: str
) -> None:
    with suppress(error):
        read(text)
