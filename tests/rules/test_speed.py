"""Recordings of one scene that are played at different speeds."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.speed import pull_not_matched_by_the_picture
from tests.rules.running import Came, came_of, rig

HOUR = "longest_take: 1 h"


def played(
    picture: str,
    sound: str,
    *,
    day: str = HOUR,
    project: str = "rate: 24, tolerance: 1 frame",
    more: str = "",
) -> Came:
    devices = f"""
  cam_a: {{able: {{class: cinema camera}}, records: {{picture: {{{picture}}}}}}}
  bag: {{able: {{class: field recorder}}, records: {{sound: {{{sound}}}}}}}
{more}"""
    return came_of(pull_not_matched_by_the_picture, rig(devices, day=day, project=project))


def test_a_slowed_picture_with_sound_slowed_with_it_holds() -> None:
    # 24000/1001 over 24 and 48,000 over 48,048 are both 1000/1001 (exact arithmetic)
    assert played("shot_at: 24, played_at: 23.976", "sample_rate: 48.048 kHz, stamped: 48 kHz").silent


def test_a_slowed_picture_with_plain_sound_parts_by_three_point_six_seconds_an_hour() -> None:
    # 1 / (1000/1001) - 1 = 1/1000, times 3600 s (exact arithmetic)
    came = played("shot_at: 24, played_at: 23.976", "sample_rate: 48 kHz")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"parting": 3.6, "parting over the longest take": 3.6}
    assert came.one.who == ("bag",)
    assert came.one.sentence == (
        "bag, recorded at 48 kHz, plays at true speed beside the picture of cam_a, which plays 0.1 % slow"
    )
    assert came.one.fix is not None
    assert {getattr(edit, "value", None) for edit in came.one.fix.edits} == {"48.048 kHz", "48 kHz"}


def test_a_recorder_that_cannot_pull_is_not_told_to() -> None:
    able = ", records: {sound: {sample_rates: [48 kHz, 96 kHz]}}}"
    devices = f"""
  cam_a: {{able: {{class: cinema camera}}, records: {{picture: {{shot_at: 24, played_at: 23.976}}}}}}
  bag: {{able: {{class: field recorder{able}, records: {{sound: {{sample_rate: 48 kHz}}}}}}
"""
    came = came_of(pull_not_matched_by_the_picture, rig(devices, day=HOUR, project="rate: 24"))
    assert came.one.fix_sentence == (
        "Play the picture at the rate it was shot at, or have post slow the sound by 0.1 % with it"
    )
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["24"]


def test_25_played_at_24_with_sound_untouched_parts_by_150_seconds_an_hour() -> None:
    # 1 / (24/25) - 1 = 1/24, times 3600 s; 2.5 s a minute shot (exact arithmetic)
    came = played("shot_at: 25, played_at: 24", "sample_rate: 48 kHz", day="longest_take: 1 min")
    assert came.amounts == {"parting": 150.0, "parting over the longest take": 2.5}
    # 24/25 is 4 % slow, 25/24 lasts 4.17 % longer
    assert "the picture of cam_a, which plays 4 % slow" in came.one.sentence
    assert came.one.cost_sentence.startswith(
        "as played, the slower lasts 4.17 % longer: they part by 2 min 30 s an hour"
    )
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["25"]


def test_an_off_speed_picture_is_off_speed_by_intent() -> None:
    assert played("shot_at: 96, played_at: 24", "sample_rate: 48 kHz").silent


def test_a_header_that_cannot_hold_the_pulled_rate_is_no_fault() -> None:
    # 47,952 for 47,952.047952: 1 ppm, 0.18 ms in three minutes (exact arithmetic)
    three = "longest_take: 3 min"
    assert played("shot_at: 23.976, played_at: 24", "sample_rate: 47.952 kHz, stamped: 48 kHz", day=three).silent
    assert played(
        "shot_at: 23.976, played_at: 24", "sample_rate: 47.952 kHz, stamped: 48 kHz", day="call: 07:00"
    ).silent


def test_a_pull_left_on_beside_a_picture_that_is_played_as_shot() -> None:
    # 48,000 / 47,952 - 1 = 1/999, times 3600 s = 3.6036 s (exact arithmetic)
    came = played("shot_at: 24, played_at: 24", "sample_rate: 47.952 kHz, stamped: 48 kHz")
    assert came.amounts["parting"] == pytest.approx(3.6036, abs=1e-4)
    assert came.one.fix_sentence.startswith("Switch the pull off on bag")


def test_a_take_too_short_to_part_by_the_tolerance_is_silent() -> None:
    # 0.001 x 41 s = 41 ms, and a frame at 24 is 41.67 ms; 42 s make 42 ms (exact arithmetic)
    slowed, plain = "shot_at: 24, played_at: 23.976", "sample_rate: 48 kHz"
    assert played(slowed, plain, day="longest_take: 41 s").silent
    assert played(slowed, plain, day="longest_take: 42 s").one.level is Level.ERROR


def test_a_tolerance_that_nobody_stated_decides_at_most_a_warning() -> None:
    slowed, plain = "shot_at: 24, played_at: 23.976", "sample_rate: 48 kHz"
    assert played(slowed, plain, project="rate: 24", day="longest_take: 60 s").one.level is Level.WARNING
    # half a second is past any tolerance: 0.001 x 600 s = 600 ms
    assert played(slowed, plain, project="rate: 24", day="longest_take: 600 s").one.level is Level.ERROR


def test_without_a_longest_take_the_cost_is_told_by_the_hour() -> None:
    came = played("shot_at: 24, played_at: 23.976", "sample_rate: 48 kHz", day="")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"parting": 3.6}


def test_a_rate_that_was_not_stated_to_be_played_is_asked_for() -> None:
    came = played("shot_at: 24", "sample_rate: 48 kHz", project="rate: 23.976 NDF")
    assert came.lacks == ["the rate that files of cam_a are played at (records: picture: played_at)"]


def test_a_pulled_sample_rate_without_a_stamp_is_asked_for() -> None:
    came = played("shot_at: 24, played_at: 23.976", "sample_rate: 48.048 kHz")
    assert came.lacks == ["the sample rate that file headers of bag say (records: sound: stamped)"]


def test_the_camera_that_is_unlike_the_others_is_the_odd_one() -> None:
    came = played(
        "shot_at: 25, played_at: 25",
        "sample_rate: 48 kHz",
        project="rate: 25",
        more="  cam_b: {records: {picture: {shot_at: 25, played_at: 25}}}\n"
        "  cam_c: {records: {picture: {shot_at: 25, played_at: 24}}}\n",
    )
    # |(24/25) / 1 - 1| = 4 %, 144 s an hour (exact arithmetic)
    assert (came.one.who, came.amounts["parting"]) == (("cam_c",), 144.0)


def test_devices_with_one_fault_are_one_finding() -> None:
    came = played(
        "shot_at: 24, played_at: 23.976",
        "sample_rate: 48 kHz",
        more="  cart: {records: {sound: {sample_rate: 48 kHz}}}\n",
    )
    assert came.one.who == ("bag", "cart")
    assert came.one.sentence.startswith("bag and cart, recorded at 48 kHz, play at true speed")


@pytest.mark.parametrize(
    "more",
    [
        "  spare: {trigger: true, records: {sound: {sample_rate: 48 kHz}}}\n",  # only starts others
        "  cam_b: {records: {picture: {shot_at: variable}}}\n",
        "  bag_2: {unit: second, records: {sound: {sample_rate: 48 kHz}}}\n",  # no picture is known beside it
        "  cam_b: {records: {picture: {shot_at: 24, played_at: 23.976}, sound: {sample_rate: 48 kHz}}}\n",
        "  player: {class: playback device, records: {sound: {sample_rate: 48 kHz}}}\n",
    ],
)
def test_what_is_not_compared(more: str) -> None:
    devices = f"""
  cam_a: {{records: {{picture: {{shot_at: 24, played_at: 23.976}}}}}}
  bag: {{records: {{sound: {{sample_rate: 48.048 kHz, stamped: 48 kHz}}}}}}
{more}"""
    text = rig(devices, day=HOUR, units="  second: {master: bag_2, shares_timecode: false}" if "bag_2" in more else "")
    assert came_of(pull_not_matched_by_the_picture, text).silent


def test_a_pull_beside_no_picture_asks_for_the_picture() -> None:
    text = rig("  bag: {records: {sound: {sample_rate: 48.048 kHz, stamped: 48 kHz}}}", day=HOUR)
    assert came_of(pull_not_matched_by_the_picture, text).lacks == [
        "the rates that the pictures beside bag are shot and played at"
    ]
