"""What every kind of event does to the devices it is told of."""

import pytest

from synclint.day.moments import Origin
from synclint.findings import WHO
from tests.day.running import Days, lived, plain, shoot

# A recorder that sets the time, a box jammed from it, a camera that lives on it, and one that records its LTC as sound.
RIG = """
bag: {able: {ports: {tc_out: {out: [LTC]}}, timecode: {ABLE}}, timecode: {from: own clock, mode: free run, rate: 25}}
box: {able: {ports: {jack: {in: [LTC], out: [LTC]}}, timecode: {ABLE}}, timecode: {from: jack, mode: jam, rate: 25}}
cam: {able: {ports: {tc_in: {in: [LTC]}}, timecode: {ABLE}}, timecode: {from: tc_in, mode: continuous, rate: 25},
  records: {picture: {shot_at: 25}}}
small: {able: {ports: {mic_in: {in: [LTC]}}},
  records: {picture: {shot_at: 25}, sound: {tracks: {left: LTC, right: scratch}}}}
"""
LEADS = """
{from: bag.tc_out, to: box.jack, carries: LTC, connected: to jam}
{from: box.jack, to: [cam.tc_in, small.mic_in], carries: LTC, connected: all day}
"""
MORNING = "{at: 06:50, do: set clock, of: [bag], from: wall clock}\n{at: 07:00, do: jam, of: all}\n"
LOSES = "loses_time_on: [power off]"


def day(events: str, *, able: str = "", links: str = LEADS, rig: str = RIG) -> Days:
    return shoot(rig.replace("ABLE", able), MORNING + events, links=links)


def kinds(made: Days) -> list[str]:
    return [each.kind.name for each in made.run.contradictions]


# --- the start ---


def test_before_anything_happens_everybody_shows_what_it_shows() -> None:
    made = shoot(RIG.replace("ABLE", ""), "{at: 12:00, do: jam, of: all}", links=LEADS)
    assert made.says("bag", "06:00") == "own, running on its own clock since before the day"
    assert made.says("box", "06:00") == "own, whatever it was left at"
    assert made.says("cam", "06:00") == made.says("small", "06:00") == "lives on box"
    assert made.line("cam", "06:00") == made.line("small", "06:00") == ("box", "LEFT")
    assert made.at("bag", "06:00").cause.path == ("devices", "bag", "timecode", "mode")[:3]


def test_a_device_that_nothing_reaches_runs_with_whatever_it_was_left_at() -> None:
    made = day("", links="")
    assert made.line("cam", "08:00") == ("cam", "LEFT")
    assert made.says("small", "08:00") == "none"  # nothing to record and no counter of its own


# --- jams ---


def test_a_jam_hands_the_time_on_with_its_history() -> None:
    made = day("")
    assert made.says("box", "07:00") == "jammed from bag"
    assert made.line("box", "07:00") == ("bag", "SET")
    assert made.line("cam", "07:00") == ("bag", "SET")
    assert made.at("cam", "09:00").source == "box"
    assert [(jam.target, jam.source) for jam in made.run.jams] == [("box", "bag")]
    assert made.at("box", "09:00").time.age(made.instant("09:00")) == 2 * 3600  # type: ignore[union-attr]


def test_of_a_change_at_an_instant_what_comes_after_it_holds() -> None:
    made = day("")
    assert made.says("box", "06:59:59") == "own, whatever it was left at"
    assert made.says("box", "07:00") == "jammed from bag"
    assert made.run.before("box", made.instant("07:00")).time == made.at("box", "06:59:59").time


CHAIN = """
z_bag: {timecode: {from: own clock, rate: 25}}
y_box: {able: {ports: {jack: {in: [LTC], out: [LTC]}}}, timecode: {from: jack, mode: jam, rate: 25}}
x_slate: {able: {ports: {in: {in: [LTC], out: [LTC]}}}, timecode: {from: in, mode: jam, rate: 25}}
"""
CHAINED = """
{from: y_box.jack, to: x_slate.in, carries: LTC, connected: to jam}
{from: z_bag.out, to: y_box.jack, carries: LTC, connected: to jam}
"""


@pytest.mark.parametrize("of", ["all", "[x_slate, y_box]", "[y_box, x_slate]"])
def test_in_one_round_the_source_is_jammed_before_what_it_jams(of: str) -> None:
    made = shoot(CHAIN, f"{{at: 07:00, do: jam, of: {of}}}", links=CHAINED)
    assert [(jam.target, jam.source) for jam in made.run.jams] == [("y_box", "z_bag"), ("x_slate", "y_box")]
    assert made.line("x_slate", "07:00") == ("z_bag", "RUNNING")
    hands = made.at("x_slate", "07:00").time.hands  # type: ignore[union-attr]
    assert [(hand.source, hand.target) for hand in hands] == [("z_bag", "y_box"), ("y_box", "x_slate")]


def test_jams_one_after_the_other_are_no_round() -> None:
    made = shoot(CHAIN, "{at: 07:00, do: jam, of: [x_slate]}\n{at: 07:05, do: jam, of: [y_box]}", links=CHAINED)
    assert made.line("x_slate", "08:00") == ("y_box", "LEFT")
    assert made.line("y_box", "08:00") == ("z_bag", "RUNNING")


def test_two_that_are_jammed_from_each_other_in_one_round_do_no_harm() -> None:
    circle = """{from: y_box.jack, to: x_slate.in, carries: LTC, connected: to jam}
        {from: x_slate.in, to: y_box.jack, carries: LTC, connected: to jam}"""
    made = shoot(CHAIN, "{at: 07:00, do: jam, of: all}", links=circle)
    turned = shoot("\n".join(reversed(CHAIN.strip().splitlines())), "{at: 07:00, do: jam, of: all}", links=circle)
    assert made.line("x_slate", "08:00") == made.line("y_box", "08:00") == turned.line("y_box", "08:00")


def test_all_are_those_with_a_lead_to_jam_and_those_that_jam_from_a_lead_that_stays() -> None:
    made = shoot(
        """bag: {timecode: {from: own clock}}
        leads: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}
        stays: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}
        lives: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: continuous}}
        reads: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}
        deaf: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: own clock}}""",
        "{at: 07:00, do: jam, of: all}",
        links="""{from: bag.out, to: [leads.in, deaf.in], carries: LTC, connected: to jam}
        {from: bag.out, to: [stays.in, lives.in], carries: LTC, connected: all day}
        {from: bag.out, to: reads.in, carries: LTC, connected: to compare}""",
    )
    assert {jam.target for jam in made.run.jams} == {"leads", "stays"}
    assert made.says("stays", "08:00") == "jammed from bag"
    assert made.says("lives", "08:00") == "lives on bag"
    assert kinds(made) == []


def test_a_jam_may_name_its_source() -> None:
    made = day("{at: 09:00, do: jam, of: [bag], from: box}")
    assert made.says("bag", "09:00") == "jammed from box"
    assert made.line("bag", "09:00") == ("bag", "SET")  # its own morning time, come back
    made = day("{at: 09:00, do: jam, of: [bag, box], from: bag}")
    assert made.says("bag", "09:00") == "own, set by hand"  # nobody is jammed from itself


def test_a_jam_of_who_lives_on_another_changes_nothing() -> None:
    made = day("{at: 09:00, do: jam, of: [cam]}")
    assert made.says("cam", "10:00") == "lives on box"
    assert plain(made.run) == plain(day("").run)


def test_a_jam_from_who_is_off_or_away_cannot_be() -> None:
    made = day("{at: 08:00, do: power off, of: [bag], until: 10:00}\n{at: 09:00, do: jam, of: [box]}")
    (contradiction,) = made.run.contradictions
    assert contradiction.kind.name == "SOURCE_GONE"
    assert contradiction.key == "box"
    assert contradiction.at.path == ("days", 0, "events", 3)
    assert contradiction.says.endswith("jammed from bag, which is switched off")
    assert made.at("box", "09:30").time == made.at("box", "08:30").time
    made = day("{at: 08:00, do: leave, of: [bag]}\n{at: 09:00, do: jam, of: [box], from: bag}")
    assert made.run.contradictions[0].says.endswith("jammed from bag, which is not there")


def test_a_jam_of_who_is_off_or_away_cannot_be_unless_all_are_jammed() -> None:
    off = "{at: 08:00, do: power off, of: [box], until: 10:00}\n"
    away = "{at: 08:00, do: leave, of: [box], until: 10:00}\n"
    assert kinds(day(off + "{at: 09:00, do: jam, of: [box]}")) == ["OFF"]
    assert kinds(day(away + "{at: 09:00, do: jam, of: [box]}")) == ["NOT_THERE"]
    for gone in (off, away):
        made = day(gone + "{at: 09:00, do: jam, of: all}")
        assert kinds(made) == []
        assert [jam.target for jam in made.run.jams] == ["box"]  # at 07:00 only


def test_a_jam_of_who_listens_to_nothing_cannot_be() -> None:
    made = day("{at: 09:00, do: jam, of: [bag]}")
    (contradiction,) = made.run.contradictions
    assert contradiction.kind.name == "NO_SOURCE"
    assert contradiction.says.startswith(WHO)


def test_a_jam_along_a_lead_that_is_lost_cannot_be() -> None:
    lost = "{at: 08:00, do: link lost, from: bag.tc_out, to: box.jack, until: 10:00}\n"
    made = day(lost + "{at: 09:00, do: jam, of: [box]}\n{at: 11:00, do: jam, of: [box]}")
    assert kinds(made) == ["NO_SOURCE"]
    assert [jam.at for jam in made.run.jams] == [made.instant("07:00"), made.instant("11:00")]


def test_jams_that_nobody_tells_of_are_taken_for_granted_at_the_call() -> None:
    made = shoot(RIG.replace("ABLE", ""), "{at: 09:00, do: roll, of: [cam], until: 10:00}", links=LEADS)
    assert made.run.jams_taken_for_granted
    assert made.says("box", "06:00") == "jammed from bag"
    assert [jam.event for jam in made.run.jams] == [None]


# --- clocks set by hand ---


def test_a_clock_set_by_hand_begins_a_line_of_its_own() -> None:
    made = day("{at: 09:00, do: set clock, of: [bag, box], from: wall clock}")
    assert made.line("bag", "08:59") == made.line("box", "08:59") == ("bag", "SET")
    assert made.line("bag", "09:00") == ("bag", "SET")
    assert made.line("box", "09:00") == made.line("cam", "09:00") == ("box", "SET")
    assert made.at("bag", "08:59").time != made.at("bag", "09:00").time
    assert made.at("cam", "08:59").time.line == made.at("bag", "08:59").time.line  # type: ignore[union-attr]
    assert made.at("cam", "09:00").time.line != made.at("bag", "09:00").time.line  # type: ignore[union-attr]


def test_setting_the_clock_of_who_lives_on_another_shows_when_it_is_let_go() -> None:
    made = day("{at: 09:00, do: set clock, of: [cam]}")
    assert made.says("cam", "10:00") == "lives on box"


# --- settings ---


def test_a_setting_is_in_force_from_its_event_on() -> None:
    made = day("{at: 15:00, do: set, of: [cam], to: {records: {picture: {shot_at: 50}}}}")
    before, after = (made.at("cam", clock).device.picture for clock in ("14:59", "15:00"))
    assert before is not None
    assert after is not None
    assert (before.shot_at.text, after.shot_at.text) == ("25", "50")
    assert made.at("cam", "15:00").cause.path == ("days", 0, "events", 2)
    assert made.at("cam", "15:00").time == made.at("cam", "14:59").time


def test_a_change_that_loses_the_time_begins_a_new_line() -> None:
    event = "{at: 15:00, do: set, of: [box], to: {timecode: {rate: 24}}}"
    assert day(event, able="loses_time_on: [rate change]").line("cam", "15:00") == ("box", "RESTARTED")
    assert day(event, able="loses_time_on: [mode change, power off]").line("cam", "15:00") == ("bag", "SET")
    assert day(event).line("cam", "15:00") == ("bag", "SET")
    event = "{at: 15:00, do: set, of: [box], to: {timecode: {mode: free run}}}"
    assert day(event, able="loses_time_on: [mode change]").line("box", "15:00") == ("box", "RESTARTED")
    assert day(event, able="loses_time_on: [rate change]").line("box", "15:00") == ("bag", "SET")


def test_a_picture_at_another_rate_is_a_rate_change_and_the_same_again_is_none() -> None:
    loses = "loses_time_on: [rate change]"
    own = RIG.replace("{from: tc_in, mode: continuous, rate: 25}", "{from: tc_in, mode: jam, rate: 25}")
    event = "{{at: 15:00, do: set, of: [cam], to: {{records: {{picture: {{shot_at: {}}}}}}}}}"
    assert day(event.format(50), able=loses, rig=own).line("cam", "15:00") == ("cam", "RESTARTED")
    made = day(event.format(25), able=loses, rig=own)
    assert made.line("cam", "15:00") == ("bag", "SET")
    assert plain(made.run) == plain(day("", able=loses, rig=own).run)


def test_who_loses_its_time_and_its_lead_in_one_step_begins_anew() -> None:
    event = "{at: 15:00, do: set, of: [cam], to: {timecode: {from: own clock, rate: 24}}}"
    assert day(event, able="loses_time_on: [rate change]").line("cam", "15:00") == ("cam", "RESTARTED")
    assert day(event).says("cam", "15:00") == "let go by box"


def test_who_is_set_to_a_port_listens_there_from_then_on() -> None:
    rig = RIG.replace("{from: tc_in, mode: continuous, rate: 25}", "{from: own clock, mode: continuous, rate: 25}")
    made = day(
        "{at: 15:00, do: set, of: [cam], to: {timecode: {from: tc_in}}}\n{at: 16:00, do: set clock, of: [box]}", rig=rig
    )
    assert made.says("cam", "14:59") == "own, running on its own clock since before the day"
    assert made.says("cam", "15:00") == "lives on box"
    assert made.line("cam", "16:00") == ("box", "SET")


def test_a_setting_of_who_is_off_cannot_be() -> None:
    off = "{at: 08:00, do: power off, of: [cam], until: 10:00}\n"
    made = day(off + "{at: 09:00, do: set, of: [cam], to: {timecode: {mode: free run}}}")
    assert kinds(made) == ["OFF"]
    assert made.at("cam", "11:00").device.timecode.mode.value == "continuous"


# --- power ---


@pytest.mark.parametrize(
    ("until", "line"),
    [("13:59:59", ("bag", "SET")), ("14:00", ("bag", "SET")), ("14:00:01", ("bag", "RESTARTED"))],
)
def test_a_device_holds_its_time_for_just_as_long_as_it_says(until: str, line: tuple[str, str]) -> None:
    made = day(f"{{at: 12:00, do: power off, of: [bag], until: '{until}'}}", able="keeps_time_off: 2 h")
    assert made.says("bag", "13:00") == "off"
    assert made.line("bag", until) == line


@pytest.mark.parametrize(
    ("words", "origin"),
    [
        ("own calendar clock", Origin.CALENDAR),
        ("zero", Origin.ZERO),
        ("last value", Origin.LAST),
        (None, Origin.RESTARTED),
    ],
)
def test_what_a_device_begins_from_is_what_it_says(words: str | None, origin: Origin) -> None:
    able = LOSES + (f", at_power_up: {words}" if words else "")
    made = day("{at: 12:00, do: power off, of: [bag], until: 12:04}", able=able)
    assert made.line("bag", "12:04") == ("bag", origin.name)
    time = made.at("bag", "12:04").time
    assert time is not None
    assert time.line.since == made.instant("12:04")
    assert made.apart("bag", "box", "12:04") is None
    assert made.run.unsure == ()


def test_the_stated_hold_goes_before_what_makes_it_lose_its_time() -> None:
    made = day("{at: 12:00, do: power off, of: [bag], until: 12:04}", able=f"{LOSES}, keeps_time_off: 5 min")
    assert made.line("bag", "12:04") == ("bag", "SET")


def test_a_device_that_loses_its_time_on_other_things_keeps_it_when_off() -> None:
    made = day("{at: 12:00, do: power off, of: [bag], until: 18:00}", able="loses_time_on: [mode change]")
    assert made.line("bag", "18:00") == ("bag", "SET")
    assert made.run.unsure == ()


def test_what_nobody_says_of_power_is_told_as_unsure_and_the_time_taken_as_kept() -> None:
    made = day("{at: 12:00, do: power off, of: [bag, small], until: 12:04}")
    assert made.line("bag", "12:04") == ("bag", "SET")
    (unsure,) = made.run.unsure  # not of the small camera, which has no counter
    assert (unsure.device, unsure.lacks) == ("bag", "whether bag keeps its time while it is off")


def test_the_time_goes_on_with_its_jam_through_a_battery_change() -> None:
    made = day("{at: 12:00, do: power off, of: [box], until: 12:04}", able="keeps_time_off: 1 h")
    assert made.at("box", "12:04").time == made.at("box", "11:59").time


def test_who_lives_on_a_box_that_is_off_runs_by_itself_and_follows_again() -> None:
    made = day("{at: 12:00, do: power off, of: [box], until: 12:04}", able=LOSES)
    assert made.says("cam", "12:00") == "let go by box"
    assert made.line("cam", "12:02") == ("bag", "SET")
    assert made.says("small", "12:02") == "none"
    assert made.says("cam", "12:04") == made.says("small", "12:04") == "lives on box"
    assert made.line("cam", "12:04") == made.line("small", "12:04") == ("box", "RESTARTED")


def test_who_lives_on_a_box_needs_no_jam_after_a_battery() -> None:
    made = day("{at: 12:00, do: power off, of: [cam], until: 12:04}", able=LOSES)
    assert made.at("cam", "12:04").time == made.at("cam", "11:59").time


def test_what_it_lost_shows_when_its_lead_goes() -> None:
    lost = "{at: 12:00, do: power off, of: [cam], until: 12:04}\n{at: 12:00, do: power off, of: [box], until: 13:00}"
    assert day(lost, able=LOSES).line("cam", "12:30") == ("cam", "RESTARTED")
    assert day(lost, able="keeps_time_off: 1 h").line("cam", "12:30") == ("bag", "SET")


def test_two_events_that_lie_over_each_other_hold_it_off_until_the_later_ends() -> None:
    made = day(
        "{at: 12:00, do: power off, of: [bag], until: 13:00}\n{at: 12:30, do: power off, of: [bag], until: 14:30}",
        able="keeps_time_off: 2 h",
    )
    assert made.says("bag", "13:30") == "off"
    assert made.line("bag", "14:30") == ("bag", "RESTARTED")  # off for two hours and a half
    made = day(
        "{at: 12:00, do: power off, of: [bag], until: 14:00}\n{at: 12:30, do: power off, of: [bag], until: 13:00}",
        able="keeps_time_off: 2 h",
    )
    assert made.says("bag", "13:30") == "off"
    assert made.line("bag", "14:00") == ("bag", "SET")


def test_off_until_a_moment_and_off_again_from_it_is_two_times_off() -> None:
    made = day(
        "{at: 12:00, do: power off, of: [bag], until: 13:00}\n{at: 13:00, do: power off, of: [bag], until: 14:00}",
        able="keeps_time_off: 1 h",
    )
    assert made.says("bag", "13:00") == "off"
    assert made.line("bag", "14:00") == ("bag", "SET")


# --- links ---


def test_a_lost_lead_lets_go_and_takes_up_again() -> None:
    made = day("{at: 12:00, do: link lost, of: [cam], until: 12:10}\n{at: 12:05, do: jam, of: [box]}")
    assert made.says("cam", "12:00") == "let go by box"
    assert made.says("small", "12:05") == "lives on box"
    jams = {key: made.at(key, "12:07").time.jammed_at for key in ("cam", "small")}  # type: ignore[union-attr]
    assert jams == {"cam": made.instant("07:00"), "small": made.instant("12:05")}
    assert made.at("cam", "12:10").time == made.at("small", "12:10").time


@pytest.mark.parametrize(
    "named",
    [
        "from: box.jack",
        "from: box.jack, to: cam.tc_in",
        "to: [cam.tc_in]",
        "of: [cam]",
        "to: [small.mic_in, cam.tc_in]",
        "from: box.jack, to: [bag.tc_out, cam.tc_in]",
    ],
)
def test_a_link_is_named_by_its_ends_or_by_whom_it_reaches(named: str) -> None:
    made = day(f"{{at: 12:00, do: link lost, {named}, until: 12:10}}")
    assert made.says("cam", "12:05") == "let go by box"


@pytest.mark.parametrize(
    "named", ["of: [bag]", "of: [box]", "from: bag.tc_out", "to: small.mic_in", "from: bag.tc_out, to: cam.tc_in"]
)
def test_another_link_is_another(named: str) -> None:
    made = day(f"{{at: 12:00, do: link lost, {named}, until: 12:10}}")
    assert made.says("cam", "12:05") == "lives on box"


def test_links_are_named_by_ranges_too() -> None:
    rig = "\n".join(
        f"cam_{n}: {{able: {{ports: {{tc_in: {{in: [LTC]}}}}}}, timecode: {{from: tc_in, mode: continuous}}}}"
        for n in (1, 2, 3)
    )
    made = shoot(
        f"bag: {{timecode: {{from: own clock}}}}\n{rig}",
        "{at: 12:00, do: link lost, to: [cam_1..cam_2.tc_in], until: 12:10}",
        links="{from: bag.tc_out, to: cam_1..cam_3.tc_in, carries: LTC, connected: all day}",
    )
    assert [made.says(f"cam_{n}", "12:05") for n in (1, 2, 3)] == ["let go by bag", "let go by bag", "lives on bag"]


def test_a_link_that_two_events_hold_lost_is_back_with_the_later() -> None:
    made = day(
        "{at: 12:00, do: link lost, of: [cam], until: 12:10}\n{at: 12:05, do: link lost, of: [cam], until: 12:20}"
    )
    assert made.says("cam", "12:15") == "let go by box"
    assert made.says("cam", "12:20") == "lives on box"


def test_through_a_splitter_the_link_before_it_counts_too() -> None:
    made = shoot(
        """bag: {timecode: {from: own clock}}
        split: {able: {passes: {in: [out_1, out_2]}}}
        cam: {able: {ports: {tc_in: {in: [LTC]}}}, timecode: {from: tc_in, mode: continuous}}""",
        "{at: 12:00, do: link lost, to: split.in, until: 12:10}",
        links="""{from: bag.tc_out, to: split.in, carries: LTC, connected: all day}
            {from: split.out_1, to: cam.tc_in, carries: LTC, connected: all day}""",
    )
    assert made.says("cam", "11:00") == "lives on bag"
    assert made.says("cam", "12:05") == "let go by bag"
    assert "split" not in made.run.histories


# --- who comes and goes ---


def test_who_arrives_late_brings_a_time_of_its_own() -> None:
    made = day("{at: 15:00, do: arrive, of: [box]}")
    assert made.says("box", "14:59") == "away"
    assert made.says("cam", "14:59") == "own, whatever it was left at"
    assert made.line("box", "15:00") == made.line("cam", "15:00") == ("box", "LEFT")
    assert [jam.target for jam in made.run.jams] == []  # it was not there at 07:00
    made = day("{at: 15:00, do: arrive, of: [box]}\n{at: 15:10, do: jam, of: all}")
    assert made.line("cam", "15:10") == ("bag", "SET")


def test_who_leaves_keeps_its_time_and_lets_its_followers_go() -> None:
    made = day("{at: 12:00, do: leave, of: [box], until: 15:00}\n{at: 13:00, do: jam, of: all}")
    assert made.says("box", "13:00") == "away"
    assert made.says("cam", "13:00") == "let go by box"
    assert made.at("box", "15:00").time == made.at("box", "11:59").time
    assert made.says("cam", "15:00") == "lives on box"


def test_who_is_told_to_leave_twice_cannot_have() -> None:
    assert kinds(day("{at: 12:00, do: leave, of: [box]}\n{at: 13:00, do: leave, of: [box]}")) == ["NOT_THERE"]
    assert kinds(day("{at: 12:00, do: leave, of: [box]}\n{at: 13:00, do: power off, of: [box]}")) == ["NOT_THERE"]


# --- rolls, comparisons, what changes nothing ---


def test_a_roll_is_of_who_can() -> None:
    made = day(
        """{at: 08:00, do: power off, of: [small], until: 10:00}
        {at: 09:00, do: roll, of: all, until: 09:30}
        {at: 09:40, do: roll, of: [cam, small], until: 09:50}"""
    )
    first, second = made.run.rolls
    assert first.devices == ("cam",)  # of all, those that record and are on; the recorder here makes no file
    assert second.devices == ("cam",)
    assert kinds(made) == ["OFF"]
    assert first.length == 30 * 60
    assert (first.day, first.start) == (0, made.instant("09:00"))


def test_a_comparison_is_kept_and_changes_nothing() -> None:
    made = day("{at: 09:00, do: compare, of: [box, cam], against: bag, read_by: scope}")
    assert [(each.device, each.against, each.read_by) for each in made.run.comparisons] == [
        ("box", "bag", "scope"), ("cam", "bag", "scope"),
    ]  # fmt: skip
    assert plain(made.run) == plain(day("").run)


@pytest.mark.parametrize(
    "event", ["{at: 12:00, do: break, until: 13:00}", "{at: 12:00, do: move, to: the harbour, until: 13:00}"]
)
def test_a_break_and_a_move_change_nothing(event: str) -> None:
    assert plain(day(event).run) == plain(day("").run)


# --- kinds of devices ---


def test_a_device_in_record_run_counts_its_own_takes_whatever_reaches_it() -> None:
    rig = RIG.replace("mode: continuous", "mode: record run")
    made = day(
        """{at: 09:00, do: jam, of: [cam], from: bag}
            {at: 10:00, do: set, of: [cam], to: {timecode: {mode: continuous}}}""",
        rig=rig,
    )
    assert made.line("cam", "09:30") == ("cam", "TAKES")
    assert made.says("cam", "10:00") == "lives on box"
    made = day("{at: 09:00, do: set, of: [cam], to: {timecode: {mode: record run}}}")
    assert made.line("cam", "09:30") == ("cam", "TAKES")
    time = made.at("cam", "09:30").time
    assert time is not None
    assert time.through == ()


def test_who_lives_on_a_device_in_record_run_counts_its_takes() -> None:
    made = shoot(
        """cam: {timecode: {from: own clock, mode: record run}}
        rec: {able: {ports: {in: {in: [HDMI timecode]}}}, timecode: {from: in, mode: continuous}}""",
        "{at: 07:00, do: break, until: 08:00}",
        links="{from: cam.hdmi, to: rec.in, carries: HDMI timecode, connected: all day}",
    )
    assert made.line("rec", "09:00") == ("cam", "TAKES")


RADIO = """
master: {able: {ports: {radio: {out: [timecode]}}}, timecode: {from: own clock, mode: free run}}
box_1: {able: {ports: {radio: {in: [timecode]}, jack: {out: [LTC]}}, timecode: {loses_time_on: [power off]}},
  timecode: {from: radio, mode: continuous}}
box_2: {like: box_1}
cam: {able: {ports: {tc_in: {in: [LTC]}}}, timecode: {from: tc_in, mode: continuous}}
"""
GROUP = "radio_groups:\n  main: {sends: master.radio, receives: [box_1..box_2.radio], carries: timecode}\n"


def aired(events: str) -> Days:
    return shoot(RADIO, events, links="{from: box_1.jack, to: cam.tc_in, carries: LTC, connected: all day}", more=GROUP)


def test_a_group_on_the_air_lives_on_its_master() -> None:
    made = aired("{at: 12:00, do: set clock, of: [master]}")
    for key in ("box_1", "box_2", "cam"):
        assert made.line(key, "11:00") == ("master", "RUNNING")
        assert made.line(key, "12:00") == ("master", "SET")
    time = made.at("cam", "12:00").time
    assert time is not None
    assert time.through == ("box_1", "master")


def test_a_box_out_of_range_runs_by_itself_and_is_caught_again() -> None:
    made = aired("{at: 12:00, do: link lost, of: [box_1], until: 12:30}\n{at: 12:10, do: set clock, of: [master]}")
    assert made.says("box_1", "12:20") == "let go by master"
    assert made.says("cam", "12:20") == "lives on box_1"
    assert made.line("box_1", "12:20") == made.line("cam", "12:20") == ("master", "RUNNING")
    assert made.line("box_2", "12:20") == ("master", "SET")
    assert made.line("cam", "12:30") == ("master", "SET")


def test_the_air_of_the_master_gone_is_gone_for_all() -> None:
    made = aired("{at: 12:00, do: link lost, from: master.radio, until: 12:30}")
    assert [made.says(key, "12:20") for key in ("box_1", "box_2")] == ["let go by master"] * 2
    assert [made.says(key, "12:30") for key in ("box_1", "box_2")] == ["lives on master"] * 2


def test_a_box_whose_battery_is_changed_is_caught_by_the_air() -> None:
    made = aired("{at: 12:00, do: power off, of: [box_1], until: 12:04}")
    assert made.says("cam", "12:02") == "let go by box_1"
    assert made.line("cam", "12:04") == made.line("box_1", "12:04") == ("master", "RUNNING")
    assert made.run.unsure == ()


OUTSIDE = """
house: {able: {ports: {sky: {in: [GNSS]}, out: {out: [LTC]}}, timecode: {loses_time_on: [power off]}},
  timecode: {from: sky, mode: continuous}}
truck: {able: {ports: {sky: {in: [GNSS]}}}, timecode: {from: sky, mode: continuous}}
box: {able: {ports: {jack: {in: [LTC]}}, timecode: {loses_time_on: [power off]}}, timecode: {from: jack, mode: jam}}
"""
SKY = "{from: house.out, to: box.jack, carries: LTC, connected: to jam}"


def test_time_from_outside_is_one_line_wherever_it_comes_in() -> None:
    made = shoot(OUTSIDE, "{at: 07:00, do: jam, of: all}", links=SKY)
    assert (
        made.line("house", "06:00")
        == made.line("truck", "09:00")
        == made.line("box", "09:00")
        == ("outside", "OUTSIDE")
    )
    assert made.apart("house", "truck", "09:00") == 0


def test_who_takes_its_time_from_outside_has_it_again_with_its_power() -> None:
    made = shoot(
        OUTSIDE, "{at: 07:00, do: jam, of: all}\n{at: 12:00, do: power off, of: [house, box], until: 12:04}", links=SKY
    )
    assert made.line("house", "12:04") == ("outside", "OUTSIDE")
    assert made.line("box", "12:04") == ("box", "RESTARTED")  # it had it by a jam, and that is gone


def test_who_no_longer_listens_to_the_outside_goes_on_by_itself_and_back() -> None:
    made = shoot(
        OUTSIDE,
        """{at: 12:00, do: set, of: [house], to: {timecode: {from: own clock}}}
            {at: 14:00, do: set, of: [house], to: {timecode: {from: sky}}}""",
        links=SKY,
    )
    assert made.says("house", "13:00") == "let go by outside"
    assert made.line("house", "13:00") == ("outside", "OUTSIDE")
    assert made.line("house", "14:00") == ("outside", "OUTSIDE")
    assert made.says("house", "14:00") == "own, time from outside the rig"


def test_two_that_live_on_each_other_do_no_harm() -> None:
    made = shoot(
        """a: {able: {ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: in, mode: continuous}}
        b: {able: {ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: in, mode: continuous}}
        c: {able: {ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: in, mode: continuous}}""",
        "{at: 08:00, do: jam, of: [a], from: b}\n{at: 12:00, do: power off, of: [a], until: 13:00}",
        links="""{from: a.out, to: [b.in, c.in], carries: LTC, connected: all day}
            {from: b.out, to: a.in, carries: LTC, connected: all day}""",
    )
    assert {made.says(key, "11:00") for key in "abc"} == {"lives on a", "lives on b"}
    assert made.says("b", "12:30") == made.says("c", "12:30") == "let go by a"
    assert made.says("b", "13:00") == "lives on a"


def test_where_two_reach_one_port_the_one_that_is_alive_is_followed() -> None:
    made = shoot(
        """a: {timecode: {from: own clock}}
        b: {timecode: {from: own clock}}
        cam: {able: {ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: in, mode: continuous}}
        rec: {able: {ports: {in: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: in, mode: continuous}}""",
        "{at: 12:00, do: power off, of: [a], until: 13:00}",
        links="""{from: b.out, to: cam.in, carries: LTC, connected: all day}
        {from: a.out, to: cam.in, carries: LTC, connected: all day}
        {from: cam.out, to: rec.in, carries: LTC, connected: all day}""",
    )
    assert [made.line("rec", clock)[0] for clock in ("11:00", "12:30", "13:00")] == ["a", "b", "a"]


# --- nights ---


def test_a_shoot_across_midnight_is_one_day() -> None:
    made = shoot(
        RIG.replace("ABLE", "keeps_time_off: 2 h, at_power_up: own calendar clock"),
        """{at: 19:00, do: jam, of: all}
        {at: 23:30, do: power off, of: [bag], until: 01:30 +1}
        {at: 02:00 +1, do: roll, of: [cam], until: 02:30 +1}""",
        links=LEADS,
        day="call: 18:00, wrap: 04:00 +1",
    )
    assert kinds(made) == []
    assert made.says("bag", "00:30 +1") == "off"
    assert made.line("bag", "01:30 +1") == ("bag", "RUNNING")  # just the two hours it holds
    time = made.at("box", "02:00 +1").time
    assert time is not None
    assert time.age(made.instant("02:00 +1")) == 7 * 3600


def test_off_over_the_night_on_which_the_clocks_go_back_is_an_hour_longer() -> None:
    def bag(keeps: str) -> tuple[str, str]:
        devices = "\n".join(
            f"  {line}" for line in RIG.replace("ABLE", f"keeps_time_off: {keeps}").strip().splitlines()
        )
        made = lived(
            "synclint: setup/1\ntitle: Two days\nproject: {rate: 25}\ndays:\n"
            "  - {date: 2026-10-24, zone: Europe/Lisbon, events: [{at: 20:00, do: power off, of: [bag]}]}\n"
            f"  - {{date: 2026-10-25, zone: Europe/Lisbon, call: 08:00}}\ndevices:\n{devices}\n"
        )
        assert made.says("bag", "23:00") == "off"
        return made.line("bag", "08:00", 1)

    # From 20:00 to 08:00 are twelve hours by the clock and thirteen in truth.
    assert bag("12 h") == ("bag", "RESTARTED")
    assert bag("13 h") == ("bag", "RUNNING")


def test_the_time_of_one_day_is_the_time_of_the_next_unless_something_happens() -> None:
    made = lived(
        "synclint: setup/1\ntitle: Two days\nproject: {rate: 25}\ndays:\n"
        "  - {date: 2026-06-14, zone: Europe/Lisbon, call: 06:00, events: [{at: 07:00, do: jam, of: all}]}\n"
        "  - {date: 2026-06-15, zone: Atlantic/Azores, call: 06:00, events: [{at: 12:00, do: jam, of: all}]}\n"
        "devices:\n" + "\n".join(f"  {line}" for line in RIG.replace("ABLE", "").strip().splitlines()) + "\n"
        "links:\n" + "\n".join(f"  - {line}" for line in LEADS.strip().splitlines()) + "\n"
    )
    time = made.at("box", "11:59", 1).time
    assert time is not None
    # 28 h 59 min by the clocks, and the Azores are an hour behind Lisbon.
    assert time.age(made.instant("11:59", 1)) == 29 * 3600 + 59 * 60
    time = made.at("box", "12:00", 1).time
    assert time is not None
    assert time.age(made.instant("12:00", 1)) == 0


def test_the_states_of_a_stretch_begin_with_the_one_it_begins_in() -> None:
    made = day("{at: 12:00, do: power off, of: [bag], until: 12:04}")
    run = made.run
    for start, end, expected in [
        ("11:00", "11:30", [True]),
        ("11:00", "12:00", [True]),  # what begins at the end is not in it
        ("11:00", "12:02", [True, False]),
        ("12:00", "12:02", [False]),
        ("11:00", "13:00", [True, False, True]),
        ("12:00", "12:00", [False]),
        ("05:00", "05:30", [True]),
    ]:
        states = run.between("bag", made.instant(start), made.instant(end))
        assert [state.powered for state in states] == expected, (start, end)
