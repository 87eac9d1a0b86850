"""A reference that is plugged into a device and that it does not listen to, and what is told of it nowhere else."""

from __future__ import annotations

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.loops import label_and_pace_unrelated
from synclint.rules.picture_timing import unlocked_camera_in_a_locked_show
from synclint.rules.take_drift import half_locked_rig, take_drifts_apart
from synclint.rules.unheard_references import reference_fed_but_on_own_clock
from tests.rules.running import Came, came_of, rig

TIMED = ", passes: {in_1: [pgm]}, clock: {from: ref_in}"


def house(
    *,
    clock: str = "{from: own clock}",
    ppm: str = "19",
    take: str = "longest_take: 2 h",
    connected: str = "all day",
    port: str = "frame_synchroniser: true",
    master: str = "gen",
    mixer: str = TIMED,
) -> str:
    """A camera before a mixer, a recorder of the programme behind it, and a generator whose reference is plugged."""
    devices = f"""
  gen: {{able: {{class: sync generator, ports: {{tc_out: {{out: [LTC]}}, ref: {{out: [black burst]}}}}, clock: {{accuracy: 1 ppm}}}}, timecode: {{from: own clock, rate: 25}}, clock: {{from: own clock}}}}
  cam_a:
    able: {{class: shoulder camcorder, ports: {{ref_in: {{in: [black burst]}}, out: {{out: [picture]}}}}, clock: {{accuracy: {ppm} ppm}}}}
    clock: {clock}
    records: {{picture: {{shot_at: 25, played_at: 25}}}}
  cam_b:
    able: {{class: shoulder camcorder, ports: {{ref_in: {{in: [black burst]}}}}, clock: {{accuracy: 19 ppm}}}}
    clock: {{from: ref_in}}
    records: {{picture: {{shot_at: 25, played_at: 25}}}}
  mixer: {{able: {{class: through-thing, ports: {{ref_in: {{in: [black burst]}}, in_1: {{in: [picture], {port}}}}}}}{mixer}}}
  pgm:
    able: {{class: video recorder, ports: {{tc_in: {{in: [LTC]}}, in: {{in: [picture]}}}}, clock: {{accuracy: 20 ppm}}}}
    timecode: {{from: tc_in, mode: continuous, rate: 25}}
    clock: {{from: in}}
    records: {{picture: {{shot_at: 25, played_at: 25}}, timecode_on: [file]}}
"""  # noqa: E501 - a device to a line
    links = f"""  - {{from: gen.ref, to: cam_a.ref_in, carries: black burst, connected: {connected}}}
  - {{from: gen.ref, to: cam_b.ref_in, carries: black burst, connected: all day}}
  - {{from: gen.ref, to: mixer.ref_in, carries: black burst, connected: all day}}
  - {{from: gen.tc_out, to: pgm.tc_in, carries: LTC, connected: all day}}
  - {{from: cam_a.out, to: mixer.in_1, carries: picture, format: 1080/25p, connected: all day}}
  - {{from: mixer.pgm, to: pgm.in, carries: picture, connected: all day}}
"""
    project = f"rate: 25, tolerance: 1 frame, master: {{clock: {master}}}"
    return rig(devices, links=links, project=project, day=f"call: 08:00, wrap: 18:00, {take}")


def fed(**settings: str) -> Came:
    return came_of(reference_fed_but_on_own_clock, house(**settings))


def test_it_parts_from_the_rest_over_a_take() -> None:
    # 19 + 1 = 20 ppm over 2 h: 20 x 2 x 3.6 = 144 ms, of 40 ms tolerated; a frame of 40 ms at 20 ppm is 2000 s
    came = fed()
    assert came.one.level is Level.ERROR
    assert came.one.who == ("cam_a",)
    assert came.amounts == {
        "apart over a take": pytest.approx(144),
        "a frame dropped or repeated every": pytest.approx(2000 / 60),
    }
    assert came.one.fix_sentence == "Set cam_a to the black burst that arrives at ref_in, and see it lock"
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["ref_in"]


def test_within_the_tolerance_it_is_a_warning() -> None:
    # 20 ppm over 33 min: 20 x 0.55 x 3.6 = 39.6 ms; over 34 min 40.8 ms
    assert fed(take="longest_take: 33 min").one.level is Level.WARNING
    assert fed(take="longest_take: 34 min").one.level is Level.ERROR


def test_without_a_synchroniser_the_picture_rolls_however_short_the_take() -> None:
    assert fed(take="longest_take: 1 min", port="timed_within: 1 us").one.level is Level.ERROR


def test_it_is_told_once() -> None:
    for rule in (half_locked_rig, take_drifts_apart, label_and_pace_unrelated, unlocked_camera_in_a_locked_show):
        assert came_of(rule, house()).silent


@pytest.mark.parametrize(
    "settings",
    [{"clock": "{from: ref_in}"}, {"connected": "to compare"}, {"master": "cam_a"}, {"clock": "{phase: 0 us}"}],
)
def test_what_looks_alike_and_is_right(settings: dict[str, str]) -> None:
    assert fed(**settings).silent


def test_a_mixer_on_its_own_clock_is_told_too_and_paces_what_is_behind_it() -> None:
    came = fed(clock="{from: ref_in}", mixer=TIMED.replace("ref_in", "own clock"))
    assert came.one.who == ("mixer",)
    assert "pgm hangs on it" in came.one.sentence


def test_what_is_taken_over_from_another_camera_is_set_anew() -> None:
    text = house().replace("  mixer:", "  cam_c: {like: cam_a}\n  mixer:", 1)
    came = came_of(reference_fed_but_on_own_clock, text.replace("to: cam_a.ref_in", "to: cam_c.ref_in"))
    assert came.one.who == ("cam_c",)
    assert came.one.fix is not None
    edit = came.one.fix.edits[0]
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.key, edit.value) == ("devices/cam_c", "clock", "{from: ref_in}")
