"""Quantities with their units."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction as Fr

import pytest

from synclint.trade import quantities as q
from synclint.trade.quantities import Level, LevelUnit, Offset, Power, QuantityError, Radiated
from synclint.trade.rates import parse_rate

K, M = 1000, 1_000_000


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (q.parse_frequency, "48 kHz", Fr(48 * K)),
        (q.parse_frequency, "48.048 kHz", Fr(48_048)),
        (q.parse_frequency, "47952 Hz", Fr(47_952)),
        (q.parse_frequency, "44.1khz", Fr(44_100)),
        (q.parse_frequency, "868.3 MHz", Fr(868_300 * K)),
        (q.parse_frequency, "2.4 GHz", Fr(2400 * M)),
        (q.parse_duration, "45 min", Fr(2700)),
        (q.parse_duration, "24 h", Fr(86_400)),
        (q.parse_duration, "3 ms", Fr(3, K)),
        (q.parse_duration, "0.1 ms", Fr(1, 10 * K)),
        (q.parse_duration, "1 h 30 min", Fr(5400)),
        (q.parse_duration, "1 h 30 min 5 s 250 ms", Fr("5405.25")),
        (q.parse_duration, "0 s", Fr(0)),
        (q.parse_ppm, "0.2 ppm", Fr(1, 5)),
        (q.parse_ppm, "+0.31 ppm", Fr(31, 100)),
        (q.parse_ppm, "-3 ppm", Fr(-3)),
        (q.parse_length, "0.6 m", Fr(3, 5)),
        (q.parse_length, "60 cm", Fr(3, 5)),
        (q.parse_length, "1 km", Fr(K)),
        (q.parse_decibels, "30 dB", Fr(30)),
        (q.parse_decibels, "-3.5 dB", Fr(-7, 2)),
        (q.parse_resistance, "75 ohm", Fr(75)),
        (q.parse_resistance, "1 kohm", Fr(K)),
        (q.parse_voltage_range, "0.3..5 Vpp", (Fr(3, 10), Fr(5))),
        (q.parse_voltage_range, "1..300 mVpp", (Fr(1, K), Fr(3, 10))),
        (q.parse_voltage_range, "30 mVpp .. 5 Vpp", (Fr(3, 100), Fr(5))),
        (q.parse_temperature_range, "8..31 C", (Fr(8), Fr(31))),
        (q.parse_temperature_range, "-5..40 °C", (Fr(-5), Fr(40))),
        (q.parse_temperature_range, "21 C", (Fr(21), Fr(21))),
        (q.parse_frequency_range, "865..868 MHz", (Fr(865 * M), Fr(868 * M))),
        (q.parse_frequency_range, "868.3 MHz", (Fr(868_300 * K), Fr(868_300 * K))),
        (q.parse_offset, "+2 frames", Offset(frames=Fr(2))),
        (q.parse_offset, "-1.5 frames", Offset(frames=Fr(-3, 2))),
        (q.parse_offset, "1/2 frame", Offset(frames=Fr(1, 2))),
        (q.parse_offset, "-1/2 frame", Offset(frames=Fr(-1, 2))),
        (q.parse_offset, "0 frames", Offset(frames=Fr(0))),
        (q.parse_offset, "3 ms", Offset(seconds=Fr(3, K))),
        (q.parse_offset, "-0.5 s", Offset(seconds=Fr(-1, 2))),
        (q.parse_voltage, "1 Vpp open", Level(Fr(1), LevelUnit.VPP, None, is_open=True)),
        (q.parse_voltage, "600 mVpp into 75 ohm", Level(Fr(3, 5), LevelUnit.VPP, Fr(75))),
        (q.parse_voltage, "30 mVpp open", Level(Fr(3, 100), LevelUnit.VPP, None, is_open=True)),
        (q.parse_voltage, "1 Vpp into 1 kohm", Level(Fr(1), LevelUnit.VPP, Fr(K))),
        (q.parse_voltage, "1 Vpp", Level(Fr(1), LevelUnit.VPP)),
        (q.parse_voltage, "-10 dBV", Level(Fr(-10), LevelUnit.DBV)),
        (q.parse_voltage, "+4 dBu", Level(Fr(4), LevelUnit.DBU)),
        (q.parse_power, "14 dBm EIRP", Power(Fr(14), Radiated.EIRP)),
        (q.parse_power, "-3 dBm erp", Power(Fr(-3), Radiated.ERP)),
        (q.parse_power, "10 dBm", Power(Fr(10))),
        (q.parse_clock_time, "07:00", Fr(25_200)),
        (q.parse_clock_time, "12:47:14", Fr(46_034)),
        (q.parse_clock_time, "01:20 +1", Fr(91_200)),
        (q.parse_date, "2026-06-14", date(2026, 6, 14)),
    ],
)
def test_reads(read: Callable[[str], object], text: str, value: object) -> None:
    """Units of the SI and of the trade; every value by hand, such as 12 x 3600 + 47 x 60 + 14 = 46,034."""
    assert read(text) == value


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (q.parse_duration, "45", "45 has no unit: write a time such as 45 min"),
        (q.parse_frequency, "48000", "48000 has no unit: write a frequency such as 48 kHz"),
        (q.parse_frequency, "47,952 Hz", "47,952 Hz has a comma, which is neither a point nor parts thousands here: "),
        (q.parse_duration, "45 m", "45 m is not a time, m is none of its units: write a time such as 45 min"),
        (q.parse_duration, "0.5 ppm", "0.5 ppm is not a time, ppm is none of its units: write a time such as 45 min"),
        (q.parse_duration, "30 min 1 h", "30 min 1 h has its units out of order"),
        (q.parse_duration, "1 h 1 h", "1 h 1 h has its units out of order"),
        (q.parse_duration, "-3 s", "-3 s has a sign where none belongs"),
        (q.parse_frequency, "-4 Hz", "-4 Hz has a sign where none belongs"),
        (q.parse_length, "+4 m", "+4 m has a sign where none belongs"),
        (q.parse_voltage_range, "-1..5 Vpp", "-1..5 Vpp cannot be read"),
        (q.parse_duration, "", "an empty text is no time"),
        (q.parse_offset, "2", "2 has no unit: write an offset such as +2 frames"),
        (q.parse_offset, "1/0 frame", "1/0 frame divides by zero"),
        (
            q.parse_voltage,
            "1 V open",
            "1 V open is not a level, V is none of its units: write a level such as 1 Vpp open",
        ),
        (q.parse_voltage, "-1 Vpp open", "-1 Vpp open is below zero"),
        (q.parse_voltage_range, "5..1 Vpp", "5..1 Vpp runs backwards"),
        (q.parse_voltage_range, "0.3..5", "0.3..5 has no unit"),
        (q.parse_clock_time, "7:00", "7:00 is not a clock time: write a clock time such as 07:00"),
        (q.parse_date, "2026-02-30", "2026-02-30 is not in the calendar: write a date such as 2026-06-14"),
        (q.parse_length, "3 ft", "ft is none of its units: write a length such as 0.6 m"),
    ],
)
def test_says_what_is_wrong_and_shows_the_form(read: Callable[[str], object], text: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text)
    assert message in str(caught.value)


def test_an_error_carries_text_kind_and_example() -> None:
    with pytest.raises(QuantityError) as caught:
        q.parse_duration("45")
    assert (caught.value.text, caught.value.kind, caught.value.example) == ("45", "time", "45 min")


READERS: list[Callable[[str], object]] = [
    *(q.parse_frequency, q.parse_duration, q.parse_ppm, q.parse_length, q.parse_decibels, q.parse_resistance),
    *(q.parse_voltage_range, q.parse_temperature_range, q.parse_frequency_range, q.parse_offset, q.parse_voltage),
    *(q.parse_power, q.parse_clock_time, q.parse_date),
]
HOSTILE = [
    *(
        "",
        " ",
        "nan",
        "inf",
        "-inf",
        "nan s",
        "inf Hz",
        "1e3 Hz",
        "1e9999 s",
        "0x10 s",
        "1_000 s",
        "٣ s",
        "3 s\n",
        "\x00",
        "3\ts",
    ),
    *(
        "1..2..3 Vpp",
        "..",
        "..5 C",
        "1.. C",
        "1. s",
        ".5 s",
        "--1 ppm",
        "+-1 dB",
        "1/0",
        "9" * 61,
        "1 " * 50_000,
        "9" * 1_000_000,
    ),
    *("24:00", "23:60", "07:00 +0", "07:00 -1", "07:00 +10", "0000-01-01", "2026-13-01", "2026-6-14", "\u202e45 min"),
]


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_texts_are_refused_shortly(read: Callable[[str], object], text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text)
    assert len(caught.value.text) <= 60
    assert len(str(caught.value)) < 500
    assert str(caught.value).isprintable()


def test_an_offset_in_frames_and_seconds() -> None:
    """A frame at 23.976 lasts 1001/24000 s = 41.708 ms, half of it 20.854 ms: arithmetic."""
    rate = parse_rate("23.976")
    assert q.parse_offset("1/2 frame").in_seconds(rate) == Fr(1001, 48_000)
    assert q.parse_offset("1/2 frame").in_frames(rate) == Fr(1, 2)
    assert q.parse_offset("40 ms").in_frames(parse_rate("25")) == 1
    assert q.parse_offset("40 ms").in_seconds(rate) == Fr(1, 25)


@pytest.mark.parametrize("offset", [{}, {"frames": Fr(1), "seconds": Fr(1)}])
def test_an_offset_is_said_once(offset: dict[str, Fr]) -> None:
    with pytest.raises(ValueError, match="in frames or in seconds"):
        Offset(**offset)
