"""Takes that outgrow a file."""

import pytest

from synclint.findings import Level
from synclint.rules.file_sizes import take_longer_than_a_file
from tests.rules.running import Came, came_of, rig

EIGHT = "sample_rate: 48 kHz, bit_depth: 24, track_count: 8, files: all tracks in one"


def filled(sound: str, *, day: str = "longest_take: 71 min", more: str = "") -> Came:
    return came_of(take_longer_than_a_file, rig(f"  bag: {{records: {{sound: {{{sound}}}}}{more}}}", day=day))


@pytest.mark.parametrize(
    ("tracks", "minutes"),
    [
        # 2^32 / (tracks x 3 bytes x 48,000) seconds, in whole minutes (exact arithmetic; the limit from memory)
        (8, 62),
        (12, 41),
        (16, 31),
        (32, 15),
    ],
)
def test_when_four_gibibytes_are_full(tracks: int, minutes: int) -> None:
    sound = EIGHT.replace("track_count: 8", f"track_count: {tracks}")
    came = filled(f"{sound}, container: RIFF")
    assert came.one.level is Level.WARNING
    assert int(came.amounts["a file is full after"] / 60) == minutes
    assert f"fills a file in {minutes} min" in came.one.sentence


def test_a_take_that_just_fits_is_silent() -> None:
    # 2^32 / 1,152,000 = 3728.27 s
    assert filled(f"{EIGHT}, container: RIFF", day="longest_take: 3728 s").silent
    assert filled(f"{EIGHT}, container: RIFF", day="longest_take: 3729 s").amounts["files of the longest take"] == 2


def test_rf64_has_no_end() -> None:
    assert filled(f"{EIGHT}, container: RF64", day="longest_take: 9 h").silent


def test_one_file_a_track_is_full_eight_times_later() -> None:
    # 8 x 3728.27 s = 8 h 17 min
    each = f"{EIGHT.replace('all tracks in one', 'one per track')}, container: RIFF"
    assert filled(each, day="longest_take: 8 h").silent
    assert filled(each, day="longest_take: 9 h").one.level is Level.WARNING


def test_a_recorder_that_begins_files_earlier() -> None:
    # 2 x 10^9 / 1,152,000 = 1736.1 s, 28 min (exact arithmetic)
    came = filled(f"{EIGHT}, container: RF64, limit: 2 GB", day="longest_take: 45 min")
    assert int(came.amounts["a file is full after"] / 60) == 28
    assert str(came.one.at) == "devices/bag/records/sound/limit"


def test_an_unstated_bit_depth_is_assumed_and_said() -> None:
    came = filled("sample_rate: 48 kHz, track_count: 8, container: RIFF")
    assert [fact.value for fact in came.one.assumptions] == [24, "all tracks in one"]


def test_a_container_that_nobody_wrote_down_is_asked_for_where_it_matters() -> None:
    # 8 x 3 x 48,000 x 71 x 60 s = 4,907,520,000 bytes = 4.57 GiB
    assert filled(EIGHT).lacks == [
        "whether files of bag are RIFF or RF64 (records: sound: container), with a take of 4.57 GiB in one file"
    ]
    assert filled(EIGHT, day="longest_take: 20 min").silent


def test_the_longest_take_of_the_device_comes_first() -> None:
    assert filled(f"{EIGHT}, container: RIFF", more=", longest_take: 30 min").silent


def test_a_longest_take_that_nobody_wrote_down_is_asked_for() -> None:
    assert filled(f"{EIGHT}, container: RIFF", day="call: 07:00, wrap: 19:00").lacks == [
        "the longest take; a file of bag is full after 62 min"
    ]


def test_the_number_of_tracks_is_counted_or_asked_for() -> None:
    named = "sample_rate: 192 kHz, bit_depth: 32, container: RIFF, tracks: {track 1: boom, track 2: LTC}"
    # 2^32 / (2 x 4 x 192,000) = 2796.2 s, 46 min
    assert "fills a file in 46 min" in filled(named).one.sentence
    assert filled("sample_rate: 48 kHz, container: RIFF").lacks == [
        "how many tracks bag records (records: sound: track_count)"
    ]


def test_the_sound_of_a_camera_lies_in_its_picture_file() -> None:
    devices = f"  cam_a: {{records: {{picture: {{shot_at: 25}}, sound: {{{EIGHT}}}}}}}"
    assert came_of(take_longer_than_a_file, rig(devices, day="longest_take: 3 h")).silent
