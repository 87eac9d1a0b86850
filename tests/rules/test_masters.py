"""Who labels whom: masters, followers, and devices that wait or do not listen."""

from __future__ import annotations

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.listening import fed_but_on_own_clock, nobody_makes_timecode, nothing_arrives, tied_to_nothing
from synclint.rules.masters import (
    another_master_than_meant,
    single_master_without_spare,
    two_timecode_masters,
    unsuitable_master,
)
from tests.rules.running import came_of, rig

DAY = "call: 06:30, wrap: 19:00"  # 12.5 hours


def gen(key: str, ppm: str = "", cls: str = "field recorder", mode: str = "free run", more: str = "") -> str:
    """A device on its own clock, with an input and an output."""
    clock = f", clock: {{accuracy: {ppm} ppm}}" if ppm else ""
    ports = "ports: {tc_out: {out: [LTC]}, tc_in: {in: [LTC]}}"
    return (
        f"  {key}: {{able: {{class: {cls}, {ports}{clock}}}, "
        f"timecode: {{from: own clock, mode: {mode}, rate: 25}}{more}}}\n"
    )


def box(key: str, mode: str = "jam", more: str = "") -> str:
    """A device that listens to its jack."""
    ports = "ports: {jack: {in: [LTC], out: [LTC]}}"
    able = f"able: {{class: compensated generator, {ports}, clock: {{accuracy: 1 ppm}}}}"
    return f"  {key}: {{{able}, timecode: {{from: jack, mode: {mode}, rate: 25}}{more}}}\n"


def camera(key: str, source: str = "tc_in", mode: str = "continuous", more: str = "") -> str:
    """A camera with a timecode input."""
    able = "able: {class: cinema camera, ports: {tc_in: {in: [LTC]}, other: {in: [LTC]}}, clock: {accuracy: 2 ppm}}"
    records = "records: {picture: {shot_at: 25, played_at: 25}}"
    return f"  {key}: {{{able}, timecode: {{from: {source}, mode: {mode}, rate: 25}}, {records}{more}}}\n"


def small_camera(key: str) -> str:
    """A camera without timecode that records LTC as sound."""
    able = "able: {class: small camera, ports: {mic_in: {in: [sound, LTC]}}}"
    sound = "sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: scratch}}"
    return f"  {key}: {{{able}, records: {{picture: {{shot_at: 25}}, {sound}, timecode_on: [left]}}}}\n"


def lead(source: str, target: str, connected: str = "to jam", carries: str = "LTC") -> str:
    return f"  - {{from: {source}, to: {target}, carries: {carries}, connected: {connected}}}\n"


def meant(key: str) -> str:
    return f"rate: 25, master: {{timecode: {key}}}"


# --- two masters -----------------------------------------------------------------------------------------------


def two(first_ppm: str = "0.5", other_ppm: str = "1", **parts: str) -> str:
    devices = gen("bag", first_ppm) + gen("gen_2", other_ppm) + box("box_a") + box("box_b")
    links = lead("bag.tc_out", "box_a.jack") + lead("gen_2.tc_out", "box_b.jack")
    return rig(parts.pop("devices", devices), links=parts.pop("links", links), **parts)


def test_two_masters_part_at_the_sum_of_their_errors() -> None:
    # 0.5 + 1 = 1.5 ppm; 1 ppm is 3.6 ms an hour: 5.4 ms an hour, times 12.5 h: 67.5 ms
    came = came_of(two_timecode_masters, two(project=meant("bag"), day=DAY))
    assert came.one.level is Level.ERROR
    assert came.amounts == {"parting": pytest.approx(5.4), "parting over the day": pytest.approx(67.5)}
    assert "5.4 ms an hour" in came.one.cost_sentence
    assert came.one.who == ("gen_2",)
    assert str(came.one.at) == "devices/gen_2/timecode/from"
    assert "labels box_b, while bag labels the rest" in came.one.sentence
    assert [str(mention.place) for mention in came.one.also] == ["devices/bag/timecode/from"]
    assert came.one.fix is not None
    assert [(str(edit.place), edit.value) for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        ("devices/gen_2/timecode/from", "tc_in"),
        ("devices/gen_2/timecode/mode", "jam"),
    ]


def test_the_meant_master_is_the_one_to_keep() -> None:
    assert came_of(two_timecode_masters, two(project=meant("gen_2"))).one.who == ("bag",)


def test_without_a_meant_one_the_master_of_more_devices_is_kept() -> None:
    devices = gen("bag") + gen("gen_2") + box("box_a") + box("box_b") + box("box_c")
    links = lead("bag.tc_out", "box_a.jack") + lead("gen_2.tc_out", "box_b.jack") + lead("gen_2.tc_out", "box_c.jack")
    assert came_of(two_timecode_masters, two(devices=devices, links=links)).one.who == ("bag",)


def test_three_masters_are_two_findings() -> None:
    devices = gen("bag") + gen("gen_2") + gen("gen_3") + box("box_a") + box("box_b") + box("box_c")
    links = "".join(
        lead(f"{source}.tc_out", f"box_{box}.jack") for source, box in (("bag", "a"), ("gen_2", "b"), ("gen_3", "c"))
    )
    came = came_of(two_timecode_masters, two(devices=devices, links=links, project=meant("bag")))
    assert [finding.who for finding in came.findings] == [("gen_2",), ("gen_3",)]


def test_numbers_that_rest_on_a_class_say_so_and_the_level_stays() -> None:
    # nobody states the accuracies: 1 ppm is assumed of a recorder, 5 of a cinema camera: 6 ppm, 21.6 ms an hour
    devices = gen("bag") + gen("cam", cls="cinema camera") + box("box_a") + box("box_b")
    links = lead("bag.tc_out", "box_a.jack") + lead("cam.tc_out", "box_b.jack")
    came = came_of(two_timecode_masters, two(devices=devices, links=links, project=meant("bag")))
    assert came.amounts == {"parting": pytest.approx(21.6)}
    assert came.one.level is Level.ERROR
    assert len(came.one.assumptions) == 2


def test_an_unknown_accuracy_leaves_the_numbers_out() -> None:
    devices = gen("bag", "0.5") + gen("gen_2", cls="display") + box("box_a") + box("box_b")
    came = came_of(two_timecode_masters, two(devices=devices, project=meant("bag")))
    assert came.amounts == {}
    assert "whole seconds" in came.one.cost_sentence


def test_a_camera_that_records_ltc_as_sound_makes_a_master_too() -> None:
    devices = gen("bag") + gen("gen_2") + box("box_a") + small_camera("cam")
    links = lead("bag.tc_out", "box_a.jack") + lead("gen_2.tc_out", "cam.mic_in", "all day")
    assert (
        "labels cam"
        in came_of(two_timecode_masters, two(devices=devices, links=links, project=meant("bag"))).one.sentence
    )


UNITS = "  second: {master: gen_2, cut_with: main, shares_timecode: false}\n"


def test_two_units_that_share_no_timecode_may_each_have_a_master() -> None:
    assert came_of(two_timecode_masters, two(project=meant("bag"), units=UNITS)).silent


@pytest.mark.parametrize("shares", ["true", None])
def test_units_that_share_timecode_may_not(shares: str | None) -> None:
    unit = f"  second: {{master: gen_2, cut_with: main{f', shares_timecode: {shares}' if shares else ''}}}\n"
    assert came_of(two_timecode_masters, two(project=meant("bag"), units=unit)).one.who == ("gen_2",)


def test_a_unit_is_of_those_who_say_so() -> None:
    devices = gen("bag") + gen("gen_2", more=", unit: second") + box("box_a") + box("box_b", more=", unit: second")
    units = "  second: {shares_timecode: false}\n"
    assert came_of(two_timecode_masters, two(devices=devices, units=units, project=meant("bag"))).silent


def test_own_clock_everywhere_is_no_crowd_of_masters() -> None:
    text = rig(gen("bag") + gen("cam_1..cam_8", cls="cinema camera"), project=meant("bag"), day=DAY)
    for rule in (two_timecode_masters, another_master_than_meant, nobody_makes_timecode, nothing_arrives):
        assert came_of(rule, text).silent
    for rule in (fed_but_on_own_clock, unsuitable_master, single_master_without_spare):
        assert came_of(rule, text).silent


def test_one_master_by_way_of_another_is_one() -> None:
    devices = gen("bag") + box("box_a") + camera("cam")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam.tc_in", "all day")
    assert came_of(two_timecode_masters, rig(devices, links=links)).silent


def test_a_master_that_does_not_hear_its_feed_is_told_elsewhere() -> None:
    devices = gen("bag") + gen("gen_2") + box("box_a") + box("box_b")
    links = lead("bag.tc_out", "box_a.jack") + lead("gen_2.tc_out", "box_b.jack") + lead("bag.tc_out", "gen_2.tc_in")
    text = rig(devices, links=links, project=meant("bag"))
    assert came_of(two_timecode_masters, text).silent
    assert came_of(fed_but_on_own_clock, text).one.who == ("gen_2",)


# --- another than meant ----------------------------------------------------------------------------------------


def test_another_master_than_the_one_meant() -> None:
    devices = gen("bag") + gen("gen_2") + box("box_a") + box("box_b")
    links = lead("gen_2.tc_out", "box_a.jack") + lead("gen_2.tc_out", "box_b.jack")
    came = came_of(another_master_than_meant, rig(devices, links=links, project=meant("bag")))
    assert "the sheet names bag as timecode master" in came.one.sentence
    assert "bag is not tied to it" in came.one.sentence
    assert str(came.one.at) == "project/master/timecode"
    assert came.amounts["devices on the other master"] == 2
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "gen_2"),)


def test_a_meant_master_that_follows_another() -> None:
    devices = gen("gen_2") + box("bag")
    came = came_of(
        another_master_than_meant, rig(devices, links=lead("gen_2.tc_out", "bag.jack"), project=meant("bag"))
    )
    assert "bag itself follows it" in came.one.sentence


@pytest.mark.parametrize("project", [meant("bag"), meant("none"), "rate: 25"])
def test_the_master_that_is_meant(project: str) -> None:
    text = rig(gen("bag") + box("box_a"), links=lead("bag.tc_out", "box_a.jack"), project=project)
    assert came_of(another_master_than_meant, text).silent


# --- nothing arrives -------------------------------------------------------------------------------------------


def test_nobody_makes_timecode() -> None:
    devices = box("box_a") + box("box_b") + camera("cam")
    came = came_of(nobody_makes_timecode, rig(devices, links=lead("box_a.jack", "cam.tc_in", "all day")))
    assert came.one.who == ("box_a", "box_b")
    assert "box_a and box_b wait for it" in came.one.sentence
    assert came.amounts == {"devices without timecode": 3}  # the camera hangs on a box that waits
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "own clock"),)
    assert came_of(nothing_arrives, rig(devices)).silent  # one finding for one fault


def test_somebody_makes_timecode() -> None:
    assert came_of(nobody_makes_timecode, rig(gen("bag") + box("box_a"))).silent
    assert came_of(nobody_makes_timecode, rig("  cam: {able: {class: cinema camera}}\n")).silent


def test_nothing_arrives_at_one_device() -> None:
    devices = gen("bag") + box("box_a") + camera("cam", source="other")
    links = lead("bag.tc_out", "box_a.jack") + lead("bag.tc_out", "cam.tc_in", "all day")
    came = came_of(nothing_arrives, rig(devices, links=links, day=DAY))
    assert came.one.who == ("cam",)
    assert str(came.one.at) == "devices/cam/timecode/from"
    assert came.amounts == {"devices without timecode": 1}
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "tc_in"),)  # where it does arrive


def test_what_hangs_on_a_device_that_waits_is_counted_with_it() -> None:
    devices = gen("bag") + box("box_a") + camera("cam_1") + camera("cam_2")
    links = lead("box_a.jack", "cam_1.tc_in", "all day") + lead("box_a.jack", "cam_2.tc_in", "all day")
    came = came_of(nothing_arrives, rig(devices, links=links))
    assert came.one.who == ("box_a",)
    assert came.amounts == {"devices without timecode": 3}


def test_a_range_that_waits_is_one_finding() -> None:
    came = came_of(nothing_arrives, rig(gen("bag") + camera("cam_1..cam_3")))
    assert came.one.who == ("cam_1", "cam_2", "cam_3")
    assert came.amounts == {"devices without timecode": 3}
    assert "take timecode" in came.one.sentence


def test_a_port_for_outside_time_waits_for_no_lead() -> None:
    able = "able: {class: network leader, ports: {gnss: {in: [GNSS]}, out: {out: [LTC]}}}"
    devices = f"  gm: {{{able}, timecode: {{from: gnss, mode: continuous, rate: 25}}}}\n" + box("box_a")
    text = rig(devices, links=lead("gm.out", "box_a.jack"), project=meant("gm"))
    for rule in (nobody_makes_timecode, nothing_arrives, two_timecode_masters, another_master_than_meant):
        assert came_of(rule, text).silent


def test_a_member_of_a_network_waits_for_no_lead() -> None:
    leader = (
        "  gm: {able: {class: network leader, ports: {media: {out: [PTP]}}}, timecode: {from: own clock, rate: 25}}\n"
    )
    member = "  gw: {able: {class: network gateway, ports: {media: {in: [PTP]}}}, timecode: {from: media, rate: 25}}\n"
    text = rig(leader + member) + "networks:\n  main: {carries: PTP, leaders: [gm.media], members: [gw.media]}\n"
    for rule in (nothing_arrives, nobody_makes_timecode, fed_but_on_own_clock, two_timecode_masters):
        assert came_of(rule, text).silent


def test_a_device_that_records_ltc_as_sound_listens_to_nothing_and_waits_for_nothing() -> None:
    text = rig(gen("bag") + small_camera("cam"), links=lead("bag.tc_out", "cam.mic_in", "all day"))
    for rule in (nothing_arrives, nobody_makes_timecode, fed_but_on_own_clock, two_timecode_masters):
        assert came_of(rule, text).silent


# --- fed, and deaf ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("connected", "mode"), [("to jam", "jam"), ("all day", "continuous")])
def test_fed_but_on_its_own_clock(connected: str, mode: str) -> None:
    devices = gen("bag") + camera("cam", source="own clock", mode="free run")
    came = came_of(fed_but_on_own_clock, rig(devices, links=lead("bag.tc_out", "cam.tc_in", connected), day=DAY))
    assert came.one.level is Level.ERROR
    assert came.one.who == ("cam",)
    assert came.one.fix is not None
    assert [(str(edit.place), edit.value) for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        ("devices/cam/timecode/from", "tc_in"),
        ("devices/cam/timecode/mode", mode),
    ]
    assert [str(mention.place) for mention in came.one.also] == ["links/0"]


def test_several_that_do_not_listen_to_one_clock_are_one_finding() -> None:
    devices = gen("bag") + camera("cam_1", "own clock", "free run") + camera("cam_2", "own clock", "free run")
    links = lead("bag.tc_out", "cam_1.tc_in", "all day") + lead("bag.tc_out", "cam_2.tc_in", "all day")
    came = came_of(fed_but_on_own_clock, rig(devices, links=links))
    assert came.one.who == ("cam_1", "cam_2")
    assert "cam_1 and cam_2 are fed timecode from bag" in came.one.sentence


def test_a_lead_back_into_the_master_to_compare_is_silent() -> None:
    devices = gen("bag") + box("box_a")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "bag.tc_in", "to compare")
    text = rig(devices, links=links, project=meant("bag"))
    for rule in (fed_but_on_own_clock, two_timecode_masters, another_master_than_meant, nothing_arrives):
        assert came_of(rule, text).silent


def test_a_lead_back_into_the_master_with_another_word_is_a_note() -> None:
    devices = gen("bag") + box("box_a")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "bag.tc_in", "all day")
    assert came_of(fed_but_on_own_clock, rig(devices, links=links, project=meant("bag"))).one.level is Level.NOTE


# --- fit to be a master ----------------------------------------------------------------------------------------


def jammed_from(master: str, **parts: str) -> str:
    return rig(master + box("box_a"), links=lead("bag.tc_out", "box_a.jack", parts.pop("connected", "to jam")), **parts)


def test_a_master_in_record_run_stops() -> None:
    came = came_of(unsuitable_master, jammed_from(gen("bag", "1", mode="record run")))
    assert came.one.level is Level.ERROR
    assert str(came.one.at) == "devices/bag/timecode/mode"
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "free run"),)


def test_a_trigger_in_record_run_is_silent() -> None:
    assert came_of(unsuitable_master, jammed_from(gen("bag", "1", mode="record run", more=", trigger: true"))).silent


def test_a_device_in_record_run_that_labels_nobody_else_is_silent() -> None:
    assert came_of(unsuitable_master, rig(gen("bag", "1", mode="record run") + gen("gen_2", "1"))).silent


def test_a_coarse_clock_takes_the_jammed_along() -> None:
    # 20 ppm is 72 ms an hour, 900 ms in 12.5 h
    came = came_of(unsuitable_master, jammed_from(gen("bag", "20"), day=DAY))
    assert came.one.level is Level.WARNING
    assert came.amounts == {"drift": pytest.approx(72)}
    assert "900 ms" in came.one.cost_sentence
    assert "Make box_a the master" in came.one.fix_sentence  # a generator, stated at 1 ppm


@pytest.mark.parametrize("ppm", ["5", "4.9"])
def test_where_coarse_begins(ppm: str) -> None:
    assert came_of(unsuitable_master, jammed_from(gen("bag", ppm))).silent is (ppm == "4.9")


def test_nobody_is_a_better_master_than_itself_nor_one_as_coarse() -> None:
    ports = "ports: {jack: {in: [LTC]}}"
    devices = gen("bag", "20") + gen("gen_2", "30")
    devices += f"  cam: {{able: {{class: cinema camera, {ports}}}, timecode: {{from: jack, mode: jam, rate: 25}}}}\n"
    came = came_of(unsuitable_master, rig(devices, links=lead("bag.tc_out", "cam.jack")))
    assert came.one.fix_sentence == "Make a recorder or a timecode generator the master"


def test_what_a_class_suggests_is_at_most_a_warning_and_says_so() -> None:
    came = came_of(unsuitable_master, jammed_from(gen("bag", cls="phone")))
    assert came.one.level is Level.WARNING
    assert [fact.why.partition(":")[0] for fact in came.one.assumptions] == ["class phone"]


def test_who_follows_all_day_is_carried_along_by_a_coarse_clock() -> None:
    text = rig(gen("bag", "20") + camera("cam"), links=lead("bag.tc_out", "cam.tc_in", "all day"))
    assert came_of(unsuitable_master, text).silent


def test_an_unknown_clock_is_not_judged() -> None:
    assert came_of(unsuitable_master, jammed_from(gen("bag", cls="display"))).lacks == ["the clock accuracy of bag"]


# --- a spare ---------------------------------------------------------------------------------------------------


def hung(more: str = "", links: str = "", boxes: int = 3) -> str:
    devices = gen("bag", "1", more=", records: {sound: {sample_rate: 48 kHz}}")
    devices += "".join(camera(f"cam_{n}", mode="jam") for n in range(boxes)) + more
    return rig(devices, links="".join(lead("bag.tc_out", f"cam_{n}.tc_in") for n in range(boxes)) + links)


def test_all_on_one_generator() -> None:
    came = came_of(single_master_without_spare, hung())
    assert came.one.level is Level.NOTE
    assert came.amounts == {"time to set the rig right": 2}  # what was jammed runs on; one lead back into the master
    assert [line.who for line in came.checklist] == [("bag",)]


def test_a_spare_box_that_labels_nobody() -> None:
    came = came_of(single_master_without_spare, hung(box("spare"), lead("bag.tc_out", "spare.jack")))
    assert came.findings == []
    assert len(came.checklist) == 1


def test_a_box_that_labels_a_camera_is_no_spare() -> None:
    more = box("box_a") + camera("cam_x")
    links = lead("bag.tc_out", "box_a.jack") + lead("box_a.jack", "cam_x.tc_in", "all day")
    came = came_of(single_master_without_spare, hung(more, links))
    assert came.amounts == {"time to set the rig right": 2}
    assert came.one.sentence.startswith("5 devices")


def test_cameras_that_follow_the_master_live_stop_with_it() -> None:
    devices = gen("bag") + camera("cam_1") + camera("cam_2")
    links = lead("bag.tc_out", "cam_1.tc_in", "all day") + lead("bag.tc_out", "cam_2.tc_in", "all day")
    came = came_of(single_master_without_spare, rig(devices, links=links))
    # two cameras to feed again and the master to bring back, 2 min each
    assert came.amounts == {"time to set the rig right": 6}
    assert "cam_1 and cam_2 lose their time at once" in came.one.cost_sentence


def test_the_fit_of_another_master_is_asked_before_it_is_crowned() -> None:
    devices = camera("cam", source="own clock", mode="record run") + gen("bag", mode="free run")
    devices += box("box_a")
    links = lead("cam.other", "box_a.jack")
    came = came_of(another_master_than_meant, rig(devices, links=links, project=meant("bag")))
    assert came.one.fix is not None
    assert came.one.fix.edits == ()
    assert came.one.fix.says.startswith("Turn the lead round: set bag to its own clock")


def test_one_follower_needs_no_spare() -> None:
    assert came_of(single_master_without_spare, hung(boxes=1)).silent


def test_a_camera_on_its_own_clock_beside_a_rig_that_follows_a_master() -> None:
    devices = gen("bag") + camera("cam_1") + camera("cam_2", "own clock", "free run")
    came = came_of(tied_to_nothing, rig(devices, links=lead("bag.tc_out", "cam_1.tc_in", "all day")))
    assert came.one.level is Level.ERROR
    assert came.one.who == ("cam_2",)
    assert "nothing ties it to bag" in came.one.sentence


@pytest.mark.parametrize(
    ("devices", "links"),
    [
        # nobody was meant to be tied to anybody
        (camera("cam_1", "own clock", "free run") + camera("cam_2", "own clock", "free run"), ""),
        # its own files carry the LTC on a track, and its own clock is nobody's business
        (gen("bag") + camera("cam_1") + small_camera("cam_2"), lead("bag.tc_out", "cam_1.tc_in", "all day")),
        # another rule tells of what is plugged in and not heard
        (
            gen("bag") + camera("cam_1") + camera("cam_2", "own clock", "free run"),
            lead("bag.tc_out", "cam_1.tc_in", "all day") + lead("bag.tc_out", "cam_2.tc_in", "all day"),
        ),
    ],
)
def test_own_clocks_that_are_no_fault(devices: str, links: str) -> None:
    assert came_of(tied_to_nothing, rig(devices, links=links)).silent


# --- what is named as a master and makes no time ---------------------------------------------------------------

THROUGH = "  split: {able: {ports: {i: {in: [LTC]}, o: {out: [LTC]}}, passes: {i: [o]}}}\n"
FED = lead("bag.tc_out", "cam.tc_in", "all day") + lead("bag.tc_out", "cam_2.tc_in", "all day")


def test_a_master_of_a_unit_that_only_passes_signals_on() -> None:
    devices = gen("bag", "1") + camera("cam") + camera("cam_2", more=", unit: second") + THROUGH
    text = rig(devices, links=FED, units="  second: {master: split, shares_timecode: false}\n", project=meant("bag"))
    came = came_of(unsuitable_master, text)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "split is named as the master of unit second and has no clock: it only passes on what comes in"
    )
    assert came.amounts == {"devices without a master": 1}  # cam_2
    assert str(came.one.at) == "units/second/master"
    assert came.one.fix is not None
    assert came.one.fix.edits == (SetValue(came.one.at, "bag"),)
    assert came_of(unsuitable_master, text.replace("master: split", "master: bag")).silent


@pytest.mark.parametrize(("kind", "count"), [("timecode", 3), ("clock", 3)])
def test_a_master_of_the_project_that_only_passes_signals_on(kind: str, count: int) -> None:
    devices = gen("bag", "1") + camera("cam") + camera("cam_2") + THROUGH
    text = rig(devices, links=FED, project=f"rate: 25, master: {{{kind}: split}}")
    came = came_of(unsuitable_master, text)
    assert came.one.sentence.startswith(f"split is named as the {kind} master and has no clock")
    assert came.amounts == {"devices without a master": count}  # bag, cam and cam_2
    # Nobody paces another here, so that there is none to write in its place.
    assert bool(came.one.fix and came.one.fix.edits) is (kind == "timecode")
    assert came_of(another_master_than_meant, text).silent
