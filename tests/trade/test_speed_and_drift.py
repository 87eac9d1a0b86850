"""Speeds, file lengths and drift."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.drift import drift_seconds, seconds_until
from synclint.trade.rates import parse_rate
from synclint.trade.speed import (
    FAT32_LIMIT,
    RIFF_LIMIT,
    SIGNED_RIFF_LIMIT,
    bytes_for,
    parting,
    playback_speed,
    seconds_in,
    speed_ratio,
    time_stamp_wrap,
)

HOUR = Fr(3600)
SLOW = parse_rate("23.976").fps


def test_pull_down_that_holds() -> None:
    """Shot at 24, played at 23.976, sound at 48,048 Hz stamped 48,000: both 1000/1001.

    The factor is AES5-2018 Annex A as tabulated in secondary texts, not read.
    """
    picture, sound = speed_ratio(SLOW, 24), speed_ratio(48_000, 48_048)
    assert picture == sound == Fr(1000, 1001)
    assert parting(picture, sound, HOUR) == 0


def test_pull_down_forgotten() -> None:
    """The same with plain 48 kHz: 0.1 %, 3.6 s an hour: arithmetic, 3600 x (1 - 1000/1001) = 3600/1001 = 3.5964 s.

    Measured against the picture it is 3600 x (1.001 - 1) = 3.6 s.
    """
    picture, sound = speed_ratio(SLOW, 24), speed_ratio(48_000, 48_000)
    assert parting(picture, sound, HOUR) == Fr(3600, 1001)
    assert parting(sound, picture, HOUR) == Fr("3.6")


def test_25_played_at_24() -> None:
    """Sound untouched parts by 150 s an hour shot as a share of the sound's speed, 144 s of the picture's: arithmetic.

    By hand: |1 / (24/25) - 1| = 1/24, 3600/24 = 150; |24/25 - 1| = 1/25, 3600/25 = 144.
    """
    assert speed_ratio(24, 25) == Fr(24, 25)
    assert parting(Fr(1), speed_ratio(24, 25), HOUR) == 150
    assert parting(Fr(1), speed_ratio(24, 25), Fr(60)) == Fr("2.5")
    assert parting(speed_ratio(24, 25), Fr(1), HOUR) == 144


def test_off_speed() -> None:
    """96 frames a second played at 24: a quarter, by intent: arithmetic."""
    assert speed_ratio(24, 96) == Fr(1, 4)


def test_a_header_of_whole_hertz_is_no_fault() -> None:
    """47,952 for 47,952.047952 Hz is 1 ppm, 0.18 ms in three minutes: arithmetic."""
    exact = Fr(48_000_000, 1001)
    assert round(parting(speed_ratio(47_952, exact), Fr(1), Fr(180)) * 1000, 2) == Fr("0.18")


def test_playback() -> None:
    """Music goes at shot_at over played_at; over four minutes a forgotten 0.1 % is 240 ms: arithmetic."""
    assert playback_speed(24, SLOW) == Fr(1001, 1000)
    assert playback_speed(48, 24) == 2
    assert parting(playback_speed(24, SLOW), Fr(1), Fr(240)) == Fr("0.24")


def test_time_stamp_wrap() -> None:
    """2^32 samples at 96 kHz last until 12:25:39.24: arithmetic on the two 32-bit words of EBU Tech 3285, quoted."""
    assert time_stamp_wrap(96_000) == Fr(2**32, 96_000)
    assert round(time_stamp_wrap(96_000), 2) == 12 * 3600 + 25 * 60 + Fr("39.24")
    assert time_stamp_wrap(48_000) > 86_400
    assert time_stamp_wrap(48_000, bits=31) < 86_400


def test_how_long_a_file_runs() -> None:
    """Eight tracks of 24 bits at 48 kHz: 8 x 3 x 48,000 = 1,152,000 bytes a second, 4 GiB in 3728.27 s: arithmetic."""
    assert seconds_in(RIFF_LIMIT, tracks=8, bits=24, sample_rate=48_000) == Fr(2**32, 1_152_000)
    assert bytes_for(3600, tracks=8, bits=24, sample_rate=48_000) == 4_147_200_000
    assert bytes_for(Fr(1, 48_000), tracks=1, bits=20, sample_rate=48_000) == 3
    assert (SIGNED_RIFF_LIMIT, FAT32_LIMIT) == (2_147_483_648, 4_294_967_295)


def test_parts_per_million() -> None:
    """1 ppm is 3.6 ms an hour and 86.4 ms a day: arithmetic."""
    assert drift_seconds(Fr(1), HOUR) == Fr("0.0036")
    assert drift_seconds(Fr(1), Fr(86_400)) == Fr("0.0864")
    assert drift_seconds(Fr(50), HOUR) == Fr("0.18")


@pytest.mark.parametrize(
    ("ppm", "budget", "hours"),
    [
        ("1", Fr(1, 24), "11.574"),
        ("1", Fr(1, 25), "11.111"),
        ("1", Fr(1001, 30_000), "9.269"),
        ("4", Fr(1001, 24_000), "2.896"),
        ("0.2", Fr(1001, 24_000), "57.928"),
        ("100", Fr(1001, 24_000), "0.116"),
        ("1", Fr(1, 50), "5.556"),
        ("20", Fr(1, 50), "0.278"),
    ],
)
def test_hours_until_a_frame(ppm: str, budget: Fr, hours: str) -> None:
    """Budget over ppm: arithmetic; 1001/24000 s over 4e-6 is 10,427 s, 2.896 h; 1/50 s over 20e-6 is 1000 s."""
    until = seconds_until(Fr(ppm), budget)
    assert until is not None
    assert round(until / 3600, 3) == Fr(hours)


def test_one_frame_at_one_ppm_and_at_five() -> None:
    """41.708 ms over 1 ppm is 41,708 s, 11 h 35 min; over 5 ppm 8341.7 s, 2 h 19 min: arithmetic."""
    assert seconds_until(Fr(1), parse_rate("23.976").frame) == Fr(1001, 24_000) * 1_000_000
    assert seconds_until(Fr(5), parse_rate("23.976").frame) == Fr(25_025, 3)
    assert seconds_until(Fr(0), Fr(1)) is None


def test_slip_inside_a_take() -> None:
    """20 ppm against 0.5 ppm over 45 min: 20.5e-6 x 2700 s = 55.35 ms: arithmetic."""
    assert drift_seconds(Fr("20.5"), Fr(2700)) == Fr("0.05535")
