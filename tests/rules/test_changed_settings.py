"""Settings that are changed after the jam."""

from synclint.findings import Level
from synclint.rules.changed_settings import jammed_before_the_rate_was_set, special_mode_and_no_jam
from tests.rules.a_day import ALL_DAY, FED, JAM, a_day, bag, cam, lead, roll
from tests.rules.running import Came, came_of

TAKE = roll("15:00", "15:20", "cam_a", "bag")
MODE = "{at: 14:00, do: set, of: [cam_a], to: {timecode: {mode: jam}}}"
FAST = "{at: 14:00, do: set, of: [cam_a], to: {records: {picture: {shot_at: 50}}}}"
BACK = "{at: 14:15, do: set, of: [cam_a], to: {records: {picture: {shot_at: 25}}}}"
MOS = roll("14:05", "14:10", "cam_a", more=", sync_sound: false")
LOSES_MODE = "loses_time_on: [mode change]"
LOSES_RATE = "loses_time_on: [rate change]"


def changed(*events: str, loses: str = LOSES_MODE) -> Came:
    text = a_day(JAM, MODE, *events, devices=bag() + cam(timecode=loses, mode="free run"), links=FED)
    return came_of(jammed_before_the_rate_was_set, text)


def special(*events: str, loses: str = LOSES_RATE) -> Came:
    text = a_day(JAM, FAST, MOS, BACK, *events, devices=bag() + cam(timecode=loses), links=FED)
    return came_of(special_mode_and_no_jam, text)


def test_a_mode_that_is_changed_after_the_jam() -> None:
    came = changed(TAKE)
    assert came.amounts == {"rolls": 1, "on a wrong time": 20}
    assert came.one.fix_sentence.startswith("Jam cam_a from bag between 14:00 and the roll at 15:00")


def test_a_jam_after_the_change() -> None:
    assert changed("{at: 14:05, do: jam, of: all}", TAKE).silent


def test_a_device_that_loses_its_time_on_something_else() -> None:
    assert changed(TAKE, loses="loses_time_on: [power off]").silent


def test_nobody_says_what_makes_it_lose_its_time() -> None:
    assert changed(TAKE, loses="").lacks == [
        "whether cam_a, set to jam at 14:00, keeps its time through it (able: timecode: loses_time_on)"
    ]


def test_nothing_is_recorded_after_the_change() -> None:
    assert changed(roll("15:00", "15:20", "bag"), loses="").silent


def test_a_live_follower_may_be_changed() -> None:
    rate = "{at: 14:00, do: set, of: [cam_a], to: {records: {picture: {shot_at: 24, played_at: 24}}}}"
    text = a_day(
        rate,
        TAKE,
        devices=bag() + cam(timecode=LOSES_RATE, mode="continuous"),
        links=lead("bag.tc_out", "cam_a.tc_in", ALL_DAY),
    )
    assert came_of(jammed_before_the_rate_was_set, text).silent


def test_off_speed_is_not_told_as_a_change_of_rate() -> None:
    text = a_day(JAM, FAST, MOS, BACK, TAKE, devices=bag() + cam(timecode=LOSES_RATE), links=FED)
    assert came_of(jammed_before_the_rate_was_set, text).silent


def test_back_from_off_speed_without_a_jam() -> None:
    came = special(TAKE)
    assert came.one.level is Level.ERROR
    assert (
        came.one.sentence
        == "cam_a comes back from 50 pictures a second at 14:15 and is not jammed again before the roll at 15:00"
    )
    assert came.amounts == {"rolls": 1, "on a wrong time": 20}


def test_back_from_off_speed_with_a_jam() -> None:
    assert special("{at: 14:20, do: jam, of: [cam_a], from: bag}", TAKE).silent


def test_back_from_off_speed_on_a_camera_of_which_nothing_is_said_is_a_warning() -> None:
    came = special(TAKE, loses="")
    assert came.one.level is Level.WARNING
    assert "may stand where record run left it" in came.one.cost_sentence


def test_back_from_off_speed_on_a_camera_that_keeps_its_time() -> None:
    assert special(TAKE, loses="loses_time_on: [power off]").silent


def test_back_from_record_run() -> None:
    to = "{{at: {}, do: set, of: [cam_a], to: {{timecode: {{mode: {}}}}}}}"
    events = (JAM, to.format("14:00", "record run"), to.format("14:15", "jam"), TAKE)
    text = a_day(*events, devices=bag() + cam(timecode=LOSES_MODE), links=FED)
    assert came_of(special_mode_and_no_jam, text).one.sentence.startswith("cam_a comes back from record run at 14:15")
    assert came_of(jammed_before_the_rate_was_set, text).silent


def test_a_live_follower_comes_back_by_itself() -> None:
    text = a_day(
        FAST, MOS, BACK, TAKE, devices=bag() + cam(mode="continuous"), links=lead("bag.tc_out", "cam_a.tc_in", ALL_DAY)
    )
    assert came_of(special_mode_and_no_jam, text).silent
