"""The plain values for people: rates, trees, what was assumed."""

from __future__ import annotations

import pytest

from synclint.checker import check_text
from synclint.overview import DEEPEST_TREE, Branch, Overview

HEAD = "synclint: setup/1\ntitle: T\nproject: {rate: 25, sample_rate: 48 kHz}\n"


def overview(devices: str, links: str = "", more: str = "") -> Overview:
    text = f"{HEAD}devices:\n{devices}" + (f"links:\n{links}" if links else "") + more
    report = check_text(text)
    assert report.overview is not None, [finding.sentence for finding in report.findings]
    return report.overview


def own(key: str, more: str = "") -> str:
    return f"  {key}: {{timecode: {{from: own clock, mode: free run, rate: 25}}{more}}}\n"


def box(key: str, mode: str = "jam", more: str = "") -> str:
    return f"  {key}: {{timecode: {{from: jack, mode: {mode}, rate: 25}}{more}}}\n"


def lead(source: str, target: str, connected: str = "to jam") -> str:
    return f"  - {{from: {source}, to: {target}.jack, carries: LTC, connected: {connected}}}\n"


# --- what was assumed ------------------------------------------------------------------------------------------


def test_what_a_class_suggests_is_listed_with_what_it_rests_on() -> None:
    rows = overview("  cam_1..cam_2: {able: {class: cinema camera}}\n  bag: {able: {class: phone}}\n").assumed
    accuracies = {row.devices: row for row in rows if row.what == "clock accuracy"}
    assert accuracies["cam_1", "cam_2"].value == "5 ppm"
    assert accuracies["cam_1", "cam_2"].why.startswith("class cinema camera: ")
    assert accuracies["bag",].value == "30 ppm"


def test_what_is_stated_is_not_listed() -> None:
    able = "able: {class: phone, clock: {accuracy: 2 ppm}}"
    rows = overview(f"  cam: {{{able}, clock: {{from: own clock}}}}\n").assumed
    assert {row.what for row in rows} == {"tolerance"}


def test_a_pace_a_rate_of_files_and_the_tolerance_may_be_assumed() -> None:
    rows = {row.what: row for row in overview("  cam: {records: {picture: {shot_at: 50}}}\n").assumed}
    assert rows["paced by"].value == "own clock"
    assert (rows["played at"].value, rows["played at"].devices) == ("25", ("cam",))
    assert (rows["tolerance"].value, rows["tolerance"].devices) == ("1 frame", ("the whole rig",))


def test_that_a_jammed_device_keeps_its_time_while_it_is_off_is_told() -> None:
    day = "days: [{call: 07:00, wrap: 19:00, events: [{at: 10:00, do: power off, of: [cam], until: 10:05}]}]\n"

    def told(able: str) -> list[tuple[str, ...]]:
        rows = overview(own("bag") + box("cam", more=f", able: {{timecode: {{{able}}}}}"), more=day).assumed
        return [row.devices for row in rows if row.what == "while off"]

    assert told("modes: [jam]") == [("cam",)]
    assert told("keeps_time_off: 2 h") == told("loses_time_on: [power off]") == told("loses_time_on: []") == []


def test_nothing_is_assumed_of_a_through_thing() -> None:
    rows = overview("  dist: {able: {class: through-thing}, passes: {in: [out]}}\n").assumed
    assert {row.what for row in rows} == {"tolerance"}


# --- the rate strip --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("says", "cells", "odd"),
    [
        ("timecode: {from: own clock, rate: 25}", ("25", "-", "-"), ()),
        ("timecode: {from: own clock, rate: 24}", ("24", "-", "-"), ("timecode",)),
        ("timecode: {from: own clock}", ("not stated", "-", "-"), ()),
        ("timecode: {from: own clock, rate: 23.976 NDF}", ("23.976 NDF", "-", "-"), ("timecode",)),
        ("records: {picture: {shot_at: 50, played_at: 25}}", ("-", "50 played at 25", "-"), ("picture",)),
        ("records: {picture: {shot_at: variable}}", ("-", "variable", "-"), ()),
        ("records: {picture: {played_at: 25}}", ("-", "not stated", "-"), ()),
        ("records: {picture: {played_at: 24}}", ("-", "not stated", "-"), ("picture",)),
        ("records: {sound: {sample_rate: 48 kHz}}", ("-", "-", "48 kHz"), ()),
        ("records: {sound: {sample_rate: 96 kHz}}", ("-", "-", "96 kHz"), ("sound",)),
        (
            "records: {sound: {sample_rate: 48.048 kHz, stamped: 48 kHz}}",
            ("-", "-", "48.048 kHz stamped 48 kHz"),
            ("sound",),
        ),
    ],
)
def test_a_row_of_the_rate_strip(says: str, cells: tuple[str, str, str], odd: tuple[str, ...]) -> None:
    (row,) = overview(f"  cam: {{{says}}}\n").rates
    assert (row.timecode, row.picture, row.sound) == cells
    assert row.odd == odd


def test_devices_that_are_set_alike_share_a_row() -> None:
    rows = overview(
        own("a") + "  b: {timecode: {from: own clock, rate: 24}}\n" + own("c") + "  dist: {passes: {in: [x]}}\n"
    ).rates
    assert [row.devices for row in rows] == [("a", "c"), ("b",)]


# --- the trees -------------------------------------------------------------------------------------------------


def test_the_tree_of_timecode() -> None:
    devices = own("bag") + box("box_a") + box("box_b") + box("cam", "continuous") + own("lone")
    links = lead("bag.out", "box_a") + lead("bag.out", "box_b") + lead("box_a.jack", "cam", "all day")
    made = overview(devices, links)
    camera = Branch(("cam",), "continuous by lead, LTC")
    assert made.timecode_tree == (
        Branch(
            ("bag",),
            "own clock, free run",
            (Branch(("box_a",), "jam by lead, LTC", (camera,)), Branch(("box_b",), "jam by lead, LTC")),
        ),
    )
    assert made.timecode_loose == ("lone (own clock, labels nobody else)",)


def test_leaves_that_hang_alike_share_a_line() -> None:
    links = "  - {from: bag.out, to: box_1..box_4.jack, carries: LTC, connected: to jam}\n"
    (root,) = overview(own("bag") + box("box_1..box_4"), links).timecode_tree
    assert root.below == (Branch(("box_1", "box_2", "box_3", "box_4"), "jam by lead, LTC"),)


def test_what_lies_between_is_said() -> None:
    links = "  - {from: bag.out, to: dist.in, carries: LTC, connected: all day}\n" + lead("dist.out", "box_a")
    (root,) = overview(own("bag") + "  dist: {passes: {in: [out]}}\n" + box("box_a"), links).timecode_tree
    assert root.below[0].how == "jam by lead, LTC, through dist"


def test_who_waits_and_who_goes_round_in_a_circle() -> None:
    devices = own("bag") + box("waits") + box("a", "continuous") + box("b", "continuous")
    made = overview(devices, lead("a.jack", "b", "all day") + lead("b.jack", "a", "all day"))
    assert made.timecode_loose == (
        "bag (own clock, labels nobody else)",
        "waits (waits for timecode at jack)",
        "a (in a loop)",
        "b (in a loop)",
    )


def test_the_tree_of_clocks() -> None:
    devices = "  gen: {clock: {from: own clock}}\n  cam: {clock: {from: ref}}\n  lone: {}\n"
    made = overview(devices, "  - {from: gen.ref, to: cam.ref, carries: tri-level, connected: all day}\n")
    assert made.clock_tree == (Branch(("gen",), "own clock", (Branch(("cam",), "paced by lead, tri-level"),)),)
    assert made.clock_loose == ("lone",)


def test_a_very_deep_chain_is_drawn_so_far_and_no_further() -> None:
    links = lead("bag.out", "b0") + "".join(lead(f"b{n}.jack", f"b{n + 1}") for n in range(200))
    tree = overview(own("bag") + "".join(box(f"b{n}") for n in range(201)), links).timecode_tree
    depth = 0
    while tree:
        depth, tree = depth + 1, tree[0].below
    assert depth == DEEPEST_TREE + 1


def test_how_much_was_looked_at() -> None:
    checked = overview(own("bag") + box("box_1..box_4"), lead("bag.out", "box_1")).checked
    assert (checked.devices, checked.links) == (5, 1)
    assert checked.rules > 20
