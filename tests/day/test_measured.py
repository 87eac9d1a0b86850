"""What a log makes of the days, and what its comparisons show of the clocks."""

from fractions import Fraction as F
from time import monotonic

import pytest

from synclint.day.jams import Planner
from synclint.day.measured import Measured, Measurements, Reading
from synclint.day.telling import tell
from synclint.documents.reading import load_text
from synclint.rig.log import read_log
from synclint.rules.framework import Case
from tests.day.logged import BOX, DEVICES, EVENTS, log_text, logged, rigged
from tests.day.running import Days

JAM = "{at: 07:04, do: jam, of: [box_a], from: bag}\n"


def compared(at: str, offset: str, read_by: str = "scope", of: str = "box_a", against: str = "bag") -> str:
    return f"{{at: {at}, do: compare, of: [{of}], against: {against}, offset: {offset}, read_by: {read_by}}}\n"


def jams(days: Days, key: str) -> list[str]:
    start = days.instant("00:00")
    return [
        f"{int(jam.at - start) // 3600:02}:{int(jam.at - start) // 60 % 60:02}"
        for jam in days.run.jams
        if jam.target == key
    ]


def only_of(measured: Measurements) -> tuple[Reading, ...]:
    (fitted,) = measured.fits
    return fitted.readings


def only(days: Days) -> Measured:
    (fitted,) = days.case.measured.fits
    return fitted


# --- what took place replaces what was planned ---


def test_a_logged_jam_replaces_the_planned_ones_of_that_device_up_to_the_last_entry() -> None:
    days = logged(JAM)
    assert jams(days, "box_a") == ["07:04", "12:40"]
    assert jams(days, "box_b") == ["07:00", "12:40"]
    assert days.contradictions == []


def test_what_is_planned_after_the_last_entry_stays() -> None:
    assert jams(logged(JAM + compared("12:39", "+3 ms")), "box_a") == ["07:04", "12:40"]
    assert jams(logged(JAM + compared("12:41", "+3 ms")), "box_a") == ["07:04"]
    assert jams(logged(JAM + compared("12:41", "+3 ms")), "box_b") == ["07:00", "12:40"]


def test_a_planned_jam_by_name_loses_only_who_was_jammed_otherwise() -> None:
    planned = rigged("{at: 07:00, do: jam, of: [box_a, box_b], from: bag}\n")
    assert jams(logged(JAM, planned), "box_a") == ["07:04"]
    assert jams(logged(JAM, planned), "box_b") == ["07:00"]


def test_a_log_of_all_replaces_all() -> None:
    days = logged("{at: 07:05, do: jam, of: all}\n")
    assert jams(days, "box_a") == jams(days, "box_b") == ["07:05", "12:40"]


def test_the_jam_at_the_call_that_is_taken_for_granted_is_replaced_too() -> None:
    days = logged(JAM, rigged(""))
    assert jams(days, "box_a") == ["07:04"]
    assert jams(days, "box_b") == ["06:00"]


def test_with_a_jam_in_the_log_none_is_taken_for_granted_but_of_those_that_it_leaves_out() -> None:
    days = logged(JAM, rigged(""))
    assert not days.run.jams_taken_for_granted
    assert [(line.devices, line.says) for line in tell(days.run).devices] == [
        (("box_a",), "jammed 07:04 from bag"),
        (("box_b",), "jammed 06:00 from bag (taken for granted)"),
    ]
    assert logged(compared("07:30", "0 ms"), rigged("")).run.jams_taken_for_granted


def test_a_jam_before_the_call_stands_in_the_place_of_the_one_that_is_taken_for_granted() -> None:
    days = logged("{at: 05:50, do: jam, of: [box_a], from: bag}\n", rigged(""))
    assert jams(days, "box_a") == ["05:50"]
    assert jams(days, "box_b") == ["06:00"]


def test_a_logged_comparison_replaces_the_planned_one() -> None:
    planned = rigged(EVENTS + "{at: 07:10, do: compare, of: [box_a, box_b], against: bag, read_by: display}\n")
    days = logged(compared("07:30", "0 ms"), planned)
    assert [(each.device, each.read_by) for each in days.run.comparisons] == [("box_b", "display"), ("box_a", "scope")]


def test_what_was_done_before_the_call_or_after_the_wrap_is_no_contradiction() -> None:
    days = logged(
        "{at: 05:50, do: jam, of: [box_a], from: bag}\n{at: 22:30, do: jam, of: [box_a], from: bag}\n",
    )
    assert days.contradictions == []


def test_a_logged_jam_of_what_was_off_is_a_contradiction() -> None:
    off = rigged(EVENTS + "{at: 07:02, do: power off, of: [box_a], until: 07:30}\n")
    assert logged(JAM, off).contradictions == ["OFF"]


OFF = "{at: 09:30, do: power off, of: [box_a], until: 09:32, why: battery}\n"
"""Of a log."""


def test_a_battery_that_was_changed_takes_the_place_of_those_planned_up_to_the_last_entry() -> None:
    planned = rigged(
        EVENTS
        + "{at: 10:00, do: power off, of: [box_a, box_b], until: 10:05, why: battery}\n"
        + "{at: 15:00, do: power off, of: [box_a], until: 15:05, why: battery}\n"
    )
    days = logged(JAM + OFF + compared("12:38", "+3 ms"), planned)
    told = {at: days.says("box_a", at) for at in ("09:29", "09:31", "10:02", "15:02")}
    assert told == {"09:29": "jammed from bag", "09:31": "off", "10:02": "own, started anew", "15:02": "off"}
    other = {at: days.says("box_b", at) for at in ("09:31", "10:02", "10:06")}
    assert other == {"09:31": "jammed from bag", "10:02": "off", "10:06": "own, started anew"}
    assert days.contradictions == []


def test_what_ends_before_it_begins_is_a_contradiction_in_a_log_too() -> None:
    days = logged(OFF.replace("09:32", "09:20"))
    assert days.contradictions == ["BACKWARDS"]
    assert days.says("box_a", "09:31") == "jammed from bag"


def test_an_entry_that_is_refused_has_no_effect() -> None:
    planned = rigged()
    loaded = load_text(log_text(JAM + "{at: 09:30, do: roll, of: [box_a], until: 09:32}\n"), "day.log.yaml")
    assert loaded.document is not None
    log = read_log(loaded.document, planned.case.setup).log
    assert [entry.event.do.value for entry in log.entries] == ["jam"]
    days = Days(planned.document, Case(planned.case.setup, log))
    assert days.run.rolls == ()
    assert days.contradictions == []


# --- lines ---


def test_the_rate_since_the_jam() -> None:
    # 07:04 to 12:38 are 20,040 s: 3 ms are 3000 / 20,040 ppm.
    fitted = only(logged(JAM + compared("12:38", "+3 ms")))
    assert (fitted.device, fitted.against, fitted.of_source) == ("box_a", "bag", True)
    assert fitted.line is not None
    assert fitted.line.rate == F(3000, 20_040)
    assert fitted.points[1].at == 20_040
    assert fitted.stated is not None
    assert (fitted.stated.low, fitted.stated.high, fitted.stated.wander) == (F(-7, 10), F(7, 10), F(0))
    assert fitted.broken is None
    assert fitted.expected(fitted.since + 40_080) == F(6, 1000)


@pytest.mark.parametrize(
    ("written", "within"),
    [
        ("scope", F(1, 10_000)),
        ("display", F(1, 25)),
        ("recorded clip", F(1, 25)),
        ("comparing device", F(1, 25)),
        ("display, within: 1/2 frame", F(1, 50)),
        ("comparing device, within: 1 ms", F(1, 1000)),
    ],
)
def test_how_well_a_reading_is_read(written: str, within: F) -> None:
    assert only(logged(JAM + compared("12:38", "+1 frame", written))).points[1].within == within


def test_the_other_way_round_is_the_same_reading() -> None:
    fitted = only(logged(JAM + compared("12:38", "-3 ms", of="bag", against="box_a")))
    assert (fitted.device, fitted.readings[0].offset) == ("box_a", F(3, 1000))


def test_a_follower_is_read_for_the_clock_behind_it_without_its_fixed_offset() -> None:
    # The camera is a frame (40 ms) ahead at all times, so +43 ms are +3 ms of the box.
    fitted = only(logged(JAM + compared("12:38", "+43 ms", of="cam_a")))
    assert (fitted.device, fitted.against, fitted.readings[0].offset) == ("box_a", "bag", F(3, 1000))


def test_two_boxes_of_one_jam_are_measured_against_each_other() -> None:
    fitted = only(logged(compared("12:38", "+3 ms", against="box_b")))
    assert (fitted.device, fitted.against, fitted.of_source) == ("box_a", "box_b", False)
    # Both jams at 07:00 leave 0.1 ms each, and each box keeps 0.5 ppm.
    assert fitted.jam.within == F(2, 10_000)
    assert fitted.stated is not None
    assert fitted.stated.high == 1


def test_a_jam_begins_a_new_line() -> None:
    days = logged(JAM + compared("12:38", "+3 ms") + JAM.replace("07:04", "12:44") + compared("18:40", "+1.5 ms"))
    assert [len(each.readings) for each in days.case.measured.fits] == [1, 1]
    last = days.case.measured.of("box_a")
    assert last is not None
    assert last.since == days.instant("12:44")


def test_a_comparison_of_the_same_minute_is_of_before_the_jam_where_it_stands_before_it() -> None:
    days = logged(JAM + compared("12:44", "+3 ms") + JAM.replace("07:04", "12:44"))
    assert only(days).since == days.instant("07:04")
    days = logged(JAM + JAM.replace("07:04", "12:44") + compared("12:44", "0 ms"))
    assert only(days).since == days.instant("12:44")


def test_the_jams_of_a_day_are_pooled() -> None:
    # A scope over 20,040 s beside a display: the pooled rate is that of the scope, by its far smaller variance.
    days = logged(
        JAM + compared("12:38", "+3 ms") + JAM.replace("07:04", "12:44") + compared("18:40", "0 frames", "display")
    )
    relative = days.case.measured.relatives["box_a", "bag"]
    assert float(relative.line.rate) == pytest.approx(3000 / 20_040, rel=1e-3)
    assert len(relative.fits) == 2


def test_a_reading_that_was_misread_is_left_out() -> None:
    fitted = only(
        logged(JAM + compared("09:04", "+1.8 ms") + compared("11:04", "+43.6 ms") + compared("12:04", "+4.5 ms"))
    )
    assert fitted.broken is not None
    assert (fitted.broken.index, fitted.broken.alone) == (2, True)
    assert fitted.line is not None
    assert float(fitted.line.rate) == pytest.approx(0.25, abs=0.002)
    assert fitted.shift is not None
    assert float(fitted.shift) == pytest.approx(0.04, abs=0.0001)
    assert fitted.off is fitted.readings[1]


def test_after_a_restart_the_rate_is_that_of_before() -> None:
    fitted = only(
        logged(JAM + compared("09:04", "+1.8 ms") + compared("11:04", "+83.6 ms") + compared("12:04", "+84.5 ms"))
    )
    assert fitted.broken is not None
    assert (fitted.broken.index, fitted.broken.alone) == (2, False)
    assert fitted.line is not None
    assert float(fitted.line.rate) == pytest.approx(0.25, abs=0.0001)  # 1.8 ms in 7,200 s
    assert fitted.shift is not None
    assert float(fitted.shift) == pytest.approx(0.08, abs=0.0001)


def test_a_restart_before_the_first_reading_leaves_the_rate_of_those_after() -> None:
    fitted = only(
        logged(JAM + compared("09:04", "+81.8 ms") + compared("11:04", "+83.6 ms") + compared("12:04", "+84.5 ms"))
    )
    assert fitted.broken is not None
    assert (fitted.broken.index, fitted.broken.alone) == (1, False)
    assert fitted.line is not None
    assert float(fitted.line.rate) == pytest.approx(0.25, abs=0.0001)
    assert fitted.shift is not None
    assert float(fitted.shift) == pytest.approx(0.08, abs=0.0001)


@pytest.mark.parametrize(
    ("entry", "why"),
    [
        (compared("12:38", "0 ms", of="cam_a", against="box_a"), "cam_a and box_a show the time of one clock"),
        (compared("06:30", "0 ms"), "the times of box_a and bag do not come from one master"),
    ],
)
def test_what_says_nothing_of_a_rate_is_told(entry: str, why: str) -> None:
    measured = logged(entry).case.measured
    assert measured.fits == ()
    assert [each.why for each in measured.unused] == [why]


def test_a_device_that_is_off_has_nothing_to_read() -> None:
    off = rigged(EVENTS + "{at: 12:30, do: power off, of: [box_a], until: 12:39}\n")
    assert [each.why for each in logged(compared("12:38", "0 ms"), off).case.measured.unused] == ["box_a was off then"]


def test_a_clock_of_which_nothing_is_stated_is_measured_all_the_same() -> None:
    fitted = only(
        logged(
            JAM + compared("12:38", "+3 ms"),
            rigged(devices=DEVICES.replace(", clock: {accuracy: 0.2 ppm}", "").replace("class: bag recorder, ", "")),
        )
    )
    assert fitted.stated is None
    assert fitted.lacking == ("bag",)
    assert fitted.line is not None


def test_a_box_that_is_tuned_is_stated_to_keep_what_it_tunes_to() -> None:
    tuned = rigged(devices=DEVICES.replace(BOX % "", BOX % ", tunes_to: 0.1 ppm", 1))
    fitted = only(logged(JAM + compared("12:38", "+3 ms"), tuned))
    assert fitted.stated is not None
    assert (fitted.stated.low, fitted.stated.high) == (F(-1, 10), F(1, 10))


def test_a_log_without_end_is_measured_in_no_time() -> None:
    times = [f"{7 + n // 60 % 5:02}:{n % 60:02}:{n // 300:02}" for n in range(5, 3_000)]
    started = monotonic()
    measured = logged("".join(compared(at, "0 ms") for at in times)).case.measured
    assert len(only_of(measured)) == 200
    assert len(measured.unused) == len(times) - 200
    assert monotonic() - started < 60


def test_nothing_is_measured_without_a_log() -> None:
    assert rigged().case.measured.fits == ()


# --- the forecast from it ---


def test_a_forecast_rests_on_what_was_measured() -> None:
    days = logged(JAM + compared("12:38", "+3 ms"))
    # By what is stated: 0.7 ppm from 07:04 to 12:40 (20,160 s) and 0.1 ms of the jam, 14.212 ms. By the log: 0.1497 ppm
    # and 1.96 × 0.0040743 ppm for 95 %, 3.179 ms, and the jam.
    stated = rigged(EVENTS.replace("{at: 07:00, do: jam, of: all}", "{at: 07:04, do: jam, of: all}"))
    before = stated.phases.offset("box_a", "bag", stated.instant("12:39:59"))
    assert before is not None
    assert float(before.worst * 1000) == pytest.approx(0.7 * 20.159 + 0.1)
    measured = days.phases.offset("box_a", "bag", days.instant("12:39:59"))
    assert measured is not None
    assert float(measured.worst * 1000) == pytest.approx((0.1497006 + 1.96 * 0.0040743) * 20.159 + 0.1, rel=1e-4)
    # What was measured of a box against its source holds after the next jam too, and against another box.
    late = days.phases.offset("box_a", "bag", days.instant("18:40"))
    assert late is not None
    assert float(late.worst * 1000) == pytest.approx((0.1497006 + 1.96 * 0.0040743) * 21.6 + 0.1, rel=1e-4)
    others = days.phases.offset("box_a", "box_b", days.instant("18:40"))
    assert others is not None
    # box_b still parts from the bag by 0.7 ppm: 0.15769 + 0.7 over six hours, and two jams.
    assert float(others.worst * 1000) == pytest.approx((0.1497006 + 1.96 * 0.0040743 + 0.7) * 21.6 + 0.2, rel=1e-4)


def test_a_coarse_reading_takes_nothing_from_what_is_stated() -> None:
    # A display tells ±40 ms in 20,040 s, far worse than 0.7 ppm.
    days = logged(JAM + compared("12:38", "0 frames", "display"))
    fixed = days.case.measured.relatives["box_a", "bag"].oscillator.fixed
    assert (fixed.low, fixed.high) == (F(-7, 10), F(7, 10))
    # So the forecast goes by what is stated of each of the two, against all others too: 0.7 ppm since 12:40 and a jam
    # against the bag, and between the boxes 0.5 ppm each and two jams.
    assert days.case.measured.oscillators == {}
    assert days.apart("box_a", "bag", "18:40") == F("0.7") * 21_600 / 1_000_000 + F("0.0001")
    assert days.apart("box_a", "box_b", "18:40") == 1 * F(21_600) / 1_000_000 + F("0.0002")


@pytest.mark.parametrize(("offset", "read_by"), [("+16 ms", "scope"), ("+43 ms", "display"), ("-30 ms", "display")])
def test_what_is_measured_never_makes_a_forecast_wider_than_what_is_stated(offset: str, read_by: str) -> None:
    # The rate wanders by 0.2 ppm: 0.7 and 0.2 ppm are stated. 16 ms in 20,040 s are 0.798 ppm, which only a clock at
    # the end of its accuracy that wandered all the time can do; it will not do more: 0.9 ppm over 20,159 s.
    wandering = rigged(devices=DEVICES.replace(BOX % "", BOX % ", varying: 0.2 ppm", 1))
    days = logged(JAM + compared("12:38", offset, read_by), wandering)
    worst = days.apart("box_a", "bag", "12:39:59")
    assert worst is not None
    assert worst <= F("0.9") * 20_159 / 1_000_000 + F("0.0001")
    if read_by == "scope":
        assert worst == F("0.9") * 20_159 / 1_000_000 + F("0.0001")


@pytest.mark.parametrize(
    ("offset", "inside", "outside"),
    [
        ("+3 ms", True, False),  # 0.150 ± 0.008 ppm
        ("+14.1 ms", False, False),  # 0.7036 ± 0.008 ppm, and 0.7 are stated
        ("+60 ms", False, True),
    ],
)
def test_an_interval_may_be_within_what_is_stated(offset: str, inside: bool, outside: bool) -> None:
    relative = logged(JAM + compared("12:38", offset)).case.measured.relatives["box_a", "bag"]
    assert (relative.inside, relative.outside) == (inside, outside)


def test_a_rate_that_is_not_as_stated_goes_before_it() -> None:
    days = logged(JAM + compared("12:38", "+60 ms"))
    oscillator = days.case.measured.oscillators["box_a", "bag"]
    assert days.case.measured.relatives["box_a", "bag"].outside
    assert float(oscillator.fixed.middle) == pytest.approx(60_000 / 20_040)


def test_what_wanders_stays_in_the_forecast() -> None:
    wandering = rigged(devices=DEVICES.replace(BOX % "", BOX % ", varying: 0.2 ppm", 1))
    days = logged(JAM + compared("12:38", "+3 ms"), wandering)
    offset = days.phases.offset("box_a", "bag", days.instant("12:39:59"))
    assert offset is not None
    assert float(offset.worst * 1000) == pytest.approx((0.1497006 + 1.96 * 0.0040743 + 0.2) * 20.159 + 0.1, rel=1e-4)


def test_jams_are_planned_from_what_was_measured() -> None:
    # box_a gains 3 ppm: 40 ms are left 13,300 s (39.9 ms, and 0.1 ms of the jam) after the jam, less the 95 %.
    days = logged(
        JAM + compared("09:04", "+21.6 ms") + "{at: 10:04, do: jam, of: [box_a, box_b], from: bag}\n", rigged("")
    )
    case = days.case
    planner = Planner(case.setup, case.timecode, case.clock, F(40, 1000), case.log, case.measured.oscillators)
    assert planner.morning == days.instant("10:04")
    leaves = planner.planned.leaves("box_a", "bag", F(40, 1000), planner.morning, days.instant("22:00"))
    assert leaves is not None
    assert 13_100 < leaves - planner.morning < 13_300
