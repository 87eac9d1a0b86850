"""What adaptors do with the cold leg: sums by hand, and leads that are made right."""

import pytest

from synclint.findings import Level
from synclint.rules.adaptors import cold_leg_left_to_itself
from tests.rules.leads import reader
from tests.rules.running import Came, came_of

DRIVEN = "out: [LTC], level: 2 Vpp open, source_impedance: 100 ohm, balanced: true, transformer: false"
FLOATING = DRIVEN.replace("transformer: false", "transformer: true")
INTO_BALANCED = "in: [LTC], accepts: 0.5..5 Vpp, input_impedance: 10 kohm, balanced: true"


def adapted(
    output: str, cold_leg: str, tc_in: str = "in: [LTC], accepts: 0.5..5 Vpp, input_impedance: 10 kohm"
) -> Came:
    lead = f"connected: all day{cold_leg and f', cold_leg: {cold_leg}'}"
    return came_of(cold_leg_left_to_itself, reader(box=output, tc_in=tc_in, lead=lead))


@pytest.mark.parametrize("how", ["open", "to ground"])
def test_half_of_a_driven_output_is_lost(how: str) -> None:
    came = adapted(DRIVEN, how)
    # 2 × 10,000/10,100 = 1.9802 Vpp with both legs, 1 × 10,000/10,050 = 0.99502 with one: 20 log10(1.99010) = 5.977 dB
    assert came.one.level is Level.WARNING
    assert came.amounts["level lost"] == pytest.approx(5.977, abs=0.0005)


def test_half_that_is_too_little_is_an_error() -> None:
    came = adapted(DRIVEN, "open", "in: [LTC], accepts: 1..5 Vpp, input_impedance: 10 kohm")
    assert came.one.level is Level.ERROR
    assert "995 mVpp come to cam_1, which reads from 1 Vpp" in came.one.cost_sentence


def test_a_floating_output_without_its_cold_leg_gives_nothing() -> None:
    came = adapted(FLOATING, "open")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"devices without timecode": 1}


@pytest.mark.parametrize(
    ("output", "how"),
    [(FLOATING, "to ground"), (FLOATING, "transformer"), (DRIVEN, "transformer")],
)
def test_adaptors_that_are_right(output: str, how: str) -> None:
    assert adapted(output, how).silent


def test_balanced_to_balanced_wants_no_adaptor() -> None:
    assert adapted(DRIVEN, "", INTO_BALANCED).silent


def test_what_lacks() -> None:
    assert adapted(DRIVEN, "").lacks == ["what the lead from box to cam_1 does with the cold leg (links: cold_leg)"]
    unsaid = DRIVEN.replace(", transformer: false", "")
    assert adapted(unsaid, "to ground").lacks == ["whether jack of box floats on a transformer (transformer)"]
    assert adapted(unsaid, "open").findings  # a fault either way


def test_an_open_contact_of_a_balanced_input() -> None:
    unbalanced = "out: [LTC], level: 2 Vpp open, source_impedance: 100 ohm"
    assert adapted(unbalanced, "open", INTO_BALANCED).one.level is Level.WARNING
    assert adapted(unbalanced, "open", f"{INTO_BALANCED}, transformer: true").one.level is Level.ERROR
    assert adapted(unbalanced, "to ground", INTO_BALANCED).silent
    assert adapted(unbalanced, "", INTO_BALANCED).silent


def test_mains_at_both_ends_hums_besides() -> None:
    text = reader(box=DRIVEN, lead="connected: all day, cold_leg: open")
    assert "hums" not in came_of(cold_leg_left_to_itself, text).one.cost_sentence
    mains = text.replace("  box: {", "  box: {power: {from: mains}, ").replace(
        "    timecode: {from: tc_in}", "    timecode: {from: tc_in}\n    power: {from: mains}"
    )
    assert "both devices are on mains" in came_of(cold_leg_left_to_itself, mains).one.cost_sentence
