"""Devices that are set by hand, and a camera whose labels count takes."""

import pytest

from synclint.findings import Level
from synclint.rules.hand_set import set_by_the_clock_apart
from synclint.rules.record_run import record_run_among_free_run
from tests.rules.a_day import ALL_DAY, FED, JAM, a_day, bag, cam, lead, roll, slate
from tests.rules.running import Came, came_of

TAKE = roll("15:00", "15:20", "cam_a", "bag")


def clock(at: str, key: str, source: str = "wall clock") -> str:
    return f"{{at: {at}, do: set clock, of: [{key}], from: {source}}}"


def by_hand(*events: str, rate: str = "23.976 NDF") -> Came:
    devices = bag(rate=rate) + cam(source="own clock", mode="free run", rate=rate, shot=rate.split(maxsplit=1)[0])
    project = f"rate: {rate}, tolerance: 1 frame, master: {{timecode: bag}}"
    return came_of(set_by_the_clock_apart, a_day(*events, devices=devices, project=project))


@pytest.mark.parametrize("rate", ["23.976 NDF", "29.97 NDF"])
def test_six_hours_apart_at_a_fractional_rate(rate: str) -> None:
    came = by_hand(clock("07:00", "bag"), clock("13:00", "cam_a"), TAKE, rate=rate)
    # 3.5964 s of labels for each real hour are missing, 21.58 s in six (exact arithmetic: 21600 s × 1/1001).
    assert came.amounts["apart by the clock"] == pytest.approx(21600 / 1001)
    assert came.one.level is Level.ERROR
    assert "fell 21.6 s behind the watch" in came.one.cost_sentence


@pytest.mark.parametrize("rate", ["24", "25", "30", "29.97 DF"])
def test_at_a_rate_of_real_seconds_only_the_hands_differ(rate: str) -> None:
    came = by_hand(clock("07:00", "bag"), clock("13:00", "cam_a"), TAKE, rate=rate)
    assert came.one.level is Level.WARNING


def test_at_one_moment_only_the_hands_differ() -> None:
    came = by_hand("{at: 07:00, do: set clock, of: [bag, cam_a], from: wall clock}", TAKE, rate="25")
    assert came.amounts == {"apart by hand": 1, "rolls": 1, "on a wrong time": 20}
    assert "up to 1 s, 25 frames apart" in came.one.cost_sentence


def test_a_clock_read_off_the_recorder_does_not_lag_behind_the_wall() -> None:
    came = by_hand(clock("07:00", "bag"), clock("13:00", "cam_a", "bag"), TAKE)
    assert came.one.level is Level.WARNING
    assert "apart by the clock" not in came.amounts


def test_a_jam_makes_one_of_two() -> None:
    text = a_day(clock("07:00", "bag"), JAM, TAKE, devices=bag() + cam(), links=FED)
    assert came_of(set_by_the_clock_apart, text).silent


def test_one_that_never_rolls_with_sound() -> None:
    assert by_hand(clock("07:00", "bag"), clock("13:00", "cam_a"), roll("15:00", "15:20", "bag")).silent
    mos = roll("15:00", "15:20", "cam_a", more=", sync_sound: false")
    assert by_hand(clock("07:00", "bag"), clock("13:00", "cam_a"), mos).silent


# --- record run ------------------------------------------------------------------------------------------------

LIVE = lead("bag.tc_out", "cam_a.tc_in", ALL_DAY)


def in_record_run(*events: str, more: str = "", shot: str = "25", project: str = "") -> Came:
    camera = cam("cam_b", source="own clock", mode="record run", shot=shot)
    devices = bag() + cam(mode="continuous") + (camera.replace("records:", f"{more}, records:") if more else camera)
    extra = {"project": project} if project else {}
    return came_of(record_run_among_free_run, a_day(*events, devices=devices, links=LIVE, **extra))


BOTH = roll("15:00", "15:20", "cam_a", "cam_b", "bag")


def test_record_run_beside_running_labels() -> None:
    came = in_record_run(BOTH)
    assert came.amounts == {"takes": 1, "labelled by takes": 20}
    assert came.one.sentence == "cam_b is in record run while labels of bag and cam_a run with the day"


def test_record_run_in_a_day_that_tells_of_no_takes() -> None:
    assert in_record_run().amounts == {"labelled by takes": 750}  # 06:30 to 19:00


def test_record_run_for_slow_motion_is_right() -> None:
    assert in_record_run(BOTH, shot="50").silent


def test_record_run_on_a_trigger_is_right() -> None:
    assert in_record_run(BOTH, more="trigger: true").silent


def test_record_run_where_the_project_is_in_record_run() -> None:
    assert in_record_run(BOTH, project="rate: 25, timecode: {as: record run}").silent


def test_record_run_only_is_mended_by_another_label() -> None:
    devices = bag() + cam("cam_b", "modes: [record run]", source="own clock", mode="record run")
    came = came_of(record_run_among_free_run, a_day(roll("15:00", "15:20", "cam_b", "bag"), devices=devices))
    assert came.one.fix_sentence.startswith("cam_b has no free run: record LTC on a track")


def test_a_take_without_sound_in_record_run() -> None:
    assert in_record_run(roll("15:00", "15:20", "cam_b", more=", sync_sound: false")).silent


@pytest.mark.parametrize(("way", "level"), [("slate", "note"), ("clap", "error")])
def test_record_run_by_the_digits_of_a_slate(way: str, level: str) -> None:
    """Film is shot so: takes are counted in the camera, and laid by the slate that shows the sound's time."""
    shown = slate() + bag() + cam("cam_b", source="own clock", mode="record run")
    project = f"rate: 25, post: {{second_way: [{way}]}}"
    leads = lead("bag.tc_out", "slate.jack")
    take = roll("15:00", "15:20", "cam_b", "bag")
    came = came_of(record_run_among_free_run, a_day(JAM, take, devices=shown, links=leads, project=project))
    assert came.one.level.value == level
    assert ("is laid by the digits of slate in its picture" in came.one.cost_sentence) is (level == "note")
    # Never jammed, the slate shows a time of its own.
    nobody = "{at: 07:00, do: set clock, of: [bag], from: wall clock}"
    came = came_of(record_run_among_free_run, a_day(nobody, take, devices=shown, project=project))
    assert came.one.level.value == "error"


def test_record_run_from_an_event_on() -> None:
    to = "{at: 14:00, do: set, of: [cam_a], to: {timecode: {mode: record run}}}"
    text = a_day(roll("09:00", "09:30", "cam_a", "bag"), to, TAKE, devices=bag() + cam(mode="continuous"), links=LIVE)
    came = came_of(record_run_among_free_run, text)
    assert came.amounts == {"takes": 1, "labelled by takes": 20}
    assert came.one.at.path[:3] == ("days", 0, "events")
