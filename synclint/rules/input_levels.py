"""What stands at each input that LTC reaches by wire, beside what the input takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from synclint.findings import WHO, Amount, Confirmed, Fact, Mention, Source, either
from synclint.rig.assumed import (
    LINE_RANGE,
    LINE_RANGE_WHY,
    MICROPHONE_RANGE,
    MICROPHONE_RANGE_WHY,
    TIMECODE_RANGE,
    TIMECODE_RANGE_WHY,
)
from synclint.rig.line_parts import PASSED_ON_WHY, InputKind, Lack
from synclint.rig.lines import Line, Stands
from synclint.rules.framework import Case
from synclint.rules.plugs import brings_both_legs
from synclint.rules.timecode_leads import Arrival, arrivals, line_of, lines_of, say_dbu, say_vpp, socket
from synclint.rules.wording import a_day
from synclint.trade.levels import decibels

NETWORK = Source("Kirchhoff's laws for the output, its lead and every input on it", Confirmed.ARITHMETIC)

_RANGES: dict[InputKind, tuple[tuple[Fraction, Fraction], str]] = {
    InputKind.MICROPHONE: (MICROPHONE_RANGE, MICROPHONE_RANGE_WHY),
    InputKind.LINE: (LINE_RANGE, LINE_RANGE_WHY),
    InputKind.TIMECODE: (TIMECODE_RANGE, TIMECODE_RANGE_WHY),
}


@dataclass(frozen=True)
class LevelAt:
    """What stands at an input that LTC reaches, beside what it takes."""

    case: Case
    arrival: Arrival
    line: Line
    stands: Stands
    accepts: Fact[tuple[Fraction, Fraction]]
    low: Fraction
    """The lowest level that the input reads, in Vpp."""
    high: Fraction
    """The highest level that it takes."""

    @property
    def volts(self) -> Fraction:
        """What stands there, in Vpp."""
        return self.stands.volts or Fraction(0)

    @cached_property
    def unloaded(self) -> Fraction:
        """What would stand there if nothing loaded the line: no other input, no 75 ohm, no length."""
        stands = lines_of(self.case).stands(self.line, self.arrival.link.target, unloaded=True)
        return stands.volts if stands.volts is not None else self.volts

    @property
    def pad(self) -> Fraction:
        """The decibels of the pad in its lead; 0 for a plain one."""
        lead = self.arrival.link.lead
        return abs(lead.pad.value) if lead is not None and lead.pad.value is not None else Fraction(0)

    def padded(self, decibels: Fraction) -> Stands:
        """What would stand there with another pad in the lead, or with none at 0 dB."""
        pad = (self.arrival.link, decibels)
        return lines_of(self.case).stands(self.line, self.arrival.link.target, padded=pad)

    @property
    def below(self) -> bool:
        """Whether it is weaker than the input reads."""
        return self.volts < self.low

    @property
    def under(self) -> float:
        """By how many decibels it is below what the input reads; a great many where nothing stands there."""
        return decibels(self.low / self.volts) if self.volts else _NOTHING

    @property
    def over(self) -> float:
        """By how many decibels it is above what the input takes."""
        return decibels(self.volts / self.high) if self.high else _NOTHING

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """The number that all findings on a level have."""
        return (Amount("at the input", float(self.volts), "Vpp"),)

    @property
    def said(self) -> str:
        """What stands there, in words."""
        return f"{say_vpp(self.volts)} ({say_dbu(self.volts)})" if self.volts else "no voltage at all"

    @property
    def taken(self) -> tuple[Mention, ...]:
        """Where it stands what the input takes, if anybody says."""
        return (Mention(self.accepts.place, f"what {self.arrival.port.key} takes"),) if self.accepts.stated else ()

    def unread(self) -> str:
        """What becomes of timecode that is too weak, by how long its lead is plugged."""
        if self.arrival.link.connected.value == "to jam":
            return f"a jam of {WHO} does not take, or takes at the third try"
        if self.arrival.link.only_compares:
            return f"{WHO} {either('sees', 'see')} nothing to compare"
        sees = either("sees", "see")
        return f"{WHO} {sees} no timecode, or {sees} it come and go, for {a_day(self.case)}"

    def decided_by(self, *, surely: bool) -> tuple[Fact[Any], ...]:
        """The facts that the verdict hangs on: what is assumed of impedances, unless it holds whatever they are."""
        boxes = tuple(fact for fact in self.stands.rests_on if fact.why == PASSED_ON_WHY)
        return (self.accepts, *(boxes if surely else self.stands.rests_on))


_NOTHING = 200.0

PADS = tuple(map(Fraction, (10, 15, 20, 30, 40, 50, 60)))
"""The pads that a rental house has, in decibels."""

_HEADROOM = 4
"""How far below the most that an input for microphones takes LTC is to be set: 12 dB."""


def fitting_pad(level: LevelAt, pads: Iterable[Fraction]) -> Fraction | None:
    """Of some pads the one with which the real circuit brings an input what it takes; None where none does.

    For microphones it is the smallest that leaves headroom, else the one that stands farthest from both limits.
    """
    room: dict[Fraction, float] = {}
    for pad in pads:
        stands = level.padded(pad)
        volts, least, most = stands.volts or Fraction(0), stands.least or Fraction(0), stands.most or Fraction(0)
        if not volts or not level.low <= volts <= level.high:
            continue
        if level.arrival.kind is InputKind.MICROPHONE and volts <= level.high / _HEADROOM:
            return pad
        sure = level.low <= least and most <= level.high
        below = decibels(volts / level.low) if level.low else _NOTHING
        room[pad] = min(below, decibels(level.high / volts)) + (_NOTHING if sure else 0)
    return max(room, key=lambda each: room[each], default=None)


@dataclass(frozen=True, slots=True)
class Lacking:
    """A fact without which nobody can judge the level at an input."""

    lack: Lack
    called: str


def levels_at_inputs(case: Case) -> tuple[LevelAt | Lacking, ...]:
    """The level at every input that LTC reaches by wire, or which fact lacks for it."""
    return tuple(_found(case))


def _found(case: Case) -> Iterator[LevelAt | Lacking]:
    for arrival in arrivals(case):
        line = line_of(case, arrival)
        if line is None or brings_both_legs(arrival) or _says_nothing(arrival):
            continue
        stands = lines_of(case).stands(line, arrival.link.target)
        accepts = _accepted(arrival)
        if stands.volts is not None and accepts.value is not None:
            yield LevelAt(case, arrival, line, stands, accepts, *accepts.value)
        elif arrival.as_sound or arrival.port.electrics.accepts.written:
            yield from _lacking(arrival, stands, accepts)


def _says_nothing(arrival: Arrival) -> bool:
    """Whether nobody says anything of levels at either end of a lead for timecode."""
    stated = arrival.output is not None and (
        arrival.output.electrics.level.written or arrival.output.electrics.levels.written
    )
    asked = arrival.as_sound or arrival.port.electrics.accepts.written
    return not (stated or asked or arrival.source.through)


def _lacking(arrival: Arrival, stands: Stands, accepts: Fact[tuple[Fraction, Fraction]]) -> Iterator[Lacking]:
    """What would have to be known to judge the level at a microphone input, or at one whose range is stated."""
    called = arrival.device.called
    if accepts.value is None:
        says = f"whether {socket(arrival.device, arrival.port.key)} is for microphones or for line (ports: accepts)"
        yield Lacking(Lack(says, arrival.port.place, called), called)
    for lack in stands.lacks:
        yield Lacking(lack, called)


def _accepted(arrival: Arrival) -> Fact[tuple[Fraction, Fraction]]:
    """What an input takes: as stated, or as inputs of its kind do."""
    stated = arrival.port.electrics.accepts
    assumed = _RANGES.get(arrival.kind)
    return stated if assumed is None else stated.else_assume(*assumed)
