"""The time and the rate that files are stamped with, and how post reads them."""

import pytest

from synclint.findings import Finding, Level, Mended, SetValue
from synclint.rules import rates
from synclint.rules.stamps import (
    post_reads_another_rate,
    reader_does_not_take_this_rate,
    stamps_its_own_rate,
    time_stamp_past_32_bits,
)
from synclint.rules.unit_rates import units_at_different_rates
from tests.rules.running import Came, came_of, rig

CLOCK = "timecode: {as: time of day}"
DAY = "call: 06:30, wrap: 19:00"


def stamped(sample_rate: str, *, day: str = DAY, project: str = f"rate: 25, {CLOCK}") -> Came:
    text = rig(f"  bag: {{records: {{sound: {{sample_rate: {sample_rate}}}}}}}", project=project, day=day)
    return came_of(time_stamp_past_32_bits, text)


@pytest.mark.parametrize(
    ("sample_rate", "clock"),
    [
        # 2^32 over the sample rate (EBU Tech 3285, quoted, for the two words of 32 bits; exact arithmetic)
        ("96 kHz", "12:25:39"),  # 44,739.24 s
        ("192 kHz", "06:12:49"),  # 22,369.62 s
        ("88.2 kHz", "13:31:35"),  # 48,695.77 s
    ],
)
def test_when_32_bits_are_full(sample_rate: str, clock: str) -> None:
    came = stamped(sample_rate)
    assert came.one.level is Level.NOTE
    assert f"from {clock} on" in came.one.sentence


def test_how_much_of_the_day_is_hit() -> None:
    # 19:00:00 less 12:25:39.24 is 6.572 h; at 192 kHz the whole day of 12.5 h lies behind 06:12:49
    assert stamped("96 kHz").amounts["hours of the day"] == pytest.approx(6.5724, abs=1e-4)
    assert stamped("192 kHz").amounts["hours of the day"] == 12.5


def test_labels_at_23_976_reach_the_moment_a_thousandth_earlier() -> None:
    # 44,739.24 s / 1.001 = 44,694.55 s of label: 12:24:54 (exact arithmetic)
    came = stamped("96 kHz", project=f"rate: 23.976 NDF, {CLOCK}")
    assert "from 12:24:54 on the timecode" in came.one.sentence
    assert "12:24:54 of timecode too early" in came.one.cost_sentence
    assert came.amounts["files early by"] == pytest.approx(44_694.55, abs=1e-2)


def test_a_night_ends_the_count_at_midnight() -> None:
    # 18:00 to 24:00 is behind 12:25:39, 00:00 to 05:00 is not
    assert stamped("96 kHz", day="call: 18:00, wrap: 05:00 +1").amounts["hours of the day"] == 6.0


@pytest.mark.parametrize(("bits", "level"), [("", Level.NOTE), (", post: {time_stamp_bits: 32}", Level.WARNING)])
def test_posts_tool_decides_the_level(bits: str, level: Level) -> None:
    assert stamped("96 kHz", project=f"rate: 25, {CLOCK}{bits}").one.level is level


def test_silence_about_32_bits() -> None:
    # 48,000 x 86,400 = 4,147,200,000 samples a day are less than 2^32 = 4,294,967,296
    assert stamped("48 kHz").silent
    assert stamped("96 kHz", day="call: 06:00, wrap: 12:25").silent
    assert stamped("96 kHz", project=f"rate: 25, {CLOCK}, post: {{time_stamp_bits: 64}}").silent
    assert stamped("96 kHz", project="rate: 25, timecode: {as: record run}").silent


def test_what_is_asked_for_about_32_bits() -> None:
    assert stamped("96 kHz", project="rate: 25").lacks == [
        "whether timecode is the time of day (project: timecode: as)"
    ]
    assert stamped("96 kHz", day="").lacks == ["call and wrap of the day"]


def fed(
    master: str,
    follower: str,
    *,
    mode: str = "continuous",
    able: str = "",
    project: str = f"rate: 25, {CLOCK}",
    day: str = DAY,
    connected: str = "all day",
    rest: str = "records: {picture: {shot_at: 24}, timecode_on: [file]}",
) -> str:
    rates = f", timecode: {{rates: [{able}]}}" if able else ""
    devices = f"""
  bag: {{able: {{ports: {{out: {{out: [LTC]}}}}}}, timecode: {{from: own clock, mode: free run{master}}}}}
  cam_a:
    able: {{ports: {{tc_in: {{in: [LTC]}}}}{rates}}}
    timecode: {{from: tc_in, mode: {mode}{follower}}}
    {rest}
"""
    links = f"  - {{from: bag.out, to: cam_a.tc_in, carries: LTC, connected: {connected}}}"
    return rig(devices, project=project, day=day, links=links)


def follows(master: str, follower: str, **more: str) -> Came:
    return came_of(stamps_its_own_rate, fed(f", rate: {master}", f", rate: {follower}", **more))


SOUND = "records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}"


def test_a_sound_recorder_at_24_fed_23_976() -> None:
    # A label hour at 23.976 is 3603.6 s, at 24 it is 3600 s: 3.6 s an hour, 6.5 h x 3.6 = 23.4 s at 06:30 and
    # 19 h x 3.6 = 68.4 s at 19:00 (exact arithmetic)
    came = follows("23.976 NDF", "24", rest=SOUND)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"off for each hour on the timecode": 3.6, "off at most": 68.4}
    assert came.one.cost_sentence.startswith(
        "each file's start is worked out at the wrong rate and is off by 23.4 s at"
    )
    assert "23.4 s at call (06:30) and 68.4 s at wrap (19:00)" in came.one.cost_sentence
    assert came.one.sentence == "cam_a stamps its files 24 and is fed 23.976 NDF by bag"


TAKES = f"{DAY}, longest_take: 20 min"


def test_a_camera_at_24_fed_23_976_counts_wrong_inside_its_clips() -> None:
    # 1 - 1000/1001 of an hour is 3600/1001 = 3.596 s, of 20 min 1200/1001 = 1.2 s (exact arithmetic)
    came = follows("23.976 NDF", "24", day=TAKES, project=f"rate: 23.976, {CLOCK}")
    assert came.one.level is Level.ERROR
    assert came.amounts["labels apart"] == pytest.approx(3600 / 1001)
    assert came.amounts["apart over the longest take"] == pytest.approx(1200 / 1001)
    assert came.one.cost_sentence.startswith(
        "each clip starts on the digits that it reads and counts on at 24: inside it the labels part by 3.596 s an "
        "hour, 1.2 s over the longest take of 20 min; by model its start may be worked out anew as well; every shot at "
    )
    assert came.one.sentence == "cam_a shoots 24, stamps its files 24 and is fed 23.976 NDF by bag"


def test_a_camera_in_another_count_is_told_in_labels() -> None:
    # 1800 frames of label a minute, 2 left out save every tenth: 18 in ten minutes, 36 in 20, of 1/30 s: 1.2 s
    # (ST 12-1 as tabulated; arithmetic)
    picture = "records: {picture: {shot_at: 29.97}, timecode_on: [file]}"
    came = follows("29.97 DF", "29.97 NDF", rest=picture, day=TAKES, project=f"rate: 29.97 DF, {CLOCK}")
    assert "part by 108 labels (3.6 s) an hour, 36 labels (1.2 s) over the longest take of 20 min" in (
        came.one.cost_sentence
    )
    shorter = follows(
        "29.97 DF",
        "29.97 NDF",
        rest=f"{picture}\n    longest_take: 10 min",
        day=TAKES,
        project=f"rate: 29.97 DF, {CLOCK}",
    )
    assert "18 labels (600 ms) over the longest take of 10 min" in shorter.one.cost_sentence


def test_a_recorder_that_counts_otherwise_than_its_pictures_come() -> None:
    # 23.976 pictures a second, 25 labels to a second: 24/25 x 1000/1001 of real time, and 1000/1001 comes:
    # 1000/1001 x 1/25 = 3.996 %, of 20 min 47.95 s (exact arithmetic)
    picture = "records: {picture: {shot_at: 23.976, played_at: 23.976}, timecode_on: [file]}"
    came = follows("23.976 NDF", "25", rest=picture, day=TAKES, project=f"rate: 23.976, {CLOCK}")
    assert came.amounts["apart over the longest take"] == pytest.approx(48_000 / 1001)


def test_where_labels_are_not_the_time_of_day_the_hour_is_told() -> None:
    # 14 x 3.6 s = 50.4 s at 14:00:00 (exact arithmetic)
    came = follows("23.976 NDF", "24", rest=SOUND, project="rate: 25, timecode: {as: record run}")
    assert "3.6 s for each hour on the timecode, 50.4 s at 14:00:00" in came.one.cost_sentence


def test_past_midnight_the_labels_start_again() -> None:
    # 24 h x 3.6 s = 86.4 s just before midnight (exact arithmetic)
    came = follows("23.976 NDF", "24", rest=SOUND, day="call: 16:00, wrap: 03:00 +1")
    assert came.amounts["off at most"] == 86.4


def test_drop_and_non_drop() -> None:
    # An hour of labels is 3599.9964 s at 29.97 DF and 3603.6 s at NDF: 3.6036 s (ST 12-1 as tabulated; arithmetic)
    came = follows("29.97 DF", "29.97 NDF", rest=SOUND)
    assert came.amounts["off for each hour on the timecode"] == pytest.approx(3.6036, abs=1e-5)


def test_what_shows_labels_is_told_in_its_own_words() -> None:
    text = fed(", rate: 23.976 NDF", ", rate: 24", rest="screen: {timecode: true}", project=f"rate: 23.976, {CLOCK}")
    came = came_of(stamps_its_own_rate, text)
    assert came.one.sentence == "cam_a is set to 24 and is fed 23.976 NDF by bag"
    assert came.one.cost_sentence == (
        "whether it shows the digits that come in or counts anew at 24 differs by model and is not known here: "
        "counted, the labels part by 3.596 s an hour"
    )
    assert came.one.fix_sentence == "Set cam_a to 23.976 NDF before the first take"


def test_what_a_box_hands_on_is_told_in_its_own_words() -> None:
    more = "  - {from: cam_a.out, to: cam_b.tc_in, carries: LTC, connected: all day}"
    text = fed(
        ", rate: 29.97 DF", ", rate: 29.97 NDF", rest="clock: {from: own clock}", project=f"rate: 29.97 DF, {CLOCK}"
    )
    text = text.replace("ports: {tc_in: {in: [LTC]}}", "ports: {tc_in: {in: [LTC]}, out: {out: [LTC]}}")
    text = text.replace("links:\n", "  cam_b: {able: {ports: {tc_in: {in: [LTC]}}}}\nlinks:\n") + more + "\n"
    came = came_of(stamps_its_own_rate, text)
    # 108 labels of 1/30 s an hour (ST 12-1 as tabulated; arithmetic)
    assert came.one.cost_sentence == (
        "whether it hands on the digits that come in or counts anew at 29.97 NDF differs by model and is not known "
        "here: counted, the labels part by 108 labels (3.6 s) an hour"
    )
    assert came.one.fix_sentence == "Set cam_a to 29.97 DF before the first take"


def test_a_follower_at_the_rate_that_its_unit_is_told_to_take_is_right() -> None:
    text = fed(", rate: 29.97 DF", ", rate: 29.97 NDF", rest=SOUND, project=f"rate: 29.97 NDF, {CLOCK}")
    text = text.replace("  bag: {", "  bag: {unit: second, ").replace("  cam_a:\n", "  cam_a:\n    unit: second\n")
    text += "units:\n  second: {master: bag, cut_with: main, shares_timecode: false}\n"
    assert came_of(units_at_different_rates, text).one.fix_sentence.startswith("Set all of unit second to 29.97 NDF")
    assert came_of(stamps_its_own_rate, text).silent
    assert came_of(stamps_its_own_rate, text.replace("cut_with: main, ", "")).one.who == ("cam_a",)


def edits(finding: Finding) -> dict[str, str]:
    """What a fix sets, by path."""
    assert finding.fix is not None
    return {str(edit.place): edit.value for edit in finding.fix.edits if isinstance(edit, SetValue)}


def every(text: str) -> list[Finding]:
    """What the rules on rates and this one find."""
    return [each for rule in (*rates.RULES, stamps_its_own_rate) for each in came_of(rule, text).findings]


AT_24 = "records: {picture: {shot_at: 24, played_at: 24}, timecode_on: [file]}"
IN_23_976 = f"rate: 23.976 NDF, {CLOCK}"


def test_a_picture_at_the_wrong_rate_is_told_and_mended_with_it() -> None:
    text = fed(", rate: 23.976 NDF", ", rate: 24", rest=AT_24, project=IN_23_976)
    (finding,) = every(text)
    assert finding.rule == "stamps-its-own-rate"
    # 24 played at 24000/1001: 1 - 1000/1001 = 0.1 %, an hour lasts 3603.6 s (exact arithmetic)
    assert (
        "every shot at 24 is converted to 23.976 or played 0.1 % slow, an hour of it 3.6 s longer"
        in finding.cost_sentence
    )
    assert finding.fix_sentence.startswith(
        "Set cam_a to 23.976 NDF, picture and timecode, before the first take, and film"
    )
    cam = "devices/cam_a"
    picture = f"{cam}/records/picture"
    assert edits(finding) == {
        f"{cam}/timecode/rate": "23.976 NDF",
        f"{picture}/shot_at": "23.976",
        f"{picture}/played_at": "23.976",
    }
    mended = text.replace("rate: 24}", "rate: 23.976 NDF}").replace("_at: 24", "_at: 23.976")
    assert every(mended) == []


def test_a_picture_at_the_right_rate_is_left_alone() -> None:
    picture = "records: {picture: {shot_at: 23.976, played_at: 23.976}, timecode_on: [file]}"
    (finding,) = every(fed(", rate: 23.976 NDF", ", rate: 25", rest=picture, project=IN_23_976))
    assert finding.sentence == "cam_a stamps its files 25 and is fed 23.976 NDF by bag"
    assert "converted" not in finding.cost_sentence
    assert edits(finding) == {"devices/cam_a/timecode/rate": "23.976 NDF"}


def test_a_picture_at_a_third_rate_is_told_by_itself() -> None:
    picture = "records: {picture: {shot_at: 25, played_at: 25}, timecode_on: [file]}"
    told = every(fed(", rate: 23.976 NDF", ", rate: 24", rest=picture, project=IN_23_976))
    assert [finding.rule for finding in told] == ["rates-not-second-aligned", "stamps-its-own-rate"]


def test_a_picture_whose_seconds_agree_is_told_where_rates_are_compared() -> None:
    picture = "records: {picture: {shot_at: 25, played_at: 25}, timecode_on: [file]}"
    (finding,) = every(fed(", rate: 24", ", rate: 25", rest=picture, project=f"rate: 24, {CLOCK}"))
    assert (finding.rule, finding.level) == ("second-aligned-rates-differ", Level.WARNING)
    assert "every shot at 25 is converted to 24" in finding.cost_sentence
    assert len(edits(finding)) == 3


def test_a_follower_without_the_rate_is_not_told_to_set_it() -> None:
    able = {"able": "23.976", "project": f"rate: 25, {CLOCK}"}
    came = follows("25", "23.976 NDF", rest="records: {timecode_on: [file]}", **able)
    assert came.one.fix_sentence == "Take another device for cam_a: it has no 25"
    assert came.one.mended is Mended.RENTAL
    assert edits(came.one) == {}


def test_a_follower_without_the_rate_is_given_one_whose_seconds_agree() -> None:
    came = follows("23.976 NDF", "24", able="24, 29.97 NDF", project=IN_23_976)
    assert came.one.fix_sentence == (
        "Set cam_a, which has no 23.976 NDF, to 29.97 NDF and feed it from a box at 29.97 NDF that is jammed on a "
        "whole second; tell post"
    )
    assert edits(came.one) == {}


def test_who_follows_a_master_at_the_wrong_rate_is_not_to_blame() -> None:
    (finding,) = every(
        fed(", rate: 24", ", rate: 23.976 NDF", rest="records: {timecode_on: [file]}", project=IN_23_976)
    )
    assert (finding.rule, finding.who) == ("rates-a-thousandth-apart", ("bag",))


def test_the_rate_to_set_is_the_projects_where_master_and_follower_are_wrong() -> None:
    told = every(fed(", rate: 24", ", rate: 29.97 NDF", rest="records: {timecode_on: [file]}", project="rate: 25"))
    assert [finding.rule for finding in told] == ["second-aligned-rates-differ", "stamps-its-own-rate"]
    assert edits(told[1]) == {"devices/cam_a/timecode/rate": "25"}


def test_a_name_that_the_menu_rounds_is_no_other_rate() -> None:
    text = fed(", rate: 23.976 NDF", ", rate: 24", rest="records: {timecode_on: [file]}", project=IN_23_976)
    assert every(text.replace("able: {ports: {tc_in", "able: {rate_names: {24: 23.976}, ports: {tc_in")) == []


def test_a_picture_in_drop_frame_has_nothing_to_convert() -> None:
    picture = "records: {picture: {shot_at: 29.97, played_at: 29.97}, timecode_on: [file]}"
    (finding,) = every(fed(", rate: 29.97 DF", ", rate: 29.97 NDF", rest=picture, project="rate: 29.97 DF"))
    assert "converted" not in finding.cost_sentence
    assert edits(finding) == {"devices/cam_a/timecode/rate": "29.97 DF"}


@pytest.mark.parametrize(
    ("master", "follower"),
    [
        ("25", "50"),  # two pictures share a label
        ("29.97 DF", "59.94 DF"),
        ("23.976 NDF", "23.98"),
        ("23.976 NDF", "29.97 NDF"),  # whole seconds agree; whether it reads the lead is another rule's
        ("24", "25"),
        ("29.97", "29.97 DF"),  # DF or NDF left unsaid is told elsewhere
    ],
)
def test_rates_that_a_follower_may_have(master: str, follower: str) -> None:
    assert follows(master, follower).silent


def test_other_silences_of_followers() -> None:
    assert follows("23.976 NDF", "24", mode="jam", connected="to jam").silent  # a jam is another rule's
    left = "records: {picture: {shot_at: 24}, timecode_on: [left]}"
    assert follows("23.976 NDF", "24", rest=left).silent  # it stamps no label
    assert follows("23.976 NDF", "24", rest="trigger: true").silent


def test_a_master_of_unknown_rate_is_asked_for() -> None:
    assert came_of(stamps_its_own_rate, fed("", ", rate: 24")).lacks == [
        "the rate that bag is set to, which cam_a follows"
    ]


def reads(master: str, follower: str, **more: str) -> Came:
    return came_of(reader_does_not_take_this_rate, fed(f", rate: {master}", follower, **more))


@pytest.mark.parametrize(("mode", "connected"), [("continuous", "all day"), ("jam", "to jam")])
def test_a_lead_between_second_aligned_rates_wants_a_reader(mode: str, connected: str) -> None:
    more = {"mode": mode, "connected": connected}
    came = reads("23.976 NDF", ", rate: 29.97 NDF", able="25, 29.97 NDF", **more)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "cam_a is fed 23.976 NDF by bag and reads only 25 and 29.97 NDF"
    assert reads("23.976 NDF", ", rate: 29.97 NDF", able="23.976, 29.97 NDF", **more).silent
    assert reads("23.976 NDF", ", rate: 29.97 NDF", **more).lacks == [
        "whether cam_a, set to 29.97 NDF, reads 23.976 NDF (able: timecode: rates)"
    ]


def test_a_reader_gets_the_agreed_rate_from_its_source() -> None:
    files = "records: {timecode_on: [file]}"
    came = reads("29.97 NDF", ", rate: 23.976 NDF", able="23.976", rest=files, project="rate: 23.976 NDF")
    assert came.one.fix_sentence == "Set bag to 23.976 NDF, or feed cam_a from a small box set to it"
    assert edits(came.one) == {"devices/bag/timecode/rate": "23.976 NDF"}


def test_a_reader_without_a_set_rate() -> None:
    assert reads("25", "", able="23.976, 29.97 NDF").one.who == ("cam_a",)
    assert reads("25", "", able="23.976, 50").silent
    assert reads("25", "").silent


def test_a_difference_of_rates_is_told_once() -> None:
    text = fed(", rate: 23.976 NDF", ", rate: 25", able="25", project="rate: 23.976 NDF")
    assert came_of(reader_does_not_take_this_rate, text).silent
    assert came_of(stamps_its_own_rate, text).one.who == ("cam_a",)


def post(shoot: str, rate: str, *, picture: str = "shot_at: 25, played_at: 25", day: str = DAY) -> Came:
    devices = f"  cam_a: {{records: {{picture: {{{picture}}}}}}}"
    project = f"rate: {shoot}, {CLOCK}, post: {{rate: {rate}}}"
    return came_of(post_reads_another_rate, rig(devices, project=project, day=day))


def test_sound_read_at_24_instead_of_23_976() -> None:
    # 3.6 s for each hour on the timecode: 23.4 s at 06:30, 68.4 s at 19:00 (EBU Tech 3285, quoted; exact arithmetic)
    came = post("23.976 NDF", "24")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"off for each hour on the timecode": 3.6, "off at most": 68.4}
    assert "50.4 s at 14:00:00" in post("23.976 NDF", "24", day="").one.cost_sentence


def test_pictures_are_told_where_post_works_at_another_rate() -> None:
    came = post("23.976 NDF", "25", picture="shot_at: 23.976")
    # 3600 s x 24000/25025 = 3452.54 s (exact arithmetic)
    assert came.one.cost_sentence.endswith(
        "; every shot at 23.976 is converted to 25 or played 4.27 % fast, an hour of it 2 min 27 s shorter"
    )
    assert "converted" not in post("29.97 NDF", "29.97 DF").one.cost_sentence


def test_sound_read_as_drop_frame() -> None:
    assert post("29.97 NDF", "29.97 DF").amounts["off for each hour on the timecode"] == pytest.approx(3.6036, abs=1e-5)
    assert post("29.97 NDF", "29.97").lacks == ["whether post counts 29.97 DF or NDF (project: post: rate)"]


@pytest.mark.parametrize(
    ("shoot", "rate"),
    [("23.976 NDF", "23.98"), ("23.976 NDF", "29.97 NDF"), ("29.97 DF", "59.94 DF"), ("25", "50"), ("24", "25")],
)
def test_rates_at_which_sound_lands_where_it_belongs(shoot: str, rate: str) -> None:
    assert post(shoot, rate).silent


def test_a_picture_that_is_slowed_to_posts_rate_is_the_pulls_affair() -> None:
    assert post("24", "23.976 NDF", picture="shot_at: 24, played_at: 23.976").silent
    assert post("24", "23.976 NDF", picture="shot_at: 24, played_at: 24").one.level is Level.ERROR
    # 30 slowed to 29.97 counts every label, so DF is 3.6 s an hour off all the same
    assert post("30", "29.97 DF", picture="shot_at: 30, played_at: 29.97").one.level is Level.ERROR
