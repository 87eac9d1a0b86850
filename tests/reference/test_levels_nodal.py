"""Networks beside numpy, which solves conductance matrices that are built here, and the values of the trade."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction as F
from random import Random

import numpy as np
import pytest

from synclint.trade.circuit import GROUND, Element, Resistor, Source, balanced, solve
from synclint.trade.levels import Waveform, dbu, dbv, decibels, on_line, terminated, vpp_of_dbu, vpp_of_dbv

LADDERS = 240
MESHES = 120


def drawn(chance: Random, *ohms: str) -> F:
    """One of some resistances, or one anywhere between the smallest and the largest, to a hundredth."""
    choice = [F(each) for each in ohms]
    return chance.choice([*choice, F(chance.randint(int(100 * min(choice)), int(100 * max(choice))), 100)])


@pytest.mark.parametrize("seed", range(LADDERS))
def test_a_ladder_is_that_of_its_conductance_matrix(seed: int) -> None:
    """A line from one output over leads and pads to loads on the way, written straight into G v = i."""
    chance = Random(seed)
    count = chance.randint(2, 25)
    emf, impedance = F(chance.randint(1, 5000), 1000), drawn(chance, "50", "75", "600", "1000")
    conductance, current = np.zeros((count, count)), np.zeros(count)
    conductance[0, 0] = 1 / float(impedance)
    current[0] = float(emf) / float(impedance)
    elements: list[Element] = [Source(0, emf, impedance)]
    for node in range(1, count):
        before = node - 1 if chance.random() < 0.8 else chance.randrange(node)  # some lines fork
        shunt: F | None
        if chance.random() < 0.2:
            series, shunt = drawn(chance, "450", "1350", "4700"), drawn(chance, "47", "150", "330")  # a pad
        else:
            series = drawn(chance, "0.06", "0.5", "12")  # a lead
            shunt = drawn(chance, "75", "600", "2200", "10000", "47000") if chance.random() < 0.6 else None
        elements.append(Resistor(before, node, series))
        g = 1 / float(series)
        conductance[before, before] += g
        conductance[node, node] += g
        conductance[before, node] -= g
        conductance[node, before] -= g
        if shunt is not None:
            elements.append(Resistor(node, GROUND, shunt))
            conductance[node, node] += 1 / float(shunt)
    expected = np.linalg.solve(conductance, current)
    chance.shuffle(elements)
    found = solve(elements)
    assert [float(found.at(node) or 0) for node in range(count)] == pytest.approx(expected, rel=1e-9)


def nodal(branches: Sequence[tuple[int, int, F, F]], count: int) -> list[float]:
    """The voltages of nodes 1 to `count` - 1 against node 0, by a matrix with a row more for each branch's current.

    A branch (a, b, emf, ohms) says V(a) - V(b) - ohms × current = emf, its current being that from a to b.
    """
    size = count - 1 + len(branches)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    for number, (a, b, emf, ohms) in enumerate(branches, count - 1):
        for node, sign in ((a, 1), (b, -1)):
            if node:
                matrix[number, node - 1] += sign
                matrix[node - 1, number] += sign
        matrix[number, number] = -float(ohms)
        right[number] = float(emf)
    return [float(each) for each in np.linalg.solve(matrix, right)[: count - 1]]


@pytest.mark.parametrize("seed", range(MESHES))
def test_any_network_is_that_of_its_nodal_matrix(seed: int) -> None:
    """Meshes and several sources, ideal and real, to ground and between nodes, and leads without resistance."""
    chance = Random(10_000 + seed)
    count = chance.randint(3, 14)
    names = [GROUND, *(f"node {number}" for number in range(1, count))]
    branches: list[tuple[int, int, F, F]] = []
    for node in range(1, count):  # a tree, in which what has no resistance closes no circle
        kind = chance.random()
        emf = F(chance.randint(-3000, 3000), 1000) if kind < 0.4 else F(0)
        ohms = F(0) if kind < 0.1 or kind > 0.9 else drawn(chance, "0.1", "75", "600", "10000")
        branches.append((node, chance.randrange(node), emf, ohms))
    for _ in range(chance.randint(1, 2 * count)):
        a, b = chance.sample(range(count), 2)
        emf = F(chance.randint(-3000, 3000), 1000) if chance.random() < 0.3 else F(0)
        branches.append((a, b, emf, drawn(chance, "0.1", "75", "600", "10000")))
    elements: list[Element] = [
        Source(names[a], emf, ohms, names[b]) if emf else Resistor(names[a], names[b], ohms)
        for a, b, emf, ohms in branches
    ]
    chance.shuffle(elements)
    expected = nodal(branches, count)
    found = solve(elements)
    volts = [found.at(name) for name in names[1:]]
    assert None not in volts
    assert [float(each or 0) for each in volts] == pytest.approx(expected, rel=1e-9, abs=1e-9)


# --- values of the trade -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("terminations", "db"), [(1, 0), (0, 6.02), (2, -3.52), (3, -6.02)])
def test_terminations_on_a_line(terminations: int, db: float) -> None:
    """Arithmetic, 20 log10(2 / (n + 1)), also in the standards page; 75 ohm at both ends is from memory."""
    assert decibels(terminated(1, terminations)) == pytest.approx(db, abs=5e-3)


def test_tri_level_with_one_none_two_and_three_terminations() -> None:
    """Arithmetic; the 600 mVpp of tri-level (±300 mV) and its 75 ohm are from memory."""
    assert [terminated(600, count) for count in (1, 0, 2, 3)] == [600, 1200, 400, 300]


@pytest.mark.parametrize(
    ("vpp", "square", "sine"),
    [("0.5", -9.82, -12.83), ("1", -3.80, -6.81), ("2", 2.22, -0.79), ("4.5", 9.26, 6.25)],
)
def test_volts_in_dbu_of_the_standards_page(vpp: str, square: float, sine: float) -> None:
    """Arithmetic; that 0 dBu is √0.6 V rms is a definition, from memory."""
    assert dbu(F(vpp)) == pytest.approx(square, abs=5e-3)
    assert dbu(F(vpp), Waveform.SINE) == pytest.approx(sine, abs=5e-3)


def test_lines_of_studio_and_home() -> None:
    """Arithmetic: 0 dBu 1.549 Vpp square, 2.19089 sine; +4 dBu 3.472 sine; -10 dBV 0.894 sine and -7.7815 dBu.

    The gap between the last two is 11.78 dB, and 0 dBV is 2.2185 dBu. That these are the usual levels is from memory.
    """
    assert float(vpp_of_dbu(0)) == pytest.approx(1.549, abs=5e-4)
    assert float(vpp_of_dbu(0, Waveform.SINE)) == pytest.approx(2.19089, abs=5e-6)
    assert float(vpp_of_dbu(4)) == pytest.approx(2.455, abs=5e-4)
    assert float(vpp_of_dbu(4, Waveform.SINE)) == pytest.approx(3.472, abs=5e-4)
    assert float(vpp_of_dbv(-10, Waveform.SINE)) == pytest.approx(0.894, abs=5e-4)
    assert dbu(vpp_of_dbv(-10)) == pytest.approx(-7.7815, abs=5e-5)
    assert 4 - dbu(vpp_of_dbv(-10)) == pytest.approx(11.78, abs=5e-3)
    assert dbu(2) - dbv(2) == pytest.approx(2.2185, abs=5e-5)


def test_an_open_leg_of_a_balanced_line() -> None:
    """Arithmetic, one of two equal legs: -6.02 dB; that an output has two driven legs is common practice, no source."""
    one = solve(balanced("hot", "cold", 1, 100)).at("hot")
    assert one is not None
    assert decibels(one) == pytest.approx(-6.02, abs=5e-3)


def test_ltc_on_a_video_termination() -> None:
    """Arithmetic: 1 Vpp open out of 1 kohm into 75 ohm is 69.8 mVpp; 1 Vpp as the usual level of LTC is from memory."""
    assert float(on_line(1, 1000, [75])[0]) * 1000 == pytest.approx(69.8, abs=0.05)
