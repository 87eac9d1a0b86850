"""Values that standards and textbooks state, each against our arithmetic."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.labels import divergence, label_of, label_speed, labels_per_day
from synclint.trade.rates import parse_label_rate, parse_rate
from synclint.trade.samples import cadence, ltc_bit_rate, samples_per_frame
from synclint.trade.speed import speed_ratio


def test_rates_of_st_12_1() -> None:
    """ST 12-1:2014, quoted: nominal rates of 60, 59.94, 50, 48, 47.95, 30, 29.97, 25, 24, and 23.98."""
    names = ["60", "59.94", "50", "48", "47.95", "30", "29.97", "25", "24", "23.98"]
    rates = [parse_rate(name) for name in names]
    assert sorted(rates, reverse=True) == rates
    assert [rate.nominal for rate in rates] == [60, 60, 50, 48, 48, 30, 30, 25, 24, 24]
    assert {rate.counted.nominal for rate in rates} == {24, 25, 30}


@pytest.mark.parametrize(
    ("hertz", "name", "samples"),
    [
        *((48_000, "47.952", Fr(1001)), (48_000, "48", Fr(1000)), (48_000, "60", Fr(800)), (48_000, "100", Fr(480))),
        *(
            (48_000, "119.88", Fr("400.4")),
            (48_000, "120", Fr(400)),
            (44_100, "60", Fr(735)),
            (44_100, "59.94", Fr("735.735")),
        ),
        *(
            (88_200, "24", Fr(3675)),
            (88_200, "25", Fr(3528)),
            (88_200, "29.97", Fr("2942.94")),
            (88_200, "30", Fr(2940)),
        ),
        *((88_200, "23.976", Fr("3678.675")), (96_000, "60", Fr(1600))),
    ],
)
def test_samples_in_a_frame_beyond_the_usual(hertz: int, name: str, samples: Fr) -> None:
    """Arithmetic: the sample rate times 1001 or 1000 over the whole rate times 1000."""
    assert samples_per_frame(hertz, parse_rate(name)) == samples


def test_samples_in_a_picture_of_the_textbook() -> None:
    """Poynton, Digital Video and HDTV Algorithms and Interfaces, p. 380, read.

    1601 3/5 sample intervals in a picture time, aligned each five pictures; at 44.1 kHz exactly 1471.47; 960 and 882 in
    1/50 s.
    """
    assert samples_per_frame(48_000, parse_rate("29.97")) == 1601 + Fr(3, 5)
    assert len(cadence(48_000, parse_rate("29.97"))) == 5
    assert samples_per_frame(44_100, parse_rate("29.97")) == Fr("1471.47")
    assert samples_per_frame(48_000, parse_rate("50")) == 960
    assert samples_per_frame(44_100, parse_rate("50")) == 882


def test_8008_samples_in_five_frames() -> None:
    """ST 2059-1 8.2 as tabulated in secondary texts: 8008 samples over five frames at 30/1.001."""
    assert sum(cadence(48_000, parse_rate("29.97"))) == 8008


def test_common_grid_of_the_fractional_rates() -> None:
    """1001/6000 s holds 8008 samples, 4 frames of 23.976, 5 of 29.97, 10 of 59.94: a secondary text, and arithmetic."""
    grid = Fr(1001, 6000)
    assert grid * 48_000 == 8008
    assert [grid * parse_rate(name).fps for name in ("23.976", "29.97", "59.94")] == [4, 5, 10]


@pytest.mark.parametrize(
    ("hertz", "up", "down"),
    [
        (48_000, "48048", "47952.047952"),
        (44_100, "44144.1", "44055.944056"),
        (96_000, "96096", "95904.095904"),
        (88_200, "88288.2", "88111.888112"),
    ],
)
def test_pulled_sample_rates(hertz: int, up: str, down: str) -> None:
    """Pull-up 1001/1000 and pull-down 1000/1001: AES5-2018 Annex A as tabulated in secondary texts, not read."""
    pull_down = speed_ratio(parse_rate("23.976").fps, 24)
    assert pull_down == Fr(1000, 1001)
    assert hertz / pull_down == Fr(up)
    assert round(hertz * pull_down, 6) == Fr(down)


@pytest.mark.parametrize(
    ("name", "bits"), [("24", "1920"), ("25", "2000"), ("30", "2400"), ("29.97", "2397.6024"), ("23.976", "1918.0819")]
)
def test_ltc_bit_rates(name: str, bits: str) -> None:
    """2400 bits a second at 30: libltc's source; else arithmetic, 80 times the rate to four places."""
    assert round(ltc_bit_rate(parse_rate(name)), 4) == Fr(bits)


def test_length_of_an_ltc_bit() -> None:
    """500 us at 25, 24 samples at 48 kHz, 25.025 at 23.976: arithmetic."""
    assert 1 / ltc_bit_rate(parse_rate("25")) == Fr("0.0005")
    assert 48_000 / ltc_bit_rate(parse_rate("25")) == 24
    assert 48_000 / ltc_bit_rate(parse_rate("23.976")) == Fr("25.025")


def test_drop_frame_residual() -> None:
    """A label day is 86.4 ms, 2.5894 frames, short: arithmetic.

    ST 2059-1 9.1.2 as tabulated in secondary texts: up to 3 frames a day.
    """
    drop = parse_label_rate("29.97 DF")
    gained = divergence(drop, parse_label_rate("30"), labels_per_day(drop) * drop.rate.frame)
    assert gained == Fr("0.0864")
    assert round(86_400 * drop.rate.fps - labels_per_day(drop), 4) == Fr("2.5894")
    assert 2 < gained * drop.rate.fps < 3
    assert 1 - 1 / label_speed(drop) == Fr(1, 1_000_000)


def test_label_to_frame_formula_of_st_2059_1() -> None:
    """ST 2059-1:2021 9.3.3.4 as tabulated in secondary texts: 1798 x MM + 2 x floor(MM / 10) + 107892 x HH.

    It counts the frames before the first label of a minute, so one at ;02 where ;00 is dropped: 1798 x 1 + 2 = 1800.
    """
    drop = parse_label_rate("29.97 DF")
    for hours in range(24):
        for minutes in range(60):
            frame = 1798 * minutes + 2 * (minutes // 10) + 107_892 * hours + (2 if minutes % 10 else 0)
            label = label_of(frame, drop)
            assert (label.hours, label.minutes, label.seconds) == (hours, minutes, 0)
            assert label.frames == (2 if minutes % 10 else 0)


def test_cinema_speed_changes() -> None:
    """24 to 25 is +4.16667 %, 23.976 to 25 +4.270833 %, 48,000 x 25/24 = 50,000 Hz: arithmetic."""
    assert round((speed_ratio(25, 24) - 1) * 100, 5) == Fr("4.16667")
    assert round((speed_ratio(25, parse_rate("23.976").fps) - 1) * 100, 6) == Fr("4.270833")
    assert 48_000 * speed_ratio(25, 24) == 50_000
    assert 48_000 * speed_ratio(24, 25) == 46_080
