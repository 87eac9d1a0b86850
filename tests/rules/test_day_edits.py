"""What is written into the days: at which minute, on which day, and when nothing is."""

from fractions import Fraction

import pytest

from synclint.documents.reading import load_text
from synclint.findings import AddItem, AddKey, Edit, SetValue
from synclint.rig.build import build
from synclint.rules.day_edits import clip_compared, jam_added, moved_to, said_under
from synclint.rules.framework import Case
from tests.day.logged import logged, rigged

HEAD = """\
synclint: setup/1
title: rig
project: {rate: 25, sample_rate: 48 kHz, timecode: {as: time of day}, tolerance: 1 frame, master: {timecode: bag}}
devices:
  bag: {timecode: {from: own clock, mode: free run, rate: 25}, clock: {accuracy: 0.5 ppm}}
  cam: {timecode: {from: tc_in, mode: jam, rate: 25}, clock: {accuracy: 0.5 ppm}}
links:
  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: to jam}
days:
"""
DAY = """\
  - date: 2026-06-14
    call: 07:00
    wrap: 01:30 +1
    events:
      - {at: 07:10, do: jam, of: all}
      - {at: 08:00, do: roll, of: [bag, cam], until: 08:10, scene: 1}
"""
"""Instants are counted from 1970-01-01, in UTC where nobody says a zone; 2026-06-14 is 20,618 days later."""
MIDNIGHT = Fraction(20_618 * 86_400)


def case(days: str = DAY) -> Case:
    document = load_text(HEAD + days, "rig.setup.yaml").document
    assert document is not None
    return Case(build(document, ()).setup)


def clock(hours: int, minutes: int, seconds: int = 0) -> Fraction:
    return MIDNIGHT + hours * 3600 + minutes * 60 + seconds


def added(edits: tuple[Edit, ...]) -> tuple[str, str, str]:
    (edit,) = edits
    assert isinstance(edit, AddItem)
    return str(edit.place), edit.key, edit.value


@pytest.mark.parametrize(
    ("after", "before", "at"),
    [
        (clock(12, 14), None, "12:14"),
        (clock(12, 14, 1), None, "12:15"),  # the next full minute
        (clock(12, 14, 1), clock(12, 14, 30), "12:14:01"),  # or the second, where the minute would come too late
        (clock(25, 10), None, "01:10 +1"),  # past midnight it is still the same day's
    ],
)
def test_a_jam_is_written_at_the_first_full_minute(after: Fraction, before: Fraction | None, at: str) -> None:
    wanted = ("days/0", "events", f"{{at: {at}, do: jam, of: [cam], from: bag}}")
    assert added(jam_added(case(), ["cam"], "bag", after, before)) == wanted


def test_a_comparison_is_written_like_a_jam() -> None:
    said = "{at: 12:14, do: compare, of: [cam], against: bag, read_by: recorded clip}"
    assert added(clip_compared(case(), ["cam"], "bag", clock(12, 14))) == ("days/0", "events", said)


def test_it_is_written_on_the_day_that_it_is_on() -> None:
    two = DAY + DAY.replace("2026-06-14", "2026-06-15")
    assert added(jam_added(case(two), ["cam"], "bag", clock(24 + 9, 0)))[0] == "days/1"


def test_no_jam_is_added_to_days_that_tell_of_none() -> None:
    # Else the jam at the call, which is taken for granted, would be none any more.
    silent = DAY.replace("      - {at: 07:10, do: jam, of: all}\n", "")
    assert jam_added(case(silent), ["cam"], "bag", clock(12, 14)) == ()


def test_no_jam_is_added_where_the_log_leaves_some_to_what_is_taken_for_granted() -> None:
    days, more = rigged(""), "{at: 07:05, do: jam, of: [box_b], from: bag}\n"
    some, every = (logged(f"{{at: 07:04, do: jam, of: [box_a], from: bag}}\n{each}", days) for each in ("", more))
    at = some.instant("12:14")
    assert jam_added(some.case, ["box_a"], "bag", at) == ()
    assert added(jam_added(every.case, ["box_a"], "bag", at))[2] == "{at: 12:14, do: jam, of: [box_a], from: bag}"


@pytest.mark.parametrize(("at", "edited"), [("12:14", False), ("12:15", True)])
def test_no_jam_is_added_at_the_minute_at_which_the_device_jams_others(at: str, edited: bool) -> None:
    days = DAY.replace("of: all}\n", f"of: all}}\n      - {{at: {at}, do: jam, of: [bag], from: cam}}\n")
    assert bool(jam_added(case(days), ["cam"], "bag", clock(12, 14))) is edited


def test_no_jam_is_added_from_outside_the_rig() -> None:
    assert jam_added(case(), ["cam"], "outside", clock(12, 14)) == ()


def test_an_event_is_moved() -> None:
    setup = case().setup
    (edit,) = moved_to(case(), setup.days[0].events[0], clock(7, 20))
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("days/0/events/0/at", "07:20")


def test_a_key_of_an_event_is_set_or_added() -> None:
    jam, roll = case().setup.days[0].events
    (setting,) = said_under(roll, "scene", "2")
    assert isinstance(setting, SetValue)
    assert str(setting.place) == "days/0/events/1/scene"
    (adding,) = said_under(jam, "from", "bag")
    assert isinstance(adding, AddKey)
    assert (str(adding.place), adding.key, adding.value) == ("days/0/events/0", "from", "bag")
