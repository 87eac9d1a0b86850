"""References that a device does not lock to, or not in one way."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.framework import Rule
from synclint.rules.reference_formats import reference_not_taken, reference_of_another_family
from synclint.rules.reference_places import reference_leaves_the_frame_open
from tests.rules.running import Came, came_of, rig

BOTH = "[tri-level, black burst]"


def locked(
    rule: Rule,
    format_: str,
    *,
    carries: str = "tri-level",
    rate: str = "23.976",
    takes: str = BOTH,
    able: str = "",
    out: str = "",
    more: str = "",
    project: str = "rate: 23.976 NDF",
    cameras: str = "cam_a",
) -> Came:
    """One camera, or several alike, on the output of a generator."""
    devices = f"""
  gen:
    able: {{class: sync generator, ports: {{ref: {{out: [tri-level, black burst]{out}}}}}, clock: {{accuracy: 1 ppm}}}}
    clock: {{from: own clock}}
  {cameras}:
    able: {{class: cinema camera, ports: {{ref_in: {{in: {takes}{able}}}}}, clock: {{accuracy: 5 ppm}}}}
    timecode: {{from: own clock, rate: {rate}}}
    clock: {{from: ref_in{more}}}
    records: {{picture: {{shot_at: {rate}, played_at: {rate}}}}}
"""
    text = f", format: {format_}" if format_ else ""
    link = f"  - {{from: gen.ref, to: {cameras}.ref_in, carries: {carries}{text}, connected: all day}}"
    return came_of(rule, rig(devices, project=project, links=link))


# --- formats ---------------------------------------------------------------------------------------------------


def test_what_the_input_does_not_take() -> None:
    # 6 ppm between the clocks x 3600 s = 21.6 ms an hour
    came = locked(reference_not_taken, "1080/23.98 PsF", able=", formats: [1080/23.98p]")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"parting": 21.6}
    assert came.one.sentence == "cam_a is fed tri-level 1080/23.976 PsF at ref_in, which takes only 1080/23.976p"
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["1080/23.98p"]


def test_black_burst_into_an_input_for_tri_level() -> None:
    came = locked(
        reference_not_taken, "625/50", carries="black burst", rate="25", takes="[tri-level]", project="rate: 25"
    )
    assert "takes only tri-level" in came.one.sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["1080/50i", "tri-level"]


def test_another_name_of_the_same_signal_is_taken() -> None:
    assert locked(reference_not_taken, "1080/23.98 PsF", able=", formats: [1080/23.976psf]").silent
    came = locked(
        reference_not_taken,
        "480/29.97i",
        carries="black burst",
        rate="29.97",
        able=", formats: [525/59.94]",
        project="rate: 29.97 NDF",
    )
    assert came.silent


def test_what_the_output_does_not_give() -> None:
    came = locked(
        reference_not_taken, "1080/23.98 PsF", able=", formats: [1080/23.98 PsF]", out=", formats: [525/59.94]"
    )
    assert "from gen at ref, which gives only 525/59.94" in came.one.sentence
    assert came.amounts == {"parting": 21.6}


def test_a_leg_that_others_need_as_it_is_stays_as_it_is() -> None:
    # cam_a takes only 24p, cam_b only PsF: no format of the one leg suits both
    devices = """
  gen: {able: {class: sync generator, ports: {ref: {out: [tri-level]}}}, clock: {from: own clock}}
  cam_a:
    able: {class: cinema camera, ports: {ref_in: {in: [tri-level], formats: [1080/23.98p]}}}
    clock: {from: ref_in}
    records: {picture: {shot_at: 23.976, played_at: 23.976}}
  cam_b:
    able: {class: cinema camera, ports: {ref_in: {in: [tri-level], formats: [1080/23.98 PsF]}}}
    clock: {from: ref_in}
    records: {picture: {shot_at: 23.976, played_at: 23.976}}
"""
    links = "  - {from: gen.ref, to: [cam_a.ref_in, cam_b.ref_in], carries: tri-level, format: 1080/23.98 PsF}"
    came = came_of(reference_not_taken, rig(devices, project="rate: 23.976 NDF", links=links))
    assert came.one.who == ("cam_a",)
    assert came.one.fix is not None
    assert came.one.fix.edits == ()
    assert "a leg of its own" in came.one.fix_sentence


def test_what_is_not_said_is_asked_for() -> None:
    assert locked(reference_not_taken, "1080/23.98 PsF").lacks == [
        "which formats cam_a locks to at ref_in (able: ports: formats)"
    ]
    assert locked(reference_not_taken, "", able=", formats: [1080/23.98 PsF]").lacks == [
        "the format of the reference that reaches cam_a (links: format)"
    ]


def test_formats_that_nobody_can_read_decide_nothing() -> None:
    assert locked(reference_not_taken, "1080/23.98 PsF", able=", formats: [bars, '']").silent
    assert locked(reference_not_taken, "bars", able=", formats: [1080/23.98 PsF]").silent


# --- families --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rate", "format_", "seconds"),
    [
        ("23.976", "1080/24 PsF", 1001 / 24),  # 24 - 24000/1001
        ("59.94", "1080/60p", 1001 / 60),  # 60 - 60000/1001
        ("29.97", "1080/60i", 1001 / 30),
        ("24", "1080/23.98 PsF", 1001 / 24),
    ],
)
def test_families_a_thousandth_apart(rate: str, format_: str, seconds: float) -> None:
    came = locked(reference_of_another_family, format_, rate=rate, project="")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"a frame lost or repeated every": pytest.approx(seconds)}


def test_families_without_a_common_time() -> None:
    came = locked(reference_of_another_family, "1080/50i", rate="29.97", project="")
    assert came.amounts == {"parting": 21.6}
    assert "no common time" in came.one.cost_sentence


@pytest.mark.parametrize(
    ("rate", "format_"),
    [
        ("25", "1080/50i"),
        ("50", "1080/50i"),
        ("59.94", "1080/59.94i"),
        ("48", "1080/24 PsF"),
        ("23.976", "1080/23.98 PsF"),
        ("23.976", "1080/59.94i"),  # locks, with a mark
    ],
)
def test_families_that_lock(rate: str, format_: str) -> None:
    assert locked(reference_of_another_family, format_, rate=rate, project="").silent


def test_a_camera_whose_own_rate_is_wrong_is_told_by_its_rate() -> None:
    # the reference is the project's: it is the camera that stands at another rate
    assert locked(reference_of_another_family, "1080/23.98 PsF", rate="24", project="rate: 23.976 NDF").silent
    assert not locked(reference_of_another_family, "1080/24 PsF", rate="24", project="rate: 23.976 NDF").findings


def test_in_slow_motion_the_reference_suits_what_goes_out() -> None:
    devices = """
  gen: {able: {class: sync generator, ports: {ref: {out: [tri-level]}}}, clock: {from: own clock}}
  cam_a:
    able: {class: cinema camera, ports: {ref_in: {in: [tri-level]}}}
    clock: {from: ref_in}
    records: {picture: {shot_at: 60, played_at: 23.976}}
"""
    links = "  - {from: gen.ref, to: cam_a.ref_in, carries: tri-level, format: 1080/23.98 PsF}"
    assert came_of(reference_of_another_family, rig(devices, project="rate: 23.976 NDF", links=links)).silent


# --- film rate on television -----------------------------------------------------------------------------------


def test_five_places() -> None:
    # 1001/24 ms / 5 = 8.3417 ms; two steps are 16.683 ms
    came = locked(reference_leaves_the_frame_open, "525/59.94", carries="black burst", cameras="cam_1..cam_2")
    assert came.one.level is Level.WARNING  # nobody says that the mark is off
    assert came.amounts == {
        "places": 5,
        "between two places": pytest.approx(1001 / 120),
        "cameras apart": pytest.approx(1001 / 60),
    }
    assert came.one.who == ("cam_1", "cam_2")


def test_stated_to_be_off_it_is_an_error() -> None:
    came = locked(
        reference_leaves_the_frame_open,
        "1080/59.94i",
        able=", ten_field_mark: always",
        out=", ten_field_mark: never",
        takes="[black burst, tri-level]",
        cameras="cam_1..cam_2",
    )
    assert came.one.level is Level.ERROR
    # the cameras take tri-level: a reference of their own rate is the smallest change
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["1080/23.98 PsF"]


def test_where_only_black_burst_is_taken_the_mark_is_switched_on() -> None:
    came = locked(
        reference_leaves_the_frame_open,
        "525/59.94",
        carries="black burst",
        takes="[black burst]",
        able=", ten_field_mark: switchable",
        out=", ten_field_mark: switchable",
        cameras="cam_1..cam_2",
    )
    assert came.one.fix is not None
    edits = [edit for edit in came.one.fix.edits if isinstance(edit, AddKey)]
    assert [(edit.key, edit.value) for edit in edits] == [
        ("ports", "{ref: {ten_field_mark: switched on}}"),
        ("ports", "{ref_in: {ten_field_mark: switched on}}"),
    ]


def test_one_camera_alone_sits_where_nobody_knows() -> None:
    came = locked(reference_leaves_the_frame_open, "525/59.94", carries="black burst", out=", ten_field_mark: never")
    assert came.one.level is Level.WARNING
    assert "cameras apart" not in came.amounts


@pytest.mark.parametrize(
    ("format_", "rate"), [("525/59.94", "29.97"), ("1080/23.98 PsF", "23.976"), ("625/50", "25"), ("1080/24 PsF", "24")]
)
def test_frames_that_are_not_left_open(format_: str, rate: str) -> None:
    assert locked(reference_leaves_the_frame_open, format_, rate=rate, project="").silent


def test_the_mark_given_and_read() -> None:
    both = ", ten_field_mark: always"
    assert locked(reference_leaves_the_frame_open, "525/59.94", carries="black burst", able=both, out=both).silent


def test_a_format_that_is_not_taken_is_told_as_that() -> None:
    came = locked(
        reference_leaves_the_frame_open, "525/59.94", carries="black burst", able=", formats: [1080/23.98 PsF]"
    )
    assert came.silent
