"""Where timecode stands in the files, and what the copies keep of it."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.dailies import dailies_lose_the_timecode, nobody_says_where_the_timecode_is
from tests.rules.recording_rigs import bare, fed, labelled, shoot
from tests.rules.running import Came, came_of

NOWHERE = "sound: {sample_rate: 48 kHz}"


def where(*devices: str) -> Came:
    return came_of(nobody_says_where_the_timecode_is, shoot(*devices, links=fed("cam_a")))


def test_half_a_day_for_each_kind_of_camera() -> None:
    came = where(labelled(records=NOWHERE), labelled("cam_b", records=NOWHERE))
    assert came.one.who == ("cam_a", "cam_b")
    assert came.amounts == {"trial at most": 0.5}  # both are of one class
    other = labelled("cam_c", records=NOWHERE).replace("cinema camera", "small camera")
    assert where(labelled(records=NOWHERE), other).amounts == {"trial at most": 1}
    assert came.one.level is Level.WARNING


def test_said_in_any_way_it_is_known() -> None:
    assert where(labelled()).silent
    assert where(labelled(records="timecode_on: none")).silent
    assert where(labelled(records="sound: {sample_rate: 48 kHz, tracks: {right: LTC}}")).silent


def test_a_type_that_can_keep_it_in_one_place_only_is_known() -> None:
    kit = labelled(records=NOWHERE).replace("clock: {", "records: {timecode_on: [file]}, clock: {", 1)
    assert where(kit).silent
    either_place = kit.replace("[file]", "[file, left]")
    assert len(where(either_place).findings) == 1


def test_a_camera_without_timecode_keeps_none_anywhere() -> None:
    assert where(labelled(), bare(records=NOWHERE)).silent
    assert where(labelled(), labelled("cam_b", records=NOWHERE, more=", sync_by: none")).silent


# --- dailies ---------------------------------------------------------------------------------------------------


def kept(keep: str, *devices: str, more: str = "") -> Came:
    post = f"dailies: {{keep: {keep}{more}}}"
    return came_of(dailies_lose_the_timecode, shoot(*(devices or (labelled(),)), post=post, links=fed("cam_a")))


LTC = labelled(records="timecode_on: [left], sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: scratch}}")


def test_a_track_that_is_not_kept_takes_the_timecode_with_it() -> None:
    came = kept("[file timecode, right]", LTC)
    assert came.amounts == {"clips without timecode": 40}
    assert came.one.sentence == (
        "cam_a has its only timecode on the left track, and the dailies keep the file timecode and the right track"
    )
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert (str(edit.place), edit.value) == ("project/post/dailies/keep", "[file timecode, right, left]")


def test_a_file_timecode_that_starts_at_zero() -> None:
    came = kept("[]")
    assert came.one.sentence == "cam_a has its only timecode in the file, and the dailies keep nothing of that"
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "[file timecode]"


@pytest.mark.parametrize("keep", ["[left]", "[all tracks]", "[reel, left, right]"])
def test_a_track_that_is_kept(keep: str) -> None:
    assert kept(keep, LTC).silent


def test_ltc_that_is_read_first_becomes_file_timecode() -> None:
    first = ", read_audio_timecode: true"
    assert kept("[file timecode]", LTC, more=first).silent
    assert len(kept("[reel]", LTC, more=first).findings) == 1
    assert kept("[left]", LTC, more=first).silent
    assert len(kept("[file timecode]", LTC, more=", read_audio_timecode: false").findings) == 1


def test_one_of_two_places_is_enough() -> None:
    both = labelled(records="timecode_on: [file, left], sound: {sample_rate: 48 kHz, tracks: {left: LTC}}")
    assert kept("[left]", both).silent
    assert kept("[file timecode]", both).silent
    assert kept("[right]", both).one.sentence.startswith(
        "cam_a has its only timecode in the file and on the left track"
    )


def test_cameras_alike_are_told_at_once_and_others_apart() -> None:
    came = kept("[right]", LTC, LTC.replace("cam_a", "cam_b"), labelled("cam_c"))
    assert [each.who for each in came.findings] == [("cam_a", "cam_b"), ("cam_c",)]


def test_where_nobody_says_it_is_asked_for_if_it_matters() -> None:
    unsaid = labelled(records=NOWHERE)
    assert kept("[file timecode]", unsaid).lacks == ["where cam_a keeps its timecode (records: timecode_on)"]
    assert kept("[file timecode, all tracks]", unsaid).silent


def test_dailies_of_which_nothing_is_said_and_cameras_without_timecode() -> None:
    assert came_of(dailies_lose_the_timecode, shoot(labelled())).silent
    assert kept("[file timecode, reel]", labelled(), bare(records=NOWHERE)).silent
    assert kept("[reel]", labelled(records="timecode_on: none")).silent
