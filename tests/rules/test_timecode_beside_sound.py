"""LTC in one cable with sound, or on the track beside it: sums by hand, and leaks that nobody hears."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.timecode_beside_sound import timecode_leaks_into_sound
from tests.rules.leads import reader, small
from tests.rules.running import Came, came_of

MIC_IN = "in: [sound], connector: XLR-3, accepts: 1..300 mVpp"


def loom(cable: str, *, level: str = "1 Vpp", mic_in: str = MIC_IN, carries: str = "sound") -> Came:
    more = (
        "  lav: {able: {ports: {out: {out: [sound]}}}}\n"
        f"  bag: {{able: {{class: bag recorder, ports: {{mic_1: {{{mic_in}}}}}}}}}\n"
    )
    links = (
        "  - {from: box.jack, to: cam_1.tc_in, carries: LTC, connected: all day, cable: camera loom}\n"
        f"  - {{from: lav.out, to: bag.mic_1, carries: {carries}, connected: all day, cable: {cable}}}\n"
    )
    box = f"out: [LTC], level: {level} open, source_impedance: 1 kohm"
    return came_of(timecode_leaks_into_sound, reader(box=box, more=more, links=links))


def test_line_level_beside_a_microphone() -> None:
    came = loom("camera loom")
    # 1 Vpp behind 1 kohm into 10 kohm: 0.90909 Vpp, 0.454545 V rms: 20 log10(0.454545/0.774597) = -4.630 dBu;
    # 50 dB beside it: -54.630 dBu, 4.630 dB below speech at -50 dBu
    assert came.one.level is Level.WARNING
    assert came.amounts["leak"] == pytest.approx(-54.630, abs=0.0005)
    assert came.amounts["leak below speech"] == pytest.approx(4.630, abs=0.0005)


def test_cables_apart_and_signals_that_do_not_mind() -> None:
    assert loom("boom cable").silent
    assert loom("camera loom", carries="record trigger").silent
    assert loom("camera loom", mic_in="in: [LTC, sound]").findings  # a sound input that may be for microphones


@pytest.mark.parametrize(("level", "found"), [("2 mVpp", True), ("1.5 mVpp", False)])
def test_a_leak_that_speech_hides(level: str, found: bool) -> None:
    # hidden by 60 dB: LTC at -60 dBu at the input, 1.549 mVpp there, 1.704 mVpp open
    assert bool(loom("camera loom", level=level).findings) is found


def beside(tracks: str, *, at: str = "-12 dBFS", sound: str = "sample_rate: 48 kHz") -> Came:
    mic_set = f"gain: fixed{at and f', recorded_at: {at}'}"
    return came_of(timecode_leaks_into_sound, small(tracks=tracks, mic_set=mic_set, sound=sound))


def test_the_other_side_of_the_jack() -> None:
    came = beside("{left: LTC, right: boom}")
    assert came.amounts == {"leak": -62.0}  # -12 - 50
    assert came.one.level is Level.WARNING


@pytest.mark.parametrize(
    ("tracks", "at"),
    [
        ("{left: LTC, right: scratch}", "-12 dBFS"),
        ("{left: LTC, right: LTC}", "-12 dBFS"),
        ("{left: LTC}", "-12 dBFS"),
        ("{left: LTC, right: boom}", "-21 dBFS"),  # -71 dBFS is not heard
        ("{track 1: boom, track 2: lav, track 8: LTC}", "-12 dBFS"),
    ],
)
def test_nothing_that_is_used_or_nothing_that_is_heard(tracks: str, at: str) -> None:
    assert beside(tracks, at=at).silent


def test_the_next_track_of_a_recorder() -> None:
    tracks = "{track 1: boom, track 2: lav, track 3: LTC}"
    came = beside(tracks, sound="sample_rate: 48 kHz, track_count: 8")
    assert came.one.level is Level.NOTE  # nobody says that its tracks leak
    assert "to track 8" in came.one.fix_sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "{track 1: boom, track 2: lav, track 8: LTC}"


def test_a_separation_that_is_stated() -> None:
    def apart(separation: str) -> Came:
        mic = "in: [sound, LTC], accepts: 1..300 mVpp"
        text = small(tracks="{track 2: lav, track 3: LTC}", mic=mic, mic_set="recorded_at: -12 dBFS")
        stated = f"able: {{records: {{sound: {{separation: {separation}}}}}, class"
        return came_of(timecode_leaks_into_sound, text.replace("able: {class: small", f"{stated}: small"))

    assert apart("45 dB").one.level is Level.WARNING  # -57 dBFS
    assert apart("90 dB").silent


def test_a_level_that_nobody_wrote_down_is_taken_at_the_top_of_the_target() -> None:
    assert beside("{left: LTC, right: boom}", at="").amounts == {"leak": -62.0}
