"""Timecode that steps inside a take; ppm × hours × 3.6 = ms (exact arithmetic)."""

import pytest

from synclint.findings import Level
from synclint.rules.take_steps import timecode_steps_inside_a_take
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

TAKE = roll("11:30", "12:30", "bag", "cam_a")
MID = "at: 12:00, do: jam, of: [cam_a]"


def steps(*events: str, ppm: str = "20", on: str = "[file]", mode: str = "jam") -> Came:
    cam = camera("cam_a", ppm, mode=mode).replace("timecode_on: [file]", f"timecode_on: {on}")
    return came_of(timecode_steps_inside_a_take, told([BAG, cam], to_jam("cam_a.tc_in"), *events))


def test_a_jam_inside_a_take() -> None:
    came = steps(JAM, MID, TAKE)
    assert came.one.level is Level.WARNING
    assert came.one.sentence == "the time of cam_a is set anew at 12:00, while it has been rolling since 11:30"
    # 20 ppm and the 0.2 ppm of the bag over 5 h: 363.6 ms, and two jams of 0.1 ms
    assert came.amounts["step"] == pytest.approx(363.8)
    assert "30 min into the take the labels step by up to 364 ms (9.1 frames at 25)" in came.one.cost_sentence


def test_half_a_frame_counts_where_code_is_written_for_every_frame() -> None:
    # 1.2 ppm and 0.2 ppm over 5 h: 25.2 ms, and two jams; a frame is 40 ms
    assert steps(JAM, MID, TAKE, ppm="1.2").silent
    assert steps(JAM, MID, TAKE, ppm="1.2", on="[left]").amounts["step"] == pytest.approx(25.4)


def test_a_clock_that_is_set_by_hand_jumps_by_nobody_knows_how_much() -> None:
    came = steps(JAM, "at: 12:00, do: set clock, of: [cam_a], from: wall clock", TAKE)
    assert "jump by nobody knows how much" in came.one.cost_sentence


def test_a_lead_that_is_back_inside_a_take() -> None:
    devices = [BAG, box("box_a"), camera("cam_a", "20", mode="continuous")]
    links = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in")
    lost = "at: 10:00, do: link lost, from: box_a.jack, to: cam_a.tc_in, until: 12:00"
    came = came_of(timecode_steps_inside_a_take, told(devices, links, JAM, lost, TAKE))
    # 20 ppm and the 0.5 ppm of the box over 2 h: 147.6 ms
    assert came.amounts["step"] == pytest.approx(147.6)


def test_all_that_step_at_once_are_one_finding() -> None:
    devices = [BAG, box("box_a", "20"), camera("cam_a", mode="continuous"), camera("cam_b", mode="continuous")]
    links = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in") + stays("box_a.jack", "cam_b.tc_in")
    take = roll("11:30", "12:30", "cam_a", "cam_b")
    came = came_of(timecode_steps_inside_a_take, told(devices, links, JAM, MID.replace("cam_a", "box_a"), take))
    assert came.one.sentence == (
        "the time of cam_a and cam_b is set anew at 12:00, while they have been rolling since 11:30"
    )


@pytest.mark.parametrize(
    "events",
    [
        (JAM, MID, roll("11:30", "12:00", "bag", "cam_a")),
        (JAM, MID, roll("12:00", "12:30", "bag", "cam_a")),
        (JAM, MID, roll("11:30", "12:30", "bag")),
        (MID, TAKE),  # it had no time before: told as a late joiner
        (JAM, TAKE),
    ],
)
def test_silence_about_jams_between_takes(events: tuple[str, ...]) -> None:
    assert steps(*events).silent
