"""Cameras without timecode: what it costs to lay them by hand, and when somebody has planned otherwise."""

import pytest

from synclint.findings import AddKey, Level
from synclint.rules.unlabelled import camera_with_no_way_to_sync, silent_camera_without_a_mark
from tests.rules.recording_rigs import BAG, bare, roll, shoot
from tests.rules.running import Came, came_of, rig

SOUND = "sound: {sample_rate: 48 kHz}"
SLATE = "  slate: {able: {class: timecode slate}}\n"


def no_way(*devices: str, **parts: str) -> Came:
    return came_of(camera_with_no_way_to_sync, shoot(*devices, **parts))  # type: ignore[arg-type]  # all are texts


def no_mark(*devices: str, **parts: str) -> Came:
    return came_of(silent_camera_without_a_mark, shoot(*devices, **parts))  # type: ignore[arg-type]  # all are texts


def test_the_clips_of_a_day_are_laid_by_hand() -> None:
    came = no_way(bare(records=SOUND))
    # 40 clips at 2 and at 10 min are 80 and 400 min: 1.3333 h and 6.6667 h
    assert came.amounts == {
        "clips by hand": 40,
        "by hand at least": pytest.approx(4 / 3),
        "by hand at most": pytest.approx(20 / 3),
    }
    assert came.one.cost_sentence == (
        "40 clips are laid by eye and ear, 1 h 20 min to 6 h 40 min of an assistant's time"
    )
    assert came.one.level is Level.WARNING
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.key, edit.value) == ("devices/cam_b", "sync_by", "[slate]")


def test_takes_are_counted_where_nobody_says_how_many_clips_there_are() -> None:
    events = (
        roll("10:00", "10:05", "bag", "cam_b"),
        roll("11:00", "11:05", "bag", "cam_b"),
        roll("12:00", "12:05", "bag"),
    )
    came = came_of(
        camera_with_no_way_to_sync, shoot(bare(records=SOUND), day="call: 09:00, wrap: 18:00", events=events)
    )
    assert came.amounts["clips by hand"] == 2  # the third is without the camera
    assert came.amounts["by hand at most"] == pytest.approx(20 / 60)


def test_without_a_number_it_is_told_by_the_clip() -> None:
    came = no_way(bare(records=SOUND), day="call: 09:00, wrap: 18:00")
    assert came.amounts == {"by hand at most, a clip": 10}


def test_several_cameras_are_told_at_once_and_each_is_counted() -> None:
    came = no_way(bare(records=SOUND), bare("cam_c", records=SOUND))
    assert came.one.who == ("cam_b", "cam_c")
    assert came.one.sentence == (
        "cam_b and cam_c record no timecode, and nothing says how post is to lay their clips to the sound"
    )
    assert "40 clips of each are laid" in came.one.cost_sentence
    assert came.one.fix is not None
    assert len(came.one.fix.edits) == 2


@pytest.mark.parametrize("way", ["slate", "clap", "scratch sound", "display in picture", "flash"])
def test_any_way_that_is_planned_will_do(way: str) -> None:
    assert no_way(bare(records=SOUND), post=f"second_way: [{way}]").silent
    assert no_way(bare(records=SOUND, more=f", sync_by: [{way}]")).silent


def test_timecode_is_no_plan_for_a_camera_that_has_none() -> None:
    came = no_way(bare(records=SOUND), post="sync_by: [timecode]")
    assert came.one.sentence == "cam_b records no timecode, and post is to lay its clips by that alone"


def test_a_camera_that_nobody_lays_is_left_alone() -> None:
    assert no_way(bare(records=SOUND, more=", sync_by: none")).silent
    mute = roll("10:00", "10:05", "cam_b", more=", sync_sound: false")
    assert came_of(camera_with_no_way_to_sync, shoot(bare(records=SOUND), events=(mute,))).silent
    assert no_way(bare(records=SOUND, more=", trigger: true")).silent
    alone = rig(bare(records=SOUND))
    assert came_of(camera_with_no_way_to_sync, alone).silent


def test_a_slate_or_a_screen_in_the_rig_is_a_plan() -> None:
    assert no_way(bare(records=SOUND), SLATE).silent
    assert no_way(bare(records=SOUND), "  tablet: {screen: {timecode: true}}\n").silent
    assert len(no_way(bare(records=SOUND), "  tablet: {screen: {timecode: false}}\n").findings) == 1


@pytest.mark.parametrize(
    "camera",
    [
        bare(records="sound: {sample_rate: 48 kHz, tracks: {left: LTC}}"),
        bare(records="timecode_on: [left]"),
        bare(able="ports: {tc_in: {in: [LTC]}}", more=", timecode: {from: tc_in}"),
    ],
)
def test_what_keeps_timecode_needs_no_plan(camera: str) -> None:
    assert no_way(camera).silent


def test_a_camera_of_which_nothing_is_said_is_asked_for() -> None:
    lacks = ["whether cam_b takes timecode (timecode: from, or able: timecode: modes: [])"]
    assert no_way(bare(able="class: small camera", records=SOUND)).lacks == lacks
    # no port of it takes any: that is said
    assert (
        len(no_way(bare(able="ports: {hdmi_out: {out: [picture]}, mic: {in: [sound]}}", records=SOUND)).findings) == 1
    )
    assert no_way(bare(able="class: small camera", records=SOUND), post="second_way: [scratch sound]").silent


def test_scratch_sound_is_no_plan_where_nobody_says_that_there_is_any() -> None:
    assert no_way(bare(), post="second_way: [scratch sound]").lacks == [
        "whether cam_b records the scratch sound that post is to lay it by (records: sound)"
    ]
    assert no_way(bare(records="sound: none"), post="second_way: [scratch sound]").silent  # the other rule's


def test_a_recorder_behind_a_camera_is_laid_with_it() -> None:
    camera = (
        "  cam_a: {able: {ports: {tc_in: {in: [LTC]}, sdi: {out: [picture]}}}, "
        "timecode: {from: tc_in, mode: continuous}, records: {picture: {shot_at: 25}, timecode_on: [file]}}\n"
    )
    recorder = (
        "  rec_a: {able: {class: video recorder, ports: {sdi_in: {in: [picture]}}, timecode: {modes: []}}, "
        "records: {picture: {shot_at: 25}}}\n"
    )
    link = "  - {from: cam_a.sdi, to: rec_a.sdi_in, carries: picture, connected: all day}\n"
    assert no_way(camera, recorder, links=link).silent
    assert len(no_way(camera, recorder).findings) == 1


# --- silent ones -----------------------------------------------------------------------------------------------


def drone(more: str = "", able: str = "class: drone camera, timecode: {modes: []}") -> str:
    return bare("drone", able=able, records="sound: none", more=more)


def test_a_silent_camera_wants_a_mark_in_its_picture() -> None:
    came = no_mark(drone())
    # 40 clips at 10 min: 400 min, 6.6667 h
    assert came.amounts["by hand at most"] == pytest.approx(20 / 3)
    assert came.one.level is Level.WARNING
    assert no_way(drone()).silent  # one rule of the two tells of it


def test_scratch_sound_and_timecode_are_no_marks() -> None:
    assert len(no_mark(drone(", sync_by: [scratch sound]")).findings) == 1
    assert len(no_mark(drone(), post="second_way: [scratch sound]").findings) == 1
    assert len(no_mark(drone(", sync_by: [timecode]"), SLATE).findings) == 1


@pytest.mark.parametrize("way", ["slate", "clap", "display in picture", "flash"])
def test_a_mark_of_its_own_will_do(way: str) -> None:
    assert no_mark(drone(f", sync_by: [{way}]")).silent


def test_a_mark_for_all_is_shown_to_a_drone_before_it_flies() -> None:
    for came in (no_mark(drone(), post="second_way: [slate]"), no_mark(drone(), SLATE)):
        assert not came.findings
        (line,) = came.checklist
        assert line.sentence == (
            "Before take-off show drone the slate or the running display, or flash a light that another camera sees too"
        )
    on_the_ground = drone(able="class: cinema camera, timecode: {modes: []}")
    assert no_mark(on_the_ground, SLATE).silent


def test_a_silent_camera_that_may_take_timecode_is_asked_for() -> None:
    assert no_mark(drone(able="class: drone camera")).lacks == [
        "whether drone takes timecode (timecode: from, or able: timecode: modes: [])"
    ]


def test_a_camera_with_sound_or_without_sync_is_no_matter_of_this_rule() -> None:
    assert no_mark(bare(records=SOUND)).silent
    assert no_mark(bare()).silent
    assert no_mark(drone(", sync_by: none")).silent
    assert came_of(silent_camera_without_a_mark, rig(BAG)).silent
