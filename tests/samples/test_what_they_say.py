"""What the findings on who is the master say to the people of the sample shoots."""

import re
from pathlib import Path

import pytest

from synclint.checker import Choice, check_file
from synclint.findings import Finding, Level, SetValue

SAMPLES = Path(__file__).parents[2] / "sample_setups"


def told(name: str, rule: str) -> list[Finding]:
    report = check_file(str(SAMPLES / f"{name}.setup.yaml"))
    return [finding for finding in report.findings if finding.rule == rule]


def test_a_camera_that_does_not_hear_its_lead_is_told_once_with_all_that_hang_on_it() -> None:
    _, camera_c = told("broken/tideline_cameras_on_internal", "fed-but-on-own-clock")
    assert "labels of Camera C and of Recorder on C behind it are off" in camera_c.cost_sentence
    assert camera_c.costs is not None
    assert [amount.value for amount in camera_c.costs.amounts] == [2]
    assert told("broken/tideline_cameras_on_internal", "two-timecode-masters") == []


def test_a_second_master_wants_no_spare() -> None:
    assert len(told("broken/tideline_box_out_of_the_van", "two-timecode-masters")) == 1
    assert told("broken/tideline_box_out_of_the_van", "single-master-without-spare") == []


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("tideline_wireless", "Sound bag, box_a, box_b and slate run on by their own clocks"),
        ("broken/tideline_accepted_in_haste", "to bring Sound bag back from box_a takes about 2 min"),
    ],
)
def test_what_has_a_clock_of_its_own_runs_on_without_the_master(name: str, says: str) -> None:
    (finding,) = told(name, "single-master-without-spare")
    assert says in finding.cost_sentence


def test_who_listens_at_the_wrong_port_is_shown_the_right_one() -> None:
    box, slate = told("broken/tideline_wireless_boxes_wait", "nothing-arrives")
    assert box.fix_sentence == "Set box_a to take timecode from radio, where it arrives from Wireless master"
    assert box.fix is not None
    assert box.fix.edits == (SetValue(box.at, "radio"),)
    assert slate.fix_sentence == "Let slate join a radio group or a network at radio, and see the digits move"
    (camera,) = told("broken/two_devices_lead_never_pulled", "nothing-arrives")
    assert camera.fix_sentence == "Plug timecode into tc_in, and see the digits move"


def test_all_that_wait_are_counted_with_those_that_record_the_timecode_as_sound() -> None:
    (finding,) = told("broken/tideline_wireless_master_in_receive", "nobody-makes-timecode")
    assert finding.cost_sentence == "9 devices without usable timecode all day"


def test_one_device_is_told_of_as_one() -> None:
    (finding,) = told("broken/two_devices_camera_leads", "another-master-than-meant")
    assert finding.cost_sentence == "the one device that follows carries the time of camera"


def test_two_good_clocks_that_slip_a_frame_in_a_day_are_a_warning() -> None:
    (finding,) = told("broken/tideline_wireless_genlock_of_its_own", "label-and-pace-unrelated")
    assert finding.level is Level.WARNING
    assert (
        "a frame in 9 h 39 min, at most one label repeated or skipped in the day of 9 h 30 min" in finding.cost_sentence
    )


EXAMPLES = SAMPLES.parent / "synclint" / "rules" / "examples"
EVERY = sorted([*SAMPLES.rglob("*.setup.yaml"), *EXAMPLES.rglob("*.setup.yaml")])


@pytest.mark.parametrize("path", EVERY, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_sentences_begin_and_end_alike(path: Path) -> None:
    named = tuple(re.findall(r"name: ([^,}\n]+)", path.read_text(encoding="utf-8")))
    log = path.with_name(path.name.replace(".setup.", ".log."))
    for finding in check_file(str(path), Choice(log=str(log) if log.exists() else None)).findings:
        names = (*named, *(each for each in finding.who if each))
        for sentence in filter(None, (finding.sentence, finding.cost_sentence)):
            # What follows the level word goes on in small letters, unless it begins with somebody's name.
            begins = sentence.removeprefix("'").removeprefix("`")
            assert begins.startswith(names) or not begins[0].isupper(), sentence
            assert not sentence.endswith((".", ",", ";", ":")), sentence
        if finding.fix_sentence:
            assert not finding.fix_sentence[0].islower(), finding.fix_sentence
            assert not finding.fix_sentence.endswith((".", ",", ";", ":")), finding.fix_sentence


def test_a_wrong_name_is_told_with_what_may_be_meant() -> None:
    said = [finding.sentence for finding in told("broken/tideline_names_mistyped", "unknown-name")]
    assert "al is not a device (did you mean all?)" in said
    assert "cam_c has no port usb_c (did you mean usb?); its ports are hdmi_out, mic_in and usb" in said
    (port,) = told("broken/two_devices_half_a_file", "unknown-name")
    assert port.sentence == "recorder has no port ltc_out (did you mean tc_out?); its only port is tc_out"


def test_a_jammed_camera_of_which_nobody_knows_more_is_jammed_again_after_its_battery() -> None:
    lines = [line.sentence for line in check_file(str(SAMPLES / "tideline_half_jam.setup.yaml")).checklist]
    (cameras,) = (line for line in lines if line.startswith("Camera A and Camera B: 5 batteries"))
    assert cameras.endswith("jam again, or compare a recorded clip, after each change")
