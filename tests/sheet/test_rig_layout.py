"""Who stands where in the picture of a rig: layers, folding, circles, what hangs on nothing, and marks."""

from __future__ import annotations

import pytest

from synclint.findings import Finding, Level, Mention
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.model import Setup
from synclint.sheet.rig_content import Content, content_of
from synclint.sheet.rig_knots import knots
from synclint.sheet.rig_marks import marks_of
from synclint.sheet.rig_picture import scene_of
from synclint.sheet.rig_rows import rows_of
from synclint.sheet.rig_tracks import Upright, crossings, lanes_of, tracks_of
from synclint.sheet.rig_uprights import upright
from synclint.sheet.rig_wires import Role, Way, wiring_of
from synclint.sheet.rig_words import names_of
from tests.sheet import chance, rigs, scenes

PLAIN_BAG = rigs.SECOND_BAG.replace("unit: second, ", "")
PLAIN_BOX = rigs.JAMMED.replace(", unit: second", "")


def content(text: str, findings: tuple[Finding, ...] = (), most: int = 150) -> Content:
    rig = rigs.from_text(text, check=False)
    return content_of(rig.setup, TimecodeGraph(rig.setup), ClockGraph(rig.setup), findings, most)


def setup_of(text: str) -> Setup:
    return rigs.from_text(text, check=False).setup


def layers(made: Content) -> list[list[str]]:
    """The names in each layer, in the order of drawing."""
    found: dict[int, list[str]] = {}
    for group in made.plan.order:
        found.setdefault(made.plan.layers[group], []).append(made.boxes[group].headline)
    return [found[layer] for layer in sorted(found)]


def lines(made: Content) -> dict[str, str]:
    """What arrives at each box, by its name."""
    plan = made.plan
    return {
        f"{made.boxes[made.bundle(index).source].name} → {made.boxes[group].name}: {made.labels[index].signal}": (
            f"{made.labels[index].out} → {made.labels[index].into}"
        )
        for group in plan.order
        for index in plan.arriving[group]
    }


def bag_and_boxes(count: int) -> rigs.Rigging:
    """A bag as the master, with boxes jammed from it."""
    rig = rigs.Rigging("Bag and boxes", master="bag")
    rig.add("bag", PLAIN_BAG)
    rig.add(rigs.several("box", count), PLAIN_BOX)
    rig.link("bag.tc_out", f"{rigs.several('box', count)}.jack", how="to jam")
    return rig


# --- layers ---


def test_layers_go_down_from_the_master() -> None:
    assert layers(content(rigs.of_8())) == [
        ["air_master"],
        ["bag", "box_1", "box_2", "slate_1"],
        ["cam_1", "cam_2"],
        ["rec_1"],
    ]


def test_what_paces_stands_above_what_it_paces() -> None:
    # bag 1, splitter 2, gen 3; the desk is labelled by the splitter (3) and paced by gen, so it is in layer 4.
    made = content(rigs.of_23())
    assert layers(made) == [
        ["air_master"],
        ["bag", "box_1", "5 × box_2 … box_6", "slate_1"],
        ["splitter", "cam_1", "5 × cam_2 … cam_6"],
        ["gen", "rec_1"],
        ["desk", "3 × studio_1 … studio_3"],
    ]
    # It hangs in the tree on what labels it.
    desk = next(group for group in made.plan.order if made.boxes[group].name == "desk")
    assert made.boxes[made.bundle(made.plan.parent[desk]).source].name == "splitter"


def test_the_meant_master_comes_first_whatever_the_file_says_first() -> None:
    rig = rigs.Rigging("Two masters", master="bag")
    rig.add("aux", PLAIN_BAG)
    rig.add("bag", PLAIN_BAG)
    rig.add("box_1..box_2", PLAIN_BOX)
    rig.link("aux.tc_out", "box_1.jack", how="to jam")
    rig.link("bag.tc_out", "box_2.jack", how="to jam")
    made = content(rig.text)
    assert [made.boxes[group].name for group in made.plan.order] == ["bag", "box_2", "aux", "box_1"]
    assert [made.boxes[group].told.tags for group in made.plan.order] == [("MASTER",), (), (), ()]


def test_a_feed_to_compare_makes_nobody_a_follower() -> None:
    rig = bag_and_boxes(1)
    rig.link("box_1.jack", "bag.tc_out", how="to compare")
    made = content(rig.text)
    assert layers(made) == [["bag"], ["box_1"]]
    (back,) = [index for index in made.plan.drawn if made.bundle(index).way is Way.COMPARE]
    assert made.plan.goes_back(back)
    assert not made.loops(back)


def test_what_one_hangs_on_shares_the_row_of_its_first_and_the_others_stand_below() -> None:
    made = content(rigs.of_8())
    rows, crossed = rows_of(made.plan)
    assert {made.boxes[group].name: row for group, row in rows.items()} == {
        "air_master": 0, "bag": 0, "box_1": 1, "cam_1": 1, "rec_1": 1, "box_2": 2, "cam_2": 2, "slate_1": 3,
    }  # fmt: skip
    assert not crossed


# --- lines ---


def test_a_line_says_its_signal_and_its_ports() -> None:
    assert lines(content(rigs.of_8())) == {
        "air_master → bag: timecode, radio": "radio → radio",
        "air_master → box_1: timecode, radio": "radio → radio",
        "air_master → box_2: timecode, radio": "radio → radio",
        "air_master → slate_1: timecode, radio": "radio → radio",
        "box_1 → cam_1: LTC": "jack → tc_in",
        "box_2 → cam_2: LTC": "jack → tc_in",
        "cam_1 → rec_1: HDMI timecode": "hdmi_out → hdmi_in",
    }


def test_lines_are_told_apart_by_what_they_do_and_how_long_they_are_there() -> None:
    setup = setup_of(rigs.of_41())
    wires = wiring_of(setup, TimecodeGraph(setup), ClockGraph(setup)).wires
    kinds = {(wire.source, wire.target): (wire.role, wire.way) for wire in wires if wire.signal != "word clock"}
    assert kinds["air_master", "bag"] == (Role.LABEL, Way.AIR)
    assert kinds["box_1", "cam_1"] == (Role.LABEL, Way.ALL_DAY)
    assert kinds["bag_2", "unit_box_1"] == (Role.LABEL, Way.JAM)
    assert kinds["gen", "studio_1"] == (Role.PACE, Way.ALL_DAY)
    # A recorder of pictures is labelled and paced by the pictures that come in.
    assert kinds["cam_1", "rec_1"] == (Role.BOTH, Way.ALL_DAY)


def test_a_radio_that_steers_the_clock_is_one_line_that_does_both() -> None:
    rig = rigs.Rigging("Steered")
    rig.add("air_master", rigs.MASTER)
    rig.add("slate_1", rigs.SLATE.replace("clock: {from: own clock}", "clock: {from: radio}"))
    rig.receives = ["slate_1.radio"]
    setup = setup_of(rig.text.replace("carries: timecode}", "carries: timecode, resync: {every: 1 s, sets: clock}}"))
    (wire,) = wiring_of(setup, TimecodeGraph(setup), ClockGraph(setup)).wires
    assert (wire.role, wire.signal) == (Role.BOTH, "timecode + clock")


def test_what_arrives_and_is_not_listened_to_is_told() -> None:
    rig = rigs.Rigging("Deaf", master="bag")
    rig.add("bag", PLAIN_BAG)
    rig.add("cam", rigs.CAMERA.replace("from: tc_in, mode: continuous", "from: own clock, mode: free run"))
    rig.link("bag.tc_out", "cam.tc_in")
    made = content(rig.text)
    (index,) = made.plan.drawn
    assert not made.bundle(index).taken
    assert made.labels[index].signal == "LTC, not followed"
    assert layers(made) == [["bag"], ["cam"]]


def test_sound_is_left_out_with_a_word_but_not_where_a_finding_is_about_it() -> None:
    rig = bag_and_boxes(1)
    rig.add("mic", rigs.MIC)
    rig.add("phone", rigs.PHONE)
    rig.link("mic.line_out", "phone.mic_in", "sound")
    made = content(rig.text)
    assert made.notes == (
        "Not drawn: links that neither label nor pace (1 for sound), and 1 device that only passes these on.",
    )
    assert [made.boxes[group].name for group in made.plan.orphans] == ["phone"]
    setup = setup_of(rig.text)
    marked = content(rig.text, (chance.finding(setup.links[-1].place),))
    assert not marked.notes
    assert [marked.bundle(index).role for index in marked.plan.drawn] == [Role.LABEL, Role.OTHER]


# --- folding ---


def test_devices_wired_alike_are_one_box() -> None:
    made = content(rigs.of_60())
    names = {made.boxes[group].headline for group in (*made.plan.order, *made.plan.orphans)}
    # Of 12 boxes four have a camera with a recorder, and of 8 cameras in the studio five are on the chain.
    assert names == {
        "air_master", "bag", "4 × box_1 … box_4", "8 × box_5 … box_12", "4 × cam_1 … cam_4", "8 × cam_5 … cam_12",
        "4 × rec_1 … rec_4", "4 × slate_1 … slate_4", "splitter", "gen", "desk", "5 × studio_1 … studio_5",
        "3 × studio_6 … studio_8", "bag_2", "4 × unit_box_1 … unit_box_4", "4 × unit_cam_1 … unit_cam_4",
        "5 × phone_1 … phone_5",
    }  # fmt: skip


def test_two_are_not_folded_and_three_are() -> None:
    assert layers(content(bag_and_boxes(2).text)) == [["bag"], ["box_1", "box_2"]]
    assert layers(content(bag_and_boxes(3).text)) == [["bag"], ["3 × box_1 … box_3"]]


def test_what_feeds_something_else_is_not_folded_with_its_like() -> None:
    rig = bag_and_boxes(5)
    rig.add("cam", rigs.CAMERA)
    rig.link("box_2.jack", "cam.tc_in")
    # Three from 3 to 5 and box_1 are alike: four that feed nothing.
    assert layers(content(rig.text)) == [["bag"], ["4 × box_1, box_3 … box_5", "box_2"], ["cam"]]


def test_followers_of_two_splitters_are_not_folded_together() -> None:
    rig = rigs.Rigging("Two splitters", master="bag")
    rig.add("bag", PLAIN_BAG)
    rig.add("split_1..split_2", rigs.SPLITTER)
    rig.add("cam_1..cam_6", rigs.CAMERA)
    rig.link("bag.tc_out", "split_1..split_2.in")
    rig.link("split_1.out_1..out_3", "cam_1..cam_3.tc_in")
    rig.link("split_2.out_1..out_3", "cam_4..cam_6.tc_in")
    made = content(rig.text)
    assert layers(made) == [["bag"], ["split_1", "split_2"], ["3 × cam_1 … cam_3", "3 × cam_4 … cam_6"]]
    assert lines(made)["split_2 → cam_4 … cam_6: LTC"] == "out_1…3 → tc_in"


def test_a_chain_of_references_is_one_box_and_says_so() -> None:
    made = content(rigs.of_23())
    assert lines(made)["gen → studio_1 … studio_3: tri-level, loop-through"] == "ref_1 → ref_in"
    # The splitter's leads are one for each camera, and nothing loops them through.
    assert lines(made)["splitter → studio_1 … studio_3: LTC"] == "out_3…5 → tc_in"


def test_a_finding_about_one_of_many_takes_it_out_of_the_box() -> None:
    text = bag_and_boxes(5).text
    setup = setup_of(text)
    place = setup.devices["box_3"].place
    made = content(text, (chance.finding(place, who=("box_3",)),))
    assert layers(made) == [["bag"], ["4 × box_1, box_2 … box_5", "box_3"]]
    alike = content(text, (chance.finding(place, who=tuple(f"box_{n}" for n in range(1, 6))),))
    assert layers(alike) == [["bag"], ["5 × box_1 … box_5"]]
    assert alike.boxes[alike.plan.order[1]].marks == ((Level.ERROR, "1 ERROR"),)


def test_devices_that_run_differently_are_not_folded() -> None:
    rig = rigs.Rigging("Modes", master="bag")
    rig.add("bag", PLAIN_BAG)
    rig.add("box_1..box_3", PLAIN_BOX)
    rig.add("box_4..box_6", PLAIN_BOX.replace("mode: jam", "mode: continuous"))
    rig.link("bag.tc_out", "box_1..box_6.jack")
    assert layers(content(rig.text)) == [["bag"], ["3 × box_1 … box_3", "3 × box_4 … box_6"]]


def test_a_great_rig_is_folded_and_one_that_cannot_be_is_cut_with_a_word() -> None:
    rig = bag_and_boxes(400)
    made = content(rig.text)
    assert layers(made) == [["bag"], ["400 × box_1 … box_400"]]
    setup = setup_of(rig.text)
    each = tuple(chance.finding(device.place, who=(key,)) for key, device in setup.devices.items())
    cut = content(rig.text, each, most=50)
    assert len(cut.plan.order) == 50
    assert cut.notes == ("Not drawn: 351 more devices, for which there is no room; the report has them all.",)


# --- circles ---


def test_a_circle_is_marked_where_it_comes_back() -> None:
    rig = rigs.Rigging("Round", master="bag")
    rig.add("bag", PLAIN_BAG.replace("from: own clock, mode: free run", "from: tc_in, mode: continuous"))
    rig.add("box_1", PLAIN_BOX)
    rig.add("box_2", PLAIN_BOX)
    rig.link("bag.tc_out", "box_1.jack")
    rig.link("bag.tc_out", "box_2.jack")
    rig.link("box_1.jack", "bag.tc_in")
    made = content(rig.text.replace("tc_out: {out: [LTC]}", "tc_out: {out: [LTC]}, tc_in: {in: [LTC]}"))
    assert layers(made) == [["bag"], ["box_1", "box_2"]]
    looped = [index for index in made.plan.drawn if made.loops(index)]
    assert [made.boxes[made.bundle(index).source].name for index in looped] == ["box_1"]
    for width in (390, 1280):
        chips = [chip for box in scene_of(made, width).boxes for chip in box.chips] + scene_of(made, width).chips
        assert [chip.says for chip in chips] == ["LOOP"]


def test_one_that_listens_to_itself_is_a_circle() -> None:
    rig = rigs.Rigging("Itself", master="box")
    rig.add("box", PLAIN_BOX)
    rig.link("box.jack", "box.jack")
    made = content(rig.text)
    assert [made.loops(index) for index in made.plan.drawn] == [True]
    assert not scenes.faults(scene_of(made, 1280))


@pytest.mark.parametrize(
    ("edges", "found"),
    [
        ({"a": ["b"], "b": ["c"], "c": []}, []),
        ({"a": ["b"], "b": ["a"], "c": ["a"]}, [{"a", "b"}]),
        ({"a": ["a"], "b": ["b", "c"], "c": ["b"], "d": ["zzz"]}, [{"a"}, {"b", "c"}]),
        ({"a": ["b"], "b": ["c"], "c": ["d", "b"], "d": ["a"]}, [{"a", "b", "c", "d"}]),
    ],
)
def test_knots_are_the_parts_that_lead_back_to_themselves(edges: dict[str, list[str]], found: list[set[str]]) -> None:
    told = knots(edges)
    assert [{key for key, its in told.items() if its == number} for number in dict.fromkeys(told.values())] == found


# --- what hangs on nothing ---


def test_what_no_line_leads_to_hangs_on_nothing() -> None:
    rig = bag_and_boxes(1)
    rig.add("phone_1..phone_3", rigs.PHONE)
    made = content(rig.text)
    assert [made.boxes[group].headline for group in made.plan.orphans] == ["3 × phone_1 … phone_3"]
    for width in (390, 1280):
        scene = scene_of(made, width)
        assert "Hangs on nothing" in [text.says for text in scene.texts]
        (loose,) = [box for box in scene.boxes if box.loose]
        assert all(box.y + box.height < loose.y for box in scene.boxes if box is not loose)


def test_what_waits_for_something_says_so() -> None:
    rig = rigs.Rigging("Waits", master="bag")
    rig.add("bag", PLAIN_BAG)
    rig.add("cam", rigs.STUDIO_CAMERA)
    made = content(rig.text)
    assert made.boxes[1].lines == ("continuous", "nothing arrives at tc_in", "no reference at ref_in")


# --- marks ---


def test_marks_stand_at_the_devices_that_a_finding_names_or_points_at() -> None:
    setup = setup_of(bag_and_boxes(3).text)
    boxes = setup.devices["box_1"].place  # all three are one entry of the file
    bag = setup.devices["bag"].timecode.rate.place
    findings = (
        chance.finding(boxes, who=("box_2",)),
        chance.finding(boxes, Level.WARNING),
        chance.finding(setup.project.place, Level.NOTE),
        chance.finding(bag),
        chance.finding(setup.project.place, who=("box_3",)),
    )
    assert marks_of(setup, findings).devices == {
        "box_1": (2,), "box_2": (1, 2), "box_3": (2, 5), "bag": (4,),
    }  # fmt: skip


def test_a_setting_taken_over_from_another_marks_only_who_is_named() -> None:
    rig = bag_and_boxes(1)
    rig.add("spare", "{like: box_1}")
    setup = setup_of(rig.text)
    finding = chance.finding(setup.devices["spare"].timecode.mode.place, who=("spare",))
    assert finding.at.path[:2] == ("devices", "box_1")
    assert marks_of(setup, (finding,)).devices == {"spare": (1,)}


def test_marks_stand_at_links_and_of_many_in_one_entry_only_at_those_of_who_is_named() -> None:
    setup = setup_of(bag_and_boxes(3).text)
    place = setup.links[0].place
    finding = chance.finding(place, who=("box_2",))
    also = finding.record.finding(at=setup.devices["bag"].place, says="it is wrong", also=(Mention(place, "here"),))
    assert marks_of(setup, (finding, also)).links == {0: (2,), 1: (1, 2), 2: (2,)}


def test_the_marks_of_a_box_are_one_a_level_the_worst_first() -> None:
    text = bag_and_boxes(1).text
    place = setup_of(text).devices["bag"].place
    levels = [Level.WARNING, Level.ERROR, Level.NOTE, Level.ERROR, Level.ERROR, Level.ERROR]
    made = content(text, tuple(chance.finding(place, level) for level in levels))
    bag = made.plan.order[0]
    assert made.boxes[bag].marks == (
        (Level.ERROR, "2, 4 +2 ERROR"), (Level.WARNING, "1 WARNING"), (Level.NOTE, "3 NOTE"),
    )  # fmt: skip


# --- names ---


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (["cam"], "cam"),
        (["cam_1", "cam_2", "cam_3"], "cam_1 … cam_3"),
        (["Camera A", "Camera B", "Camera C"], "Camera A, Camera B and Camera C"),
        (["cam_1", "cam_3", "cam_4", "cam_5"], "cam_1, cam_3 … cam_5"),
        (["a", "b", "c", "d", "e"], "a, b … e"),
    ],
)
def test_a_group_is_called_by_its_range_or_its_first_names(names: list[str], said: str) -> None:
    assert names_of(names) == said


# --- where lines run ---


def test_lines_in_a_gap_run_in_the_order_in_which_they_cross_least() -> None:
    # The upper one goes to the middle, the lower one from there down: the upper one to the right crosses nothing.
    upper, lower = Upright((10,), (50, 100)), Upright((60,), (150, 200))
    # The other way round: 100 goes through the lower one (60 to 200), and 60 through the upper one (10 to 100).
    assert (crossings(upper, lower), crossings(lower, upper)) == (2, 0)
    assert tracks_of([upper, lower]) == [1, 0]


def test_lines_that_do_not_meet_share_a_track_and_straight_ones_need_none() -> None:
    assert tracks_of([Upright((10,), (20,)), Upright((40,), (60,)), Upright((30,), (30,))]) == [0, 0, 0]


def test_lanes_that_touch_are_apart() -> None:
    assert lanes_of([(0, 2), (2, 3), (3, 4), (4, 5)]) == [0, 1, 0, 1]
    assert lanes_of([(0, 1), (2, 3)]) == [0, 0]


def test_a_line_has_a_joint_only_where_three_ways_meet() -> None:
    straight = upright(50, [(10, 0), (10, 100)])
    assert straight == ([(0, 10, 100, 10)], [])
    pieces, joints = upright(50, [(10, 0), (10, 100), (40, 100), (70, 100)])
    assert pieces == [(50, 10, 50, 70), (0, 10, 50, 10), (50, 10, 100, 10), (50, 40, 100, 40), (50, 70, 100, 70)]
    assert joints == [(50, 10), (50, 40)]  # at 70 it only turns


@pytest.mark.parametrize("width", [390, 680, 1280, 2400])
@pytest.mark.parametrize("seed", [*range(8), 32, 196, 197])
def test_nothing_lies_on_anything_in_rigs_thrown_together(seed: int, width: int) -> None:
    rig = chance.thrown(seed)
    made = content_of(rig.setup, TimecodeGraph(rig.setup), ClockGraph(rig.setup), rig.findings)
    assert not scenes.faults(scene_of(made, width))
