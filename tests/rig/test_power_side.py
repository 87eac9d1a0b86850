"""What a device runs on, when its clock was calibrated, and how cold the day is, as they are read."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from synclint.documents.records import UNKNOWN_NAME
from synclint.rig.model import Device
from tests.rig.building import only, sound

KIT = """\
types:
  box:
    class: compensated generator
    clock: {accuracy: 0.5 ppm, calibrated: 2025-01-02}
    power: {runtime: 24 h, auto_off: 30 min}
items:
  - {serial: A1, type: box, runs: {rate: +0.31 ppm, within: 0.05 ppm}, measured: 2026-03-02}
"""


def device(settings: str) -> Device:
    return sound(f"devices:\n  cam_a: {{}}\n  box_a: {settings}\n", KIT).setup.devices["box_a"]


def test_the_kit_says_what_a_type_can_and_the_setup_goes_before_it() -> None:
    plain = device("{type: box}").power
    assert (plain.runtime.value, plain.auto_off.value) == (Fraction(86_400), Fraction(1800))
    assert plain.source.value is None
    assert device("{type: box, power: {runtime: 10 h}}").power.runtime.value == 36_000


def test_never_is_zero() -> None:
    assert device("{type: box, power: {auto_off: never}}").power.auto_off.value == 0


@pytest.mark.parametrize(
    ("settings", "feeder"),
    [
        ("{power: {from: cam_a}}", "cam_a"),
        ("{power: {from: cam_a, runtime: 3 h}}", None),  # its own battery bridges
        ("{power: {from: mains}}", None),
        ("{power: {from: own battery}}", None),
        ("{}", None),
    ],
)
def test_who_goes_off_with_what_feeds_it(settings: str, feeder: str | None) -> None:
    assert device(settings).fed_by == feeder


def test_a_feeder_that_is_no_device_is_told() -> None:
    problem = only("devices:\n  cam_a: {}\n  box_a: {power: {from: cam_b}}\n")
    assert problem.record is UNKNOWN_NAME
    assert str(problem.at) == "devices/box_a/power/from"
    assert "did you mean cam_a?" in problem.sentence


def test_a_piece_that_was_measured_is_as_new_as_its_measurement() -> None:
    assert device("{type: box}").clock.calibrated.value == date(2025, 1, 2)
    assert device("{item: A1}").clock.calibrated.value == date(2026, 3, 2)
    own = "{item: A1, able: {clock: {accuracy: 0.3 ppm, calibrated: 2026-05-01}}}"
    assert device(own).clock.calibrated.value == date(2026, 5, 1)


def test_the_temperatures_of_a_day() -> None:
    (day,) = sound("days: [{temperature: -5..12 C}]\ndevices: {}\n").setup.days
    assert day.temperature.value == (Fraction(-5), Fraction(12))
