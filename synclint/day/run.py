"""The days run through: every event in its order, and what each device's time is from one to the next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from synclint.day.clashes import clashes
from synclint.day.moments import Carried, Clash, Contradiction, Handed, Origin, Roll, State, Timeline
from synclint.day.outages import links_of
from synclint.day.outcome import OUTSIDE, Comparison, Jam, Run, Unsure
from synclint.day.reach import Reach, hears_outside, records_ltc
from synclint.day.schedule import Instead, Step, Steps, schedule
from synclint.findings import WHO, Place, either
from synclint.rig.change import patched
from synclint.rig.graphs import TimecodeGraph
from synclint.rig.log import Log
from synclint.rig.model import OWN_CLOCK, Device, Event, Setup

__all__ = ["OUTSIDE", "Comparison", "Jam", "Run", "Unsure", "records_ltc", "run_days"]

_AT_POWER_UP = {"own calendar clock": Origin.CALENDAR, "zero": Origin.ZERO, "last value": Origin.LAST}


def run_days(setup: Setup, graph: TimecodeGraph, instead: Instead | None = None, log: Log | None = None) -> Run:
    """Run the days of a setup through, with what a log tells, and with other jams than those written if asked."""
    steps = schedule(setup, instead, log)
    return _Runner(setup, graph, steps).run()


_LONGEST_CHAIN = 250
"""How many devices in a row may follow each other live: far more than on any set, and a bound to the work."""


class _Runner:
    """The rig in motion; one use only."""

    def __init__(self, setup: Setup, graph: TimecodeGraph, steps: Steps) -> None:
        self.setup = setup
        self.steps = steps
        self.reach = Reach(setup, graph, steps.late)
        self.devices = self.reach.devices
        self.own: dict[str, Carried] = {}
        self.anew: set[str] = set()
        """The devices that have been given a new time since all were looked at last."""
        self.histories: dict[str, list[State]] = {key: [] for key in self.devices}
        self.rolls: list[Roll] = []
        self.jams: list[Jam] = []
        self.comparisons: list[Comparison] = []
        self.contradictions: list[Contradiction] = [*steps.contradictions]
        self.unsure: list[Unsure] = []

    # --- the whole ---

    def run(self) -> Run:
        """Run all steps and give the result."""
        self.own = {key: Carried(self._first_line(device)) for key, device in self.devices.items()}
        self._refresh({key: each.timecode.place for key, each in self.devices.items()}, self.steps.start)
        for (at, what), steps in groupby(self.steps.steps, key=lambda step: (step.at, step.what)):
            self._take(at, what, list(steps))
        return Run(
            setup=self.setup,
            start=self.steps.start,
            end=self.steps.end,
            histories={key: tuple(states) for key, states in self.histories.items()},
            steps=self.steps.steps,
            rolls=tuple(self.rolls),
            jams=tuple(self.jams),
            comparisons=tuple(self.comparisons),
            contradictions=(
                *self.contradictions,
                *clashes(self.setup, self.steps.steps, self.rolls, self.histories),
            ),
            unsure=tuple(self.unsure),
            jams_taken_for_granted=self.steps.granted,
            feeds=self.reach.feeds,
        )

    def _first_line(self, device: Device) -> Timeline:
        """What a device's own counter shows before anything happens."""
        place = device.timecode.source.place
        if device.timecode.source.value == OWN_CLOCK or device.timecode.source.value is None:
            return Timeline(device.key, Origin.RUNNING, self.steps.start, place)
        if hears_outside(device):
            return Timeline(OUTSIDE, Origin.OUTSIDE, self.steps.start, place)
        return Timeline(device.key, Origin.LEFT, self.steps.start, place)

    def _take(self, at: Fraction, what: str, steps: Sequence[Step]) -> None:
        """Let like steps of one instant happen: jams one after the other, all else at once."""
        change = {
            "set": self._set,
            "set clock": self._set_clock,
            "power off": self._come_and_go,
            "power back": self._come_and_go,
            "leave": self._come_and_go,
            "arrive": self._come_and_go,
            "link lost": self._link,
            "link back": self._link,
        }.get(what)
        if change is not None:
            self._refresh({key: cause for step in steps for key, cause in change(step)}, at)
            return
        note = {"jam": self._jam, "compare": self._compare, "roll": self._roll}.get(what)
        if note is not None:
            for step in steps:
                note(step)

    # --- what time it is ---

    def _carried(self, key: str) -> Carried | None:
        """The time that a device carries at this moment, through all that it follows live."""
        chain: list[str] = []
        seen = {key}
        current = key
        while self.reach.working(current):
            device = self.devices[current]
            if self._counts_takes(device):
                base = Carried(Timeline(current, Origin.TAKES, self.steps.start, device.timecode.mode.place))
                break
            feed = self.reach.live_feed(current) if self.reach.follows(device) else None
            if feed is None and device.timecode.source.value is None:
                return None  # it has no timecode of its own to go on with
            if feed is None or feed.source in seen or len(chain) >= _LONGEST_CHAIN:
                base = self.own[current]
                break
            chain.append(current)
            current = feed.source
            seen.add(current)
        else:
            return None
        if not chain:
            return base
        return replace(base, through=(*chain[1:], current))

    @staticmethod
    def _counts_takes(device: Device) -> bool:
        return device.timecode.mode.value == "record run"

    def _refresh(self, causes: Mapping[str, Place], at: Fraction) -> None:
        """Note the new state of every device that may have changed, and by what."""
        changed = self.reach.downstream(causes)
        for key in _sources_first(changed, self.reach.followed):
            here, states = self.reach, self.histories[key]
            time = self._carried(key)
            now = State(at, changed[key], self.devices[key], here.present[key], here.powered[key], time)
            if states and _alike(states[-1], now):
                continue
            if states and key not in self.anew:
                now = self._let_go(key, states[-1], now)
            if states and states[-1].since == at:
                states.pop()  # what was so for no time was not so
            if not (states and _alike(states[-1], now)):
                states.append(now)
        self.anew.clear()

    def _let_go(self, key: str, last: State, now: State) -> State:
        """A device that no longer follows goes on from what it followed last."""
        was, new = last.time, now.time
        if now.device.timecode.source.value is None:
            return now
        if was is None or not was.through or (new is not None and new.through) or self._counts_takes(now.device):
            return now
        hand = Handed(key, was.through[0], now.since, now.cause, let_go=True, through=was.through[1:])
        self.own[key] = Carried(was.line, (*was.hands, hand))
        return now if new is None else replace(now, time=self.own[key])

    # --- what happens ---

    def _contradict(self, step: Step, kind: Clash, says: str, key: str) -> None:
        place = step.event.place if step.event else self.setup.place
        self.contradictions.append(Contradiction(kind, place, says, step.at, step.event, key))

    def _there(self, step: Step, keys: Iterable[str], what: str) -> Iterator[str]:
        """Those of some devices that can take part in a step; the others are told unless `all` was said."""
        every = step.event is not None and step.event.of_all
        for key in (key for key in keys if key in self.devices):
            if self.reach.working(key):
                yield key
            elif not every:
                kind = Clash.OFF if self.reach.present[key] else Clash.NOT_THERE
                state = "switched off" if self.reach.present[key] else "not there"
                self._contradict(step, kind, f"{WHO} {what} while {either('it is', 'they are')} {state}", key)

    def _jam(self, step: Step) -> None:
        """Jam devices, each from its source, sources before those that are jammed from them in the same round."""
        event = step.event
        every = event is None or event.of_all
        keys = (
            self.reach.all_to_jam() if every else list(self._there(step, step.keys, either("is jammed", "are jammed")))
        )
        keys = [key for key in keys if key not in step.spared]
        cut_off = self.reach.cut_off(self._carried) if step.tried else {}
        named = _word(event, "from")
        sources = {key: named or cut_off.get(key) or self.reach.jam_source(key) for key in (*keys, *cut_off)}
        cause = event.place if event else self.setup.place
        for key in _sources_first(sorted(sources), lambda key: self._awaited(key, sources)):
            source = sources[key]
            if source is None:
                if not every:
                    says = f"{WHO} {either('is jammed and listens', 'are jammed and listen')} to nothing"
                    self._contradict(step, Clash.NO_SOURCE, says, key)
                continue
            if not self.reach.working(source):
                if event is not None:
                    state = "switched off" if self.reach.present.get(source) else "not there"
                    says = f"{WHO} {either('is', 'are')} jammed from {self.setup.called(source)}, which is {state}"
                    self._contradict(step, Clash.SOURCE_GONE, says, key)
                continue
            time = self._carried(source)
            if time is not None and source != key:
                self._hand(step, key, source, time, cause)
        self._take_time_when_plugged(step, cause)

    def _awaited(self, key: str, sources: Mapping[str, str | None]) -> str | None:
        """Which of those that are jammed in one round gives a device its time, itself or by those that live on it."""
        passed, current = {key}, sources[key]
        while current is not None and current in self.devices and current not in sources and current not in passed:
            passed.add(current)
            current = self.reach.followed(current)
        return current

    def _take_time_when_plugged(self, step: Step, cause: Place) -> None:
        """Devices set to `jam` whose lead stays on take the time when it is plugged: once their source has one."""
        waiting = [
            key
            for key, device in self.devices.items()
            if device.timecode.mode.value == "jam"
            and self.own[key].line.origin is Origin.LEFT
            and self.reach.working(key)
        ]
        feeds = {key: self.reach.live_feed(key) for key in waiting}
        sources = {key: feed.source for key, feed in feeds.items() if feed is not None}
        for key in _sources_first(sorted(sources), sources.get):
            time = self._carried(sources[key])
            if time is not None and time.line.origin is not Origin.LEFT:
                self._hand(step, key, sources[key], time, cause)

    def _hand(self, step: Step, key: str, source: str, time: Carried, cause: Place) -> None:
        """Give a device the time of another."""
        hand = Handed(key, source, step.at, cause, through=time.through)
        self.own[key] = Carried(time.line, (*time.hands, hand))
        self.jams.append(Jam(step.at, step.event, key, source))
        self.anew.add(key)
        self._refresh({key: cause}, step.at)

    def _set_clock(self, step: Step) -> Iterator[tuple[str, Place]]:
        """Set devices by hand; each begins a line of time of its own."""
        event = step.event
        if event is None:
            return
        for key in self._there(step, step.keys, either("is set", "are set")):
            self.own[key] = Carried(Timeline(key, Origin.SET, step.at, event.place))
            self.anew.add(key)
            yield key, event.place

    def _set(self, step: Step) -> Iterator[tuple[str, Place]]:
        """Change settings; a device that loses its time by it starts anew."""
        event = step.event
        if event is None or event.patch is None:
            return
        for key in self._there(step, step.keys, either("is set", "are set")):
            old = self.devices[key]
            new = self.devices[key] = patched(old, event.patch)
            self.reach.listen(key)
            if set(_changes(old, new)).intersection(new.timecode.loses_time_on.value or ()):
                self.own[key] = Carried(Timeline(key, Origin.RESTARTED, step.at, event.place))
                self.anew.add(key)
            elif hears_outside(new) and not hears_outside(old):
                self.own[key] = Carried(self._first_line(new))
            elif hears_outside(old) and not hears_outside(new):
                hand = Handed(key, OUTSIDE, step.at, event.place, let_go=True)
                self.own[key] = Carried(self._first_line(old), (hand,))
            yield key, event.place

    def _compare(self, step: Step) -> None:
        event = step.event
        against = _word(event, "against")
        if event is None or against is None:
            return
        read_by = _word(event, "read_by") or ""
        for key in self._there(step, step.keys, either("is compared", "are compared")):
            self.comparisons.append(Comparison(step.at, event, key, against, read_by))

    def _roll(self, step: Step) -> None:
        event = step.event
        if event is None or step.until is None:
            return
        keys = [key for key in step.keys if key in self.devices]
        if event.of_all:
            keys = [key for key in keys if self.devices[key].records and self.reach.working(key)]
        rolling = tuple(self._there(step, keys, either("rolls", "roll")))
        self.rolls.append(Roll(event, step.at, step.until, rolling, step.day))

    def _come_and_go(self, step: Step) -> Iterator[tuple[str, Place]]:
        """Switch devices off and on, let them leave and come."""
        here = self.reach
        cause = step.event.place if step.event else self.setup.place
        every = step.event is not None and step.event.of_all
        for key in (each for each in step.keys if each in self.devices):
            match step.what:
                case "power off":
                    named = step.event is not None and key in step.event.of  # and not only fed by one that is
                    if not here.present[key] and named and not every:
                        says = f"{WHO} {either('is', 'are')} switched off while not there"
                        self._contradict(step, Clash.NOT_THERE, says, key)
                    here.switch_off(key, step.at)
                case "power back":
                    off = here.switch_on(key, step.at)
                    if off is None:
                        continue  # another event holds it switched off
                    # It was let go by the switching off, before its own counter is asked what it kept.
                    self._power_back(key, off, step.at, cause)
                case "leave":
                    if not here.present[key] and not every:
                        says = f"{WHO} {either('leaves and is', 'leave and are')} not there"
                        self._contradict(step, Clash.NOT_THERE, says, key)
                    here.present[key] = False
                case "arrive":
                    here.present[key] = True
            yield key, cause

    def _power_back(self, key: str, off: Fraction, at: Fraction, cause: Place) -> None:
        """What a device's own counter shows when power returns after so many seconds."""
        side = self.devices[key].timecode
        if side.source.value is None:
            return
        keeps = side.keeps_time_off.value
        loses = side.loses_time_on.value
        if keeps is not None:
            kept = off <= keeps
        elif loses is not None:
            kept = "power off" not in loses
        else:
            kept = True
            lacks = f"whether {self.setup.called(key)} keeps its time while it is off"
            self.unsure.append(Unsure(key, side.place, lacks))
        if not kept:
            origin = _AT_POWER_UP.get(side.at_power_up.value or "", Origin.RESTARTED)
            if self.own[key].line.root == OUTSIDE and not self.own[key].hands:
                return  # it takes the time from outside again
            self.own[key] = Carried(Timeline(key, origin, at, cause))

    def _link(self, step: Step) -> Iterator[tuple[str, Place]]:
        """Lose links, or have them back."""
        event = step.event
        if event is None:
            return
        if step.what == "link lost":
            links = self.reach.lost[id(event)] = frozenset(map(id, links_of(self.setup, event)))
        else:
            links = self.reach.lost.pop(id(event), frozenset())
        for key in self.reach.hearers(links):
            yield key, event.place


def _alike(before: State, now: State) -> bool:
    """Whether a device is as it was before."""
    return replace(before, since=now.since, cause=now.cause) == now


def _changes(old: Device, new: Device) -> Iterator[str]:
    """What changed between two settings of a device, in the words of `loses_time_on`."""
    if old.timecode.rate.value != new.timecode.rate.value or (
        old.picture and new.picture and old.picture.shot_at.value != new.picture.shot_at.value
    ):
        yield "rate change"
    if old.timecode.mode.value != new.timecode.mode.value:
        yield "mode change"


def _sources_first(keys: Iterable[str], source_of: Callable[[str], str | None]) -> list[str]:
    """Devices, each behind the one that its time comes from; a circle is entered at the first of it."""
    waiting = dict.fromkeys(keys)
    done: dict[str, None] = {}
    for key in waiting:
        chain: dict[str, None] = {}
        current: str | None = key
        while current is not None and current in waiting and current not in done and current not in chain:
            chain[current] = None
            current = source_of(current)
        done.update(dict.fromkeys(reversed(chain)))
    return list(done)


def _word(event: Event | None, key: str) -> str | None:
    """A word of an event."""
    return next(iter(event.words(key)), None) if event else None
