"""Levels and networks: values by hand, with their working beside them, and what holds for every network."""

from __future__ import annotations

from fractions import Fraction as F
from math import inf
from random import Random
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.circuit import GROUND, Element, Resistor, ShortCircuitError, Source, Voltages, balanced, solve
from synclint.trade.levels import (
    PAD_SHUNT,
    Waveform,
    dbu,
    dbv,
    decibels,
    on_line,
    open_circuit,
    pad,
    rms,
    stated_vpp,
    terminated,
    voltage_ratio,
    vpp_of_dbu,
    vpp_of_dbv,
)
from synclint.trade.quantities import Level, LevelUnit, QuantityError, parse_decibels, parse_resistance, parse_voltage

SINE = Waveform.SINE
K = 1000
NEAR = 1e-11
"""Twelve digits of a fraction that comes of a root or a power."""


# --- dBu, dBV and volts --------------------------------------------------------------------------------------------


def test_volts_rms_by_hand() -> None:
    # A square wave of 1 Vpp is at +0.5 V or -0.5 V: 0.5 V rms. A sine of 1 Vpp: 1 / (2 × 1.414214) = 0.353553.
    assert rms(1) == F(1, 2)
    assert float(rms(1, SINE)) == pytest.approx(0.35355339, abs=5e-9)


@pytest.mark.parametrize(
    ("vpp", "waveform", "expected"),
    [
        (F(1), Waveform.SQUARE, -3.8021),  # 20 log10(0.5 / 0.774597) = 20 × -0.190106
        (F(1), SINE, -6.8124),  # 3.0103 dB less
        (F(2), Waveform.SQUARE, 2.2185),  # 1 V rms is 0 dBV; 20 log10(1 / 0.774597) = -10 log10(0.6)
        (F(30, 1000), Waveform.SQUARE, -34.2597),  # 20 log10(0.03) = -30.4576 below 1 Vpp
        (F(-1), Waveform.SQUARE, -3.8021),  # upside down, as loud
    ],
)
def test_volts_in_dbu(vpp: F, waveform: Waveform, expected: float) -> None:
    assert dbu(vpp, waveform) == pytest.approx(expected, abs=5e-5)
    # dBV = dBu - 2.2185
    assert dbv(vpp, waveform) == pytest.approx(expected - 2.2185, abs=2e-4)


def test_minus_10_dbv_by_hand() -> None:
    # 10^(-10/20) = 0.316228 V rms; a square wave of 0.632456 Vpp, a sine of 0.894427 Vpp; -10 + 2.2185 = -7.7815 dBu.
    assert float(vpp_of_dbv(-10)) == pytest.approx(0.632456, abs=5e-7)
    assert float(vpp_of_dbv(-10, SINE)) == pytest.approx(0.894427, abs=5e-7)
    assert dbu(vpp_of_dbv(-10)) == pytest.approx(-7.7815, abs=5e-5)


def test_plus_4_dbu_by_hand() -> None:
    # 0.774597 × 10^(4/20) = 0.774597 × 1.584893 = 1.227653 V rms; twice that is 2.455306 Vpp; a sine 3.472327 Vpp.
    assert float(vpp_of_dbu(4)) == pytest.approx(2.455306, abs=1e-6)
    assert float(vpp_of_dbu(4, SINE)) == pytest.approx(3.472327, abs=1e-6)


def test_ratios_in_decibels_by_hand() -> None:
    assert decibels(2) == pytest.approx(6.0206, abs=5e-5)
    assert decibels(F(2, 3)) == pytest.approx(-3.5218, abs=5e-5)  # 20 × (0.301030 - 0.477121)
    assert decibels(F(-1, 2)) == pytest.approx(-6.0206, abs=5e-5)
    assert decibels(1) == 0
    assert decibels(0) == dbu(0) == dbv(0) == -inf
    assert voltage_ratio(20) == 10
    assert voltage_ratio(-40) == F(1, 100)
    assert voltage_ratio(0) == 1


def test_ratios_too_small_for_a_float_have_their_decibels() -> None:
    assert decibels(F(1, 10**400)) == pytest.approx(-8000)


def test_more_decibels_than_there_are_on_a_set_are_refused() -> None:
    assert voltage_ratio(200) == 10**10
    for db in (F("200.1"), -201, 10**12):
        with pytest.raises(ValueError, match="is beyond 200 dB"):
            voltage_ratio(db)


@given(st.fractions(-150, 150, max_denominator=1000), st.sampled_from(Waveform))
def test_levels_read_back_from_volts(level: F, waveform: Waveform) -> None:
    assert dbu(vpp_of_dbu(level, waveform), waveform) == pytest.approx(float(level), abs=1e-9)
    assert dbv(vpp_of_dbv(level, waveform), waveform) == pytest.approx(float(level), abs=1e-9)
    assert decibels(voltage_ratio(level)) == pytest.approx(float(level), abs=1e-9)


# --- what a stated level says of its source --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "impedance", "emf"),
    [
        ("1 Vpp open", "1 kohm", F(1)),
        ("30 mVpp open", "1 kohm", F(3, 100)),
        ("600 mVpp into 75 ohm", "75 ohm", F(6, 5)),  # 0.6 × (75 + 75) / 75
        ("1 Vpp into 1 kohm", "75 ohm", F(43, 40)),  # 1075 / 1000
        ("1 Vpp into 75 ohm", "0 ohm", F(1)),
        ("1 Vpp", "600 ohm", F(1)),  # no load said: taken as open
        ("0 Vpp open", "75 ohm", F(0)),
    ],
)
def test_the_emf_behind_a_level(text: str, impedance: str, emf: F) -> None:
    assert open_circuit(parse_voltage(text), parse_resistance(impedance)) == emf


def test_the_emf_behind_a_level_in_decibels() -> None:
    # Plain: open, so 2.455306 Vpp whatever the impedance. Into 600 ohm out of 600 ohm: twice that.
    assert float(open_circuit(parse_voltage("+4 dBu"), 600)) == pytest.approx(2.455306, abs=1e-6)
    assert float(open_circuit(parse_voltage("+4 dBu into 600 ohm"), 600)) == pytest.approx(4.910612, abs=1e-6)
    assert float(open_circuit(parse_voltage("-10 dBV"), 1000)) == pytest.approx(0.632456, abs=5e-7)
    assert float(open_circuit(parse_voltage("-10 dBV open"), 1000, SINE)) == pytest.approx(0.894427, abs=5e-7)


def test_what_a_level_states_stands_over_its_load() -> None:
    level = parse_voltage("600 mVpp into 75 ohm")
    assert stated_vpp(level) == F(3, 5)
    assert on_line(open_circuit(level, 50), 50, [75]) == (F(3, 5),)


def test_a_level_over_a_short_circuit_says_nothing() -> None:
    with pytest.raises(ValueError, match="says nothing of its source"):
        open_circuit(Level(F(1), LevelUnit.VPP, F(0)), 75)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("600 mVpp into 0 ohm", "600 mVpp into 0 ohm stands over a short circuit: write a level such as 1 Vpp open"),
        ("600 mVpp into 0.000 kohm", "stands over a short circuit"),
        ("+201 dBu", r"\+201 dBu is beyond 200 dB: write a level such as 1 Vpp open"),
        ("-999999999999 dBV", "is beyond 200 dB"),
        ("600 mVpp into 75", "cannot be read"),
        ("1 Vpp in 75 ohm", "cannot be read"),
        ("1 Vpp into open", "cannot be read"),
        ("1 Vrms", "Vrms is none of its units"),
        ("-30 mVpp open", "is below zero"),
        ("1,5 Vpp", "has a comma"),
        ("4", "has no unit"),
    ],
)
def test_bad_levels_are_told(text: str, problem: str) -> None:
    with pytest.raises(QuantityError, match=problem):
        parse_voltage(text)


def test_bad_pads_are_told() -> None:
    assert parse_decibels("200 dB") == 200
    with pytest.raises(QuantityError, match="300 dB is beyond 200 dB: write a ratio in decibels such as 30 dB"):
        parse_decibels("300 dB")


# --- one line, several inputs ----------------------------------------------------------------------------------------


def test_ltc_into_a_terminated_input() -> None:
    # 1 Vpp open out of 1 kohm into 75 ohm: 1 × 75 / 1075 = 69.767 mVpp, -23.13 dB.
    (volts,) = on_line(1, K, [75])
    assert volts == F(75, 1075)
    assert round(float(volts) * 1000, 1) == 69.8
    assert decibels(volts) == pytest.approx(-23.127, abs=5e-4)


@pytest.mark.parametrize(
    ("inputs", "volts"),
    [
        (1, F(10, 11)),  # 10 / (1 + 10) kohm
        (2, F(5, 6)),  # 10 / 2 = 5 kohm: 5 / 6
        (3, F(10, 13)),  # 10/3 kohm: (10/3) / (13/3)
        (10, F(1, 2)),  # 1 kohm on 1 kohm
    ],
)
def test_a_passive_split_to_inputs_of_10_kohm(inputs: int, volts: F) -> None:
    assert on_line(1, K, [10 * K] * inputs) == (volts,) * inputs


def test_a_line_without_inputs() -> None:
    assert on_line(1, K, []) == ()


def test_terminations_by_hand() -> None:
    # EMF 1.2 Vpp behind 75 ohm. None: all of it. Two: 37.5 / 112.5 = 1/3. Three: 25 / 100 = 1/4.
    assert [terminated(F(600), count) for count in range(4)] == [1200, 600, 400, 300]
    assert terminated(1, 2, impedance=50) == F(2, 3)


def test_an_input_that_terminates_itself_and_a_plug_on_it() -> None:
    # A self-terminating input at the end and a terminator forgotten on the loop before it: 37.5 ohm on 75 ohm.
    assert on_line(F(6, 5), 75, [None, 75, 75]) == (F(2, 5),) * 3
    assert on_line(F(6, 5), 75, [None, None, 75]) == (F(3, 5),) * 3


def test_the_resistance_of_a_lead_out_and_back() -> None:
    # 60 m at 0.1 ohm a metre, out and back: 12 ohm. 1.2 × 75 / (75 + 12 + 75) = 0.5556 Vpp, 0.668 dB below 0.6.
    (volts,) = on_line(F(6, 5), 75, [75], [2 * 60 * F(1, 10)])
    assert volts == F(6, 5) * 75 / 162
    assert decibels(volts / F(3, 5)) == pytest.approx(-0.6685, abs=5e-5)


def test_a_lead_drops_more_before_more_load() -> None:
    # 100 ohm out of 0 ohm, then 100 ohm of lead to each of two inputs of 200 and 100 ohm:
    # the far half is 100 + 100 = 200 ohm, beside 200 ohm 100 ohm: the near input gets 1/2, the far one half of that.
    assert on_line(1, 0, [200, 100], [100, 100]) == (F(1, 2), F(1, 4))


def test_as_many_leads_as_loads() -> None:
    with pytest.raises(ValueError, match="zip"):
        on_line(1, K, [75, 75], [1])


# --- networks --------------------------------------------------------------------------------------------------------


def loop_through(*, b_bridges: bool) -> Voltages:
    """Reference out of 75 ohm through cameras A and B to a terminated C, with B switched off."""
    line: list[Element] = [Source("out", F(6, 5), 75), Resistor("out", "a", 0), Resistor("a", "b in", 0)]
    bridge = [Resistor("b in", "b loop", 0)] if b_bridges else []
    return solve([*line, *bridge, Resistor("b loop", "c", 0), Resistor("c", GROUND, 75)])


def test_a_loop_through_whose_bridge_holds_when_off() -> None:
    found = loop_through(b_bridges=True)
    assert [found.at(node) for node in ("a", "b in", "c")] == [F(3, 5)] * 3


def test_a_loop_through_whose_bridge_opens_when_off() -> None:
    # The line ends open at B: A has all of the EMF, +6.02 dB, and C nothing.
    found = loop_through(b_bridges=False)
    assert [found.at(node) for node in ("a", "b in", "b loop", "c")] == [F(6, 5), F(6, 5), 0, 0]
    assert found.between("a", "c") == F(6, 5)


def test_a_pad_by_hand() -> None:
    # 10^(30/20) = 31.6228; series 150 × 30.6228 = 4593.42 ohm. Into high impedance out of 0 ohm: -30 dB.
    series, shunt = pad("in", "out", 30)
    assert float(series.ohms) == pytest.approx(4593.42, abs=5e-3)
    assert shunt == Resistor("out", GROUND, PAD_SHUNT)
    volts = solve([Source("in", 1, 0), series, shunt]).at("out")
    assert volts is not None
    assert decibels(volts) == pytest.approx(-30, abs=1e-9)


def test_a_pad_between_what_it_meets_on_a_set() -> None:
    # Out of 1 kohm into a microphone input of 2.2 kohm: 150 × 2200 / 2350 = 140.426 ohm under 5593.42 ohm:
    # 140.426 / 5733.84 = 24.491 mVpp for 1 Vpp, -32.22 dB.
    volts = solve([Source("in", 1, K), *pad("in", "out", 30), Resistor("out", GROUND, 2200)]).at("out")
    assert volts is not None
    assert float(volts) == pytest.approx(0.024491, abs=5e-7)
    assert decibels(volts) == pytest.approx(-32.22, abs=5e-3)


def test_two_pads_in_a_row_take_off_more_than_their_sum() -> None:
    # 20 dB: series 1350, shunt 150. The second, 1500 ohm, loads the first: 150 × 1500 / 1650 = 136.364 ohm,
    # 136.364 / 1486.364 = 0.0917431, of which a tenth.
    elements: list[Element] = [Source("in", 1, 0), *pad("in", "mid", 20), *pad("mid", "out", 20)]
    assert solve(elements).at("out") == F(1500, 1650) * 150 / (1350 + F(1500, 1650) * 150) / 10


def test_a_pad_has_no_gain_and_one_of_0_db_is_a_lead() -> None:
    assert pad("a", "b", -30) == pad("a", "b", 30)
    assert pad("a", "b", 0) == (Resistor("a", "b", 0),)
    assert pad("a", "b", F(20), shunt=600, return_node="shell") == (
        Resistor("a", "b", 5400),
        Resistor("b", "shell", 600),
    )
    with pytest.raises(ValueError, match="beyond 200 dB"):
        pad("a", "b", 201)


LEGS = balanced("hot", "cold", 1, 100)
"""1 Vpp between the legs: 0.5 Vpp and -0.5 Vpp behind 50 ohm each."""
LOAD = Resistor("tip", GROUND, 10 * K)
"""An unbalanced input."""


def test_a_balanced_line() -> None:
    # 10 kohm between the legs: 1 × 10000 / 10100. Against ground half of it each.
    found = solve([*LEGS, Resistor("hot", "cold", 10 * K)])
    assert found.between("hot", "cold") == F(100, 101)
    assert found.at("hot") == F(50, 101)
    assert found.at("cold") == -F(50, 101)
    assert found.between("cold", "hot") == -F(100, 101)  # legs swapped: upside down


@pytest.mark.parametrize(
    ("wiring", "volts"),
    [
        ([Resistor("hot", "tip", 0)], F(1, 2) * 10_000 / 10_050),  # cold open: one leg of 0.5 Vpp out of 50 ohm
        ([Resistor("hot", "tip", 0), Resistor("cold", GROUND, 0)], F(1, 2) * 10_000 / 10_050),  # cold shorted, the same
        ([Resistor("cold", "tip", 0)], -F(1, 2) * 10_000 / 10_050),  # the wrong leg: upside down
        ([Resistor("hot", "tip", 0), Resistor("cold", "tip", 0)], F(0)),  # both legs on the tip cancel
        ([], F(0)),  # nothing wired: an input that nothing feeds
    ],
)
def test_a_balanced_output_into_an_unbalanced_input(wiring: list[Element], volts: F) -> None:
    assert solve([*LEGS, *wiring, LOAD]).at("tip") == volts


def test_an_open_leg_costs_6_db() -> None:
    both = solve(LEGS).between("hot", "cold")
    one = solve(LEGS).at("hot")
    assert both == 1
    assert one is not None
    assert decibels(one / both) == pytest.approx(-6.02, abs=5e-3)


def test_a_broken_wire_into_a_balanced_input() -> None:
    # The input holds each leg to ground by 5 kohm. Cold is broken: 0 V there, hot 0.5 × 5000 / 5050.
    legs: list[Element] = [Resistor("in hot", GROUND, 5 * K), Resistor("in cold", GROUND, 5 * K)]
    found = solve([*LEGS, Resistor("hot", "in hot", 0), *legs])
    assert found.between("in hot", "in cold") == F(1, 2) * 5000 / 5050
    # Held to each other alone, the loose one goes with the other, and nothing stands between them.
    found = solve([*LEGS, Resistor("hot", "in hot", 0), Resistor("in hot", "in cold", 10 * K)])
    assert found.between("in hot", "in cold") == 0


def test_a_floating_output() -> None:
    floating = Source("hot", 1, 100, return_node="cold")
    # A floating balanced input has its difference, and no voltage against ground.
    found = solve([floating, Resistor("hot", "cold", 10 * K)])
    assert found.between("hot", "cold") == F(100, 101)
    assert found.at("hot") is None
    # Cold on the shell of an unbalanced input: all of it, no 6 dB lost.
    wired: list[Element] = [floating, Resistor("hot", "tip", 0), LOAD]
    assert solve([*wired, Resistor("cold", GROUND, 0)]).at("tip") == F(100, 101)
    # Cold open: no current, and nothing at the input.
    assert solve(wired).at("tip") == 0


def test_what_nothing_joins_is_unknown_and_what_nothing_feeds_is_0_v() -> None:
    found = solve([Source("a", 1, 75), Resistor("b", "c", 75), Source("d", 1, 75, "e"), Source("f", 2, 75, "g")])
    assert found.at("nowhere") is None
    assert found.between("a", "nowhere") is None
    assert [found.at(node) for node in ("a", "b", "c", GROUND)] == [1, 0, 0, 0]
    assert found.at("d") is found.at("e") is found.between("d", "f") is found.between("d", "b") is None
    assert found.between("d", "e") == 1
    assert solve([]).at(GROUND) == 0


def test_an_output_that_is_switched_off_still_loads() -> None:
    # Two outputs on one line: 1 Vpp behind 1 kohm, the other off behind 1 kohm: half.
    assert solve([Source("line", 1, K), Source("line", 0, K)]).at("line") == F(1, 2)
    # In step both give 1 Vpp, against each other nothing.
    assert solve([Source("line", 1, K), Source("line", 1, K)]).at("line") == 1
    assert solve([Source("line", 1, K), Source("line", -1, K)]).at("line") == 0


def test_the_return_has_its_resistance_too() -> None:
    # 6 ohm out, 6 ohm back on a line of 75 ohm: the input sees 75 / 162 of the EMF, and its shell stands 6 / 162 up.
    found = solve(
        [Source("out", 1, 75), Resistor("out", "tip", 6), Resistor("tip", "shell", 75), Resistor("shell", GROUND, 6)]
    )
    assert found.between("tip", "shell") == F(75, 162)
    assert found.at("shell") == F(6, 162)


def test_ideal_outputs() -> None:
    # Stacked on each other: 1 + 2 Vpp. In parallel with its like: no contradiction.
    stacked = [Source("low", 1, 0), Source("high", 2, 0, return_node="low"), Source("low", 1, 0)]
    assert solve([*stacked, Resistor("high", "end", 5), Resistor("end", GROUND, 10)]).at("end") == 2
    # Between two nodes of a network, neither of them ground: the load of 1 ohm and that of 2 carry one current,
    # x / 1 + (x - 3) / 2 = 0, so 1 and -2 V.
    found = solve([Source("a", 3, 0, return_node="b"), Resistor("a", GROUND, 1), Resistor("b", GROUND, 2)])
    assert [found.at("a"), found.at("b")] == [1, -2]


@pytest.mark.parametrize(
    "elements",
    [
        [Source("a", 1, 0), Resistor("a", "b", 0), Resistor("b", GROUND, 0)],
        [Source("a", 1, 0), Source("a", 2, 0)],
        [Source("a", 1, 0, return_node="a")],
        [Source("a", 1, 0, return_node="b"), Source("b", 1, 0, return_node="a")],
    ],
)
def test_a_shorted_ideal_output_is_refused(elements: list[Element]) -> None:
    with pytest.raises(ShortCircuitError, match="held at two voltages at once: give the outputs their impedance"):
        solve(elements)


def test_a_shorted_real_output_gives_nothing() -> None:
    assert solve([Source("a", 1, 75), Resistor("a", GROUND, 0)]).at("a") == 0


@pytest.mark.parametrize("ohms", [-1, F(-1, 1000)])
def test_resistances_are_not_below_zero(ohms: F | int) -> None:
    with pytest.raises(ValueError, match="below zero"):
        Resistor("a", "b", ohms)
    with pytest.raises(ValueError, match="below zero"):
        Source("a", 1, ohms)


def test_a_bridge_out_of_balance() -> None:
    # 1 Vpp on two dividers, 1 over 2 ohm and 2 over 1 ohm, with 1 ohm between their middles x and y:
    # (x-1) + x/2 + (x-y) = 0 and (y-1)/2 + y + (y-x) = 0: 5x - 2y = 2, 5y - 2x = 1: x = 12/21, y = 9/21.
    found = solve(
        [
            Source("top", 1, 0),
            *(Resistor("top", "x", 1), Resistor("x", GROUND, 2)),
            *(Resistor("top", "y", 2), Resistor("y", GROUND, 1)),
            Resistor("x", "y", 1),
        ]
    )
    assert (found.at("x"), found.at("y")) == (F(4, 7), F(3, 7))


def test_a_chain_of_300_nodes_is_exact_and_quick() -> None:
    # Backwards from 1 at the far end: V(n-1) = V(n) + lead × the current on the way, which each load adds to.
    chance = Random(300)
    parts = [(F(chance.randint(1, 200), 100), F(chance.choice((75, 600, 2200, 10_000)))) for _ in range(300)]
    volts, current = F(1), F(0)
    for lead, load in reversed(parts):
        current += volts / load
        volts += lead * current
    started = process_time()
    far = on_line(1, 0, [load for _, load in parts], [lead for lead, _ in parts])[-1]
    assert process_time() - started < 1  # it takes some 30 ms; the rest is room for a slow machine
    assert far == 1 / volts


NODES = st.sampled_from([GROUND, *"abcdef"])
OHMS = st.fractions(F(1, 10), 10_000, max_denominator=10)
VOLTS = st.fractions(-5, 5, max_denominator=100)
NETWORKS = st.lists(
    st.one_of(
        st.builds(Resistor, NODES, NODES, st.one_of(st.just(F(0)), OHMS)),
        st.builds(Source, NODES, VOLTS, OHMS, NODES),
    ),
    max_size=14,
)


@given(NETWORKS, st.randoms())
def test_the_order_of_the_elements_changes_nothing(elements: list[Element], chance: Random) -> None:
    mixed = elements[:]
    chance.shuffle(mixed)
    one, other = solve(elements), solve(mixed)
    for hot in (GROUND, *"abcdef"):
        for cold in (GROUND, *"abcdef"):
            assert one.between(hot, cold) == other.between(hot, cold)


@given(NETWORKS, VOLTS)
def test_voltages_go_with_the_sources(elements: list[Element], times: F) -> None:
    def scaled(element: Element) -> Element:
        return (
            element
            if isinstance(element, Resistor)
            else Source(element.node, element.emf * times, element.impedance, element.return_node)
        )

    one, other = solve(elements), solve([scaled(each) for each in elements])
    for node in "abcdef":
        volts = one.at(node)
        if volts is not None:
            assert other.at(node) == volts * times


@given(NETWORKS)
def test_the_currents_at_every_node_add_up_to_nothing(elements: list[Element]) -> None:
    found = solve(elements)
    # A resistance of 0 carries what it must, so the nodes it joins count as one.
    parts = [each for each in elements if isinstance(each, Source) or each.ohms]
    groups = {node: {node} for node in (GROUND, *"abcdef")}
    for each in elements:
        if isinstance(each, Resistor) and not each.ohms:
            groups[each.a] |= groups[each.b]
            for node in groups[each.a]:
                groups[node] = groups[each.a]
            assert found.between(each.a, each.b) == 0
    for group in groups.values():
        current = F(0)
        for each in parts:
            a, b = (each.node, each.return_node) if isinstance(each, Source) else (each.a, each.b)
            emf, ohms = (each.emf, each.impedance) if isinstance(each, Source) else (0, each.ohms)
            volts = found.between(a, b)
            assert volts is not None
            current += ((a in group) - (b in group)) * (volts - emf) / ohms
        assert current == 0
