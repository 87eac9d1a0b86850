"""References that are gone while somebody records."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.framework import Rule
from synclint.rules.reference_loss import clock_source_switched_off, no_reference_arrives, reference_lost_in_a_take
from synclint.rules.take_drift import half_locked_rig, take_drifts_apart
from tests.rules.running import Came, came_of, rig

ROLL = "{at: 11:00, do: roll, of: [cam_a, cam_b], until: 12:00}"


def day(rule: Rule, *events: str, loop: str = "", box: str = "", rolls: str = ROLL, on_loss: str = "") -> Came:
    """Two cameras on a genlock box, camera B through the loop of camera A where one is given."""
    out = "cam_a.loop" if loop else "box.ref_2"
    devices = f"""
  box:
    able:
      class: sync generator
      ports: {{ref_1: {{out: [tri-level]}}, ref_2: {{out: [tri-level]}}}}
      clock: {{accuracy: 1 ppm}}
    clock: {{from: own clock}}
    {box}
  cam_a:
    able: {{ports: {{ref_in: {{in: [tri-level]{loop}}}}}, clock: {{accuracy: 19 ppm, varying: 0 ppm}}}}
    clock: {{from: ref_in{on_loss}}}
    records: {{picture: {{shot_at: 25, played_at: 25}}}}
  cam_b: {{like: cam_a}}
"""
    links = f"""
  - {{from: box.ref_1, to: cam_a.ref_in, carries: tri-level, connected: all day}}
  - {{from: {out}, to: cam_b.ref_in, carries: tri-level, connected: all day}}
"""
    told = ", ".join((rolls, *events))
    text = rig(
        devices,
        project="rate: 25, tolerance: 1 frame",
        day=f"call: 06:00, wrap: 20:00, events: [{told}]",
        links=links.strip("\n"),
    )
    return came_of(rule, text)


LOST = "{at: 11:10, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 11:30}"


def test_lost_and_back_in_a_take() -> None:
    # 19 + 1 = 20 ppm over 20 min: 1200 s x 20e-6 = 24 ms
    came = day(reference_lost_in_a_take, LOST)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"off when it is back": 24, "without reference": 20}
    assert came.one.who == ("cam_b",)
    assert "the link is lost at 11:10 and back at 11:30" in came.one.sentence
    assert "jumps" in came.one.cost_sentence


def test_back_in_a_take_that_began_without_it() -> None:
    # from 10:40 to 11:10 are 30 min at 20 ppm: 36 ms
    came = day(
        reference_lost_in_a_take, "{at: 10:40, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 11:10}"
    )
    assert came.amounts == {"off when it is back": 36, "without reference": 30}


def test_lost_to_the_end_of_the_take() -> None:
    # from 11:30 to 12:00 at 20 ppm: 36 ms, and no jump
    came = day(
        reference_lost_in_a_take, "{at: 11:30, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 13:00}"
    )
    assert came.amounts == {"off when it is back": 36, "without reference": 30}
    assert "jumps" not in came.one.cost_sentence


@pytest.mark.parametrize("hours", ["10:10", "12:00", "13:00"])
def test_between_takes_nothing_shows(hours: str) -> None:
    until = f"{int(hours[:2])}:30"
    event = f"{{at: {hours}, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: {until}}}"
    assert day(reference_lost_in_a_take, event).silent


def test_a_battery_that_both_hang_on() -> None:
    off = "{at: 11:10, do: power off, of: [cam_a], until: 11:14}"
    rolls = "{at: 11:00, do: roll, of: [cam_b], until: 12:00}"
    came = day(reference_lost_in_a_take, off, box="power: {from: cam_a}", rolls=rolls)
    assert came.amounts == {"off when it is back": pytest.approx(4.8), "without reference": 4}
    assert "box, which runs on the battery of cam_a, goes off with it at 11:10" in came.one.sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["own battery"]


@pytest.mark.parametrize(("kind", "told"), [("active", True), ("passive", False)])
def test_a_loop_through_that_is_switched_off(kind: str, *, told: bool) -> None:
    off = "{at: 11:10, do: power off, of: [cam_a], until: 11:14}"
    rolls = "{at: 11:00, do: roll, of: [cam_b], until: 12:00}"
    came = day(reference_lost_in_a_take, off, loop=f", loop: loop, loop_through: {kind}", rolls=rolls)
    if not told:
        assert came.silent
        return
    assert came.one.who == ("cam_b",)
    assert "cam_a, which drives the line on, is switched off at 11:10" in came.one.sentence


def test_a_generator_that_is_steered_holds_over() -> None:
    devices = """
  master: {able: {class: wireless master, ports: {radio: {out: [timecode, clock]}}, clock: {accuracy: 1 ppm}}}
  box:
    able: {class: tuned generator, ports: {radio: {in: [clock]}, ref: {out: [tri-level]}}, clock: {accuracy: 1 ppm}}
    clock: {from: radio}
  cam_a:
    able: {ports: {ref_in: {in: [tri-level]}}, clock: {accuracy: 19 ppm}}
    clock: {from: ref_in}
    records: {picture: {shot_at: 25, played_at: 25}}
links: [{from: box.ref, to: cam_a.ref_in, carries: tri-level, connected: all day}]
radio_groups:
  main: {sends: master.radio, receives: [box.radio], carries: timecode, resync: {every: 1 s, sets: clock}}
"""
    events = "{at: 11:00, do: roll, of: [cam_a], until: 12:00}, {at: 11:10, do: link lost, of: [box], until: 11:20}"
    text = rig(devices, day=f"call: 06:00, wrap: 20:00, events: [{events}]")
    assert came_of(reference_lost_in_a_take, text).silent


# --- unseen ----------------------------------------------------------------------------------------------------

LONG = "{at: 13:00, do: roll, of: [cam_a, cam_b], until: 14:00}"
OFF = "{at: 10:00, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 15:00}"


def test_a_whole_take_without_the_reference() -> None:
    # 20 ppm over an hour: 72 ms, where a frame of 40 ms is tolerated
    came = day(clock_source_switched_off, OFF, LONG)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"apart at the end of the take": 72, "takes": 2}
    # told by its cause, and not a second time as a half-locked rig or as drift
    assert day(half_locked_rig, OFF, LONG).silent
    assert day(take_drifts_apart, OFF, LONG).silent


def test_short_takes_hold_without_it() -> None:
    # 20 ppm over 30 min is 36 ms
    rolls = "{at: 11:00, do: roll, of: [cam_a, cam_b], until: 11:30}"
    assert day(clock_source_switched_off, OFF, rolls=rolls).silent


def test_one_that_does_not_follow_again() -> None:
    back = "{at: 10:00, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 10:10}"
    assert day(clock_source_switched_off, back).findings == []
    came = day(clock_source_switched_off, back, on_loss=", on_loss: stays on its own clock")
    assert came.amounts == {"apart at the end of the take": 72, "takes": 1}
    assert "does not follow again" in came.one.sentence
    assert came.one.fix is not None
    # camera B takes its settings over from camera A, and is told by itself
    edits = [(str(edit.place), edit.value) for edit in came.one.fix.edits if isinstance(edit, AddKey)]
    assert edits == [("devices/cam_b", "{on_loss: follows again}")]


def test_one_that_is_switched_off_and_on_follows_again() -> None:
    back = "{at: 10:00, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 10:10}"
    again = "{at: 10:20, do: power off, of: [cam_b], until: 10:21}"
    stays = ", on_loss: stays on its own clock"
    assert day(clock_source_switched_off, back, again, on_loss=stays).silent


def test_where_nobody_says_it_is_looked_at_on_the_day() -> None:
    back = "{at: 10:00, do: link lost, from: box.ref_2, to: [cam_b.ref_in], until: 10:10}"
    came = day(clock_source_switched_off, back)
    assert [line.sentence for line in came.checklist] == ["after 10:10: see that cam_b says it is locked to box again"]
    assert day(clock_source_switched_off, back, on_loss=", on_loss: follows again").silent


# --- nothing plugged -------------------------------------------------------------------------------------------


def test_a_port_that_nothing_reaches() -> None:
    devices = """
  gen: {able: {ports: {word: {out: [word clock]}}, clock: {accuracy: 1 ppm}}, clock: {from: own clock}}
  console: {able: {ports: {word_in: {in: [word clock]}}, clock: {accuracy: 20 ppm}}, clock: {from: word_in}}
  multi:
    able: {ports: {word_in: {in: [word clock]}, word_out: {out: [word clock]}}, clock: {accuracy: 9 ppm}}
    clock: {from: word_in}
  second: {able: {ports: {word_in: {in: [word clock]}}, clock: {accuracy: 9 ppm}}, clock: {from: word_in}}
"""
    links = """
  - {from: gen.word, to: console.word_in, carries: word clock, connected: all day}
  - {from: multi.word_out, to: second.word_in, carries: word clock, connected: all day}
"""
    came = came_of(no_reference_arrives, rig(devices, links=links.strip("\n")))
    # 9 + 1 = 10 ppm x 3600 s = 36 ms an hour
    assert came.amounts == {"parting": 36}
    assert "brings any, and second with it" in came.one.sentence


def test_time_from_outside_needs_no_lead() -> None:
    devices = "  gen: {able: {ports: {aerial: {in: [GNSS]}}}, clock: {from: aerial}}\n"
    assert came_of(no_reference_arrives, rig(devices)).silent


# --- what drives a line on -------------------------------------------------------------------------------------


def through(*events: str, passive: str = "false") -> Came:
    """A camera on a generator through a box with several outputs."""
    devices = f"""
  gen: {{able: {{class: sync generator, ports: {{ref: {{out: [tri-level]}}}}, clock: {{accuracy: 1 ppm}}}}}}
  box: {{able: {{passive: {passive}}}, passes: {{in: [out_1, out_2]}}}}
  cam_a:
    able: {{ports: {{ref_in: {{in: [tri-level]}}}}, clock: {{accuracy: 19 ppm}}}}
    clock: {{from: ref_in}}
    records: {{picture: {{shot_at: 25, played_at: 25}}}}
"""
    links = """
  - {from: gen.ref, to: box.in, carries: tri-level, connected: all day}
  - {from: box.out_1, to: cam_a.ref_in, carries: tri-level, connected: all day}
"""
    told = ", ".join(("{at: 11:00, do: roll, of: [cam_a], until: 12:00}", *events))
    text = rig(devices, day=f"call: 06:00, wrap: 20:00, events: [{told}]", links=links.strip("\n"))
    return came_of(reference_lost_in_a_take, text)


def test_a_distribution_box_that_is_switched_off() -> None:
    # 6 min at 20 ppm: 7.2 ms
    off = "{at: 11:10, do: power off, of: [box], until: 11:16}"
    came = through(off)
    assert came.amounts == {"off when it is back": pytest.approx(7.2), "without reference": 6}
    assert "box, which drives the line on, is switched off at 11:10" in came.one.sentence
    assert through(off, passive="true").silent


def test_a_distribution_box_that_is_not_there() -> None:
    came = through("{at: 11:10, do: arrive, of: [box]}")
    assert "it is there only from 11:10 on" in came.one.sentence
    came = through("{at: 11:05, do: leave, of: [box], until: 11:10}")
    assert "box leaves at 11:05" in came.one.sentence


def test_one_that_leaves_and_comes_again() -> None:
    came = through("{at: 11:05, do: leave, of: [box]}", "{at: 11:20, do: arrive, of: [box]}")
    # 15 min at 20 ppm: 18 ms
    assert came.amounts == {"off when it is back": 18, "without reference": 15}
    assert "box leaves at 11:05" in came.one.sentence
