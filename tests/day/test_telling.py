"""The days in words: a line a device, two generations on the set, and the order of the morning."""

from synclint.day.run import run_days
from synclint.day.telling import DayLine, DayTold, tell
from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rig.graphs import TimecodeGraph

DEVICES = """
devices:
  bag: {name: Sound bag, timecode: {from: own clock, mode: free run}, able: {ports: {tc_out: {out: [LTC]}}},
        records: {sound: {sample_rate: 48 kHz}}}
  box_a: {timecode: {from: jack, mode: jam}, able: {timecode: {loses_time_on: []}}}
  box_b: {like: box_a}
  cam_a: {timecode: {from: tc_in, mode: continuous}, records: {picture: {shot_at: 25}}}
links:
  - {from: bag.tc_out, to: [box_a.jack, box_b.jack], carries: LTC, connected: to jam}
  - {from: box_a.jack, to: cam_a.tc_in, carries: LTC, connected: all day}
"""
CALL = "{date: 2026-06-14, zone: Europe/Lisbon, call: 06:30, wrap: 19:00, events: ["


def told(*events: str, more: str = "") -> DayTold:
    day = CALL + ", ".join(f"{{{event}}}" for event in events) + "]}"
    text = f"synclint: setup/1\nproject: {{rate: 25}}\ndays: [{day}{more}]{DEVICES}"
    document = load_text(text, "day.setup.yaml").document
    assert document is not None
    setup = build(document, ()).setup
    return tell(run_days(setup, TimecodeGraph(setup)))


SET = "at: 06:50, do: set clock, of: [bag], from: wall clock"
JAM = "at: 07:00, do: jam, of: all"
OFF = "at: 12:10, do: power off, of: [box_b], until: 12:14, why: battery"
AGAIN = "at: 12:42, do: jam, of: [box_b]"


def test_a_line_for_each_device_to_which_something_happens() -> None:
    assert told(SET, JAM, OFF, AGAIN).devices == (
        DayLine(("Sound bag",), "set by hand 06:50 from wall clock"),
        DayLine(("box_a",), "jammed 07:00 from Sound bag"),
        DayLine(("box_b",), "jammed 07:00 and 12:42 from Sound bag; off 12:10 to 12:14 (battery)"),
    )


def test_what_holds_a_device_off_at_once_is_one_stretch() -> None:
    longer = "at: 12:12, do: power off, of: [box_b], until: 12:30, why: the truck moves"
    later = "at: 15:00, do: power off, of: [box_b], until: 15:05"
    (_, box) = told(JAM, OFF, longer, later).devices
    assert box.says == (
        "jammed 07:00 from Sound bag; off 12:10 to 12:30 (battery and the truck moves); off 15:00 to 15:05"
    )
    (_, box) = told(JAM, longer, OFF.replace("12:14", "12:20"), later).devices
    assert "off 12:10 to 12:30" in box.says  # as they happen, and not as they are written
    (_, box) = told(JAM, OFF.replace(", until: 12:14", ""), later).devices
    assert box.says == "jammed 07:00 from Sound bag; off from 12:10 on (battery)"


def test_devices_of_which_the_same_is_told_share_a_line() -> None:
    assert told(JAM).devices == (DayLine(("box_a", "box_b"), "jammed 07:00 from Sound bag"),)


def test_what_comes_and_goes_and_is_set() -> None:
    (line,) = told(
        "at: 09:00, do: arrive, of: [cam_a]",
        "at: 10:00, do: set, of: [cam_a], to: {timecode: {rate: 24}}, why: a scene for the web",
        "at: 11:00, do: link lost, of: [cam_a], from: box_a.jack, to: cam_a.tc_in",
        "at: 12:00, do: leave, of: [cam_a]",
        "at: 08:00, do: jam, of: [box_a]",
    ).devices[1:]
    assert line.says == ("arrives 09:00; set to 24 at 10:00 (a scene for the web); no link from 11:00 on; leaves 12:00")


def test_a_jam_that_is_taken_for_granted_says_so() -> None:
    assert told().devices == (DayLine(("box_a", "box_b"), "jammed 06:30 from Sound bag (taken for granted)"),)


def test_days_are_told_apart_by_their_dates() -> None:
    more = ", {date: 2026-06-15, zone: Europe/Lisbon, call: 06:30, events: [{at: 07:10, do: jam, of: all}]}"
    assert told(JAM, more=more).devices[0].says == "jammed 2026-06-14 07:00 and 2026-06-15 07:10 from Sound bag"


def test_two_generations_from_the_jam_of_some_to_the_next_of_all() -> None:
    assert told(JAM, AGAIN, "at: 15:00, do: jam, of: all").generations == (
        "12:42 to 15:00: box_b jammed at 12:42; box_a jammed at 07:00",
    )


def test_generations_are_told_by_the_jams_that_were_and_not_by_the_first_of_a_round() -> None:
    later, last = "at: 12:42, do: jam, of: [box_b]", "at: 12:50, do: jam, of: [box_a]"
    third = "at: 15:00, do: jam, of: [box_b]"
    assert told(JAM, later, last, third).generations[-1] == (
        "15:00 to 19:00: box_b jammed at 15:00; box_a jammed at 12:50"
    )


def test_two_generations_until_the_days_end() -> None:
    assert told(JAM, AGAIN).generations == ("12:42 to 19:00: box_b jammed at 12:42; box_a jammed at 07:00",)


def test_jams_that_follow_each_other_are_one_round() -> None:
    ten_minutes_on = "at: 07:10, do: jam, of: [box_b]"
    assert told("at: 07:00, do: jam, of: [box_a]", ten_minutes_on).generations == ()
    assert told("at: 07:00, do: jam, of: [box_a]", ten_minutes_on.replace("07:10", "07:16")).generations


def test_the_order_of_the_morning() -> None:
    assert told(SET, JAM, AGAIN).morning == (
        "set rate, count and mode on every device (25); after the jam leave them alone",
        "set Sound bag by hand from wall clock (06:50)",
        "jam box_a and box_b from Sound bag (07:00) and wait for the lock",
        "plug what stays on, and see the digits move on cam_a",
        "roll Sound bag and cam_a on one display or slate, play back, and compare the recorded clips",
    )


def test_a_master_that_nobody_sets_is_looked_at() -> None:
    assert told(JAM).morning[1] == "see that Sound bag, the master, shows the time that is meant"


def test_a_day_that_begins_with_a_take_still_has_its_order() -> None:
    early = "at: 06:55, do: roll, of: [bag, cam_a], until: 06:58"
    assert told(SET, early, JAM).morning[1:3] == (
        "set Sound bag by hand from wall clock (06:50)",
        "jam box_a and box_b from Sound bag (07:00) and wait for the lock",
    )


def test_who_arrives_later_does_not_roll_in_the_morning() -> None:
    arrives = "at: 15:00, do: arrive, of: [cam_a]"
    assert told(SET, JAM, arrives).morning[-1] == (
        "roll Sound bag on one display or slate, play back, and compare the recorded clips"
    )


def test_nothing_is_told_of_a_setup_without_days() -> None:
    document = load_text(f"synclint: setup/1{DEVICES}", "day.setup.yaml").document
    assert document is not None
    setup = build(document, ()).setup
    assert tell(run_days(setup, TimecodeGraph(setup))) == DayTold()
