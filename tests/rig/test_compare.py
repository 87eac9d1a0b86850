"""What a setup has otherwise than an earlier version of it."""

from __future__ import annotations

import pytest

from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rig.compare import Version, compare

BEFORE = """\
synclint: setup/1
title: T
revision: A
project: {rate: 25, tolerance: 1 frame}
days:
  - date: 2026-06-14
    call: 07:00
    wrap: 19:00
    events:
      - {at: 07:10, do: jam, of: all}
      - {at: 12:30, do: jam, of: [box]}
devices:
  bag: {timecode: {from: own clock, mode: free run, rate: 25}}
  box: {able: {clock: {accuracy: 0.5 ppm}}, name: Box A, timecode: {from: jack, mode: jam, rate: 25}}
  cam: {like: box, name: Camera A}
links:
  - {from: bag.tc_out, to: [box.jack, cam.jack], carries: LTC, connected: to jam}
"""


def version(text: str) -> Version:
    loaded = load_text(text, "x.setup.yaml")
    assert loaded.document is not None
    return Version(build(loaded.document, ()).setup, loaded.document.root)


def told(*changes: tuple[str, str]) -> list[str]:
    text = BEFORE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return [f"{each.where}: {each.says}" for each in compare(version(BEFORE), version(text))]


def test_the_same_has_no_difference() -> None:
    assert told() == []


def test_comments_and_the_order_of_keys_are_no_difference() -> None:
    assert (
        told(
            ("title: T\n", "title: T  # by hand\n"),
            ("{rate: 25, tolerance: 1 frame}", "{tolerance: 1 frame, rate: 25}"),
        )
        == []
    )


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("project: {rate: 25,", "project: {rate: 24,", ["project: rate: 24, was 25"]),
        ("wrap: 19:00", "wrap: 20:00", ["2026-06-14: wrap: 20:00, was 19:00"]),
        ("at: 12:30", "at: 12:42", ["2026-06-14: jam of [box]: at 12:42, was at 12:30"]),
        ("      - {at: 12:30, do: jam, of: [box]}\n", "", ["2026-06-14: no more at 12:30: jam of [box]"]),
        ("of: all}\n", "of: all}\n      - {at: 9:00, do: break}\n", ["2026-06-14: new at 9:00: break"]),
        ("2026-06-14", "2026-06-15", ["2026-06-15: new day", "2026-06-14: day taken out"]),
        ("name: Box A", "name: Box 1", ["Box 1: name: Box 1, was Box A"]),
        ("0.5 ppm", "1 ppm", [
            "Box A, what it can do: clock accuracy: 1 ppm, was 0.5 ppm",
            "Camera A, what it can do: clock accuracy: 1 ppm, was 0.5 ppm",
        ]),
        ("connected: to jam", "connected: all day", [
            "bag tc_out to Box A jack: connected: all day, was to jam",
            "bag tc_out to Camera A jack: connected: all day, was to jam",
        ]),
        ("rate: 25}}\n  box", "rate: 25, user_bits: '01'}}\n  box", ["bag: timecode user_bits: 01, was not stated"]),
    ],
)  # fmt: skip
def test_each_difference_is_told_where_it_is(old: str, new: str, says: list[str]) -> None:
    assert told((old, new)) == says


def test_a_mode_that_two_take_over_is_told_of_both() -> None:
    assert told(("mode: jam", "mode: continuous")) == [
        "Box A: timecode mode: continuous, was jam",
        "Camera A: timecode mode: continuous, was jam",
    ]


def test_a_device_that_is_taken_out_with_its_lead() -> None:
    both = (("  cam: {like: box, name: Camera A}\n", ""), ("[box.jack, cam.jack]", "[box.jack]"))
    assert told(*both) == ["Camera A: taken out", "bag tc_out to Camera A jack: taken out: LTC, by lead, to jam"]
