"""Two rigs with planted mistakes: each is found with its cost, and nothing that is right is reported.

What was planted stands beside the line at which it is found, as in the broken samples. Costs are worked out here.
"""

import math
import re
from collections import Counter
from pathlib import Path

import pytest

from synclint.checker import check_file
from synclint.findings import Finding
from synclint.result import Report

HERE = Path(__file__).parent
EXPECTED = re.compile(r"  # expect: (.+)$")


def report(rig: int) -> Report:
    made = check_file(str(HERE / f"rig_{rig}.setup.yaml"))
    assert not made.crashes
    assert not made.could_not_check
    return made


def expected(rig: int) -> Counter[tuple[str, str, str, int]]:
    """Level, rule, file and line of all that is to be found in a rig and its kit."""
    found: Counter[tuple[str, str, str, int]] = Counter()
    for path in sorted(HERE.glob(f"rig_{rig}.*.yaml")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            match = EXPECTED.search(line)
            for announced in match[1].split("; ") if match else ():
                level, rule = announced.split(" ")
                found[level, rule, path.name, number] += 1
    return found


def told(rig: int, rule: str) -> Finding:
    (finding,) = (finding for finding in report(rig).findings if finding.rule == rule)
    return finding


def amounts(finding: Finding) -> dict[str, float]:
    return {amount.name: amount.value for amount in finding.costs.amounts} if finding.costs else {}


@pytest.mark.parametrize("rig", [1, 2])
def test_a_rig_gives_what_was_planted_and_nothing_else(rig: int) -> None:
    assert expected(rig)
    assert Counter(
        (each.level.value, each.rule, Path(each.at.span.file).name, each.at.span.line) for each in report(rig).findings
    ) == expected(rig)


@pytest.mark.parametrize("rig", [1, 2])
def test_nothing_is_left_unjudged(rig: int) -> None:
    assert [each.lacks for each in report(rig).unjudged] == []


# --- rig 1 ---


def test_24p_taken_for_24_is_4_3_s_out_after_the_take() -> None:
    finding = told(1, "unclear-rate")
    # 24 and 24000/1001 part by a thousandth: 3.6 s an hour of labels, which is 3600/1001 = 3.5964 s a real hour.
    # 71 min are 71/60 h: 4.2557 s.
    assert amounts(finding)["apart over the longest take"] == pytest.approx(71 * 60 / 1001)
    assert "4.26 s over the longest take of 1 h 11 min" in finding.cost_sentence


def test_the_take_of_71_minutes_drifts_by_170_ms_whatever_the_timecode_says() -> None:
    finding = told(1, "take-drifts-apart")
    # (10 + 30) ppm × 71 min × 60 s = 170.4 ms, which is 4.09 frames of 41.708 ms.
    assert amounts(finding)["apart at the end of the take"] == pytest.approx(170.4)
    assert "170 ms (4.1 frames at 23.976)" in finding.cost_sentence
    assert "clap at head and tail" in finding.fix_sentence


def test_a_line_level_into_a_microphone_input_is_8_db_too_loud() -> None:
    finding = told(1, "timecode-too-loud")
    # 1 Vpp open from 600 ohm into 2 kohm, both as they usually are: 2000/2600 = 769 mVpp; 20 log10(769/300) = 8.18 dB.
    assert amounts(finding)["at the input"] == pytest.approx(2000 / 2600)
    assert amounts(finding)["over what it takes"] == pytest.approx(20 * math.log10(2000 / 2600 / 0.3))
    assert "pad in the lead" in finding.fix_sentence


def test_the_gain_that_the_timecode_drives_takes_the_scratch_with_it() -> None:
    finding = told(1, "automatic-gain-on-timecode")
    # The code at 0.769 Vpp is 0.385 V rms, -6.08 dBu; speech from a microphone some -50 dBu: 43.9 dB under it.
    level = 20 * math.log10(2000 / 2600 / 2 / math.sqrt(0.6))
    assert amounts(finding)["pulled down by"] == pytest.approx(level + 50)
    assert "it is no help where a label fails" in finding.cost_sentence


def test_plug_in_power_stands_on_an_output_that_does_not_block_it() -> None:
    assert "on tc_out of cam_a" in told(1, "microphone-power-on-a-timecode-output").cost_sentence


def test_that_nobody_compares_and_nothing_else_is_planned_are_lines_to_look_at() -> None:
    lines = [line.sentence for line in report(1).checklist]
    assert any(line.startswith("After the jam: roll cam_a and cam_b") for line in lines)
    assert any(line.startswith("No second way to sync is planned for cam_a and cam_b") for line in lines)


def test_the_battery_of_b_does_no_harm_because_the_timecode_stays_on_its_track() -> None:
    found = [finding for finding in report(1).findings if finding.at.path[:4] == ("days", 0, "events", 1)]
    assert found == []


# --- rig 2 ---


def test_the_recorder_in_drop_frame_is_18_6_s_out_by_noon() -> None:
    finding = told(2, "rates-not-second-aligned")
    # 29.97 DF drops 108 labels of 30 an hour, 3.6 s; from the jam at 06:50 to 12:00 are 5 h 10 min: 18.6 s. At the wrap
    # at 20:00, 13 h 10 min later, 47.4 s.
    assert amounts(finding)["apart at the break"] == pytest.approx(18.6, abs=0.001)
    assert amounts(finding)["apart at wrap"] == pytest.approx(47.4, abs=0.001)
    assert "18.6 s at the break (12:00)" in finding.cost_sentence
    assert "29.97 NDF, whose whole seconds agree" in finding.fix_sentence


def test_the_recorder_was_off_for_longer_than_it_holds_its_time() -> None:
    finding = told(2, "off-longer-than-it-keeps-time")
    assert amounts(finding)["off"] == 2.5
    assert amounts(finding)["keeps its time"] == 2
    assert "its own calendar clock" in finding.cost_sentence
    assert "from rec again between 14:30 and the roll at 15:00" in finding.fix_sentence


def test_a_camera_that_jams_once_is_not_corrected_by_the_lead_that_stays() -> None:
    # 20 ppm against the box's 1 ppm from 06:50 to 16:10: 21 × 9.3333 h × 3.6 = 705.6 ms, and a jam of 0.1 ms.
    assert amounts(told(2, "jam-and-lead-disagree"))["drift"] == pytest.approx(705.7)
    # After its battery nobody knows whether it takes the lead for a new one.
    assert told(2, "time-lost-with-power").at.path == ("days", 0, "events", 7)


def test_the_boxes_do_not_last_in_the_cold() -> None:
    # 13 h 30 min from batteries of 14 h, which at 4 °C give 0.8 + 0.2 × 4/20 = 0.84 of that: 11.76 h.
    found = amounts(told(2, "battery-shorter-than-the-day"))
    assert found["asked for"] == 13.5
    assert found["lasts"] == pytest.approx(11.76)


def test_two_frames_in_the_menu_and_again_in_post_are_two_frames_the_other_way() -> None:
    finding = told(2, "offset-corrected-twice")
    # Labels 2 frames behind, moved 2 later in the menu, -2 subtracted again: -2 + 2 + 2 = +2 frames of 1001/24000 s,
    # 83.417 ms, and twice the tolerance.
    assert amounts(finding)["label error left in frames"] == 2
    assert amounts(finding)["label error left"] == pytest.approx(2 * 1001 / 24)
    assert finding.level.value == "error"
    assert finding.fix is not None
    assert [str(edit.place) for edit in finding.fix.edits] == ["project/post/corrects/cam_c"]
