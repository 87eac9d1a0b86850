"""Units that are cut together; the numbers are exact arithmetic."""

import pytest

from synclint.findings import Level
from synclint.rules.rates import RULES as RATES
from synclint.rules.unit_rates import units_at_different_rates
from tests.rules.running import Came, came_of, rig

OWN = "timecode: {from: own clock, mode: free run"
CUT = "  second: {master: bag_2, cut_with: main, shares_timecode: false}"


def two(first: str, second: str, *, units: str = CUT, sound: str = "", project: str = "") -> str:
    devices = f"""\
  bag: {{{OWN}, rate: {first}}}}}
  bag_2: {{unit: second, {OWN}, rate: {second}}}{sound}}}
"""
    return rig(devices, project=project or f"rate: {first}", units=units)


def came(first: str, second: str) -> Came:
    text = two(first, second)
    assert all(came_of(rule, text).silent for rule in RATES)  # one fault, one rule
    return came_of(units_at_different_rates, text)


@pytest.mark.parametrize(
    ("first", "second", "change", "becomes"),
    [
        # played at the first unit's rate: 1 - 1000/1001, an hour 3603.6 s; 1 - 24000/25025, 3753.75 s (arithmetic)
        ("23.976", "24", 0.0999, "played 0.1 % slow, an hour of it 3.6 s longer"),
        ("23.976", "25", 4.0959, "played 4.1 % slow, an hour of it 2 min 34 s longer"),
        # 29.97 to 25: 1 - 25025/30000 = 16.58 %
        ("25", "29.97 DF", 16.5833, "with frames left out or made up each second"),
    ],
)
def test_pictures_of_units_are_converted(first: str, second: str, change: float, becomes: str) -> None:
    found = came(first, second)
    assert found.one.level is Level.ERROR
    assert found.amounts == {"change of speed": pytest.approx(change, abs=1e-4)}
    assert found.one.cost_sentence.endswith(becomes)
    assert "label" not in found.one.cost_sentence  # units that share no timecode have no label in common


def test_a_count_alone_converts_no_picture() -> None:
    found = came("29.97 DF", "29.97 NDF")
    assert found.one.level is Level.WARNING
    # 108 labels an hour (ST 12-1:2014 as tabulated in secondary texts), of 1/30 s: 3.6 s
    assert found.amounts == {"an hour of labels differs by": 108}
    assert "no picture has to be converted" in found.one.cost_sentence


def test_labels_need_not_match_and_rates_must() -> None:
    # whole seconds agree for ever, and every shot is converted all the same
    assert "converted to 23.976" in came("23.976", "29.97 NDF").one.cost_sentence
    # 25 played at 24: 4 %, 3600 s x 25/24 = 3750 s
    assert "played 4 % slow, an hour of it 2 min 30 s longer" in came("24", "25").one.cost_sentence


@pytest.mark.parametrize(("first", "second"), [("25", "50"), ("23.976", "23.98 NDF"), ("29.97 DF", "59.94 DF")])
def test_silence_about_equal_units(first: str, second: str) -> None:
    assert came(first, second).silent


def test_silence_about_units_that_are_not_cut_together() -> None:
    text = two("23.976", "24", units="  second: {master: bag_2, shares_timecode: false}")
    assert came_of(units_at_different_rates, text).silent


def test_a_unit_that_shares_timecode_is_judged_device_by_device() -> None:
    text = two("23.976", "24", units="  second: {master: bag_2, cut_with: main}")
    assert came_of(units_at_different_rates, text).silent
    assert sum(len(came_of(rule, text).findings) for rule in RATES) == 1


def test_two_units_that_name_each_other_are_one_finding() -> None:
    units = f"""{CUT}
  main: {{master: bag, cut_with: second}}"""
    assert len(came_of(units_at_different_rates, two("23.976", "24", units=units)).findings) == 1


def test_a_unit_without_a_rate_is_not_judged() -> None:
    text = rig("  bag_2: {unit: second}", project="rate: 25", units=CUT)
    assert came_of(units_at_different_rates, text).lacks == ["the rates that unit second and unit main count at"]


def test_sample_rates_of_units_that_are_cut_together() -> None:
    text = two("25", "25", sound=", records: {sound: {sample_rate: 44.1 kHz}}", project="rate: 25, sample_rate: 48 kHz")
    found = came_of(units_at_different_rates, text)
    assert found.one.level is Level.WARNING
    # 44.1 kHz read as 48 kHz: 48/44.1 - 1 = 8.8 % fast, an hour in 3600 x 44.1/48 = 3307.5 s, 55.1 min
    assert found.amounts["an hour plays in"] == pytest.approx(3307.5)
    assert "8.84 % fast, an hour in 55 min 8 s" in found.one.cost_sentence


def test_a_pull_is_left_to_the_rules_on_speed() -> None:
    text = two("25", "25", sound=", records: {sound: {sample_rate: 48048 Hz}}", project="rate: 25, sample_rate: 48 kHz")
    assert came_of(units_at_different_rates, text).silent
