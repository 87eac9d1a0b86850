"""Late joiners and half-done jams; the numbers are ppm × hours × 3.6 = ms (exact arithmetic)."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.generations import half_jammed_again, joined_without_a_jam
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

TWO = [BAG, camera("cam_a"), camera("cam_b")]
LEADS = to_jam("cam_a.tc_in", "cam_b.tc_in")
ARRIVES = "at: 11:00, do: arrive, of: [cam_b]"
TAKE = roll("11:30", "12:00", "bag", "cam_a", "cam_b")


def joined(*events: str, devices: list[str] | None = None, links: str = LEADS) -> Came:
    return came_of(joined_without_a_jam, told(devices or TWO, links, *events))


# --- who joins late --------------------------------------------------------------------------------------------


def test_a_camera_that_comes_after_the_jam() -> None:
    came = joined(JAM, ARRIVES, TAKE, roll("14:00", "14:15", "bag", "cam_a", "cam_b"))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "cam_b arrives at 11:00 and is not jammed before the rolls at 11:30 and 14:00 with bag and cam_a"
    )
    # 30 and 15 minutes
    assert came.amounts == {"takes off": 2, "time off": 45}
    assert "Jam cam_b from bag between 11:00 and the roll at 11:30" in came.one.fix_sentence
    assert str(came.one.at) == "days/0/events/1"


def test_only_the_takes_before_its_jam_are_off() -> None:
    later = roll("14:00", "14:15", "bag", "cam_a", "cam_b")
    assert joined(JAM, ARRIVES, TAKE, "at: 13:00, do: jam, of: [cam_b]", later).amounts["takes off"] == 1


def test_a_device_that_was_never_jammed() -> None:
    came = joined("at: 07:00, do: jam, of: [cam_a]", TAKE)
    assert came.one.sentence == "cam_b is not jammed before the roll at 11:30 with bag and cam_a"
    assert str(came.one.at) == "devices/cam_b/timecode/from"


def test_a_box_that_is_late_takes_its_cameras_with_it() -> None:
    devices = [BAG, box("box_a"), camera("cam_a", mode="continuous"), camera("cam_b")]
    links = to_jam("box_a.jack", "cam_b.tc_in") + stays("box_a.jack", "cam_a.tc_in")
    came = joined(JAM, "at: 08:00, do: arrive, of: [box_a]", TAKE, devices=devices, links=links)
    assert came.one.who == ("box_a",)
    assert "labels of box_a, and with it of cam_a, in the roll at 11:30" in came.one.cost_sentence


def test_cameras_that_come_together_are_one_finding() -> None:
    take = roll("11:30", "12:00", "bag", "cam_a", "cam_b", "cam_c")
    devices = [*TWO, camera("cam_c")]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in", "cam_c.tc_in")
    came = joined(JAM, "at: 11:00, do: arrive, of: [cam_b, cam_c]", take, devices=devices, links=links)
    assert came.one.sentence == (
        "cam_b and cam_c arrive at 11:00 and are not jammed before the roll at 11:30 with bag and cam_a"
    )


def test_whether_a_lead_is_there_to_jam_may_be_lacking() -> None:
    links = to_jam("cam_a.tc_in") + "  - {from: bag.tc_out, to: cam_b.tc_in, carries: LTC}\n"
    assert joined(JAM, ARRIVES, TAKE, links=links).lacks == [
        "whether the lead to cam_b is there to jam or stays on (connected:)"
    ]


@pytest.mark.parametrize(
    "events",
    [
        (JAM, ARRIVES, "at: 11:20, do: jam, of: [cam_b]", TAKE),
        (JAM, ARRIVES, TAKE.replace(", cam_b", "")),
        (JAM, ARRIVES, f"{TAKE}, sync_sound: false"),
        (ARRIVES, TAKE),  # no jam is told of at all: one at the call is taken for granted
        (JAM, TAKE),
        (JAM, "at: 09:00, do: leave, of: [cam_b]", ARRIVES, TAKE),  # it has its time with it
    ],
)
def test_silence_about_who_has_the_time(events: tuple[str, ...]) -> None:
    assert joined(*events).silent


def test_silence_about_what_the_leads_tell() -> None:
    assert joined("at: 07:00, do: jam, of: [cam_a]", TAKE, links=to_jam("cam_a.tc_in")).silent


# --- half a jam ------------------------------------------------------------------------------------------------


def half(*events: str, ppm: str = "20", tolerance: str = "1 frame") -> Came:
    devices = [BAG.replace("0.2 ppm", "0 ppm"), camera("cam_a", "0"), camera("cam_b", ppm)]
    return came_of(half_jammed_again, told(devices, LEADS, *events, tolerance=tolerance))


AGAIN = "at: 12:00, do: jam, of: [cam_a]"
NOON = roll("12:00", "12:10", "bag", "cam_a", "cam_b")


def test_a_camera_that_is_left_out_has_the_drift_of_the_morning() -> None:
    came = half(JAM, AGAIN, NOON)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "cam_b is left out when cam_a is jammed again at 12:00, and its labels stand beside theirs in the roll at 12:00"
    )
    # 20 ppm × 5 h 10 min × 3.6 = 372 ms, and two jams of 0.1 ms: cam_a's clock is perfect here
    assert came.amounts["apart at the end of the take"] == pytest.approx(372.2)
    # jammed together 20 ppm × 10 min = 12 ms, and the two jams
    assert came.amounts["apart if jammed together"] == pytest.approx(12.2)
    assert "372 ms (9.3 frames at 25) from cam_a, where 40 ms is tolerated" in came.one.cost_sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["[cam_a, cam_b]"]


SLATE = (
    "  slate: {able: {class: timecode slate, ports: {in: {in: [LTC]}}, timecode: {loses_time_on: []}, "
    "clock: {accuracy: PPM ppm, varying: 0 ppm}}, timecode: {from: in, mode: jam, rate: RATE}}"
)


@pytest.mark.parametrize(
    ("ppm", "apart", "together", "words"),
    [
        # cam_b 20 ppm over 18,600 s, 372 ms; the slate 10 ppm over the 600 s since its jam, 6 ms; two jams of 0.1 ms.
        # Jammed together both have 600 s: 12 + 6 + 0.2 ms.
        ("10", 378.2, 18.2, "is tolerated; jammed together they would be within 18.2 ms"),
        # A slate of 100 ppm is 60 ms off in these ten minutes all the same.
        ("100", 432.2, 72.2, "jammed together they would be up to 72.2 ms apart all the same"),
    ],
)
def test_the_worst_of_the_pairs_named_is_told(ppm: str, apart: float, together: float, words: str) -> None:
    devices = [BAG.replace("0.2 ppm", "0 ppm"), camera("cam_a", "0"), camera("cam_b", "20"), SLATE.replace("PPM", ppm)]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in", "slate.in")
    again = "at: 12:00, do: jam, of: [cam_a, slate]"
    came = came_of(half_jammed_again, told(devices, links, JAM, again, NOON))
    assert came.one.sentence.startswith("cam_b is left out when cam_a and slate are jammed again at 12:00")
    assert came.amounts["apart at the end of the take"] == pytest.approx(apart)
    assert came.amounts["apart if jammed together"] == pytest.approx(together)
    assert words in came.one.cost_sentence
    assert " from slate, where 40 ms" in came.one.cost_sentence


def test_one_that_was_away_is_jammed_before_the_take() -> None:
    came = half(JAM, "at: 11:00, do: leave, of: [cam_b], until: 12:05", AGAIN, NOON.replace("12:00", "12:06"))
    assert came.one.fix_sentence == "Jam cam_b from bag before the roll at 12:06, and compare a clip"


def test_an_assumed_clock_makes_a_warning() -> None:
    devices = [
        BAG,
        camera("cam_a"),
        camera("cam_b").replace("clock: {accuracy: 2 ppm, varying: 0 ppm}", "class: phone"),
    ]
    came = came_of(half_jammed_again, told(devices, LEADS, JAM, AGAIN, NOON))
    assert came.one.level is Level.WARNING


@pytest.mark.parametrize(
    "events",
    [
        (JAM, "at: 12:00, do: jam, of: all", NOON),
        (JAM, NOON),  # not jammed again at all: another rule's
        (JAM, AGAIN, roll("12:00", "12:10", "bag", "cam_b")),  # nobody of the second jam is in it
        (JAM, AGAIN, f"{NOON}, sync_sound: false"),
        # jammed together at noon it would have been no better by the evening
        (JAM, AGAIN, roll("16:00", "17:00", "bag", "cam_a", "cam_b")),
    ],
)
def test_silence_about_whole_jams(events: tuple[str, ...]) -> None:
    assert half(*events).silent


def test_silence_within_the_tolerance() -> None:
    # 2 ppm × 5 h 10 min = 37.2 ms, and 0.2 ms of jams: under 40 ms
    assert half(JAM, AGAIN, NOON, ppm="2").silent
    assert half(JAM, AGAIN, NOON, tolerance="10 frames").silent


def test_a_jam_after_a_power_cycle_is_the_cure() -> None:
    forgets = camera("cam_a", "0").replace("loses_time_on: []", "loses_time_on: [power off]")
    devices = [BAG.replace("0.2 ppm", "0 ppm"), forgets, camera("cam_b", "20")]
    off = "at: 11:50, do: power off, of: [cam_a], until: 11:55"
    assert came_of(half_jammed_again, told(devices, LEADS, JAM, off, AGAIN, NOON)).silent


def test_the_jams_of_one_morning_are_one_after_another() -> None:
    first, second = "at: 07:00, do: jam, of: [cam_b]", "at: 09:00, do: jam, of: [cam_a]"
    assert half(first, second, NOON).silent
