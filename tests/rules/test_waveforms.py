"""What distance does to a clip that is laid by its sound."""

import pytest

from synclint.findings import AddKey, SetValue
from synclint.rules.waveforms import waveform_from_far_away
from tests.rules.recording_rigs import bare, fed, labelled, shoot
from tests.rules.running import Came, came_of


def heard(metres: str, *, post: str = "sync_by: [scratch sound]", more: str = "", links: str = "") -> Came:
    records = f"timecode_on: [file], sound: {{sample_rate: 48 kHz{metres and f', mic_distance: {metres}'}}}"
    return came_of(
        waveform_from_far_away, shoot(labelled(records=records, more=more), post=post, links=fed("cam_a") + links)
    )


def test_forty_metres_are_three_frames() -> None:
    came = heard("40 m")
    # 40/343 s = 116.618 ms, at 25 × 0.116618 = 2.9155 frames
    assert came.amounts["picture before its sound"] == pytest.approx(116.618, abs=1e-3)
    assert came.amounts["in frames"] == pytest.approx(2.9155, abs=1e-4)
    # half a frame of 40 ms is 0.02 × 343 = 6.86 m
    assert "within 6.86 m" in came.one.fix_sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.value) == ("devices/cam_a", "[timecode, scratch sound]")


def test_the_limit_is_half_a_frame_where_a_label_would_flip() -> None:
    assert heard("6.86 m").silent  # 20 ms, just half a frame of 25
    assert len(heard("6.87 m").findings) == 1  # 20.03 ms


def test_a_waveform_as_a_check_only_does_no_harm() -> None:
    assert heard("40 m", post="sync_by: [timecode, scratch sound]").silent
    assert heard("40 m", post="second_way: [scratch sound]").silent  # timecode comes first where nothing is said
    assert heard("40 m", post="").silent
    assert heard("40 m", more=", sync_by: [slate, scratch sound]").silent


def test_what_the_camera_says_goes_before_what_the_project_says() -> None:
    came = heard("40 m", post="sync_by: [timecode]", more=", sync_by: [scratch sound]")
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert str(edit.place) == "devices/cam_a/sync_by"


def test_a_line_of_the_mix_takes_no_time() -> None:
    line = "  - {from: bag.mix, to: cam_a.mic_in, carries: sound, connected: all day}\n"
    devices = labelled(records="timecode_on: [file], sound: {sample_rate: 48 kHz, mic_distance: 40 m}")
    text = shoot(devices, post="sync_by: [scratch sound]", links=fed("cam_a") + line)
    ports = text.replace("tc_in: {in: [LTC]}", "tc_in: {in: [LTC]}, mic_in: {in: [sound]}")
    assert came_of(waveform_from_far_away, ports.replace("{out: [LTC]}", "{out: [LTC]}, mix: {out: [sound]}")).silent


def test_a_distance_that_nobody_says_is_asked_for() -> None:
    lacks = "how far the microphone of cam_a is from what it hears (records: sound: mic_distance)"
    assert heard("").lacks == [lacks]
    assert heard("", post="sync_by: [timecode]").silent


def test_a_camera_without_timecode_is_laid_by_the_second_way() -> None:
    records = "sound: {sample_rate: 48 kHz, mic_distance: 40 m}"
    came = came_of(waveform_from_far_away, shoot(bare(records=records), post="second_way: [scratch sound]"))
    assert "Slate or clap" in came.one.fix_sentence
    assert came_of(
        waveform_from_far_away, shoot(bare(records=records), post="second_way: [slate, scratch sound]")
    ).silent
    came = came_of(waveform_from_far_away, shoot(bare(records=records), post="sync_by: [timecode, scratch sound]"))
    assert came.amounts["picture before its sound"] == pytest.approx(116.618, abs=1e-3)  # it has no timecode


def test_a_silent_camera_hears_nothing() -> None:
    came = came_of(waveform_from_far_away, shoot(bare(records="sound: none"), post="sync_by: [scratch sound]"))
    assert came.silent
