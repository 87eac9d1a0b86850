"""What is left where timecode fails."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.second_ways import second_way_not_there
from tests.rules.recording_rigs import bare, fed, labelled, shoot
from tests.rules.running import Came, came_of

SILENT = "timecode_on: [file], sound: none"


def second(*devices: str, post: str = "") -> Came:
    return came_of(second_way_not_there, shoot(*devices, post=post, links=fed("cam_a")))


def test_a_silent_camera_has_no_scratch_sound() -> None:
    came = second(labelled(records=SILENT), post="second_way: [scratch sound]")
    # 40 clips at 2 to 10 min: 1.3333 h to 6.6667 h
    assert came.amounts["by hand at least"] == pytest.approx(4 / 3)
    assert came.one.level is Level.NOTE
    assert came.one.sentence == "cam_a records no sound, and nothing else is planned as a second way to sync"
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("project/post/second_way", "[scratch sound, clap]")


def test_ltc_on_every_track_leaves_no_scratch_sound() -> None:
    tracks = "sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: LTC}}, timecode_on: [left]"
    came = second(labelled(records=tracks), post="second_way: [scratch sound]")
    assert came.one.sentence.startswith("cam_a has LTC on every sound track")
    kept = tracks.replace("right: LTC", "right: scratch")
    assert second(labelled(records=kept), post="second_way: [scratch sound]").silent


def test_a_display_that_is_not_in_the_rig_shows_nothing() -> None:
    came = second(labelled(), post="second_way: [display in picture]")
    assert came.one.sentence.startswith("cam_a sees no timecode display in this rig")
    slate = "  slate: {able: {class: timecode slate}}\n"
    assert second(labelled(), slate, post="second_way: [display in picture]").silent


def test_nothing_said_on_purpose_is_told_and_nothing_said_is_a_line() -> None:
    assert second(labelled(), post="second_way: []").one.sentence == "no second way to sync is planned for cam_a"
    came = second(labelled())
    assert not came.findings
    (line,) = came.checklist
    assert line.sentence.startswith("No second way to sync is planned for cam_a: slate or clap each roll")
    assert len(second(labelled(), post="sync_by: [timecode]").checklist) == 1
    assert second(labelled(), "  slate: {able: {class: timecode slate}}\n").silent


@pytest.mark.parametrize(
    "post", ["second_way: [slate]", "second_way: [scratch sound, clap]", "sync_by: [timecode, flash]"]
)
def test_one_way_that_is_there_is_enough(post: str) -> None:
    assert second(labelled(records=SILENT), post=post).silent


def test_ways_of_its_own_count_beside_those_of_the_project() -> None:
    own = labelled(records=SILENT, more=", sync_by: [timecode, slate]")
    assert second(own, post="second_way: [scratch sound]").silent
    assert second(labelled(records=SILENT, more=", sync_by: [timecode]"), post="second_way: [clap]").silent
    came = second(labelled(records=SILENT, more=", sync_by: [timecode, scratch sound]"))
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam_a/sync_by", "[timecode, scratch sound, clap]")


def test_two_places_for_timecode_are_two_ways() -> None:
    both = "timecode_on: [file, left], sound: {sample_rate: 48 kHz, tracks: {left: LTC}}"
    assert second(labelled(records=both), post="second_way: []").silent


def test_a_camera_without_timecode_is_no_matter_of_this_rule() -> None:
    assert second(bare("cam_b", records="sound: none"), labelled(), post="second_way: [slate]").silent
