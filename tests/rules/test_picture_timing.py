"""Pictures that are switched live: cable that is not timed, and cameras that nothing locks."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.framework import Rule
from synclint.rules.picture_timing import picture_arrives_out_of_time, unlocked_camera_in_a_locked_show
from tests.rules.running import Came, came_of, rig


def mixed(
    rule: Rule,
    *,
    to_camera: str = ", length: 1 km",
    back: str = ", length: 1002 m",
    to_mixer: str = ", length: 2 m",
    clock: str = "{from: ref_in}",
    port: str = "timed_within: 1 us",
    mixer: str = "clock: {from: ref_in}",
    form: str = ", format: 1080/59.94p",
    plugged: bool = True,
    able: str = "ref_in: {in: [tri-level]}, ",
    day: str = "",
) -> Came:
    devices = f"""
  gen: {{able: {{ports: {{out_1: {{out: [tri-level]}}, out_2: {{out: [tri-level]}}}}, clock: {{accuracy: 1 ppm}}}}, clock: {{from: own clock}}}}
  cam_a:
    able: {{ports: {{{able}out: {{out: [picture]}}}}, clock: {{accuracy: 19 ppm}}}}
    clock: {clock}
    records: {{picture: {{shot_at: 59.94, played_at: 59.94}}}}
  mixer:
    able: {{ports: {{ref_in: {{in: [tri-level]}}, in_1: {{in: [picture], {port}}}}}}}
    passes: {{in_1: [out]}}
    {mixer}
"""  # noqa: E501 - a device to a line
    links = f"  - {{from: gen.out_2, to: mixer.ref_in, carries: tri-level, connected: all day{to_mixer}}}\n"
    links += f"  - {{from: cam_a.out, to: mixer.in_1, carries: picture, connected: all day{form}{back}}}\n"
    if plugged:
        links += f"  - {{from: gen.out_1, to: cam_a.ref_in, carries: tri-level, connected: all day{to_camera}}}\n"
    return came_of(rule, rig(devices, project="rate: 29.97 NDF", links=links.rstrip(), day=day))


# --- cable -----------------------------------------------------------------------------------------------------


def test_a_kilometre_there_and_back() -> None:
    # 1000 + 1002 - 2 = 2000 m x 5 ns = 10 us; x 148.3516 MHz = 1483.5 pixel clocks
    came = mixed(picture_arrives_out_of_time)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"out of time": pytest.approx(10), "out of time in pixels": pytest.approx(1483.5, abs=0.1)}
    assert "10 us late" in came.one.sentence
    assert came.one.fix is not None
    assert [(edit.key, edit.value) for edit in came.one.fix.edits if isinstance(edit, AddKey)] == [("phase", "10 us")]


def test_interlaced_pixels_are_half_as_many() -> None:
    came = mixed(picture_arrives_out_of_time, form=", format: 1080/59.94i")
    assert came.amounts["out of time in pixels"] == pytest.approx(741.8, abs=0.1)


def test_without_a_format_there_are_no_pixels_to_tell() -> None:
    assert mixed(picture_arrives_out_of_time, form="").amounts == {"out of time": pytest.approx(10)}


@pytest.mark.parametrize(
    ("phase", "silent"), [("10 us", True), ("9.1 us", True), ("8.9 us", False), ("11.1 us", False)]
)
def test_a_phase_makes_up_for_it(phase: str, *, silent: bool) -> None:
    came = mixed(picture_arrives_out_of_time, clock=f"{{from: ref_in, phase: {phase}}}")
    assert came.silent is silent
    if not silent:
        assert came.one.fix is not None
        assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["10 us"]
        assert ("early" in came.one.sentence) is (phase == "11.1 us")


def test_short_leads_hold() -> None:
    # 100 + 100 - 0 m are exactly the 1 us that the input takes
    assert mixed(picture_arrives_out_of_time, to_camera=", length: 100 m", back=", length: 102 m").silent
    assert not mixed(picture_arrives_out_of_time, to_camera=", length: 101 m", back=", length: 102 m").silent


def test_a_length_that_nobody_wrote_down_is_asked_for() -> None:
    came = mixed(picture_arrives_out_of_time, to_camera="")
    assert came.lacks == ["how long the lead from gen to cam_a is (links: length)"]


def test_an_input_that_minds_nothing_is_left_alone() -> None:
    assert mixed(picture_arrives_out_of_time, port="note: of any time").silent
    assert mixed(picture_arrives_out_of_time, port="timed_within: 1 us, frame_synchroniser: true").silent


# --- a camera that nothing locks -------------------------------------------------------------------------------

HELD = "frame_synchroniser: true"
FREE = "{from: own clock}"


def test_a_frame_dropped_or_repeated() -> None:
    # 20 ppm and a frame of 1001/60 ms: 834.2 s = 13.9 min; 3000 s hold it three times
    came = mixed(unlocked_camera_in_a_locked_show, clock=FREE, port=HELD, plugged=False, day="longest_take: 50 min")
    assert came.one.level is Level.WARNING
    assert came.amounts == {"a frame dropped or repeated every": pytest.approx(1001 / 60 / 20e-3 / 60)}
    assert "3 times in the longest take" in came.one.cost_sentence
    assert "Run a reference leg to ref_in" in came.one.fix_sentence


def test_without_a_synchroniser_it_rolls() -> None:
    # 1 us at 20 ppm: 50 ms
    came = mixed(unlocked_camera_in_a_locked_show, clock=FREE, plugged=False)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"out of time after": pytest.approx(0.05)}


def test_a_camera_that_does_not_listen_to_its_reference_is_told_there() -> None:
    assert mixed(unlocked_camera_in_a_locked_show, clock=FREE, port=HELD).silent
    assert mixed(unlocked_camera_in_a_locked_show, clock=FREE).silent


def test_a_camera_without_a_reference_input_is_lived_with() -> None:
    came = mixed(unlocked_camera_in_a_locked_show, clock=FREE, port=HELD, plugged=False, able="")
    assert "has no reference input" in came.one.fix_sentence
    came = mixed(unlocked_camera_in_a_locked_show, clock=FREE, port=HELD, plugged=False)
    assert "Run a reference leg to ref_in" in came.one.fix_sentence


def test_a_locked_camera_is_right() -> None:
    assert mixed(unlocked_camera_in_a_locked_show, port=HELD).silent


def test_what_paces_the_mixer_is_asked_for() -> None:
    came = mixed(unlocked_camera_in_a_locked_show, clock=FREE, port=HELD, mixer="note: a mixer")
    assert came.lacks == ["what paces mixer (clock: from)"]


def test_behind_a_synchroniser_a_mixer_sees_the_synchroniser() -> None:
    devices = """
  gen: {able: {ports: {out_1: {out: [tri-level]}, out_2: {out: [tri-level]}}}, clock: {from: own clock}}
  cam_a:
    able: {ports: {out: {out: [picture]}}, clock: {accuracy: 19 ppm}}
    clock: {from: own clock}
    records: {picture: {shot_at: 25, played_at: 25}}
  holder:
    able: {ports: {ref_in: {in: [tri-level]}, in: {in: [picture], frame_synchroniser: true}}}
    passes: {in: [out]}
    clock: {from: ref_in}
  mixer:
    able: {ports: {ref_in: {in: [tri-level]}, in_1: {in: [picture], timed_within: 1 us}}}
    passes: {in_1: [out]}
    clock: {from: ref_in}
"""
    links = """
  - {from: gen.out_1, to: holder.ref_in, carries: tri-level, connected: all day}
  - {from: gen.out_2, to: mixer.ref_in, carries: tri-level, connected: all day}
  - {from: cam_a.out, to: holder.in, carries: picture, connected: all day}
  - {from: holder.out, to: mixer.in_1, carries: picture, connected: all day}
"""
    came = came_of(unlocked_camera_in_a_locked_show, rig(devices, links=links.strip("\n")))
    assert "the synchroniser of holder at in" in came.one.sentence
