"""Data links that sleep between takes, and recorders that read what stands still."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.data_timecode import data_timecode_sleeps, labelled_by_a_trigger
from tests.rules.recording_rigs import roll, shoot
from tests.rules.running import Came, came_of

BOX = (
    "  box: {able: {ports: {jack: {in: [LTC]}, air: {out: [data timecode]}}}, "
    "timecode: {from: jack, mode: jam, rate: 25}}\n"
)
LINKS = (
    "  - {from: bag.tc_out, to: box.jack, carries: LTC, connected: to jam}\n"
    "  - {from: box.air, to: cam_b.hot_shoe, carries: data timecode, connected: all day}\n"
)
DAY = "call: 08:30, wrap: 13:00"


def camera(sleeps: str = "sleeps_after: 5 min", mode: str = "continuous", more: str = "", records: str = "") -> str:
    port = f"hot_shoe: {{in: [data timecode]{sleeps and f', {sleeps}'}}}"
    return (
        f"  cam_b: {{able: {{ports: {{{port}}}}}, timecode: {{from: hot_shoe, mode: {mode}, rate: 25}}, "
        f"records: {{picture: {{shot_at: 25}}, timecode_on: [file]{records}}}{more}}}\n"
    )


def slept(*events: str, cam: str = "", day: str = DAY) -> Came:
    return came_of(data_timecode_sleeps, shoot(BOX, cam or camera(), links=LINKS, day=day, events=events))


def take(at: str, until: str, more: str = "") -> str:
    return roll(at, until, "bag", "cam_b", more=more)


def test_every_take_after_a_long_pause_is_on_the_cameras_own_time() -> None:
    came = slept(take("09:00", "09:03"), take("09:07", "09:10"), take("09:20", "09:25"), take("09:26", "09:36"))
    # 09:03 to 09:07 is a pause of 4 min; from 09:10 to 09:20 it sleeps: 5 + 10 = 15 min in 2 takes
    assert came.amounts == {"on its own time": 15, "takes on its own time": 2}
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "cam_b takes timecode as data at hot_shoe, and that link sleeps after 5 min without use"
    assert came.one.cost_sentence.startswith("from the take at 09:20 on the camera goes on by its own clock")
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "never"


def test_a_pause_just_short_of_it_does_no_harm() -> None:
    assert slept(take("09:00", "09:03"), take("09:07:59", "09:10")).silent
    assert len(slept(take("09:00", "09:03"), take("09:08", "09:10")).findings) == 1


def test_a_jam_after_the_pause_wakes_it() -> None:
    jam = "{at: 09:19, do: jam, of: [cam_b]}"
    assert slept(take("09:00", "09:03"), jam, take("09:20", "09:25")).silent
    early = "{at: 09:05, do: jam, of: [cam_b]}"  # and it sleeps again from 09:10 on
    assert slept(take("09:00", "09:03"), early, take("09:20", "09:25")).amounts["on its own time"] == 5
    of_all = "{at: 09:19, do: jam, of: all}"  # of those that are plugged to be jammed
    assert len(slept(take("09:00", "09:03"), of_all, take("09:20", "09:25")).findings) == 1


def test_takes_without_sync_sound_do_not_count() -> None:
    mute = ", sync_sound: false"
    assert slept(take("09:00", "09:03"), take("09:20", "09:25", mute)).silent


def test_without_takes_it_may_sleep_in_any_pause() -> None:
    came = slept()
    assert came.one.level is Level.WARNING
    assert slept(cam=camera("sleeps_after: 6 h")).silent  # the day has four hours and a half


def test_a_link_that_stays_awake_is_a_line_of_the_checklist() -> None:
    came = slept(take("09:00", "09:03"), take("10:00", "10:03"), cam=camera("sleeps_after: never"))
    assert not came.findings
    (line,) = came.checklist
    assert line.sentence == "Play back a clip of cam_b in each recording mode, and look at the timecode in the file"


def test_a_camera_that_switches_itself_off_sleeps_too() -> None:
    pause = (take("09:00", "09:03"), take("10:00", "10:03"))
    came = slept(*pause, cam=camera("", more=", power: {auto_off: 10 min}"))
    assert came.one.sentence.endswith("the camera switches itself off after 10 min without use")
    assert slept(*pause, cam=camera("", more=", power: {auto_off: never}")).lacks == [
        "whether the data link of cam_b stays awake (ports: hot_shoe: sleeps_after)"
    ]
    assert not slept(*pause, cam=camera("sleeps_after: never", more=", power: {auto_off: 10 min}")).findings


def test_a_second_label_or_one_jam_is_enough() -> None:
    pause = (take("09:00", "09:03"), take("10:00", "10:03"))
    on_track = camera(records=", sound: {sample_rate: 48 kHz, tracks: {left: LTC}}")
    assert slept(*pause, cam=on_track).silent
    assert slept(*pause, cam=camera(mode="jam")).silent


# --- a recorder that follows a trigger -------------------------------------------------------------------------


RECORDER = (
    "  rec: {able: {class: video recorder, ports: {hdmi_in: {in: [HDMI timecode, picture]}}}, "
    "timecode: {from: hdmi_in, mode: continuous, rate: 25}, "
    "records: {picture: {shot_at: 25}, timecode_on: [KEPT]}MORE}\n"
)
CAMERA = (
    "  cam_b: {able: {ports: {hot_shoe: {in: [data timecode]}, hdmi: {out: [HDMI timecode]}}ABLE}, "
    "timecode: {from: FROM, mode: MODE, rate: 25}, "
    "records: {picture: {shot_at: 25}, timecode_on: [file]}, trigger: YES}\n"
)
OVER_HDMI = "  - {from: cam_b.hdmi, to: rec.hdmi_in, carries: HDMI timecode, connected: all day}\n"


def followed(
    *events: str,
    mode: str = "record run",
    trigger: str = "true",
    kept: str = "file",
    more: str = "",
    source: str = "hot_shoe",
    able: str = "",
    project: str = "timecode: {as: time of day}",
) -> Came:
    camera = CAMERA.replace("MODE", mode).replace("YES", trigger).replace("FROM", source).replace("ABLE", able)
    recorder = RECORDER.replace("KEPT", kept).replace("MORE", more)
    text = shoot(BOX, camera, recorder, links=LINKS + OVER_HDMI, day=DAY, events=events, project=project)
    return came_of(labelled_by_a_trigger, text)


def test_a_recorder_that_reads_a_trigger_counts_takes() -> None:
    came = followed(roll("09:00", "09:05", "bag", "cam_b", "rec"), roll("10:00", "10:15", "bag", "cam_b", "rec"))
    assert came.amounts == {"labelled by takes": 20}  # 5 + 15 min
    assert came.one.sentence == "rec takes the HDMI timecode of cam_b, which is a trigger in record run"
    assert came.one.cost_sentence.endswith("laid by hand: 2 takes, 20 min")
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam_b/timecode/mode", "free run")
    assert len(followed().findings) == 1


@pytest.mark.parametrize("parts", [{"mode": "free run"}, {"kept": "left"}, {"more": ", trigger: true"}])
def test_what_runs_or_is_not_kept_does_no_harm(parts: dict[str, str]) -> None:
    assert followed(**parts).silent


def test_a_camera_that_counts_takes_for_itself_is_told_of_by_another_rule() -> None:
    assert followed(trigger="false").silent
    assert followed(project="timecode: {as: record run}").silent


def test_a_camera_without_free_run_wants_a_label_beside_it() -> None:
    came = followed(able=", timecode: {modes: [record run]}")
    assert came.one.fix_sentence == "Give rec LTC of its own and let cam_b only start it"
    assert came.one.fix is not None
    assert not came.one.fix.edits


def test_a_trigger_on_its_own_clock_is_a_second_master_where_there_is_another() -> None:
    assert followed(source="own clock").silent  # the recorder of sound labels the box
    alone = CAMERA.replace("MODE", "record run").replace("YES", "true").replace("FROM", "own clock").replace("ABLE", "")
    recorder = RECORDER.replace("KEPT", "file").replace("MORE", "")
    text = shoot(alone, recorder, links=OVER_HDMI, day=DAY)
    assert len(came_of(labelled_by_a_trigger, text).findings) == 1
