"""Takes as the rules about a day see them: who is labelled in one, on which line of time, and what others tell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Carried, Origin, Roll, State, Timeline
from synclint.findings import listed
from synclint.rig.graphs import Ending
from synclint.rig.model import OWN_CLOCK
from synclint.rules.framework import MAIN_UNIT, Case
from synclint.rules.song_code import song_sources

LOST = frozenset({Origin.CALENDAR, Origin.ZERO, Origin.LAST, Origin.RESTARTED, Origin.TAKES})
"""Lines of a device that lost its time, or counts no time at all; rules of their own tell of them."""


@dataclass(frozen=True, slots=True)
class Part:
    """A device that is labelled in a take, as it is at its start."""

    key: str
    state: State
    time: Carried

    @property
    def line(self) -> Timeline:
        """The line of time that its labels are on."""
        return self.time.line

    @property
    def writer(self) -> str:
        """The device whose own counter makes its labels."""
        return self.time.through[-1] if self.time.through else self.key


@dataclass(frozen=True, slots=True)
class Take:
    """A take with the devices that it labels."""

    roll: Roll
    parts: tuple[Part, ...]
    slates: tuple[Part, ...] = ()
    """The slates that show a time to its pictures."""


def sync_takes(case: Case) -> tuple[Take, ...]:
    """The takes with sync sound, in order."""
    return case.once(_sync_takes)


def _sync_takes(case: Case) -> tuple[Take, ...]:
    rolls = sorted((roll for roll in case.run.rolls if roll.event.sync_sound), key=lambda roll: (roll.start, roll.end))
    return tuple(Take(roll, labelled_in(case, roll), _slates_in(case, roll)) for roll in rolls)


def _slates_in(case: Case, roll: Roll) -> tuple[Part, ...]:
    """The slates with a time while a take begins that has a picture to show it in."""
    if not any(case.setup.devices[key].picture is not None for key in roll.devices):
        return ()
    states = ((key, case.run.at(key, roll.start)) for key in case.forecast.slates_of(roll) if key not in roll.devices)
    songs = song_sources(case)  # a slate may well show a song's time, and not the day's
    return tuple(
        Part(key, state, state.time)
        for key, state in states
        if state.working and state.time is not None and state.time.line.root not in songs
    )


def labelled_in(case: Case, roll: Roll) -> tuple[Part, ...]:
    """The devices of a take whose labels are meant to be used: no triggers, none that count their own takes."""
    found = []
    for key in roll.devices:
        state = case.run.at(key, roll.start)
        unlabelled = state.device.trigger.value or state.device.timecode_on.value == ("none",)
        unlabelled = unlabelled or (state.time is not None and state.time.line.root in song_sources(case))
        if state.time is not None and not unlabelled and state.time.line.origin is not Origin.TAKES:
            found.append(Part(key, state, state.time))
    return tuple(found)


def by_unit(case: Case, parts: Iterable[Part]) -> dict[str, list[Part]]:
    """The devices of a take by the unit whose timecode they share."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(case.domain_of(part.key), []).append(part)
    return found


def main_line(case: Case, unit: str, roll: Roll, parts: Iterable[Part]) -> Timeline:
    """The line of time that a take ought to be on: its master's, else that of most devices in it, else the newest."""
    lines = [part.line for part in parts]
    for key in _masters(case, unit):
        time = case.run.at(key, roll.start).time
        if time is not None and time.line in lines:
            return time.line
    return max(lines, key=lambda line: (lines.count(line), line.origin is not Origin.LEFT, line.since))


def _masters(case: Case, unit: str) -> list[str]:
    """The devices that may speak for a unit: the one that was meant, then those that label most."""
    declared = case.setup.units.get(unit)
    meant = declared.master.value if declared and unit != MAIN_UNIT else case.setup.project.master_timecode.value
    members = case.domains.get(unit, ())
    labelling = sorted(
        (key for key in members if key in case.labelled_by), key=lambda key: -len(case.labelled_by.get(key, ()))
    )
    return [key for key in (meant, *labelling) if key is not None and key in case.run.histories]


def told_by_the_leads(case: Case, key: str) -> bool:
    """Whether what is wrong with a device's time stands in its leads and settings, and is told without the day."""
    timecode = case.setup.devices[key].timecode
    if timecode.source.value == OWN_CLOCK:
        return True
    return case.timecode.root_of(key).ending in (Ending.NOTHING, Ending.LOOP, Ending.UNSTATED)


def told_as_clash(case: Case, key: str) -> bool:
    """Whether a jam of a device cannot have been as written, so that what comes of it is not told again."""
    return key in case.once(_in_clashes)


def _in_clashes(case: Case) -> frozenset[str]:
    jams = (clash for clash in case.run.contradictions if clash.event is not None and clash.event.do.value == "jam")
    return frozenset(clash.key for clash in jams if clash.key is not None)


_COMPARED = 8
"""With how many of the devices in a take that are furthest off each of the others is compared; it bounds the work."""


def furthest(parts: Iterable[Part], at: Fraction) -> list[Part]:
    """The devices of a take that may be furthest off at an instant, by their own clocks since they were set."""

    def off(part: Part) -> Fraction:
        return (part.state.device.clock.accuracy.value or Fraction(0)) * part.time.age(at)

    return sorted(parts, key=off, reverse=True)[:_COMPARED]


def others(case: Case, parts: Iterable[Part]) -> str:
    """Devices of a take as a sentence names them."""
    return listed(dict.fromkeys(case.setup.called(part.key) for part in parts))
