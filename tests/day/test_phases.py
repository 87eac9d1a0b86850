"""How far devices may be apart, to the last digit; what is worked out stands beside each number."""

from fractions import Fraction as F

import pytest

from tests.day.running import Days, lived, shoot

MS = F(1, 1000)
PPM = F(1, 1_000_000)


def at_home(clocks: dict[str, str], events: str, *, jam_error: str = "0.1 ms", more: str = "", links: str = "") -> Days:
    """A recorder that is the master, and boxes jammed from it or by name from each other; clocks are YAML."""
    rig = "\n".join(
        f"""{key}: {{able: {{ports: {{jack: {{in: [LTC, HDMI timecode], out: [LTC]}}}}, clock: {clock},
          timecode: {{jam_error: {jam_error}}}}}, timecode: {{rate: 25, {sets}}}}}"""
        for key, clock in clocks.items()
        for sets in ["from: own clock, mode: free run" if key == "master" else "from: jack, mode: jam"]
    )
    leads = links or "\n".join(
        f"{{from: master.jack, to: {key}.jack, carries: LTC, connected: to jam}}" for key in clocks if key != "master"
    )
    return shoot(f"{rig}\n{more}", events, links=leads)


# --- the worked numbers ---

TWO_BOXES = {"master": "{accuracy: 0.2 ppm}", "a": "{accuracy: 0.5 ppm}", "b": "{accuracy: 0.5 ppm}"}
CHAIN = "{at: 07:00, do: jam, of: [a]}\n{at: 09:00, do: jam, of: [c], from: a}\n{at: 11:00, do: jam, of: [a]}"


def test_two_boxes_jammed_ten_minutes_apart() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: [a]}\n{at: 07:10, do: jam, of: [b]}")
    # The master for 10 min more on one way than on the other: 0.2 ppm × 600 s    =  0.12 ms
    # A by itself from 07:00 to 13:10:                          0.5 ppm × 22,200 s = 11.1 ms
    # B by itself from 07:10 to 13:10:                          0.5 ppm × 21,600 s = 10.8 ms
    # Two jams of 0.1 ms:                                                             0.2 ms
    #                                                                                22.22 ms
    assert made.apart("a", "b", "13:10") == F("22.22") * MS
    assert made.apart("b", "a", "13:10") == F("22.22") * MS
    # A and the master part at the sum of both for 22,200 s: 0.7 ppm × 22,200 s = 15.54 ms, and A's jam: 15.64 ms.
    assert made.apart("a", "master", "13:10") == F("15.64") * MS
    # B and the master: 0.7 ppm × 21,600 s = 15.12 ms, and B's jam: 15.22 ms.
    assert made.apart("b", "master", "13:10") == F("15.22") * MS


def test_two_boxes_leave_half_a_frame_at_12_47() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: [a]}\n{at: 07:10, do: jam, of: [b]}")
    half = F(1001, 24_000) / 2  # 20.854 ms
    # At t seconds past 07:10 they may be 0.12 + 0.5 × (t + 600) / 1000 + 0.5 × t / 1000 + 0.2 ms apart, which is
    # 0.62 + t / 1000: 20.854 is reached at t = 20,234 s, which is 12:47:14.
    assert made.apart("a", "b", "12:47:14") == F("20.854") * MS
    assert F("20.854") * MS < half < F("20.855") * MS
    before, after = made.apart("a", "b", "12:47:14"), made.apart("a", "b", "12:47:15")
    assert before is not None
    assert after is not None
    assert before < half < after


def test_a_box_jammed_from_a_box_that_is_jammed_again_at_constant_rates() -> None:
    made = at_home({"master": "{accuracy: 0.2 ppm}", "a": "{accuracy: 0.5 ppm}", "c": "{accuracy: 1 ppm}"}, CHAIN)
    # C carries: the master until 07:00, A from 07:00 to 09:00, itself from 09:00 to 13:10. A: the master until 11:00,
    # itself from 11:00 to 13:10. What is left of the difference:
    # the master from 07:00 to 11:00:            0.2 ppm × 14,400 s                     =  2.88 ms
    # A from 07:00 to 09:00 less 11:00 to 13:10: 0.5 ppm × (7,200 s - 7,800 s), in size =  0.3 ms
    # C from 09:00 to 13:10:                     1 ppm × 15,000 s                       = 15 ms
    # three jams of 0.1 ms: A's two and C's                                                0.3 ms
    #                                                                                     18.48 ms
    assert made.apart("c", "a", "13:10") == F("18.48") * MS


def test_a_box_jammed_from_a_box_that_is_jammed_again_with_rates_free_within_their_bound() -> None:
    free = {"master": "0.2 ppm", "a": "0.5 ppm", "c": "1 ppm"}
    made = at_home({key: f"{{accuracy: 0 ppm, varying: {bound}}}" for key, bound in free.items()}, CHAIN)
    # A's two stretches are other moments, so they do not cancel: 0.5 ppm × (7,200 s + 7,800 s) = 7.5 ms for 0.3 ms.
    # 2.88 + 7.5 + 15 + 0.3 = 25.68 ms
    assert made.apart("c", "a", "13:10") == F("25.68") * MS


def test_a_rate_of_both_kinds_is_the_sum_of_both() -> None:
    both = {"master": (F("0.15"), F("0.05")), "a": (F("0.3"), F("0.2")), "c": (F("0.4"), F("0.6"))}
    made = at_home({k: f"{{accuracy: {float(f)} ppm, varying: {float(v)} ppm}}" for k, (f, v) in both.items()}, CHAIN)
    # the master: (0.15 + 0.05) × 14.4 = 2.88; A: 0.3 × 0.6 + 0.2 × 15 = 3.18; C: (0.4 + 0.6) × 15 = 15; jams 0.3 ms
    assert made.apart("c", "a", "13:10") == F("21.36") * MS


# --- jams ---


def test_at_the_jam_there_is_its_error_and_no_more() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}")
    assert made.apart("a", "master", "07:00") == F("0.1") * MS
    assert made.apart("a", "b", "07:00") == F("0.2") * MS
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}", jam_error="3 ms")
    assert made.apart("a", "b", "07:00") == 6 * MS


def test_before_the_jam_nobody_knows() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}")
    assert made.apart("a", "master", "06:59") is None
    assert made.apart("a", "b", "06:59") is None
    assert made.apart("a", "a", "06:59") == 0


def test_a_jam_that_nobody_states_the_error_of_is_a_tenth_of_a_millisecond_by_ltc() -> None:
    rig = """bag: {able: {clock: {accuracy: 0 ppm}}, timecode: {from: own clock}}
    cam: {able: {ports: {in: {in: [LTC]}}, clock: {accuracy: 0 ppm}}, timecode: {from: in, mode: jam, rate: 25}}"""
    lead = "{{from: bag.out, to: cam.in, carries: {}, connected: to jam}}"
    made = shoot(rig, "{at: 07:00, do: jam, of: all}", links=lead.format("LTC"))
    assert made.apart("bag", "cam", "09:00") == F("0.1") * MS


@pytest.mark.parametrize("carries", ["HDMI timecode", "SDI timecode", "data timecode"])
def test_a_jam_by_number_alone_leaves_up_to_a_frame(carries: str) -> None:
    rig = (
        "bag: {able: {clock: {accuracy: 0 ppm}}, timecode: {from: own clock}}\n"
        f"cam: {{able: {{ports: {{in: {{in: [{carries}]}}}}, clock: {{accuracy: 0 ppm}}}},\n"
        "  timecode: {from: in, mode: jam, rate: 25}}\n"
        "cam_2: {like: cam}"
    )
    made = shoot(
        rig,
        "{at: 07:00, do: jam, of: all}",
        links=f"{{from: bag.out, to: [cam.in, cam_2.in], carries: {carries}, connected: to jam}}",
    )
    # A frame at 25 is 40 ms, and the label is late by somewhat between nothing and that.
    offset = made.phases.offset("cam", "bag", made.instant("09:00"))
    assert offset is not None
    assert (offset.error.middle, offset.error.spread, offset.worst) == (20 * MS, 20 * MS, 40 * MS)
    assert made.apart("cam", "cam_2", "09:00") == 40 * MS  # one in time, the other a frame late


def test_a_round_of_all_takes_away_what_the_morning_left() -> None:
    made = at_home(
        TWO_BOXES, "{at: 07:00, do: jam, of: [a]}\n{at: 07:10, do: jam, of: [b]}\n{at: 12:40, do: jam, of: all}"
    )
    # From 12:40 to 13:10 are 1,800 s: twice 0.5 ppm × 1,800 s = 1.8 ms, and two jams.
    assert made.apart("a", "b", "13:10") == 2 * MS


def test_a_round_of_one_alone_makes_the_pair_no_worse_than_its_clocks() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}\n{at: 12:00, do: jam, of: [a]}")
    # A is of 12:00, B of 07:00: the master for 5 h, 0.2 × 18 = 3.6; A for 1 h, 1.8; B for 6 h, 10.8; two jams, 0.2 ms.
    assert made.apart("a", "b", "13:00") == F("16.4") * MS


# --- who lives on whom ---

CAM = """
cam: {able: {ports: {in: {in: [LTC]}}, clock: {accuracy: 2 ppm}}, timecode: {from: in, mode: continuous, rate: 25}}
"""
RIDING = (
    "{from: master.jack, to: [a.jack, b.jack], carries: LTC, connected: to jam}\n"
    "{from: a.jack, to: cam.in, carries: LTC, connected: all day}"
)


def riding(events: str) -> Days:
    return at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}\n" + events, more=CAM, links=RIDING)


def test_who_lives_on_a_box_is_as_far_off_as_the_box() -> None:
    made = riding("")
    assert made.apart("cam", "a", "13:00") == 0
    assert made.apart("cam", "master", "13:00") == made.apart("a", "master", "13:00")
    assert made.apart("cam", "b", "13:00") == F("21.8") * MS  # twice 0.5 × 6 × 3.6 = 10.8, and two jams


def test_who_is_let_go_drifts_by_its_own_clock_from_then_on() -> None:
    made = riding("{at: 11:00, do: link lost, of: [cam], until: 12:00}")
    # From 11:00 to 11:30, 1,800 s: 2 ppm of its own against the box's 0.5 ppm, and no jam between them: 3.6 + 0.9 ms.
    assert made.apart("cam", "a", "11:30") == F("4.5") * MS
    # Against the master: A until 11:00, 0.5 × 4 × 3.6 = 7.2; itself, 3.6; the master for 4.5 h, 0.2 × 16.2 = 3.24; and
    # A's jam.
    assert made.apart("cam", "master", "11:30") == F("14.14") * MS
    assert made.apart("cam", "a", "12:00") == 0


def test_a_box_that_was_off_and_held_its_time_has_drifted_all_the_while() -> None:
    hold = {"master": "{accuracy: 0.2 ppm}", "a": "{accuracy: 0.5 ppm}"}
    made = at_home(hold, "{at: 07:00, do: jam, of: all}\n{at: 10:00, do: power off, of: [a], until: 12:00}")
    assert made.apart("a", "master", "11:00") is None  # it is off
    assert made.apart("a", "master", "13:00") == F("15.22") * MS  # (0.5 + 0.2) × 21.6, and the jam


# --- pace ---


def paced(sound: str) -> Days:
    """Two cameras jammed from a recorder that are paced by one generator, and a third that is paced by itself."""
    rig = f"""bag: {{able: {{clock: {{accuracy: 0.5 ppm}}}}, timecode: {{from: own clock}}, clock: {{from: {sound}}}}}
    gen: {{able: {{ports: {{ref: {{out: [tri-level]}}}}, clock: {{accuracy: 3 ppm}}}}, clock: {{from: own clock}}}}
    cam_1: {{able: {{ports: {{tc: {{in: [LTC]}}, ref: {{in: [tri-level]}}}}, timecode: {{jam_error: 0 ms}},
      clock: {{accuracy: 20 ppm}}}}, timecode: {{from: tc, mode: jam}}, clock: {{from: ref}}}}
    cam_2: {{like: cam_1}}
    cam_3: {{like: cam_1, clock: {{from: own clock}}}}"""
    return shoot(
        rig,
        "{at: 07:00, do: jam, of: all}",
        links="""{from: bag.out, to: [cam_1..cam_3.tc], carries: LTC, connected: to jam}
            {from: gen.ref, to: [cam_1..cam_3.ref], carries: tri-level, connected: all day}""",
    )


def test_two_that_are_paced_by_one_do_not_part() -> None:
    made = paced("own clock")
    assert made.apart("cam_1", "cam_2", "17:00") == 0
    assert (
        made.apart("cam_1", "bag", "17:00") == 126 * MS
    )  # (3 + 0.5) × 10 × 3.6: the generator's clock, not the camera's
    assert made.apart("cam_1", "cam_3", "17:00") == 828 * MS  # (3 + 20) × 36


SKY = """
house: {able: {ports: {sky: {in: [GNSS]}, ref: {out: [tri-level]}}, clock: {accuracy: 5 ppm}},
  timecode: {from: sky, mode: continuous}, clock: {from: sky}}
box: {able: {ports: {jack: {in: [LTC]}}, timecode: {jam_error: 0 ms}, clock: {accuracy: 1 ppm}},
  timecode: {from: jack, mode: jam}}
cam: {able: {ports: {tc: {in: [LTC]}, ref: {in: [tri-level]}}, timecode: {jam_error: 0 ms}, clock: {accuracy: 20 ppm}},
  timecode: {from: tc, mode: jam}, clock: {from: ref}}
"""


def test_time_and_pace_from_outside_are_right() -> None:
    made = shoot(
        SKY,
        "{at: 07:00, do: jam, of: all}",
        links="""{from: house.ref, to: cam.ref, carries: tri-level, connected: all day}
            {from: house.ref, to: [box.jack, cam.tc], carries: LTC, connected: to jam}""",
    )
    assert made.apart("house", "cam", "17:00") == 0
    assert made.apart("house", "box", "17:00") == 36 * MS  # its own 1 ppm for 10 h


# --- what is known, assumed and lacking ---


def test_a_clock_that_nobody_knows_has_no_bound_unless_it_is_shared() -> None:
    made = at_home(
        {"master": "{}", "a": "{accuracy: 0.5 ppm}", "b": "{accuracy: 0.5 ppm}"}, "{at: 07:00, do: jam, of: all}"
    )
    assert made.apart("a", "master", "13:00") is None
    assert made.apart("a", "b", "13:00") == F("21.8") * MS  # jammed at one moment: the master is in both alike
    made = at_home(
        {"master": "{}", "a": "{accuracy: 0.5 ppm}", "b": "{accuracy: 0.5 ppm}"},
        "{at: 07:00, do: jam, of: [a]}\n{at: 07:10, do: jam, of: [b]}",
    )
    assert made.apart("a", "b", "13:00") is None
    made = at_home({"master": "{accuracy: 0.2 ppm}", "a": "{}"}, "{at: 07:00, do: jam, of: all}")
    assert made.apart("a", "master", "13:00") is None


CLASSES = """
bag: {able: {class: field recorder, ports: {out: {out: [LTC]}}}, timecode: {from: own clock}}
cam: {able: {class: cinema camera, ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}
cam_2: {able: {class: cinema camera, clock: {accuracy: 1 ppm}, ports: {in: {in: [LTC]}}},
  timecode: {from: in, mode: jam}}
"""


def test_what_is_assumed_of_a_class_is_told_with_the_number() -> None:
    made = shoot(
        CLASSES,
        "{at: 07:00, do: jam, of: all}",
        links="{from: bag.out, to: [cam.in, cam_2.in], carries: LTC, connected: to jam}",
    )
    at = made.instant("08:00")
    # A cinema camera is assumed within 5 ppm and to wander by two fifths of that, a recorder within 1 and to wander
    # 0.4: (5 + 2 + 1 + 0.4) × 3.6 = 30.24 ms, and a jam of 0.1 ms.
    offset = made.phases.offset("bag", "cam", at)
    assert offset is not None
    assert offset.worst == F("30.34") * MS
    assert {fact.value for fact in offset.facts if fact.assumed} == {5, 2, 1, F("0.4")}
    # A stated accuracy is the whole of it; and the recorder, which both share, is of no account.
    offset = made.phases.offset("cam", "cam_2", at)
    assert offset is not None
    assert offset.worst == (7 + 1) * F("3.6") * MS + F("0.2") * MS
    assert [fact.value for fact in offset.facts] == [5, 2, 1, 0]


def test_two_lines_of_time_have_no_bound() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}\n{at: 10:00, do: set clock, of: [b]}")
    assert made.apart("a", "b", "09:59") is not None
    assert made.apart("a", "b", "10:00") is None
    assert made.apart("a", "master", "10:00") is not None


def test_who_is_off_or_away_has_no_time_to_compare() -> None:
    made = at_home(TWO_BOXES, "{at: 07:00, do: jam, of: all}\n{at: 10:00, do: leave, of: [a]}")
    assert made.apart("a", "b", "11:00") is None
    assert made.phases.at("a", made.instant("11:00")) is None


def test_a_time_that_went_to_and_fro_for_years_is_no_trouble() -> None:
    # Each day the box is jammed in the morning and gives the time back at lunch: 1,200 hands in the end.
    events = "{at: 07:00, do: jam, of: [box]}, {at: 13:00, do: jam, of: [bag], from: box}"
    year = "\n".join(f"  - {{call: 06:00, events: [{events}]}}" for _ in range(600))
    made = lived(
        f"synclint: setup/1\ntitle: To and fro\nproject: {{rate: 25}}\ndays:\n{year}\ndevices:\n"
        "  bag: {able: {clock: {accuracy: 1 ppm}}, timecode: {from: own clock}}\n"
        "  box:\n"
        "    able: {clock: {accuracy: 2 ppm}, timecode: {jam_error: 0 ms}, ports: {jack: {in: [LTC]}}}\n"
        "    timecode: {from: jack, mode: jam}\n"
        "links:\n  - {from: bag.out, to: box.jack, carries: LTC, connected: to jam}\n"
    )
    time = made.at("bag", "20:00", 599).time
    assert time is not None
    assert len(time.hands) == 1200
    # The recorder is of 13:00, as is the box's counter that it took: 7 h of both since, and the jam of 0.1 ms.
    assert made.apart("bag", "box", "20:00", 599) == 3 * F("25.2") * MS + F("0.1") * MS


def test_boxes_that_are_tuned_to_each_other_for_years_are_no_trouble() -> None:
    # The box is jammed in the morning from the spare, and the spare at lunch from the box: 1,200 hands in the end.
    events = "{at: 07:00, do: jam, of: [box], from: spare}, {at: 13:00, do: jam, of: [spare], from: box}"
    year = "\n".join(f"  - {{call: 06:00, events: [{events}]}}" for _ in range(600))
    able = (
        "able: {clock: {accuracy: 2 ppm, tunes_to: 0.1 ppm}, timecode: {jam_error: 0 ms}, ports: {jack: {in: [LTC]}}}"
    )
    made = lived(
        f"synclint: setup/1\ntitle: In turn\nproject: {{rate: 25}}\ndays:\n{year}\ndevices:\n"
        f"  box: {{{able}, timecode: {{from: jack, mode: jam}}}}\n  spare: {{like: box}}\n"
    )
    time = made.at("spare", "20:00", 599).time
    assert time is not None
    assert len(time.hands) == 1200
    # 7 h since the spare was tuned to the box, at 0.1 ppm: 0.1 × 25.2 ms.
    assert made.apart("box", "spare", "20:00", 599) == F("2.52") * MS
