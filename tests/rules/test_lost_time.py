"""Time that is lost with the power."""

import pytest

from synclint.findings import AddItem, Level
from synclint.rules.lost_time import off_longer_than_it_keeps_time, time_lost_with_power
from tests.rules.a_day import ALL_DAY, FED, JAM, a_day, bag, box, cam, lead, off, roll, slate
from tests.rules.running import Came, came_of

KEEPS = "keeps_time_off: 2 h, at_power_up: own calendar clock"
LOSES = "loses_time_on: [power off]"
LUNCH = off("12:00", "14:30", "bag")
SWAP = off("12:10", "12:14", "cam_a")
MORNING = roll("11:00", "11:30", "cam_a", "bag")
AFTERNOON = roll("15:00", "15:20", "cam_a", "bag")
LATER = roll("16:00", "16:30", "cam_a", "bag")


def lunch(*events: str, keeps: str = KEEPS) -> Came:
    text = a_day(JAM, LUNCH, *events, devices=bag(keeps) + cam(timecode="loses_time_on: []"), links=FED)
    return came_of(off_longer_than_it_keeps_time, text)


def swap(*events: str, loses: str = LOSES, **camera: str) -> Came:
    text = a_day(JAM, SWAP, *events, devices=bag() + cam(timecode=loses, **camera), links=FED)
    return came_of(time_lost_with_power, text)


# --- off for longer than it keeps the time ---------------------------------------------------------------------


def test_a_recorder_off_for_longer_than_it_keeps_its_time() -> None:
    came = lunch(MORNING, AFTERNOON, LATER)
    # 12:00 to 14:30; two takes of 20 and 30 min come after it.
    assert came.amounts == {"off": 2.5, "keeps its time": 2, "rolls": 2, "on a wrong time": 50}
    assert came.one.fix_sentence.startswith("Jam cam_a from bag again between 14:30 and the roll at 15:00")


def test_a_camera_that_is_jammed_again_before_any_take_is_told_of() -> None:
    # The takes of the day are told: the last one is over, and none is made from 12:14 to 12:20.
    assert swap(MORNING, "{at: 12:20, do: jam, of: [cam_a], from: bag}").silent
    assert swap(MORNING).one.level is Level.WARNING  # nobody knows what is shot until the wrap


def _live_master(*events: str, loses: str = LOSES) -> Came:
    """A recorder that loses its time at a change of battery, and a camera that follows it live."""
    devices = bag(loses) + cam(mode="continuous")
    leads = lead("bag.tc_out", "cam_a.tc_in", ALL_DAY)
    swap_of_master = off("14:00", "14:05", "bag")
    text = a_day(
        "{at: 07:00, do: set clock, of: [bag], from: wall clock}", swap_of_master, *events, devices=devices, links=leads
    )
    return came_of(time_lost_with_power, text)


def test_a_master_that_comes_back_on_another_time_takes_all_along() -> None:
    """All displays agree, so that nobody sees it; the take of 15:00 to 15:20 is on it."""
    came = _live_master(AFTERNOON)
    assert came.one.level is Level.WARNING
    assert came.one.who == ("bag",)
    assert came.amounts == {"on a wrong time": 20}
    assert "all agree on a wrong time" in came.one.cost_sentence
    again = "{at: 14:10, do: set clock, of: [bag], from: wall clock}"
    assert _live_master(again, AFTERNOON).silent
    assert _live_master(AFTERNOON, loses="loses_time_on: []").silent


def test_inside_a_take_the_labels_of_its_followers_jump() -> None:
    came = _live_master(roll("13:50", "14:30", "cam_a"))
    assert came.one.level is Level.ERROR
    assert "inside the roll at 13:50 their labels jump" in came.one.cost_sentence


def test_the_jam_that_is_missing_is_written_into_the_day() -> None:
    fix = swap(AFTERNOON).one.fix
    assert fix is not None
    (edit,) = fix.edits
    assert isinstance(edit, AddItem)
    assert (str(edit.place), edit.key) == ("days/0", "events")
    assert edit.value == "{at: 12:14, do: jam, of: [cam_a], from: bag}"


def test_a_recorder_that_keeps_it_over_the_break() -> None:
    assert lunch(AFTERNOON, keeps="keeps_time_off: 3 h").silent


def test_all_that_hang_on_it_jammed_from_it_again() -> None:
    assert lunch("{at: 14:40, do: jam, of: all}", AFTERNOON).silent


def test_a_jam_before_it_is_back_does_not_count() -> None:
    assert lunch("{at: 12:00, do: jam, of: all}", AFTERNOON).one.level is Level.ERROR


def test_nothing_is_recorded_after_it() -> None:
    # The scenes of the afternoon are the camera's alone, without sound.
    assert lunch(MORNING, roll("15:00", "15:20", "cam_a", more=", sync_sound: false")).silent


def test_a_day_that_tells_of_no_takes_counts_by_the_hour() -> None:
    # 14:30 to the wrap at 19:00 is 270 min.
    assert lunch().amounts == {"off": 2.5, "keeps its time": 2, "on a wrong time": 270}
    assert lunch().one.level is Level.ERROR


def test_a_day_that_tells_of_takes_before_it_only_is_a_warning() -> None:
    assert lunch(MORNING).one.level is Level.WARNING


def test_what_stopped_goes_on_behind_by_as_long_as_it_was_off() -> None:
    came = lunch(AFTERNOON, keeps="keeps_time_off: 2 h, at_power_up: last value")
    assert came.amounts["behind"] == 9000  # 2 h 30 min
    assert "goes on from where it stopped, 2 h 30 min behind" in came.one.cost_sentence


def test_a_slate_that_keeps_the_old_time_is_beside_it() -> None:
    devices = bag(KEEPS) + cam(timecode="loses_time_on: []") + slate()
    links = FED + lead("bag.tc_out", "slate.jack")
    text = a_day(JAM, LUNCH, "{at: 14:40, do: jam, of: [cam_a], from: bag}", AFTERNOON, devices=devices, links=links)
    came = came_of(off_longer_than_it_keeps_time, text)
    assert "slate is not jammed from it again" in came.one.sentence
    assert came.amounts["on a wrong time"] == 20


def test_the_camera_on_a_box_goes_on_with_the_box_and_the_box_is_jammed() -> None:
    devices = bag(KEEPS) + box() + cam(mode="continuous", timecode="loses_time_on: []")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam_a.tc_in", ALL_DAY)
    came = came_of(off_longer_than_it_keeps_time, a_day(JAM, LUNCH, AFTERNOON, devices=devices, links=links))
    assert came.one.fix_sentence.startswith("Jam box_a from bag again between 14:30")
    assert "beside cam_a on another" in came.one.cost_sentence


# --- lost with the power ---------------------------------------------------------------------------------------


def test_a_camera_that_rolls_after_its_battery_is_changed() -> None:
    came = swap(AFTERNOON)
    assert came.amounts == {"rolls": 1, "on a wrong time": 20}
    assert came.one.fix_sentence == (
        "Jam cam_a from bag between 12:14 and the roll at 15:00; or keep cam_a on a second supply meanwhile"
    )


def test_the_time_that_zero_stands_for_is_told() -> None:
    came = swap(AFTERNOON, loses=f"{LOSES}, at_power_up: zero")
    assert came.one.cost_sentence.startswith("cam_a comes back at 00:00:00:00 where 12:14 is meant")


@pytest.mark.parametrize("cure", ["jam, of: all", "jam, of: [cam_a], from: bag"])
def test_a_jam_cures_it(cure: str) -> None:
    assert swap(f"{{at: 12:20, do: {cure}}}", AFTERNOON).silent


def test_a_jam_at_the_very_moment_it_is_back_cures_it() -> None:
    assert swap("{at: 12:14, do: jam, of: all}", AFTERNOON).silent


def test_a_jam_after_the_first_take_cures_the_second() -> None:
    assert swap(AFTERNOON, "{at: 15:40, do: jam, of: all}", LATER).amounts["rolls"] == 1


def test_a_live_follower_needs_no_jam() -> None:
    text = a_day(
        SWAP,
        AFTERNOON,
        devices=bag() + cam(mode="continuous", timecode=LOSES),
        links=lead("bag.tc_out", "cam_a.tc_in", ALL_DAY),
    )
    assert came_of(time_lost_with_power, text).silent


def test_a_camera_that_loses_it_on_other_things_only() -> None:
    assert swap(AFTERNOON, loses="loses_time_on: [rate change]").silent


def test_nobody_says_whether_it_keeps_its_time() -> None:
    assert swap(AFTERNOON, loses="").lacks == [
        "whether cam_a keeps its time while it is off (able: timecode: loses_time_on)"
    ]


def test_nobody_says_and_it_is_jammed() -> None:
    assert swap("{at: 12:20, do: jam, of: all}", AFTERNOON, loses="").silent


def test_where_the_days_tell_of_no_jam_one_after_it_is_not_known_to_lack() -> None:
    text = a_day(SWAP, AFTERNOON, devices=bag() + cam(timecode=LOSES), links=FED)
    assert came_of(time_lost_with_power, text).lacks == ["whether cam_a is jammed after it is back at 12:14 (do: jam)"]


def test_a_lead_that_stays_in_may_jam_it_as_it_comes_on() -> None:
    text = a_day(
        JAM, SWAP, AFTERNOON, devices=bag() + cam(timecode=LOSES), links=lead("bag.tc_out", "cam_a.tc_in", ALL_DAY)
    )
    came = came_of(time_lost_with_power, text)
    assert came.one.level is Level.WARNING
    assert came.one.fix_sentence.startswith("Pull the lead of cam_a and plug it again between 12:14")


def test_two_cameras_of_one_swap_are_one_finding() -> None:
    devices = bag() + cam(timecode=LOSES) + cam("cam_b", LOSES)
    links = FED + lead("bag.tc_out", "cam_b.tc_in")
    text = a_day(
        JAM,
        off("12:10", "12:14", "cam_a", "cam_b"),
        roll("15:00", "15:20", "cam_a", "cam_b", "bag"),
        devices=devices,
        links=links,
    )
    came = came_of(time_lost_with_power, text)
    assert came.one.sentence.startswith("cam_a and cam_b lose their time when they are switched off at 12:10")
    assert came.one.cost_sentence.startswith("cam_a and cam_b come back with a time that nobody knows")
    assert "beside bag on another" in came.one.cost_sentence


def test_a_box_that_forgets_takes_its_camera_with_it() -> None:
    devices = bag() + box(timecode=LOSES) + cam(mode="continuous", timecode="loses_time_on: []")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam_a.tc_in", ALL_DAY)
    came = came_of(
        time_lost_with_power, a_day(JAM, off("12:10", "12:14", "box_a"), AFTERNOON, devices=devices, links=links)
    )
    assert came.one.who == ("box_a",)
    assert "with cam_a on the same time, beside bag on another" in came.one.cost_sentence
