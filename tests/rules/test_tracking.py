"""Trackers and motion capture."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.framework import Rule
from synclint.rules.tracking import (
    tracking_at_another_rate,
    tracking_delay_corrected_nowhere,
    tracking_without_the_cameras_timecode,
)
from tests.rules.running import Came, came_of, rig


def tracked(
    rule: Rule, tracking: str, timecode: str = "timecode: {from: tc_in, mode: jam}", lead: str = "to jam"
) -> Came:
    devices = f"""
  gen: {{able: {{ports: {{tc_out: {{out: [LTC]}}}}}}, timecode: {{from: own clock, rate: 23.976}}}}
  cam_a:
    able: {{ports: {{tc_in: {{in: [LTC]}}}}}}
    timecode: {{from: tc_in, mode: jam, rate: 23.976}}
    records: {{picture: {{shot_at: 23.976, played_at: 23.976}}}}
  tracker:
    able: {{ports: {{tc_in: {{in: [LTC]}}}}}}
    {timecode}
    tracking: {{of: [cam_a], {tracking}}}
"""
    ends = "[cam_a.tc_in, tracker.tc_in]" if lead else "[cam_a.tc_in]"
    links = f"  - {{from: gen.tc_out, to: {ends}, carries: LTC, connected: {lead or 'to jam'}}}"
    return came_of(rule, rig(devices, project="rate: 23.976 NDF", links=links))


@pytest.mark.parametrize(
    ("rate", "old_ms", "mended"),
    [("50", 20, "47.952"), ("100", 10, "95.904"), ("120", 1000 / 120, "119.88"), ("25", 40, "23.976")],
)
def test_readings_that_beat_with_the_pictures(rate: str, old_ms: float, mended: str) -> None:
    # a reading each 1/50 s is up to 20 ms old
    came = tracked(tracking_at_another_rate, f"rate: {rate}")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"a reading is old by up to": pytest.approx(old_ms)}
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [mended]


def test_a_slow_beat_is_told_by_how_long_it_takes() -> None:
    # 120 - 5 x 24000/1001 = 120/1001 a second: once in 8.34 s
    assert "once in 8.34 s" in tracked(tracking_at_another_rate, "rate: 120").one.cost_sentence


@pytest.mark.parametrize("rate", ["23.976", "47.952", "95.904", "119.88"])
def test_whole_multiples_go_along(rate: str) -> None:
    assert tracked(tracking_at_another_rate, f"rate: {rate}").silent


def test_no_timecode_where_it_arrives() -> None:
    came = tracked(tracking_without_the_cameras_timecode, "rate: 95.904", "note: nobody set it")
    assert came.amounts == {"cameras whose data cannot be laid": 1}
    assert came.one.fix is not None
    assert [(edit.key, edit.value) for edit in came.one.fix.edits if isinstance(edit, AddKey)] == [
        ("timecode", "{from: tc_in, mode: jam, rate: 23.976}")
    ]


def test_a_clock_of_its_own() -> None:
    came = tracked(
        tracking_without_the_cameras_timecode, "rate: 95.904", "timecode: {from: own clock, mode: free run}", lead=""
    )
    assert "labels its data from a clock that nothing ties to the cameras" in came.one.sentence
    assert came.one.fix is not None
    assert not came.one.fix.edits


@pytest.mark.parametrize(("source", "edited"), [("bag", False), ("gen", True)])
def test_only_timecode_of_the_cameras_clock_is_listened_to(source: str, edited: bool) -> None:
    devices = """
  gen: {able: {ports: {tc_out: {out: [LTC]}}}, timecode: {from: own clock, rate: 23.976}}
  bag: {able: {ports: {tc_out: {out: [LTC]}}}, timecode: {from: own clock, rate: 23.976}}
  cam_a:
    able: {ports: {tc_in: {in: [LTC]}}}
    timecode: {from: tc_in, mode: jam, rate: 23.976}
    records: {picture: {shot_at: 23.976, played_at: 23.976}}
  tracker:
    able: {ports: {tc_in: {in: [LTC]}, aux: {in: [LTC]}}}
    timecode: {from: tc_in, mode: jam}
    tracking: {of: [cam_a], rate: 95.904}
"""
    links = "".join(
        f"  - {{from: {one}.tc_out, to: {to}, carries: LTC, connected: to jam}}\n"
        for one, to in (("gen", "cam_a.tc_in"), ("bag", "tracker.tc_in"), (source, "tracker.aux"))
    )
    came = came_of(tracking_without_the_cameras_timecode, rig(devices, project="rate: 23.976 NDF", links=links))
    assert came.one.fix is not None
    edits = [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)]
    assert edits == (["aux"] if edited else [])
    assert edited or came.one.fix_sentence == "Feed tracker the timecode of gen, and see it in a file of data"


@pytest.mark.parametrize("mode", ["jam", "continuous"])
def test_the_timecode_of_the_camera(mode: str) -> None:
    timecode = f"timecode: {{from: tc_in, mode: {mode}}}"
    assert tracked(tracking_without_the_cameras_timecode, "rate: 95.904", timecode).silent


def test_one_that_is_fed_and_does_not_listen_is_told_as_that() -> None:
    own = "timecode: {from: own clock, mode: free run}"
    assert tracked(tracking_without_the_cameras_timecode, "rate: 95.904", own).silent


def test_a_delay_that_nobody_makes_up_for() -> None:
    # 2 x 1001/24 ms = 83.417 ms; x 60 degrees a second = 5.005 degrees
    came = tracked(tracking_delay_corrected_nowhere, "rate: 95.904, delay: 2 frames, corrected_in: nowhere")
    assert came.amounts == {
        "readings late by": pytest.approx(1001 / 12),
        "trails in a quick pan by": pytest.approx(5.005),
    }
    came = tracked(tracking_delay_corrected_nowhere, "rate: 95.904, delay: 40 ms, corrected_in: nowhere")
    assert came.amounts["readings late by"] == 40


@pytest.mark.parametrize(
    "tracking", ["delay: 2 frames, corrected_in: render node", "delay: 2 frames, corrected_in: post", "delay: 0 frames"]
)
def test_a_delay_that_is_made_up_for(tracking: str) -> None:
    assert tracked(tracking_delay_corrected_nowhere, tracking).silent


def test_a_delay_whose_cure_nobody_names() -> None:
    came = tracked(tracking_delay_corrected_nowhere, "delay: 2 frames")
    assert came.lacks == ["where the delay of tracker is made up for (tracking: corrected_in)"]


def test_a_delay_that_nobody_knows_is_looked_for_on_the_test_day() -> None:
    came = tracked(tracking_delay_corrected_nowhere, "rate: 95.904")
    assert len(came.checklist) == 1
    assert came.checklist[0].sentence.startswith("Pan cam_a quickly and stop: count by how many frames")
