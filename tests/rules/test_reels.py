"""Reel names, and for how long two clips of one name bear one label."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.reels import reel_names_collide
from tests.rules.recording_rigs import fed, labelled, roll, shoot
from tests.rules.running import Came, came_of

A = "timecode_on: [file], reel: A"


def named(
    *devices: str, events: tuple[str, ...] = (), project: str = "timecode: {as: time of day}", **more: str
) -> Came:
    text = shoot(*devices, events=events, project=project, links=fed("cam_a"), day="call: 09:00, wrap: 18:00", **more)
    return came_of(reel_names_collide, text)


def test_labels_stand_twice_while_both_roll() -> None:
    events = (
        roll("10:00", "10:30", "bag", "cam_a"),
        roll("10:20", "10:50", "bag", "cam_b"),
        roll("14:00", "14:15", "bag", "cam_a", "cam_b"),
    )
    came = named(labelled(records=A), labelled("cam_b", records=A), events=events)
    # 10:20 to 10:30 and 14:00 to 14:15: 10 + 15 = 25 min
    assert came.amounts == {"labels that come twice": 25}
    assert came.one.level is Level.ERROR
    assert "25 min of labels stand under reel A twice, in 2 clips" in came.one.cost_sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam_b/records/reel", "B")


def test_one_after_the_other_is_a_matter_of_names_only() -> None:
    events = (roll("10:00", "10:30", "cam_a"), roll("10:30", "10:50", "cam_b"))
    came = named(labelled(records=A), labelled("cam_b", records=A), events=events)
    assert came.one.level is Level.WARNING
    assert came.amounts == {"clips to look at": 1}


def test_without_takes_the_hours_of_the_day_are_the_same() -> None:
    came = named(labelled(records=A), labelled("cam_b", records=A))
    assert came.one.level is Level.ERROR
    assert came.amounts == {"labels that may come twice": 9}  # 09:00 to 18:00


def test_labels_that_are_no_time_of_day_do_not_say_the_same() -> None:
    elapsed = named(labelled(records=A), labelled("cam_b", records=A), project="timecode: {as: record run}")
    assert elapsed.one.level is Level.WARNING
    on_tracks = A.replace("[file]", "[left]")
    assert named(labelled(records=A), labelled("cam_b", records=on_tracks)).one.level is Level.WARNING


def test_letters_of_their_own_are_right() -> None:
    assert named(labelled(records=A), labelled("cam_b", records=A.replace("A", "B"))).silent


@pytest.mark.parametrize(("name", "free"), [("a", "B"), ("A003", "B003"), ("'001'", "A001"), ("Ä", "A")])
def test_a_free_name_is_offered(name: str, free: str) -> None:
    both = f"timecode_on: [file], reel: {name}"
    came = named(labelled(records=both), labelled("cam_b", records=both))
    assert (
        came.one.fix_sentence == f"Give cam_b a reel letter of its own, such as {free}, from one list for the whole job"
    )


def test_a_device_that_is_like_another_has_its_name_too() -> None:
    came = named(
        labelled(records=A), "  cam_b: {like: cam_a}\n", "  cam_c: {like: cam_a, records: {timecode_on: [file]}}\n"
    )
    assert came.one.who == ("cam_b", "cam_c")
    assert came.one.fix is not None
    one, other = came.one.fix.edits
    assert isinstance(one, AddKey)
    assert isinstance(other, AddKey)
    assert (str(one.place), one.key, one.value) == ("devices/cam_b", "records", "{reel: B}")
    assert (str(other.place), other.key, other.value) == ("devices/cam_c/records", "reel", "C")


def test_a_range_shares_a_name_that_no_edit_can_part() -> None:
    text = labelled("cam_1..cam_3", records=A)
    came = came_of(reel_names_collide, shoot(text, day="call: 09:00, wrap: 18:00"))
    assert came.one.who == ("cam_2", "cam_3")
    assert came.one.fix is not None
    assert not came.one.fix.edits


def test_sound_rolls_are_compared_with_sound_rolls_only() -> None:
    second = "  bag_2: {like: bag, records: {reel: A}}\n"
    assert named(labelled(records=A), second).lacks == ["the reel names of bag (records: reel)"]
    third = "  bag_3: {like: bag_2}\n"
    assert [each.who for each in named(labelled(records=A), second, third).findings] == [("bag_3",)]


def test_what_is_no_recording_of_its_own_may_share_a_name() -> None:
    assert named(labelled(records=A), labelled("cam_b", records=f"{A}, used_for: [spare]")).silent
    assert named(labelled(records=A), labelled("cam_b", records=A, more=", trigger: true")).silent
    recorder = (
        "  rec: {able: {class: video recorder, ports: {sdi_in: {in: [picture]}}}, "
        "records: {picture: {shot_at: 25}, reel: A}}\n"
    )
    camera = labelled(records=A).replace("tc_in: {in: [LTC]}", "tc_in: {in: [LTC]}, sdi: {out: [picture]}")
    link = "  - {from: cam_a.sdi, to: rec.sdi_in, carries: picture, connected: all day}\n"
    assert came_of(reel_names_collide, shoot(camera, recorder, links=fed("cam_a") + link)).silent


def test_names_that_some_have_and_some_have_not_are_asked_for() -> None:
    came = named(labelled(records=A), labelled("cam_b"), labelled("cam_c"))
    assert came.lacks == ["the reel names of cam_b and cam_c (records: reel)"]


def test_cameras_without_names_are_a_line_of_the_checklist() -> None:
    (line,) = named(labelled(), labelled("cam_b")).checklist
    assert line.sentence == "One list of camera letters for the whole job: one of its own for each of cam_a and cam_b"
    units = "  second: {master: bag}\n"
    assert named(labelled(), labelled("cam_b"), units=units).silent


def test_units_share_the_names_of_a_job() -> None:
    units = "  second: {cut_with: main, shares_timecode: false}\n"
    came = named(labelled(records=A), labelled("cam_b", records=A, more=", unit: second"), units=units)
    assert came.one.level is Level.ERROR
