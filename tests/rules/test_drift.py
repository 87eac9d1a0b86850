"""How long jams hold; the numbers are ppm × hours × 3.6 = ms, both clocks added (exact arithmetic)."""

from __future__ import annotations

import pytest

from synclint.findings import Level
from synclint.rules.drift import jam_holds_too_short
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

LEAD = to_jam("cam_a.tc_in")
LUNCH = "at: 12:30, do: break, until: 13:15"
AFTERNOON = roll("16:00", "16:20", "bag", "cam_a")


def holds(*events: str, devices: list[str] | None = None, links: str = LEAD, tolerance: str = "1 frame") -> Came:
    return came_of(jam_holds_too_short, told(devices or [BAG, camera("cam_a")], links, *events, tolerance=tolerance))


# --- what it costs ---------------------------------------------------------------------------------------------


def test_a_camera_that_is_jammed_once_and_rolls_in_the_afternoon() -> None:
    came = holds(JAM, LUNCH, AFTERNOON)
    assert came.one.level is Level.ERROR
    # 0.2 and 2 ppm: a frame of 40 ms less the jam's 0.1 ms lasts 39.9 / 2.2 × 1000 = 18,136 s, 5 h 2 min 16 s.
    assert came.one.sentence == (
        "the jam at 07:00 holds bag and cam_a within the tolerance until 12:02:16 only, and they are in the roll at "
        "16:00"
    )
    # 2.2 ppm over the 9 h 20 min to 16:20 are 73.92 ms, and 0.1 ms of the jam.
    assert came.amounts["apart at worst"] == pytest.approx(74.02)
    assert "by the end of the roll at 16:20 they may be 74 ms" in came.one.cost_sentence
    # What is jammed at lunch is at 16:20 off by 2.2 × 3.83 h × 3.6 = 30.4 ms.
    assert came.one.fix_sentence.startswith("Jam all again by 16:00 (in the break, at 12:30, will do)")
    assert str(came.one.at) == "days/0/events/0"


def test_what_accuracy_would_do_is_never_said_laxer_than_it_is() -> None:
    # 40 − 0.1 − 0.2 × 33.6 = 33.18 ms for the camera over 33,600 s: 0.9875 ppm.
    assert "with a clock of 0.98 ppm in cam_a" in holds(JAM, AFTERNOON).one.fix_sentence


def test_the_exact_end_of_what_is_tolerated() -> None:
    # 2.2 ppm over 18,000 s, 07:00 to 12:00, are 39.6 ms; with the jam's 0.1 ms it is 39.7 ms.
    at_noon = roll("11:50", "12:00", "bag", "cam_a")
    assert holds(JAM, at_noon, tolerance="39.7 ms").silent
    assert holds(JAM, at_noon, tolerance="39.6 ms").one.who


def test_the_wrap_counts_where_no_take_is_told() -> None:
    came = holds(JAM)
    # 2.2 ppm over twelve hours are 95.04 ms, and 0.1 ms.
    assert came.amounts["apart at worst"] == pytest.approx(95.14)
    assert came.one.sentence.endswith("until 12:02:16 only, and they go on to the wrap (19:00)")


def test_the_worst_of_a_day_may_lie_before_a_later_jam() -> None:
    came = holds(JAM, "at: 15:00, do: jam, of: all")
    # 2.2 ppm over eight hours: 63.36 ms, and 0.1 ms; from 15:00 on four hours are 31.7 ms.
    assert came.amounts["apart at worst"] == pytest.approx(63.46)
    assert came.one.sentence.endswith("and they go on to the jam at 15:00")


def test_what_ends_a_jam_may_be_a_setting_by_hand() -> None:
    set_by_hand = "at: 15:00, do: set clock, of: [bag, cam_a], from: wall clock"
    assert holds(JAM, set_by_hand).one.sentence.endswith("and they go on to the setting by hand at 15:00")
    both = holds(JAM, set_by_hand, "at: 15:00, do: jam, of: all")
    assert both.one.sentence.endswith("and they go on to the jam at 15:00")


def test_one_finding_tells_of_all_pairs() -> None:
    devices = [BAG, camera("cam_a"), camera("cam_b", "3"), camera("cam_c", "0.5")]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in", "cam_c.tc_in")
    came = holds(JAM, roll("13:00", "13:10", "bag", "cam_a", "cam_b", "cam_c"), devices=devices, links=links)
    # At 13:10, 22,200 s: a–b 5 ppm, 111.2 ms; bag–a 48.9; bag–b 71.1; b–c 77.9; a–c 55.7; bag–c 15.6 ms is within.
    assert came.one.who == ("cam_a", "cam_b")
    assert came.amounts["apart at worst"] == pytest.approx(111.2)
    assert came.amounts["pairs past the tolerance"] == 5


def test_cameras_that_follow_boxes_are_told_of_by_what_they_show() -> None:
    devices = [BAG, box("box_a"), box("box_b"), camera("cam_a", mode="continuous"), camera("cam_b", mode="continuous")]
    links = to_jam("box_a.jack", "box_b.jack") + stays("box_a.jack", "cam_a.tc_in") + stays("box_b.jack", "cam_b.tc_in")
    take = roll("18:40", "18:50", "cam_a", "cam_b")
    came = holds(JAM, take, devices=devices, links=links)
    # The two boxes: 1 ppm over 11 h 50 min, 42.6 ms, and two jams of 0.1 ms.
    assert came.amounts["apart at worst"] == pytest.approx(42.8)
    assert holds(JAM, "at: 12:00, do: jam, of: all", take, devices=devices, links=links).silent


def test_many_rounds_are_no_plan() -> None:
    # 30.2 ppm use up 39.9 ms in 1,321 s, 22 min: the day would ask for 32 jams.
    fix = holds(JAM, devices=[BAG, camera("cam_a", "30")]).one.fix_sentence
    assert fix.startswith("Leave a lead or a box on the coarsest clocks all day")
    assert "32 times more, first by 07:22:01" in fix


def test_what_wanders_is_said_to_be_in_the_number() -> None:
    wandering = [BAG, camera("cam_a").replace("varying: 0 ppm", "varying: 1 ppm")]
    came = holds(JAM, AFTERNOON, devices=wandering)
    # 0.2 and 2 + 1 ppm over 33,600 s are 107.52 ms, and 0.1 ms of the jam.
    assert came.amounts["apart at worst"] == pytest.approx(107.62)
    assert came.one.cost_sentence.endswith(
        "; the clock of cam_a is taken to be up to 3 ppm off, 1 ppm of it wandering with temperature"
    )
    two = [BAG, *(camera(key).replace("varying: 0 ppm", "varying: 1 ppm") for key in ("cam_a", "cam_b"))]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in")
    both = holds(JAM, roll("16:00", "16:20", "cam_a", "cam_b"), devices=two, links=links)
    assert "the clocks of cam_a and cam_b are taken to be up to 3 ppm off each" in both.one.cost_sentence
    assert "wandering" not in holds(JAM, AFTERNOON).one.cost_sentence


def test_the_worst_is_told_with_the_jam_that_it_comes_after() -> None:
    noon, evening = roll("12:10", "12:20", "bag", "cam_a"), roll("18:40", "18:50", "bag", "cam_a")
    came = holds(JAM, noon, "at: 13:00, do: jam, of: all", evening)
    assert came.one.sentence.startswith("the jam at 07:00 holds bag and cam_a within the tolerance until 12:02:16 only")
    # 2.2 ppm over the 21,000 s from 13:00 to 18:50 are 46.2 ms, and 0.1 ms; at 12:20, 19,200 s, it was 42.3 ms.
    assert came.amounts["apart at worst"] == pytest.approx(46.3)
    assert "by the end of the roll at 18:50, after the jam at 13:00, they may be 46.3 ms" in came.one.cost_sentence


# --- a master that is set anew ---

SET_ANEW = "at: 13:50, do: set clock, of: [bag], from: wall clock"
ALL_THREE = [BAG, camera("cam_a", "3"), camera("cam_b", "3")]
BOTH = to_jam("cam_a.tc_in", "cam_b.tc_in")


def test_who_share_the_old_time_of_a_master_drift_apart_all_the_same() -> None:
    takes = [roll(*at, "bag", "cam_a", "cam_b") for at in (("10:30", "10:36"), ("14:20", "14:25"), ("18:40", "18:46"))]
    break_at_one = "at: 13:00, do: break, until: 14:00"
    came = holds("at: 07:45, do: jam, of: all", break_at_one, SET_ANEW, *takes, devices=ALL_THREE, links=BOTH)
    # 6 ppm over the 39,660 s from 07:45 to 18:46 are 237.96 ms, and two jams of 0.1 ms.
    assert came.amounts["apart at worst"] == pytest.approx(238.16)
    # A jam holds for 39.8 / 6 × 1000 = 6,633 s, 1 h 50 min 33 s: none before 13:50 would serve the roll at 14:20.
    assert came.one.fix_sentence.startswith(
        "Jam all again right before the roll at 10:30, and again by 14:20 (in the break, from 13:50 on, will do), and "
        "again right before the roll at 18:40"
    )


def test_what_the_jam_after_it_mends_is_told_with_the_master() -> None:
    take = roll("14:20", "14:25", "bag", "cam_a", "cam_b")
    assert holds(JAM, SET_ANEW, take, devices=ALL_THREE, links=BOTH).silent
    # Jammed at 14:20 they hold for 1 h 50 min; at 16:20, 7,200 s later, 6 ppm are 43.2 ms, and 0.2 ms.
    later = roll("16:10", "16:20", "bag", "cam_a", "cam_b")
    assert not holds(JAM, SET_ANEW, take, later, devices=ALL_THREE, links=BOTH).silent


# --- how sure it is --------------------------------------------------------------------------------------------


def test_an_assumed_clock_makes_it_a_warning() -> None:
    camera_by_class = camera("cam_a").replace(", clock: {accuracy: 2 ppm, varying: 0 ppm}", ", class: cinema camera")
    assert holds(JAM, AFTERNOON, devices=[BAG, camera_by_class]).one.level is Level.WARNING


def test_an_assumed_tolerance_makes_it_a_warning() -> None:
    text = told([BAG, camera("cam_a")], LEAD, JAM, AFTERNOON).replace(", tolerance: 1 frame", "")
    assert came_of(jam_holds_too_short, text).one.level is Level.WARNING


def test_a_clock_that_nobody_states_is_asked_for() -> None:
    nobody = camera("cam_a").replace(", clock: {accuracy: 2 ppm, varying: 0 ppm}", "")
    assert holds(JAM, AFTERNOON, devices=[BAG, nobody]).lacks == [
        "how accurate the clock of cam_a is (able: clock: accuracy)"
    ]


def test_a_clock_that_all_share_is_not_asked_for() -> None:
    nobody = box("box_a").replace(", clock: {accuracy: 0.5 ppm, varying: 0 ppm}", "")
    devices = [BAG, nobody, camera("cam_a", mode="continuous"), camera("cam_b", mode="continuous")]
    links = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in") + stays("box_a.jack", "cam_b.tc_in")
    assert holds(JAM, roll("16:00", "16:20", "cam_a", "cam_b"), devices=devices, links=links).silent


def test_where_no_jam_is_told_of_at_all_it_asks_when() -> None:
    came = came_of(jam_holds_too_short, told([BAG, camera("cam_a")], LEAD))
    # From the call at 06:30 on: 5 h 2 min 16 s.
    (lacks,) = came.lacks
    assert lacks == (
        "when devices are jammed again (days: events: do: jam); the jam at the call alone holds bag and cam_a until "
        "11:32:16"
    )
    good = came_of(jam_holds_too_short, told([BAG, camera("cam_a", "0.5")], LEAD))
    assert good.silent  # 0.7 ppm over 12 h 30 min: 31.5 ms


# --- silence ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "events",
    [
        (JAM, "at: 12:32, do: jam, of: all", AFTERNOON),
        (JAM, roll("09:00", "09:20", "bag", "cam_a")),
        (JAM, f"{AFTERNOON}, sync_sound: false", roll("09:00", "09:20", "bag", "cam_a")),
        (JAM, roll("16:00", "16:20", "cam_a")),  # nobody beside it
    ],
)
def test_jams_that_hold(events: tuple[str, ...]) -> None:
    assert holds(*events).silent


def test_a_device_that_was_never_jammed_has_no_bound_and_is_told_elsewhere() -> None:
    other = camera("cam_b").replace("from: tc_in, mode: jam", "from: own clock, mode: free run")
    assert holds(JAM, roll("16:00", "16:20", "bag", "cam_b"), devices=[BAG, camera("cam_a"), other]).silent


def test_a_partial_jam_is_told_as_such() -> None:
    devices = [BAG, camera("cam_a", "5"), camera("cam_b", "5")]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in")
    take = roll("12:30", "13:00", "bag", "cam_a", "cam_b")
    assert holds(JAM, "at: 12:00, do: jam, of: [cam_a]", take, devices=devices, links=links).silent


def test_a_lead_that_is_in_while_the_camera_is_set_to_jam_is_told_as_such() -> None:
    assert holds(JAM, links=stays("bag.tc_out", "cam_a.tc_in")).silent


def test_a_chain_of_jams_is_told_as_such() -> None:
    devices = [BAG, box("box_a", "2.5"), camera("cam_a", "0.5")]
    links = to_jam("box_a.jack") + to_jam("cam_a.tc_in", source="box_a.jack")
    first, second = "at: 07:10, do: jam, of: [box_a]", "at: 12:10, do: jam, of: [cam_a]"
    assert holds(first, second, roll("12:20", "12:40", "bag", "cam_a"), devices=devices, links=links).silent


def test_who_still_has_the_time_of_a_master_that_lost_it_is_told_elsewhere() -> None:
    forgets = BAG.replace("loses_time_on: []", "loses_time_on: [power off]")
    devices = [forgets, camera("cam_a"), camera("cam_b")]
    links = to_jam("cam_a.tc_in", "cam_b.tc_in")
    off = "at: 12:00, do: power off, of: [bag], until: 12:10"
    assert holds(JAM, off, roll("16:00", "16:20", "cam_a", "cam_b"), devices=devices, links=links).silent


def test_a_take_that_no_jam_would_hold_is_told_as_such() -> None:
    # 60.2 ppm over a take of 20 min right after the jam: 72.2 ms.
    take = roll("07:00", "07:20", "bag", "cam_a")
    assert holds(JAM, take, devices=[BAG, camera("cam_a", "60")]).silent


def test_a_camera_off_its_speed_need_not_agree() -> None:
    slow = "at: 15:00, do: set, of: [cam_a], to: {records: {picture: {shot_at: 50}}}"
    assert holds(JAM, slow, AFTERNOON).silent
