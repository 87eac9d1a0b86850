"""The days in words: what happens to each device's time, two generations on the set, and the order of the morning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.moments import Origin, State
from synclint.day.run import Jam, Run
from synclint.day.schedule import Step
from synclint.findings import listed
from synclint.rig.model import Setup
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
    for (key, source), jams in _jams_by_source(run).items():
        times = listed(dict.fromkeys(clock_of(run.setup, jam.at) for jam in jams))
        granted = " (taken for granted)" if run.jams_taken_for_granted else ""
        said = f"jammed {times} from {run.setup.called(source)}{granted}"
        found.setdefault(key, []).append((jams[0].at, said))
    for step in run.steps:
        words = _words(run.setup, step)
        for key in step.keys if words else ():
            if key in run.histories and (step.what != "set clock" or run.at(key, step.at).working):
                found.setdefault(key, []).append((step.at, words))
    return found


def _jams_by_source(run: Run) -> dict[tuple[str, str], list[Jam]]:
    found: dict[tuple[str, str], list[Jam]] = {}
    for jam in run.jams:
        found.setdefault((jam.target, jam.source), []).append(jam)
    return found


def _words(setup: Setup, step: Step) -> str:
    """What a step is to the devices that it is about; nothing for jams, takes and what only ends something."""
    event = step.event
    if event is None:
        return ""
    at, why = clock_of(setup, step.at), "".join(event.words("why"))
    until = f" to {_end(setup, step)}" if step.until is not None else " on"
    reason = f" ({why})" if why else ""
    said = {
        "set clock": f"set by hand {at}" + (f" from {''.join(event.words('from'))}" if event.words("from") else ""),
        "set": f"set anew {at}{reason}",
        "power off": f"off {at}{until}{reason}" if step.until is not None else f"off from {at} on{reason}",
        "arrive": f"arrives {at}{reason}",
        "leave": f"leaves {at}{reason}",
        "link lost": f"no link {at}{until}{reason}" if step.until is not None else f"no link from {at} on{reason}",
    }
    return said.get(step.what, "")


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
                yield f"{clock_of(run.setup, since)} to {clock_of(run.setup, at)}: {_grouped(run, before)}"
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


def _grouped(run: Run, groups: dict[_Generation, tuple[str, ...]]) -> str:
    """The generations in words, the newest first."""
    said = []
    for (root, *_, at), keys in groups.items():
        source = f" from {run.setup.called(root)}" if len({generation[0] for generation in groups}) > 1 else ""
        said.append(f"{listed(map(run.setup.called, keys))} jammed at {clock_of(run.setup, at)}{source}")
    return "; ".join(said)


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
    given = [run.at(jam.target, jam.at).time for jam in jams] or list(live.values())
    roots = dict.fromkeys(time.line.root for time in given if time is not None)
    yield from _masters_set(run, roots, jams[0].at if jams else run.end)
    for (at, source), targets in _by_source(jams).items():
        when = "" if run.jams_taken_for_granted else f" ({clock_of(setup, at)})"
        yield f"jam {listed(map(setup.called, targets))} from {setup.called(source)}{when} and wait for the lock"
    if live:
        yield f"plug what stays on, and see the digits move on {listed(map(setup.called, live))}"
    there = [key for key, states in run.histories.items() if states and states[0].present]
    recording = [setup.called(key) for key in there if setup.devices[key].records]
    if recording:
        yield f"roll {listed(recording)} on one display or slate, play back, and compare the recorded clips"


def _first_jams(run: Run) -> list[Jam]:
    """The first jam of each device before the first take, or where the day begins with a take the first after it."""
    first_roll = min((roll.start for roll in run.rolls), default=run.end)
    early = [jam for jam in run.jams if jam.at <= first_roll]
    found: dict[str, Jam] = {}
    for jam in early or run.jams:
        found.setdefault(jam.target, jam)
    return list(found.values())


def _masters_set(run: Run, roots: Iterable[str], before: Fraction) -> Iterator[str]:
    """How the masters come to their time before the first jam."""
    for key in roots:
        if key not in run.histories:
            continue
        called = run.setup.called(key)
        hands = [step for step in run.steps if step.what == "set clock" and key in step.keys and step.at <= before]
        if hands and hands[-1].event is not None:
            source = "".join(hands[-1].event.words("from"))
            yield f"set {called} by hand{f' from {source}' if source else ''} ({clock_of(run.setup, hands[-1].at)})"
        else:
            yield f"see that {called}, the master, shows the time that is meant"


def _by_source(jams: Iterable[Jam]) -> dict[tuple[Fraction, str], list[str]]:
    """Who is jammed from whom at one moment."""
    found: dict[tuple[Fraction, str], list[str]] = {}
    for jam in jams:
        found.setdefault((jam.at, jam.source), []).append(jam.target)
    return found
