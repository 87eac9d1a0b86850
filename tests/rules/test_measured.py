"""What the comparisons of a log say of a camera that was jammed from the bag at 07:00."""

from __future__ import annotations

import pytest

from synclint.findings import Finding, Level, Unjudged
from synclint.merging import merged
from synclint.rules.framework import Case, Rule
from synclint.rules.measured import clock_outside_its_accuracy, comparison_off_the_line
from tests.day.logged import log_text, read
from tests.day.running import lived
from tests.rules.running import Came, rig


def came(
    rule: Rule,
    *compared: str,
    accuracy: str = "clock: {accuracy: 0.5 ppm}",
    events: str = "{at: 07:00, do: jam, of: all}",
    read_by: str = "scope",
    project: str = "rate: 25, tolerance: 1 frame",
) -> Came:
    """What comes of a rule and readings such as `10:00 +2.2 ms`."""
    devices = f"""
  bag:
    able: {{class: bag recorder, ports: {{out: {{out: [LTC]}}}}, clock: {{accuracy: 0.2 ppm}}}}
    timecode: {{from: own clock}}
  cam:
    able: {{class: cinema camera, ports: {{in: {{in: [LTC]}}}}, timecode: {{jam_error: 0.1 ms}}, {accuracy}}}
    timecode: {{from: in, mode: jam}}
"""
    links = "  - {from: bag.out, to: cam.in, carries: LTC, connected: to jam}"
    days = lived(rig(devices, day=f"call: 06:30, wrap: 19:00, events: [{events}]", links=links, project=project))
    entries = [
        f"{{at: {at}, do: compare, of: [cam], against: bag, offset: {offset}, read_by: {read_by}}}"
        for at, _, offset in (each.partition(" ") for each in compared)
    ]
    log = read(days.case.setup, log_text("\n".join(entries))).log if entries else None
    made = list(rule(Case(days.case.setup, log)))
    return Came(
        merged(each.capped() for each in made if isinstance(each, Finding)),
        [each for each in made if isinstance(each, Unjudged)],
        [],
    )


# --- readings off the line ---


def test_a_restart_between_two_readings() -> None:
    # 2.16 ms in 3 h are 0.2 ppm, 0.72 ms an hour: at 12:00 3.6 ms are on the line and 83.6 ms are 80 ms off it.
    found = came(comparison_off_the_line, "10:00 +2.16 ms", "12:00 +83.6 ms", "14:00 +85.04 ms")
    assert found.one.level is Level.WARNING
    assert found.one.sentence == (
        "from 12:00 on all readings of cam against bag are 80 ms above the line of those before: "
        "cam was restarted or set anew after 10:00"
    )
    assert found.amounts == {"off the line": pytest.approx(80), "rolls concerned": 0}
    assert found.one.cost_sentence == "80 ms (2 frames at 25) in all that cam labelled after 10:00"
    assert str(found.one.at) == "entries/1/offset"


def test_the_takes_since_the_restart_are_named() -> None:
    roll = "{at: 11:30, do: roll, of: [bag, cam], until: 11:50}, {at: 09:00, do: roll, of: [cam], until: 09:50}"
    found = came(
        comparison_off_the_line,
        "10:00 +2.16 ms",
        "12:00 -36.4 ms",
        "14:00 -34.96 ms",
        events="{at: 07:00, do: jam, of: all}, " + roll,
    )
    assert found.one.cost_sentence == "40 ms (1 frame at 25) in the roll at 11:30"
    assert "40 ms below the line" in found.one.sentence


def test_a_reading_that_the_later_ones_contradict_was_misread() -> None:
    found = came(comparison_off_the_line, "10:00 +2.16 ms", "12:00 +43.6 ms", "14:00 +5.04 ms", "16:00 +6.48 ms")
    assert found.one.sentence == (
        "the reading of cam against bag at 12:00 is 40 ms above the line of the others, before it and after it: "
        "it is misread"
    )
    assert found.one.fix_sentence == "Correct the entry of 12:00, or take it out"
    assert "in place of +0.2 ppm" in found.one.cost_sentence


def test_of_the_last_reading_nobody_can_tell_yet() -> None:
    found = came(comparison_off_the_line, "10:00 +2.16 ms", "12:00 +3.6 ms", "14:00 +45.04 ms")
    assert found.one.sentence == (
        "the reading of cam against bag at 14:00 is 40 ms above the line of those before: it is misread, or cam was "
        "restarted or set anew after 12:00"
    )
    assert found.one.fix_sentence.startswith("Read cam against bag once more; if it is the same again, jam cam")
    assert found.one.cost_sentence.endswith("labelled after 12:00, unless it is misread")


@pytest.mark.parametrize(
    ("compared", "read_by"),
    [
        (["10:00 +2.16 ms", "12:00 +3.6 ms", "14:00 +5.04 ms"], "scope"),
        (["10:00 +2.26 ms", "12:00 +3.5 ms", "14:00 +5.14 ms"], "scope"),  # 0.1 ms off each, as a scope may be
        (["10:00 +1 frame", "12:00 0 frames", "14:00 +1 frame", "16:00 0 frames"], "display"),
        (["12:00 +83.6 ms"], "scope"),  # one reading and the jam are always on a line
    ],
)
def test_what_may_lie_on_one_line_is_silent(compared: list[str], read_by: str) -> None:
    assert came(comparison_off_the_line, *compared, read_by=read_by).silent


def test_a_display_two_frames_off_is_told() -> None:
    found = came(comparison_off_the_line, "10:00 0 frames", "12:00 +3 frames", "14:00 0 frames", read_by="display")
    assert found.one.sentence.startswith("the reading of cam against bag at 12:00 is 1")


def test_a_clock_that_wanders_is_given_room() -> None:
    # Off the line by 3 ms at 14:00; 0.5 ppm over seven hours are 12.6 ms.
    compared = ["10:00 +2.16 ms", "12:00 +3.6 ms", "14:00 +8.04 ms"]
    assert came(comparison_off_the_line, *compared).findings
    wandering = "clock: {accuracy: 0.5 ppm, varying: 0.5 ppm}"
    assert came(comparison_off_the_line, *compared, accuracy=wandering).silent


def test_a_comparison_that_is_of_no_use_is_told() -> None:
    assert came(comparison_off_the_line, "06:40 0 ms").lacks == [
        "what the comparison at 06:40 could be held against (the times of cam and bag do not come from one master)"
    ]


# --- clocks outside their accuracy ---


def test_a_clock_that_gains_more_than_is_stated() -> None:
    # 3 ppm are 10.8 ms an hour; at most 3.00741 ppm over 43,200 s and the jam's 0.1 ms are 130.02 ms by 19:00. Of a
    # frame of 40 ms there are 39.9 ms after the jam: 13,267 s, 3 h 41 min 7 s.
    found = came(clock_outside_its_accuracy, "10:00 +32.4 ms", "13:00 +64.8 ms")
    assert found.one.level is Level.ERROR
    assert found.one.sentence == (
        "by the readings of the log cam gains 3 ppm (±0.00741) on bag, where what is stated of the two comes to "
        "0.7 ppm at most"
    )
    assert found.amounts["measured rate"] == pytest.approx(3, abs=1e-3)
    assert found.amounts["apart at the next jam or wrap"] == pytest.approx(130.02, abs=0.01)
    assert found.one.cost_sentence.startswith("10.8 ms an hour, up to 130 ms")
    assert "the tolerance may be left by 10:41:07" in found.one.cost_sentence
    assert "at least every 3 h 41 min" in found.one.fix_sentence


def test_what_wanders_is_in_the_interval_as_it_is_in_the_forecast() -> None:
    # 0.4 ppm more: 3.40741 ppm, 12.27 ms an hour and 147.3 ms by 19:00; 39.9 ms last 11,709 s, 3 h 15 min 9 s.
    wandering = "clock: {accuracy: 0.5 ppm, varying: 0.4 ppm}"
    found = came(clock_outside_its_accuracy, "10:00 +32.4 ms", "13:00 +64.8 ms", accuracy=wandering)
    assert found.amounts["apart at the next jam or wrap"] == pytest.approx(3.40741 * 43.2 + 0.1, abs=0.01)
    assert found.one.cost_sentence.startswith(
        "10.8 ms an hour, 12.3 ms if the two wander by another 0.4 ppm with temperature; up to 147 ms"
    )
    assert "the tolerance may be left by 10:15:09" in found.one.cost_sentence
    assert "at least every 3 h 15 min" in found.one.fix_sentence


def test_one_that_loses() -> None:
    assert "cam loses 3 ppm" in came(clock_outside_its_accuracy, "10:00 -32.4 ms", "13:00 -64.8 ms").one.sentence


def test_within_the_tolerance_it_is_a_warning() -> None:
    # 0.8 ppm are 34.6 ms in twelve hours (34.9 ms by the interval and the jam), less than the frame of 40 ms.
    found = came(clock_outside_its_accuracy, "10:00 +8.64 ms", "13:00 +17.28 ms")
    assert found.one.level is Level.WARNING
    assert "tolerance" not in found.one.cost_sentence


def test_one_reading_cannot_tell_a_restart_from_a_bad_clock() -> None:
    found = came(clock_outside_its_accuracy, "13:00 +64.8 ms")
    assert found.one.level is Level.WARNING
    assert found.one.sentence.endswith("or cam was restarted or set anew after the jam, which one reading cannot tell")


@pytest.mark.parametrize(
    ("compared", "read_by"),
    [
        (["10:00 +7.5 ms", "13:00 +15 ms"], "scope"),  # 0.694 ppm, and 0.7 are stated
        (["13:00 +15.2 ms"], "scope"),  # 0.704 ± 0.007 ppm
        (["10:00 +1 frame", "13:00 +1 frame"], "display"),
        (["13:00 +40 ms"], "comparing device"),  # a frame either way
    ],
)
def test_what_the_clocks_may_do_is_silent(compared: list[str], read_by: str) -> None:
    assert came(clock_outside_its_accuracy, *compared, read_by=read_by).silent


def test_a_class_default_makes_no_error() -> None:
    found = came(clock_outside_its_accuracy, "10:00 +432 ms", "13:00 +864 ms", accuracy="")
    assert found.one.level is Level.WARNING
    assert found.one.assumptions


def test_without_a_rate_the_cost_is_in_seconds_and_a_tolerance_in_frames_tells_nothing() -> None:
    found = came(clock_outside_its_accuracy, "10:00 +32.4 ms", "13:00 +64.8 ms", project="tolerance: 1 frame")
    assert found.one.level is Level.WARNING
    assert "up to 130 ms from the jam at 07:00 to the wrap (19:00)" in found.one.cost_sentence


def test_a_misread_comparison_is_not_held_against_the_clock() -> None:
    compared = ["10:00 +2.16 ms", "12:00 +43.6 ms", "14:00 +5.04 ms", "16:00 +6.48 ms"]
    assert came(clock_outside_its_accuracy, *compared).silent


def test_without_a_log_both_are_silent() -> None:
    assert came(clock_outside_its_accuracy).silent
    assert came(comparison_off_the_line).silent
