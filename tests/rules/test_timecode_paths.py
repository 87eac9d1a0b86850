"""LTC in lossy sound, and LTC over radios for sound."""

import pytest

from synclint.findings import Level
from synclint.rules.timecode_paths import timecode_in_lossy_sound, timecode_over_a_sound_radio
from tests.rules.leads import small
from tests.rules.running import Came, came_of


def coded(coding: str) -> Came:
    return came_of(timecode_in_lossy_sound, small(sound=f"sample_rate: 48 kHz, coding: {coding}"))


@pytest.mark.parametrize(
    ("coding", "level"),
    [
        ("AAC 32 kbit/s", Level.ERROR),
        ("AAC 63 kbit/s", Level.ERROR),
        ("AAC 64 kbit/s", Level.WARNING),
        ("AAC 127 kbit/s", Level.WARNING),
        ("speech coding", Level.ERROR),
        ("AMR 12.2 kbit/s", Level.ERROR),
    ],
)
def test_codings_that_it_does_not_survive(coding: str, level: Level) -> None:
    assert coded(coding).one.level is level


@pytest.mark.parametrize("coding", ["PCM", "linear PCM", "FLAC", "lossless"])
def test_codings_without_loss(coding: str) -> None:
    assert coded(coding).silent


def test_what_normally_survives_is_to_be_tried() -> None:
    came = coded("AAC 128 kbit/s")
    assert not came.findings
    assert len(came.checklist) == 1


def test_a_bit_rate_that_nobody_says() -> None:
    assert coded("AAC").lacks == ["the bit rate of AAC on cam (coding: AAC 128 kbit/s)"]


def test_lossy_sound_without_timecode_is_left_alone() -> None:
    text = small(sound="sample_rate: 48 kHz, coding: AAC 32 kbit/s", tracks="{left: scratch}")
    assert came_of(timecode_in_lossy_sound, text).silent


def by_air(
    sender: str = "", receiver: str = "", *, carries: str = "sound", into: str = "tx.in", rate: str = "25"
) -> Came:
    more = (
        f"  tx: {{able: {{class: through-thing, {sender}}}, passes: {{in: [radio]}}}}\n"
        f"  rx: {{able: {{class: through-thing, {receiver}}}, passes: {{radio: [out]}}}}\n"
        "  far: {like: cam}\n"
    )
    links = (
        f"  - {{from: box.jack, to: {into}, carries: LTC, connected: all day}}\n"
        "  - {from: rx.out, to: far.mic_in, carries: LTC, connected: all day}\n"
        f"radio_groups:\n  hop: {{sends: tx.radio, receives: [rx.radio], carries: {carries}}}\n"
    )
    return came_of(timecode_over_a_sound_radio, small(more=more, links=links, project=f"rate: {rate}"))


def test_both_ends_of_a_hop_are_late() -> None:
    came = by_air("delay: 9 ms", "delay: 12 ms")
    assert came.one.level is Level.ERROR
    late = [(amount.value, amount.unit) for amount in came.one.costs.amounts] if came.one.costs else []
    assert late == [(21.0, "ms"), (0.525, "frames")]  # 9 + 12; 21/40
    assert came.one.who == ("far",)


@pytest.mark.parametrize(("delay", "level"), [("19 ms", Level.WARNING), ("20 ms", Level.ERROR)])
def test_a_hop_that_squeezes_nothing_and_is_late_by_less_than_half_a_frame(delay: str, level: Level) -> None:
    # half a frame at 25 is 20 ms
    ports = "ports: {radio: {out: [sound], compands: false}}"
    assert by_air(f"{ports}, delay: {delay}").one.level is level


def test_a_hop_that_squeezes() -> None:
    came = by_air("ports: {radio: {out: [sound], compands: true}}")
    assert came.one.level is Level.ERROR
    assert "squeezes the level" in came.one.cost_sentence
    assert came.one.costs is not None
    assert not came.one.costs.amounts  # an analogue one takes no time


def test_a_hop_of_which_nobody_says_anything() -> None:
    came = by_air()
    assert "some 2 to 20 ms late" in came.one.cost_sentence
    assert came.one.level is Level.ERROR
    assert came.one.assumptions


def test_what_is_no_hop_for_sound() -> None:
    assert by_air(carries="timecode").silent
    assert by_air(into="far.mic_in").silent
