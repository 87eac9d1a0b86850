"""The events of all days in one order, each at its instant."""

from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from threading import Barrier

import pytest

from synclint.day.clocktime import clock_of, day_clocks
from synclint.day.moments import Contradiction
from synclint.day.schedule import Steps, schedule
from tests.day.running import Days, lived, shoot
from tests.rig.building import built

TWO = """
bag: {timecode: {from: own clock, mode: free run, rate: 25}}
box: {able: {ports: {jack: {in: [LTC]}}}, timecode: {from: jack, mode: jam, rate: 25}}
"""
HOUR = 3600


def days(*each: str, zone: str = "") -> Days:
    """The two devices on days as written."""
    project = "{rate: 25" + (f", timecode: {{as: time of day, zone: {zone}}}" if zone else "") + "}"
    written = "\n".join(f"  - {day}" for day in each)
    devices = "\n".join(f"  {line}" for line in TWO.strip().splitlines())
    return lived(f"synclint: setup/1\ntitle: Days\nproject: {project}\ndays:\n{written}\ndevices:\n{devices}\n")


def steps(made: Days) -> Steps:
    return schedule(made.case.setup)


def told(made: Days) -> list[str]:
    """What happens and when by the clock of the first day, in order."""
    clock = day_clocks(made.case.setup)[0]
    return [f"{int(clock.shows(step.at)) // 60} {step.what}" for step in steps(made).steps]


def only(made: Days) -> Contradiction:
    (contradiction,) = steps(made).contradictions
    return contradiction


def test_events_happen_when_they_are_said_to_and_not_where_they_stand() -> None:
    made = shoot(
        TWO,
        "{at: 10:00, do: jam, of: [box]}\n{at: 07:00, do: set clock, of: [bag]}\n{at: 08:30, do: break, until: 09:00}",
    )
    assert told(made) == ["420 set clock", "510 break", "600 jam"]


def test_at_one_moment_what_ends_comes_before_what_begins_and_a_setting_before_the_jam_that_wants_it() -> None:
    made = shoot(
        TWO,
        """{at: 12:00, do: roll, of: [bag], until: 13:00}
        {at: 12:00, do: leave, of: [bag], until: 15:00}
        {at: 12:00, do: power off, of: [bag], until: 12:10}
        {at: 12:00, do: compare, of: [box], against: bag}
        {at: 12:00, do: jam, of: all}
        {at: 12:00, do: set clock, of: [bag]}
        {at: 12:00, do: set, of: [bag], to: {timecode: {rate: 24}}}
        {at: 12:00, do: arrive, of: [box]}
        {at: 12:00, do: link lost, of: [box], until: 12:10}
        {at: 12:00, do: break, until: 12:10}
        {at: 11:00, do: link lost, of: [box], until: 12:00}
        {at: 11:00, do: power off, of: [box], until: 12:00}""",
    )
    at_noon = [step.split()[1:] for step in told(made) if step.startswith("720 ")]
    assert [" ".join(each) for each in at_noon] == [
        "power back", "link back", "arrive", "set", "set clock", "jam", "compare", "link lost", "power off", "leave",
        "break", "roll",
    ]  # fmt: skip


def test_like_events_of_one_moment_happen_as_they_are_written() -> None:
    made = shoot(TWO, "{at: 07:00, do: jam, of: [box], note: one}\n{at: 07:00, do: jam, of: [bag], note: two}")
    assert [step.keys for step in steps(made).steps] == [("box",), ("bag",)]


def test_what_ends_is_a_step_of_its_own() -> None:
    made = shoot(TWO, "{at: 12:00, do: power off, of: [bag], until: 12:04}\n{at: 07:00, do: jam, of: all}")
    _, off, back = steps(made).steps
    assert off.until == back.at == off.at + 240
    assert (back.what, back.keys, back.event) == ("power back", ("bag",), off.event)
    assert back.until is None


@pytest.mark.parametrize("what", ["power off", "link lost"])
def test_what_nobody_ends_lasts_until_the_next_call(what: str) -> None:
    made = days(
        f"{{date: 2026-06-14, call: 06:00, events: [{{at: 19:00, do: {what}, of: [box]}}]}}",
        f"{{date: 2026-06-16, call: 05:30, events: [{{at: 19:00, do: {what}, of: [box]}}]}}",
    )
    found = [step for step in steps(made).steps if step.what != "jam"]
    # 19:00 to 05:30 two days later: 5 h + 24 h + 5.5 h.
    assert found[1].at - found[0].at == 34.5 * HOUR
    assert [step.what for step in found] == [what, f"{what.partition(' ')[0]} back", what]  # on the last day for good


def test_the_next_call_is_the_next_in_time_whichever_day_stands_first() -> None:
    """That they do not stand in order is told as the file is read."""
    off_at_seven = "{at: 19:00, do: power off, of: [cam]}"
    made = built(
        "devices: {cam: {}}\ndays: [{date: 2026-06-16, call: 06:00}, "
        f"{{date: 2026-06-14, call: 06:00, events: [{off_at_seven}]}}, {{date: 2026-06-15, call: 07:00}}]\n"
    )
    off, back = [step for step in schedule(made.setup).steps if step.what.startswith("power")]
    assert back.at - off.at == 12 * HOUR


def test_who_leaves_and_is_not_said_to_come_back_stays_away() -> None:
    made = days(
        "{date: 2026-06-14, call: 06:00, events: [{at: 19:00, do: leave, of: [box]}]}",
        "{date: 2026-06-15, call: 06:00}",
    )
    assert "arrive" not in [step.what for step in steps(made).steps]


def test_who_is_first_told_to_arrive_was_not_there_before() -> None:
    made = shoot(
        TWO + "cam: {timecode: {from: own clock}}",
        """{at: 07:00, do: arrive, of: [box]}
        {at: 08:00, do: leave, of: [box, cam]}
        {at: 09:00, do: arrive, of: [cam]}""",
    )
    assert steps(made).late == {"box"}


def test_where_no_jam_is_told_of_one_at_each_call_is_taken_for_granted() -> None:
    made = days("{date: 2026-06-14, call: 06:00}", "{date: 2026-06-15, call: 07:00}", "{date: 2026-06-16}")
    granted = steps(made)
    assert granted.granted
    assert [(step.what, step.event, step.day) for step in granted.steps] == [("jam", None, day) for day in range(3)]
    # A day whose call nobody knows begins at its midnight.
    assert [b.at - a.at for a, b in zip(granted.steps, granted.steps[1:], strict=False)] == [25 * HOUR, 17 * HOUR]


def test_one_jam_anywhere_and_none_is_taken_for_granted() -> None:
    made = days("{date: 2026-06-14, call: 06:00}", "{date: 2026-06-15, events: [{at: 07:00, do: jam, of: [box]}]}")
    assert not steps(made).granted
    assert [step.day for step in steps(made).steps] == [1]


def test_a_setup_without_days_has_no_steps() -> None:
    made = lived(
        "synclint: setup/1\ntitle: None\nproject: {rate: 25}\ndevices:\n  bag: {timecode: {from: own clock}}\n"
    )
    assert steps(made).steps == ()
    assert steps(made).start == steps(made).end == 0
    assert clock_of(made.case.setup, Fraction(7 * HOUR)) == "07:00"


def test_the_days_end_with_the_last_thing_that_happens() -> None:
    made = shoot(TWO, "{at: 21:00, do: roll, of: [bag], until: 23:30}", day="call: 06:00, wrap: 22:00")
    assert steps(made).end - steps(made).start == 17.5 * HOUR
    made = shoot(TWO, "{at: 05:00, do: set clock, of: [bag]}", day="call: 06:00, wrap: 01:00 +1")
    assert steps(made).end - steps(made).start == 20 * HOUR


# --- what cannot be ---


def test_an_event_before_the_call_is_told_and_happens() -> None:
    made = shoot(TWO, "{at: 05:40, do: jam, of: all}")
    early = only(made)
    assert early.kind.name == "EARLY"
    assert early.seconds == 20 * 60
    assert early.at.path == ("days", 0, "events", 0, "at")
    assert early.other is not None
    assert early.other.path == ("days", 0, "call")
    assert told(made) == ["340 jam"]


def test_an_event_that_ends_before_it_begins_is_told_and_left_out() -> None:
    for until in ("01:20", "22:30", "21:00"):
        made = shoot(TWO, f"{{at: 22:30, do: roll, of: [bag], until: {until}}}\n{{at: 07:00, do: jam, of: all}}")
        assert only(made).kind.name == "BACKWARDS"
        assert only(made).at.path == ("days", 0, "events", 0, "until")
        assert told(made) == ["420 jam"]
    assert only(made).seconds == 90 * 60


def test_past_midnight_is_said_with_its_day() -> None:
    made = shoot(TWO, "{at: 22:30, do: roll, of: [bag], until: 01:20 +1}", day="call: 18:00, wrap: 03:00 +1")
    assert steps(made).contradictions == ()
    assert made.run.rolls[0].length == 2 * HOUR + 50 * 60


# --- zones and clocks ---


def test_a_night_on_which_the_clocks_go_back_is_an_hour_longer() -> None:
    # 01:30 occurs twice on 2026-10-25 in Lisbon, and the first is meant; 02:30 is two hours after it.
    made = days(
        "{date: 2026-10-24, zone: Europe/Lisbon, call: 20:00, wrap: 04:00 +1, events: ["
        "{at: 21:00, do: jam, of: all}, {at: 01:30 +1, do: roll, of: [bag], until: 02:30 +1}]}"
    )
    assert made.run.rolls[0].length == 2 * HOUR
    assert made.run.rolls[0].start - made.instant("21:00") == 4.5 * HOUR
    assert steps(made).end - steps(made).start == 9 * HOUR
    assert made.at("box", "02:30 +1").time is not None
    # Back at the wall, the second 01:30 and the first look alike.
    assert clock_of(made.case.setup, made.run.rolls[0].start + HOUR) == "01:30 +1"
    assert clock_of(made.case.setup, made.run.rolls[0].end) == "02:30 +1"


def test_a_take_over_the_hour_that_the_clocks_skip_is_shorter_than_it_looks() -> None:
    night = (
        "{{date: 2026-03-28, zone: Europe/Lisbon, call: 20:00, events: [{{at: {}, do: roll, of: [bag], until: {}}}]}}"
    )
    made = days(night.format("00:30 +1", "02:30 +1"))
    assert made.run.rolls[0].length == HOUR
    # 01:45 does not occur; it is taken as 45 minutes after 01:00, at which the clocks show 02:00, so after 02:15.
    made = days(night.format("01:45 +1", "02:15 +1"))
    assert made.run.rolls == ()
    skipped, backwards = steps(made).contradictions
    assert (skipped.kind.name, backwards.kind.name) == ("SKIPPED", "BACKWARDS")
    assert skipped.seconds == 60 * 60
    assert backwards.seconds == 30 * 60


def test_each_day_is_told_by_the_clock_of_its_own_zone() -> None:
    made = days(
        "{date: 2026-06-14, zone: Europe/Lisbon, call: 06:00, events: [{at: 18:00, do: jam, of: all}]}",
        "{date: 2026-06-15, zone: Atlantic/Azores, call: 06:00, events: [{at: 06:30, do: jam, of: all}]}",
    )
    evening, morning = (step.at for step in steps(made).steps)
    assert morning - evening == 13.5 * HOUR  # 12.5 h by the clocks; the Azores are an hour behind
    assert clock_of(made.case.setup, evening) == "2026-06-14 18:00"
    assert clock_of(made.case.setup, morning) == "2026-06-15 06:30"


def test_a_day_that_says_no_zone_is_in_the_zone_of_the_shoot() -> None:
    made = days(
        "{date: 2026-06-14, events: [{at: 06:00, do: jam, of: all}]}",
        "{date: 2026-06-15, zone: Atlantic/Azores, events: [{at: 06:00, do: jam, of: all}]}",
        zone="Europe/Lisbon",
    )
    first, second = (step.at for step in steps(made).steps)
    assert second - first == 25 * HOUR


def test_a_zone_that_nobody_knows_is_taken_as_none() -> None:
    """It is told as the file is read, and the days go on."""
    text = "days: [{{date: 2026-06-14, zone: {}, events: [{{at: 06:00, do: jam, of: all}}]}}]\ndevices: {{}}\n"
    known, unknown = (schedule(built(text.format(zone)).setup).steps[0].at for zone in ("UTC", "Atlantis/Centre"))
    assert known == unknown


def test_days_without_a_date_follow_each_other() -> None:
    event = "{at: 07:00, do: jam, of: all}"
    made = days(f"{{call: 06:00, events: [{event}]}}", f"{{call: 06:00, events: [{event}]}}")
    assert [step.at for step in steps(made).steps] == [7 * HOUR, 31 * HOUR]
    made = days(f"{{date: 2026-12-31, events: [{event}]}}", f"{{events: [{event}]}}", f"{{events: [{event}]}}")
    first, second, third = (step.at for step in steps(made).steps)
    assert second - first == third - second == 24 * HOUR


def test_the_last_days_of_the_calendar_do_no_harm() -> None:
    event = "{at: 23:00 +9, do: jam, of: all}"
    for zone in ("", "zone: Pacific/Auckland, ", "zone: America/La_Paz, "):
        made = days(f"{{date: 9999-12-31, {zone}events: [{event}]}}", f"{{{zone}events: [{event}]}}")
        assert len(steps(made).steps) == 2
        assert clock_of(made.case.setup, steps(made).end)
    made = days(f"{{date: 0001-01-01, zone: Pacific/Auckland, call: 00:00, events: [{event}]}}")
    assert clock_of(made.case.setup, steps(made).start)  # in Greenwich it is the year before the first


def test_an_instant_is_told_with_its_date_where_there_are_several_days() -> None:
    made = days("{date: 2026-06-14, call: 18:00}", "{date: 2026-06-15, call: 18:00}")
    setup = made.case.setup
    assert clock_of(setup, made.instant("19:00")) == "2026-06-14 19:00"
    assert clock_of(setup, made.instant("01:00 +1")) == "2026-06-14 01:00 +1"  # still the night of the first
    assert clock_of(setup, made.instant("17:00")) == "2026-06-14 17:00"  # before all calls
    assert clock_of(setup, made.instant("18:00", 1)) == "2026-06-15 18:00"
    one = days("{date: 2026-06-14, call: 18:00}")
    assert clock_of(one.case.setup, one.instant("01:00 +1")) == "01:00 +1"


def test_two_threads_with_two_setups_do_not_get_in_each_others_way() -> None:
    event = "events: [{at: 07:00, do: jam, of: all}]"
    made = [days(f"{{date: 2026-06-14, zone: {zone}, {event}}}") for zone in ("Europe/Lisbon", "Atlantic/Azores")]
    at = steps(made[0]).steps[0].at
    both = Barrier(2)

    def ask(which: Days) -> set[str]:
        both.wait(timeout=60)
        return {clock_of(which.case.setup, at) for _ in range(2000)}

    with ThreadPoolExecutor(2) as pool:
        # Seven in Lisbon is six on the Azores.
        assert list(pool.map(ask, made)) == [{"07:00"}, {"06:00"}]
