"""Signal levels: volts peak to peak, dBu and dBV; what an output gives open, what a pad is, what inputs on a line get.

A level is told with its load. `1 Vpp open` is the output's electromotive force (EMF); `600 mVpp into 75 ohm` is what is
left of the EMF where the output's impedance and the load divide it. A level that says neither, and so a plain dBu or
dBV figure, is taken as open: inputs for such levels are of high impedance (common practice, from memory).

Voltages are in volts peak to peak (Vpp), resistances in ohms. LTC is taken as a square wave, of which an ideal one is
0.3 to 0.8 dB above LTC with edges of 40 µs. Decibels are floats, on their way to the screen; what comes of a power or
a root is a fraction rounded to twelve digits, and all else is exact. Texts are read by `quantities`, networks are
solved by `circuit`.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from fractions import Fraction
from math import inf, log10, sqrt
from typing import Final

from synclint.trade.circuit import GROUND, Element, Node, Resistor, Source, solve
from synclint.trade.quantities import DECIBEL_LIMIT, Level, LevelUnit

VIDEO_IMPEDANCE: Final = Fraction(75)
"""Ohms of a video or word clock line, of the outputs that feed it and of its termination (from memory)."""

PAD_SHUNT: Final = Fraction(150)
"""Ohms across the output of a pad, about those of the microphone that its input expects (common practice, no source).

A pad's series part then is some kilohms, which most outputs bear.
"""

_DBU_SQUARED: Final = Fraction(3, 5)
"""0 dBu is √0.6 V rms, the voltage of 1 mW in 600 ohm (definition, from memory)."""


class Waveform(StrEnum):
    """The shape of a signal, which tells how its peak-to-peak value is to its rms value."""

    SQUARE = "square"
    SINE = "sine"


_PEAKS_SQUARED: Final = {Waveform.SQUARE: 4, Waveform.SINE: 8}
"""The square of Vpp / V rms: 2 for a square wave, 2 √2 for a sine."""


def decibels(ratio: Fraction | int) -> float:
    """Give a ratio of voltages in decibels, 20 log10 of its size; minus infinity for 0.

    The polarity is dropped: what stands upside down is as loud.
    """
    ratio = abs(Fraction(ratio))
    # By parts, for a fraction may be too small for a float.
    return 20 * (log10(ratio.numerator) - log10(ratio.denominator)) if ratio else -inf


def voltage_ratio(db: Fraction | int) -> Fraction:
    """Give the ratio of voltages that decibels say, 10^(dB / 20), to twelve digits.

    ValueError beyond 200 dB either way.
    """
    if not -DECIBEL_LIMIT <= db <= DECIBEL_LIMIT:
        raise ValueError(f"{db} dB is beyond {DECIBEL_LIMIT} dB")
    return _rounded(10 ** (float(db) / 20))


def rms(vpp: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> Fraction:
    """Give the volts rms of a signal of some Vpp: Vpp / 2 for a square wave, Vpp / (2 √2) for a sine."""
    return Fraction(vpp) / 2 if waveform is Waveform.SQUARE else _rounded(float(vpp) / sqrt(8))


def dbu(vpp: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> float:
    """Give a signal of some Vpp in dBu, 20 log10(V rms / √0.6 V); minus infinity for 0."""
    return decibels(Fraction(vpp) ** 2 / (_PEAKS_SQUARED[waveform] * _DBU_SQUARED)) / 2


def dbv(vpp: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> float:
    """Give a signal of some Vpp in dBV, 20 log10(V rms / 1 V); minus infinity for 0."""
    return decibels(Fraction(vpp) ** 2 / _PEAKS_SQUARED[waveform]) / 2


def vpp_of_dbu(level: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> Fraction:
    """Give the Vpp of a level in dBu, to twelve digits; ValueError beyond 200 dB either way."""
    return _rounded(float(voltage_ratio(level)) * sqrt(_PEAKS_SQUARED[waveform] * _DBU_SQUARED))


def vpp_of_dbv(level: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> Fraction:
    """Give the Vpp of a level in dBV, to twelve digits; ValueError beyond 200 dB either way."""
    return _rounded(float(voltage_ratio(level)) * sqrt(_PEAKS_SQUARED[waveform]))


def stated_vpp(level: Level, waveform: Waveform = Waveform.SQUARE) -> Fraction:
    """Give the Vpp that a level states, over whichever load it states it.

    ValueError for dBu or dBV beyond 200 either way, which `parse_voltage` does not let pass.
    """
    if level.unit is LevelUnit.VPP:
        return level.value
    return (vpp_of_dbu if level.unit is LevelUnit.DBU else vpp_of_dbv)(level.value, waveform)


def open_circuit(level: Level, impedance: Fraction | int, waveform: Waveform = Waveform.SQUARE) -> Fraction:
    """Give the EMF in Vpp of an output with a level and an impedance in ohms, which is what stands at it open.

    600 mVpp into 75 ohm out of 75 ohm come from 1.2 Vpp. A level that says no load is taken as open. ValueError for a
    load of 0 ohm, over which nothing can stand (`parse_voltage` does not let it pass), and as `stated_vpp` has it.
    """
    volts = stated_vpp(level, waveform)
    if level.load is None:
        return volts
    if level.load <= 0:
        raise ValueError("a level over a load of 0 ohm says nothing of its source")
    return volts * (level.load + impedance) / level.load


def pad(
    a: Node, b: Node, db: Fraction | int, *, shunt: Fraction | int = PAD_SHUNT, return_node: Node = GROUND
) -> tuple[Resistor, ...]:
    """A pad from its input `a` to its output `b`: a resistor in series, then one across the output (an L).

    It takes off its decibels into a high impedance and out of a low one: shunt / (series + shunt) = 10^(-dB / 20), the
    series part to twelve digits. What it takes off between real ones comes of the network. -30 dB and 30 dB name the
    same pad, which has no gain, and one of 0 dB is a plain lead. ValueError beyond 200 dB.
    """
    if not db:
        return (Resistor(a, b, 0),)
    series = shunt * (voltage_ratio(abs(Fraction(db))) - 1)
    return Resistor(a, b, series), Resistor(b, return_node, shunt)


def on_line(
    emf: Fraction | int,
    impedance: Fraction | int,
    loads: Sequence[Fraction | int | None],
    leads: Sequence[Fraction | int] | None = None,
) -> tuple[Fraction, ...]:
    """Give what stands at each of several inputs on one line, in Vpp, the nearest to the output first.

    `emf` is the open-circuit voltage in Vpp and `impedance` that of the output in ohms; `loads` are the ohms of each
    input with all that terminates it, None for one that hardly loads; `leads` the ohms (out and back) of the lead
    before each input, none if not given. ValueError if there are not as many leads as loads or ohms below zero;
    ShortCircuitError for 0 ohm all the way from an ideal output to a load of 0 ohm.
    """
    elements: list[Element] = [Source(0, emf, impedance)]
    for number, (load, lead) in enumerate(zip(loads, leads or [0] * len(loads), strict=True), 1):
        elements.append(Resistor(number - 1, number, lead))
        if load is not None:
            elements.append(Resistor(number, GROUND, load))
    found = solve(elements)
    # None floats, for leads join each to the output.
    return tuple(found.at(number) or Fraction(0) for number in range(1, len(loads) + 1))


def terminated(nominal: Fraction | int, terminations: int, impedance: Fraction | int = VIDEO_IMPEDANCE) -> Fraction:
    """Give what stands on a line that ends in so many terminations, in Vpp, if its nominal level is that into one.

    The output and each termination have the impedance in ohms: one gives the nominal level, none twice that, and n
    terminations 2 / (n + 1) of it.
    """
    return on_line(2 * nominal, impedance, [impedance] * terminations or [None])[0]


def _rounded(value: float) -> Fraction:
    return Fraction(f"{value:.12g}")
