"""What is told of a day's drift, to the last digit; what is worked out stands beside each number."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction as F

import pytest

from synclint.day.clocktime import clock_of
from synclint.day.forecast import Forecast, Kind, Vertex
from synclint.day.jams import Planner
from tests.day.running import Days, lived, shoot

MS = F(1, 1000)
HALF_A_FRAME = F(1001, 48_000)
"""At 23.976: 20.854 ms."""

SOUND = "records: {sound: {sample_rate: 48 kHz}}"
PICTURE = "records: {picture: {shot_at: 23.976, played_at: 23.976}}"


def rig(devices: str, events: str, links: str, *, day: str = "call: 07:00, wrap: 13:10") -> Days:
    """A day at 23.976."""
    made = "\n".join(f"  {line.strip()}" for line in devices.strip().splitlines())
    leads = "\n".join(f"  - {line.strip()}" for line in links.strip().splitlines())
    told = ", ".join(line.strip() for line in events.strip().splitlines())
    return lived(
        "synclint: setup/1\ntitle: A day of a test\n"
        "project: {rate: 23.976, tolerance: 1/2 frame, master: {timecode: m}}\n"
        f"days:\n  - {{date: 2026-06-14, {day}, events: [{told}]}}\ndevices:\n{made}\nlinks:\n{leads}\n"
    )


def forecast_of(made: Days) -> Forecast:
    return Forecast(made.run, made.phases)


def points(curve: Sequence[Vertex]) -> list[tuple[int, F | None]]:
    """The points of a curve, in seconds from its start."""
    return [(int(each.at - curve[0].at), each.worst) for each in curve]


def clock(ppm: str, more: str = "") -> str:
    return f"clock: {{accuracy: {ppm} ppm{more}}}"


def boxes(clocks: dict[str, str], events: str, *, jam_error: str = "0.1 ms") -> Days:
    """A recorder as master and recorders jammed from it."""
    devices = [f"m: {{able: {{ports: {{out: {{out: [LTC]}}}}, {clock('0.2')}}}, timecode: {{from: own clock}}}}"]
    devices += [
        f"{key}: {{able: {{ports: {{tc: {{in: [LTC], out: [LTC]}}}}, {each}, timecode: {{jam_error: {jam_error}}}}}, "
        f"timecode: {{from: tc, mode: jam}}, {SOUND}}}"
        for key, each in clocks.items()
    ]
    ends = ", ".join(f"{key}.tc" for key in clocks)
    return rig("\n".join(devices), events, f"{{from: m.out, to: [{ends}], carries: LTC, connected: to jam}}")


TWO = {"a": clock("0.5"), "b": clock("0.5")}
TWO_JAMS = "{at: 07:00, do: jam, of: [a]}\n{at: 07:10, do: jam, of: [b]}"


# --- two boxes jammed ten minutes apart ---


def test_two_boxes_at_the_wrap() -> None:
    # The master for 10 min more on one way than on the other: 0.2 ppm × 600 s    =  0.12 ms
    # A by itself from 07:00 to 13:10:                          0.5 ppm × 22,200 s = 11.1 ms
    # B by itself from 07:10 to 13:10:                          0.5 ppm × 21,600 s = 10.8 ms
    # Two jams of 0.1 ms:                                                             0.2 ms
    #                                                                                22.22 ms
    worst = forecast_of(boxes(TWO, TWO_JAMS)).worst_of_all
    assert worst is not None
    assert (worst.first, worst.second, worst.offset.worst) == ("a", "b", F("22.22") * MS)
    assert clock_of(boxes(TWO, TWO_JAMS).case.setup, worst.at) == "13:10"


def test_a_box_against_the_master_at_the_wrap() -> None:
    made = boxes(TWO, TWO_JAMS)
    # Both for 22,200 s, (0.5 + 0.2) ppm: 15.54 ms, and the jam.
    curve = forecast_of(made).curve("a", "m", made.instant("07:00"), made.instant("13:10"))
    assert points(curve) == [
        (0, F("0.1") * MS),
        (22_200, F("15.64") * MS),
    ]


def test_before_the_second_is_jammed_there_is_no_bound() -> None:
    made = boxes(TWO, TWO_JAMS)
    start = made.instant("07:00")
    curve = forecast_of(made).curve("a", "b", start, made.instant("13:10"))
    # A alone has a time at first. At 07:10 it is 600 s × 0.2 ppm of the master and 600 s × 0.5 ppm of its own off, and
    # there are two jams: 0.12 + 0.3 + 0.2 ms.
    assert points(curve) == [
        (0, None),
        (600, None),
        (600, F("0.62") * MS),
        (22_200, F("22.22") * MS),
    ]


def test_the_two_must_be_jammed_again_by_12_47_14() -> None:
    made = boxes(TWO, TWO_JAMS)
    # Of the 20.854167 ms (1001/48,000 s) that half a frame is, 0.62 ms are gone at 07:10, and 1 ppm takes the rest:
    # 20,234.1667 s later, which is 12:47:14 and a sixth of a second.
    left = forecast_of(made).leaves("a", "b", HALF_A_FRAME, made.instant("07:10"), made.instant("13:10"))
    assert left == made.instant("07:10") + (HALF_A_FRAME - F("0.62") * MS) * 1_000_000
    assert left == made.instant("12:47:14") + F(1, 6)
    assert forecast_of(made).leaves("a", "m", HALF_A_FRAME, made.instant("07:10"), made.instant("13:10")) is None


def test_what_accuracy_of_one_would_do() -> None:
    # Without A 11.12 ms stand at the wrap (22.22 - 11.1). What is left of half a frame over 22,200 s: 9.734167 ms,
    # or 0.438476 ppm. Of the master, which counts for 600 s: 20.854167 - 22.1 ms are less than nothing.
    forecast = forecast_of(boxes(TWO, TWO_JAMS))
    worst = forecast.worst_of_all
    assert worst is not None
    needed = forecast.needed_accuracy(worst, "a", HALF_A_FRAME)
    assert needed == (HALF_A_FRAME - F("11.12") * MS) * 1_000_000 / 22_200
    assert forecast.needed_accuracy(worst, "m", HALF_A_FRAME) is None


def test_what_accuracy_would_do_where_it_wanders() -> None:
    forecast = forecast_of(boxes({"a": clock("0.4", ", varying: 0.1 ppm"), "b": clock("0.5")}, TWO_JAMS))
    worst = forecast.worst_of_all
    assert worst is not None
    assert worst.offset.worst == F("22.22") * MS
    # As before, less the 0.1 ppm that it wanders whatever its accuracy: 0.338476 ppm.
    needed = forecast.needed_accuracy(worst, "a", HALF_A_FRAME)
    assert needed == (HALF_A_FRAME - F("11.12") * MS) * 1_000_000 / 22_200 - F("0.1")


def test_with_that_accuracy_it_holds_and_with_a_little_less_it_does_not() -> None:
    for ppm, holds in (("0.4384", True), ("0.4385", False)):
        worst = forecast_of(boxes({"a": clock(ppm), "b": clock("0.5")}, TWO_JAMS)).worst_of_all
        assert worst is not None
        assert (worst.offset.worst <= HALF_A_FRAME) is holds


# --- a chain ---

CHAIN = "{at: 07:00, do: jam, of: [a]}\n{at: 09:00, do: jam, of: [c], from: a}\n{at: 11:00, do: jam, of: [a]}"


@pytest.mark.parametrize(
    ("kind", "worst"),
    [
        # C: the master until 07:00, A from 07:00 to 09:00, itself from 09:00 to 13:10. A: the master until 11:00, then
        # itself. The master 0.2 × 14.4 = 2.88 ms; A 0.5 × (7.2 - 7.8), in size 0.3; C 1 × 15 = 15; three jams 0.3.
        ("{{accuracy: {} ppm}}", F("18.48")),
        # A's two stretches are other moments: 0.5 × (7.2 + 7.8) = 7.5 ms in place of 0.3.
        ("{{accuracy: 0 ppm, varying: {} ppm}}", F("25.68")),
    ],
)
def test_a_chain_of_jams(kind: str, worst: F) -> None:
    clocks = {key: f"clock: {kind.format(ppm)}" for key, ppm in (("a", "0.5"), ("c", "1"))}
    made = boxes(clocks, CHAIN)
    if "varying" in kind:  # the master too
        text = {key: kind.format(ppm) for key, ppm in (("m", "0.2"), ("a", "0.5"), ("c", "1"))}
        made = rig(
            f"m: {{able: {{ports: {{out: {{out: [LTC]}}}}, clock: {text['m']}}}, timecode: {{from: own clock}}}}\n"
            + "\n".join(
                f"{key}: {{able: {{ports: {{tc: {{in: [LTC], out: [LTC]}}}}, clock: {text[key]}, "
                f"timecode: {{jam_error: 0.1 ms}}}}, timecode: {{from: tc, mode: jam}}, {SOUND}}}"
                for key in "ac"
            ),
            CHAIN,
            "{from: m.out, to: [a.tc, c.tc], carries: LTC, connected: to jam}",
        )
    at = made.instant("13:10")
    found = forecast_of(made).widest(("a", "c"), at)
    assert found is not None
    assert found.offset.worst == worst * MS


def test_a_curve_bends_where_a_share_turns() -> None:
    # A's share in C against A: 7,200 s less those since 11:00, nothing at 13:00. Until then a second of C's 1 ppm takes
    # 0.5 ppm of A's away, afterwards it adds them. At 13:00: 2.88 + 0 + 14.4 + 0.3 = 17.58 ms.
    made = boxes({"a": clock("0.5"), "c": clock("1")}, CHAIN)
    curve = forecast_of(made).curve("c", "a", made.instant("11:00"), made.instant("13:10"))
    assert points(curve) == [
        (0, F("13.98") * MS),  # 2.88 + 3.6 + 7.2 + 0.3
        (7200, F("17.58") * MS),
        (7800, F("18.48") * MS),
    ]


# --- inside a take ---


def pair(first: str, second: str, events: str, links: str = "", more: str = "") -> Days:
    """A recorder and a camera, and whatever more."""
    leads = "{from: m.out, to: cam.tc, carries: LTC, connected: to jam}\n" + links
    return rig(
        f"m: {{{first}, {SOUND}}}\ncam: {{{second}, {PICTURE}}}\n{more}",
        events,
        leads.strip(),
        day="call: 07:00, wrap: 19:00",
    )


MASTER = "able: {ports: {out: {out: [LTC]}}, clock: {accuracy: 0.5 ppm}}, timecode: {from: own clock, mode: free run}"
CAMERA = (
    "able: {ports: {tc: {in: [LTC]}}, clock: {accuracy: 20 ppm}, timecode: {jam_error: 0.1 ms}}, "
    "timecode: {from: tc, mode: jam}"
)
JAM = "{at: 07:00, do: jam, of: all}"


def test_two_recordings_paced_apart() -> None:
    made = pair(MASTER, CAMERA, JAM)
    take = forecast_of(made).take("m", "cam", made.instant("07:00"), F(45 * 60))
    # (20 + 0.5) ppm × 2,700 s = 55.35 ms, and the jam's 0.1 ms at its start.
    assert take.slip is not None
    assert take.label is not None
    assert take.slip.worst == F("55.35") * MS
    assert take.label.worst == F("0.1") * MS
    assert take.total == F("55.45") * MS


def test_a_take_begun_after_hours_of_drift() -> None:
    made = pair(MASTER, CAMERA, JAM)
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    # Four hours before, 20.5 × 14.4 = 295.2 ms and the jam. The clocks are the same ones, so the take adds to it:
    # 20.5 ppm × 17,100 s = 350.55 ms, and the jam.
    assert take.label is not None
    assert take.label.worst == F("295.3") * MS
    assert take.slip is not None
    assert take.slip.worst == F("55.35") * MS
    assert take.total == F("350.65") * MS


def test_a_camera_that_lives_on_the_recorder_slips_by_its_own_clock() -> None:
    live = CAMERA.replace("mode: jam", "mode: continuous")
    made = rig(
        f"m: {{{MASTER}, {SOUND}}}\ncam: {{{live}, {PICTURE}}}",
        JAM,
        "{from: m.out, to: cam.tc, carries: LTC, connected: all day}",
        day="call: 07:00, wrap: 19:00",
    )
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    assert take.label is not None
    assert take.label.worst == 0  # the label is read at the start
    assert take.total == F("55.35") * MS  # and the frames are its own after that


REF = "ports: {tc: {in: [LTC]}, ref: {in: [tri-level]}}"


def test_one_reference_for_both_and_no_slip() -> None:
    gen = "gen: {able: {ports: {ref: {out: [tri-level]}}, clock: {accuracy: 3 ppm}}}"
    master = (
        MASTER.replace("{out: {out: [LTC]}}", "{out: {out: [LTC]}, ref: {in: [tri-level]}}") + ", clock: {from: ref}"
    )
    camera = CAMERA.replace("ports: {tc: {in: [LTC]}}", REF) + ", clock: {from: ref}"
    made = pair(
        master, camera, JAM, "{from: gen.ref, to: [m.ref, cam.ref], carries: tri-level, connected: all day}", gen
    )
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    assert take.slip is not None
    assert (take.slip.worst, take.slip.facts) == (F(0), ())
    assert take.total == F("0.1") * MS


def test_the_half_locked_rig_slips() -> None:
    # The generator paces the camera, and the recorder itself: (3 + 0.5) × 2.7 = 9.45 ms, whatever the camera's own.
    gen = "gen: {able: {ports: {ref: {out: [tri-level]}}, clock: {accuracy: 3 ppm}}}"
    camera = CAMERA.replace("ports: {tc: {in: [LTC]}}", REF) + ", clock: {from: ref}"
    made = pair(MASTER, camera, JAM, "{from: gen.ref, to: cam.ref, carries: tri-level, connected: all day}", gen)
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    assert take.slip is not None
    assert take.slip.worst == F("9.45") * MS


def test_a_pace_from_outside_is_right() -> None:
    # Only the camera slips, 20 × 2.7 = 54 ms; of two that are paced from outside, neither.
    gnss = (
        "able: {ports: {out: {out: [LTC]}, sky: {in: [GNSS]}}, clock: {accuracy: 0.5 ppm}}, "
        "timecode: {from: sky, mode: continuous}, clock: {from: sky}"
    )
    made = pair(gnss, CAMERA, JAM, more=f"second: {{{gnss}, {SOUND}}}")
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    assert take.slip is not None
    assert take.slip.worst == 54 * MS
    take = forecast_of(made).take("m", "second", made.instant("11:00"), F(45 * 60))
    assert take.slip is not None
    assert take.slip.worst == 0
    assert take.total == 0


def test_a_reference_that_is_lost_lets_the_camera_go() -> None:
    gen = "gen: {able: {ports: {ref: {out: [tri-level]}}, clock: {accuracy: 3 ppm}}}"
    master = (
        MASTER.replace("{out: {out: [LTC]}}", "{out: {out: [LTC]}, ref: {in: [tri-level]}}") + ", clock: {from: ref}"
    )
    camera = CAMERA.replace("ports: {tc: {in: [LTC]}}", REF) + ", clock: {from: ref}"
    lost = "{at: 11:15, do: link lost, from: gen.ref, to: cam.ref, until: 11:30}"
    made = pair(
        master,
        camera,
        f"{JAM}\n{lost}",
        "{from: gen.ref, to: [m.ref, cam.ref], carries: tri-level, connected: all day}",
        gen,
    )
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    # For a quarter of an hour the generator paces one and the camera itself: (3 + 20) × 0.9 = 20.7 ms.
    assert take.slip is not None
    assert take.slip.worst == F("20.7") * MS
    # So do their labels, which bend at both moments.
    curve = forecast_of(made).curve("cam", "m", made.instant("11:00"), made.instant("12:00"))
    assert points(curve) == [
        (0, F("0.1") * MS),
        (900, F("0.1") * MS),
        (900, F("0.1") * MS),
        (1800, F("20.8") * MS),
        (1800, F("20.8") * MS),
        (3600, F("20.8") * MS),
    ]


def test_a_clock_that_nobody_states_leaves_the_label_alone() -> None:
    made = pair(MASTER, "able: {ports: {tc: {in: [LTC]}}}, timecode: {from: tc, mode: jam}", JAM)
    take = forecast_of(made).take("m", "cam", made.instant("11:00"), F(45 * 60))
    assert (take.label, take.slip, take.total) == (None, None, None)


# --- other ways of jamming ---


def test_a_tuned_pair() -> None:
    # Both run at the master's rate but for 0.1 ppm each: after 6 h 2 × 0.1 × 21.6 = 4.32 ms and two jams. What their
    # own clocks are, and what the master's is, is of no account.
    tuned = clock("2", ", tunes_to: 0.1 ppm")
    made = boxes({"a": tuned, "b": tuned}, JAM)
    assert made.apart("a", "b", "13:00") == F("4.52") * MS
    assert made.apart("a", "m", "13:00") == F("2.26") * MS
    # Jammed ten minutes apart they still run at one rate: what 600 s of the tuned rates come to has cancelled.
    # A: 0.1 × 21.6; B: 0.1 × 21; two jams.
    made = boxes({"a": tuned, "b": tuned}, TWO_JAMS)
    assert made.apart("a", "b", "13:00") == F("2.16") * MS + F("2.1") * MS + F("0.2") * MS


def test_one_tuned_by_one_that_was_tuned() -> None:
    # C is tuned to A, which is tuned to the master. C against A: C's 0.1 ppm alone, for 4 h; the jam.
    tuned = clock("2", ", tunes_to: 0.1 ppm")
    made = boxes({"a": tuned, "c": tuned}, "{at: 07:00, do: jam, of: [a]}\n{at: 09:00, do: jam, of: [c], from: a}")
    assert made.apart("c", "a", "13:00") == F("1.44") * MS + F("0.1") * MS
    # Against the master: A's 0.1 for 6 h and C's 0.1 for 4 h; two jams.
    assert made.apart("c", "m", "13:00") == F("2.16") * MS + F("1.44") * MS + F("0.2") * MS


def test_a_late_reader() -> None:
    # The camera's labels are two frames late, 83.417 ms; that comes on top of 20.2 ppm × 14.4 = 290.88 ms and the jam.
    camera = f"{CAMERA}, offset: {{amount: -2 frames}}"
    made = pair(MASTER.replace("0.5", "0.2"), camera, JAM)
    offset = made.phases.offset("cam", "m", made.instant("11:00"))
    assert offset is not None
    assert offset.error.middle == -F(2002, 24_000)
    assert offset.worst == F(2002, 24_000) + F("290.98") * MS
    # Where it is put right it is of no account.
    made = pair(MASTER.replace("0.5", "0.2"), f"{CAMERA}, offset: {{amount: -2 frames, corrected_in: post}}", JAM)
    assert made.apart("cam", "m", "11:00") == F("290.98") * MS


def test_two_late_readers_are_not_apart() -> None:
    late = f"{CAMERA}, offset: {{amount: -2 frames}}".replace("mode: jam", "mode: continuous")
    made = rig(
        f"m: {{{MASTER}, {SOUND}}}\ncam: {{{late}, {PICTURE}}}\ncam_2: {{like: cam}}\n"
        "cam_3: {like: cam, offset: {amount: +1 frame}}",
        JAM,
        "{from: m.out, to: [cam.tc, cam_2.tc, cam_3.tc], carries: LTC, connected: all day}",
    )
    assert made.apart("cam", "cam_2", "11:00") == 0
    assert made.apart("cam", "cam_3", "11:00") == F(3003, 24_000)
    worst = forecast_of(made).worst_of_all
    assert worst is not None
    assert worst.offset.worst == F(3003, 24_000)  # of all that show the time of one clock


def test_a_jam_by_whole_frames() -> None:
    # The camera takes the number and keeps its own frame: 0 to 41.708 ms late. After 4 h 20.5 × 14.4 = 295.2 ms more.
    camera = CAMERA.replace("LTC", "HDMI timecode").replace(", timecode: {jam_error: 0.1 ms}", "")
    made = rig(
        f"m: {{{MASTER.replace('LTC', 'HDMI timecode')}, {SOUND}}}\ncam: {{{camera}, {PICTURE}}}",
        JAM,
        "{from: m.out, to: cam.tc, carries: HDMI timecode, connected: to jam}",
    )
    offset = made.phases.offset("cam", "m", made.instant("11:00"))
    assert offset is not None
    assert offset.worst == F(1001, 24_000) + F("295.2") * MS
    assert offset.error.middle == F(1001, 48_000)
    # Whichever device it is jammed from, its input is what it is.
    made = rig(
        f"m: {{{MASTER.replace('LTC', 'HDMI timecode')}, {SOUND}}}\ncam: {{{camera}, {PICTURE}}}\ncam_2: {{like: cam}}",
        "{at: 07:00, do: jam, of: [cam]}\n{at: 07:00, do: jam, of: [cam_2], from: cam}",
        "{from: m.out, to: [cam.tc, cam_2.tc], carries: HDMI timecode, connected: to jam}",
    )
    assert made.apart("cam", "cam_2", "07:00") == F(1001, 24_000)


# --- by radio ---

AIR = (
    "m: {able: {ports: {air: {out: [timecode]}}, clock: {accuracy: 0.5 ppm}}, timecode: {from: own clock}}\n"
    "box: {able: {ports: {air: {in: [timecode]}, out: {out: [LTC]}}, clock: {accuracy: 2 ppm}, "
    "timecode: {jam_error: 0.5 ms}}, timecode: {from: air, mode: continuous}STEERED}\n"
    "box_2: {like: box}\n"
    "cam: {able: {ports: {tc: {in: [LTC]}}, clock: {accuracy: 20 ppm}}, timecode: {from: tc, mode: continuous}}"
)


def air(resync: str, events: str, steered: str = "") -> Days:
    return shoot(
        AIR.replace("STEERED", steered),
        events,
        links="{from: box.out, to: cam.tc, carries: LTC, connected: all day}",
        more="radio_groups:\n"
        f"  main: {{sends: m.air, receives: [box.air, box_2.air], carries: timecode, resync: {{{resync}}}}}\n",
    )


def test_set_by_radio_every_ten_minutes() -> None:
    made = air("every: 10 min, sets: time", "{at: 06:00, do: break, until: 06:01}")
    # Just before the next setting: (2 + 0.5) ppm × 600 s = 1.5 ms, and the error of the last.
    assert made.apart("box", "m", "11:00") == 2 * MS
    # The two boxes heard the same: twice 2 ppm × 600 s = 2.4 ms, and an error each.
    assert made.apart("box", "box_2", "11:00") == F("3.4") * MS
    # What lives on a box shows what the box does.
    assert made.apart("cam", "box", "11:00") == 0
    assert made.apart("cam", "m", "11:00") == 2 * MS


def test_set_by_radio_every_second() -> None:
    made = air("every: 1 s, sets: time", "{at: 06:00, do: break, until: 06:01}")
    assert made.apart("box", "m", "11:00") == F("0.5025") * MS  # 2.5 ppm × 1 s is 2.5 µs


def test_a_lost_radio_link_lets_the_box_run_by_itself() -> None:
    lost = "{at: 11:00, do: link lost, of: [box], until: 13:00}"
    made = air("every: 10 min, sets: time", lost)
    # At 12:00 it was set last at 10:50 at the latest: 2.5 ppm × 4,200 s = 10.5 ms, and the error of that.
    assert made.apart("box", "m", "12:00") == 11 * MS
    assert made.apart("cam", "m", "12:00") == 11 * MS
    # At 12:00 against the other, set at 11:50 at the latest. The box by itself for 4,200 s, the other for 600 s, the
    # master from 10:50 to 11:50 on the one way alone: 8.4 + 1.2 + 1.8 ms, and both errors.
    assert made.apart("box", "box_2", "12:00") == F("12.4") * MS
    assert made.apart("box", "m", "13:00") == 2 * MS


def test_a_radio_that_steers_the_clock_brings_its_pace() -> None:
    lost = "{at: 11:00, do: link lost, of: [box], until: 13:00}"
    made = air("every: 10 min, sets: clock", lost, ", clock: {from: air}")
    assert made.apart("box", "m", "10:59") == 0
    assert made.apart("box", "box_2", "10:59") == 0
    assert made.apart("box", "m", "12:00") == 9 * MS  # by itself from 11:00: 2.5 ppm × 3,600 s
    take = forecast_of(made).take("box", "box_2", made.instant("10:30"), F(3600))
    assert take.slip is not None
    assert take.slip.worst == F("4.5") * MS  # for the last half hour (2 + 0.5) × 1.8


# --- who must agree ---

SLATES = """
m: {able: {ports: {out: {out: [LTC]}}, clock: {accuracy: 0.2 ppm}}, timecode: {from: own clock}, SOUND}
cam: {able: {ports: {tc: {in: [LTC]}}, clock: {accuracy: 1 ppm}}, timecode: {from: tc, mode: jam}, PICTURE}
cam_2: {like: cam}
slate: {like: cam, able: {class: timecode slate, clock: {accuracy: 30 ppm}}}
slate_2: {like: slate}
box: {like: cam}
""".replace("SOUND", SOUND).replace("PICTURE", PICTURE)
SLATE_LEADS = "{from: m.out, to: [cam.tc, cam_2.tc, slate.tc, slate_2.tc, box.tc], carries: LTC, connected: to jam}"


def test_who_rolls_together_must_agree() -> None:
    takes = "{at: 08:00, do: roll, of: [m, cam], until: 08:10}\n{at: 09:00, do: roll, of: [cam_2], until: 09:10}"
    events = f"{JAM}\n{takes}"
    made = rig(SLATES, events, SLATE_LEADS)
    told = {(each.first, each.second): each.kind for each in forecast_of(made).pairs}
    slates = {
        ("m", "slate"),
        ("m", "slate_2"),
        ("cam", "slate"),
        ("cam", "slate_2"),
        ("cam_2", "slate"),
        ("cam_2", "slate_2"),
    }
    assert told == {("m", "cam"): Kind.SOUND, **dict.fromkeys(slates, Kind.SLATE)}


def test_two_slates_need_not_agree() -> None:
    # Slate against slate would be 60 ppm; slate against camera is 31 ppm × 22.2 = 688.2 ms and two jams of 0.1 ms.
    made = rig(SLATES, JAM, SLATE_LEADS)
    worst = forecast_of(made).worst_of_all
    assert worst is not None
    assert worst.offset.worst == F("688.4") * MS
    assert {each.kind for each in forecast_of(made).pairs} == {Kind.SOUND, Kind.CAMERAS, Kind.SLATE}
    assert ("slate", "slate_2") not in {(each.first, each.second) for each in forecast_of(made).pairs}


def test_of_more_than_two_hundred_only_those_with_the_master_are_told() -> None:
    cameras = "\n".join(f"c{n}: {{like: cam}}" for n in range(250))
    ends = ", ".join(f"c{n}.tc" for n in range(250))
    made = rig(
        f"{SLATES}{cameras}", JAM, f"{SLATE_LEADS}\n{{from: m.out, to: [{ends}], carries: LTC, connected: to jam}}"
    )
    pairs = [(each.first, each.second) for each in forecast_of(made).pairs]
    assert len(pairs) == len(set(pairs))
    # With the master are 255 others: 250 cameras, cam and cam_2, two slates, and the box. With the first slate are all
    # of these but the other slate and itself: 253.
    assert len([each for each in pairs if "m" in each]) == 255
    assert len(pairs) == 255 + 253


# --- how the plan reads it ---


def test_the_morning_is_the_last_jam_before_the_first_take() -> None:
    events = f"{TWO_JAMS}\n{{at: 07:20, do: roll, of: [a, b], until: 13:10}}"
    made = boxes(TWO, events)
    planner = Planner(made.case.setup, made.case.timecode, made.case.clock, HALF_A_FRAME)
    assert planner.morning == made.instant("07:10")
    plan = planner.plan
    assert plan.first_breach is not None
    assert clock_of(made.case.setup, plan.first_breach.at) == "12:47:14"
    assert (plan.first_breach.pair.first, plan.first_breach.pair.second) == ("a", "b")
    # A round at 07:20, before the take: 2 × 0.5 ppm × 21,000 s and 0.2 ms are 21.2 ms at its end. No jam can do.
    assert not plan.possible


def test_a_delay_on_the_way_that_nobody_corrects_is_a_known_constant() -> None:
    # LTC wired round a converter of two frames: the recorder's labels are 2 × 1001/24000 s = 83.417 ms ahead of the
    # master's at every moment; what follows its timecode live is not, for it sits on no late picture.
    recorder = "able: {class: video recorder, clock: {accuracy: 20 ppm}}, timecode: {from: tc, mode: continuous}"
    camera = "able: {class: cinema camera}"
    devices = (
        f"m: {{{MASTER}, {SOUND}}}\ncam: {{{camera}, {PICTURE}}}\nrec: {{{recorder}, {PICTURE}}}\n"
        "behind: {like: rec}\nconv: {able: {class: through-thing, passes: {in: [out]}, delay: 2 frames}}"
    )
    links = (
        "{from: m.out, to: rec.tc, carries: LTC, connected: all day}\n{from: cam.sdi, to: conv.in, carries: picture}\n"
        "{from: conv.out, to: rec.sdi, carries: picture}\n"
        "{from: rec.tc_out, to: behind.tc, carries: LTC, connected: all day}"
    )
    made = rig(devices, JAM, links)
    offset = made.phases.offset("rec", "m", made.instant("11:00"))
    assert offset is not None
    assert (offset.error.middle, offset.error.spread) == (F(2002, 24_000), F(0))
    assert made.apart("behind", "m", "11:00") == 0
    # Once post was told of it, it is of no account.
    made = rig(
        devices.replace("rec: {", "rec: {offset: {amount: +2 frames, corrected_in: post}, ", 1).replace(
            "behind: {like: rec}\n", ""
        ),
        JAM,
        links.rpartition("\n")[0],
    )
    assert made.apart("rec", "m", "11:00") == 0
