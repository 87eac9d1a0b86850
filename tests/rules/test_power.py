"""Power; what the cold takes of a battery is common practice with no source: 1 at 20 °C, 0.8 at 0 °C, 0.5 at −20 °C."""

from __future__ import annotations

from fractions import Fraction

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.batteries import battery_shorter_than_the_day, cold_factor
from synclint.rules.lost_time import time_lost_with_power
from synclint.rules.power import automatic_power_off, box_powered_from_its_camera
from tests.rules.days import BAG, JAM, box, camera, roll, stays, to_jam, told
from tests.rules.running import Came, came_of

LINKS = to_jam("box_a.jack") + stays("box_a.jack", "cam_a.tc_in")
FORGETS = "timecode: {loses_time_on: [power off]}"


def forgetful(device: str) -> str:
    return device.replace("timecode: {loses_time_on: []}", FORGETS)


def able(device: str, power: str) -> str:
    """A device that is able to that much power."""
    return device.replace(", clock: {accuracy", f", power: {{{power}}}, clock: {{accuracy", 1)


def rig(
    *events: str, box_a: str, cam_a: str = camera("cam_a", mode="continuous"), day: str = "", links: str = LINKS
) -> str:
    text = told([BAG, box_a, cam_a], links, *(events or (JAM,)))
    return text.replace("call: 06:30, wrap: 19:00", f"call: 06:30, wrap: 20:00{day}")


# --- batteries -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(35, "1"), (20, "1"), (10, "0.9"), (4, "0.84"), (0, "0.8"), (-10, "0.65"), (-20, "0.5"), (-30, "0.5")],
)
def test_what_the_cold_takes(celsius: int, factor: str) -> None:
    assert cold_factor(Fraction(celsius)) == Fraction(factor)


def battery(runtime: str, *events: str, day: str = "", box_a: str = box("box_a")) -> Came:
    text = rig(*events, box_a=able(box_a, f"runtime: {runtime}"), day=day)
    return came_of(battery_shorter_than_the_day, text)


def test_a_box_dies_before_the_wrap() -> None:
    came = battery("12 h")
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "a battery of box_a lasts 12 h, the day asks for 13 h 30 min, and no change is planned"
    assert came.amounts == {"dead before the wrap": 90, "lasts": 12, "asked for": 13.5}
    assert came.one.cost_sentence == (
        "dead from 18:30 on, 1 h 30 min before the wrap (20:00): what follows it goes on by its own clock"
    )
    assert "before 18:30" in came.one.fix_sentence
    assert str(came.one.at) == "devices/box_a/able/power/runtime"


def test_the_cold_makes_fourteen_hours_too_short() -> None:
    assert not battery("14 h").findings
    came = battery("14 h", day=", temperature: 4 C")
    # 14 × 0.84 = 11.76 h, 11 h 45 min 36 s: dead at 18:15.
    assert came.one.level is Level.WARNING
    assert "about 11 h 46 min at 4 °C (14 h warm)" in came.one.sentence
    assert came.one.cost_sentence.startswith("dead from 18:15 on, 1 h 44 min before the wrap (20:00)")
    assert came.amounts["dead before the wrap"] == pytest.approx((13.5 - 11.76) * 60)
    assert "keep it warm" in came.one.fix_sentence


def test_the_coldest_of_the_day_counts() -> None:
    assert not battery("20 h", day=", temperature: -5..30 C").findings  # at −5 °C 0.725 of it: 14.5 h
    assert battery("20 h", day=", temperature: -10..30 C").one.who  # at −10 °C 0.65 of it: 13 h


def test_too_short_in_the_warm_is_an_error_in_the_cold_too() -> None:
    assert battery("12 h", day=", temperature: 4 C").one.level is Level.ERROR


def test_just_as_long_as_the_day_is_long_enough() -> None:
    assert battery("13 h 30 min").silent


def test_a_change_that_is_planned() -> None:
    change = "at: 13:00, do: power off, of: [box_a], until: 13:05"
    assert battery("12 h", JAM, change).silent
    # From 13:05 to the wrap it is 6 h 55 min.
    assert battery("6 h 30 min", JAM, change).amounts["asked for"] == pytest.approx(6 + 55 / 60)


def test_what_is_fed_from_the_mains_has_no_battery_to_run_down() -> None:
    mains = able(box("box_a", more=", power: {from: mains}"), "runtime: 6 h")
    assert came_of(battery_shorter_than_the_day, rig(box_a=mains)).silent


def test_boxes_alike_are_one_finding() -> None:
    devices = [BAG, *(able(box(key), "runtime: 12 h") for key in ("box_a", "box_b"))]
    devices += [camera(key, mode="continuous") for key in ("cam_a", "cam_b")]
    links = to_jam("box_a.jack", "box_b.jack") + stays("box_a.jack", "cam_a.tc_in") + stays("box_b.jack", "cam_b.tc_in")
    came = came_of(battery_shorter_than_the_day, told(devices, links, JAM))
    assert came.one.who == ("box_a", "box_b")
    # Call to wrap of that day are 12 h 30 min.
    assert came.one.sentence.startswith("a battery of box_a and box_b lasts 12 h, the day asks for 12 h 30 min")


def test_a_camera_that_finds_its_time_again_is_a_line_on_the_checklist() -> None:
    came = came_of(
        battery_shorter_than_the_day,
        rig(box_a=box("box_a"), cam_a=able(camera("cam_a", mode="continuous"), "runtime: 3 h")),
    )
    assert not came.findings
    (line,) = came.checklist
    assert line.sentence == (
        "cam_a: 5 batteries for 13 h 30 min, the first changed by 09:30; see the digits after each change"
    )


def test_a_jammed_camera_that_forgets_is_warned_of() -> None:
    jammed = able(forgetful(camera("cam_a")), "runtime: 3 h")
    text = told([BAG, jammed], to_jam("cam_a.tc_in"), JAM)
    came = came_of(battery_shorter_than_the_day, text)
    assert came.one.level is Level.WARNING
    assert "and jam cam_a from bag afterwards" in came.one.fix_sentence
    rest = "at: 10:00, do: power off, of: [cam_a], until: 11:00"  # no plan of its batteries: it rests
    assert not came_of(battery_shorter_than_the_day, told([BAG, jammed], to_jam("cam_a.tc_in"), JAM, rest)).findings


def test_a_change_that_comes_too_late() -> None:
    """From the call at 06:30 to 10:00 are 3 h 30 min, from 10:04 to the wrap at 19:00 8 h 56 min; it lasts 3 h."""
    jammed = able(forgetful(camera("cam_a")), "runtime: 3 h")
    change = "at: 10:00, do: power off, of: [cam_a], until: 10:04"
    came = came_of(battery_shorter_than_the_day, told([BAG, jammed], to_jam("cam_a.tc_in"), JAM, change))
    assert came.one.sentence == (
        "a battery of cam_a lasts 3 h, and none is changed from 06:30 to 10:00 (3 h 30 min) and from 10:04 to 19:00 "
        "(8 h 56 min)"
    )
    assert came.amounts["dead before the wrap"] == 30
    assert came.one.fix_sentence.startswith("Change the battery of cam_a between takes before 09:30 and then at least")


def test_changes_in_time_are_right() -> None:
    jammed = able(forgetful(camera("cam_a")), "runtime: 5 h")
    changes = [f"at: {hour}:00, do: power off, of: [cam_a], until: {hour}:04" for hour in (11, 16)]
    came = came_of(battery_shorter_than_the_day, told([BAG, jammed], to_jam("cam_a.tc_in"), JAM, *changes))
    assert not came.findings
    # The near miss: 06:30 to 11:00 are 4 h 30 min, and four minutes less do not do.
    nearly = jammed.replace("runtime: 5 h", "runtime: 266 min")
    assert came_of(battery_shorter_than_the_day, told([BAG, nearly], to_jam("cam_a.tc_in"), JAM, *changes)).findings


def test_a_spare_that_nobody_hangs_on_may_run_down() -> None:
    spare = able(box("spare"), "runtime: 4 h")
    assert not came_of(battery_shorter_than_the_day, told([BAG, spare], to_jam("spare.jack"), JAM)).findings


# --- fed from the camera ---------------------------------------------------------------------------------------

FED = forgetful(box("box_a", more=", power: {from: cam_a}"))
OFF = "at: 10:30, do: power off, of: [cam_a], until: 10:34"
TAKE = roll("11:00", "11:20", "bag", "cam_a")


def test_both_lose_the_time_together() -> None:
    came = came_of(box_powered_from_its_camera, rig(JAM, OFF, TAKE, box_a=FED))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "box_a runs on the battery of cam_a, which it labels, and has none of its own"
    assert "both are off at 10:30, and box_a comes back without the time: 1 roll, 20 min" in came.one.cost_sentence
    assert came.one.fix is not None
    assert [(str(edit.place), edit.value) for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        ("devices/box_a/power/from", "own battery")
    ]
    assert came_of(time_lost_with_power, rig(JAM, OFF, TAKE, box_a=FED)).silent  # it is told once


def test_jammed_again_in_time_nothing_is_lost() -> None:
    again = "at: 10:40, do: jam, of: [box_a]"
    assert came_of(box_powered_from_its_camera, rig(JAM, OFF, again, TAKE, box_a=FED)).silent


def test_a_battery_of_its_own_bridges_the_change() -> None:
    own = able(FED, "runtime: 20 h")
    assert came_of(box_powered_from_its_camera, rig(JAM, OFF, TAKE, box_a=own)).silent
    assert came_of(time_lost_with_power, rig(JAM, OFF, TAKE, box_a=own)).silent


@pytest.mark.parametrize("keeps", ["loses_time_on: []", "keeps_time_off: 10 min"])
def test_a_box_that_keeps_its_time_may_be_off(keeps: str) -> None:
    kept = FED.replace("loses_time_on: [power off]", keeps)
    assert came_of(box_powered_from_its_camera, rig(JAM, OFF, TAKE, box_a=kept)).silent


def test_a_change_that_nobody_has_planned_comes_all_the_same() -> None:
    short = able(camera("cam_a", mode="continuous"), "runtime: 3 h")
    came = came_of(box_powered_from_its_camera, rig(JAM, TAKE, box_a=FED, cam_a=short))
    assert came.one.level is Level.WARNING
    # 13 h 30 min on batteries of 3 h: five of them, four changes.
    assert came.amounts == {"changes in the day": 4}


@pytest.mark.parametrize("power", ["runtime: 14 h", "from: mains"])
def test_a_camera_that_stays_on_feeds_its_box(power: str) -> None:
    cam = camera("cam_a", mode="continuous", more=f", power: {{{power}}}")
    assert came_of(box_powered_from_its_camera, rig(JAM, TAKE, box_a=FED, cam_a=cam)).silent


# --- what switches itself off ----------------------------------------------------------------------------------


def switching(box_a: str, *events: str) -> Came:
    return came_of(automatic_power_off, rig(*events, box_a=box_a))


def test_a_box_that_switches_itself_off() -> None:
    came = switching(
        forgetful(box("box_a", more=", power: {auto_off: 30 min}")), JAM, TAKE, roll("14:00", "14:10", "cam_a")
    )
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "box_a switches itself off after 30 min without a touch"
    # From 11:20 to 14:00 nobody touches it.
    assert came.one.cost_sentence == ("1 of the gaps between takes is longer; what follows it goes on by its own clock")
    assert came.amounts == {"switches off after": 30}
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "never"),)


@pytest.mark.parametrize("auto_off", ["never", "14 h"])
def test_what_stays_on_through_the_day(auto_off: str) -> None:
    assert switching(box("box_a", more=f", power: {{auto_off: {auto_off}}}")).silent


def test_a_camera_that_follows_its_box_finds_the_time_again() -> None:
    cam = camera("cam_a", mode="continuous", more=", power: {auto_off: 5 min}")
    assert came_of(automatic_power_off, rig(box_a=box("box_a"), cam_a=cam)).silent


def test_a_jammed_camera_that_forgets() -> None:
    cam = forgetful(camera("cam_a", more=", power: {auto_off: 5 min}"))
    came = came_of(automatic_power_off, told([BAG, cam], to_jam("cam_a.tc_in"), JAM))
    assert came.one.level is Level.ERROR
    assert "cam_a comes back without the time of the others" in came.one.cost_sentence


def test_whether_it_forgets_is_asked_for() -> None:
    cam = camera("cam_a", more=", power: {auto_off: 5 min}").replace("timecode: {loses_time_on: []}, ", "")
    assert came_of(automatic_power_off, told([BAG, cam], to_jam("cam_a.tc_in"), JAM)).lacks == [
        "whether cam_a keeps its time while it is off (able: timecode: loses_time_on)"
    ]
