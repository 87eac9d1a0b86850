"""LTC on a line that too much hangs on: sums by hand, and lines that bear it."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.timecode_lines import timecode_line_loaded_down
from tests.rules.leads import reader
from tests.rules.running import Came, came_of

READS_FROM_700 = "in: [LTC], accepts: 0.7..5 Vpp, input_impedance: 10 kohm"
TERMINATED = "in: [LTC], accepts: 0.5..5 Vpp, input_impedance: 10 kohm, termination: switchable"


def split(count: int, connected: str = "connected: all day") -> Came:
    return came_of(timecode_line_loaded_down, reader(count=count, tc_in=READS_FROM_700, lead=connected))


def test_six_inputs_by_tees() -> None:
    came = split(6)
    # six of 10 kohm: 1,666.7 ohm; 1,666.7/2,666.7 = 0.625 Vpp; 20 log10(1/0.625) = 4.08 dB
    assert came.amounts["at the input"] == pytest.approx(0.625)
    assert came.amounts["lost on the line"] == pytest.approx(4.08, abs=0.005)
    assert came.amounts["inputs on the line"] == 6
    assert came.one.who == tuple(f"cam_{n}" for n in range(1, 7))


@pytest.mark.parametrize(("count", "found"), [(4, False), (5, True)])
def test_four_are_borne_and_five_are_not(count: int, found: bool) -> None:
    # four: 2,500/3,500 = 0.714 Vpp; five: 2,000/3,000 = 0.667 Vpp; the inputs read from 0.7
    assert bool(split(count).findings) is found


@pytest.mark.parametrize("connected", ["connected: to jam", "connected: to compare", "length: 2 m"])
def test_leads_used_one_after_another_load_nothing(connected: str) -> None:
    assert split(40, connected).silent


def test_a_75_ohm_input_drags_the_line_down() -> None:
    came = came_of(timecode_line_loaded_down, reader(tc_in=TERMINATED, tc_set="termination: switched on"))
    # 75 beside 10,000 ohm are 74.44; 74.44/1,074.44 = 69.3 mVpp
    assert came.amounts["at the input"] == pytest.approx(0.0692846, abs=1e-6)
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["switched off"]
    assert came_of(timecode_line_loaded_down, reader(tc_in=TERMINATED, tc_set="termination: switched off")).silent


def test_a_75_ohm_input_of_another_drags_it_down_too() -> None:
    more = "  video_in: {able: {class: display, ports: {in: {in: [LTC], input_impedance: 75 ohm}}}}\n"
    links = "  - {from: box.jack, to: [cam_1.tc_in, video_in.in], carries: LTC, connected: all day}\n"
    came = came_of(timecode_line_loaded_down, reader(more=more, links=links))
    of_camera = next(finding for finding in came.findings if finding.who == ("cam_1",))
    assert "in of video_in loads the line with 75 ohm" in of_camera.sentence


def test_a_strong_output_bears_75_ohm() -> None:
    strong = "out: [LTC], level: 2 Vpp open, source_impedance: 75 ohm"
    text = reader(box=strong, tc_in=TERMINATED, tc_set="termination: switched on")
    assert came_of(timecode_line_loaded_down, text).silent  # 2 × 74.44/149.44 = 0.996 Vpp


def boxed(box: str) -> Came:
    more = f"  fan: {{able: {{class: through-thing, {box}}}, passes: {{in: [out]}}}}\n"
    links = (
        "  - {from: box.jack, to: fan.in, carries: LTC, connected: all day}\n"
        "  - {from: fan.out, to: cam_1.tc_in, carries: LTC, connected: all day}\n"
    )
    return came_of(timecode_line_loaded_down, reader(more=more, links=links))


def test_a_video_box() -> None:
    came = boxed("ports: {in: {input_impedance: 75 ohm}, out: {source_impedance: 75 ohm}}")
    # 75/1,075 = 69.8 mVpp; twice that, 139.5 mVpp, behind 75 ohm into 10 kohm: 138.5 mVpp
    assert came.amounts["at the input"] == pytest.approx(0.138496, abs=1e-6)
    assert came.one.level is Level.WARNING  # that the box gives what it gets is assumed
    assert "fan before it takes LTC into 75 ohm" in came.one.sentence


def test_a_box_made_for_timecode() -> None:
    assert boxed("ports: {in: {input_impedance: 10 kohm}, out: {level: 2 Vpp open, source_impedance: 50 ohm}}").silent
    # 1 Vpp behind 1 kohm into an assumed 10 kohm is 0.909 Vpp, which the box gives again
    assert boxed("ports: {in: {in: [LTC]}, out: {out: [LTC]}}").silent


def test_a_fix_leaves_the_camera_that_another_is_like_alone() -> None:
    text = reader(
        tc_in=TERMINATED,
        tc_set="termination: switched on",
        more="  far: {like: cam_1}\n  box_2: {like: box}",
        links="  - {from: box.jack, to: far.tc_in, carries: LTC, connected: all day}\n"
        "  - {from: box_2.jack, to: cam_1.tc_in, carries: LTC, connected: all day}\n",
    )
    came = came_of(timecode_line_loaded_down, text)
    edits = [finding.fix.edits for finding in came.findings if finding.fix]
    assert [edit.place.path[1] for each in edits for edit in each] == ["far", "cam_1..cam_1"]
    (far,) = edits[0]
    assert isinstance(far, AddKey)
    assert (far.key, far.value) == ("ports", "{tc_in: {termination: switched off}}")
