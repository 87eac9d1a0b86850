"""Takes that part, and rigs of which a part is on a reference; the numbers are ppm × seconds (exact arithmetic)."""

from __future__ import annotations

import pytest

from synclint.findings import Level
from synclint.rules.take_drift import half_locked_rig, take_drifts_apart
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of, rig

BOXED = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in")
TAKE = roll("07:00", "08:00", "bag", "cam_a")


def parts(*events: str, devices: list[str] | None = None, links: str = BOXED, more: str = "") -> Came:
    text = told(devices or [BAG, box("box_a"), camera("cam_a", "20", mode="continuous")], links, *events)
    return came_of(take_drifts_apart, text.replace("wrap: 19:00,", f"wrap: 19:00, {more}"))


# --- long takes ------------------------------------------------------------------------------------------------


def test_a_take_of_an_hour_on_a_box() -> None:
    came = parts(JAM, TAKE)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == ("in the roll at 07:00, 1 h, bag and cam_a part, each at the pace of its own clock")
    # 20.2 ppm over 3600 s: 72.72 ms, and 0.1 ms that the jam left the box; the label is right at the head.
    assert came.amounts["apart at the end of the take"] == pytest.approx(72.82)
    # (40 − 0.1) ms / 20.2 ppm = 1975.2 s, 32 min 55 s.
    assert came.amounts["tolerance used up after"] == pytest.approx(1975.2 / 60, abs=0.01)
    assert "20.2 ppm between their clocks" in came.one.cost_sentence
    assert "used up after 32 min 55 s" in came.one.cost_sentence
    assert str(came.one.at) == "days/0/events/1"


def test_timecode_on_a_track_tells_and_does_not_cure() -> None:
    # Two cameras of 10 and 30 ppm over 71 min: 40 ppm × 4260 s = 170.4 ms, 4.1 frames of 23.976.
    devices = (
        "  a: {able: {ports: {tc_out: {out: [LTC]}}, clock: {accuracy: 10 ppm}}, timecode: {from: own clock, "
        "mode: free run, rate: 23.976}, records: {picture: {shot_at: 23.976, played_at: 23.976}}}\n"
        "  b: {able: {ports: {mic: {in: [sound, LTC]}}, clock: {accuracy: 30 ppm}}, records: {picture: "
        "{shot_at: 23.976, played_at: 23.976}, sound: {sample_rate: 48 kHz, tracks: {left: LTC}}, "
        "timecode_on: [left]}}\n"
    )
    text = rig(
        devices,
        project="rate: 23.976, tolerance: 1 frame",
        day="call: 09:00, wrap: 13:00, longest_take: 71 min",
        links=stays("a.tc_out", "b.mic"),
    )
    came = came_of(take_drifts_apart, text)
    assert came.amounts["apart at the end of the take"] == pytest.approx(170.4)
    assert came.one.sentence.startswith("over the longest take, 1 h 11 min, a and b part")
    # A frame of 1001/24000 s at 40 ppm: 1042.7 s, 17 min 23 s.
    assert came.one.fix_sentence.startswith("Cut before 17 min 23 s are over, and begin anew; or clap at head and tail")
    assert str(came.one.at) == "days/0/longest_take"


def test_what_wanders_is_told_beside_the_accuracy() -> None:
    # a stated 0.5 ppm, and 10 ppm that are assumed of a camcorder, of which two fifths wander on top: 10.5 + 4 ppm;
    # 14.5 ppm x 5,400 s = 78.3 ms
    devices = (
        "  a: {able: {ports: {tc_out: {out: [LTC]}}, clock: {accuracy: 0.5 ppm}}, timecode: {from: own clock, "
        "mode: free run, rate: 25}, records: {sound: {sample_rate: 48 kHz}}}\n"
        "  b: {able: {class: shoulder camcorder, ports: {tc_in: {in: [LTC]}}}, timecode: {from: tc_in, "
        "mode: continuous, rate: 25}, records: {picture: {shot_at: 25, played_at: 25}}}\n"
    )
    day = "call: 09:00, wrap: 13:00, longest_take: 90 min"
    text = rig(devices, project="rate: 25, tolerance: 1 frame", day=day, links=stays("a.tc_out", "b.tc_in"))
    came = came_of(take_drifts_apart, text)
    assert came.amounts["apart at the end of the take"] == pytest.approx(78.3)
    assert "(14.5 ppm between their clocks: 10.5 ppm of accuracy, 4 ppm that wander)" in came.one.cost_sentence


def test_recorders_that_nothing_ties_part_all_the_same() -> None:
    devices = [BAG, camera("cam_a", "9").replace("from: tc_in, mode: jam", "from: own clock, mode: free run")]
    # 9.2 ppm over 90 min: 49.68 ms; the label at the head has no bound and is told elsewhere.
    came = parts(roll("07:00", "08:30", "bag", "cam_a"), devices=devices, links="")
    assert came.amounts["apart at the end of the take"] == pytest.approx(49.68)


def test_label_and_slip_together_leave_it() -> None:
    # At 17:50 the box is 0.7 ppm × 39,000 s = 27.3 + 0.1 ms off; the slip of 20.2 ppm over 20 min is 24.24 ms.
    came = parts(JAM, roll("17:50", "18:10", "bag", "cam_a"))
    assert came.amounts["apart at the end of the take"] == pytest.approx(51.64)
    assert "27.4 ms at its head and 24.2 ms more since" in came.one.cost_sentence
    assert came.one.fix_sentence.startswith("Jam all right before 17:50; or cut before")


def test_the_clips_of_a_camera_may_be_shorter_than_the_take() -> None:
    short = camera("cam_a", "20", mode="continuous", more=", longest_take: 10 min")
    assert parts(JAM, TAKE, devices=[BAG, box("box_a"), short]).silent  # 12.1 ms in ten minutes


def test_one_finding_tells_of_all_takes_and_pairs() -> None:
    devices = [BAG, box("box_a"), camera("cam_a", "20", mode="continuous"), camera("cam_b", "30", mode="continuous")]
    links = BOXED + stays("box_a.jack", "cam_b.tc_in")
    first = roll("07:00", "08:00", "bag", "cam_a", "cam_b")
    came = parts(JAM, first, roll("09:00", "10:00", "bag", "cam_a"), devices=devices, links=links)
    # The two cameras on one box: 50 ppm over an hour, 180 ms.
    assert came.one.who == ("cam_a", "cam_b")
    assert came.amounts["apart at the end of the take"] == pytest.approx(180)
    assert "2 other pairs part past it too" in came.one.cost_sentence
    assert [str(each.place) for each in came.one.also] == ["days/0/events/2"]


@pytest.mark.parametrize(
    ("events", "more"),
    [
        ((JAM, roll("07:00", "07:30", "bag", "cam_a")), ""),  # 20.2 ppm over half an hour: 36.4 ms
        ((JAM, roll("07:00", "07:30", "bag", "cam_a")), "longest_take: 32 min,"),  # 38.8 ms
        ((JAM, f"{TAKE}, sync_sound: false", roll("07:00", "07:10", "bag", "cam_a")), ""),
        ((JAM,), ""),  # nobody says how long takes are
    ],
)
def test_takes_that_are_short_enough(events: tuple[str, ...], more: str) -> None:
    assert parts(*events, more=more).silent


def test_own_clocks_everywhere_are_right_on_short_takes() -> None:
    devices = [BAG, camera("cam_a", "30").replace("from: tc_in, mode: jam", "from: own clock, mode: free run")]
    assert parts(devices=devices, links="", more="longest_take: 20 min,").silent  # 30.2 ppm × 1200 s = 36.2 ms
    assert parts(devices=devices, links="", more="longest_take: 25 min,").one.who  # 45.3 ms


def test_an_assumed_clock_makes_it_a_warning() -> None:
    by_class = camera("cam_a", "20", mode="continuous").replace(
        ", clock: {accuracy: 20 ppm, varying: 0 ppm}", ", class: compact cinema camera"
    )
    assert parts(JAM, TAKE, devices=[BAG, box("box_a"), by_class]).one.level is Level.WARNING


def test_a_pace_that_nobody_states_is_asked_for() -> None:
    nobody = camera("cam_a", "20", mode="continuous").replace(", clock: {accuracy: 20 ppm, varying: 0 ppm}", "")
    lacks = parts(JAM, TAKE, devices=[BAG, box("box_a"), nobody]).lacks
    assert lacks == ["how accurate the clock of cam_a is (able: clock: accuracy)"]


def test_a_camera_off_its_speed_parts_by_intent() -> None:
    slow = camera("cam_a", "20", mode="continuous").replace("shot_at: PICTURE", "shot_at: 50")
    assert parts(JAM, TAKE, devices=[BAG, box("box_a"), slow]).silent


# --- half a rig on a reference ---------------------------------------------------------------------------------

GEN = (
    "  gen: {able: {ports: {tc_out: {out: [LTC]}, ref: {out: [black burst]}, word: {out: [word clock]}}, "
    "clock: {accuracy: 0.5 ppm, varying: 0 ppm}}, timecode: {from: own clock, mode: free run, rate: 25}}"
)


def locked(key: str) -> str:
    return (
        f"  {key}: {{able: {{ports: {{tc_in: {{in: [LTC]}}, ref_in: {{in: [black burst]}}}}, "
        "clock: {accuracy: 5 ppm}}, timecode: {from: tc_in, mode: jam, rate: 25}, clock: {from: ref_in}, "
        "records: {picture: {shot_at: 25, played_at: 25}}}"
    )


def sound(source: str = "own clock", ppm: str = "10") -> str:
    return (
        "  rec: {able: {ports: {tc_in: {in: [LTC]}, word_in: {in: [word clock]}}, "
        f"clock: {{accuracy: {ppm} ppm, varying: 0 ppm}}}}, timecode: {{from: tc_in, mode: jam, rate: 25}}, "
        f"clock: {{from: {source}}}, records: {{sound: {{sample_rate: 48 kHz}}}}}}"
    )


REFERENCE = (
    "  - {from: gen.ref, to: [cam_a.ref_in, cam_b.ref_in], carries: black burst, format: 625/50i, connected: all day}\n"
)
WORD = "  - {from: SOURCE.word, to: rec.word_in, carries: word clock, format: 48 kHz, connected: all day}\n"
SHOW = roll("07:00", "09:00", "rec", "cam_a", "cam_b")


def show(*devices: str, links: str = "", source: str = "gen") -> str:
    jams = to_jam("rec.tc_in", "cam_a.tc_in", "cam_b.tc_in", source="gen.tc_out")
    text = told([GEN, locked("cam_a"), locked("cam_b"), *devices], jams + REFERENCE + links, JAM, SHOW)
    return text.replace("SOURCE", source).replace("master: {timecode: bag}", "master: {timecode: gen}")


def test_the_recorder_runs_free_beside_locked_cameras() -> None:
    came = came_of(half_locked_rig, show(sound()))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "cam_a and cam_b are paced by gen, and rec runs free beside them"
    # 10 + 0.5 ppm over two hours are 75.6 ms, and two jams of 0.1 ms.
    assert came.amounts["apart at the end of the take"] == pytest.approx(75.8)
    assert "Bring rec onto a reference from gen (word clock)" in came.one.fix_sentence
    assert came_of(take_drifts_apart, show(sound())).silent  # it is told once


def test_all_on_one_generator_is_right() -> None:
    assert came_of(half_locked_rig, show(sound("word_in"), links=WORD)).silent
    assert came_of(take_drifts_apart, show(sound("word_in"), links=WORD)).silent


def test_a_word_clock_of_another_family_is_told_with_its_source() -> None:
    other = "  clk: {able: {ports: {word: {out: [word clock]}}, clock: {accuracy: 10 ppm, varying: 0 ppm}}}"
    came = came_of(half_locked_rig, show(sound("word_in"), other, links=WORD, source="clk"))
    assert came.one.sentence == "cam_a and cam_b are paced by gen, and rec is paced by clk beside them"


def test_a_recorder_that_stays_within_the_tolerance_may_run_free() -> None:
    assert came_of(half_locked_rig, show(sound(ppm="4"))).silent  # 4.5 ppm over two hours: 32.4 ms


def test_a_camera_with_its_own_video_recorder_is_no_locked_part() -> None:
    pictures = (
        "  mon: {able: {class: video recorder, ports: {hdmi: {in: [picture, HDMI timecode]}}, "
        "clock: {accuracy: 20 ppm}}, timecode: {from: hdmi, mode: continuous, rate: RATE}, clock: {from: hdmi}, "
        "records: {picture: {shot_at: PICTURE, played_at: PICTURE}}}"
    )
    cam = camera("cam_a", "20", mode="continuous").replace("usb: {in: [data timecode]}", "hdmi: {out: [HDMI timecode]}")
    links = BOXED + stays("cam_a.hdmi", "mon.hdmi", "HDMI timecode")
    text = told([BAG, box("box_a"), cam, pictures], links, JAM, roll("07:00", "08:00", "bag", "cam_a", "mon"))
    assert came_of(half_locked_rig, text).silent
    assert came_of(take_drifts_apart, text).one.who
