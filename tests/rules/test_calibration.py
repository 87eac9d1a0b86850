"""Calibrations; 1 ppm is 3.6 ms an hour (exact arithmetic), 1 to 2.5 ppm of an aged clock is common practice."""

from __future__ import annotations

from datetime import date

import pytest

from synclint.checker import Choice, check_text
from synclint.findings import Level
from synclint.rules.calibration import calibration_out_of_date
from tests.rules.days import BAG, camera, to_jam, told
from tests.rules.running import Came, came_of


def calibrated(day: str, ppm: str = "0.2") -> Came:
    bag = BAG.replace("accuracy: 0.2 ppm,", f"accuracy: {ppm} ppm, calibrated: {day},")
    text = told([bag, camera("cam_a")], to_jam("cam_a.tc_in"))
    return came_of(calibration_out_of_date, text.replace("wrap: 19:00", "wrap: 18:30"))


def test_what_an_old_calibration_costs_over_twelve_hours() -> None:
    came = calibrated("2024-01-15")
    assert came.one.level is Level.NOTE
    assert came.one.sentence == (
        "the clock of bag was calibrated on 2024-01-15, more than 12 months before the last day, 2026-06-14"
    )
    # 12 × 3.6 = 43.2 ms at 1 ppm, 108 ms at 2.5 ppm, 8.64 ms at 0.2 ppm.
    assert came.amounts["drift at worst"] == pytest.approx(108)
    assert came.amounts["drift as claimed"] == pytest.approx(8.64)
    assert "1 to 2.5 ppm where 0.2 ppm is claimed: 43.2 ms to 108 ms" in came.one.cost_sentence
    assert "and not 8.64 ms" in came.one.cost_sentence


@pytest.mark.parametrize(("day", "told_of"), [("2025-06-13", True), ("2025-06-14", False), ("2026-06-01", False)])
def test_twelve_months_to_the_day(day: str, told_of: bool) -> None:
    assert bool(calibrated(day).findings) is told_of


def test_a_coarse_clock_has_nothing_to_lose() -> None:
    assert calibrated("2024-01-15", "2.5").silent
    assert "2 to 2.5 ppm where 2 ppm is claimed" in calibrated("2024-01-15", "2").one.cost_sentence


def test_a_clock_that_keeps_no_time_does_not_count() -> None:
    tuned = camera("cam_a", mode="continuous").replace("accuracy: 2 ppm,", "accuracy: 2 ppm, calibrated: 2020-01-01,")
    links = "  - {from: bag.tc_out, to: cam_a.tc_in, carries: LTC, connected: all day}\n"
    locked = tuned.replace("ports: {", "ports: {ref: {in: [black burst]}, ").replace(
        "timecode: {from", "clock: {from: ref}, timecode: {from"
    )
    gen = "  gen: {able: {ports: {ref: {out: [black burst]}}, clock: {accuracy: 0.1 ppm}}}"
    links += "  - {from: gen.ref, to: cam_a.ref, carries: black burst, format: 625/50i, connected: all day}\n"
    assert came_of(calibration_out_of_date, told([BAG, gen, locked], links)).silent


def test_without_a_date_of_the_shoot_nobody_can_tell() -> None:
    bag = BAG.replace("accuracy: 0.2 ppm,", "accuracy: 0.2 ppm, calibrated: 2020-01-01,")
    text = told([bag, camera("cam_a")], to_jam("cam_a.tc_in")).replace("date: 2026-06-14, ", "")
    assert came_of(calibration_out_of_date, text).silent


KIT = """\
synclint: kit/1
title: Kit of a test
types:
  gen: {class: tuned generator, clock: {accuracy: 0.2 ppm, calibrated: 2025-03-02}}
"""


@pytest.mark.parametrize(("today", "rules"), [("2026-03-02", []), ("2026-03-03", ["calibration-out-of-date"])])
def test_a_kit_by_itself_is_judged_on_the_day_of_the_check(today: str, rules: list[str]) -> None:
    report = check_text(KIT, "a.kit.yaml", Choice(today=date.fromisoformat(today)))
    assert [finding.rule for finding in report.findings] == rules
