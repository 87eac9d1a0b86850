"""On which tracks LTC is recorded, how loud, and what is left beside it."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.timecode_tracks import (
    nothing_beside_the_timecode,
    timecode_on_different_sides,
    timecode_recorded_off_target,
    timecode_track_not_declared,
)
from tests.rules.leads import reader, small
from tests.rules.running import came_of


@pytest.mark.parametrize(
    ("at", "off", "level"),
    [
        ("-1 dBFS", 11.0, Level.WARNING),  # -1 - -12
        ("-6 dBFS", 6.0, Level.NOTE),
        ("-11.5 dBFS", 0.5, Level.NOTE),
        ("-21 dBFS", 1.0, Level.NOTE),  # -20 - -21
        ("-46 dBFS", 26.0, Level.WARNING),
    ],
)
def test_off_the_target(at: str, off: float, level: Level) -> None:
    came = came_of(timecode_recorded_off_target, small(mic_set=f"gain: fixed, recorded_at: {at}"))
    assert came.amounts == {"off the target": off}
    assert came.one.level is level


@pytest.mark.parametrize("at", ["-20 dBFS", "-16 dBFS", "-12 dBFS"])
def test_on_the_target(at: str) -> None:
    assert came_of(timecode_recorded_off_target, small(mic_set=f"gain: fixed, recorded_at: {at}")).silent


def test_nobody_names_a_track() -> None:
    bare = small(on="[file]").replace(", tracks: {left: LTC, right: scratch}", "")
    came = came_of(timecode_track_not_declared, bare)
    assert came.amounts == {"tracks to try": 2}
    assert came.one.fix is not None
    tracks, on = came.one.fix.edits
    assert isinstance(tracks, AddKey)
    assert (tracks.key, tracks.value) == ("tracks", "{left: LTC, right: scratch}")  # the tip is the left
    assert isinstance(on, SetValue)
    assert on.value == "[file, left]"


def test_tracks_that_say_what_they_hold_but_no_timecode() -> None:
    came = came_of(timecode_track_not_declared, small(tracks="{left: scratch}", on="[file]"))
    assert came.one.fix is not None
    written = next(edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue))
    assert written == "{left: LTC, right: scratch}"


@pytest.mark.parametrize(
    "text",
    [
        small(),
        small(on="[file]"),  # the tracks say it
        small(tracks="{right: scratch}", on="[left]"),  # timecode_on says it
        small(tracks="{left: scratch}", on="[file]").replace("all day", "to compare"),
        reader(),
    ],
)
def test_a_track_that_is_named(text: str) -> None:
    assert came_of(timecode_track_not_declared, text).silent


def test_where_nobody_says_anything_it_is_another_rule() -> None:
    assert came_of(
        timecode_track_not_declared, small(tracks="{left: scratch}").replace(", timecode_on: [left]", "")
    ).silent


BOTH = "{left: LTC, right: LTC}"


def test_nothing_beside() -> None:
    came = came_of(nothing_beside_the_timecode, small(tracks=BOTH, on="[left, right]"))
    assert came.one.level is Level.WARNING
    assert came.amounts == {"tracks of timecode": 2}
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        "{left: LTC, right: scratch}",
        "[left]",
    ]


@pytest.mark.parametrize(
    ("ways", "level"), [("[slate]", Level.NOTE), ("[flash, slate]", Level.NOTE), ("[scratch sound]", Level.WARNING)]
)
def test_a_slate_makes_up_for_scratch_sound(ways: str, level: Level) -> None:
    project = f"rate: 25, post: {{second_way: {ways}}}"
    assert came_of(nothing_beside_the_timecode, small(tracks=BOTH, project=project)).one.level is level


@pytest.mark.parametrize("tracks", ["{left: LTC, right: scratch}", "{left: LTC}", "{left: scratch, right: boom}"])
def test_something_beside_or_nothing_said(tracks: str) -> None:
    assert came_of(nothing_beside_the_timecode, small(tracks=tracks)).silent


def test_cameras_on_different_sides() -> None:
    odd = "  cam_2: {like: cam}\n  cam_3: {like: cam, records: {sound: {tracks: {left: scratch, right: LTC}}}}\n"
    came = came_of(timecode_on_different_sides, small(more=odd))
    assert came.one.who == ("cam_3",)
    assert came.one.level is Level.NOTE
    assert came_of(timecode_on_different_sides, small(more="  cam_2: {like: cam}\n")).silent
