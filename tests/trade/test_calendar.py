"""Clock times of days as instants, with midnights, zones and the nights on which clocks change."""

from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.calendar import ZoneError, clock_at, instant, zone_named
from synclint.trade.quantities import parse_clock_time as clock

# UTC, and an hour ahead in summer: the clocks go forward at 01:00 on 2026-03-29 and back at 02:00 on 2026-10-25.
LISBON = "Europe/Lisbon"
ZONES = (LISBON, "Atlantic/Azores", "America/La_Paz", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Apia")


def at(day: str, text: str, zone: str | None = LISBON) -> Fraction:
    return instant(date.fromisoformat(day), clock(text), zone)


def utc(text: str) -> Fraction:
    """A time written in UTC, as its own clock counts it."""
    return Fraction(int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()))


def test_an_instant_counts_seconds_from_1970() -> None:
    assert instant(date(1970, 1, 1), Fraction(0), None) == 0
    assert instant(date(1970, 1, 2), Fraction(1, 3), None) == 86_400 + Fraction(1, 3)
    # 20,618 days after 1970-01-01: 56 years of 365 days, 14 leap days, 151 days to June, 13 days of June.
    assert at("2026-06-14", "00:00", None) == 20_618 * 86_400


def test_summer_time_is_an_hour_ahead() -> None:
    assert at("2026-06-14", "07:00") == utc("2026-06-14T06:00")
    assert at("2026-01-14", "07:00") == utc("2026-01-14T07:00")
    assert at("2026-06-14", "07:00", "Atlantic/Azores") == utc("2026-06-14T07:00")


def test_past_midnight_is_the_next_day() -> None:
    assert at("2026-06-14", "01:20 +1") == at("2026-06-15", "01:20")
    assert at("2026-12-31", "01:20 +1") == at("2027-01-01", "01:20")
    assert at("2028-02-28", "01:20 +2") == at("2028-03-01", "01:20")  # a leap year


def test_the_night_on_which_the_clocks_go_back_has_an_hour_more() -> None:
    night = "2026-10-24"
    assert at(night, "20:00") == utc("2026-10-24T19:00")
    # 01:30 occurs twice; the first is meant, which is still in summer time.
    assert at(night, "01:30 +1") == utc("2026-10-25T00:30")
    assert at(night, "02:00 +1") == utc("2026-10-25T02:00")
    # From 00:30 to 02:30 by the clock are three hours, and the day of 24 hours by the clock has 25.
    assert at(night, "02:30 +1") - at(night, "00:30 +1") == 3 * 3600
    assert at("2026-10-25", "00:00 +1") - at("2026-10-25", "00:00") == 25 * 3600
    # A shoot from 22:00 to 23:00 the day after is 26 hours long.
    assert at(night, "23:00 +1") - at(night, "22:00") == 26 * 3600


def test_the_night_on_which_the_clocks_go_forward_has_an_hour_less() -> None:
    assert at("2026-03-29", "00:00 +1") - at("2026-03-29", "00:00") == 23 * 3600
    assert at("2026-03-29", "02:30") - at("2026-03-29", "00:30") == 3600
    # 01:30 does not occur: it is 30 minutes after 01:00, at which the clocks show 02:00.
    assert at("2026-03-29", "01:30") == at("2026-03-29", "02:30")


def test_a_zone_may_be_off_by_parts_of_an_hour() -> None:
    assert at("2026-06-14", "07:00", "Asia/Kathmandu") == utc("2026-06-14T01:15")  # 5 h 45 min ahead
    # Lord Howe goes half an hour back, on 2026-04-05 at 02:00.
    howe = "Australia/Lord_Howe"
    assert at("2026-04-05", "00:00 +1", howe) - at("2026-04-05", "00:00", howe) == 24 * 3600 + 1800


def test_an_unknown_zone_is_told() -> None:
    names = ("Europe/Lisbonne", "Lisbon", "Europe", "../../etc/passwd", "/etc/passwd", "a\0b", "", "\udc80", "x" * 9999)
    for name in names:
        with pytest.raises(ZoneError) as told:
            zone_named(name)
        assert str(told.value).endswith(" is no zone of the tz database")
        assert len(str(told.value)) < 140


def test_no_day_is_past_the_end_of_the_calendar_without_a_zone() -> None:
    last = date(9999, 12, 31)
    assert instant(last, Fraction(10 * 86_400), None) - instant(last, Fraction(0), None) == 10 * 86_400
    assert clock_at(instant(last, Fraction(10 * 86_400), None), last, None) == 10 * 86_400
    with pytest.raises(ZoneError):
        instant(last, Fraction(86_400), LISBON)
    with pytest.raises(ZoneError):
        clock_at(Fraction(10**12), last, LISBON)


@given(
    st.dates(date(1971, 1, 1), date(2037, 12, 31)),
    st.fractions(0, 3 * 86_400, max_denominator=1000),
    st.sampled_from(ZONES),
)
def test_a_clock_shows_what_it_was_asked_for_unless_it_skips_it(day: date, seconds: Fraction, zone: str) -> None:
    shown = clock_at(instant(day, seconds, zone), day, zone)
    # A time that the clocks skip is shown as they show it once they have gone forward: by an hour, or half of one, and
    # on the Pacific's edge by a day.
    assert shown - seconds in (0, 1800, 3600, 86_400)


@given(st.dates(), st.fractions(0, 9 * 86_400))
def test_without_a_zone_nothing_is_skipped(day: date, seconds: Fraction) -> None:
    assert clock_at(instant(day, seconds, None), day, None) == seconds


@given(st.dates(date(1971, 1, 1), date(2037, 12, 31)), st.sampled_from(ZONES), st.integers(0, 30 * 3600))
def test_later_by_the_clock_is_never_earlier_unless_the_clocks_went_back(day: date, zone: str, seconds: int) -> None:
    one, later = instant(day, Fraction(seconds), zone), instant(day, Fraction(seconds + 4 * 3600), zone)
    assert later > one  # no zone of these goes back by more than an hour
