"""Screens before cameras: one reference, one rate, and never changing while a camera looks."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.framework import Rule
from synclint.rules.wall_exposure import wall_changes_while_the_camera_looks
from synclint.rules.wall_sync import screen_of_another_rate, wall_not_on_one_reference
from tests.rules.running import Came, came_of, rig

GEN = "able: {class: sync generator, ports: {ref: {out: [tri-level]}}, clock: {accuracy: 1 ppm}}"


def studio(
    rule: Rule,
    *,
    shot: str = "shot_at: 23.976, played_at: 23.976, shutter: 180 deg",
    screen: str = "refresh: 23.976, filmed_by: [cam_a], changes_at: 5 ms",
    wall: str = "ref_in",
    node: str = "ref_in",
    camera: str = "ref_in, phase: -10 ms",
    readout: str = "10 ms",
    content: str = "",
    takes: str = "[tri-level]",
) -> Came:
    devices = f"""
  gen: {{{GEN}, clock: {{from: own clock}}}}
  cam_a:
    able:
      ports: {{ref_in: {{in: [tri-level]}}}}
      clock: {{accuracy: 5 ppm}}
      records: {{picture: {{readout: {readout}}}}}
    clock: {{from: {camera}}}
    records: {{picture: {{{shot}}}}}
  wall:
    able: {{ports: {{ref_in: {{in: {takes}}}, in: {{in: [picture]}}}}, clock: {{accuracy: 20 ppm}}}}
    clock: {{from: {wall}}}
    screen: {{{screen}}}
  node:
    able: {{ports: {{ref_in: {{in: {takes}}}, out: {{out: [picture]}}}}, clock: {{accuracy: 19 ppm}}}}
    clock: {{from: {node}}}
"""
    links = f"""
  - {{from: gen.ref, to: [cam_a.ref_in, wall.ref_in, node.ref_in], carries: tri-level, connected: all day}}
  - {{from: node.out, to: wall.in, carries: picture, connected: all day{content}}}
"""
    return came_of(rule, rig(devices, project="rate: 23.976 NDF", links=links.strip("\n")))


# --- one reference ---------------------------------------------------------------------------------------------


def test_a_node_by_itself() -> None:
    # 19 + 1 = 20 ppm; a frame of 1001/24 ms in 2085.4 s
    came = studio(wall_not_on_one_reference, node="own clock")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"a seam through the picture every": pytest.approx(1001 / 24 / 20e-3)}
    assert came.one.sentence == "node runs on its own clock, and the rest around wall is on gen"
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["ref_in"]


def test_a_camera_by_itself() -> None:
    came = studio(wall_not_on_one_reference, camera="own clock")
    assert came.amounts == {"a seam through the picture every": pytest.approx(1001 / 24 / 6e-3)}


def test_all_on_one() -> None:
    assert studio(wall_not_on_one_reference).silent


def test_a_screen_that_plays_by_itself_need_not_be_locked() -> None:
    devices = """
  cam_a: {clock: {from: own clock}, records: {picture: {shot_at: 25, played_at: 25}}}
  television: {clock: {from: own clock}, screen: {refresh: 25, filmed_by: all}}
"""
    assert came_of(wall_not_on_one_reference, rig(devices)).silent


def test_a_tracker_belongs_to_the_wall_of_its_camera() -> None:
    devices = f"""
  gen: {{{GEN}, clock: {{from: own clock}}}}
  cam_a:
    able: {{ports: {{ref_in: {{in: [tri-level]}}}}}}
    clock: {{from: ref_in}}
    records: {{picture: {{shot_at: 25, played_at: 25}}}}
  wall: {{able: {{ports: {{ref_in: {{in: [tri-level]}}}}}}, clock: {{from: ref_in}}, screen: {{filmed_by: [cam_a]}}}}
  tracker: {{able: {{clock: {{accuracy: 49 ppm}}}}, clock: {{from: own clock}}, tracking: {{of: [cam_a], rate: 100}}}}
"""
    links = "  - {from: gen.ref, to: [cam_a.ref_in, wall.ref_in], carries: tri-level, connected: all day}"
    came = came_of(wall_not_on_one_reference, rig(devices, links=links))
    assert came.one.who == ("tracker",)
    assert came.amounts == {"a seam through the picture every": pytest.approx(0.04 / 50e-6)}


# --- one rate --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("refresh", "seconds", "mended"),
    [("24", 1001 / 24, "23.976"), ("48", 1001 / 48, "47.952"), ("120", 1001 / 120, "119.88")],
)
def test_a_thousandth_off(refresh: str, seconds: float, mended: str) -> None:
    # 24 - 24000/1001 = 24/1001; 48 - 2 x 24000/1001 = 48/1001; 120 - 5 x 24000/1001 = 120/1001
    came = studio(screen_of_another_rate, screen=f"refresh: {refresh}, filmed_by: [cam_a]")
    assert came.amounts == {"a seam through the picture every": pytest.approx(seconds)}
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [mended]


def test_far_off_it_flickers() -> None:
    # 60 is 3 x 23.976 = 71.928 less 11.928, and 2 x 23.976 = 47.952 and 12.048: round(2.5025) = 3
    came = studio(screen_of_another_rate, screen="refresh: 60, filmed_by: [cam_a]")
    assert came.amounts == {"flicker": pytest.approx(72_000 / 1001 - 60)}
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["23.976"]


def test_content_of_another_rate_is_told_by_its_lead() -> None:
    came = studio(screen_of_another_rate, content=", format: 1080/24p")
    assert "whose picture of node changes at 24" in came.one.sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["1080/23.976p"]


@pytest.mark.parametrize("refresh", ["23.976", "47.952", "119.88"])
def test_whole_multiples_stand_still(refresh: str) -> None:
    assert studio(screen_of_another_rate, screen=f"refresh: {refresh}, filmed_by: [cam_a]").silent


def test_two_frames_to_a_picture_stand_still_too() -> None:
    assert studio(screen_of_another_rate, shot="shot_at: 47.952, played_at: 23.976").silent


def test_a_screen_that_nobody_films_may_run_as_it_likes() -> None:
    assert studio(screen_of_another_rate, screen="refresh: 60").silent


# --- while it looks --------------------------------------------------------------------------------------------


def test_rows_that_are_open_at_the_change() -> None:
    # rows open 0..10 ms for 20.854 ms each; the change at 5 ms is in those that open before it: half
    came = studio(wall_changes_while_the_camera_looks, camera="ref_in, phase: 0 ms")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"rows with two pictures": 50}
    # room for the opening: 5 ms to 5 + 41.708 - 30.854 = 15.854 ms after the reference, in the middle 10.427 ms
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["-10.4 ms"]


@pytest.mark.parametrize(
    ("phase", "silent"), [("-5 ms", True), ("-15.8 ms", True), ("-4.9 ms", False), ("-16 ms", False)]
)
def test_the_ends_of_the_room(phase: str, *, silent: bool) -> None:
    assert studio(wall_changes_while_the_camera_looks, camera=f"ref_in, phase: {phase}").silent is silent


def test_a_phase_is_as_good_a_frame_later() -> None:
    # -10 ms and a frame of 41.708 ms earlier: 31.708 ms
    assert studio(wall_changes_while_the_camera_looks, camera="ref_in, phase: 31.708 ms").silent


def test_where_no_phase_does_the_shutter_is_closed() -> None:
    # the wall changes every 20.854 ms; 180 degrees are 20.854 ms: always a change in it. 9/10 of 20.854 - 10 ms are
    # 9.769 ms, 84.3 degrees
    came = studio(wall_changes_while_the_camera_looks, screen="refresh: 47.952, filmed_by: [cam_a], changes_at: 5 ms")
    assert came.amounts == {"rows with two pictures": 100}
    assert came.one.fix is not None
    edits = [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)]
    assert edits[0] == "84.3 deg"
    shot = "shot_at: 23.976, played_at: 23.976, shutter: 84.3 deg"
    again = studio(
        wall_changes_while_the_camera_looks,
        screen="refresh: 47.952, filmed_by: [cam_a], changes_at: 5 ms",
        shot=shot,
        camera=f"ref_in, phase: {edits[1]}",
    )
    assert again.silent


def test_where_the_readout_alone_is_too_long_another_camera_is_wanted() -> None:
    came = studio(
        wall_changes_while_the_camera_looks,
        screen="refresh: 119.88, filmed_by: [cam_a], changes_at: 5 ms",
        readout="9 ms",
    )
    assert came.one.fix is not None
    assert not came.one.fix.edits
    assert "reads out in less than 8.34 ms" in came.one.fix_sentence


def test_a_phase_that_nobody_set_is_looked_for_on_the_test_day() -> None:
    came = studio(wall_changes_while_the_camera_looks, camera="ref_in")
    assert came.lacks == ["the phase that cam_a is set to (clock: phase)"]
    assert came.checklist[0].sentence.startswith(
        "Set the phase of cam_a between -15.9 ms and -5 ms, film a moving line"
    )


@pytest.mark.parametrize(
    ("shot", "screen", "lacks"),
    [
        ("shot_at: 23.976", "", "the shutter of cam_a (records: picture: shutter)"),
        ("", "refresh: 23.976, filmed_by: [cam_a]", "when wall changes after its reference (screen: changes_at)"),
    ],
)
def test_what_decides_is_asked_for(shot: str, screen: str, lacks: str) -> None:
    given = {key: value for key, value in (("shot", shot), ("screen", screen)) if value}
    assert studio(wall_changes_while_the_camera_looks, **given).lacks == [lacks]


def test_what_is_not_locked_or_of_another_rate_is_told_as_that() -> None:
    assert studio(wall_changes_while_the_camera_looks, wall="own clock").silent
    screen = "refresh: 24, filmed_by: [cam_a], changes_at: 5 ms"
    assert studio(wall_changes_while_the_camera_looks, screen=screen, camera="ref_in, phase: 0 ms").silent


TWICE, FOUR_TIMES = (f"refresh: {rate}, filmed_by: [cam_a], changes_at: 33 ms" for rate in ("47.952", "95.904"))
TO_A_FRAME = ", format: 1080/23.98p"


@pytest.mark.parametrize("screen", [TWICE, FOUR_TIMES])
def test_a_picture_that_is_only_shown_again_is_no_change(screen: str) -> None:
    # what feeds it changes every 41.708 ms: rows are open from 0 to 20.854 + 10 ms, before the change at 33 ms
    rule = wall_changes_while_the_camera_looks
    assert studio(rule, screen=screen, camera="ref_in, phase: 0 ms", content=TO_A_FRAME).silent
    late = studio(rule, screen=screen, camera="ref_in, phase: -5 ms", content=TO_A_FRAME)
    # rows open from 5 to 15 ms and close from 25.854 to 35.854: those that close after 33 ms are 2.854 of 10 ms
    assert late.one.level is Level.ERROR
    assert late.amounts == {"rows with two pictures": pytest.approx(28.54, abs=0.005)}
    assert late.one.fix_sentence.startswith("Set the phase of cam_a to")


def test_what_feeds_it_at_the_refresh_changes_at_each() -> None:
    came = studio(wall_changes_while_the_camera_looks, screen=TWICE, content=", format: 1080/47.952p")
    assert came.one.level is Level.ERROR
    # from 180 to 84.3 degrees: log2(180/84.3) = 1.09
    assert "Close the shutter of cam_a to 84.3 deg, which costs 1.1 stops of light" in came.one.fix_sentence


def test_a_change_at_each_refresh_is_only_assumed_where_nobody_says_what_feeds_it() -> None:
    came = studio(wall_changes_while_the_camera_looks, screen=TWICE)
    assert came.one.level is Level.WARNING
    assert "write its format (links: format)" in came.one.fix_sentence
