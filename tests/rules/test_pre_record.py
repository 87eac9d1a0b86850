"""Pictures from before the button, and their labels."""

import pytest

from synclint.findings import Level, Remove
from synclint.rules.pre_record import pre_record_and_labels
from tests.rules.recording_rigs import bare, fed, labelled, shoot
from tests.rules.running import Came, came_of


def cached(pre_record: str, *, mode: str = "continuous", records: str = "timecode_on: [file]", more: str = "") -> Came:
    said = f"{records}, pre_record: {{{pre_record}}}"
    return came_of(pre_record_and_labels, shoot(labelled(records=said, mode=mode, more=more), links=fed("cam_a")))


def test_in_record_run_the_labels_of_the_clip_before_are_used_again() -> None:
    came = cached("length: 10 s", mode="record run")
    assert came.amounts == {"labels that come twice": 10}
    assert "in up to 39 of 40 clips" in came.one.cost_sentence  # all but the first
    assert came.one.level is Level.WARNING
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, Remove)
    assert str(edit.place) == "devices/cam_a/records/pre_record"


def test_labels_of_the_button_are_late_by_the_whole_length() -> None:
    came = cached("length: 500 ms, labelled_at: button")
    assert came.amounts == {"labels late by": 0.5}
    # 0.5 s × 25 = 12.5 frames
    assert came.one.cost_sentence == "every label of such a clip is 500 ms (12.5 frames at 25) later than its picture"


def test_what_nobody_has_looked_at_is_a_line_of_the_checklist() -> None:
    came = cached("length: 10 s")
    assert not came.findings
    (line,) = came.checklist
    assert line.sentence.startswith("Clap in the 10 s before the button on cam_a, and see which label the clap bears")


@pytest.mark.parametrize(
    "pre_record", ["length: 10 s, labelled_at: first picture", "length: 0 s", "labelled_at: button"]
)
def test_what_is_right_or_off_is_quiet(pre_record: str) -> None:
    assert cached(pre_record).silent


def test_without_timecode_or_sync_there_is_nothing_to_be_late() -> None:
    assert cached("length: 10 s", records="timecode_on: none").silent
    assert cached("length: 10 s", more=", sync_by: none").silent
    plain = bare(records="sound: {sample_rate: 48 kHz}, pre_record: {length: 10 s}")
    assert came_of(pre_record_and_labels, shoot(plain)).silent
