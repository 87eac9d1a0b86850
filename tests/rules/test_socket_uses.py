"""Sockets with several uses, and what they are set to."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.socket_uses import socket_set_to_another_use
from tests.rules.leads import MIC, reader, small
from tests.rules.running import came_of, rig

TWO_WAY = "in: [LTC], out: [LTC], accepts: 0.5..5 Vpp, input_impedance: 10 kohm, source_impedance: 100 ohm"
STRONG = "out: [LTC], level: 2 Vpp open, source_impedance: 100 ohm"


def test_an_output_into_an_output() -> None:
    came = came_of(socket_set_to_another_use, reader(box=STRONG, tc_in=TWO_WAY, tc_set="set_to: timecode out"))
    # alone it is 2 × 10,000/10,100 = 1.9802 Vpp; against the 100 ohm of the other output 2 × 100/200 = 1 Vpp: 5.934 dB
    assert came.one.level is Level.ERROR
    assert came.amounts == {"devices without timecode": 1, "taken off the level": pytest.approx(5.934, abs=0.0005)}
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "timecode in"


@pytest.mark.parametrize("use", ["headphones", "return", "microphone", "line in"])
def test_another_use_at_a_device_that_reads_timecode(use: str) -> None:
    assert came_of(socket_set_to_another_use, reader(tc_in=TWO_WAY, tc_set=f"set_to: {use}")).findings


@pytest.mark.parametrize("use", ["microphone", "line in", "timecode in"])
def test_a_microphone_jack_that_records_it(use: str) -> None:
    assert came_of(socket_set_to_another_use, small(mic_set=f"set_to: {use}")).silent


def test_a_microphone_jack_set_to_headphones() -> None:
    came = came_of(socket_set_to_another_use, small(mic_set="set_to: headphones"))
    assert "to microphone" in came.one.fix_sentence


def test_an_output_that_is_set_to_take() -> None:
    came = came_of(socket_set_to_another_use, reader(box=TWO_WAY, box_set="set_to: timecode in"))
    assert came.one.who == ("box",)
    assert "cam_1 gets no timecode" in came.one.cost_sentence
    assert came_of(socket_set_to_another_use, reader(box=TWO_WAY, box_set="set_to: timecode out")).silent


def test_directions_by_what_a_port_takes_and_gives() -> None:
    assert came_of(socket_set_to_another_use, reader(box_set="out: [sound]")).findings
    assert came_of(socket_set_to_another_use, reader(box_set="out: []")).findings
    assert came_of(socket_set_to_another_use, reader(tc_set="in: []")).findings
    assert came_of(socket_set_to_another_use, reader(tc_in="in: [picture]")).findings
    assert came_of(socket_set_to_another_use, reader(tc_in="connector: BNC")).silent
    assert came_of(socket_set_to_another_use, small(mic=MIC.replace("[sound, LTC]", "[sound]"))).silent


def test_a_jack_that_is_turned_round_after_the_jam() -> None:
    devices = f"""
  bag: {{able: {{ports: {{tc_out: {{out: [LTC]}}}}}}}}
  box: {{able: {{ports: {{jack: {{{TWO_WAY}}}}}}}, ports: {{jack: {{set_to: timecode out}}}}}}
  cam: {{able: {{ports: {{tc_in: {{in: [LTC]}}}}}}, timecode: {{from: tc_in}}}}
"""
    jam = "  - {from: bag.tc_out, to: box.jack, carries: LTC, connected: to jam}\n"
    on = "  - {from: box.jack, to: cam.tc_in, carries: LTC, connected: all day}\n"
    assert came_of(socket_set_to_another_use, rig(devices, links=jam + on)).silent
    assert came_of(socket_set_to_another_use, rig(devices, links=jam)).findings
