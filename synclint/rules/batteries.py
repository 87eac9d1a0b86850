"""Batteries against the day and the cold.

A battery that is changed by routine does no harm where the device finds the time again by itself. So this is about
those that others live on, and those that forget the time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from synclint.day.clocktime import day_clocks
from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Standing,
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import source_of
from synclint.rules.moments import clock_of, rolls_told
from synclint.rules.staying_on import forgets, must_stay, that_hang_on, then_told
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_number

_SHORT_REST = Fraction(15 * 60)
"""How long a device is off at most for a change of its battery, in seconds (common practice, no source)."""

_COLD = ((Fraction(-20), Fraction(1, 2)), (Fraction(0), Fraction(4, 5)), (Fraction(20), Fraction(1)))
"""What a lithium battery gives at degrees Celsius, as a share of what it gives in the warm; straight between."""
_COLD_WHY = (
    "a battery gives about 0.8 of its runtime at 0 °C and 0.5 at −20 °C, straight between (common practice, no source)"
)


def cold_factor(celsius: Fraction) -> Fraction:
    """What share of its runtime a battery gives at a temperature."""
    if celsius <= _COLD[0][0]:
        return _COLD[0][1]
    for (low, less), (high, more) in pairwise(_COLD):
        if celsius <= high:
            return less + (more - less) * (celsius - low) / (high - low)
    return Fraction(1)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A time for which a device has to run on one battery, in one day."""

    start: Fraction
    end: Fraction
    factor: Fact[Fraction]
    day: int
    rests: bool
    """Whether it is switched off at some time that day."""
    changed: bool
    """Whether a change of its battery is written at its end."""
    planned: bool
    """Whether that is so short that it can only be a change of battery: the day then says when each is."""

    @property
    def length(self) -> Fraction:
        """In seconds."""
        return self.end - self.start


@rule(
    Record(
        name="battery-shorter-than-the-day",
        summary="A battery does not last from call to wrap or from one change to the next",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The box dies in the last hour and its camera goes on by its own clock, which nobody sees on the day. Cold "
        "takes a fifth of a battery at freezing point and half of it at −20 °C.",
        sources=(PRACTICE,),
        answers=("runtime shorter than the day, or forgotten cold",),
    )
)
def battery_shorter_than_the_day(case: Case) -> Iterator[Yielded]:
    """A device that must stay on runs on its battery for longer than that lasts."""
    changed: list[tuple[Device, _Stretch]] = []
    for key in case.run.histories:
        device = case.setup.devices[key]
        runtime = device.power.runtime
        if runtime.value is None or device.power.source.value not in (None, "own battery"):
            continue
        stretches = [each for each in stretches_of(case, key) if each.length > runtime.value * (each.factor.value or 1)]
        if not stretches:
            continue
        worst = max(stretches, key=lambda each: each.length - (runtime.value or 0) * (each.factor.value or 1))
        late = [each for each in stretches if each.planned]
        if late and (must_stay(case, device) or _rolls_dead(case, key, late)):
            yield _too_short(case, device, runtime.value, late)
        elif must_stay(case, device) and not (device.records and worst.rests):
            yield _too_short(case, device, runtime.value, [worst])
        else:
            changed.append((device, worst))
    yield from _lines(case, changed)


def _rolls_dead(case: Case, key: str, stretches: Iterable[_Stretch]) -> list[Roll]:
    """The takes of a device that begin between the end of its battery and the next change, where that is written."""
    runtime = case.setup.devices[key].power.runtime.value or Fraction(0)
    dead = [(each.start + runtime * (each.factor.value or 1), each.end) for each in stretches if each.changed]
    mine = (roll for roll in case.run.rolls if key in roll.devices)
    return [roll for roll in mine if any(since <= roll.start < until for since, until in dead)]


def stretches_of(case: Case, key: str) -> Iterator[_Stretch]:
    """For how long a device is on without a break, from the call to the wrap of each day."""
    for index, clock in enumerate(day_clocks(case.setup)):
        if clock.day.call.value is None or clock.day.wrap.value is None:
            continue
        call, wrap = clock.call, clock.instant(clock.day.wrap.value)
        low = clock.day.temperature
        factor = Fact(Fraction(1), low.place)
        if low.value is not None and cold_factor(low.value[0]) < 1:
            factor = Fact(cold_factor(low.value[0]), low.place, Standing.ASSUMED, why=_COLD_WHY)
        on = _on(case, key, call, wrap) if call < wrap else []
        rests = bool(on) and on != [(call, wrap)]
        changes = {end for (_, end), (then, _) in pairwise(on) if then - end <= _SHORT_REST}
        for start, end in on:
            yield _Stretch(start, end, factor, index, rests, end in changes, bool(changes))


def _on(case: Case, key: str, call: Fraction, wrap: Fraction) -> list[tuple[Fraction, Fraction]]:
    """From when to when a device is on, between two instants."""
    found: list[tuple[Fraction, Fraction]] = []
    since: Fraction | None = None
    for state in case.run.between(key, call, wrap):
        if state.working and since is None:
            since = max(state.since, call)
        elif not state.working and since is not None:
            found, since = [*found, (since, state.since)], None
    return found if since is None else [*found, (since, wrap)]


def _lasts(device: Device, runtime: Fraction, stretch: _Stretch, case: Case) -> str:
    """How long a battery lasts, in words, with what the cold takes of it."""
    lasting = runtime * (stretch.factor.value or 1)
    if not stretch.factor.assumed:
        return f"{say_duration(lasting)}"
    low = case.setup.days[stretch.day].temperature.value
    degrees = say_number(low[0] if low else Fraction(0)).replace("-", "−")
    return f"about {say_duration(lasting)} at {degrees} °C ({say_duration(device.power.runtime.value or lasting)} warm)"


def _too_short(case: Case, device: Device, runtime: Fraction, stretches: Sequence[_Stretch]) -> Finding:
    """The finding on a device whose battery dies before the wrap, or before it is changed."""
    stretch = stretches[0]
    lasting = runtime * (stretch.factor.value or 1)
    dead, short = _minute(stretch.start + lasting), stretch.length - lasting
    cold = runtime >= stretch.length
    source = source_of(case, device.key)
    jam = f", and jam {WHO} from {case.setup.called(source)} afterwards" if source and forgets(device) else ""
    rolls = _rolls_dead(case, device.key, stretches) if stretch.planned else []
    after = [then_told(case, device)] if must_stay(case, device) else []
    after += [f"{WHO} {either('is', 'are')} in {rolls_told(case, rolls)} without power"] if rolls else []
    again = f" and then at least every {say_duration(lasting)}" if len(stretches) > 1 else ""
    feed = f", and keep {either('it', 'them')} warm" if cold else ""
    return battery_shorter_than_the_day.record.finding(
        at=device.power.runtime.place,
        level=Level.WARNING if device.records and not rolls else None,  # changed by routine, told or not
        says=f"a battery of {WHO} lasts {_lasts(device, runtime, stretch, case)}, "
        + (_changed_late(case, stretches) if stretch.planned else _never_changed(stretch)),
        who=(device.called,),
        cause=("battery", stretch.day, stretch.start, stretch.end, lasting, source),
        costs=Cost(
            f"dead from {clock_of(case, dead)} on, {say_duration(short)} before {_end(case, stretch)}: "
            f"{'; '.join(after)}",
            (
                Amount("dead before the wrap", float(short / 60), "min"),
                Amount("lasts", float(lasting / 3600), "h"),
                Amount("asked for", float(stretch.length / 3600), "h"),
            ),
            float(short),
        ),
        fix=Fix(
            f"Change the battery of {WHO} between takes before {clock_of(case, dead)}{again}{jam}; or feed {WHO} from "
            f"outside{feed}"
        ),
        decided_by=(device.power.runtime, *((stretch.factor,) if cold else ())),
        numbers_from=(stretch.factor,),
        also=(
            *(Mention(roll.event.place, "a take without power") for roll in rolls),
            *that_hang_on(case, device),
            Mention(case.setup.days[stretch.day].wrap.place, "the wrap"),
        ),
    )


def _never_changed(stretch: _Stretch) -> str:
    return f"the day asks for {say_duration(stretch.length)}, and no change is planned"


def _changed_late(case: Case, stretches: Sequence[_Stretch]) -> str:
    told = (
        f"from {clock_of(case, each.start)} to {clock_of(case, each.end)} ({say_duration(each.length)})"
        for each in stretches
    )
    return f"and none is changed {listed(told)}"


def _minute(at: Fraction) -> Fraction:
    """The full minute before an instant: nobody knows better when a battery dies."""
    return at - at % 60


def _end(case: Case, stretch: _Stretch) -> str:
    """The end of a stretch: the wrap, a change of battery, or when the device is switched off."""
    wrap = day_clocks(case.setup)[stretch.day].instant(case.setup.days[stretch.day].wrap.value or Fraction(0))
    at = clock_of(case, stretch.end)
    return (
        f"the wrap ({at})"
        if stretch.end == wrap
        else f"it is {'changed' if stretch.changed else 'switched off'} at {at}"
    )


def _lines(case: Case, changed: list[tuple[Device, _Stretch]]) -> Iterator[CheckLine]:
    """The lines for batteries that are changed in the day and whose devices find the time again, like ones together."""
    alike: dict[tuple[Fraction, Fraction, Fraction, bool], list[Device]] = {}
    for device, stretch in changed:
        lasting = (device.power.runtime.value or Fraction(0)) * (stretch.factor.value or 1)
        alike.setdefault((lasting, stretch.start, stretch.length, _told_again(case, device)), []).append(device)
    for (lasting, start, length, told_again), devices in alike.items():
        count = f"{ceil(length / lasting)} batteries {either('', 'each ')}" if lasting else "batteries "
        first = clock_of(case, _minute(start + lasting))
        # The digits of a device that was jammed look right whatever it made of its time.
        after = "see the digits" if told_again else "jam again, or compare a recorded clip,"
        line = f"{WHO}: {count}for {say_duration(length)}, the first changed by {first}; {after} after each change"
        who, place = tuple(each.called for each in devices), devices[0].power.runtime.place
        yield CheckLine(battery_shorter_than_the_day.record, Mended.SET, line, who, place, start + lasting)


def _told_again(case: Case, device: Device) -> bool:
    """Whether a device hears the time anew, is known to keep it, or is the master itself."""
    side = device.timecode
    jammed = device.key in case.timecode.listened and not case.timecode.follows_continuously(device.key)
    return (
        not jammed
        or side.keeps_time_off.value is not None
        or "power off" not in (side.loses_time_on.value or ("power off",))
    )


RULES: tuple[Rule, ...] = (battery_shorter_than_the_day,)
