"""Drift for people: a worked day, with every number worked out beside it."""

from fractions import Fraction
from itertools import combinations

import pytest

from synclint.drift.pairs import Pairs
from synclint.drift.table import drift_of
from synclint.drift.values import Cell, Drift
from tests.day.running import Days, lived

DEVICES = """\
  bag:
    able: {class: field recorder, ports: {tc_out: {out: [LTC]}}, clock: {accuracy: 0.2 ppm}}
    timecode: {from: own clock, mode: free run, rate: 25}
    clock: {from: own clock}
    records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}
  box_a:
    able: {class: compensated generator, ports: {jack: {in: [LTC], out: [LTC]}}, clock: {accuracy: 0.5 ppm},
           timecode: {jam_error: 0.1 ms, loses_time_on: [power off]}}
    timecode: {from: jack, mode: jam, rate: 25}
    clock: {from: own clock}
  box_b: {like: box_a}
  cam_a:
    able: {class: cinema camera, ports: {tc_in: {in: [LTC]}}, clock: {accuracy: 2 ppm}}
    timecode: {from: tc_in, mode: continuous, rate: 25}
    clock: {from: own clock}
    records: {picture: {shot_at: 25, played_at: 25}, timecode_on: [file]}
  cam_b: {like: cam_a}
"""
LINKS = """\
  - {from: bag.tc_out, to: [box_a.jack, box_b.jack], carries: LTC, connected: to jam}
  - {from: box_a.jack, to: cam_a.tc_in, carries: LTC, connected: all day}
  - {from: box_b.jack, to: cam_b.tc_in, carries: LTC, connected: all day}
"""
JAMMED = "{at: 07:00, do: jam, of: [box_a]}, {at: 07:10, do: jam, of: [box_b]}"


def day(
    events: str, tolerance: str = "1/2 frame", devices: str = DEVICES, hours: str = "call: 06:30, wrap: 19:00"
) -> Days:
    return lived(
        "synclint: setup/1\ntitle: A worked day\n"
        f"project: {{rate: 25, tolerance: {tolerance}, master: {{timecode: bag, clock: none}}}}\n"
        f"days:\n  - {{date: 2026-06-14, {hours}, events: [{events}]}}\n"
        f"devices:\n{devices}links:\n{LINKS}"
    )


def drift(events: str, **more: str) -> Drift:
    case = day(events, **more).case
    return drift_of(case.forecast, case.timecode, case.clock)


def cell(found: Drift, who: str, clock: str) -> Cell:
    """What stands in the row of a device at a moment."""
    (row,) = (row for row in found.rows if who in row.devices)
    return row.cells[[moment.clock for moment in found.moments].index(clock)]


# 0.2 + 0.5 ppm over 22,200 s and a jam of 0.1 ms: 15.64 ms, as worked out beside the rule of the sum.
WORKED = f"{JAMMED}, {{at: 13:00, do: roll, of: [bag, cam_a, cam_b], until: 13:10, scene: 7}}"


def test_each_device_is_told_against_the_master_before_and_after_each_moment() -> None:
    found = drift(WORKED)
    assert found.masters == ("bag",)
    assert [(each.clock, each.what) for each in found.moments] == [
        ("07:00", "jam"),
        ("07:10", "jam"),
        ("13:00", "scene 7"),
        ("13:10", "cut"),
        ("19:00", "wrap"),
    ]
    assert cell(found, "box_a", "13:10").before.seconds == Fraction("0.01564")
    assert cell(found, "box_a", "07:00").before.seconds is None
    assert cell(found, "box_a", "07:00").before.why == "no bound: not yet jammed"
    assert cell(found, "box_a", "07:00").after.seconds == Fraction("0.0001")
    # B is jammed 600 s later, from a master that is right by definition here: 0.7 ppm over 21,600 s and 0.1 ms.
    assert cell(found, "box_b", "13:10").before.seconds == Fraction("0.01522")
    # A camera that follows its box shows the time of its box.
    assert cell(found, "cam_a", "13:10") == cell(found, "box_a", "13:10")


def test_the_worst_pair_of_each_kind_is_that_of_the_takes() -> None:
    found = drift(WORKED)
    told = {row.kind: (row.first, row.second, row.peak.seconds, row.peak.clock) for row in found.pairs}
    assert told == {
        "camera to sound": ("bag", "cam_a", Fraction("0.01564"), "13:10"),
        # 0.2 ppm over the 600 s between the jams, 0.5 ppm over 22,200 s and over 21,600 s, two jams: 22.22 ms.
        "camera to camera": ("cam_a", "cam_b", Fraction("0.02222"), "13:10"),
    }


def test_the_tolerance_is_left_inside_the_take_at_the_worked_moment() -> None:
    found = drift(f"{JAMMED}, {{at: 11:30, do: roll, of: [bag, cam_a, cam_b], until: 13:10}}")
    assert found.plan is not None
    assert found.plan.leaves is not None
    # 20 ms are half a frame at 25: 0.12 + 0.2 + 0.3 (A alone until B) leave 19.38 ms at 1 ppm: 19,380 s after 07:10.
    assert found.plan.leaves.clock == "12:33"
    assert (found.plan.leaves.first, found.plan.leaves.second) == ("cam_a", "cam_b")
    assert not found.holds


def test_inside_a_take_label_and_slip_are_told_apart() -> None:
    (take,) = drift(WORKED).takes
    assert (take.first, take.second, take.scene, take.length) == ("cam_a", "cam_b", "7", Fraction(600))
    # At 13:00, 600 s earlier than above: 22.22 - 0.6 = 21.62 ms; two cameras of 2 ppm over 600 s: 2.4 ms.
    assert (take.label, take.slip, take.total) == (Fraction("0.02162"), Fraction("0.0024"), Fraction("0.02402"))
    assert take.holds_for == 0


def test_a_take_that_leaves_the_tolerance_tells_how_long_it_may_be() -> None:
    rolls = "{at: 07:20, do: roll, of: [bag, cam_a, cam_b], until: 10:20}"
    (take,) = drift(f"{JAMMED}, {rolls}", tolerance="20 ms").takes
    # At 07:20: 0.12 + 0.5 * (1200 + 600) / 1000 + 0.2 = 1.22 ms. 18.78 ms at 4 ppm are 4695 s.
    assert take.label == Fraction("0.00122")
    assert take.holds_for == 4695


def test_a_shorter_clip_of_a_camera_is_what_slips() -> None:
    devices = DEVICES.replace("  cam_b: {like: cam_a}", "  cam_b: {like: cam_a, longest_take: 10 min}")
    (take,) = drift(f"{JAMMED}, {{at: 12:00, do: roll, of: [cam_a, cam_b], until: 13:10}}", devices=devices).takes
    assert (take.start, take.end, take.slip) == ("13:00", "13:10", Fraction("0.0024"))


def test_where_no_take_is_told_the_longest_one_counts() -> None:
    found = drift(JAMMED, hours="call: 06:30, wrap: 13:10, longest_take: 10 min")
    (take,) = found.takes
    assert (take.start, take.end, take.total) == ("13:00", "13:10", Fraction("0.02402"))
    (row,) = (row for row in found.rows if "cam_a" in row.devices)
    assert row.long_take is not None
    # Against the recorder: 0.7 ppm over 21,600 s + 0.1 ms at 13:00, and 0.2 + 2 ppm over 600 s.
    assert row.long_take.total.seconds == Fraction("0.01522") + Fraction("0.00132")


def test_what_restarts_without_a_jam_has_no_bound_and_holds_nothing() -> None:
    lost = "{at: 12:00, do: power off, of: [box_b], until: 12:04}"
    found = drift(
        f"{JAMMED}, {lost}, {{at: 12:30, do: roll, of: [bag, cam_a, cam_b], until: 12:40}}", tolerance="1 frame"
    )
    assert cell(found, "box_b", "12:00").after.why == "off"
    assert cell(found, "box_b", "12:04").after.why == "no bound: restarted without a jam"
    assert {(each.first, each.second) for each in found.unbounded} == {("bag", "cam_b"), ("cam_a", "cam_b")}
    assert {each.why for each in found.unbounded} == {"no bound: restarted without a jam"}
    assert not found.holds


def test_who_is_never_jammed_is_told_apart_from_who_is_not_yet() -> None:
    found = drift("{at: 07:00, do: jam, of: [box_a]}")
    assert cell(found, "box_a", "07:00").before.why == "no bound: not yet jammed"
    assert cell(found, "box_b", "07:00").before.why == "no bound: never jammed"


ANEW = "{at: 13:50, do: set clock, of: [bag], from: wall clock}"
NOON = "{at: 12:00, do: roll, of: [bag, cam_a, cam_b], until: 12:10}"
LATER = (
    "{at: 14:20, do: roll, of: [bag, cam_a, cam_b], until: 14:30}, "
    "{at: 18:00, do: roll, of: [bag, cam_a], until: 18:10}"
)


def test_a_master_that_is_set_anew_is_named_and_not_those_that_it_leaves() -> None:
    found = drift(f"{JAMMED}, {NOON}, {ANEW}, {LATER}", tolerance="1 frame", hours=HOURS)
    assert [(each.first, each.second, each.clock, each.why) for each in found.unbounded] == [
        ("bag", "cam_a", "14:20", "no bound: bag was set anew at 13:50"),
        ("bag", "cam_b", "14:20", "no bound: bag was set anew at 13:50"),
    ]
    assert cell(found, "cam_a", "14:20").before.why == "no bound: bag was set anew at 13:50"


def test_a_pair_tells_the_takes_in_which_it_has_no_bound() -> None:
    found = drift(f"{JAMMED}, {NOON}, {ANEW}, {LATER}", tolerance="1 frame", hours=HOURS)
    sound, cameras = found.pairs
    # Against the bag 0.7 ppm over the 18,600 s to 12:10, and 0.1 ms; later takes have no number.
    assert (sound.first, sound.second, sound.peak.clock) == ("bag", "cam_a", "12:10")
    assert sound.peak.seconds == Fraction("0.7") * 18_600 / 1_000_000 + Fraction("0.0001")
    assert sound.unbounded == ("14:20", "18:00")
    assert sound.long_take is not None
    assert sound.long_take.total.seconds is None
    # The two cameras share the old time: 0.12 ms, 0.5 ppm over 27,000 s and 26,400 s, and two jams.
    assert (cameras.peak.clock, cameras.unbounded) == ("14:30", ())
    assert cameras.peak.seconds == Fraction("0.00012") + Fraction("0.0267") + Fraction("0.0002")
    assert cameras.long_take is not None
    assert cameras.long_take.total.seconds is not None
    (row,) = (row for row in found.rows if "cam_a" in row.devices)
    assert row.long_take is not None
    assert row.long_take.total.why == "no bound: bag was set anew at 13:50"


HOURS = "call: 06:30, wrap: 19:00, longest_take: 10 min"


def test_where_no_take_is_told_what_is_before_the_first_jam_is_no_gap() -> None:
    # By the wrap the boxes are 0.12 + 21.6 + 21.3 + 0.2 = 43.22 ms apart.
    found = drift(JAMMED, tolerance="44 ms")
    assert found.unbounded == ()
    assert found.holds


@pytest.mark.parametrize(
    ("again", "gap"),
    [
        ("", "13:50 to 19:00"),
        (", {at: 14:20, do: jam, of: all}", "13:50 to 14:20"),
        (", {at: 14:05, do: jam, of: all}", ""),
    ],
)
def test_where_no_take_is_told_a_master_that_is_set_anew_leaves_a_gap(again: str, gap: str) -> None:
    # Of the boxes, which are jammed at 07:00; within a quarter of an hour it is one round.
    found = drift(f"{{at: 07:00, do: jam, of: all}}, {ANEW}{again}", tolerance="1 frame")
    assert {each.unbounded for each in found.pairs if each.kind == "camera to sound"} == {(gap,) if gap else ()}
    assert {(each.clock, each.rolling) for each in found.unbounded} == ({("13:50", False)} if gap else set())


def test_the_plan_tells_why_a_jam_is_wanted_where_the_master_is_set_anew() -> None:
    plan = drift(f"{JAMMED}, {NOON}, {ANEW}, {LATER}", tolerance="1 s").plan
    assert plan is not None
    assert plan.morning_leaves is not None
    assert (plan.morning_leaves.clock, plan.morning_leaves.why) == ("14:20", "bag was set anew at 13:50")
    assert [(each.clock, each.by) for each in plan.rounds] == [("13:50", "14:20")]
    # However good a clock is, that jam is wanted.
    assert plan.needed == ()


def test_a_clock_of_which_nothing_is_stated_is_named() -> None:
    devices = DEVICES.replace("class: compensated generator", "class: display").replace(
        ", clock: {accuracy: 0.5 ppm}", ""
    )
    found = drift(WORKED, devices=devices)
    assert cell(found, "box_a", "13:10").before.why == "no bound: nobody states the accuracy of box_a"


@pytest.mark.parametrize(("tolerance", "wants"), [("1/2 frame", False), ("19 ms", True)])
def test_the_frame_phase_stands_apart(tolerance: str, wants: bool) -> None:
    found = drift(WORKED, tolerance=tolerance)
    odds = {who: each.odds for each in found.phases for who in each.devices}
    # At wrap, 43,200 s after the jam of A: 0.7 ppm and 0.1 ms, of a frame of 40 ms.
    assert odds["cam_a"] == (Fraction("0.03024") + Fraction("0.0001")) / Fraction("0.04")
    assert found.wants_reference is wants


LATE = (
    "{at: 07:00, do: jam, of: all}, {at: 12:30, do: break, until: 13:15}, "
    "{at: 15:00, do: roll, of: [bag, cam_a, cam_b], until: 15:10}"
)


def test_the_plan_names_the_break_and_the_deadline() -> None:
    # From 07:00 on 1 ppm and 0.2 ms between the boxes: 20 ms are reached after 19,800 s, at 12:30.
    plan = drift(LATE, tolerance="20 ms").plan
    assert plan is not None
    assert (plan.holds, plan.morning, plan.jams) == (False, "07:00", ("07:00",))
    (one,) = plan.rounds
    assert one.in_break == "12:30 to 13:15"
    assert one.by == "15:00"


def test_what_accuracy_would_spare_the_jam() -> None:
    # At 15:10, after 29,400 s: the boxes 29.6 ms apart, box and recorder 20.58 + 0.1 = 20.68 ms.
    plan = drift(LATE, tolerance="25 ms").plan
    assert plan is not None
    needed = {each.device: (each.ppm, each.now) for each in plan.needed}
    # 25 - 0.2 - 14.7 ms of the other leave 10.1 ms over 29,400 s.
    assert needed["box_a"] == (Fraction("10.1") / Fraction("29.4"), Fraction("0.5"))
    assert needed["box_b"] == needed["box_a"]


def test_what_accuracy_would_do_is_enough_for_all_and_no_more_than_that() -> None:
    # Of clocks that are all unlike the widest pair of a moment is another one once one of the two is better: box_a is
    # widest with box_b, and then box_b with the recorder. 25 ms over 29,400 s and 0.2 ms of jams leave 0.8435 ppm.
    devices = DEVICES.replace("box_b: {like: box_a}", "box_b: {like: box_a, able: {clock: {accuracy: 0.6 ppm}}}")
    devices = devices.replace("accuracy: 0.2 ppm", "accuracy: 0.25 ppm")
    plan = drift(LATE, tolerance="25 ms", devices=devices).plan
    assert plan is not None
    needed = {each.device: each.ppm for each in plan.needed}
    # With box_b as it is: 24.8 - 17.64 = 7.16 ms for box_a, which is then within 24.9 - 7.35 ms of the recorder's; but
    # box_b and the recorder are 0.85 × 29.4 + 0.1 = 25.09 ms apart, whatever box_a does.
    assert needed["box_a"] is None
    # With box_a as it is: 24.8 - 14.7 = 10.1 ms for box_b, and 24.9 - 7.35 = 17.55 against the recorder.
    assert needed["box_b"] == Fraction("10.1") / Fraction("29.4")
    for accuracy, holds in (("0.3435", True), ("0.3436", False)):
        better = devices.replace("accuracy: 0.6 ppm", f"accuracy: {accuracy} ppm")
        again = drift(LATE, tolerance="25 ms", devices=better).plan
        assert again is not None
        assert again.holds is holds


def test_no_accuracy_of_one_alone_would_do_where_another_is_worse() -> None:
    plan = drift(LATE, tolerance="14 ms").plan
    assert plan is not None
    # The other box alone takes 14.7 ms.
    assert {each.device: each.ppm for each in plan.needed}["box_a"] is None


def test_what_is_assumed_is_named() -> None:
    devices = DEVICES.replace(", clock: {accuracy: 2 ppm}", "").replace("jam_error: 0.1 ms, ", "")
    told = {(each.what, each.value): each.devices for each in drift(WORKED, devices=devices).assumed}
    assert told["clock accuracy", "5 ppm"] == ("cam_a", "cam_b")
    assert told["rate that wanders", "2 ppm"] == ("cam_a", "cam_b")
    assert told["error of a jam", "±0.1 ms"] == ("box_a", "box_b")


def test_the_lines_of_the_picture_have_exact_corners() -> None:
    (panel,) = drift(LATE).panels
    start = panel.start
    (curve,) = panel.curves
    assert curve.devices == ("box_a", "box_b", "cam_a", "cam_b")
    known = [(each.at - start, each.seconds) for each in curve.vertices if each.seconds is not None]
    # From 07:00 (1,800 s after call) to wrap 43,200 s later, straight.
    assert known == [(Fraction(1800), Fraction("0.0001")), (Fraction(45_000), Fraction("0.03034"))]
    assert [(each.start - start, each.end - start, each.unknown) for each in curve.blanks] == [
        (Fraction(0), Fraction(1800), True)
    ]
    assert [(each.says, each.start - start) for each in panel.jams] == [("jam 07:00, 2 devices", Fraction(1800))]
    assert [each.hour for each in panel.hours][:2] == [7, 8]


def test_of_many_that_are_alike_two_stand_for_all() -> None:
    more = "".join(f"  cam_{each}: {{like: cam_a}}\n" for each in "cde")
    devices = f"{DEVICES}{more}  cam_f: {{like: cam_a, longest_take: 5 min}}\n"
    links = "".join(
        f"  - {{from: box_b.jack, to: cam_{each}.tc_in, carries: LTC, connected: all day}}\n" for each in "cdef"
    )
    case = lived(
        "synclint: setup/1\ntitle: Many\nproject: {rate: 25, master: {timecode: bag, clock: none}}\n"
        f"days:\n  - {{date: 2026-06-14, call: 06:30, wrap: 19:00, events: [{JAMMED}, "
        "{at: 08:00, do: roll, of: all, until: 09:00}]}\n"
        f"devices:\n{devices}links:\n{LINKS}{links}"
    ).case
    pairs, (roll,) = Pairs(case.forecast), case.forecast.takes
    every = list(roll.devices)
    few = pairs.unlike(every, roll.start, roll.end)
    assert few == ["bag", "cam_a", "cam_b", "cam_c", "cam_f"]

    def worst(keys: list[str]) -> Fraction:
        takes = (pairs.in_take(*pair, roll.start, roll.end) for pair in combinations(keys, 2))
        return max(take.total or Fraction(0) for take in takes)

    assert worst(few) == worst(every)


def test_a_unit_whose_master_has_no_clock_is_told_against_that_of_the_rig() -> None:
    split = "  split: {able: {ports: {i: {in: [LTC]}, o: {out: [LTC]}}, passes: {i: [o]}}}\n"
    text = (
        "synclint: setup/1\ntitle: A worked day\nproject: {rate: 25, master: {timecode: bag, clock: none}}\n"
        f"days: [{{date: 2026-06-14, call: 06:30, wrap: 19:00, events: [{JAMMED}]}}]\n"
        "units: {second: {master: split, shares_timecode: false}}\n"
        f"devices:\n{DEVICES.replace('{like: cam_a}', '{like: cam_a, unit: second}')}{split}links:\n{LINKS}"
    )
    case = lived(text).case
    assert drift_of(case.forecast, case.timecode, case.clock).masters == ("bag",)
