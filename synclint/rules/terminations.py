"""75 ohm lines that do not end in just one termination."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from synclint.findings import (
    Amount,
    Confirmed,
    Cost,
    Edit,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Source,
    Standing,
    Unjudged,
    listed,
)
from synclint.rig.lines import Line, stays
from synclint.rig.model import End, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import lines_of, set_on_socket, socket
from synclint.rules.wording import PRACTICE
from synclint.trade.levels import decibels, stated_vpp, terminated
from synclint.trade.quantities import say_number
from synclint.trade.references import TRI_LEVEL_MV

_SIGNALS = frozenset({"black burst", "tri-level", "word clock"})
"""What runs on lines of 75 ohm that end in one load of 75 ohm."""

_TRI_LEVEL_WHY = f"tri-level sync is {TRI_LEVEL_MV} mVpp into one 75 ohm (ST 240, as read of in an article)"


@dataclass(frozen=True, slots=True)
class _Ends:
    """A line with its inputs, the nearest to the output first, and at which of them it is terminated."""

    line: Line
    inputs: tuple[End, ...]
    on: tuple[tuple[End, Fact[bool]], ...]
    unknown: tuple[End, ...]

    @property
    def far(self) -> End:
        """The input at the end of the line."""
        return self.inputs[-1]


@rule(
    Record(
        name="not-one-termination",
        summary="A reference line ends in no 75 ohm load, or in more than one",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="An output of 75 ohm gives its level into one load of 75 ohm. Into none it stands at twice that and is "
        "thrown back from the open end; two loads leave two thirds of it, three a half. Lock comes and goes, the more "
        "so when one device on the line is unplugged.",
        sources=(
            Source("Level into n terminations is 2/(n + 1): exact arithmetic", Confirmed.ARITHMETIC),
            Source("ST 240, tri-level of ±300 mV, described in an article", Confirmed.TABULATED),
            PRACTICE,
        ),
        answers=("termination count is not exactly one", "word clock on tees with a wrong termination count"),
    )
)
def not_one_termination(case: Case) -> Iterator[Yielded]:
    """Count the terminations of every line that carries a reference."""
    for line in lines_of(case).all:
        if line.signal not in _SIGNALS or not line.inputs or len(line.outputs) != 1 or not stays(line.links[0]):
            continue
        ends = _ends(case, line)
        if ends.unknown and len(ends.on) < 2:
            device, port = ends.unknown[0].device, ends.unknown[0].port
            called = case.setup.called(device)
            lacks = f"whether the 75 ohm at {port} of {called} is switched on (ports: termination)"
            yield Unjudged(not_one_termination.record, line.lead_to(ends.unknown[0]).place, lacks, (called,))
        elif len(ends.on) != 1:
            yield _finding(case, ends)


def _ends(case: Case, line: Line) -> _Ends:
    """The inputs of a line and how each ends it."""
    known = dict(lines_of(case).terminations(line))
    ordered = _in_order(case, line)
    return _Ends(
        line,
        ordered,
        tuple((end, known[end]) for end in ordered if end in known and known[end].value),
        tuple(end for end in ordered if end not in known or known[end].value is None),
    )


def _in_order(case: Case, line: Line) -> tuple[End, ...]:
    """The inputs of a line from its output on: by how many leads lie before each, then as they are written."""
    loops: Mapping[End, End] = {
        End(end.device, port.loop.value): end
        for end in line.inputs
        if (port := case.setup.devices[end.device].ports.get(end.port)) is not None and port.loop.value
    }
    before = {link.target: loops.get(link.source) for link in line.links}
    hops: dict[End, int] = {}
    for end in line.inputs:
        count, current, seen = 0, before.get(end), {end}
        while current is not None and current not in seen:
            seen.add(current)
            count += 1
            current = before.get(current)
        hops[end] = count
    return tuple(sorted(line.inputs, key=lambda end: hops[end]))


def _finding(case: Case, ends: _Ends) -> Finding:
    """The finding on a line without one termination."""
    line, count = ends.line, len(ends.on)
    output = case.setup.called(line.outputs[0].device)
    names = listed(dict.fromkeys(case.setup.called(end.device) for end in ends.inputs))
    where = _named(case, ends, (end for end, _ in ends.on))
    says = (
        f"the {line.signal} from {output} ends in {count} loads of 75 ohm, at {where}"
        if count
        else f"the {line.signal} from {output} to {names} ends in no 75 ohm load"
    )
    level, assumed = _nominal(case, line)
    return not_one_termination.record.finding(
        at=line.links[0].place,
        level=Level.WARNING if line.signal == "word clock" else None,
        says=says,
        who=tuple(dict.fromkeys(case.setup.called(end.device) for end in ends.inputs)),
        costs=_cost(count, level, ends),
        fix=_fix(case, ends),
        also=tuple(Mention(fact.place, f"{_name(case, ends, end)} ends the line here") for end, fact in ends.on),
        decided_by=tuple(fact for _, fact in ends.on),
        numbers_from=(assumed,) if assumed is not None else (),
    )


def _nominal(case: Case, line: Line) -> tuple[Fraction | None, Fact[Fraction] | None]:
    """The Vpp that an output gives into one load, as stated, or what is usual of tri-level; None where nobody knows."""
    port = case.setup.devices[line.outputs[0].device].ports.get(line.outputs[0].port)
    level = port.electrics.level if port is not None else None
    if level is not None and level.value is not None and level.value.load == 75:
        return stated_vpp(level.value), None
    if line.signal != "tri-level":
        return None, None
    volts = Fraction(TRI_LEVEL_MV, 1000)
    return volts, Fact(volts, line.links[0].place, Standing.ASSUMED, why=_TRI_LEVEL_WHY)


def _cost(count: int, level: Fraction | None, ends: _Ends) -> Cost:
    """What stands at the inputs."""
    share = terminated(1, count)
    db = decibels(share)
    amounts = [Amount("terminations", count, "terminations"), Amount("level", db, "dB")]
    says = f"{'+' if db > 0 else '−'}{say_number(Fraction(abs(db)), 3)} dB at {len(ends.inputs)} "
    says += "input" if len(ends.inputs) == 1 else "inputs"
    if level is not None:
        stands = terminated(level, count) * 1000
        says = f"{say_number(stands)} mVpp for {say_number(level * 1000)} ({says})"
        amounts.append(Amount("at the inputs", float(stands), "mVpp"))
    says += ", and an echo from the open end" if not count else ""
    return Cost(f"{says}: lock comes and goes", tuple(amounts), abs(db))


def _fix(case: Case, ends: _Ends) -> Fix:
    """Which one load is to stay, and how the others go."""
    fixed = [end for end, _ in ends.on if _able(case, end) == "always"]
    last = _name(case, ends, ends.far)
    if len(fixed) > 1 or (not ends.on and not _can_end(case, ends.far)):
        output = case.setup.called(ends.line.outputs[0].device)
        if ends.on:
            return Fix(
                f"Put a distribution amplifier after {output}, with a leg for each: {_named(case, ends, fixed)} cannot "
                "be switched off"
            )
        far = socket(case.setup.devices[ends.far.device], ends.far.port)
        return Fix(f"Put a tee with a 75 ohm terminator on {far}")
    stays_on = fixed[0] if fixed else ends.far
    off = [end for end, _ in ends.on if end != stays_on]
    edits: list[Edit] = [edit for end in off for edit in _set(case, end, "switched off")]
    parts = [f"Switch the 75 ohm off at {_named(case, ends, off)}"] if off else []
    if all(end != stays_on for end, _ in ends.on):
        plugged = _able(case, stays_on) != "switchable" and _has_loop(case, stays_on)
        edits += _set(case, stays_on, "plugged on" if plugged else "switched on")
        how = f"plug a 75 ohm terminator on the loop of {last}" if plugged else f"switch the 75 ohm on at {last}"
        parts.append(f"{how}, the last on the line")
    says = ", and ".join(parts)
    return Fix(f"{says[0].upper()}{says[1:]}", tuple(edits))


def _named(case: Case, ends: _Ends, some: Iterable[End]) -> str:
    """Some inputs of a line, by their devices, or by their sockets where the line comes to a device more than once."""
    return listed(_name(case, ends, end) for end in some)


def _name(case: Case, ends: _Ends, end: End) -> str:
    several = sum(other.device == end.device for other in ends.inputs) > 1
    return socket(case.setup.devices[end.device], end.port) if several else case.setup.called(end.device)


def _port(case: Case, end: End) -> Port | None:
    return case.setup.devices[end.device].ports.get(end.port)


def _able(case: Case, end: End) -> str | None:
    port = _port(case, end)
    return port.electrics.able_termination.value if port is not None else None


def _has_loop(case: Case, end: End) -> bool:
    port = _port(case, end)
    return port is not None and port.loop.value is not None


def _can_end(case: Case, end: End) -> bool:
    """Whether a line can be ended at an input without another part."""
    return _able(case, end) == "switchable" or (_has_loop(case, end) and _port(case, end) is not None)


def _set(case: Case, end: End, value: str) -> tuple[Edit, ...]:
    port = _port(case, end)
    return () if port is None else set_on_socket(case, port, port.electrics.termination, "termination", value)


RULES: tuple[Rule, ...] = (not_one_termination,)
