"""What cannot have happened as the day tells it."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.contradictions import done_before_the_call, events_contradict
from tests.rules.a_day import ALL_DAY, FED, JAM, a_day, bag, cam, lead, off, roll
from tests.rules.running import came_of

RIG = bag() + cam() + cam("cam_b")
LEADS = FED + lead("bag.tc_out", "cam_b.tc_in")


def day(*events: str, **more: str) -> str:
    return a_day(*events, devices=RIG, links=LEADS, **more)


def test_a_day_that_can_be_is_left_alone() -> None:
    text = day(
        JAM, off("09:00", "09:05", "cam_a"), roll("09:05", "09:30", "cam_a", "bag"), roll("09:30", "10:00", "bag")
    )
    assert came_of(events_contradict, text).silent


def test_a_take_of_devices_that_are_off_is_one_finding_for_all_of_them() -> None:
    came = came_of(
        events_contradict, day(off("11:20", "12:10", "cam_a", "cam_b"), roll("11:30", "12:05", "cam_a", "cam_b"))
    )
    # 11:30 to 12:05 is 35 min.
    assert came.amounts == {"without a file": 35}
    assert came.one.sentence == "cam_a and cam_b roll while they are switched off"
    assert came.one.fix_sentence == "Put the roll after 12:10, or take cam_a and cam_b out of the roll at 11:30"


def test_a_power_off_without_an_end_is_what_to_mend() -> None:
    came = came_of(events_contradict, day(off("11:20", "", "cam_a"), roll("11:30", "12:05", "cam_a")))
    assert came.one.fix_sentence.startswith("Write at the power off of 11:20 until when it lasts (until:)")


def test_a_take_of_a_device_that_has_not_come_yet() -> None:
    text = day(roll("09:00", "09:20", "cam_b", "bag"), "{at: 10:00, do: arrive, of: [cam_b]}")
    assert came_of(events_contradict, text).amounts == {"without a file": 20}


def test_all_means_all_that_are_there() -> None:
    text = day("{at: 09:00, do: roll, of: all, until: 09:20}", "{at: 10:00, do: arrive, of: [cam_b]}", JAM)
    assert came_of(events_contradict, text).silent


def test_a_jam_from_a_recorder_that_is_off_leaves_the_time_as_it_was_to_the_wrap() -> None:
    came = came_of(
        events_contradict, day(off("12:00", "13:00", "bag"), "{at: 12:30, do: jam, of: [cam_a, cam_b], from: bag}")
    )
    # 12:30 to 19:00 is 390 min.
    assert came.amounts == {"on a time not set": 390}
    assert came.one.sentence == "cam_a and cam_b are jammed from bag, which is switched off"


def test_a_take_that_ends_before_it_begins_may_lack_its_plus_one() -> None:
    came = came_of(events_contradict, day(roll("23:30", "00:10", "bag"), day="call: 18:00, wrap: 03:00 +1"))
    assert came.amounts == {"end before the beginning": 1400}  # 23:30 back to 00:10
    (edit,) = came.one.fix.edits if came.one.fix else ()
    assert isinstance(edit, SetValue)
    assert edit.value == "00:10 +1"


def test_one_that_ends_minutes_before_it_begins_does_not() -> None:
    came = came_of(events_contradict, day(roll("11:30", "11:20", "bag")))
    assert came.amounts == {"end before the beginning": 10}
    assert came.one.fix_sentence == "Write when it ends, or when it begins"


def test_a_time_after_midnight_stands_before_the_call() -> None:
    came = came_of(events_contradict, day(roll("01:20", "01:40", "bag"), day="call: 18:00, wrap: 03:00 +1"))
    assert came.one.level is Level.ERROR
    assert came.one.fix_sentence == "Write 01:20 +1 if it is after midnight"


@pytest.mark.parametrize("at", ["06:10", "04:30"])
def test_a_crew_may_set_up_two_hours_before_its_call(at: str) -> None:
    text = day(f"{{at: {at}, do: jam, of: all}}")
    assert came_of(events_contradict, text).silent
    assert came_of(done_before_the_call, text).one.level is Level.NOTE


def test_what_is_done_before_the_call_is_told_once() -> None:
    """From 06:00 to the call at 06:30 are 30 min."""
    text = day("{at: 06:00, do: set clock, of: [bag], from: wall clock}", "{at: 06:10, do: jam, of: all}")
    came = came_of(done_before_the_call, text)
    assert came.one.sentence == "the work begins at 06:00, before the day's call at 06:30"
    assert came.amounts == {"before the call": 30}


def test_nobody_sets_up_more_than_two_hours_before() -> None:
    text = day("{at: 04:20, do: jam, of: all}")
    assert came_of(events_contradict, text).one.level is Level.ERROR
    assert came_of(done_before_the_call, text).silent


NIGHT = "zone: Europe/Paris, call: 18:00, wrap: 06:00 +1, date: "


@pytest.mark.parametrize(("date", "level", "word"), [("2027-03-27", "error", "skip"), ("2026-10-24", "note", "twice")])
def test_a_time_that_the_clocks_skip_or_show_twice(date: str, level: str, word: str) -> None:
    """Europe/Paris: forward at 2027-03-28T01:00Z, back at 2026-10-25T01:00Z (tz database); 02:30 lies in both hours."""
    text = day(roll("02:30 +1", "04:30 +1", "bag"), day=NIGHT + date).replace("date: 2026-06-14, ", "")
    came = came_of(events_contradict, text)
    assert came.one.level.value == level
    assert word in came.one.sentence
    assert came.amounts == {"may be off": 60}
    assert came_of(events_contradict, text.replace("Europe/Paris", "UTC")).silent


def test_a_take_past_the_wrap_is_a_note() -> None:
    came = came_of(events_contradict, day(roll("18:50", "19:25", "bag")))
    assert (came.one.level, came.amounts) == (Level.NOTE, {"after the wrap": 25})


def test_who_leaves_after_the_wrap_and_comes_back_is_told_of_once() -> None:
    leaves = "{at: 19:30, do: leave, of: [cam_a], until: 20:00}"
    came = came_of(events_contradict, day(leaves))
    assert came.one.sentence == "the leave of 19:30 comes after the wrap at 19:00"
    assert came.amounts == {"after the wrap": 30}
    assert came_of(events_contradict, day(leaves.replace("19:30", "18:30"))).silent  # it is back in its own time


def test_two_takes_of_one_device_at_once() -> None:
    came = came_of(events_contradict, day(roll("09:00", "09:30", "bag", "cam_a"), roll("09:25", "10:00", "cam_a")))
    assert came.amounts == {"two takes at once": 5}
    assert came.one.who == ("cam_a",)


def test_a_battery_that_ends_in_a_take() -> None:
    came = came_of(events_contradict, day(roll("09:00", "09:30", "bag", "cam_a"), off("09:10", "09:40", "cam_a")))
    assert came.amounts == {"without a file": 20}


SET = "{{at: 09:00, do: set, of: [cam_a], to: {{timecode: {{mode: {}}}}}}}"


def test_one_moment_with_two_settings() -> None:
    came = came_of(
        events_contradict, day(SET.format("free run"), SET.format("continuous"), JAM, "{at: 12:00, do: jam, of: all}")
    )
    # From 09:00 to the jam at 12:00.
    assert came.amounts == {"unknown": 180}
    assert came.one.sentence == "cam_a is set twice at 09:00, to free run and to continuous"


def test_one_moment_with_the_same_setting_twice() -> None:
    assert came_of(events_contradict, day(SET.format("free run"), SET.format("free run"))).silent


def test_two_clocks_set_at_one_moment_are_two_devices() -> None:
    text = day(
        "{at: 07:00, do: set clock, of: [bag], from: wall clock}", "{at: 07:00, do: set clock, of: [cam_a], from: bag}"
    )
    assert came_of(events_contradict, text).silent


def test_a_device_that_listens_to_nothing_cannot_be_jammed() -> None:
    text = a_day(
        "{at: 07:00, do: jam, of: [bag]}",
        devices=bag() + cam(mode="continuous"),
        links=lead("bag.tc_out", "cam_a.tc_in", ALL_DAY),
    )
    assert came_of(events_contradict, text).one.sentence == "bag is jammed and listens to nothing"
