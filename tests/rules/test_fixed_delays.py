"""Fixed label errors: what the leads make, what is done about it, and what is only measured; sums by hand."""

import pytest

from synclint.findings import AddKey, Level, Remove, SetValue
from synclint.rules.corrected_offsets import (
    offset_corrected_twice,
    offset_not_as_its_paths,
    offset_wrongly_corrected,
)
from synclint.rules.fixed_delays import fixed_delay_not_corrected
from synclint.rules.framework import Rule
from tests.rules.running import Came, came_of, rig

RATE = "23.976 NDF"
BAG = "  bag: {able: {ports: {tc_out: {out: [LTC]}}}, timecode: {from: own clock, rate: RATE}, records: {sound: {}}}\n"
CAM = (
    "  cam: {able: {class: cinema camera, ports: {tc_in: {in: [LTC]}, sdi: {out: [picture, SDI timecode]}}}, "
    "timecode: {from: tc_in, mode: continuous, rate: RATE}, records: {picture: {shot_at: 23.976}}, "
    "offset: {amount: 0 frames, tested: 2026-06-11}}\n"
)
REC = (
    "  rec: {able: {class: video recorder}, timecode: {from: tc, mode: continuous, rate: RATE}, "
    "records: {picture: {shot_at: 23.976}}OFFSET}\n"
)
CONV = "  conv: {name: Converter, able: {class: through-thing, passes: {in: [out]}DELAY}}\n"
ROUND = (
    "  - {from: bag.tc_out, to: [cam.tc_in, rec.tc], carries: LTC, connected: all day}\n"
    "  - {from: cam.sdi, to: conv.in, carries: picture, connected: all day}\n"
    "  - {from: conv.out, to: rec.sdi, carries: picture, connected: all day}\n"
)


def wired(
    rule: Rule,
    delay: str = "2 frames",
    offset: str = "",
    *,
    post: str = "",
    tolerance: str = "1 frame",
    rate: str = RATE,
) -> Came:
    """A recorder behind a converter, with LTC of its own."""
    devices = BAG + CAM + REC.replace("OFFSET", f", offset: {{{offset}}}" if offset else "")
    devices += CONV.replace("DELAY", f", delay: {delay}" if delay else "")
    project = f"rate: {rate}, tolerance: {tolerance}" + (f", post: {{corrects: {{{post}}}}}" if post else "")
    text = rig(devices, project=project, links=ROUND, day="call: 07:00, wrap: 19:00")
    return came_of(rule, text.replace("RATE", rate))


def camera(rule: Rule, offset: str, post: str | None = None) -> Came:
    """A camera on LTC with an offset that somebody wrote down."""
    project = f"rate: {RATE}, tolerance: 1 frame"
    project += f", post: {{corrects: {{{post}}}}}" if post is not None else ""
    cam = CAM.replace("amount: 0 frames, tested: 2026-06-11", offset)
    links = "  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: all day}\n"
    return came_of(rule, rig(BAG + cam, project=project, links=links).replace("RATE", RATE))


# --- nobody corrects it ----------------------------------------------------------------------------------------


def test_two_frames_round_a_converter() -> None:
    # 2 × 1001/24000 s = 2002/24000 s = 83.417 ms, label later than picture
    came = wired(fixed_delay_not_corrected)
    (finding,) = came.findings
    assert finding.level is Level.WARNING
    assert finding.sentence == (
        "the labels of rec are 2 frames (83.4 ms) ahead: the picture comes through Converter (2 frames), and the "
        "timecode straight from bag"
    )
    assert finding.costs is not None
    assert {amount.name: amount.value for amount in finding.costs.amounts} == {
        "label error": pytest.approx(83.41667),
        "label error in frames": 2,
    }
    assert (
        "2 frames (83.4 ms) too late against the rest, also against cam with the same picture" in finding.cost_sentence
    )
    assert "subtract +2 frames" in finding.fix_sentence
    assert "enter -2 frames in its menu" in finding.fix_sentence
    assert finding.fix is not None
    (edit,) = finding.fix.edits
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.key, edit.value) == (
        "devices/rec",
        "offset",
        "{amount: +2 frames, corrected_in: post}",
    )


@pytest.mark.parametrize("delay", ["0 frames", "20 ms", "1/3 frame"])
def test_less_than_half_a_frame_is_left_alone(delay: str) -> None:
    # half a frame at 23.976 is 20.854 ms; a third is 13.9 ms
    assert wired(fixed_delay_not_corrected, delay).findings == []


def test_half_a_frame_counts_and_so_does_less_where_less_is_tolerated() -> None:
    assert wired(fixed_delay_not_corrected, "1/2 frame").findings
    assert wired(fixed_delay_not_corrected, "21 ms").findings
    assert wired(fixed_delay_not_corrected, "5 ms", tolerance="4 ms").findings
    assert wired(fixed_delay_not_corrected, "5 ms", tolerance="6 ms").findings == []
    assert wired(fixed_delay_not_corrected, "0 ms", tolerance="0 ms").findings == []


@pytest.mark.parametrize(
    "offset",
    [
        "amount: +2 frames, corrected_in: post",
        "amount: +2 frames, corrected_in: camera menu, entered: -2 frames",
        "amount: 83 ms, corrected_in: post",
    ],
)
def test_an_offset_that_somebody_takes_out_is_a_line_of_the_checklist(offset: str) -> None:
    came = wired(fixed_delay_not_corrected, offset=offset)
    assert (came.findings, came.unjudged) == ([], [])
    lines = [line.sentence for line in came.checklist]
    assert any("move the labels of rec" in line or "see that the menu moves" in line for line in lines)


def test_a_delay_that_nobody_states_is_asked_for() -> None:
    assert wired(fixed_delay_not_corrected, "").lacks == ["how late Converter hands on the picture for rec (delay)"]
    # whoever has measured it needs no delay
    came = wired(fixed_delay_not_corrected, "", "amount: +2 frames, corrected_in: post, tested: 2026-06-11")
    assert (came.findings, came.unjudged) == ([], [])


def test_what_was_measured_and_left_to_nobody() -> None:
    # -2 × 1001/24000 s = -83.417 ms
    came = camera(fixed_delay_not_corrected, "amount: -2 frames, tested: 2026-06-11")
    assert came.amounts["label error"] == pytest.approx(-83.41667)
    assert came.one.sentence == (
        "the labels of cam are 2 frames (83.4 ms) behind: so it was measured on 2026-06-11, and nobody takes it out"
    )
    assert "2 frames (83.4 ms) later (subtract -2 frames), or enter +2 frames in its menu" in came.one.fix_sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.key, edit.value) == ("devices/cam/offset", "corrected_in", "post")


def test_post_that_was_told_of_others_only() -> None:
    came = camera(
        fixed_delay_not_corrected, "amount: +1 frame, corrected_in: post, tested: 2026-06-11", "bag: 0 frames"
    )
    assert "not among what post was told to correct" in came.one.sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, AddKey)
    assert (str(edit.place), edit.key, edit.value) == ("project/post/corrects", "cam", "+1 frame")
    assert camera(fixed_delay_not_corrected, "amount: +1 frame, corrected_in: post", "cam: +1 frame").findings == []


def test_who_was_never_measured_gets_a_clap_test_for_each_model_and_mode() -> None:
    cams = "".join(
        CAM.replace("  cam:", f"  {key}:")
        .replace(", offset: {amount: 0 frames, tested: 2026-06-11}", "")
        .replace("shot_at: 23.976", f"shot_at: {shot}, played_at: {played}")
        for key, shot, played in (("a", "23.976", "23.976"), ("b", "23.976", "23.976"), ("c", "24", "23.976"))
    )
    slow = "  slow: {like: a, records: {picture: {shot_at: 96, played_at: 23.976}}}\n"
    links = "  - {from: bag.tc_out, to: [a.tc_in, b.tc_in, c.tc_in, slow.tc_in], carries: LTC, connected: all day}\n"
    text = rig(BAG + cams + slow, project=f"rate: {RATE}", links=links).replace("RATE", RATE)
    came = came_of(fixed_delay_not_corrected, text)
    assert [line.who for line in came.checklist] == [("a", "b"), ("c",)]


# --- twice, the wrong way, by another amount -------------------------------------------------------------------


def test_the_menu_and_post_both_take_it_out() -> None:
    # -2 + 2 - (-2) = +2 frames, 83.417 ms, twice the tolerance
    came = camera(offset_corrected_twice, "amount: -2 frames, corrected_in: camera menu", "cam: -2 frames")
    assert came.one.level is Level.ERROR
    assert came.amounts["label error left"] == pytest.approx(83.41667)
    assert came.one.fix is not None
    assert [type(edit) for edit in came.one.fix.edits] == [Remove]
    # 1 frame left is what is tolerated: a warning
    came = camera(offset_corrected_twice, "amount: -1 frame, corrected_in: camera menu", "cam: -1 frame")
    assert came.one.level is Level.WARNING


def test_a_menu_that_was_set_although_post_is_to_correct() -> None:
    came = camera(offset_corrected_twice, "amount: +2 frames, corrected_in: post, entered: -2 frames")
    assert came.one.level is Level.ERROR
    assert "Put the menu of cam to 0 frames" in came.one.fix_sentence
    # half in the menu and half in post come out right
    said = "amount: +2 frames, corrected_in: post, entered: -1 frame"
    assert camera(offset_corrected_twice, said, "cam: +1 frame").silent


@pytest.mark.parametrize(
    ("offset", "post", "left"),
    [
        # 2 + 2 = 4 frames: 166.83 ms
        ("amount: +2 frames, corrected_in: camera menu, entered: +2 frames", None, 4),
        # -2 - 2 = -4
        ("amount: -2 frames, corrected_in: post", "cam: +2 frames", -4),
        # 2 - 1 = 1
        ("amount: +2 frames, corrected_in: camera menu, entered: -1 frame", None, 1),
        # 0 + 1
        ("amount: 0 frames, corrected_in: camera menu, entered: +1 frame", None, 1),
        # +2 in the menu and +2 taken out again
        ("amount: +2 frames, corrected_in: post, entered: +2 frames", "cam: +2 frames", 2),
    ],
)
def test_what_a_wrong_correction_leaves(offset: str, post: str | None, left: int) -> None:
    came = camera(offset_wrongly_corrected, offset, post)
    assert came.amounts["label error left in frames"] == left
    assert came.one.level is (Level.ERROR if abs(left) > 1 else Level.WARNING)
    assert camera(offset_corrected_twice, offset, post).silent
    assert camera(fixed_delay_not_corrected, offset, post).findings == []


def test_the_wrong_sign_is_told_as_such_with_the_right_one() -> None:
    came = camera(offset_wrongly_corrected, "amount: +2 frames, corrected_in: camera menu, entered: +2 frames")
    assert "the wrong sign" in came.one.sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam/offset/entered", "-2 frames")


def test_a_remainder_below_half_a_frame_is_left_alone() -> None:
    # 83.417 - 80 = 3.4 ms
    assert camera(offset_wrongly_corrected, "amount: +2 frames, corrected_in: camera menu, entered: -80 ms").silent


# --- the sheet and the leads -----------------------------------------------------------------------------------


def test_a_sheet_that_says_one_frame_where_the_leads_make_two() -> None:
    came = wired(offset_not_as_its_paths, offset="amount: +1 frame, corrected_in: post")
    assert came.one.level is Level.WARNING
    assert came.amounts["apart in frames"] == 1
    assert came.one.fix is not None
    assert [getattr(edit, "value", "") for edit in came.one.fix.edits] == ["+2 frames"]
    # and nothing else is told of it
    assert wired(fixed_delay_not_corrected, offset="amount: +1 frame").findings == []
    assert wired(offset_wrongly_corrected, offset="amount: +1 frame, corrected_in: post").silent


def test_a_measured_offset_is_not_overwritten() -> None:
    came = wired(offset_not_as_its_paths, offset="amount: +1 frame, corrected_in: post, tested: 2026-06-11")
    assert came.one.fix is not None
    assert came.one.fix.edits == ()
    assert "measured on 2026-06-11" in came.one.sentence


def test_a_sheet_that_agrees_to_less_than_half_a_frame() -> None:
    assert wired(offset_not_as_its_paths, offset="amount: +83 ms, corrected_in: post").silent
    assert wired(offset_not_as_its_paths, offset="amount: +2 frames").silent
    # a camera's own offset says nothing against its leads
    assert camera(offset_not_as_its_paths, "amount: +2 frames").silent


def test_a_slate_and_a_box_behind_a_hop_are_told_as_what_they_are() -> None:
    # 40 ms is a frame at 25; the camera behind the box adds nothing of its own
    devices = (
        "  bag: {able: {class: bag recorder}, timecode: {from: own clock, rate: 25}, records: {sound: {}}}\n"
        "  hop: {name: Radio hop, able: {class: through-thing, passes: {in: [out]}, delay: 40 ms}}\n"
        "  slate: {able: {class: timecode slate}, timecode: {from: in, mode: continuous, rate: 25}}\n"
        "  box: {able: {class: compensated generator}, timecode: {from: in, mode: continuous, rate: 25}}\n"
        "  cam: {able: {class: cinema camera}, timecode: {from: tc, mode: continuous, rate: 25}, "
        "records: {picture: {shot_at: 25}}, offset: {amount: 0 frames, tested: 2026-06-11}}\n"
    )
    links = (
        "  - {from: bag.tc, to: hop.in, carries: LTC, connected: all day}\n"
        "  - {from: hop.out, to: [slate.in, box.in], carries: LTC, connected: all day}\n"
        "  - {from: box.out, to: cam.tc, carries: LTC, connected: all day}\n"
    )
    came = came_of(fixed_delay_not_corrected, rig(devices, links=links))
    assert came.one.who == ("slate", "box")
    assert came.amounts["label error"] == -40
    assert came.one.cost_sentence == "what is laid by slate and box lies 1 frame (40 ms) too early against the rest"
    assert came.one.fix_sentence == "Bring the timecode to slate and box by wire, without Radio hop"
