"""Reading timecode that was recorded as sound."""

import pytest

from synclint.rules.decoding import nobody_reads_the_timecode_track, takes_too_short_to_decode
from tests.rules.leads import reader, small
from tests.rules.running import Came, came_of


def shortest(take: str, **more: str) -> Came:
    return came_of(takes_too_short_to_decode, small(day=f"call: 09:00, wrap: 18:00, shortest_take: {take}", **more))


def test_takes_of_two_seconds() -> None:
    came = shortest("2 s")
    assert came.amounts == {"shortest take": 2.0, "labels in it": 50.0}  # 2 × 25
    assert str(came.one.at) == "days/0/shortest_take"


def test_at_50_a_label_stands_for_two_frames() -> None:
    assert shortest("2 s", project="rate: 50").amounts["labels in it"] == 50.0


@pytest.mark.parametrize("take", ["3 s", "1 min"])
def test_takes_that_are_long_enough(take: str) -> None:
    assert shortest(take).silent


def test_a_camera_with_labels_in_its_file_too_is_left_alone() -> None:
    assert shortest("2 s", on="[left, file]").silent
    assert came_of(takes_too_short_to_decode, reader().replace("call: 09:00", "shortest_take: 1 s, call: 09:00")).silent


def post(says: str) -> Came:
    return came_of(nobody_reads_the_timecode_track, small(project=f"rate: 25, post: {{{says}}}"))


def test_post_does_not_read_it() -> None:
    assert post("reads_audio_timecode: false").amounts == {"cameras without labels": 1}
    assert not post("reads_audio_timecode: false, dailies: {read_audio_timecode: true}").findings


def test_a_decoder_that_was_tried_and_one_that_was_not() -> None:
    assert post("reads_audio_timecode: true, audio_timecode_tried: 2026-06-11").silent
    came = post("reads_audio_timecode: true")
    assert not came.findings
    assert len(came.checklist) == 1
