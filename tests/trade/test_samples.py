"""Samples and LTC bits in a frame."""

from collections import Counter
from fractions import Fraction as Fr

import pytest

from synclint.trade.labels import LabelError, parse_label
from synclint.trade.rates import parse_label_rate, parse_rate
from synclint.trade.samples import cadence, ltc_bit_rate, samples_per_frame, samples_since_midnight

COLUMNS = ("23.976", "24", "25", "29.97", "30", "50", "59.94")
TABLE = {
    48_000: ("2002", "2000", "1920", "8008/5", "1600", "960", "4004/5"),
    96_000: ("4004", "4000", "3840", "16016/5", "3200", "1920", "8008/5"),
    44_100: ("147147/80", "3675/2", "1764", "147147/100", "1470", "882", "147147/200"),
}
CELLS = [(hertz, name, Fr(cell)) for hertz, row in TABLE.items() for name, cell in zip(COLUMNS, row, strict=True)]


@pytest.mark.parametrize(("hertz", "name", "samples"), CELLS)
def test_samples_in_a_frame(hertz: int, name: str, samples: Fr) -> None:
    """AES5-2018 Annex A for 24, 25 and 30 at 48 kHz and ST 2059-1 8.2 for 8008 in five, tabulated in secondary texts.

    The other cells are arithmetic: 48000 x 1001 / 24000 = 2002, 44100 x 1001 / 30000 = 147147/100 and so on.
    """
    assert samples_per_frame(hertz, parse_rate(name)) == samples


@pytest.mark.parametrize(
    ("hertz", "name", "steps"),
    [
        (48_000, "25", (1920,)),
        (48_000, "23.976", (2002,)),
        (48_000, "29.97", (1601, 1602, 1601, 1602, 1602)),
        (48_000, "59.94", (800, 801, 801, 801, 801)),
        (96_000, "29.97", (3203, 3203, 3203, 3203, 3204)),
        (44_100, "24", (1837, 1838)),
    ],
)
def test_cadences(hertz: int, name: str, steps: tuple[int, ...]) -> None:
    """On the floor grid from the epoch: a secondary text; arithmetic (1601.6 k: 0, 1601, 3203, 4804, 6406, 8008)."""
    assert cadence(hertz, parse_rate(name)) == steps


def test_the_embedding_cadence_is_the_same_round() -> None:
    """SDI embedding (ST 272, ST 299) has 1602, 1601, 1602, 1601, 1602: as tabulated in secondary texts, not read."""
    assert Counter(cadence(48_000, parse_rate("29.97"))) == Counter((1602, 1601, 1602, 1601, 1602))


@pytest.mark.parametrize(
    ("hertz", "name", "period"),
    [
        (44_100, "24", 2),
        (44_100, "29.97", 100),
        (44_100, "23.976", 80),
        (44_100, "59.94", 200),
        (88_200, "29.97", 50),
        (88_200, "23.976", 40),
    ],
)
def test_periods(hertz: int, name: str, period: int) -> None:
    """Frames until samples meet frames again: arithmetic, the reduced denominator of samples a frame."""
    steps = cadence(hertz, parse_rate(name))
    assert len(steps) == period
    assert sum(steps) == period * samples_per_frame(hertz, parse_rate(name))


def test_a_cadence_that_does_not_come_round_is_refused() -> None:
    with pytest.raises(ValueError, match="meet after"):
        cadence(Fr(48_000_000_001, 1_000_000), parse_rate("23.976"))


@pytest.mark.parametrize(
    ("name", "bits"),
    [
        ("24", "1920"),
        ("25", "2000"),
        ("30", "2400"),
        ("29.97", "2400000/1001"),
        ("23.976", "1920000/1001"),
        ("50", "2000"),
        ("59.94", "2400000/1001"),
    ],
)
def test_ltc_bit_rate(name: str, bits: str) -> None:
    """80 bits a frame, 2400 a second at 30: libltc; pairs above 30: ST 12-1, cited in libavutil; else arithmetic."""
    assert ltc_bit_rate(parse_rate(name)) == Fr(bits)


@pytest.mark.parametrize(
    ("label", "rate", "hertz", "samples"),
    [
        ("10:00:00:00", "25", 48_000, 1_728_000_000),
        ("20:00:00:00", "25", 96_000, 6_912_000_000),
        ("10:00:00:00", "29.97 NDF", 48_000, 1_729_728_000),
        ("10:00:00:00", "23.976 NDF", 48_000, 1_729_728_000),
        ("10:00:00;00", "29.97 DF", 48_000, 1_727_998_272),
        ("00:00:00:01", "29.97 NDF", 48_000, 1601),
    ],
)
def test_samples_since_midnight(label: str, rate: str, hertz: int, samples: int) -> None:
    """First sample count since midnight: EBU Tech 3285, quoted; the numbers are arithmetic.

    By hand: 36,000 s x 48,000 = 1,728,000,000, times 1.001 for NDF; 1,078,920 x 1601.6 = 1,727,998,272 for DF.
    """
    assert samples_since_midnight(parse_label(label), parse_label_rate(rate), hertz) == samples


def test_no_samples_at_a_label_that_does_not_exist() -> None:
    with pytest.raises(LabelError):
        samples_since_midnight(parse_label("00:01:00;00"), parse_label_rate("29.97 DF"), 48_000)
