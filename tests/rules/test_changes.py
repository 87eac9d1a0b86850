"""Changes to the rig and to rates in the course of a day; exact arithmetic unless a source is named."""

import pytest

from synclint.findings import Level
from synclint.rules.changes import changed_without_a_jam
from synclint.rules.rate_changes import rate_changed_for_some
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

# --- another way to take the time ------------------------------------------------------------------------------

DEVICES = [BAG, box("box_a"), camera("cam_a", mode="continuous")]
LEADS = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in") + stays("box_a.jack", "cam_a.usb", "data timecode")
CHANGE = "at: 15:00, do: set, of: [cam_a], to: {timecode: {from: usb}}"
TAKE = roll("15:10", "15:30", "bag", "cam_a")


def changed(*events: str) -> Came:
    return came_of(changed_without_a_jam, told(DEVICES, LEADS, *events))


def test_a_camera_that_takes_its_time_elsewhere_and_rolls() -> None:
    came = changed(JAM, CHANGE, TAKE)
    (finding,) = came.findings
    assert finding.level is Level.NOTE
    assert finding.sentence == (
        "from 15:00 on cam_a takes its time from usb and no more from tc_in, and nobody jams or compares it before "
        "the roll at 15:10"
    )
    assert [line.sentence for line in came.checklist] == [
        "cam_a takes time in another way at 15:00: write it on the sheet with a new revision letter and 'from TC 15:00'"
    ]


@pytest.mark.parametrize(
    "events",
    [
        (JAM, CHANGE, "at: 15:05, do: compare, of: [cam_a], against: bag, read_by: recorded clip", TAKE),
        (JAM, CHANGE, "at: 15:05, do: jam, of: [cam_a], from: bag", TAKE),
        (JAM, CHANGE),
        (CHANGE, TAKE),  # no jam is told of
        (JAM, "at: 14:00, do: leave, of: [cam_a], until: 15:00", TAKE),
    ],
)
def test_a_change_that_was_looked_at_is_a_line_for_the_sheet(events: tuple[str, ...]) -> None:
    came = changed(*events)
    assert not came.findings
    assert came.checklist


def test_what_comes_and_goes_stands_on_the_sheet() -> None:
    came = changed(JAM, "at: 14:00, do: leave, of: [cam_a], until: 16:00")
    assert [line.sentence for line in came.checklist] == [
        "cam_a leaves at 14:00: write it on the sheet with a new revision letter and 'until TC 14:00'",
        "cam_a joins at 16:00: write it on the sheet with a new revision letter and 'from TC 16:00'",
    ]


def test_silence_about_what_is_said_again() -> None:
    assert changed(JAM, "at: 15:00, do: set, of: [cam_a], to: {timecode: {from: tc_in}}", TAKE).silent


# --- rates -----------------------------------------------------------------------------------------------------

RATES = [BAG, camera("cam_a"), camera("cam_b")]
JAMS = to_jam("cam_a.tc_in", "cam_b.tc_in")
TO_25 = "to: {timecode: {rate: 25}, records: {picture: {shot_at: 25, played_at: 25}}}"
CAMERAS_AT_25 = f"at: 14:00, do: set, of: [cam_a, cam_b], {TO_25}"
BAG_AT_25 = "at: 14:00, do: set, of: [bag], to: {timecode: {rate: 25}}"
SCENE = roll("14:30", "15:30", "bag", "cam_a", "cam_b")
BACK = "to: {timecode: {rate: 23.976 NDF}, records: {picture: {shot_at: 23.976, played_at: 23.976}}}"
LATER = roll("16:30", "17:00", "bag", "cam_a", "cam_b")


def rates(*events: str, rate: str = "23.976 NDF") -> Came:
    return came_of(rate_changed_for_some, told(RATES, JAMS, JAM, *events, rate=rate))


def test_a_rate_that_does_not_reach_the_recorder() -> None:
    came = rates(CAMERAS_AT_25, SCENE)
    (finding,) = came.findings
    assert finding.level is Level.ERROR
    assert finding.sentence == (
        "cam_a and cam_b are set to 25 at 14:00, and bag stays at 23.976 NDF in the roll at 14:30"
    )
    assert finding.costs is not None
    # an hour of 25 against 23.976 NDF: 3600 / 1001 = 3.596 s
    assert finding.costs.amounts[0].value == pytest.approx(3.596, abs=1e-3)
    assert "Set bag to 25 before the roll at 14:30, or cam_a and cam_b back to 23.976 NDF" in finding.fix_sentence
    assert str(finding.at) == "days/0/events/1"


def test_a_rate_that_one_camera_does_not_take_back() -> None:
    back = f"at: 16:00, do: set, of: [cam_a], {BACK}"
    bag = "at: 16:00, do: set, of: [bag], to: {timecode: {rate: 23.976 NDF}}"
    (finding,) = rates(CAMERAS_AT_25, BAG_AT_25, SCENE, back, bag, LATER).findings
    assert finding.sentence == "cam_b is still at 25 in the roll at 16:30, where bag and cam_a are back at 23.976 NDF"
    assert finding.fix_sentence.startswith("Set cam_b back to 23.976 NDF before the roll at 16:30; then jam")
    assert "every shot at 25 is converted to 23.976" in finding.cost_sentence


def test_pictures_that_no_longer_play_at_the_speed_of_the_sound() -> None:
    slower = "at: 14:00, do: set, of: [cam_a, cam_b], to: {records: {picture: {shot_at: 24}}}"
    (finding,) = rates(slower, SCENE).findings
    assert finding.sentence == (
        "cam_a and cam_b are set to picture 24 played at 23.976 and timecode 23.976 NDF at 14:00, and bag stays at "
        "23.976 NDF in the roll at 14:30"
    )
    assert finding.costs is not None
    # 1000/1001 over an hour: 3600 / 1001 = 3.596 s
    assert [amount.value for amount in finding.costs.amounts] == [pytest.approx(3.596, abs=1e-3)]


def test_drop_frame_for_some() -> None:
    drop = "at: 14:00, do: set, of: [cam_a, cam_b], to: {timecode: {rate: 29.97 DF}}"
    (finding,) = rates(drop, SCENE, rate="29.97 NDF").findings
    assert finding.who == ("bag",)
    assert "3.6 s an hour (108 frames at 29.97)" in finding.cost_sentence


def test_a_change_is_called_out() -> None:
    (line,) = rates(CAMERAS_AT_25).checklist
    assert line.sentence == "At 14:00 call out the rate: cam_a and cam_b to 25, the slate says so, jam and compare"
    back = f"at: 16:00, do: set, of: [cam_a, cam_b], {BACK}"
    (line,) = rates(CAMERAS_AT_25, back).checklist
    assert line.sentence.endswith("the slate says so; afterwards back to 23.976 NDF, jam and compare")


def test_the_one_camera_at_another_rate_than_the_project_is_to_be_converted() -> None:
    """Played at 25 what was shot at 24 is 25/24 as fast."""
    takes = (roll("14:30", "15:30", "bag", "cam_a"),)
    to_24 = "to: {timecode: {rate: 24}, records: {picture: {shot_at: 24, played_at: 24}}}"
    (finding,) = rates(f"at: 14:00, do: set, of: [cam_a], {to_24}", *takes, rate="25").findings
    assert finding.level is Level.WARNING
    assert finding.sentence == "cam_a is set to 24 at 14:00, and bag stays at 25 in the roll at 14:30"
    # 25/24: an hour of it lasts 57 min 36 s.
    assert "an hour of it 2 min 24 s shorter" in finding.cost_sentence
    assert finding.fix_sentence.startswith("Set cam_a back to 25 before the roll at 14:30; then jam")


@pytest.mark.parametrize(
    "events",
    [
        (CAMERAS_AT_25, BAG_AT_25, SCENE),
        (CAMERAS_AT_25, f"{SCENE}, sync_sound: false"),
        (CAMERAS_AT_25, roll("14:30", "15:30", "cam_a", "cam_b")),
        (CAMERAS_AT_25, f"at: 14:10, do: set, of: [cam_a, cam_b], {BACK}", SCENE),
        (SCENE, CAMERAS_AT_25.replace("14:00", "15:30")),
        # off-speed by intent, in a rule of its own
        ("at: 14:00, do: set, of: [cam_a, cam_b], to: {records: {picture: {shot_at: 48}}}", SCENE),
        # whole seconds agree for ever
        ("at: 14:00, do: set, of: [bag], to: {timecode: {rate: 29.97 NDF}}", SCENE),
    ],
)
def test_silence_where_all_agree(events: tuple[str, ...]) -> None:
    assert not rates(*events).findings


def test_silence_about_what_was_so_in_the_morning() -> None:
    text = told(RATES, JAMS, JAM, f"at: 14:00, do: set, of: [cam_a], {TO_25}", SCENE, rate="23.976 NDF")
    text = text.replace("mode: free run, rate: 23.976 NDF", "mode: free run, rate: 24", 1)
    sentences = [finding.sentence for finding in came_of(rate_changed_for_some, text).findings]
    assert len(sentences) == 1
    assert "cam_b" in sentences[0]  # the bag was at odds from the start, and that is told without the day
