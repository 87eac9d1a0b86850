"""Sound that takes its pace from a video reference."""

import pytest

from synclint.findings import Level
from synclint.rules.pacing import clocked_from_the_wrong_family
from tests.rules.running import Came, came_of, rig


def locked(
    format_: str,
    clock: str,
    *,
    carries: str = "black burst",
    day: str = "longest_take: 45 min",
    records: str = "{sound: {sample_rate: 48 kHz}}",
) -> Came:
    devices = f"""
  generator: {{able: {{class: sync generator, ports: {{ref: {{out: [black burst, tri-level, word clock]}}}}}}}}
  bag:
    able: {{class: field recorder, ports: {{video_in: {{in: [black burst, tri-level, word clock]}}}}}}
    clock: {{{clock}}}
    records: {records}
"""
    links = f"  - {{from: generator.ref, to: bag.video_in, carries: {carries}, connected: all day{format_}}}"
    return came_of(clocked_from_the_wrong_family, rig(devices, day=day, links=links))


BLACK = ", format: 525/59.94"


def test_a_menu_on_60_with_a_reference_of_59_94() -> None:
    # 48,000 x (60000/1001)/60 = 47,952.05; 1001/1000 - 1 = 0.001: 3.6 s an hour, 2.7 s in 45 min (exact arithmetic)
    came = locked(BLACK, "from: video_in, expects: 60")
    assert came.amounts == {"parting": 3.6, "parting over the longest take": 2.7}
    assert "48 kHz becomes 47.952 kHz" in came.one.cost_sentence
    assert str(came.one.at) == "devices/bag/clock/expects"


def test_a_menu_on_59_94_with_a_reference_of_60() -> None:
    # 48,000 x 60/(60000/1001) = 48,048; 1 - 1000/1001 = 0.000999: 3.5964 s an hour (exact arithmetic)
    came = locked(", format: 1080/60i", "from: video_in, expects: 59.94", carries="tri-level", day="")
    assert came.amounts["parting"] == pytest.approx(3.5964, abs=1e-4)
    assert "48 kHz becomes 48.048 kHz" in came.one.cost_sentence


def test_24_and_23_976_are_families_too() -> None:
    came = locked(", format: 1080/23.98 PsF", "from: video_in, expects: 24", carries="tri-level")
    assert came.amounts["parting"] == 3.6


def test_another_family_does_not_lock() -> None:
    came = locked(", format: 625/50", "from: video_in, expects: 59.94")
    assert "does not lock" in came.one.cost_sentence


@pytest.mark.parametrize("expects", ["59.94", "29.97"])
def test_fields_told_for_frames_are_one_reference(expects: str) -> None:
    assert locked(BLACK, f"from: video_in, expects: {expects}").silent


def test_a_menu_that_nobody_wrote_down_is_asked_for_where_it_could_be_wrong() -> None:
    lacks = ["which field rate bag is set to expect (clock: expects)"]
    assert locked(BLACK, "from: video_in").lacks == lacks
    assert locked(", format: 1080/60p", "from: video_in", carries="tri-level").lacks == lacks
    # 25 and 50 have no twin a thousandth away
    assert locked(", format: 625/50", "from: video_in").silent


def test_a_reference_of_unknown_format_is_asked_for() -> None:
    assert locked("", "from: video_in, expects: 59.94").lacks == [
        "the format of the reference that reaches bag (links: format)"
    ]


def clocked(word_clock: str, sample_rate: str, carries: str = "word clock", day: str = "longest_take: 20 min") -> Came:
    sound = f"{{sound: {{sample_rate: {sample_rate}}}}}"
    return locked(f", format: {word_clock}", "from: video_in", carries=carries, records=sound, day=day)


@pytest.mark.parametrize("carries", ["word clock", "AES reference"])
def test_a_word_clock_a_thousandth_off(carries: str) -> None:
    # 48,048/48,000 = 1001/1000: 1 - 1000/1001 of an hour, 3600/1001 = 3.5964 s, and of 20 min 1.1988 s (arithmetic)
    came = clocked("48.048 kHz", "48 kHz", carries)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        f"bag takes its pace from generator by {carries} at 48.048 kHz and is set to record at 48 kHz"
    )
    assert came.amounts["parting"] == pytest.approx(3600 / 1001)
    assert came.amounts["parting over the longest take"] == pytest.approx(1200 / 1001)
    assert came.one.cost_sentence.startswith("48 kHz becomes 48.048 kHz")
    # half of 96.096 kHz is 48.048 kHz
    assert clocked("48.048 kHz", "96 kHz", carries).amounts["parting"] == pytest.approx(3600 / 1001)
    # 47,952/48,000 = 0.999: 1/0.999 - 1 = 1/999 of an hour, 3.6036 s
    assert clocked("47.952 kHz", "48 kHz", carries).amounts["parting"] == pytest.approx(3600 / 999)


def test_a_word_clock_of_another_family_does_not_lock() -> None:
    came = clocked("44.1 kHz", "48 kHz")
    assert "does not lock" in came.one.cost_sentence
    assert "pull" not in came.one.fix_sentence


@pytest.mark.parametrize(
    ("word_clock", "sample_rate"),
    [("48 kHz", "48 kHz"), ("48.048 kHz", "48.048 kHz, stamped: 48 kHz"), ("48 kHz", "96 kHz"), ("192 kHz", "48 kHz")],
)
def test_a_word_clock_that_fits(word_clock: str, sample_rate: str) -> None:
    assert clocked(word_clock, sample_rate).silent


def test_what_is_no_reference_with_a_rate_is_left_alone() -> None:
    assert locked("", "from: video_in, expects: 60", carries="word clock").silent
    assert clocked("75 ohm square wave", "48 kHz").silent
    assert locked(BLACK, "from: own clock, expects: 60").silent


def test_the_sound_of_a_camera_goes_with_its_picture() -> None:
    both = "{picture: {shot_at: 29.97, played_at: 29.97}, sound: {sample_rate: 48 kHz}}"
    assert locked(BLACK, "from: video_in", records=both).silent
