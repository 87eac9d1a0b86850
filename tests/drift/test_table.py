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
    assert cell(found, "box_a", "07:00").before.why == "no bound: never jammed"
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
    assert [mark.says for mark in panel.hours][:2] == ["07:00", "08:00"]


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
