"""Devices whose rates differ; the numbers are exact arithmetic on 1000/1001 unless a source is named."""

import pytest

from synclint.documents.reading import load_text
from synclint.findings import Level, Mended, SetValue
from synclint.rig.build import build
from synclint.rules.framework import Case, Rule
from synclint.rules.label_rates import odds, standards
from synclint.rules.off_speed import off_speed_camera_in_a_sync_scene, stretched_labels_collide
from synclint.rules.rate_costs import conversion
from synclint.rules.rates import (
    RULES,
    drop_and_non_drop_mixed,
    rates_a_thousandth_apart,
    rates_nearly_second_aligned,
    rates_not_second_aligned,
    second_aligned_rates_differ,
)
from synclint.rules.speed import pull_not_matched_by_the_picture
from synclint.rules.unit_rates import units_at_different_rates
from synclint.trade.rates import parse_label_rate
from tests.rules.running import Came, came_of, rig

DAY = "call: 06:30, wrap: 19:00, longest_take: 45 min"  # 12.5 h
FIRST = "timecode: {from: own clock, mode: free run"


def pair(bag: str, cam: str, *, project: str = "", day: str = "", able: str = "") -> str:
    """A recorder that jams a camera; the camera's picture is not described."""
    devices = f"""\
  bag: {{{FIRST}, rate: {bag}}}}}
  cam: {{timecode: {{from: tc_in, mode: jam, rate: {cam}}}, records: {{timecode_on: [file]}}{able}}}
"""
    links = "  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: to jam}"
    return rig(devices, project=project or f"rate: {bag}", day=day, links=links)


def only(rule: Rule, text: str) -> Came:
    """What comes of one rule, where no other of this group may say anything."""
    for other in RULES:
        if other.name != rule.name:
            assert came_of(other, text).silent, other.name
    return came_of(rule, text)


def none(text: str) -> bool:
    return all(came_of(rule, text).silent for rule in RULES)


# --- a thousandth ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("agreed", "set_to"),
    [
        ("23.976", "24"),
        ("24", "23.98"),
        ("29.97 NDF", "30"),
        ("30", "29.97 NDF"),
        ("59.94 NDF", "60"),
        ("24", "47.952"),
    ],
)
def test_a_thousandth_is_told_at_every_rate(agreed: str, set_to: str) -> None:
    came = only(rates_a_thousandth_apart, pair(agreed, set_to))
    assert came.one.level is Level.ERROR
    # 3600 s x (1 - 1000/1001) = 3600/1001 s = 3.5964 s an hour
    assert came.amounts["labels apart"] == pytest.approx(3600 / 1001)


def test_what_a_thousandth_costs_on_this_day() -> None:
    came = only(rates_a_thousandth_apart, pair("23.976", "24", day=DAY))
    # 45 min: 2700/1001 = 2.697 s; 12.5 h: 45000/1001 = 44.955 s
    assert came.amounts["apart over the longest take"] == pytest.approx(2.6973, abs=1e-4)
    assert came.amounts["apart over the day"] == pytest.approx(44.955, abs=1e-3)
    # a frame of 24 each 1001/24 = 41.7 s; 24 x 3.5964 = 86.3 frames an hour
    assert "3.596 s an hour (86.3 frames of 24), a frame every 41.7 s" in came.one.cost_sentence
    assert "2.7 s over the longest take of 45 min and 45 s over the day of 12 h 30 min" in came.one.cost_sentence
    assert came.one.sentence == "cam counts true 24 where the project counts 23.976"


def test_without_a_day_the_cost_is_told_by_the_hour_only() -> None:
    assert "over the" not in came_of(rates_a_thousandth_apart, pair("23.976", "24")).one.cost_sentence


def test_the_fix_sets_the_agreed_rate() -> None:
    fix = came_of(rates_a_thousandth_apart, pair("23.976 NDF", "24")).one.fix
    assert fix is not None
    assert [(str(edit.place), edit.value) for edit in fix.edits if isinstance(edit, SetValue)] == [
        ("devices/cam/timecode/rate", "23.976 NDF")
    ]


def test_a_device_without_the_rate_is_given_the_one_whose_seconds_agree() -> None:
    able = ", able: {timecode: {rates: [24, 29.97 NDF]}}"
    came = came_of(rates_a_thousandth_apart, pair("23.976", "24", able=able))
    assert came.one.fix_sentence == "Set cam, which has no 23.976, to 29.97 NDF; jam on a whole second and tell post"
    able = ", able: {timecode: {rates: [24, 25]}}"
    hired = came_of(rates_a_thousandth_apart, pair("23.976", "24", able=able)).one
    assert (hired.fix_sentence, hired.mended) == ("Take another device for cam: it has no 23.976", Mended.RENTAL)
    assert came.one.mended is Mended.MORNING


def test_a_small_camera_may_only_be_named_so() -> None:
    able = ", able: {class: small camera}"
    assert "where the menu says 24 for 23.976, write 23.976" in (
        came_of(rates_a_thousandth_apart, pair("23.976", "24", able=able)).one.fix_sentence
    )


def test_a_kit_says_what_the_menu_means() -> None:
    assert none(pair("23.976", "24", able=", able: {rate_names: {24: 23.976}}"))


def test_equal_faults_are_one_finding() -> None:
    devices = f"""\
  bag: {{{FIRST}, rate: 23.976}}}}
  cam_a: {{timecode: {{from: own clock, mode: free run, rate: 24}}, records: {{timecode_on: [file]}}}}
  cam_b: {{timecode: {{from: own clock, mode: free run, rate: 24}}, records: {{timecode_on: [file]}}}}
"""
    came = only(rates_a_thousandth_apart, rig(devices, project="rate: 23.976"))
    assert came.one.sentence == "cam_a and cam_b count true 24 where the project counts 23.976"


def test_the_picture_counts_where_the_label_does_not() -> None:
    # timecode goes on a track, so only the picture's own rate is left to be wrong
    cam = "  cam: {records: {picture: {shot_at: 24}, timecode_on: [left]}}"
    came = only(rates_a_thousandth_apart, rig(cam, project="rate: 23.976"))
    assert came.one.sentence == "cam shoots true 24 where the project counts 23.976"
    assert str(came.one.at) == "devices/cam/records/picture/shot_at"


def test_a_picture_whose_labels_are_right_parts_from_the_sound() -> None:
    # 24 played at 24000/1001 lasts 1.001 times as long: 3600 s shot become 3603.6 s, 2700 s 2702.7 s (exact arithmetic)
    jam = "events: [{at: 07:00, do: jam, of: all}, {at: 12:42, do: jam, of: all}]"
    cam = "  cam: {records: {picture: {shot_at: 24, played_at: 24}, timecode_on: [left]}}"
    came = only(rates_a_thousandth_apart, rig(cam, project="rate: 23.976", day=f"{DAY}, {jam}"))
    assert came.one.cost_sentence == (
        "played at 23.976 its picture parts from the sound by 3.6 s an hour, 2.7 s over the longest take of 45 min"
    )
    assert came.amounts["picture beside sound"] == pytest.approx(3.6, abs=1e-9)
    assert came.amounts["apart over the longest take"] == pytest.approx(2.7, abs=1e-9)
    # the other way round 3600 s become 3600 x 1000/1001 = 3596.4036 s
    cam = cam.replace("24", "23.976")
    came = only(rates_a_thousandth_apart, rig(cam, project="rate: 24"))
    assert came.amounts["picture beside sound"] == pytest.approx(3600 / 1001, abs=1e-9)
    assert "played at 24 its picture parts from the sound by 3.596 s an hour" in came.one.cost_sentence


def test_above_30_a_picture_a_thousandth_off_keeps_its_double_rate() -> None:
    cam = "  cam: {records: {picture: {shot_at: 60, played_at: 60}, timecode_on: [left]}}"
    one = only(rates_a_thousandth_apart, rig(cam, project="rate: 29.97 NDF")).one
    assert "played at 59.94 its picture parts from the sound by 3.6 s an hour" in one.cost_sentence
    assert one.fix_sentence == "Shoot 59.94 on cam"


def test_a_picture_far_off_whose_labels_are_right_is_converted() -> None:
    cam = "  cam: {records: {picture: {shot_at: 25, played_at: 25}, timecode_on: [left]}}"
    one = only(rates_not_second_aligned, rig(cam, project="rate: 23.976", day=DAY)).one
    # 25 played at 24000/1001: 1 - 24000/25025 = 4.096 %; 3600 s x 25025/24000 = 3753.75 s (exact arithmetic)
    assert one.cost_sentence == (
        "every shot at 25 is converted to 23.976 or played 4.1 % slow, an hour of it 2 min 34 s longer"
    )


def test_a_picture_at_29_97_in_a_film_at_23_976_is_converted() -> None:
    picture = "picture: {shot_at: 29.97, played_at: 29.97}"
    cam = f"  cam: {{{FIRST}, rate: 29.97 NDF}}, records: {{{picture}, timecode_on: [file]}}}}"
    one = only(second_aligned_rates_differ, rig(cam, project="rate: 23.976")).one
    assert one.level is Level.WARNING
    assert "every shot at 29.97 is converted to 23.976" in one.cost_sentence


def test_a_device_that_no_jam_is_about_parts_over_the_day() -> None:
    lone = f"  lone: {{{FIRST}, rate: 24}}, records: {{timecode_on: [file]}}}}"
    devices = f"{lone}\n  bag: {{{FIRST}, rate: 23.976}}}}"
    day = f"{DAY}, events: [{{at: 07:00, do: jam, of: [bag]}}]"
    came = only(rates_a_thousandth_apart, rig(devices, project="rate: 23.976", day=day))
    # 12.5 h: 45000/1001 = 44.955 s
    assert came.amounts["apart over the day"] == pytest.approx(44.955, abs=1e-3)
    came = only(rates_a_thousandth_apart, rig(devices, project="rate: 23.976", day=day.replace("[bag]", "all")))
    # from 07:00 to 19:00 12 h: 43200/1001 = 43.157 s
    assert came.amounts["apart at wrap"] == pytest.approx(43.157, abs=1e-3)


def test_rates_are_compared_once_for_all_rules() -> None:
    loaded = load_text(pair("23.976", "24"), "rig.setup.yaml").document
    assert loaded is not None
    case = Case(build(loaded, ()).setup)
    assert odds(case) is odds(case)
    assert standards(case) is standards(case)
    assert len(odds(case)) == 1


def test_a_picture_slowed_by_design_is_right() -> None:
    cam = "  cam: {records: {picture: {shot_at: 24, played_at: 23.976}, timecode_on: [left]}}"
    assert none(rig(cam, project="rate: 23.976"))


def film(
    *,
    project: str = "rate: 24",
    picture: str = "shot_at: 24, played_at: 23.976",
    sound: str = "sample_rate: 48.048 kHz, stamped: 48 kHz",
    label: str = "24",
    bag: str = "24",
    more: str = "",
) -> str:
    """A film shot at 24 and played at 23.976, the sound recorded 0.1 % fast to be slowed with it."""
    devices = f"""\
  bag: {{{FIRST}, rate: {bag}}}, records: {{sound: {{{sound}}}, timecode_on: [file]}}}}
  cam: {{timecode: {{from: tc_in, mode: jam, rate: {label}}}, records: {{picture: {{{picture}}}, timecode_on: [file]}}}}
{more}"""
    links = "  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: to jam}"
    return rig(devices, project=project, day=DAY, links=links)


STAMPED_DOWN = "sample_rate: 48 kHz, stamped: 47.952 kHz"  # 0.999, and 1000/1001 is 0.999001: 1 ppm beside it
PLAIN = "sample_rate: 48 kHz"


def test_a_film_pulled_as_a_whole_is_right() -> None:
    # 24000/1001 over 24 and 48,000 over 48,048 are both 1000/1001 (exact arithmetic)
    for project in ("rate: 24", "rate: 24, post: {rate: 23.976}", "rate: 23.976, post: {rate: 23.976}", "rate: 23.976"):
        assert none(film(project=project)), project
        assert none(film(project=project, sound=STAMPED_DOWN)), project


def test_sound_that_is_not_pulled_with_the_film_is_told_by_the_rule_on_speeds() -> None:
    for project in ("rate: 24", "rate: 24, post: {rate: 23.976}", "rate: 23.976"):
        assert none(film(project=project, sound=PLAIN)), project
        assert came_of(pull_not_matched_by_the_picture, film(project=project, sound=PLAIN)).one.who == ("bag",)


def test_a_pull_that_post_does_not_want_is_told() -> None:
    one = only(rates_a_thousandth_apart, film(project="rate: 24, post: {rate: 24}")).one
    assert one.sentence == "cam plays 23.976 where the project counts true 24"
    assert one.fix_sentence == "Have the files of cam interpreted (conformed) at true 24"


def test_who_counts_otherwise_than_a_pulled_film_is_told() -> None:
    box = f"  box: {{{FIRST}, rate: 23.976}}, records: {{timecode_on: [file]}}}}\n"
    one = only(rates_a_thousandth_apart, film(project="rate: 23.976", more=box)).one
    assert one.sentence == "box counts 23.976 where cam, shot to be played at 23.976, counts true 24"
    assert one.fix_sentence == "Set box to true 24 before the jam"
    # one camera alone makes no film of it where the sound is plain and the others count the project's rate
    one = only(rates_a_thousandth_apart, film(project="rate: 23.976", bag="23.976", sound=PLAIN)).one
    assert one.sentence == "cam counts true 24 where the project counts 23.976"


BASE = "timecode: {from: tc_in, mode: jam, rate: %s}, records: {picture: {shot_at: %s}, timecode_on: [file]}"


@pytest.mark.parametrize(
    ("agreed", "rate", "shot", "rule"),
    [
        ("29.97 NDF", "23.976 NDF", "23.976", second_aligned_rates_differ),
        ("23.976", "29.97 NDF", "29.97", second_aligned_rates_differ),
        ("25", "30", "30", second_aligned_rates_differ),
        ("25", "29.97 NDF", "29.97", rates_not_second_aligned),
    ],
)
def test_a_camera_that_counts_what_it_shoots_is_no_off_speed_camera(
    agreed: str, rate: str, shot: str, rule: Rule
) -> None:
    text = rig(f"  cam: {{{BASE % (rate, shot)}}}", project=f"rate: {agreed}", day=DAY)
    one = only(rule, text).one
    assert one.level is (Level.WARNING if rule is second_aligned_rates_differ else Level.ERROR)
    assert f"every shot at {shot} is converted to {agreed.removesuffix(' NDF')}" in one.cost_sentence
    assert came_of(stretched_labels_collide, text).silent
    assert came_of(off_speed_camera_in_a_sync_scene, text).silent


def test_a_unit_that_is_told_to_change_takes_those_along_that_are_right() -> None:
    devices = f"""\
  bag: {{{FIRST}, rate: 29.97 NDF}}}}
  bag_2: {{unit: second, {FIRST}, rate: 29.97 DF}}}}
  cam_2: {{unit: second, timecode: {{from: tc_in, mode: jam, rate: 29.97 NDF}}, records: {{timecode_on: [file]}}}}
"""
    links = "  - {from: bag_2.tc_out, to: cam_2.tc_in, carries: LTC, connected: to jam}"
    units = "  second: {master: bag_2, cut_with: main, shares_timecode: false}"
    text = rig(devices, project="rate: 29.97 NDF", links=links, units=units)
    assert none(text)
    assert "Set all of unit second to 29.97 NDF" in came_of(units_at_different_rates, text).one.fix_sentence
    alone = text.replace(", cut_with: main", "")
    assert only(drop_and_non_drop_mixed, alone).one.who == ("cam_2",)


def test_labels_and_picture_alike_are_one_finding_that_mends_both() -> None:
    cam = f"  cam: {{{FIRST}, rate: 24}}, records: {{picture: {{shot_at: 24, played_at: 24}}, timecode_on: [file]}}}}"
    one = only(rates_a_thousandth_apart, rig(cam, project="rate: 23.976")).one
    assert one.fix is not None
    assert len(one.fix.edits) == 3


def test_labels_right_and_picture_wrong() -> None:
    cam = (
        f"  cam: {{{FIRST}, rate: 23.976}}, records: {{picture: {{shot_at: 24, played_at: 24}}, timecode_on: [file]}}}}"
    )
    assert "shoots true 24" in only(rates_a_thousandth_apart, rig(cam, project="rate: 23.976")).one.sentence


def test_a_device_that_nobody_set_is_not_judged() -> None:
    came = came_of(
        rates_a_thousandth_apart, rig("  box: {timecode: {from: own clock, mode: free run}}", project="rate: 25")
    )
    assert came.lacks == ["the rate that box is set to count (timecode: rate)"]


# --- drop frame ------------------------------------------------------------------------------------------------


def test_drop_and_non_drop() -> None:
    # ST 12-1:2014 as tabulated in secondary texts: 2 labels a minute save every tenth: 18 in ten minutes, 108 an hour
    came = only(drop_and_non_drop_mixed, pair("29.97 NDF", "29.97 DF", day=DAY))
    assert came.one.level is Level.ERROR
    assert came.amounts["labels apart"] == 108
    assert "2 apart after the first minute, 18 after ten and 108 after an hour (3.6 s)" in came.one.cost_sentence
    # an hour of the day holds 30,000/1001 x 3600 = 107,892 frames and so 108 leaps: 12.5 h 1350, 45 min 81, of 1/30 s
    assert came.amounts["apart over the day"] == pytest.approx(45, abs=1e-3)
    assert "81 labels (2.7 s) over the longest take of 45 min and 1350 labels (45 s)" in came.one.cost_sentence


def test_drop_and_non_drop_at_59_94_keep_their_rate() -> None:
    came = only(drop_and_non_drop_mixed, pair("29.97 DF", "59.94 NDF"))
    assert came.one.fix_sentence == "Set cam to 59.94 DF before the jam"


def test_a_camera_that_cannot_count_so_is_told() -> None:
    able = ", able: {timecode: {rates: [29.97 NDF]}}"
    assert (
        "has no 29.97 DF" in came_of(drop_and_non_drop_mixed, pair("29.97 DF", "29.97 NDF", able=able)).one.fix_sentence
    )


# --- other pairs -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("agreed", "set_to", "hourly"),
    [
        # 29.97 DF runs at 2592000/2589408 of the pace of 23.976 (1000/1001): 3600.0036 - 3596.4036 = 3.600 s
        ("23.976", "29.97 DF", 3.6),
        ("23.976", "25", 3600 / 1001),
        ("25", "23.976", 3600 / 1001),
        ("24", "29.97 NDF", 3600 / 1001),
        ("25", "59.94 NDF", 3600 / 1001),
    ],
)
def test_pairs_that_do_not_keep_their_seconds(agreed: str, set_to: str, hourly: float) -> None:
    came = only(rates_not_second_aligned, pair(agreed, set_to))
    assert came.one.level is Level.ERROR
    assert came.amounts["labels apart"] == pytest.approx(hourly, abs=1e-4)


def test_drop_frame_beside_23_976() -> None:
    came = only(
        rates_not_second_aligned, pair("23.976", "29.97 DF", day="call: 08:00, wrap: 18:00, longest_take: 10 min")
    )
    # 108 labels of 29.97 an hour; 10 min: 0.6 s, 18 labels; 10 h: 36 s
    assert "108 frames of 29.97" in came.one.cost_sentence
    assert came.amounts["apart over the longest take"] == pytest.approx(0.6, abs=1e-4)
    assert came.amounts["apart over the day"] == pytest.approx(36, abs=1e-3)
    assert "29.97 NDF, whose whole seconds agree" in came.one.fix_sentence


def test_what_is_right_at_the_jam_grows_from_there() -> None:
    jam, lunch = "{at: 06:50, do: jam, of: all}", "{at: 12:00, do: break, until: 12:45}"
    day = f"call: 06:30, wrap: 20:00, events: [{jam}, {lunch}]"
    # 3.6 s an hour: 5 h 10 min to lunch 18.6 s, 13 h 10 min to wrap 47.4 s
    came = came_of(rates_not_second_aligned, pair("23.976", "29.97 DF", day=day))
    assert came.amounts["apart at the break"] == pytest.approx(18.6, abs=1e-3)
    assert came.amounts["apart at wrap"] == pytest.approx(47.4, abs=1e-3)
    assert "18.6 s at the break (12:00) and 47.4 s at wrap (20:00), counted from the jam" in came.one.cost_sentence
    again = day.replace(lunch, f"{lunch}, {jam.replace('06:50', '12:40')}")
    came = came_of(rates_not_second_aligned, pair("23.976", "29.97 DF", day=again))
    # to 12:40 5 h 50 min: 21 s
    assert came.amounts["apart at the next jam"] == pytest.approx(21, abs=1e-3)
    assert "apart at wrap" not in came.amounts


def test_a_picture_at_another_rate_is_converted_too() -> None:
    cam = f"  cam: {{{FIRST}, rate: 25}}, records: {{picture: {{shot_at: 25, played_at: 25}}, timecode_on: [file]}}}}"
    one = only(rates_not_second_aligned, rig(cam, project="rate: 23.976")).one
    # 25 played at 24000/1001: 1 - 24000/25025 = 4.096 % slow, an hour in 3753.75 s
    assert "played 4.1 % slow, an hour of it 2 min 34 s longer" in one.cost_sentence


@pytest.mark.parametrize(
    ("shot", "wanted", "says"),
    [
        # an hour lasts 3600 s x shot / played (exact arithmetic)
        ("23.976", "25", "played 4.27 % fast, an hour of it 2 min 27 s shorter"),  # 3600 x 24000/25025 = 3452.54 s
        ("25", "23.976", "played 4.1 % slow, an hour of it 2 min 34 s longer"),  # 3600 x 25025/24000 = 3753.75 s
        ("24", "25", "played 4.17 % fast, an hour of it 2 min 24 s shorter"),  # 3600 x 24/25 = 3456 s
        ("25", "24", "played 4 % slow, an hour of it 2 min 30 s longer"),  # 3600 x 25/24 = 3750 s
        ("24", "23.976", "played 0.1 % slow, an hour of it 3.6 s longer"),  # 3600 x 1.001 = 3603.6 s
        ("29.97", "24", "with frames left out or made up each second"),
    ],
)
def test_what_a_conversion_makes_of_an_hour(shot: str, wanted: str, says: str) -> None:
    assert conversion(parse_label_rate(shot), parse_label_rate(wanted)).endswith(says)


@pytest.mark.parametrize(
    ("agreed", "set_to"), [("25", "29.97 DF"), ("29.97 DF", "24"), ("30", "29.97 DF"), ("29.97 DF", "50")]
)
@pytest.mark.parametrize(
    ("tolerance", "level"), [("1 frame", Level.WARNING), ("120 ms", Level.WARNING), ("121 ms", Level.NOTE)]
)
def test_drop_frame_beside_real_seconds(agreed: str, set_to: str, tolerance: str, level: Level) -> None:
    # ST 2059-1 9.1.2 as tabulated in secondary texts, and arithmetic: -59.97 to +60.53 ms, 86.4 ms a day; what was
    # jammed at one end of that is 59.97 + 60.53 = 120.5 ms out at the other
    text = pair(agreed, set_to, project=f"rate: {agreed}, tolerance: {tolerance}")
    came = only(rates_nearly_second_aligned, text)
    assert came.one.level is level
    assert came.amounts == {
        "stray, jammed on a ten-minute mark": 60.5,
        "stray, jammed at another time": 120.5,
        "labels apart": 86.4,
    }
    assert "up to 60 ms if jammed on a ten-minute mark, up to 120 ms otherwise" in came.one.cost_sentence
    assert came.one.fix_sentence.endswith("before the jam, or jam at hh:m0:00")


@pytest.mark.parametrize(
    ("agreed", "set_to", "frame"),
    [("24", "25", 41.667), ("25", "30", 40.0), ("30", "24", 41.667), ("50", "24", 41.667)],
)
def test_whole_seconds_that_agree_get_a_note(agreed: str, set_to: str, frame: float) -> None:
    came = only(second_aligned_rates_differ, pair(agreed, set_to))
    assert came.one.level is Level.NOTE
    assert came.amounts["frame numbers apart"] == pytest.approx(frame, abs=1e-3)


# --- where silence is right ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("agreed", "set_to"),
    [
        ("23.976 NDF", "29.97 NDF"),  # second-aligned
        ("29.97 NDF", "23.98"),
        ("23.976", "24000/1001"),
        ("25", "50"),  # a label for a pair
        ("29.97 DF", "59.94 DF"),
        ("29.97 NDF", "29.97"),  # the count is asked for by another rule
        ("25", "25 DF"),  # the flag is told by another rule
        ("29.97 DF", "30 DF"),
        ("23.976", "24p"),  # the name is asked about by another rule
    ],
)
def test_silence_about_pairs(agreed: str, set_to: str) -> None:
    assert none(pair(agreed, set_to))


def test_silence_about_a_device_whose_label_nobody_reads() -> None:
    devices = f"  cam: {{{FIRST}, rate: 24}}, records: {{timecode_on: [left]}}}}"
    assert none(rig(devices, project="rate: 23.976"))
    # but what it sends to others is read
    links = "  - {from: cam.out, to: box.jack, carries: LTC, connected: to jam}"
    text = rig(f"{devices}\n  box: {{}}", project="rate: 23.976", links=links)
    assert len(came_of(rates_a_thousandth_apart, text).findings) == 1


def test_silence_about_a_camera_that_only_starts_others() -> None:
    assert none(rig(f"  cam: {{{FIRST}, rate: 24}}, trigger: true}}", project="rate: 23.976"))


def test_silence_about_a_camera_that_stamps_over_what_it_follows() -> None:
    # told by the rule on stamps, and its picture with it
    picture = "picture: {shot_at: 24, played_at: 24}"
    devices = f"""\
  bag: {{{FIRST}, rate: 23.976}}}}
  cam: {{timecode: {{from: tc_in, mode: continuous, rate: 24}}, records: {{{picture}, timecode_on: [file]}}}}
"""
    links = "  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: all day}"
    assert none(rig(devices, project="rate: 23.976", links=links))


def test_a_follower_that_is_wrong_with_its_master_is_told_with_it() -> None:
    devices = f"""\
  bag: {{{FIRST}, rate: 24}}}}
  cam: {{timecode: {{from: tc_in, mode: continuous, rate: 24}}, records: {{timecode_on: [file]}}}}
"""
    links = "  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: all day}"
    came = only(rates_a_thousandth_apart, rig(devices, project="rate: 23.976", links=links))
    assert came.one.who == ("bag", "cam")


def test_silence_about_off_speed_pictures() -> None:
    for picture in ("{shot_at: 48, played_at: 23.976}", "{shot_at: 48}", "{shot_at: 12}", "{shot_at: variable}"):
        cam = f"  cam: {{records: {{picture: {picture}, timecode_on: [left]}}}}"
        assert none(rig(cam, project="rate: 23.976")), picture


# --- what devices are compared with ----------------------------------------------------------------------------


def test_without_a_project_the_master_speaks() -> None:
    one = only(rates_a_thousandth_apart, pair("23.976", "24", project="sample_rate: 48 kHz")).one
    assert one.sentence == "cam counts true 24 where bag, the master, counts 23.976"


def test_a_declared_master_speaks_before_the_one_that_leads() -> None:
    text = pair("23.976", "24", project="master: {timecode: cam}")
    assert only(rates_a_thousandth_apart, text).one.who == ("bag",)


def test_without_a_master_most_devices_speak() -> None:
    devices = "\n".join(
        f"  {key}: {{{FIRST}, rate: {rate}}}}}" for key, rate in (("a", "24"), ("b", "23.976"), ("c", "23.976"))
    )
    one = only(rates_a_thousandth_apart, rig(devices, project="sample_rate: 48 kHz")).one
    assert one.sentence == "a counts true 24 where b counts 23.976"


def test_a_unit_with_its_own_timecode_is_compared_within_itself() -> None:
    devices = f"""\
  bag_2: {{unit: second, {FIRST}, rate: 25}}}}
  cam_2: {{unit: second, timecode: {{from: tc_in, mode: jam, rate: 24}}, records: {{timecode_on: [file]}}}}
"""
    links = "  - {from: bag_2.tc_out, to: cam_2.tc_in, carries: LTC, connected: to jam}"
    text = rig(devices, project="rate: 23.976", links=links, units="  second: {master: bag_2, shares_timecode: false}")
    one = only(second_aligned_rates_differ, text).one
    assert one.sentence == "cam_2 counts 24 where bag_2, the master, counts 25"
