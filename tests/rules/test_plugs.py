"""On which contact LTC lands: mono plugs, balanced leads in stereo jacks, crossed sides."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.plugs import mono_plug_in_a_stereo_jack, timecode_on_both_sides, timecode_on_the_other_side
from tests.rules.leads import MIC, reader, small
from tests.rules.running import came_of

BALANCED = "out: [LTC], level: 60 mVpp open, source_impedance: 200 ohm, balanced: true"


@pytest.mark.parametrize("plug", ["3.5 mm TS", "TS", "6.3 mm TS jack"])
def test_a_mono_plug_shorts_the_scratch(plug: str) -> None:
    came = came_of(mono_plug_in_a_stereo_jack, small(lead=f"lead: BNC to {plug}"))
    assert came.amounts == {"sides left silent": 1}
    assert "shorts the right side where the scratch is" in came.one.sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == f"BNC to {plug.replace('TS', 'TRS')}"


@pytest.mark.parametrize(
    "text",
    [
        small(lead="lead: BNC to 3.5 mm TRS"),
        small(lead="lead: 3.5 mm TS to 3.5 mm TRS"),  # the mono plug is at the box
        small(lead="lead: BNC to 3.5 mm TS", tracks="{left: LTC}"),  # nobody wants the other side
        small(lead="lead: BNC to 3.5 mm TS", tracks="{left: LTC, right: none}"),
        small(lead="lead: BNC to 3.5 mm TS", mic="in: [sound, LTC], accepts: 1..300 mVpp, channels: {tip: left}"),
        reader(lead="connected: all day, lead: BNC to 3.5 mm TS"),
    ],
)
def test_a_plug_that_shorts_nothing_that_is_wanted(text: str) -> None:
    assert came_of(mono_plug_in_a_stereo_jack, text).silent


def test_a_plug_that_nobody_describes_is_asked_for() -> None:
    assert came_of(mono_plug_in_a_stereo_jack, small(lead="length: 1 m")).lacks == [
        "which plug the lead with LTC has at mic_in of cam (links: lead)"
    ]


def test_balanced_into_stereo_is_on_both_sides() -> None:
    came = came_of(timecode_on_both_sides, small(box=BALANCED, box_set=""))
    assert came.amounts == {"sides with timecode": 2}
    assert "the scratch on right is lost" in came.one.cost_sentence


@pytest.mark.parametrize(
    "text",
    [
        small(),  # an unbalanced output
        small(box=BALANCED, box_set="", lead="lead: XLR to 3.5 mm TRS, cold_leg: transformer"),
        small(box=BALANCED, box_set="", lead="lead: XLR to 3.5 mm TRS, wiring: {pin 2: tip, pin 1: sleeve}"),
        small(box=BALANCED, box_set="", mic=f"{MIC}, balanced: true"),
        small(box=BALANCED, box_set="", lead="lead: XLR to XLR"),
    ],
)
def test_what_brings_one_leg_only(text: str) -> None:
    assert came_of(timecode_on_both_sides, text).silent


def test_the_sheet_says_the_other_side() -> None:
    came = came_of(timecode_on_the_other_side, small(tracks="{right: LTC, left: scratch}", on="[right]"))
    assert came.one.level is Level.WARNING
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        "{left: LTC, right: scratch}",
        "[left]",
    ]


@pytest.mark.parametrize(
    ("lead", "tracks"),
    [
        ("lead: 3.5 mm TRS to 3.5 mm TRS", "{left: LTC, right: scratch}"),
        ("lead: 3.5 mm TRS to 3.5 mm TRS, wiring: {tip: ring}", "{right: LTC, left: scratch}"),
        ("lead: BNC to XLR", "{right: LTC}"),  # nobody can tell where it lands
        ("length: 1 m", "{right: LTC}"),
        ("lead: BNC to 3.5 mm TRS", "{left: LTC, right: LTC}"),
    ],
)
def test_sides_that_agree_or_that_nobody_knows(lead: str, tracks: str) -> None:
    assert came_of(timecode_on_the_other_side, small(lead=lead, tracks=tracks)).silent


def test_an_output_with_timecode_on_the_ring() -> None:
    ring = "out: [LTC], connector: 3.5 mm TRS, timecode_at: ring, level: 30 mVpp open"
    assert came_of(timecode_on_the_other_side, small(box=ring, box_set="")).findings
    # a lead with a BNC plug has one contact, which goes to the tip
    assert came_of(timecode_on_the_other_side, small(box=ring, box_set="", lead="lead: BNC to 3.5 mm TRS")).silent


def test_a_reader_on_the_other_contact_reads_nothing() -> None:
    tc_in = "in: [LTC], connector: 3.5 mm TRS, timecode_at: ring"
    came = came_of(timecode_on_the_other_side, reader(tc_in=tc_in, lead="lead: BNC to 3.5 mm TRS"))
    assert came.one.level is Level.ERROR
    assert came.amounts == {"devices without timecode": 1}
    right = reader(tc_in=tc_in, lead="lead: BNC to 3.5 mm TRS, wiring: {tip: ring}")
    assert came_of(timecode_on_the_other_side, right).silent
