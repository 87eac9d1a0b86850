"""Pictures that are not shot at the rate of their labels; the numbers are exact arithmetic unless a source is named."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.off_speed import (
    ltc_at_a_double_rate,
    off_speed_camera_in_a_sync_scene,
    stretched_labels_collide,
    two_pictures_share_a_label,
)
from tests.rules.running import Came, came_of, rig

ROLL = "{at: 11:30, do: roll, of: [cam], until: 12:00}"
SILENT = "{at: 11:30, do: roll, of: [cam], until: 12:00, sync_sound: false}"


def camera(picture: str, *, mode: str = "jam", on: str = "[file]", more: str = "") -> str:
    return (
        f"  cam: {{timecode: {{from: tc_in, mode: {mode}, rate: 23.976}}, "
        f"records: {{picture: {picture}, timecode_on: {on}}}{more}}}"
    )


def shot(picture: str, *events: str, take: str = "longest_take: 30 s, ") -> str:
    return rig(camera(picture), project="rate: 23.976", day=f"{take}events: [{', '.join(events)}]")


# --- in a scene with sync sound --------------------------------------------------------------------------------


def test_48_in_a_sync_scene() -> None:
    came = came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 48, played_at: 23.976}", ROLL))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "cam shoots 48 played at 23.976 in the scene at 11:30, recorded with sync sound"
    # 48 / (24000/1001) = 2.002; 30 s play 60.06 s
    assert came.amounts["stretch"] == pytest.approx(2.002)
    assert came.amounts["picture beside sound"] == pytest.approx(30.06)


def test_fast_motion_plays_shorter() -> None:
    # 12 / (24000/1001) = 0.5005; 30 s play 15.015 s
    came = came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 12, played_at: 23.976}", ROLL))
    assert came.amounts["picture beside sound"] == pytest.approx(14.985)
    assert "15 s less than its sound" in came.one.cost_sentence


def test_a_rate_of_playback_that_is_only_assumed_makes_a_warning() -> None:
    came = came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 96}", ROLL))
    assert came.one.level is Level.WARNING


def test_scenes_of_two_times_are_one_finding() -> None:
    later = "{at: 15:00, do: roll, of: all, until: 15:20, sync_sound: true}"
    came = came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 48, played_at: 24}", ROLL, later))
    assert "in the scenes at 11:30 and 15:00" in came.one.sentence


@pytest.mark.parametrize(
    ("picture", "event"),
    [
        ("{shot_at: 48, played_at: 23.976}", SILENT),
        ("{shot_at: 23.976, played_at: 23.976}", ROLL),
        ("{shot_at: 24, played_at: 23.976}", ROLL),  # pulled, by the rules on speed
        ("{shot_at: 24, played_at: 25}", ROLL),  # converted, 4.2 %
        ("{shot_at: 25, played_at: 23.976}", ROLL),  # 4.3 %
        ("{shot_at: 50, played_at: 50}", ROLL),
        ("{shot_at: variable}", ROLL),
        ("{shot_at: 48, played_at: 23.976}", "{at: 11:30, do: roll, of: [bag], until: 12:00}"),
    ],
)
def test_silence_in_scenes(picture: str, event: str) -> None:
    text = shot(picture, event).replace("devices:\n", "devices:\n  bag: {}\n")
    assert came_of(off_speed_camera_in_a_sync_scene, text).silent


def test_a_camera_that_is_set_anew_before_the_scene_is_not_judged_by_its_morning() -> None:
    back = "{at: 11:00, do: set, of: [cam], to: {records: {picture: {shot_at: 23.976}}}}"
    text = shot("{shot_at: 48, played_at: 23.976}", back, ROLL)
    assert came_of(off_speed_camera_in_a_sync_scene, text).silent
    # after the scene it changes nothing; what counts is the clock and not the line of the file
    later = back.replace("11:00", "12:30")
    assert came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 48, played_at: 23.976}", later, ROLL)).findings


def test_a_camera_is_judged_by_its_speed_at_each_scene() -> None:
    slow = "{at: 14:00, do: set, of: [cam], to: {records: {picture: {shot_at: 48}}}}"
    fast = "{at: 16:00, do: set, of: [cam], to: {records: {picture: {shot_at: 12}}}}"
    later = "{at: 15:00, do: roll, of: [cam], until: 15:10}"
    last = "{at: 17:00, do: roll, of: [cam], until: 17:10}"
    came = came_of(
        off_speed_camera_in_a_sync_scene,
        shot("{shot_at: 23.976, played_at: 23.976}", ROLL, slow, later, fast, last),
    )
    assert [finding.sentence for finding in came.findings] == [
        "cam shoots 48 played at 23.976 in the scene at 15:00, recorded with sync sound",
        "cam shoots 12 played at 23.976 in the scene at 17:00, recorded with sync sound",
    ]
    assert [str(finding.at) for finding in came.findings] == [
        "days/0/events/1/to/records/picture/shot_at",
        "days/0/events/3/to/records/picture/shot_at",
    ]
    without = later.replace("15:10}", "15:10, sync_sound: false}")
    quiet = shot("{shot_at: 23.976, played_at: 23.976}", ROLL, slow, without)
    assert came_of(off_speed_camera_in_a_sync_scene, quiet).silent


def test_without_scenes_it_is_a_line_of_the_checklist() -> None:
    came = came_of(off_speed_camera_in_a_sync_scene, shot("{shot_at: 48, played_at: 23.976}"))
    assert [line.sentence for line in came.checklist] == [
        "Slate cam MOS with its speed, 48 played at 23.976, and keep it out of sync scenes"
    ]


def test_50_in_a_shoot_at_25_may_be_meant_to_play_at_50() -> None:
    text = shot("{shot_at: 50}", ROLL).replace("23.976", "25")
    assert came_of(off_speed_camera_in_a_sync_scene, text).lacks == [
        "the rate that files of cam play at (records: picture: played_at)"
    ]


# --- labels that run on ----------------------------------------------------------------------------------------


def slow(picture: str = "{shot_at: 96, played_at: 24}", *, day: str = "longest_take: 30 s", **how: str) -> Came:
    return came_of(stretched_labels_collide, rig(camera(picture, **how), project="rate: 24", day=day))


@pytest.mark.parametrize("mode", ["free run", "jam", "continuous"])
def test_labels_run_on_into_the_next_clip(mode: str) -> None:
    came = slow(mode=mode)
    assert came.one.level is Level.WARNING
    # 30 s at 96 over 24: 120 s of labels, of which the last 90 s come again
    assert came.amounts["labels that come twice"] == 90
    assert "30 s bears 2 min of labels, and the last 1 min 30 s" in came.one.cost_sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["record run"]


def test_the_camera_knows_its_longest_take_best() -> None:
    # 10 s at four times: 30 s too many
    assert slow(more=", longest_take: 10 s").amounts["labels that come twice"] == 30
    assert "a take of 30 s" in slow(day="").one.cost_sentence


@pytest.mark.parametrize("picture", ["{shot_at: 12, played_at: 24}", "{shot_at: 24, played_at: 24}"])
def test_silence_about_pictures_that_do_not_stretch(picture: str) -> None:
    assert slow(picture).silent


def test_silence_about_labels_that_stand_still_between_takes_or_on_a_track() -> None:
    assert slow(mode="record run").silent
    assert slow(on="[left]").silent


def test_silence_where_the_speed_itself_is_wrong() -> None:
    assert slow(day=f"longest_take: 30 s, events: [{ROLL}]").silent
    assert len(slow(day=f"longest_take: 30 s, events: [{SILENT}]").findings) == 1


def test_a_way_of_running_that_nobody_says_is_not_judged() -> None:
    cam = "  cam: {records: {picture: {shot_at: 96, played_at: 24}, timecode_on: [file]}}"
    assert came_of(stretched_labels_collide, rig(cam, project="rate: 24")).lacks == [
        "how the timecode of cam runs (timecode: mode)"
    ]


# --- 50, 59.94 and 60 ------------------------------------------------------------------------------------------


def fast(rate: str, other: str, *, clocks: tuple[str, str] = ("own clock", "own clock"), label: str = "") -> Came:
    devices = "\n".join(
        f"  {key}: {{timecode: {{from: own clock, mode: free run, rate: {label or each}}}, clock: {{from: {clock}}}, "
        f"records: {{picture: {{shot_at: {each}, played_at: {each}}}, timecode_on: [file]}}}}"
        for key, each, clock in (("cam_a", rate, clocks[0]), ("cam_b", other, clocks[1]))
    )
    links = "  - {from: gen.out, to: [cam_a.ref, cam_b.ref], carries: tri-level, connected: all day}"
    return came_of(two_pictures_share_a_label, rig(f"{devices}\n  gen: {{}}", project=f"rate: {rate}", links=links))


@pytest.mark.parametrize(
    ("rate", "label", "apart"), [("50", "25", 20), ("59.94", "29.97 NDF", 16.683), ("60", "30", 16.667)]
)
def test_two_pictures_to_a_label(rate: str, label: str, apart: float) -> None:
    # ST 12-1:2014, 12, as cited in libavutil: pairs above 30; a picture lasts 1/50, 1.001/60 and 1/60 s
    came = fast(rate, rate, label=label)
    assert came.one.level is Level.NOTE
    assert "cam_a and cam_b shoot" in came.one.sentence
    assert came.amounts["pictures apart"] == pytest.approx(apart, abs=1e-3)


def test_a_camera_that_counts_to_49_bears_pairs_too() -> None:
    assert fast("50", "50").amounts["pictures apart"] == 20


def test_one_camera_at_50_beside_one_at_25() -> None:
    assert fast("50", "25", label="25").one.who == ("cam_a",)


def test_four_pictures_to_a_label() -> None:
    came = fast("100", "25", label="25")
    assert "four pictures to a label" in came.one.sentence
    assert came.amounts["pictures apart"] == 30  # 3 x 10 ms


def test_silence_about_locked_cameras() -> None:
    assert fast("50", "50", clocks=("ref", "ref")).silent


def test_only_the_loose_one_is_named() -> None:
    came = fast("50", "50", clocks=("ref", "own clock"))
    assert came.one.who == ("cam_b",)
    assert came.one.fix is not None
    assert "Set cam_b to the tri-level that arrives at ref" in came.one.fix_sentence
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["ref"]


def test_silence_about_a_camera_alone_and_about_slow_motion() -> None:
    cam = (
        "{timecode: {from: own clock, rate: 25}, records: {picture: {shot_at: 50, played_at: %s}, timecode_on: [file]}}"
    )
    alone = rig(f"  cam: {cam % 50}", project="rate: 25")
    assert came_of(two_pictures_share_a_label, alone).silent
    both = rig(f"  cam_a: {cam % 25}\n  cam_b: {cam % 25}", project="rate: 25")
    assert came_of(two_pictures_share_a_label, both).silent


def ltc(rate: str, project: str = "25", records: str = "") -> Came:
    devices = f"  box: {{timecode: {{from: own clock, mode: free run, rate: {rate}}}{records}}}\n  cam: {{}}"
    links = "  - {from: box.jack, to: cam.tc_in, carries: LTC, connected: to jam}"
    return came_of(ltc_at_a_double_rate, rig(devices, project=f"rate: {project}", links=links))


@pytest.mark.parametrize(
    ("rate", "project", "half", "lasts"), [("50", "25", "25", 40), ("59.94 DF", "29.97 DF", "29.97 DF", 33.367)]
)
def test_a_box_at_a_double_rate(rate: str, project: str, half: str, lasts: float) -> None:
    # LTC at up to 30 words a second: ST 2059-1 by way of a secondary text
    came = ltc(rate, project)
    assert came.one.level is Level.WARNING
    assert came.amounts["length of a label"] == pytest.approx(lasts, abs=1e-3)
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [half]


def test_silence_about_sources_at_30_or_less_and_about_cameras() -> None:
    assert ltc("25").silent
    assert ltc("50", records=", records: {picture: {shot_at: 50, played_at: 50}}").silent  # sends pairs by itself
    assert ltc("50", project="23.976").silent  # told where rates are compared
