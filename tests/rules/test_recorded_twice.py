"""What is cut and what is finished of one camera."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.recorded_twice import edit_and_original_do_not_match
from tests.rules.recording_rigs import fed, labelled, shoot
from tests.rules.running import Came, came_of

FINISH = "timecode_on: [file], reel: A, used_for: [finish]"


def proxied(proxy: str, records: str = FINISH, more: str = "") -> Came:
    camera = labelled(records=f"{records}, proxy: {{{proxy}}}", more=more)
    return came_of(edit_and_original_do_not_match, shoot(camera, links=fed("cam_a")))


def test_a_proxy_of_another_name_is_looked_for_by_eye() -> None:
    came = proxied("reel: P, used_for: [edit], timecode_on: [file]")
    # 40 clips at 10 min: 400 min, 6.6667 h
    assert came.amounts["by hand at most"] == pytest.approx(20 / 3)
    assert came.one.level is Level.WARNING
    assert came.one.sentence == "post cuts proxies of cam_a under reel P and finishes from files of cam_a under reel A"
    assert came.one.cost_sentence.startswith("no cut finds its original by name: 40 clips are matched by eye and ear")
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam_a/records/proxy/reel", "A")


def test_a_proxy_without_timecode_is_looked_for_too() -> None:
    came = proxied("reel: a, used_for: [edit], timecode_on: none")
    assert came.one.sentence == (
        "post cuts proxies of cam_a without timecode and finishes from files of cam_a with timecode"
    )
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("devices/cam_a/records/proxy/timecode_on", "[file]")


def test_both_at_once_are_one_finding_with_two_edits() -> None:
    came = proxied("reel: P, used_for: [edit], timecode_on: [left]")
    assert came.one.cost_sentence.startswith("no cut finds its original by name and timecode")
    assert came.one.fix is not None
    assert len(came.one.fix.edits) == 2


def test_names_and_timecode_alike_are_right() -> None:
    assert proxied("reel: A, used_for: [edit], timecode_on: [file]").silent
    assert proxied("reel: ' a', used_for: [edit], timecode_on: [file, left]").silent


def test_what_is_cut_is_finished_from_itself_or_is_a_spare() -> None:
    both = "timecode_on: [file], reel: A, used_for: [edit, finish]"
    assert proxied("reel: P, used_for: [spare], timecode_on: none", both).silent
    assert proxied("reel: P, used_for: [edit], timecode_on: none", FINISH.replace("[finish]", "[spare]")).silent


def test_what_nobody_says_is_asked_for() -> None:
    assert proxied("used_for: [edit], timecode_on: [file]").lacks == [
        "the reel name of the proxies of cam_a (records: reel)"
    ]
    assert proxied("reel: A, used_for: [edit]").lacks == ["the timecode of the proxies of cam_a (records: timecode_on)"]


def test_two_recordings_without_a_use_are_a_line_of_the_checklist() -> None:
    came = proxied("reel: P", "timecode_on: [file], reel: A")
    assert not came.findings
    (line,) = came.checklist
    assert line.sentence == (
        "cam_a is recorded twice, as files of cam_a and proxies of cam_a: agree with post which one is cut and which "
        "one finished, and relink one test clip"
    )


def on_top(recorder: str, camera: str = FINISH, more: str = "", carries: str = "SDI timecode") -> Came:
    cam = labelled(records=camera, more=more).replace("tc_in: {in: [LTC]}", "tc_in: {in: [LTC]}, sdi: {out: [picture]}")
    rec = (
        "  rec_a: {able: {class: video recorder, ports: {sdi_in: {in: [SDI timecode, picture]}}}, "
        f"records: {{picture: {{shot_at: 25}}, {recorder}}}}}\n"
    )
    link = f"  - {{from: cam_a.sdi, to: rec_a.sdi_in, carries: {carries}, connected: all day}}\n"
    return came_of(edit_and_original_do_not_match, shoot(cam, rec, links=fed("cam_a") + link))


@pytest.mark.parametrize("carries", ["SDI timecode", "picture"])
def test_a_recorder_on_top_is_a_recording_of_the_camera(carries: str) -> None:
    came = on_top("timecode_on: [file], reel: X1, used_for: [edit]", carries=carries)
    assert came.one.sentence == "post cuts files of rec_a under reel X1 and finishes from files of cam_a under reel A"
    assert came.one.who == ("cam_a",)
    assert on_top("timecode_on: [file], reel: A, used_for: [edit]", carries=carries).silent


def test_a_camera_that_only_starts_its_recorder_is_recorded_once() -> None:
    only = on_top(
        "timecode_on: [file], reel: X1, used_for: [edit, finish]", "timecode_on: [file], reel: A", ", trigger: true"
    )
    assert only.silent


def test_a_recorder_of_several_cameras_is_nobodys_copy() -> None:
    cams = "".join(
        labelled(key, records=FINISH).replace("tc_in: {in: [LTC]}", "tc_in: {in: [LTC]}, sdi: {out: [picture]}")
        for key in ("cam_a", "cam_b")
    )
    rec = (
        "  mixer: {passes: {in_1: [pgm], in_2: [pgm]}}\n"
        "  rec: {able: {class: video recorder, ports: {sdi_in: {in: [picture]}}}, "
        "records: {picture: {shot_at: 25}, timecode_on: none, reel: PGM, used_for: [edit]}}\n"
    )
    links = (
        "  - {from: cam_a.sdi, to: mixer.in_1, carries: picture, connected: all day}\n"
        "  - {from: cam_b.sdi, to: mixer.in_2, carries: picture, connected: all day}\n"
        "  - {from: mixer.pgm, to: rec.sdi_in, carries: picture, connected: all day}\n"
    )
    assert came_of(edit_and_original_do_not_match, shoot(cams, rec, links=links)).silent
