"""How long clocks of textbook accuracy take to part, out of the program: arithmetic, and classes of oscillators.

The classes are those of J. R. Vig, Introduction to Quartz Frequency Standards (SLCET-TR-92-1), table 1, read: accuracy
in a year of TCXO 2e-6, OCXO 1e-8, rubidium 5e-10, caesium 2e-11.
"""

from __future__ import annotations

from fractions import Fraction as F
from functools import cache

import pytest

from synclint.day.clocktime import day_clocks
from synclint.day.forecast import Forecast
from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rules.framework import Case


@cache
def forecast(rate: str, one: str, other: str) -> Forecast:
    """Two recorders of some accuracies in ppm, the second jammed from the first without error."""
    document = load_text(
        f"""\
synclint: setup/1
title: Two clocks
project: {{rate: {rate}}}
days:
  - {{date: 2026-06-14, call: 00:00, wrap: 23:00 +6, events: [{{at: 00:00, do: jam, of: [b]}}]}}
devices:
  a: {{able: {{ports: {{out: {{out: [LTC]}}}}, clock: {{accuracy: {one} ppm}}}}, timecode: {{from: own clock}}}}
  b:
    able: {{ports: {{in: {{in: [LTC]}}}}, clock: {{accuracy: {other} ppm}}, timecode: {{jam_error: 0 ms}}}}
    timecode: {{from: in, mode: jam}}
links:
  - {{from: a.out, to: b.in, carries: LTC, connected: to jam}}
""",
        "two.setup.yaml",
    ).document
    assert document is not None
    case = Case(build(document, ()).setup)
    return Forecast(case.run, case.phases)


def apart(one: str, other: str, seconds: int) -> F:
    """How far the two may be apart after some seconds, in seconds."""
    found = forecast("25", one, other)
    offset = found.phases.offset("a", "b", found.run.start + seconds)
    assert offset is not None
    return offset.worst


def hours_to(rate: str, one: str, other: str, share: F) -> float:
    """After how many hours the two may be a share of a frame apart."""
    found = forecast(rate, one, other)
    said = found.setup.project.rate.value
    assert said is not None
    left = found.leaves("a", "b", share * said.rate.frame, found.run.start, found.run.end)
    assert left is not None
    return float((left - day_clocks(found.setup)[0].call) / 3600)


def test_one_ppm() -> None:
    assert apart("1", "0", 3600) == F("0.0036")
    assert apart("0.5", "0.5", 86_400) == F("0.0864")
    assert apart("1", "0", 3600) * 48_000 == F("172.8")  # samples an hour at 48 kHz


@pytest.mark.parametrize(("rate", "hours"), [("24", 11.574), ("25", 11.111), ("29.97 NDF", 9.2685)])
def test_hours_to_a_frame_at_one_ppm(rate: str, hours: float) -> None:
    """1 / (rate × 1e-6) / 3600: arithmetic."""
    assert hours_to(rate, "1", "0", F(1)) == pytest.approx(hours, rel=1e-4)


@pytest.mark.parametrize(("each", "hours"), [("2", 2.896), ("0.1", 57.9), ("50", 6.95 / 60)])
def test_two_running_free_at_23_976_are_a_frame_apart(each: str, hours: float) -> None:
    """The worst of two is the sum of both: arithmetic."""
    assert hours_to("23.976", each, each, F(1)) == pytest.approx(hours, rel=1e-3)


@pytest.mark.parametrize(
    ("one", "other", "hours"),
    [
        ("0.3", "0.2", 11.6),
        ("0.25", "0.25", 11.6),
        ("0.5", "0.5", 5.8),
        ("2", "0.5", 2.3),
        ("5", "5", 35 / 60),
        ("19.5", "0.5", 17 / 60),
    ],
)
def test_half_a_frame_at_24_by_the_sum_of_both_clocks(one: str, other: str, hours: float) -> None:
    """Half a frame is 20.833 ms; at 0.5, 1, 2.5, 10 and 20 ppm that is 11.57 h, 5.79 h, 2.31 h, 34.7 min, 17.4 min."""
    assert hours_to("24", one, other, F(1, 2)) == pytest.approx(hours, rel=0.025)
    assert hours_to("24", one, other, F(1, 2)) == pytest.approx(
        1 / 48 / (float(one) + float(other)) * 1e6 / 3600, rel=1e-12
    )


@pytest.mark.parametrize(("ppm", "hours"), [("1", 5.556), ("20", 16.7 / 60)])
def test_half_a_frame_at_25(ppm: str, hours: float) -> None:
    """(0.5 / 25) / ppm: arithmetic."""
    assert hours_to("25", ppm, "0", F(1, 2)) == pytest.approx(hours, rel=2e-3)


@pytest.mark.parametrize(
    ("ppm", "a_day"),
    [("2", F("0.1728")), ("0.01", F("0.000864")), ("0.0005", F("0.0000432")), ("0.00002", F("0.000001728"))],
)
def test_oscillators_in_a_day(ppm: str, a_day: F) -> None:
    """TCXO 172.8 ms, OCXO 0.864 ms, rubidium 43 µs, caesium 1.7 µs against a clock that is right."""
    assert apart(ppm, "0", 86_400) == a_day


def test_a_plain_quartz_in_an_hour() -> None:
    """50 ppm is 180 ms, 4.5 frames at 25: arithmetic on a figure from general knowledge, no source."""
    assert apart("0", "50", 3600) == F("0.18")
    assert apart("0", "50", 3600) * 25 == F("4.5")
