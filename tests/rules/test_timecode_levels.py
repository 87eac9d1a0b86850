"""LTC that is too loud or too weak for an input: sums by hand, and what stands just inside the limit."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.timecode_levels import timecode_too_loud, timecode_too_weak
from synclint.rules.timecode_lines import timecode_line_loaded_down
from tests.rules.leads import BOX, MIC, reader, small
from tests.rules.running import came_of

ONE_LEVEL = "out: [LTC], level: 1 Vpp open, source_impedance: 1 kohm"
ANY_INPUT = "in: [sound, LTC], connector: 3.5 mm TRS"


def test_line_level_in_a_microphone_jack() -> None:
    came = came_of(timecode_too_loud, small(box_set="output: line"))
    # 1 Vpp behind 1 kohm into 2 kohm: 0.6667 Vpp, 0.3333 V rms: 20 log10(0.3333/0.7746) = -7.3 dBu;
    # 20 log10(666.7/300) = 6.94 dB
    assert came.one.level is Level.ERROR
    assert came.amounts["at the input"] == pytest.approx(2 / 3)
    assert came.amounts["over what it takes"] == pytest.approx(6.94, abs=0.005)
    assert "667 mVpp (-7.3 dBu)" in came.one.sentence
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "mic"


def test_microphone_level_in_a_microphone_jack() -> None:
    assert came_of(timecode_too_loud, small()).silent  # 20 mVpp


@pytest.mark.parametrize(("most", "found"), [("666 mVpp", True), ("667 mVpp", False)])
def test_just_past_and_just_inside_what_an_input_takes(most: str, found: bool) -> None:
    came = came_of(timecode_too_loud, small(box_set="output: line", mic=MIC.replace("1..300 mVpp", f"1..{most}")))
    assert bool(came.findings) is found


@pytest.mark.parametrize(("pad", "found"), [("pad: 0 dB", True), ("pad: 5 dB", True), ("pad: 20 dB", False)])
def test_a_pad_in_the_lead(pad: str, found: bool) -> None:
    # 20 dB: 150 ohm behind 1,350 + 1,000 ohm: 150/2,500 = 60 mVpp behind 141 ohm into 2 kohm: 56 mVpp
    lead = f"lead: 3.5 mm TRS to 3.5 mm TRS, {pad}"
    came = came_of(timecode_too_loud, small(box=ONE_LEVEL, box_set="", mic=MIC.replace("1..300", "1..100"), lead=lead))
    assert bool(came.findings) is found


def test_the_pad_that_is_asked_for_leaves_room() -> None:
    came = came_of(timecode_too_loud, small(box=ONE_LEVEL, box_set=""))
    # 667 mVpp less 20 dB is 67 mVpp, below 300/4 = 75; less 10 dB would be 211
    assert "20 dB pad" in came.one.fix_sentence


def test_assumed_impedances_that_change_nothing_leave_it_an_error() -> None:
    # at least 50 % of 1 Vpp (1 kohm into 1 kohm), which is above the 300 mVpp that is stated
    bare = MIC.replace(", input_impedance: 2 kohm", "")
    assert came_of(timecode_too_loud, small(box_set="output: line", mic=bare)).one.level is Level.ERROR


def test_assumed_impedances_that_decide_make_it_a_warning() -> None:
    # 667 mVpp with 2 kohm; with 1 kohm it would be 500 mVpp, inside 600
    bare = MIC.replace(", input_impedance: 2 kohm", "").replace("300 mVpp", "600 mVpp")
    assert came_of(timecode_too_loud, small(box_set="output: line", mic=bare)).one.level is Level.WARNING


def test_an_input_that_states_no_range_has_that_of_its_kind() -> None:
    came = came_of(timecode_too_loud, small(box_set="output: line", mic=ANY_INPUT))
    assert came.one.level is Level.WARNING  # 300 mVpp of a small camera's jack are assumed
    assert any("300 mVpp" in fact.why for fact in came.one.assumptions)


def test_a_lead_that_is_plugged_by_itself_is_judged_too() -> None:
    links = "  - {from: box.jack, to: cam_1.tc_in, carries: LTC, connected: to jam}\n"
    assert came_of(timecode_too_loud, reader(box="out: [LTC], level: 9 Vpp open", links=links)).findings


def test_what_lacks_is_asked_for_where_sound_comes_in() -> None:
    assert came_of(timecode_too_loud, small(box_set="")).lacks == [
        "which output level box is set to at jack (ports: output)"
    ]
    assert came_of(timecode_too_loud, small(box="out: [LTC]", box_set="")).lacks == [
        "the level that box gives at jack (level)"
    ]
    line_or_mic = "in: [sound, LTC], connector: XLR-3"
    assert came_of(timecode_too_loud, small(mic=line_or_mic)).lacks == [
        "whether mic_in of cam is for microphones or for line (ports: accepts)"
    ]


def test_a_timecode_input_of_which_nobody_says_anything_is_left_alone() -> None:
    bare = reader(box="out: [LTC]", tc_in="in: [LTC]")
    assert came_of(timecode_too_loud, bare).silent
    assert came_of(timecode_too_weak, bare).silent


def test_microphone_level_in_a_timecode_input() -> None:
    came = came_of(timecode_too_weak, reader(box=BOX, box_set="output: mic"))
    # 30 mVpp behind 1 kohm into 10 kohm: 27.273 mVpp; 20 log10(500/27.273) = 20 log10(18.333) = 25.265 dB
    assert came.amounts["at the input"] == pytest.approx(0.0272727, abs=1e-6)
    assert came.amounts["under what it reads"] == pytest.approx(25.265, abs=0.0005)
    assert "line level" in came.one.fix_sentence


@pytest.mark.parametrize(("least", "found"), [("0.91 Vpp", True), ("0.909 Vpp", False)])
def test_just_below_and_just_inside_what_an_input_reads(least: str, found: bool) -> None:
    # 1 Vpp behind 1 kohm into 10 kohm is 0.90909 Vpp. Open it would be 1 Vpp: what it loses is told by another rule.
    low = least.removesuffix(" Vpp")
    tc_in = f"in: [LTC], accepts: {low}..5 Vpp, input_impedance: 10 kohm"
    assert not came_of(timecode_too_weak, reader(tc_in=tc_in)).findings
    weaker = "out: [LTC], level: 0.9 Vpp open, source_impedance: 0 ohm"
    assert came_of(timecode_too_weak, reader(box=weaker, tc_in=tc_in)).findings
    assert bool(came_of(timecode_line_loaded_down, reader(tc_in=tc_in)).findings) is found


def test_a_pad_that_is_too_much_is_taken_out() -> None:
    came = came_of(timecode_too_weak, reader(lead="connected: all day, pad: 40 dB"))
    assert "without the 40 dB pad" in came.one.fix_sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["0 dB"]


def test_a_jam_that_does_not_take() -> None:
    came = came_of(timecode_too_weak, reader(box=BOX, box_set="output: mic", lead="connected: to jam"))
    assert "a jam of cam_1 does not take" in came.one.cost_sentence


HOT = "out: [LTC], level: 5 Vpp open, source_impedance: 50 ohm"


def narrow(window: str, lead: str = "connected: all day") -> str:
    return reader(box=HOT, tc_in=f"in: [LTC], accepts: {window}, input_impedance: 10 kohm", lead=lead)


def test_the_pad_is_the_one_that_lands_inside() -> None:
    # 5 V behind 50 ohm, a pad with 150 ohm across the input of 10 kohm: 147.78 ohm. 20 dB has 1,350 ohm in series:
    # 5 x 147.78/1547.78 = 0.477 Vpp, too weak; 15 dB 150 x 4.6234 = 693.5: 5 x 147.78/891.3 = 0.829; 10 dB 1.415,
    # which is 3.0 dB below 2 Vpp, where 0.829 is 4.4 dB above 0.5
    came = came_of(timecode_too_loud, narrow("0.5..2 Vpp"))
    assert came.one.fix_sentence == "Put a 15 dB pad in the lead from box to cam_1, and see the digits move"
    for pad in ("pad: 10 dB", "pad: 15 dB"):
        inside = narrow("0.5..2 Vpp", f"connected: all day, {pad}")
        assert came_of(timecode_too_loud, inside).silent
        assert came_of(timecode_too_weak, inside).silent


def test_too_much_of_a_pad_gives_way_to_a_smaller_one() -> None:
    came = came_of(timecode_too_weak, narrow("0.5..2 Vpp", "connected: all day, pad: 20 dB"))
    assert "a pad of 15 dB in place of the 20 dB one" in came.one.fix_sentence
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["15 dB"]


def test_where_no_pad_lands_inside_it_is_said() -> None:
    # 10 dB gives 1.415 and 15 dB 0.829 Vpp: nothing between 0.9 and 1.3, whichever lead is tried
    for rule, lead in (
        (timecode_too_loud, "connected: all day"),
        (timecode_too_weak, "connected: all day, pad: 20 dB"),
    ):
        came = came_of(rule, narrow("0.9..1.3 Vpp", lead))
        assert came.one.fix_sentence.startswith("No pad of 10 to 60 dB brings it between 900 mVpp and 1.3 Vpp")


def test_the_gain_is_set_where_sound_is_recorded() -> None:
    came = came_of(timecode_too_loud, small(box="out: [LTC], level: 1 Vpp open, source_impedance: 1 kohm", box_set=""))
    assert "set the gain by hand to -20 to -12 dBFS" in came.one.fix_sentence
