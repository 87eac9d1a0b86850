"""Values that standards and textbooks state of reference signals and of clocks of sound, each against what we hold."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.levels import decibels, terminated
from synclint.trade.rates import parse_rate
from synclint.trade.references import METRE_OF_CABLE, TRI_LEVEL_MV, Sync, parse_reference, places_on
from synclint.trade.samples import samples_per_frame
from synclint.trade.sound_clocks import GRADE_1, GRADE_2, seconds_to_a_slip


def test_tri_level_is_600_mv_into_one_load() -> None:
    """SMPTE 240, −300 mV then +300 mV, as described in an engineering article, the standard itself not read."""
    assert TRI_LEVEL_MV == 300 + 300


def test_levels_by_the_number_of_terminations() -> None:
    """Arithmetic on a 75 ohm source: 600 mV into one, 1200 into none, 400 into two, 300 into three."""
    stands = [terminated(Fr(TRI_LEVEL_MV, 1000), count) * 1000 for count in (1, 0, 2, 3)]
    assert stands == [600, 1200, 400, 300]
    told = [decibels(terminated(1, count)) for count in (1, 0, 2, 3)]
    assert told == pytest.approx([0, 6.02, -3.52, -6.02], abs=0.005)


def test_one_signal_cannot_feed_both_rasters() -> None:
    """An industry glossary, read: a single signal cannot be fed to equipment working in 1080/59.94i and 720/59.94p."""
    assert not parse_reference("1080/59.94i").is_like(parse_reference("720/59.94p"))


@pytest.mark.parametrize(
    ("name", "sync"),
    [
        ("525/59.94", Sync.BI_LEVEL),
        ("625/50", Sync.BI_LEVEL),
        ("720/59.94p", Sync.TRI_LEVEL),
        ("1080/50i", Sync.TRI_LEVEL),
    ],
)
def test_pulses_by_standard(name: str, sync: Sync) -> None:
    """ST 170 and BT.1700 bi-level, ST 274 and ST 296 tri-level: from memory."""
    assert parse_reference(name).sync is sync


def test_families_that_lock() -> None:
    """{25, 50}, {24}, {30, 60}, {29.97, 59.94}, {23.976}: from memory, and arithmetic."""
    families = [{"25", "50"}, {"24", "48"}, {"30", "60"}, {"29.97", "59.94"}, {"23.976", "47.952"}]
    found = [{parse_rate(name).family for name in names} for names in families]
    assert [len(each) for each in found] == [1] * 5
    assert len(set.union(*found)) == 5


def test_five_places_of_23_976_on_a_59_94_reference() -> None:
    """The ten-field sequence of ST 318, mentioned in ST 2059-1 8.2 as tabulated in secondary texts, not read.

    Arithmetic: 4 frames of 23.976 = 5 frames of 29.97 = 10 fields = 1001/6000 s; five places 8.34 ms apart, so that two
    cameras are up to 16.7 ms apart; and 8008 samples of 48 kHz come out whole only over those five frames.
    """
    film, reference = parse_rate("23.976"), parse_reference("525/59.94")
    assert 4 * film.frame == 5 * reference.frame_rate.frame == 10 * reference.rate.frame == Fr(1001, 6000)
    places = places_on(film, reference)
    assert places.count == 5
    assert round(places.spacing * 1000, 2) == Fr("8.34")
    assert round(places.farthest * 1000, 1) == Fr("16.7")
    per_frame = samples_per_frame(48_000, reference.frame_rate)
    assert [count for count in range(1, 6) if (count * per_frame).denominator == 1] == [5]
    assert 5 * per_frame == 8008


def test_grades_of_aes11() -> None:
    """AES11-2009 5.2.1.1 and 5.2.1.2, ±1 and ±10 ppm; 5.2.2.1 and 5.2.2.2, captured over ±2 and ±50 ppm.

    As tabulated in secondary texts, two for the accuracies, not read. At 48 kHz ±0.048 and ±0.48 Hz, 172.8 and 1728
    samples an hour, and ±2.4 Hz of capture: arithmetic.
    """
    assert (GRADE_1.accuracy, GRADE_2.accuracy) == (Fr(1), Fr(10))
    assert (GRADE_1.capture, GRADE_2.capture) == (Fr(2), Fr(50))
    hertz = [48_000 * ppm / 10**6 for ppm in (GRADE_1.accuracy, GRADE_2.accuracy, GRADE_2.capture)]
    assert hertz == [Fr("0.048"), Fr("0.48"), Fr("2.4")]
    assert [each * 3600 for each in hertz[:2]] == [Fr("172.8"), 1728]


def test_a_pull_is_beyond_any_capture() -> None:
    """1001/1000 is 1000 ppm: arithmetic."""
    assert (Fr(1001, 1000) - 1) * 10**6 > GRADE_2.capture


def test_slips_of_two_clocks() -> None:
    """Digital Interface Handbook, 3rd edition, 6.1, read: ±10 ppm between professional devices.

    They click at the difference. 10 ppm of 48 kHz is 0.48 samples a second, one in 2.08 s: arithmetic.
    """
    every = seconds_to_a_slip(Fr(10), Fr(48_000))
    assert every is not None
    assert 1 / every == Fr("0.48")
    assert round(every, 2) == Fr("2.08")


def test_delay_of_cable() -> None:
    """5.054 ns a metre at a velocity factor of 0.66: arithmetic on a factor from memory. Ours is rounded to 5 ns."""
    exact = 1 / (Fr(66, 100) * 299_792_458)
    assert round(exact * 10**9, 3) == Fr("5.054")
    assert abs(METRE_OF_CABLE / exact - 1) < Fr(2, 100)


def test_a_kilometre_of_fibre_there_and_back() -> None:
    """About 10 µs: 1,484 pixel clocks at 1080/59.94p, 742 at 1080/59.94i; pixel clocks of ST 274 from memory."""
    late = 2000 * METRE_OF_CABLE
    assert late == Fr(1, 10**5)
    clocks = [parse_reference(f"1080/59.94{scan}").pixel_clock or 0 for scan in ("p", "i")]
    assert [round(late * clock) for clock in clocks] == [1484, 742]
