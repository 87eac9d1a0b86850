"""Plug-in and phantom power on timecode outputs."""

import pytest

from synclint.findings import Level
from synclint.rules.supplies import microphone_power_on_a_timecode_output, phantom_power_on_a_timecode_output
from tests.rules.leads import BOX, MIC, small
from tests.rules.running import Came, came_of

XLR = "in: [sound, LTC], connector: XLR-3, accepts: 1..300 mVpp, phantom_power: switchable"


def plugged(set_to: str, *, blocks: str = "", mic: str = MIC, lead: str = "lead: 3.5 mm TRS to 3.5 mm TRS") -> Came:
    text = small(box=f"{BOX}{blocks}", mic=mic, mic_set=f"gain: fixed, {set_to}", lead=lead)
    phantom = "phantom_power" in set_to
    return came_of(phantom_power_on_a_timecode_output if phantom else microphone_power_on_a_timecode_output, text)


NOT_BLOCKED, BLOCKED = ", dc_blocked: false", ", dc_blocked: true"


def test_plug_in_power_on_an_output_that_does_not_block_it() -> None:
    came = plugged("plug_in_power: switched on", blocks=NOT_BLOCKED)
    # 3 V behind 2.2 kohm on 1 kohm: 3 × 1,000/3,200 = 0.9375 V
    assert came.one.level is Level.ERROR
    assert came.amounts == {"bias on the output": 0.9375}


def test_an_output_that_blocks_it_or_a_lead_that_does() -> None:
    assert plugged("plug_in_power: switched on", blocks=BLOCKED).silent
    assert plugged("plug_in_power: switched off", blocks=NOT_BLOCKED).silent
    assert plugged("plug_in_power: switched on", blocks=NOT_BLOCKED, lead="dc_blocked: true").silent
    assert plugged("plug_in_power: switched on", blocks=NOT_BLOCKED, lead="cold_leg: transformer").silent


def test_what_lacks() -> None:
    assert plugged("plug_in_power: switched on").lacks == ["whether jack of box blocks a supply voltage (dc_blocked)"]
    assert plugged("", blocks=NOT_BLOCKED).lacks == ["whether plug-in power at mic_in of cam is switched off"]
    assert plugged("").silent


@pytest.mark.parametrize(("blocks", "level"), [("", Level.ERROR), (NOT_BLOCKED, Level.ERROR), (BLOCKED, Level.WARNING)])
def test_phantom_power_whatever_is_said_of_the_output(blocks: str, level: Level) -> None:
    came = plugged("phantom_power: switched on", blocks=blocks, mic=XLR)
    # 48 V behind 6.8 kohm on 1 kohm: 48/7.8 = 6.1538 V; through a capacitor nothing flows, and all 48 V stand on it
    assert came.one.level is level
    assert came.amounts["bias on the output"] == pytest.approx(48 if blocks == BLOCKED else 6.1538, abs=5e-5)


def test_a_pad_stands_between_phantom_power_and_the_output() -> None:
    # 20 dB with 150 ohm across the input: 150 x 9 = 1,350 ohm in series. Beyond the 150 ohm lie 1,350 + 1,000 = 2,350:
    # 150 x 2350/2500 = 141 ohm; 48 x 141/6941 = 0.975076 V at the input, of that 1000/2350 on the output: 0.414926 V
    came = plugged("phantom_power: switched on", blocks=NOT_BLOCKED, mic=XLR, lead="pad: 20 dB")
    assert came.one.level is Level.ERROR
    assert came.amounts["bias on the output"] == pytest.approx(0.414926, abs=5e-7)
    assert "at worst the output dies" in came.one.cost_sentence


def test_phantom_power_comes_down_both_legs() -> None:
    # balanced at both ends: a leg has half of 1 kohm, 48 x 500/7300 = 3.28767 V
    mic = f"{XLR}, balanced: true"
    came = plugged("phantom_power: switched on", blocks=f"{NOT_BLOCKED}, balanced: true", mic=mic)
    assert came.amounts["bias on the output"] == pytest.approx(3.28767, abs=5e-6)


def test_phantom_power_that_is_off() -> None:
    assert plugged("phantom_power: switched off", blocks=NOT_BLOCKED, mic=XLR).silent


def test_plug_in_power_that_cannot_be_switched_off_wants_another_lead() -> None:
    came = plugged("", blocks=NOT_BLOCKED, mic=f"{MIC}, plug_in_power: always")
    assert "capacitor" in came.one.fix_sentence
