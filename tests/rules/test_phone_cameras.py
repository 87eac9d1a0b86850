"""Rates that vary, and labels of whole seconds."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.listening import tied_to_nothing
from synclint.rules.phone_cameras import labels_only_to_the_second, variable_frame_rate
from tests.rules.recording_rigs import fed, labelled, roll, shoot
from tests.rules.running import Came, came_of


def phone(shot: str = "variable", able: str = "class: phone", more: str = ", sync_by: [clap]") -> str:
    records = f"records: {{picture: {{shot_at: {shot}}}, sound: {{sample_rate: 48 kHz}}}}"
    return f"  phone: {{able: {{{able}}}, {records}{more}}}\n"


def varied(device: str, *events: str, day: str = "call: 09:00, wrap: 12:00, longest_take: 10 min") -> Came:
    return came_of(variable_frame_rate, shoot(device, day=day, events=events))


def test_a_thousandth_of_the_longest_take() -> None:
    came = varied(phone())
    assert came.amounts == {"apart for each 0.1 %": pytest.approx(0.6)}  # 600 s / 1000
    assert came.one.level is Level.ERROR
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/phone/records/picture/shot_at", "25")
    # without a take it is told by the hour: 3600 s / 1000
    assert varied(phone(), day="call: 09:00, wrap: 12:00").amounts == {"apart for each 0.1 %": pytest.approx(3.6)}


def test_what_keeps_a_rate_or_is_not_laid_is_quiet() -> None:
    assert varied(phone("25")).silent
    assert varied(phone(more=", sync_by: none")).silent
    assert varied(phone(), roll("10:00", "10:05", "phone", more=", sync_sound: false")).silent


def test_a_phone_that_has_the_rate_is_set_to_it_and_another_is_not() -> None:
    has = varied(phone(able="class: phone, records: {picture: {rates: [25, 50]}}"))
    assert has.one.fix_sentence.startswith("Set phone to a constant 25")
    not_ = varied(phone(able="class: phone, records: {picture: {rates: [24, 29.97]}}"))
    assert "made constant before the edit" in not_.one.fix_sentence
    assert not_.one.fix is not None
    assert not not_.one.fix.edits


def test_a_type_that_keeps_no_rate_does_not_keep_the_one_that_is_set() -> None:
    came = varied(phone("25", able="class: phone, records: {picture: {shot_at: variable}}"))
    assert str(came.one.at) == "devices/phone/able/records/picture/shot_at"
    assert came.one.fix is not None
    assert not came.one.fix.edits


def test_what_counts_is_how_it_is_set_in_the_takes() -> None:
    constant = "{at: 09:30, do: set, of: [phone], to: {records: {picture: {shot_at: 25}}}}"
    takes = roll("10:00", "10:05", "bag", "phone")
    assert varied(phone(), constant, takes).silent
    varying = constant.replace("25", "variable")
    came = varied(phone("25"), varying, takes)
    assert came.one.at.path[:2] == ("days", 0)
    assert came.one.fix is not None
    assert not came.one.fix.edits


# --- whole seconds ---------------------------------------------------------------------------------------------


LABELS = "timecode: {labels_to: second}"


def action(more: str = "", kept: str = ", timecode_on: [file]", able: str = LABELS, mode: str = "jam") -> str:
    return (
        f"  cam_d: {{able: {{class: action camera, ports: {{bluetooth: {{in: [data timecode]}}}}, {able}}}, "
        f"timecode: {{from: bluetooth, mode: {mode}, rate: 25}}, records: {{picture: {{shot_at: 25}}{kept}}}{more}}}\n"
    )


def coarse(device: str, post: str = "second_way: [slate]") -> Came:
    return came_of(labels_only_to_the_second, shoot(labelled(), device, post=post, links=fed("cam_a")))


def test_a_second_is_as_many_frames_as_the_rate_says() -> None:
    came = coarse(action())
    assert came.amounts["labels off by"] == 25
    assert came.amounts["by hand at most"] == pytest.approx(20 / 3)  # 40 clips at 10 min
    assert came.one.level is Level.WARNING
    assert came.one.fix is not None
    kept, way = came.one.fix.edits
    assert isinstance(kept, SetValue)
    assert isinstance(way, AddKey)
    assert (kept.value, way.key, way.value) == ("none", "sync_by", "[display in picture]")


def test_labels_that_nobody_lays_it_by_do_no_harm() -> None:
    assert coarse(action(", sync_by: [slate]")).silent
    assert coarse(action(", sync_by: none")).silent
    assert coarse(action(), post="sync_by: [slate]").silent
    assert coarse(action(kept=", timecode_on: none")).silent
    assert len(coarse(action(", sync_by: [timecode, slate]")).findings) == 1


def test_labels_to_a_frame_are_fine() -> None:
    assert coarse(action(able="timecode: {labels_to: frame}")).silent
    assert coarse(action(able="timecode: {modes: [jam]}")).silent


def test_where_nobody_says_where_it_is_kept_it_is_taken_to_be_in_the_file() -> None:
    came = coarse(action(kept=""))
    assert str(came.one.at) == "devices/cam_d"
    assert came.one.fix is not None
    assert len(came.one.fix.edits) == 2


def test_a_clock_of_whole_seconds_is_not_told_to_be_tied_to_the_master_as_well() -> None:
    own = action().replace("from: bluetooth, mode: jam", "from: own clock, mode: free run")
    text = shoot(labelled(), own, links=fed("cam_a"))
    assert came_of(tied_to_nothing, text).silent
    assert len(came_of(tied_to_nothing, text.replace("labels_to: second", "labels_to: frame")).findings) == 1
    assert len(came_of(labels_only_to_the_second, text).findings) == 1
