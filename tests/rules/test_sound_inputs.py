"""What a sound input does to LTC: automatic gain, and what is switched on in its menu."""

import pytest

from synclint.findings import Level
from synclint.rules.sound_inputs import automatic_gain_on_timecode, sound_processing_on_timecode
from tests.rules.leads import MIC, reader, small
from tests.rules.running import came_of


def test_linked_automatic_gain_turns_the_scratch_down() -> None:
    came = came_of(automatic_gain_on_timecode, small(mic_set="gain: automatic, gain_linked: true"))
    # 30 mVpp behind 1 kohm into 2 kohm: 20 mVpp, 10 mV rms, -37.78 dBu; -37.78 + 50 = 12.22 dB
    assert came.one.level is Level.ERROR
    assert came.amounts["pulled down by"] == pytest.approx(12.22, abs=0.005)
    assert "scratch" in came.one.sentence


@pytest.mark.parametrize(
    ("mic_set", "tracks"),
    [
        ("gain: automatic", "{left: LTC, right: scratch}"),
        ("gain: automatic, gain_linked: false", "{left: LTC, right: scratch}"),
        ("gain: automatic, gain_linked: true", "{left: LTC}"),  # linked to nothing
    ],
)
def test_automatic_gain_by_itself_is_a_warning(mic_set: str, tracks: str) -> None:
    assert came_of(automatic_gain_on_timecode, small(mic_set=mic_set, tracks=tracks)).one.level is Level.WARNING


def test_fixed_gain_is_right() -> None:
    assert came_of(automatic_gain_on_timecode, small(mic_set="gain: fixed, gain_linked: true")).silent
    assert came_of(automatic_gain_on_timecode, reader(tc_set="gain: automatic")).silent  # it reads and does not record


def test_a_camera_without_fixed_gain_is_told_to_take_another_input() -> None:
    came = came_of(automatic_gain_on_timecode, small(mic=f"{MIC}, gain: automatic", mic_set=""))
    assert "no fixed gain" in came.one.fix_sentence
    assert came.one.fix is not None
    assert not came.one.fix.edits


def test_a_gain_that_nobody_wrote_down_is_asked_for() -> None:
    came = came_of(automatic_gain_on_timecode, small(mic=f"{MIC}, gain: switchable", mic_set=""))
    assert came.lacks == ["whether the gain at mic_in of cam is fixed (ports: gain)"]


@pytest.mark.parametrize(
    ("on", "level"),
    [
        ("[noise reduction]", Level.ERROR),
        ("[voice isolation, low cut]", Level.ERROR),
        ("[low cut]", Level.WARNING),
        ("[limiter, equaliser]", Level.WARNING),
    ],
)
def test_what_takes_it_out_is_worse_than_what_bends_it(on: str, level: Level) -> None:
    came = came_of(sound_processing_on_timecode, small(mic_set=f"gain: fixed, processing: {on}"))
    assert came.one.level is level


@pytest.mark.parametrize(
    ("rate", "low", "high"),
    [
        ("25", 1000.0, 2000.0),  # 40 and 80 times 25
        ("23.976 NDF", 960_000 / 1001, 1_920_000 / 1001),  # 959.04 and 1918.08 Hz
        ("50", 1000.0, 2000.0),  # a word for every two frames
        ("59.94 NDF", 1_200_000 / 1001, 2_400_000 / 1001),
    ],
)
def test_between_which_tones_the_code_lies(rate: str, low: float, high: float) -> None:
    came = came_of(
        sound_processing_on_timecode, small(mic_set="gain: fixed, processing: [low cut]", project=f"rate: {rate}")
    )
    assert came.amounts == {"lowest tone": pytest.approx(low), "highest tone": pytest.approx(high)}


@pytest.mark.parametrize(("at", "found"), [("-12 dBFS", False), ("-11 dBFS", True)])
def test_a_limiter_that_the_code_does_not_reach_sleeps(at: str, found: bool) -> None:
    mic_set = f"gain: fixed, recorded_at: {at}, processing: [limiter]"
    assert bool(came_of(sound_processing_on_timecode, small(mic_set=mic_set)).findings) is found


def test_a_menu_that_nobody_wrote_down_is_a_line_of_the_checklist() -> None:
    came = came_of(sound_processing_on_timecode, small(mic_set="gain: fixed"))
    assert not came.findings
    assert [line.sentence for line in came.checklist] == [
        "In the sound menu of cam switch off limiter, low cut, wind filter and noise reduction for LTC"
    ]
    assert came_of(sound_processing_on_timecode, small()).silent


def test_a_mixer_on_the_way() -> None:
    more = (
        "  mixer: {able: {class: through-thing, ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, "
        "passes: {in: [out]}, ports: {in: {processing: [noise reduction]}}}\n"
        "  cam_2: {like: cam}\n"
    )
    links = (
        "  - {from: box.jack, to: mixer.in, carries: LTC, connected: all day}\n"
        "  - {from: mixer.out, to: cam_2.mic_in, carries: LTC, connected: all day}\n"
    )
    came = came_of(sound_processing_on_timecode, small(more=more, links=links))
    assert "in of mixer" in came.one.sentence
    assert came.one.who == ("cam_2",)
