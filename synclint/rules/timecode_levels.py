"""LTC that arrives too loud or too weak for the input that it is plugged into."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

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
    Record,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.input_levels import NETWORK, PADS, Lacking, LevelAt, fitting_pad, levels_at_inputs
from synclint.rules.timecode_leads import on_lead, say_db, say_vpp, set_on_socket, socket
from synclint.rules.wording import a_day
from synclint.trade.levels import open_circuit


@rule(
    Record(
        name="timecode-too-loud",
        summary="LTC arrives louder than the input takes, such as line level in a microphone input",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why="LTC of 1 Vpp is about -3.8 dBu, some 45 dB above what a microphone input is made for. Clipped timecode "
        "often reads all the same, and cannot be trusted to: its edges move, and it spills into the sound beside it.",
        sources=(
            Source("Levels of LTC and of microphone inputs, common practice, no source", Confirmed.PRACTICE),
            NETWORK,
        ),
        answers=("line level into a microphone input",),
    )
)
def timecode_too_loud(case: Case) -> Iterator[Yielded]:
    """Compare what stands at each input that LTC reaches with the highest level that it takes."""
    for level in case.once(levels_at_inputs):
        if isinstance(level, Lacking):
            yield Unjudged(timecode_too_loud.record, level.lack.place, level.lack.says, (level.called,))
        elif level.volts > level.high:
            yield _too_loud(case, level)


def _too_loud(case: Case, level: LevelAt) -> Finding:
    """The finding on an input that LTC overdrives."""
    arrival = level.arrival
    surely = level.stands.least is not None and level.stands.least > level.high
    spills = f", and it spills into the {listed(arrival.beside)}" if arrival.as_sound and arrival.beside else ""
    what = f"any clip of {a_day(case)} may fail to decode" if arrival.as_sound else f"{WHO} may not read it"
    return timecode_too_loud.record.finding(
        at=arrival.link.place,
        says=f"{WHO} {either('gets', 'get')} {level.said} of LTC from {arrival.source.called} at {arrival.port.key}, "
        f"which takes {say_vpp(level.high)} at most",
        who=(arrival.device.called,),
        cause=(arrival.source.key, arrival.link.place, arrival.port.key, level.volts, level.high),
        also=level.taken,
        costs=Cost(
            f"{say_db(level.over)} too loud, the code clips: {what}{spills}",
            (*level.amounts, Amount("over what it takes", level.over, "dB")),
            level.over,
        ),
        fix=_quieter(case, level),
        decided_by=level.decided_by(surely=surely),
        numbers_from=level.stands.rests_on,
    )


def _quieter(case: Case, level: LevelAt) -> Fix:
    """Another position of the output's switch, or a pad."""
    picked = _other_output(level)
    if picked is not None:
        return _switched(case, level, picked)
    arrival, lead = level.arrival, level.arrival.link.lead
    decibels = fitting_pad(level, (each for each in PADS if each > level.pad))
    if decibels is None:
        return _no_pad(level)
    checks = "and see the digits move"
    if arrival.as_sound:
        checks = "set the gain by hand to -20 to -12 dBFS, and play a clip back"
    return Fix(
        f"Put a {decibels} dB pad in the lead from {arrival.source.called} to {WHO}, {checks}",
        on_lead(case, arrival.link, lead.pad if lead is not None else None, "pad", f"{decibels} dB"),
    )


def _no_pad(level: LevelAt) -> Fix:
    """What to do where with any pad the input gets too much or too little."""
    return Fix(
        f"No pad of {PADS[0]} to {PADS[-1]} dB brings it between {say_vpp(level.low)} and {say_vpp(level.high)}: "
        f"feed {WHO} from another output or through an LTC distribution box with a level that can be set"
    )


def _other_output(level: LevelAt) -> str | None:
    """The name of another level of the output with which the input would be right."""
    output = level.arrival.output
    named = output.electrics.levels.value if output is not None else None
    now = output.electrics.level.value if output is not None else None
    if output is None or not named or now is None or level.line.split:
        return None
    ohms = output.electrics.source_impedance.value or Fraction(0)
    present = open_circuit(now, ohms)
    for name, other in named.items():
        would = level.volts * open_circuit(other, ohms) / present if present else Fraction(0)
        if level.low <= would <= level.high:
            return name
    return None


def _switched(case: Case, level: LevelAt, picked: str) -> Fix:
    """The output at another of its levels."""
    arrival = level.arrival
    output, jack = arrival.output, socket(arrival.source, arrival.link.source.port)
    edits: tuple[Edit, ...] = ()
    if output is not None:
        edits = set_on_socket(case, output, output.electrics.output, "output", picked)
    return Fix(f"Set {jack} to its {picked} level, and play a test clip of {WHO} back", edits)


@rule(
    Record(
        name="timecode-too-weak",
        summary="LTC arrives weaker than the input reads, such as microphone level in a timecode input",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why="Below what its reader wants a device sees no timecode at all, or sees it come and go. A padded lead or a "
        "generator left on its microphone level from the last job is enough.",
        sources=(Source("Levels that readers want, common practice, no source", Confirmed.PRACTICE), NETWORK),
        answers=("microphone level into a line or timecode input",),
    )
)
def timecode_too_weak(case: Case) -> Iterator[Yielded]:
    """Compare what the output gives, loaded by nothing, with the lowest level that the input reads."""
    for level in case.once(levels_at_inputs):
        if isinstance(level, Lacking) or not level.below or level.unloaded >= level.low:
            continue
        if not _loses_a_leg(level):
            yield _too_weak(case, level)


def _loses_a_leg(level: LevelAt) -> bool:
    """Whether an open or grounded cold leg takes half of it away, which is told for itself."""
    output, lead = level.arrival.output, level.arrival.link.lead
    balanced = output is not None and bool(output.electrics.balanced.value)
    return balanced and lead is not None and lead.cold_leg.value in ("open", "to ground")


def _too_weak(case: Case, level: LevelAt) -> Finding:
    """The finding on an input that LTC is too weak for."""
    arrival = level.arrival
    surely = level.stands.most is not None and level.stands.most < level.low
    return timecode_too_weak.record.finding(
        at=arrival.link.place,
        says=f"{WHO} {either('gets', 'get')} {level.said} of LTC from {arrival.source.called} at {arrival.port.key}, "
        f"which reads from {say_vpp(level.low)}",
        who=(arrival.device.called,),
        cause=(arrival.source.key, arrival.link.place, arrival.port.key, level.volts, level.low),
        also=level.taken,
        costs=Cost(
            f"{say_db(level.under)} too weak: {level.unread()}",
            (*level.amounts, Amount("under what it reads", level.under, "dB")),
            level.under,
        ),
        fix=_louder(case, level),
        decided_by=level.decided_by(surely=surely),
        numbers_from=level.stands.rests_on,
    )


def _louder(case: Case, level: LevelAt) -> Fix:
    """Another position of the output's switch, a lead without the pad, or another output."""
    picked = _other_output(level)
    if picked is not None:
        return _switched(case, level, picked)
    arrival = level.arrival
    pad = arrival.link.lead.pad if arrival.link.lead is not None else None
    decibels = fitting_pad(level, (each for each in (Fraction(0), *PADS) if each < level.pad))
    if decibels is not None:
        present = say_db(float(level.pad))
        instead = (
            f"with a pad of {decibels} dB in place of the {present} one" if decibels else f"without the {present} pad"
        )
        return Fix(
            f"Take a lead {instead} to {WHO}, and see the digits move",
            on_lead(case, arrival.link, pad, "pad", f"{decibels} dB"),
        )
    if level.pad and (level.padded(Fraction(0)).volts or 0) > level.high:
        return _no_pad(level)
    return Fix(
        f"Feed {WHO} from {either('an output', 'outputs')} with line level, or through an LTC distribution box that "
        "lifts the level, and see the digits move"
    )


RULES: tuple[Rule, ...] = (timecode_too_loud, timecode_too_weak)
