"""Sample rates that differ, and headers that say another."""

import pytest

from synclint.findings import Finding, Level, SetValue
from synclint.rules import speed
from synclint.rules.sample_rates import (
    header_with_another_sample_rate,
    mixed_sample_rates,
    post_reads_another_sample_rate,
)
from tests.rules.running import Came, came_of, rig

FORTY_EIGHT = "rate: 25, sample_rate: 48 kHz"
NINETY_SIX = "rate: 25, sample_rate: 96 kHz"


def edits(finding: Finding) -> dict[str, str]:
    """What a fix sets, by path."""
    assert finding.fix is not None
    return {str(edit.place): edit.value for edit in finding.fix.edits if isinstance(edit, SetValue)}


def mixed(*sounds: str, project: str = FORTY_EIGHT, day: str = "longest_take: 1 h", more: str = "") -> Came:
    devices = "".join(f"  rec_{n}: {{records: {{sound: {{{sound}}}}}}}\n" for n, sound in enumerate(sounds, 1)) + more
    units = "  second: {master: cart, cut_with: main, shares_timecode: false}" if "cart:" in more else ""
    return came_of(mixed_sample_rates, rig(devices, project=project, day=day, units=units))


def test_44_1_read_as_48_is_8_8_per_cent_fast() -> None:
    # 48/44.1 = 1.0884, 60 min x 44.1/48 = 55.125 min, 12 log2(48/44.1) = 1.467 semitones (exact arithmetic)
    came = mixed("sample_rate: 44.1 kHz")
    assert came.one.level is Level.WARNING
    assert came.amounts["speed"] == pytest.approx(1.0884, abs=1e-4)
    assert came.amounts["an hour becomes"] == 55.125
    assert came.amounts["the longest take ends off by"] == 292.5  # 3600 s - 3307.5 s
    assert "1.47 semitones up" in came.one.cost_sentence


def test_what_is_played_back_at_another_rate_is_an_error() -> None:
    player = "  player: {class: playback device, records: {sound: {sample_rate: 44.1 kHz}}}\n"
    came = mixed("sample_rate: 48 kHz", more=player)
    assert (came.one.who, came.one.level) == (("player",), Level.ERROR)
    assert "the music runs 8.84 % fast" in came.one.cost_sentence


@pytest.mark.parametrize("sound", ["sample_rate: 48.048 kHz, stamped: 48 kHz", "sample_rate: 47.952 kHz"])
def test_a_pull_is_another_rules(sound: str) -> None:
    assert mixed("sample_rate: 48 kHz", sound).silent


def small(tracks: str, able: str = "", rate: str = "48 kHz") -> str:
    """A camera that records sound beside its picture."""
    able = f"able: {{records: {{sound: {{sample_rates: [{able}]}}}}}}, " if able else ""
    records = f"picture: {{shot_at: 25}}, sound: {{sample_rate: {rate}{tracks}}}"
    return f"  cam_b: {{{able}records: {{{records}}}}}\n"


GUIDES = ", tracks: {left: LTC, right: scratch}"


def test_a_small_cameras_scratch_track_is_no_fault() -> None:
    bag = "sample_rate: 96 kHz"
    assert mixed(bag, project=NINETY_SIX, more=small(GUIDES, "48 kHz")).silent
    came = mixed(bag, project=NINETY_SIX, more=small(GUIDES, "48 kHz, 96 kHz"))
    assert came.one.level is Level.NOTE
    assert came.one.sentence == "cam_b records LTC and scratch at 48 kHz where the project works at 96 kHz"


def test_a_device_is_not_told_to_set_what_it_has_not() -> None:
    came = mixed("sample_rate: 96 kHz", project=NINETY_SIX, more=small(", tracks: {left: boom}", "48 kHz"))
    assert came.one.level is Level.WARNING
    assert came.one.fix_sentence == "Tell post to convert the files of cam_b, which has no 96 kHz"
    assert edits(came.one) == {}
    assert mixed("sample_rate: 96 kHz", project=NINETY_SIX, more=small(", tracks: {left: boom}")).one.fix_sentence == (
        "Set cam_b to 96 kHz, or tell post which files to convert"
    )


def test_a_cameras_sound_of_which_nobody_says_more_is_for_reading() -> None:
    assert mixed("sample_rate: 96 kHz", project=NINETY_SIX, more=small("", "48 kHz")).silent
    came = mixed("sample_rate: 48 kHz", project=FORTY_EIGHT, more=small("", rate="96 kHz"))
    assert (came.one.level, came.one.sentence) == (
        Level.NOTE,
        "cam_b records sound at 96 kHz where the project works at 48 kHz",
    )
    came = mixed("sample_rate: 192 kHz", project=FORTY_EIGHT)
    # 48/192 is a quarter, two octaves of 12 semitones down (exact arithmetic)
    assert "plays at a quarter of the speed and 24 semitones down: an hour becomes 4 h" in came.one.cost_sentence
    came = mixed("sample_rate: 48 kHz", project=FORTY_EIGHT, more=small("", rate="96 kHz"))
    # 96 kHz read as 48 kHz: half the speed, an octave down (exact arithmetic)
    assert "it plays at half the speed and 12 semitones down: an hour becomes 2 h" in came.one.cost_sentence


def test_a_sound_recorder_with_ltc_on_a_track_is_told_as_ever() -> None:
    came = mixed("sample_rate: 48 kHz, tracks: {left: LTC}", project=NINETY_SIX)
    assert came.one.level is Level.WARNING


def test_without_an_agreed_rate_the_odd_one_is_told() -> None:
    came = mixed("sample_rate: 48 kHz", "sample_rate: 96 kHz", "sample_rate: 48 kHz", project="rate: 25")
    assert came.one.who == ("rec_2",)


def test_posts_rate_is_agreed_on_where_the_project_says_none() -> None:
    came = mixed("sample_rate: 96 kHz", "sample_rate: 96 kHz", project="rate: 25, post: {sample_rate: 48 kHz}")
    assert came.one.who == ("rec_1", "rec_2")
    assert came.one.sentence == "rec_1 and rec_2 record at 96 kHz where the rest works at 48 kHz"


@pytest.mark.parametrize(
    "more",
    [
        "  spare: {trigger: true, records: {sound: {sample_rate: 44.1 kHz}}}\n",
        "  cam_a: {records: {sound: none}}\n",
        "  cart: {unit: second, records: {sound: {sample_rate: 96 kHz}}}\n",  # a unit of its own, told as a unit
    ],
)
def test_what_is_not_compared(more: str) -> None:
    assert mixed("sample_rate: 48 kHz", more=more).silent


def test_a_header_far_from_the_recorded_rate_is_one_finding_of_its_own_rule() -> None:
    text = rig("  bag: {records: {sound: {sample_rate: 44.1 kHz, stamped: 48 kHz}}}", project=FORTY_EIGHT)
    assert came_of(mixed_sample_rates, text).silent
    assert came_of(header_with_another_sample_rate, text).one.sentence == (
        "bag records at 44.1 kHz and stamps its files 48 kHz"
    )


@pytest.mark.parametrize(
    ("project", "able", "says", "sets"),
    [
        # where all the others record at 48 kHz, a recording at 44.1 kHz would be the next finding
        (FORTY_EIGHT, "", "Record on bag at 48 kHz", ("sample_rate", "48 kHz")),
        (FORTY_EIGHT, "44.1 kHz", "Have the files of bag stamped 44.1 kHz", ("stamped", "44.1 kHz")),
        ("rate: 25", "", "Have the files of bag stamped 44.1 kHz", ("stamped", "44.1 kHz")),
        ("sample_rate: 44.1 kHz", "", "Have the files of bag stamped 44.1 kHz", ("stamped", "44.1 kHz")),
    ],
)
def test_recording_and_header_are_brought_together(project: str, able: str, says: str, sets: tuple[str, str]) -> None:
    able = f"able: {{records: {{sound: {{sample_rates: [{able}]}}}}}}, " if able else ""
    text = rig(f"  bag: {{{able}records: {{sound: {{sample_rate: 44.1 kHz, stamped: 48 kHz}}}}}}", project=project)
    found = came_of(header_with_another_sample_rate, text).one
    assert found.fix_sentence == f"{says}, and repair the headers of files that exist to say 44.1 kHz"
    key, value = sets
    assert edits(found) == {f"devices/bag/records/sound/{key}": value}
    assert found.cost_sentence.startswith("a player that believes the header plays it 8.84 % fast")


@pytest.mark.parametrize("sound", ["sample_rate: 50 kHz, stamped: 48 kHz", "sample_rate: 48.048 kHz, stamped: 48 kHz"])
def test_a_header_that_pulls_is_another_rules(sound: str) -> None:
    text = rig(f"  bag: {{records: {{sound: {{{sound}}}}}}}", project=FORTY_EIGHT)
    assert came_of(header_with_another_sample_rate, text).silent


def test_post_at_another_rate() -> None:
    devices = "  bag: {records: {sound: {sample_rate: 48 kHz}}}"
    text = rig(devices, project="rate: 25, sample_rate: 48 kHz, post: {sample_rate: 44.1 kHz}")
    # 44.1/48 = 0.91875: an hour becomes 65.306 min (exact arithmetic)
    came = came_of(post_reads_another_sample_rate, text)
    assert came.one.level is Level.WARNING
    assert came.amounts["an hour becomes"] == pytest.approx(65.306, abs=1e-3)
    assert came.one.sentence == "post works at 44.1 kHz and the shoot records at 48 kHz"
    assert came.one.fix_sentence == (
        "Ask post to open its project at 48 kHz; where it must stay at 44.1 kHz, send a test file before the first day"
    )
    assert edits(came.one) == {"project/post/sample_rate": "48 kHz"}
    assert came_of(mixed_sample_rates, text).silent


def test_post_at_48_is_not_asked_to_leave_it() -> None:
    text = rig("  bag: {}", project=f"{NINETY_SIX}, post: {{sample_rate: 48 kHz}}")
    found = came_of(post_reads_another_sample_rate, text).one
    assert found.fix_sentence.startswith("Record at 48 kHz; where it must be 96 kHz, send post a test file")
    assert edits(found) == {}


@pytest.mark.parametrize("post", ["post: {sample_rate: 48 kHz}", "post: {rate: 25}"])
def test_post_at_the_same_rate_or_unsaid(post: str) -> None:
    text = rig("  bag: {records: {sound: {sample_rate: 48 kHz}}}", project=f"{FORTY_EIGHT}, {post}")
    assert came_of(post_reads_another_sample_rate, text).silent


@pytest.mark.parametrize(
    "sound", ["sample_rate: 0 Hz", "sample_rate: 48 kHz, stamped: 0 Hz", "sample_rate: 0 Hz, stamped: 48 kHz"]
)
@pytest.mark.parametrize("project", ["sample_rate: 0 Hz, post: {sample_rate: 48 kHz}", "post: {sample_rate: 0 Hz}", ""])
def test_a_sample_rate_of_nothing_is_no_sample_rate(sound: str, project: str) -> None:
    devices = f"  bag: {{records: {{sound: {{{sound}, container: RIFF, track_count: 2}}}}}}"
    text = rig(devices, project=project, day="call: 07:00, wrap: 19:00, longest_take: 1 h")
    for rule in (mixed_sample_rates, header_with_another_sample_rate, post_reads_another_sample_rate, *speed.RULES):
        came_of(rule, text)
    assert came_of(header_with_another_sample_rate, text).silent
