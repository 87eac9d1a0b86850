"""The days as written: time zones that do not exist, and dates that cannot all be right."""

import pytest

from synclint.documents.records import WRONG_VALUE
from synclint.findings import SetValue
from synclint.rig.build import build
from synclint.trade.calendar import zone_names
from tests.rig.building import built, document, only, sound, told_at_mark

DEVICES = "devices: {cam: {}}\n"
MOVE = "events: [{at: 14:00, do: move, to: the harbour, zone: ZONE}]"


def days(*each: str) -> str:
    return f"{DEVICES}days: [{', '.join(f'{{{day}}}' for day in each)}]\n"


# --- zones -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("day", ["zone: «Europe/Lisbonn»", MOVE.replace("ZONE", "«europe/lisbn»")])
def test_a_zone_that_does_not_exist_is_told_with_the_nearest(day: str) -> None:
    finding = told_at_mark(days(day))
    assert finding.rule == WRONG_VALUE.name
    assert finding.sentence.endswith("is no zone of the tz database (did you mean Europe/Lisbon?)")
    assert finding.fix is not None
    assert finding.fix.edits == (SetValue(finding.at, "Europe/Lisbon"),)
    assert built(days(day.replace("«", "").replace("»", ""))).names_resolve  # the rules go on


def test_the_zone_of_the_shoot_is_read_like_that_of_a_day() -> None:
    text = "synclint: setup/1\ntitle: Rig\nproject: {rate: 25, timecode: {as: time of day, zone: Europe/Lisbonn}}\n"
    (problem,) = build(document(text + DEVICES), ()).problems
    assert str(problem.at) == "project/timecode/zone"
    assert "did you mean Europe/Lisbon?" in problem.sentence


def test_where_no_zone_is_near_one_is_given_as_an_example() -> None:
    finding = only(days("zone: Middle of the Sea"))
    assert finding.sentence == "Middle of the Sea is no zone of the tz database"
    assert finding.fix_sentence == "Write one such as Europe/Lisbon"
    assert not (finding.fix and finding.fix.edits)


def test_nobody_looks_through_all_zones_unless_one_is_wrong() -> None:
    zone_names.cache_clear()
    sound(days("zone: Europe/Lisbon", "zone: UTC", MOVE.replace("ZONE", "Atlantic/Azores"), "call: 06:00"))
    assert zone_names.cache_info().misses == 0


# --- dates -----------------------------------------------------------------------------------------------------


def test_two_days_of_one_date() -> None:
    finding = told_at_mark(days("date: 2026-06-14", "date: 2026-06-15", "date: «2026-06-14», zone: Atlantic/Azores"))
    assert finding.rule == WRONG_VALUE.name
    assert finding.sentence == "day 3 has the date of day 1, 2026-06-14"


def test_a_day_without_a_date_has_that_of_the_morrow() -> None:
    # The day after 30 June is 1 July, and no other can be.
    finding = told_at_mark(days("date: 2026-06-30", "call: 06:00", "date: «2026-07-01»"))
    assert finding.sentence == "day 3 has the date of day 2, 2026-07-01"
    sound(days("date: 2026-06-30", "call: 06:00", "date: 2026-07-02", "call: 06:00"))
    sound(days("call: 06:00", "call: 06:00", "date: 2026-07-02"))
    sound(days("date: 9999-12-31", "call: 06:00"))


def test_days_stand_in_the_order_of_their_dates() -> None:
    finding = told_at_mark(days("date: 2026-06-15", "date: «2026-06-14»"))
    assert finding.sentence == "day 2, 2026-06-14, stands below a later day, 2026-06-15"
    sound(days("date: 2026-06-14", "date: 2026-06-15", "date: 2027-01-01"))


def test_a_date_that_cannot_be_read_is_told_by_itself() -> None:
    assert str(only(days("date: 2026-06-14", "date: 2026-06-31", "date: 2026-06-15")).at) == "days/1/date"
