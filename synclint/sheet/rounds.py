"""The order of the jams, the comparisons, and the times of the day that the crew must know."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from synclint.day.clocktime import DayClock, clock_of, day_clocks
from synclint.day.outcome import Comparison, Jam, Run
from synclint.day.schedule import Step
from synclint.day.telling import ONE_ROUND
from synclint.drift.values import Drift
from synclint.findings import listed, shortened
from synclint.sheet.crew import Given, track_feeds
from synclint.sheet.values import LogDay, Round, RoundLine, Time
from synclint.trade.quantities import say_clock

_DAY = 86_400
_FEW = 4


READ_BY = ("display", "recorded clip", "scope", "comparing device")
"""How an offset is read, in the words of a log."""
_FIRST = "Wait for the lock, then read the offset: the digits must be the same."
_AGAIN = "Read the offset before you jam: it is the drift since the last jam, if nothing was off since."
_AT_WRAP = "Before anything is switched off: this is the drift since the last jam."


def rounds(given: Given) -> tuple[Round, ...]:
    """The jams and comparisons to come in their order."""
    found = [*_jam_rounds(given), *_compare_rounds(given), *_at_wrap(given)]
    return tuple(each for _, each in sorted(found, key=lambda pair: pair[0]))


def _jam_rounds(given: Given) -> Iterator[tuple[Fraction, Round]]:
    """The jams, those that follow each other within a quarter of an hour as one round."""
    groups: list[list[Jam]] = []
    done = _logged(given)
    before = {jam.target for jam in given.run.jams if id(jam.event) in done}
    for jam in sorted((jam for jam in given.run.jams if id(jam.event) not in done), key=lambda jam: jam.at):
        if groups and jam.at - groups[-1][-1].at <= ONE_ROUND:
            groups[-1].append(jam)
        else:
            groups.append([jam])
    for jams in groups:
        keys = {jam.target for jam in jams}
        granted = "Nobody has written when: agree on it. " if given.run.jams_taken_for_granted else ""
        yield jams[0].at, _jam_round(given, jams, f"{granted}{_AGAIN if keys <= before else _FIRST}")
        before |= keys


def _jam_round(given: Given, jams: Sequence[Jam], says: str) -> Round:
    start, end = jams[0].at, jams[-1].at
    clock, called = _clock_at(given.run, start), given.setup.called
    lines = {
        (jam.target, jam.source): RoundLine(
            called(jam.target), jam.target, called(jam.source), jam.source, _stays_plugged(given, jam)
        )
        for jam in jams
    }
    told = _from_to(given, clock, start, end)
    return Round("jam", _day(given, clock), _number(given, clock), told, tuple(lines.values()), says, READ_BY[0])


def _stays_plugged(given: Given, jam: Jam) -> bool:
    feeds = given.run.feeds.get(jam.target, ())
    return any(feed.last.connected.value == "all day" for feed in feeds if feed.source == jam.source)


def _compare_rounds(given: Given) -> Iterator[tuple[Fraction, Round]]:
    """The comparisons that are planned."""
    groups: dict[tuple[Fraction, str], list[Comparison]] = {}
    done, called = _logged(given), given.setup.called
    for each in (each for each in given.run.comparisons if id(each.event) not in done):
        groups.setdefault((each.at, each.read_by), []).append(each)
    for (at, read_by), every in groups.items():
        clock = _clock_at(given.run, at)
        lines = {
            (each.device, each.against): RoundLine(called(each.device), each.device, called(each.against), each.against)
            for each in every
        }
        day, number = _day(given, clock), _number(given, clock)
        told = _shown(given, at)
        yield at, Round("compare", day, number, told, tuple(lines.values()), "", read_by or READ_BY[0])


def _at_wrap(given: Given) -> Iterator[tuple[Fraction, Round]]:
    """At the end of each day those that run on a clock of their own against what they have their time from."""
    called = given.setup.called
    for number, clock in enumerate(day_clocks(given.setup)):
        if clock.day.wrap.value is None:
            continue
        wrap, told = clock.instant(clock.day.wrap.value), say_clock(clock.day.wrap.value)
        lines = tuple(
            RoundLine(called(key), key, called(source), source) for key, source in _by_themselves(given, wrap)
        )
        if lines:
            yield wrap, Round("compare", _day(given, clock), number, told, lines, _AT_WRAP, READ_BY[0])


def _by_themselves(given: Given, at: Fraction) -> Iterator[tuple[str, str]]:
    """Who is to be read against whom at the end of a day: what was jammed; without jams what follows a root live."""
    run = given.run
    jammed = {jam.target: jam.source for jam in run.jams if jam.at <= at}
    if not jammed:
        roots = given.timecode.followers
        for key in run.histories:
            feeds = given.timecode.listened.get(key, ())
            if feeds and feeds[0].source in roots:
                jammed[key] = feeds[0].source
    for key, source in jammed.items():
        if source in run.histories and all(run.before(each, at).working for each in (key, source)):
            yield key, source


def _logged(given: Given) -> set[int]:
    """The events that a log tells of: they have taken place."""
    return {id(step.event) for step in given.run.steps if step.logged}


def unplanned(given: Given) -> tuple[RoundLine, ...]:
    """Everyone who takes timecode from somebody, with whom: for jams and comparisons that nobody has planned."""
    called, found = given.setup.called, []
    for key in given.run.histories:
        feeds = given.timecode.listened.get(key) or track_feeds(given.timecode, given.setup.devices[key])
        source = feeds[0].source if feeds else key
        if source != key and source in given.run.histories:
            found.append(RoundLine(called(key), key, called(source), source))
    return tuple(found)


def following(given: Given) -> tuple[str, ...]:
    """Who takes its time live from whom, in words; of each source one line."""
    found: dict[str, list[str]] = {}
    for key in given.run.histories:
        feeds = given.timecode.listened.get(key, ())
        if feeds and given.timecode.follows_continuously(key):
            found.setdefault(feeds[0].source, []).append(key)
    called = given.setup.called
    return tuple(
        f"{listed(map(called, keys), limit=12)} {'follows' if len(keys) == 1 else 'follow'} {called(source)} live"
        for source, keys in found.items()
    )


# --- times -----------------------------------------------------------------------------------------------------


def times(given: Given, drift: Drift | None) -> tuple[Time, ...]:
    """Call, settings by hand, jams, breaks, changes of power, wrap and midnight in their order, with the latest jam."""
    found = [*_of_days(given), *_of_steps(given), *_latest(given, drift)]
    found.sort(key=lambda each: each[0])
    return tuple(dict.fromkeys(time for _, time in found))


def _of_days(given: Given) -> Iterator[tuple[Fraction, Time]]:
    for clock in day_clocks(given.setup):
        day, on = clock.day, _day(given, clock)
        if day.call.value is not None:
            yield clock.call, Time(on, say_clock(day.call.value), "call")
        if day.wrap.value is None:
            continue
        wrap = clock.instant(day.wrap.value)
        yield wrap, Time(on, say_clock(day.wrap.value), "wrap: compare before anything is off")
        if day.wrap.value > _DAY and given.setup.project.timecode_as.value in (None, "time of day"):
            midnight = clock.instant(Fraction(_DAY))
            yield midnight, Time(on, "00:00 +1", "labels begin again at 00:00:00:00: a new reel before it")


_SAID = {
    "power off": ("is off", "are off"),
    "arrive": ("arrives", "arrive"),
    "leave": ("leaves", "leave"),
    "link lost": ("has no link", "have no link"),
}


def _of_steps(given: Given) -> Iterator[tuple[Fraction, Time]]:
    """What is planned of the days, jams of one moment together."""
    jams: dict[tuple[Fraction, str], list[str]] = {}
    done = _logged(given)
    for jam in given.run.jams:
        jams.setdefault((jam.at, "jammed" if id(jam.event) in done else "jam"), []).append(jam.target)
    for (at, jam_or_jammed), keys in jams.items():
        granted = " (nobody has written when)" if given.run.jams_taken_for_granted else ""
        yield at, _time(given, at, f"{jam_or_jammed} {_names(given, keys)}{granted}", jam=jam_or_jammed == "jam")
    for step in given.run.steps:
        says = _step_told(given, step)
        if says:
            yield step.at, _time(given, step.at, says)


def _step_told(given: Given, step: Step) -> str:
    """What happens, in few words; nothing for what has a place of its own."""
    who, event = _names(given, step.keys), step.event
    until = f" until {_shown(given, step.until)}" if step.until is not None else ""
    why = "".join(event.words("why")) if event is not None else ""
    reason = f" ({shortened(why, 90)})" if why else ""
    if step.what == "break":
        return f"break{until}: what must stay on stays on"
    if step.what == "set clock":
        source = "".join(event.words("from")) if event else ""
        return f"set {who} by hand{f' from {source}' if source else ''}"
    if step.what == "set":
        return f"{who}: {_set_told(step)}{reason}"
    one, many = _SAID.get(step.what, ("", ""))
    return f"{who} {one if len(step.keys) == 1 else many}{until}{reason}" if one else ""


def _set_told(step: Step) -> str:
    """What a setting changes, in few words."""
    patch = step.event.patch if step.event is not None else None
    if patch is None:
        return "set anew"
    facts = [("count", patch.timecode.rate), ("run mode", patch.timecode.mode)]
    if patch.picture is not None:
        facts += [("picture shot at", patch.picture.shot_at), ("played at", patch.picture.played_at)]
    told = [f"{name} {shortened(fact.text, 20)}" for name, fact in facts if fact.written]
    return f"set {', '.join(told)}" if told else "set anew"


def _latest(given: Given, drift: Drift | None) -> Iterator[tuple[Fraction, Time]]:
    """By when to jam again at the latest, by the forecast."""
    plan = drift.plan if drift is not None else None
    if plan is None:
        return
    if not plan.possible:
        if plan.leaves is not None:
            pair = f"{plan.leaves.first} and {plan.leaves.second}"
            says = f"{pair} leave the tolerance, and no jam alone mends that: see the open findings"
            yield plan.leaves.at, _time(given, plan.leaves.at, says, latest=True)
        return
    leaves, again = (plan.morning_leaves, plan.rounds[:1]) if plan.holds else (plan.leaves, plan.added or plan.rounds)
    says = "jam again, if nothing was jammed since the first jam" if plan.holds else "jam all again"
    why = f": from here {leaves.first} and {leaves.second} leave the tolerance" if leaves is not None else ""
    for number, each in enumerate(again):
        at = each.by_at or each.at
        told = f"jam all again, if they were jammed at {again[number - 1].clock}" if number else f"{says}{why}"
        rest = f", best in the break {each.in_break}" if each.in_break else ""
        yield at, _time(given, at, f"{told}{rest}", latest=True)


def _time(given: Given, at: Fraction, says: str, *, latest: bool = False, jam: bool = False) -> Time:
    return Time(_day(given, _clock_at(given.run, at)), _shown(given, at), says, latest, jam)


# --- the clock on the wall -------------------------------------------------------------------------------------


def log_days(given: Given) -> tuple[LogDay, ...]:
    """What a log must know of each day."""
    return tuple(
        LogDay(
            date="" if clock.day.date.value is None else str(clock.day.date.value),
            zone=clock.zone or "",
            call=int(clock.day.call.value or 0),
            past_midnight=clock.day.wrap.value is not None and clock.day.wrap.value > _DAY,
        )
        for clock in day_clocks(given.setup)
    )


def _names(given: Given, keys: Sequence[str]) -> str:
    return listed(map(given.setup.called, dict.fromkeys(keys)), limit=_FEW)


def _clock_at(run: Run, at: Fraction) -> DayClock | None:
    """The clock of the last day whose call is past by two hours at most, of the first where none is."""
    clocks = day_clocks(run.setup)
    begun = [clock for clock in clocks if clock.call - 7200 <= at]
    return max(begun, key=lambda clock: clock.call, default=next(iter(clocks), None))


def _number(given: Given, clock: DayClock | None) -> int:
    """Which of the days it is, counted from 0."""
    clocks = day_clocks(given.setup)
    return next((index for index, each in enumerate(clocks) if each is clock), 0)


def _day(given: Given, clock: DayClock | None) -> str:
    """Which day it is, where there are several."""
    if clock is None or len(given.setup.days) < 2:
        return ""
    return str(clock.day.date.value) if clock.day.date.value is not None else f"day {_number(given, clock) + 1}"


def _shown(given: Given, at: Fraction) -> str:
    clock = _clock_at(given.run, at)
    return say_clock(clock.shows(at)) if clock is not None else clock_of(given.setup, at)


def _from_to(given: Given, clock: DayClock | None, start: Fraction, end: Fraction) -> str:
    if clock is None:
        return clock_of(given.setup, start)
    told = say_clock(clock.shows(start))
    return told if start == end else f"{told} to {say_clock(clock.shows(end))}"
