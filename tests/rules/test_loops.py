"""Chains that come back to where they began, and devices between two clocks."""

from __future__ import annotations

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.listening import fed_but_on_own_clock
from synclint.rules.loops import (
    clock_loop,
    label_and_pace_unrelated,
    master_follows_its_follower,
    timecode_loop,
)
from tests.rules.running import Came, came_of, rig

DAY = "call: 06:30, wrap: 19:00"  # 12.5 hours
MEANT = "rate: 25, master: {timecode: bag}"
PORTS = "ports: {tc_in: {in: [LTC, SDI timecode]}, out: {out: [LTC, SDI timecode]}}"
CIRCLES = (timecode_loop, master_follows_its_follower)


def runs(key: str, source: str, mode: str, ppm: str = "0.5") -> str:
    able = f"able: {{class: field recorder, {PORTS}, clock: {{accuracy: {ppm} ppm}}}}"
    return f"  {key}: {{{able}, timecode: {{from: {source}, mode: {mode}, rate: 25}}}}\n"


def lead(source: str, target: str, connected: str = "all day", carries: str = "LTC") -> str:
    return f"  - {{from: {source}.out, to: {target}.tc_in, carries: {carries}, connected: {connected}}}\n"


def pair(bag: tuple[str, str], box: tuple[str, str], forth: str, back: str) -> str:
    """A master and its box, source and mode of each, with a lead forth and one back."""
    devices = runs("bag", *bag) + runs("box", *box, "1")
    return rig(devices, links=lead("bag", "box", forth) + lead("box", "bag", back), project=MEANT, day=DAY)


# --- the lead back into the master -----------------------------------------------------------------------------


@pytest.mark.parametrize("mode", ["jam", "continuous"])
def test_a_feed_back_into_the_master_to_compare_is_silent(mode: str) -> None:
    text = pair(
        ("own clock", "free run"), ("tc_in", mode), "all day" if mode == "continuous" else "to jam", "to compare"
    )
    for rule in (*CIRCLES, fed_but_on_own_clock):
        assert came_of(rule, text).silent


def test_a_master_on_that_port_with_a_continuous_follower_is_a_loop() -> None:
    text = pair(("tc_in", "continuous"), ("tc_in", "continuous"), "all day", "to compare")
    came = came_of(timecode_loop, text)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "timecode runs in a circle: bag to box to bag"
    assert str(came.one.at) == "devices/bag/timecode/from"  # the master should be the one that does not listen
    assert came.one.fix is not None
    quiet, lead_back = came.one.fix.edits
    assert quiet == SetValue(came.one.at, "own clock")
    assert isinstance(lead_back, SetValue)  # else it is fed and does not listen
    assert (str(lead_back.place), lead_back.value) == ("links/1/connected", "to compare")
    assert came.amounts == {"added each time round": 2}
    assert "80 ms" in came.one.cost_sentence  # two frames of 40 ms
    assert came_of(master_follows_its_follower, text).silent


def test_a_master_on_that_port_with_a_jammed_follower_follows_its_follower() -> None:
    # 0.5 + 1 = 1.5 ppm; at 3.6 ms an hour for each ppm: 5.4 ms an hour, 67.5 ms in 12.5 h
    text = pair(("tc_in", "continuous"), ("tc_in", "jam"), "to jam", "all day")
    came = came_of(master_follows_its_follower, text)
    assert came.one.level is Level.ERROR
    assert came.one.who == ("bag",)
    assert came.one.sentence == "bag is set to take timecode from box, which has its time from bag"
    assert came.amounts == {"drift handed on": pytest.approx(5.4)}
    assert "5.4 ms" in came.one.cost_sentence
    assert "67.5 ms" in came.one.cost_sentence
    assert came_of(timecode_loop, text).silent


@pytest.mark.parametrize("back", ["to compare", "to jam", "all day"])
def test_both_jammed_is_no_running_loop(back: str) -> None:
    text = pair(("tc_in", "jam"), ("tc_in", "jam"), "to jam", back)
    assert came_of(timecode_loop, text).silent
    assert came_of(master_follows_its_follower, text).one.who == ("bag",)


def test_jams_in_turn_from_a_master_outside_are_silent() -> None:
    # the bag is jammed from the generator in the morning, the box from the bag, and the bag from the box after lunch
    devices = runs("gen", "own clock", "free run") + runs("bag", "tc_in", "jam") + runs("box", "tc_in", "jam")
    links = lead("gen", "bag", "to jam") + lead("bag", "box", "to jam") + lead("box", "bag", "to jam")
    for rule in CIRCLES:
        assert came_of(rule, rig(devices, links=links, project=MEANT)).silent


def test_a_source_outside_that_is_itself_in_a_loop_brings_no_time() -> None:
    devices = "".join(runs(key, "tc_in", "jam") for key in ("a", "b", "c", "d"))
    links = "".join(lead(one, other, "to jam") for one, other in ("ab", "ba", "cd", "dc", "ca"))
    came = came_of(master_follows_its_follower, rig(devices, links=links))
    assert len(came.findings) == 2


def test_a_lead_to_compare_beside_the_true_feed_is_silent() -> None:
    devices = (
        runs("gen", "own clock", "free run") + runs("bag", "tc_in", "continuous") + runs("box", "tc_in", "continuous")
    )
    links = lead("gen", "bag") + lead("bag", "box") + lead("box", "bag", "to compare")
    for rule in CIRCLES:
        assert came_of(rule, rig(devices, links=links)).silent


# --- loops -----------------------------------------------------------------------------------------------------


def circle(size: int, mode: str = "continuous", project: str = "rate: 25") -> str:
    devices = "".join(runs(f"d{n}", "tc_in", mode) for n in range(size))
    return rig(devices, links="".join(lead(f"d{n}", f"d{(n + 1) % size}") for n in range(size)), project=project)


def test_a_circle_of_three() -> None:
    came = came_of(timecode_loop, circle(3))
    assert came.one.who == ("d0", "d1", "d2")
    assert came.one.sentence == "timecode runs in a circle: d0 to d1 to d2 to d0"
    assert [str(mention.place) for mention in came.one.also] == ["devices/d1/timecode/from", "devices/d2/timecode/from"]
    assert "120 ms" in came.one.cost_sentence  # three frames of 40 ms


def test_a_device_that_feeds_itself() -> None:
    came = came_of(timecode_loop, rig(runs("bag", "tc_in", "continuous"), links=lead("bag", "bag")))
    assert came.one.who == ("bag",)
    assert came.amounts == {"added each time round": 1}


def test_a_long_circle_is_said_shortly() -> None:
    came = came_of(timecode_loop, circle(200))
    assert len(came.one.who) == 200
    assert len(came.one.sentence) < 120
    assert "193 more" in came.one.sentence  # seven are named of 200


def test_two_circles_are_two_findings() -> None:
    devices = "".join(runs(key, "tc_in", "continuous") for key in "abcd")
    links = "".join(lead(one, other) for one, other in ("ab", "ba", "cd", "dc"))
    assert len(came_of(timecode_loop, rig(devices, links=links)).findings) == 2


def test_a_knot_is_one_finding() -> None:
    keys = [f"d{n}" for n in range(12)]
    devices = "".join(runs(key, "tc_in", "continuous") for key in keys)
    links = "".join(lead(one, other) for one in keys for other in keys if one != other)
    assert came_of(timecode_loop, rig(devices, links=links)).one.who == ("d0", "d1")


def test_a_circle_through_a_jammed_device_that_nobody_feeds_from_outside() -> None:
    devices = runs("a", "tc_in", "continuous") + runs("b", "tc_in", "jam") + runs("c", "tc_in", "continuous")
    text = rig(devices, links=lead("a", "b", "to jam") + lead("b", "c") + lead("c", "a"))
    assert came_of(timecode_loop, text).silent
    assert came_of(master_follows_its_follower, text).one.who == ("a",)


def test_through_a_splitter_and_back() -> None:
    devices = runs("bag", "tc_in", "continuous") + runs("box", "tc_in", "continuous")
    devices += "  dist: {passes: {in: [out_1..out_4]}}\n"
    links = "  - {from: bag.out, to: dist.in, carries: LTC, connected: all day}\n"
    links += "  - {from: dist.out_1, to: box.tc_in, carries: LTC, connected: all day}\n" + lead("box", "bag")
    assert came_of(timecode_loop, rig(devices, links=links)).one.who == ("bag", "box")


def test_own_clock_everywhere_is_silent() -> None:
    devices = runs("bag", "own clock", "free run") + runs("box", "own clock", "free run")
    text = rig(devices, project=MEANT, day=DAY)
    for rule in (*CIRCLES, clock_loop, label_and_pace_unrelated):
        assert came_of(rule, text).silent


# --- loops of references ---------------------------------------------------------------------------------------


def paced(key: str, source: str, ppm: str = "") -> str:
    clock = f", clock: {{accuracy: {ppm} ppm}}" if ppm else ""
    ports = "ports: {ref_in: {in: [word clock]}, ref_out: {out: [word clock]}}"
    return f"  {key}: {{able: {{class: field recorder, {ports}{clock}}}, clock: {{from: {source}}}}}\n"


def reference(source: str, target: str) -> str:
    return f"  - {{from: {source}.ref_out, to: {target}.ref_in, carries: word clock, connected: all day}}\n"


def test_a_circle_of_references() -> None:
    links = reference("a", "b") + reference("b", "a")
    came = came_of(clock_loop, rig(paced("a", "ref_in") + paced("b", "ref_in"), links=links))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "the reference runs in a circle: a to b to a"
    assert str(came.one.at) == "devices/a/clock/from"
    assert "180 ms an hour" in came.one.cost_sentence  # 50 ppm of 3600 s


def test_the_meant_clock_is_the_one_that_should_not_listen() -> None:
    text = rig(
        paced("a", "ref_in") + paced("b", "ref_in"),
        links=reference("a", "b") + reference("b", "a"),
        project="rate: 25, master: {clock: b}",
    )
    assert str(came_of(clock_loop, text).one.at) == "devices/b/clock/from"


def test_a_tree_of_references_is_silent() -> None:
    devices = paced("a", "own clock") + paced("b", "ref_in") + paced("c", "ref_in")
    assert came_of(
        clock_loop, rig(devices, links=reference("a", "b") + reference("b", "c") + reference("c", "a"))
    ).silent


def test_a_circle_of_timecode_leads_is_no_circle_of_references() -> None:
    assert came_of(clock_loop, circle(3)).silent


# --- between two clocks ----------------------------------------------------------------------------------------


def between(
    writer: str = "2",
    pace: str = "3",
    *,
    rate: str = "24",
    mode: str = "continuous",
    writer_clock: str = "clock: {from: own clock}",
    camera_clock: str = "ref_in",
    more: str = "",
    master: str = "",
) -> Came:
    """A camera that takes LTC from a recorder and a reference from a generator, with the errors of both in ppm."""
    devices = (
        f"  bag: {{able: {{class: field recorder, ports: {{out: {{out: [LTC]}}, ref_in: {{in: [tri-level]}}}}, "
        f"clock: {{accuracy: {writer} ppm}}}}, timecode: {{from: own clock, rate: {rate}}}, {writer_clock}}}\n"
        f"  gen: {{able: {{class: sync generator, ports: {{ref: {{out: [tri-level]}}}}, "
        f"clock: {{accuracy: {pace} ppm}}}}, clock: {{from: own clock}}}}\n"
        f"  cam: {{able: {{class: cinema camera, ports: {{tc_in: {{in: [LTC]}}, ref_in: {{in: [tri-level]}}}}}}, "
        f"timecode: {{from: tc_in, mode: {mode}, rate: {rate}}}, clock: {{from: {camera_clock}}}}}\n"
    )
    links = "  - {from: bag.out, to: cam.tc_in, carries: LTC, connected: all day}\n"
    links += "  - {from: gen.ref, to: cam.ref_in, carries: tri-level, connected: all day}\n" + more
    return came_of(label_and_pace_unrelated, rig(devices, links=links, project=f"rate: {rate}{master}"))


def test_a_label_slides_against_the_frame() -> None:
    # 2 + 3 = 5 ppm; a frame at 24 is 41.667 ms; 0.041667 / 0.000005 = 8333.3 s = 2 h 18 min 53 s
    came = between()
    assert came.one.level is Level.ERROR
    assert came.amounts == {"time to a repeated or skipped label": pytest.approx(8333.33, abs=0.01)}
    assert "every 2 h 19 min" in came.one.cost_sentence
    assert came.one.who == ("cam",)
    assert str(came.one.at) == "devices/cam/timecode/from"
    assert came.one.fix is not None
    # jammed once, and by a lead that is there only for that
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["jam", "to jam"]


def test_the_same_at_25() -> None:
    # 0.5 + 0.5 = 1 ppm; 40 ms / 0.000001 = 40000 s
    assert between("0.5", "0.5", rate="25").amounts == {"time to a repeated or skipped label": pytest.approx(40000)}


def test_a_camera_that_was_jammed_counts_on_its_reference() -> None:
    assert between(mode="jam").silent


def test_a_camera_that_paces_itself_is_told_elsewhere() -> None:
    assert between(camera_clock="own clock").silent


def test_a_recorder_on_the_same_reference_is_related() -> None:
    tied = "  - {from: gen.ref, to: bag.ref_in, carries: tri-level, connected: all day}\n"
    assert between(writer_clock="clock: {from: ref_in}", more=tied).silent


def test_a_writer_that_is_only_assumed_to_pace_itself_makes_it_a_warning() -> None:
    came = between(writer_clock="trigger: false")
    assert came.one.level is Level.WARNING
    assert len(came.one.assumptions) == 1
    assert came.one.assumptions[0].value == "own clock"


def test_a_reference_that_comes_from_nowhere_is_not_judged_here() -> None:
    assert between(writer_clock="clock: {from: ref_in}").silent


def test_a_recorder_of_sound_is_stamped_once() -> None:
    devices = (
        "  bag: {timecode: {from: own clock, rate: 25}, clock: {from: own clock}}\n"
        "  gen: {clock: {from: own clock}}\n"
        "  rec: {able: {class: field recorder, ports: {tc_in: {in: [LTC]}, wc: {in: [word clock]}}}, "
        "timecode: {from: tc_in, mode: continuous, rate: 25}, clock: {from: wc}, "
        "records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}}\n"
    )
    links = "  - {from: bag.out, to: rec.tc_in, carries: LTC, connected: all day}\n"
    links += "  - {from: gen.wc, to: rec.wc, carries: word clock, connected: all day}\n"
    assert came_of(label_and_pace_unrelated, rig(devices, links=links, project="rate: 25")).silent


@pytest.mark.parametrize(("master", "locked"), [("", "Lock bag to gen"), (", master: {clock: bag}", "Lock gen to bag")])
def test_the_master_is_locked_to_nobody(master: str, locked: str) -> None:
    came = between(rate="25", master=master)
    assert came.one.fix_sentence.startswith(f"{locked} with word clock or black burst; or jam cam once")


def test_a_sync_generator_is_not_locked_to_a_stray() -> None:
    devices = (
        "  gen: {able: {class: sync generator}, timecode: {from: own clock, rate: 25}, clock: {from: own clock}}\n"
        "  stray: {able: {class: small camera, ports: {out: {out: [picture]}}}, clock: {from: own clock}}\n"
        "  rec: {able: {class: video recorder, ports: {tc_in: {in: [LTC]}, in: {in: [picture]}}}, "
        "timecode: {from: tc_in, mode: continuous, rate: 25}, clock: {from: in}}\n"
    )
    links = "  - {from: gen.out, to: rec.tc_in, carries: LTC, connected: all day}\n"
    links += "  - {from: stray.out, to: rec.in, carries: picture, connected: all day}\n"
    came = came_of(label_and_pace_unrelated, rig(devices, links=links, project="rate: 25"))
    assert came.one.fix_sentence.startswith("Lock stray to gen")
