"""Two lines of time in a take, and masters that go away; exact arithmetic unless a source is named."""

import pytest

from synclint.findings import Level
from synclint.rules.time_lines import master_goes_away, two_time_lines_in_a_take
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

TWO = [BAG, camera("cam_a"), camera("cam_b")]
LEADS = to_jam("cam_a.tc_in", "cam_b.tc_in")
TAKE = roll("13:30", "14:00", "bag", "cam_a", "cam_b")
SET = "at: 06:50, do: set clock, of: [bag], from: wall clock"
AGAIN = SET.replace("06:50", "12:50")
HALF = "at: 13:00, do: jam, of: [cam_a]"


def lines(*events: str, rate: str = "25", devices: list[str] | None = None, links: str = LEADS) -> Came:
    return came_of(two_time_lines_in_a_take, told(devices or TWO, links, *events, rate=rate))


# --- two lines of time -----------------------------------------------------------------------------------------


def test_a_master_that_is_set_again_and_jams_only_half() -> None:
    came = lines(SET, JAM, AGAIN, HALF, TAKE, rate="23.976 NDF")
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "cam_b still carries the time that bag had before it was set at 12:50, and is in the roll at 13:30 with bag "
        "and cam_a"
    )
    # six hours of 23.976 NDF: 21600 / 1001 = 21.578 s behind the wall
    assert came.amounts["apart"] == pytest.approx(21.578, abs=1e-3)
    assert came.amounts["time off"] == 30
    assert came.one.fix_sentence == (
        "Jam cam_b from bag between 12:50 and the roll at 13:30, and compare a recorded clip"
    )


SLATE = (
    "  slate: {able: {class: timecode slate, ports: {tc_in: {in: [LTC]}}, clock: {accuracy: 1 ppm}}, "
    "timecode: {from: tc_in, mode: jam, rate: RATE}}"
)


def test_a_slate_on_the_old_time_is_in_every_picture() -> None:
    """Jammed with the cameras in the morning and not with them after the setting at 12:50."""
    leads = to_jam("cam_a.tc_in", "cam_b.tc_in", "slate.tc_in")
    both = "at: 13:00, do: jam, of: [cam_a, cam_b]"
    came = lines(SET, JAM, AGAIN, both, TAKE, devices=[*TWO, SLATE], links=leads)
    assert came.one.who == ("slate",)
    assert came.one.fix_sentence.startswith("Jam slate from bag between 12:50 and the roll at 13:30")
    everybody = both.replace("cam_b]", "cam_b, slate]")
    assert lines(SET, JAM, AGAIN, everybody, TAKE, devices=[*TWO, SLATE], links=leads).silent


def test_a_spare_on_the_old_time_is_jammed_with_the_others() -> None:
    """It is in no take, and silent alone; but whoever jams again jams it too, or it cannot stand in."""
    devices = [*TWO, box("box_s")]
    leads = to_jam("cam_a.tc_in", "cam_b.tc_in", "box_s.jack")
    came = lines(SET, JAM, AGAIN, TAKE, devices=devices, links=leads)
    assert came.one.who == ("cam_a", "cam_b")
    assert came.one.fix_sentence.startswith("Jam cam_a, cam_b and box_s from bag")
    both = "at: 13:00, do: jam, of: [cam_a, cam_b]"
    assert lines(SET, JAM, AGAIN, both, TAKE, devices=devices, links=leads).silent


def test_at_25_two_hands_are_a_second_apart() -> None:
    assert lines(SET, JAM, AGAIN, HALF, TAKE).amounts["apart at most"] == 1


def test_whoever_is_not_the_master_is_told_of() -> None:
    came = lines(SET, JAM, AGAIN, TAKE)
    assert came.one.who == ("cam_a", "cam_b")
    assert came.one.sentence.startswith("cam_a and cam_b still carry the time")


def test_a_camera_that_is_set_by_hand_after_its_jam() -> None:
    came = lines(JAM, "at: 12:00, do: set clock, of: [cam_b], from: wall clock", TAKE)
    assert came.one.sentence == "cam_b was set by hand at 12:00, and is in the roll at 13:30 with bag and cam_a"
    assert "apart by nobody knows how much" in came.one.cost_sentence


def test_a_camera_that_is_jammed_from_somebody_else() -> None:
    devices = [*TWO, "  other: {timecode: {from: own clock, mode: free run, rate: RATE}}"]
    came = lines(JAM, "at: 12:00, do: jam, of: [cam_b], from: other", TAKE, devices=devices)
    assert came.one.sentence.startswith(
        "cam_b was jammed from other at 12:00, which nothing ties to bag, and is in the roll at 13:30"
    )


def test_time_from_outside_beside_a_clock_that_was_set() -> None:
    devices = [BAG, camera("cam_a"), camera("cam_b").replace("usb: {in: [data timecode]}", "gnss: {in: [GNSS]}")]
    devices[2] = devices[2].replace("from: tc_in, mode: jam", "from: gnss, mode: continuous")
    came = lines(JAM, TAKE, devices=devices, links=to_jam("cam_a.tc_in"))
    assert came.one.sentence.startswith("cam_b takes the time from outside the rig, which bag does not")


def test_two_that_hear_outside_time_are_on_one_line() -> None:
    outside = camera("cam_a").replace("usb: {in: [data timecode]}", "gnss: {in: [GNSS]}")
    outside = outside.replace("from: tc_in, mode: jam", "from: gnss, mode: continuous")
    devices = [BAG, outside, outside.replace("cam_a", "cam_b"), camera("cam_c")]
    take = roll("13:30", "14:00", "cam_a", "cam_b")
    assert lines(JAM, take, devices=devices, links=to_jam("cam_c.tc_in")).silent


@pytest.mark.parametrize(
    "events",
    [
        (SET, JAM, AGAIN, "at: 13:00, do: jam, of: all", TAKE),
        (SET, JAM, AGAIN, HALF, f"{TAKE}, sync_sound: false"),
        (SET, JAM, AGAIN, HALF, roll("13:30", "14:00", "bag", "cam_a")),
        (SET, JAM, AGAIN, roll("13:30", "14:00", "cam_a", "cam_b")),  # both on the time of the morning
        (SET, AGAIN, TAKE),  # no jam is told of
        (SET, JAM, TAKE),
    ],
)
def test_silence_about_one_line(events: tuple[str, ...]) -> None:
    assert lines(*events).silent


def test_a_master_that_has_the_time_from_outside_is_not_told_of_by_a_word_of_ours() -> None:
    bag = BAG.replace("{tc_out:", "{sky: {in: [GNSS]}, tc_out:")
    bag = bag.replace("from: own clock, mode: free run", "from: sky, mode: continuous")
    by_hand = "at: 12:00, do: set clock, of: [box_s], from: wall clock"
    handed_on = "at: 12:10, do: jam, of: [cam_b], from: box_s"
    came = lines(JAM, by_hand, handed_on, TAKE, devices=[bag, *TWO[1:], box("box_s")])
    assert came.one.sentence == (
        "cam_b was jammed from box_s at 12:10, which nothing ties to the time from outside, and is in the roll at "
        "13:30 with bag and cam_a"
    )


# --- a master that goes away -----------------------------------------------------------------------------------

LIVE = [BAG.replace("0.2 ppm", "0 ppm"), box("box_a", "0"), camera("cam_a", "20", mode="continuous")]
LIVE_LEADS = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in")
OFF = "at: 10:00, do: power off, of: [box_a], until: 12:30, why: battery"
MORNING = roll("11:30", "12:00", "bag", "cam_a")


def gone(*events: str, devices: list[str] | None = None, links: str = LIVE_LEADS) -> Came:
    return came_of(master_goes_away, told(devices or LIVE, links, *events))


def test_a_follower_that_rolls_without_its_box() -> None:
    came = gone(JAM, OFF, MORNING)
    assert came.one.level is Level.WARNING
    assert came.one.sentence == (
        "box_a is off from 10:00 to 12:30, and cam_a, which follows it live, runs on by its own clock in the roll at "
        "11:30"
    )
    # 20 ppm from 10:00 to 12:00, 144 ms, and the jam of the box
    assert came.amounts["apart at the end of the take"] == pytest.approx(144.1)


def test_a_box_that_two_events_hold_off_is_back_when_the_last_of_them_ends() -> None:
    came = gone(JAM, OFF.replace("12:30", "10:10"), OFF.replace("10:00", "10:05"), MORNING)
    assert came.one.sentence.startswith("box_a is off from 10:00 to 12:30, and cam_a")
    # as if it were one: 20 ppm from 10:00 to 12:00, 144 ms, and the jam of the box
    assert came.amounts["apart at the end of the take"] == pytest.approx(144.1)


def test_a_box_that_leaves() -> None:
    came = gone(JAM, "at: 10:00, do: leave, of: [box_a]", MORNING)
    assert came.one.sentence.startswith("box_a leaves at 10:00, and cam_a")
    assert came.one.fix_sentence == "Let box_a stay while cam_a rolls, or put a jammed box in its place"


def test_a_track_of_ltc_falls_silent() -> None:
    as_sound = (
        "  cam_b: {able: {ports: {mic: {in: [sound, LTC]}}}, records: {picture: {shot_at: PICTURE}, "
        "sound: {sample_rate: 48 kHz, tracks: {left: LTC}}, timecode_on: [left]}}"
    )
    links = to_jam("box_a.jack") + stays("box_a.jack", "cam_b.mic")
    off = OFF.replace("10:00", "11:50").replace("12:30", "11:54")
    came = gone(JAM, off, roll("11:30", "12:00", "bag", "cam_b"), devices=[*LIVE[:2], as_sound], links=links)
    assert came.one.level is Level.ERROR
    assert came.one.cost_sentence == "4 min of cam_b bear no timecode at all"
    assert came.amounts["without timecode"] == 4


def test_a_battery_between_takes_is_a_line_of_the_checklist() -> None:
    came = gone(JAM, OFF.replace("12:30", "10:04"), MORNING)
    assert not came.findings
    assert [line.sentence for line in came.checklist] == [
        "box_a is off from 10:00 to 10:04; when it is back at 10:04, see the same digits on cam_a"
    ]


def test_within_the_tolerance_it_is_a_line_of_the_checklist_too() -> None:
    # 20 ppm from 11:20 to 11:45: 30 ms
    off = OFF.replace("10:00", "11:20")
    assert not gone(JAM, off, roll("11:30", "11:45", "bag", "cam_a")).findings


def test_silence_where_nobody_follows_live() -> None:
    assert gone(JAM, "at: 10:00, do: power off, of: [bag], until: 12:30", MORNING.replace("bag, ", "")).silent
    assert gone(JAM, OFF.replace("[box_a]", "[box_a, cam_a]")).silent
