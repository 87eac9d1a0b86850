"""Leads that disagree with the setting, drift that is handed on, chains of cameras, and clips that nobody looks at."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.camera_chains import cameras_in_a_chain
from synclint.rules.comparing import compare_on_recorded_clips
from synclint.rules.jamming import jam_and_lead_disagree, jam_from_a_drifted_source
from tests.rules.a_day import ALL_DAY, FED, JAM, a_day, bag, box, cam, lead, off, roll, slate
from tests.rules.running import Came, came_of

STAYS = lead("bag.tc_out", "cam_a.tc_in", ALL_DAY)
LUNCH = "{at: 13:00, do: jam, of: [cam_a], from: bag}"


# --- the setting and the lead ----------------------------------------------------------------------------------


def leads(*events: str, mode: str, links: str, ppm: str = "20") -> Came:
    return came_of(jam_and_lead_disagree, a_day(*events, devices=bag() + cam(mode=mode, ppm=ppm), links=links))


@pytest.mark.parametrize(("mode", "links"), [("jam", FED), ("continuous", STAYS), ("free run", STAYS)])
def test_a_setting_that_fits_its_lead(mode: str, links: str) -> None:
    assert leads(JAM, mode=mode, links=links).silent


@pytest.mark.parametrize(("mode", "links", "value"), [("continuous", FED, "all day"), ("jam", STAYS, "continuous")])
def test_a_camera_that_drifts_out_of_the_tolerance(mode: str, links: str, value: str) -> None:
    came = leads(JAM, mode=mode, links=links)
    # 07:00 to 19:00 at 20 + 0.5 ppm: 43,200 s × 20.5 ppm = 885.6 ms, and 0.1 ms of the jam (exact arithmetic).
    assert came.amounts["drift"] == pytest.approx(885.7)
    assert came.one.level is Level.ERROR
    (edit,) = came.one.fix.edits if came.one.fix else ()
    assert isinstance(edit, SetValue)
    assert edit.value == value


def test_a_camera_that_stays_within_the_tolerance_is_a_note() -> None:
    came = leads(JAM, mode="continuous", links=FED, ppm="0.2")
    # 43,200 s × 0.7 ppm = 30.24 ms and 0.1 ms, of 40 ms.
    assert came.amounts["drift"] == pytest.approx(30.34)
    assert came.one.level is Level.NOTE


def test_a_jam_at_lunch_is_where_the_drift_starts_anew() -> None:
    # 6 h are the longest between two jams: 21,600 s × 20.5 ppm = 442.8 ms.
    assert leads(JAM, LUNCH, mode="jam", links=STAYS).amounts["drift"] == pytest.approx(442.9)


def test_without_an_accuracy_nothing_is_said() -> None:
    text = a_day(
        JAM,
        devices=bag() + cam().replace("class: cinema camera, ", "").replace(", clock: {accuracy: 2 ppm}", ""),
        links=STAYS,
    )
    assert came_of(jam_and_lead_disagree, text).lacks == ["the clock accuracy of cam_a"]


def test_an_assumed_accuracy_makes_a_warning() -> None:
    text = a_day(JAM, devices=bag() + cam().replace(", clock: {accuracy: 2 ppm}", ""), links=STAYS)
    assert came_of(jam_and_lead_disagree, text).one.level is Level.WARNING


# --- a drift that is handed on ---------------------------------------------------------------------------------

CHAIN = bag() + box(ppm="2.5") + cam(ppm="0.5")
CHAINED = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam_a.tc_in")


def handed(box_at: str, cam_at: str) -> Came:
    events = (
        f"{{at: {box_at}, do: jam, of: [box_a], from: bag}}",
        f"{{at: {cam_at}, do: jam, of: [cam_a], from: box_a}}",
    )
    return came_of(jam_from_a_drifted_source, a_day(*events, devices=CHAIN, links=CHAINED))


def test_a_camera_jammed_from_a_box_that_had_run_for_five_hours() -> None:
    came = handed("07:00", "12:00")
    # 18,000 s × (2.5 + 0.5) ppm = 54 ms, and 0.1 ms of the box's jam. By 19:00 the camera ran 25,200 s at 0.5 ppm
    # (12.6 ms) and the bag in all 43,200 s at 0.5 (21.6 ms): 45 + 12.6 + 21.6 + 0.2 ms of two jams.
    assert came.amounts == {"handed on": pytest.approx(54.1), "off at the end": pytest.approx(79.4)}
    assert came.one.level is Level.WARNING


def test_one_round_hands_on_nothing() -> None:
    assert handed("07:00", "07:00").silent


def test_a_drift_below_a_quarter_of_the_tolerance_is_left_alone() -> None:
    # 10 ms at 3 ppm take 3,333 s; 55 min make 9.9 ms and 0.1 ms, an hour 10.8 ms.
    assert handed("12:00", "12:50").silent
    assert handed("12:00", "13:00").amounts["handed on"] == pytest.approx(10.9)


def test_a_drift_that_stays_within_the_tolerance_is_a_note() -> None:
    came = handed("16:00", "17:00")
    # By 19:00 the camera ran 7,200 s at 0.5 ppm (3.6 ms), the box an hour at 2.5 (9 ms), the bag 3 h at 0.5 (5.4 ms).
    assert came.amounts == {"handed on": pytest.approx(10.9), "off at the end": pytest.approx(18.2)}
    assert came.one.level is Level.NOTE


def test_a_camera_that_follows_the_box_is_the_standard_rig() -> None:
    devices = bag() + box(ppm="2.5") + cam(mode="continuous")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam_a.tc_in", ALL_DAY)
    text = a_day(JAM, "{at: 13:00, do: jam, of: all}", devices=devices, links=links)
    assert came_of(jam_from_a_drifted_source, text).silent


def test_a_jam_from_a_camera_that_follows_a_drifted_box_names_the_box() -> None:
    devices = bag() + box(ppm="2.5") + cam(mode="continuous") + cam("cam_b", ppm="0.5")
    links = (
        lead("bag.tc_out", "box_a.jack")
        + lead("box_a.jack", "cam_a.tc_in", ALL_DAY)
        + lead("cam_a.tc_out", "cam_b.tc_in")
    )
    events = ("{at: 07:00, do: jam, of: [box_a], from: bag}", "{at: 12:00, do: jam, of: [cam_b], from: cam_a}")
    came = came_of(jam_from_a_drifted_source, a_day(*events, devices=devices, links=links))
    assert "from cam_a, which follows box_a, and that had run free since 07:00" in came.one.sentence
    assert came.amounts["handed on"] == pytest.approx(54.1)


# --- cameras in a chain ----------------------------------------------------------------------------------------


def chain(first: str, second: str, *events: str) -> Came:
    devices = bag() + cam(mode="continuous") + cam("cam_b", mode="continuous")
    return came_of(cameras_in_a_chain, a_day(*events, devices=devices, links=first + second))


def test_a_camera_between_the_recorder_and_another_camera() -> None:
    came = chain(STAYS, lead("cam_a.tc_out", "cam_b.tc_in", ALL_DAY))
    # cam_b at 2 ppm against the bag at 0.5 ppm: 2.5 ppm are 9 ms an hour.
    assert came.amounts == {"devices behind it": 1, "parting": 9}
    assert came.one.sentence == "cam_b hangs on cam_a, which hangs on bag"


def test_the_time_for_which_the_middle_is_off_is_told() -> None:
    came = chain(STAYS, lead("cam_a.tc_out", "cam_b.tc_in", ALL_DAY), off("12:00", "12:10", "cam_a"))
    assert came.amounts["left alone"] == 10


def test_two_cameras_on_one_recorder() -> None:
    assert chain(STAYS, lead("bag.tc_out", "cam_b.tc_in", ALL_DAY)).silent


def test_a_camera_that_is_the_master_of_another() -> None:
    devices = cam(source="own clock", mode="free run") + cam("cam_b", mode="continuous")
    text = a_day(devices=devices, links=lead("cam_a.tc_out", "cam_b.tc_in", ALL_DAY), project="rate: 25")
    assert came_of(cameras_in_a_chain, text).silent


# --- clips -----------------------------------------------------------------------------------------------------

COMPARE = "{{at: {}, do: compare, of: [cam_a], against: bag, read_by: {}}}"
TAKE = roll("15:00", "15:20", "cam_a", "bag")


def clips(*events: str, devices: str = "", links: str = FED) -> Came:
    return came_of(compare_on_recorded_clips, a_day(*events, devices=devices or bag() + cam(), links=links))


def test_a_camera_that_nobody_looks_at_is_on_the_checklist() -> None:
    came = clips(JAM, TAKE)
    assert came.findings == []
    (line,) = came.checklist
    assert line.sentence.startswith("After the jam at 07:00: roll cam_a on the running display of bag")


def test_the_slate_is_what_is_filmed() -> None:
    (line,) = clips(JAM, devices=bag() + cam() + slate(), links=FED + lead("bag.tc_out", "slate.jack")).checklist
    assert "on the running display of slate" in line.sentence


def test_a_recorded_clip_after_the_jam() -> None:
    assert clips(JAM, COMPARE.format("07:20", "recorded clip"), TAKE).silent


def test_a_recorded_clip_before_the_last_jam() -> None:
    came = clips(JAM, COMPARE.format("07:20", "recorded clip"), "{at: 13:00, do: jam, of: all}", TAKE)
    assert [line.sentence.split(":")[0] for line in came.checklist] == ["After the jam at 13"]


def test_a_display_only_is_a_note() -> None:
    came = clips(JAM, COMPARE.format("07:20", "display"), TAKE)
    assert came.one.level is Level.NOTE
    assert came.amounts == {"rests on it": 20}


def test_a_display_and_a_clip() -> None:
    assert clips(JAM, COMPARE.format("07:20", "display"), COMPARE.format("07:30", "recorded clip"), TAKE).silent
