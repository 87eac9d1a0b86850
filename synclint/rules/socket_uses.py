"""Sockets with several uses, and what they are set to where a lead with timecode is plugged in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    either,
    listed,
    shortened,
)
from synclint.rig.lines import Line, Lines
from synclint.rig.model import Device, End, Link, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import LTC, lines_of, say_db, set_on_socket
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.levels import decibels

_IN, _OUT = "timecode in", "timecode out"
_SOUND_IN = ("microphone", "line")
"""How the uses begin by which a socket takes LTC as sound."""


@dataclass(frozen=True, slots=True)
class _Wrong:
    """A socket at one end of a lead with timecode that is set to another use."""

    link: Link
    device: Device
    port: Port
    fact: Fact[Any]
    key: str
    """The key by which it is set: `set_to`, `in` or `out`."""
    wanted: str
    """What it is to be set to, as it is written."""
    giving: bool
    """Whether it is the end that timecode comes from."""

    @property
    def set_to(self) -> str:
        """What it is set to, in words."""
        if self.key == "set_to":
            return shortened(str(self.fact.value))
        return f"{'give' if self.giving else 'take'} {listed(self.fact.value or ()) or 'nothing'}"


@rule(
    Record(
        name="socket-set-to-another-use",
        summary="A socket that a lead with timecode is plugged into is set to another direction or use",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A jack with several uses does one at a time. An input set to out gets nothing and drags the level down "
        "for all others on the line; one set to headphones or a microphone does not read timecode either.",
        sources=(PRACTICE,),
        answers=("timecode socket set to the wrong direction or function",),
    )
)
def socket_set_to_another_use(case: Case) -> Iterator[Yielded]:
    """Compare what the sockets at both ends of each lead with timecode are set to with what the lead is there for."""
    turned = _turned(case)
    for link in case.setup.links:
        if link.by != "lead" or link.carries.value != LTC:
            continue
        for wrong in (_at_source(case, link, turned), _at_target(case, link, turned)):
            if wrong is not None:
                yield _finding(case, wrong)


def _turned(case: Case) -> frozenset[End]:
    """The sockets that are used in both directions, one after the other: their menu is turned with the lead."""
    leads = [link for link in case.setup.links if link.by == "lead" and link.carries.value == LTC]
    return frozenset({link.source for link in leads} & {link.target for link in leads})


def _at_source(case: Case, link: Link, turned: frozenset[End]) -> _Wrong | None:
    """The socket that timecode comes from, where it is set to give none."""
    device = case.setup.devices[link.source.device]
    port = device.ports.get(link.source.port)
    if port is None or device.through or link.source in turned:
        return None
    use, gives = port.electrics.set_to, port.gives
    if use.value is not None:
        return None if use.value == _OUT else _Wrong(link, device, port, use, "set_to", _OUT, giving=True)
    if gives.value is not None and not {LTC, "timecode"} & set(gives.value):
        return _Wrong(link, device, port, gives, "out", f"[{LTC}]", giving=True)
    return None


def _at_target(case: Case, link: Link, turned: frozenset[End]) -> _Wrong | None:
    """The socket that timecode comes to, where it is set not to take it."""
    device = case.setup.devices[link.target.device]
    port = device.ports.get(link.target.port)
    if port is None or device.through or link.target in turned:
        return None
    use, takes = port.electrics.set_to, port.takes
    reads = device.timecode.source.value == port.key
    if use.value is not None:
        right = use.value == _IN or (use.value.startswith(_SOUND_IN) and not reads)
        return None if right else _Wrong(link, device, port, use, "set_to", _as_read(device, port), giving=False)
    if takes.value is not None and not {LTC, "timecode", *(() if reads else ("sound",))} & set(takes.value):
        return _Wrong(link, device, port, takes, "in", f"[{LTC}]", giving=False)
    return None


def _as_read(device: Device, port: Port) -> str:
    """What an input is to be set to: where LTC is recorded as sound, to a microphone or line."""
    reads = device.timecode.source.value == port.key
    as_sound = not reads and device.sound is not None and LTC in (device.sound.tracks.value or {}).values()
    return "microphone" if as_sound else _IN


def _finding(case: Case, wrong: _Wrong) -> Finding:
    """The finding on one socket."""
    link, port = wrong.link, wrong.port
    other = case.setup.devices[(link.target if wrong.giving else link.source).device]
    way = "goes out to" if wrong.giving else "comes in from"
    amounts = [Amount("devices without timecode", 1, "devices")]
    hit = other.called if wrong.giving else WHO
    sees = "gets" if wrong.giving else either("gets", "get")
    cost = f"{hit} {sees} no timecode for {a_day(case)}, with a lead plugged that says otherwise"
    if link.connected.value == "to jam":
        cost = f"the jam of {hit} does not take"
    drag = None if wrong.giving else _dragged(case, wrong)
    if drag is not None:
        others = f" for {listed(drag.others)}" if drag.others else ""
        cost += f"; its output works against that of {other.called} and takes {say_db(drag.db)} off the level{others}"
        amounts.append(Amount("taken off the level", drag.db, "dB"))
    settable = wrong.fact.place.span.file == case.setup.file
    return socket_set_to_another_use.record.finding(
        at=wrong.fact.place,
        says=f"{port.key} of {WHO} is set to {wrong.set_to}, and LTC {way} {other.called} there",
        who=(wrong.device.called,),
        cause=(wrong.giving, other.key, port.key, wrong.set_to),
        also=(Mention(link.place, f"the lead {'to' if wrong.giving else 'from'} {other.called}"),),
        costs=Cost(cost, tuple(amounts), drag.db if drag is not None else 0.0),
        fix=Fix(
            f"Set {port.key} of {WHO} to {wrong.wanted.strip('[]')}, label the socket, and see the digits move",
            set_on_socket(case, port, wrong.fact, wrong.key, wrong.wanted) if settable else (),
        ),
        numbers_from=drag.facts if drag is not None else (),
    )


@dataclass(frozen=True, slots=True)
class _Drag:
    """By how much a second output on a line lowers the level, and for whom."""

    db: float
    others: tuple[str, ...]
    facts: tuple[Fact[Any], ...]


def _dragged(case: Case, wrong: _Wrong) -> _Drag | None:
    """What a socket set to out does to the line that it is plugged into."""
    lines, end = lines_of(case), wrong.link.target
    line = lines.of(wrong.link)
    if line is None or end not in line.outputs or line.outputs[0] == end:
        return None
    others = tuple(dict.fromkeys(each for each in line.inputs if each not in line.outputs))
    at = others[0] if others else end
    before, after = _without(lines, line, end, at), lines.stands(line, at)
    if not before or not after.volts or after.volts >= before:
        return None
    called = tuple(dict.fromkeys(case.setup.called(each.device) for each in others))
    return _Drag(decibels(before / after.volts), called, after.rests_on)


def _without(lines: Lines, line: Line, end: End, at: End) -> Fraction | None:
    """What would stand at an input of a line if another socket on it did not drive it."""
    quiet = Line(line.signal, line.links, tuple(each for each in line.outputs if each != end), line.inputs)
    return lines.stands(quiet, at).volts


RULES: tuple[Rule, ...] = (socket_set_to_another_use,)
