"""LTC on a line that too much hangs on: tees, 75 ohm inputs and boxes made for video."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Edit,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Source,
    either,
    listed,
)
from synclint.rig.model import End
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.input_levels import NETWORK, Lacking, LevelAt, levels_at_inputs
from synclint.rules.timecode_leads import lines_of, say_db, say_vpp, set_on_socket, socket
from synclint.trade.levels import decibels


@rule(
    Record(
        name="timecode-line-loaded-down",
        summary="LTC is strong enough at its output, and too weak at an input for what else hangs on the line",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why="Every input on a tee takes its share of the level, and a 75 ohm input or a video distribution box takes "
        "most of it; a short in one leg takes the timecode of all. An LTC distribution box gives each leg an output.",
        sources=(
            Source("LTC on 75 ohm loses level, as tabulated in secondary texts, not read", Confirmed.TABULATED),
            NETWORK,
        ),
        answers=("timecode through tees or a passive split", "timecode through a video distribution box"),
    )
)
def timecode_line_loaded_down(case: Case) -> Iterator[Yielded]:
    """Find inputs that would read LTC if nothing loaded the line, and do not with all that is on it."""
    takers: dict[tuple[int, str], _Taker] = {}  # one for all inputs of a line
    for level in case.once(levels_at_inputs):
        if not isinstance(level, Lacking) and level.below and level.unloaded >= level.low:
            key = (id(level.line), level.arrival.source.key)
            if key not in takers:
                takers[key] = _taker(level)
            yield _loaded_down(level, takers[key])


@dataclass(frozen=True, slots=True)
class _Taker:
    """What takes the level of a line, and what is done about it."""

    says: str
    mend: str
    edits: tuple[Edit, ...] = ()
    at: End | None = None
    """The input of the box that takes it, where one does."""


def _loaded_down(level: LevelAt, taker: _Taker) -> Finding:
    """The finding on an input that gets too little of what its output gives."""
    arrival, line = level.arrival, level.line
    surely = level.stands.most is not None and level.stands.most < level.low
    lost = decibels(level.unloaded / level.volts) if level.volts else level.under
    short = "; one short takes it from all" if line.split else ""
    return timecode_line_loaded_down.record.finding(
        at=arrival.link.place,
        says=f"{WHO} {either('gets', 'get')} {level.said} of LTC from {arrival.source.called} and "
        f"{either('reads', 'read')} from {say_vpp(level.low)}: {taker.says}",
        who=(arrival.device.called,),
        cause=(taker.at or (line.outputs, line.links[0].place), taker.says, level.volts, level.low),
        also=(*level.taken, *_others(level)),
        costs=Cost(
            f"{say_db(lost)} are lost on the way: {level.unread()}{short}",
            (
                *level.amounts,
                Amount("lost on the line", lost, "dB"),
                Amount("inputs on the line", len(line.inputs), "inputs"),
            ),
            lost,
        ),
        fix=Fix(taker.mend, taker.edits),
        decided_by=level.decided_by(surely=surely),
        numbers_from=level.stands.rests_on,
    )


def _others(level: LevelAt) -> tuple[Mention, ...]:
    """The other leads of the line."""
    own = level.arrival.link.place
    links = level.line.links[:_MOST_TOLD]
    return tuple(Mention(link.place, "on the same line") for link in links if link.place != own)


_MOST_TOLD = 8


def _taker(level: LevelAt) -> _Taker:
    """What drags a line down: a box of 75 ohm before it, 75 ohm on it, other inputs, or a long lead."""
    arrival, line = level.arrival, level.line
    before = _box_of_75_ohm(level)
    at_75 = [end for end, ends in lines_of(level.case).terminations(line) if ends.value]
    if before is not None:
        box = level.case.setup.called(before.device)
        return _Taker(
            f"{box} before {either('it', 'them')} takes LTC into 75 ohm, as a video box does",
            f"Take an LTC distribution box in place of {box}, or put a generator on {WHO}",
            at=before,
        )
    if at_75:
        return _at_75(level, at_75)
    if line.split:
        count = len(line.inputs)
        return _Taker(
            f"{count} inputs hang on its one output by tees",
            f"Put an LTC distribution box between {arrival.source.called} and the {count} inputs, or a generator on "
            "each device",
        )
    return _Taker(
        "the lead and the input take the rest",
        f"Take a shorter lead to {WHO}, or put an LTC distribution box between",
    )


def _box_of_75_ohm(level: LevelAt) -> End | None:
    """The input of a box before the line, where that loads what comes to it with 75 ohm."""
    lines = lines_of(level.case)
    box = lines.box_before(level.line)
    line = next(iter(lines.at(box)), None) if box is not None else None
    ends = dict(lines.terminations(line)) if line is not None else {}
    return box if box in ends and ends[box].value else None


def _at_75(level: LevelAt, ends: list[End]) -> _Taker:
    """Inputs that load the line with 75 ohm, and how they are made not to."""
    setup = level.case.setup
    ports = [setup.devices[end.device].ports[end.port] for end in ends]
    names = listed(socket(setup.devices[port.device], port.key) for port in ports)
    switched = [port for port in ports if port.electrics.termination.written]
    edits = tuple(
        edit
        for port in switched
        for edit in set_on_socket(level.case, port, port.electrics.termination, "termination", "switched off")
    )
    load = "loads" if len(ends) == 1 else "load"
    mend = (
        f"Switch the 75 ohm of {names} off"
        if len(switched) == len(ports)
        else f"Put {names} on an output of {'its' if len(ends) == 1 else 'their'} own, through an LTC distribution box"
    )
    return _Taker(f"{names} {load} the line with 75 ohm", f"{mend}, and see the digits move", edits)


RULES: tuple[Rule, ...] = (timecode_line_loaded_down,)
