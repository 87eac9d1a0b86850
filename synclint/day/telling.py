"""The days in words: what happens to each device's time, two generations on the set, and the order of the morning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.moments import Carried, Origin, State
from synclint.day.run import Jam, Run
from synclint.day.schedule import Step
from synclint.findings import listed, shortened
from synclint.rig.model import Event, Setup
from synclint.trade.times import say_clock

ONE_ROUND = Fraction(15 * 60)
"""Jams that follow each other within this are one round of the set, in seconds (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class DayLine:
    """What happens to the time of devices in the days, in one line; devices of which the same is told share it."""

    devices: tuple[str, ...]
    says: str
    """Such as `jammed 07:00 and 12:42 from Sound bag; off 12:10 to 12:14 (battery)`."""


@dataclass(frozen=True, slots=True)
class DayTold:
    """The days at a glance."""

    devices: tuple[DayLine, ...] = ()
    generations: tuple[str, ...] = ()
    """The stretches of time in which the set carries times from different jams."""
    morning: tuple[str, ...] = ()
    """What is done before the first take, in order."""


def tell(run: Run) -> DayTold:
    """The days of a setup in words; nothing where it has none."""
    if not run.setup.days:
        return DayTold()
    return DayTold(tuple(_lines(run)), tuple(_generations(run)), tuple(_morning(run)))


# --- a line a device -------------------------------------------------------------------------------------------


def _lines(run: Run) -> Iterator[DayLine]:
    """The devices to which something happens, in the order of the file, alike ones together."""
    told: dict[str, list[str]] = {}
    happens = _happenings(run)
    for key in run.histories:
        says = "; ".join(text for _, text in sorted(happens.get(key, ()), key=lambda each: each[0]))
        if says:
            told.setdefault(says, []).append(run.setup.called(key))
    yield from (DayLine(tuple(who), says) for says, who in told.items())


def _happenings(run: Run) -> dict[str, list[tuple[Fraction, str]]]:
    """What happens to each device: from when, and in words."""
    found: dict[str, list[tuple[Fraction, str]]] = {}
    for (key, source, granted), jams in _jams_by_source(run).items():
        times = listed(dict.fromkeys(clock_of(run.setup, jam.at) for jam in jams))
        said = f"jammed {times} from {run.setup.called(source)}{' (taken for granted)' if granted else ''}"
        found.setdefault(key, []).append((jams[0].at, said))
    for step in run.steps:
        words = _words(run.setup, step)
        for key in step.keys if words else ():
            if key in run.histories and (step.what != "set clock" or run.at(key, step.at).working):
                found.setdefault(key, []).append((step.at, words))
    for key, off in _offs(run).items():
        found.setdefault(key, []).extend((steps[0].at, _off_told(run.setup, steps)) for steps in off)
    return found


def _offs(run: Run) -> dict[str, list[list[Step]]]:
    """What holds each device switched off, together where one begins before another has ended."""
    found: dict[str, list[list[Step]]] = {}
    for step in run.steps:
        for key in run.histories.keys() & step.keys if step.what == "power off" else ():
            spans = found.setdefault(key, [])
            if spans and step.at <= _end_of(run, spans[-1]):
                spans[-1].append(step)
            else:
                spans.append([step])
    return found


def _end_of(run: Run, steps: Iterable[Step]) -> Fraction:
    """When the last of some steps ends."""
    return max(run.end if step.until is None else step.until for step in steps)


def _off_told(setup: Setup, steps: Sequence[Step]) -> str:
    """From when to when a device is off, and why, in words."""
    reasons = dict.fromkeys("".join(step.event.words("why")) for step in steps if step.event is not None)
    why = f" ({listed(each for each in reasons if each)})" if any(reasons) else ""
    at = clock_of(setup, steps[0].at)
    if any(step.until is None for step in steps):
        return f"off from {at} on{why}"
    last = max(steps, key=lambda step: step.until or step.at)
    return f"off {at} to {_end(setup, last)}{why}"


def _jams_by_source(run: Run) -> dict[tuple[str, str, bool], list[Jam]]:
    """The jams by who is jammed from whom, those that nobody tells of by themselves."""
    found: dict[tuple[str, str, bool], list[Jam]] = {}
    for jam in run.jams:
        found.setdefault((jam.target, jam.source, jam.event is None), []).append(jam)
    return found


def _words(setup: Setup, step: Step) -> str:
    """What a step is to the devices that it is about; nothing for jams, takes, power and what only ends something."""
    event = step.event
    if event is None:
        return ""
    at, why = clock_of(setup, step.at), "".join(event.words("why"))
    until = f" to {_end(setup, step)}" if step.until is not None else " on"
    reason = f" ({why})" if why else ""
    said = {
        "set clock": f"set by hand {at}" + (f" from {''.join(event.words('from'))}" if event.words("from") else ""),
        "set": f"{_set_to(event)} {at}{reason}",
        "arrive": f"arrives {at}{reason}",
        "leave": f"leaves {at}{reason}",
        "link lost": f"no link {at}{until}{reason}" if step.until is not None else f"no link from {at} on{reason}",
    }
    return said.get(step.what, "")


def _set_to(event: Event) -> str:
    """What a setting changes, in few words: the new rate where it has one."""
    patch = event.patch
    rate = patch.timecode.rate if patch is not None else None
    if rate is not None and rate.written:
        return f"set to {shortened(rate.text, 20)} at"
    shot = patch.picture.shot_at if patch is not None and patch.picture is not None else None
    return f"shoots {shortened(shot.text, 20)} from" if shot is not None and shot.written else "set anew at"


def _end(setup: Setup, step: Step) -> str:
    """When something ends, without the date that its beginning has."""
    event = step.event
    if event is not None and event.until.value is not None:
        return say_clock(event.until.value)
    return clock_of(setup, step.until or step.at)


# --- two generations -------------------------------------------------------------------------------------------

_CHANGING = frozenset(
    {"jam", "set clock", "set", "power off", "power back", "arrive", "leave", "link lost", "link back"}
)
_Generation = tuple[str, Origin, Fraction, Fraction]
"""The root, origin and beginning of a line of time, and the round of the jam that it was taken over in."""


def _generations(run: Run) -> Iterator[str]:
    """The stretches in which devices carry times of different jams; those of one round count as one."""
    instants = [*dict.fromkeys(step.at for step in run.steps if step.what in _CHANGING), run.end]
    rounds = _rounds(run)
    since, before = run.start, _groups(run, run.start, rounds)
    for at in instants:
        now = _groups(run, at, rounds) if at < run.end else {}
        if now != before:
            if len(before) > 1 and at > since:
                yield f"{clock_of(run.setup, since)} to {clock_of(run.setup, at)}: {_grouped(run, before, since)}"
            since, before = at, now


def _rounds(run: Run) -> dict[Fraction, Fraction]:
    """For the instant of each jam that of the first jam of its round."""
    found: dict[Fraction, Fraction] = {}
    first = last = None
    for at in sorted({jam.at for jam in run.jams}):
        if first is None or last is None or at - last > ONE_ROUND:
            first = at
        found[at], last = first, at
    return found


def _groups(run: Run, at: Fraction, rounds: dict[Fraction, Fraction]) -> dict[_Generation, tuple[str, ...]]:
    """The devices that run by themselves on a jammed time, by the jam that it comes from."""
    found: dict[_Generation, list[str]] = {}
    for key in run.histories:
        generation = _generation(run.at(key, at), rounds)
        if generation is not None:
            found.setdefault(generation, []).append(key)
    return {generation: tuple(keys) for generation, keys in sorted(found.items(), key=lambda each: -each[0][3])}


def _generation(state: State, rounds: dict[Fraction, Fraction]) -> _Generation | None:
    """The jam from which a device's own counter runs."""
    time = state.time
    jams = [hand for hand in time.hands if not hand.let_go] if time is not None and not time.through else []
    if time is None or not jams:
        return None
    line = time.line
    return (line.root, line.origin, line.since, rounds.get(jams[-1].at, jams[-1].at))


def _grouped(run: Run, groups: dict[_Generation, tuple[str, ...]], at: Fraction) -> str:
    """The generations at an instant in words, the newest first."""
    said = []
    for (root, *_), keys in groups.items():
        source = f" from {run.setup.called(root)}" if len({generation[0] for generation in groups}) > 1 else ""
        said.append(f"{listed(map(run.setup.called, keys))} jammed at {_times_of(run, keys, at)}{source}")
    return "; ".join(said)


def _times_of(run: Run, keys: Iterable[str], at: Fraction) -> str:
    """When devices were jammed whose time they carry at an instant: one time, or from the first to the last."""
    carried = (run.at(key, at).time for key in keys)
    jams = sorted(time.jammed_at for time in carried if time is not None and time.jammed_at is not None)
    return " to ".join(dict.fromkeys(clock_of(run.setup, each) for each in (jams[0], jams[-1])))


# --- the morning -----------------------------------------------------------------------------------------------


def _morning(run: Run) -> Iterator[str]:
    """What is done before the first take of the first day, in the order in which it has to be done."""
    setup, jams = run.setup, _first_jams(run)
    live = {key: states[0].time for key, states in run.histories.items() if states and states[0].time}
    live = {key: time for key, time in live.items() if time.through}
    if not jams and not live:
        return
    rate = setup.project.rate.value
    yield f"set rate, count and mode on every device{f' ({rate.name})' if rate else ''}; after the jam leave them alone"
    steps = [*_masters_set(run, jams, live), *_jams_told(run, jams)]
    yield from (says for _, says in sorted(steps, key=lambda step: step[0]))
    if live:
        yield f"plug what stays on, and see the digits move on {listed(map(setup.called, live))}"
    there = [key for key, states in run.histories.items() if states and states[0].present]
    for recording in _by_timecode(setup, (key for key in there if setup.devices[key].records)):
        names = listed(map(setup.called, recording))
        yield f"roll {names} on one display or slate, play back, and compare the recorded clips"


def _by_timecode(setup: Setup, keys: Iterable[str]) -> list[list[str]]:
    """Devices by the timecode that they share: that of a unit with one of its own, and that of all others."""
    found: dict[str | None, list[str]] = {}
    for key in keys:
        unit = setup.units.get(setup.devices[key].unit.value or "")
        own = unit is not None and unit.shares_timecode.value is False
        found.setdefault(unit.key if unit is not None and own else None, []).append(key)
    return list(found.values())


def _first_jams(run: Run) -> list[Jam]:
    """The first jam of each device before the first take, or where the day begins with a take the first after it."""
    first_roll = min((roll.start for roll in run.rolls), default=run.end)
    early = [jam for jam in run.jams if jam.at <= first_roll]
    found: dict[str, Jam] = {}
    for jam in early or run.jams:
        found.setdefault(jam.target, jam)
    return list(found.values())


def _masters_set(run: Run, jams: Sequence[Jam], live: Mapping[str, Carried]) -> Iterator[tuple[Fraction, str]]:
    """How the masters come to their time before others take it from them, each with when."""
    wanted: dict[str, Fraction] = {}
    times = [(jam.at, run.at(jam.target, jam.at).time) for jam in jams] or [(run.end, time) for time in live.values()]
    for at, time in times:
        if time is not None and time.line.root in run.histories:
            wanted[time.line.root] = min(at, wanted.get(time.line.root, at))
    for key, before in wanted.items():
        called = run.setup.called(key)
        hands = [step for step in run.steps if step.what == "set clock" and key in step.keys and step.at <= before]
        if hands and hands[-1].event is not None:
            source = "".join(hands[-1].event.words("from"))
            says = f"set {called} by hand{f' from {source}' if source else ''} ({clock_of(run.setup, hands[-1].at)})"
            yield hands[-1].at, says
        else:
            yield run.start, f"see that {called}, the master, shows the time that is meant"


def _jams_told(run: Run, jams: Iterable[Jam]) -> Iterator[tuple[Fraction, str]]:
    """Who is jammed from whom, each with when."""
    found: dict[tuple[Fraction, str, bool], list[str]] = {}
    for jam in jams:
        found.setdefault((jam.at, jam.source, jam.event is None), []).append(jam.target)
    for (at, source, granted), targets in found.items():
        when = "" if granted else f" ({clock_of(run.setup, at)})"
        names = listed(map(run.setup.called, targets))
        yield at, f"jam {names} from {run.setup.called(source)}{when} and wait for the lock"
