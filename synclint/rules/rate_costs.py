"""What rates that differ cost: labels that part over takes and days, and pictures that have to be converted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.findings import Amount, Cost, either, listed
from synclint.rig.model import Day, Device
from synclint.rules.framework import Case
from synclint.rules.label_rates import HOUR, OFF_SPEED, folded
from synclint.rules.spans import say_percent
from synclint.trade.labels import divergence, seconds_per_slip
from synclint.trade.quantities import say_clock, say_duration, say_number
from synclint.trade.rates import Count, LabelRate, Rate


def label_cost(
    case: Case, one: LabelRate, other: LabelRate, opening: str = "the labels part by", of: Device | None = None
) -> Cost:
    """What two label rates part by in an hour, and over the longest take and the day where these are known."""
    a, b = folded(one), folded(other)
    a_second = abs(divergence(a, b, Fraction(1)))
    slip = seconds_per_slip(a, b)
    frames = a_second * HOUR * a.rate.nominal
    says = f"{opening} {say_number(a_second * HOUR, 4)} s an hour ({say_number(frames)} frames of {a.rate.name})"
    if slip is not None:
        says += f", a frame every {say_duration(slip)}"
    return over_the_day(case, says, a_second, Amount("labels apart", float(a_second * HOUR), "s an hour"), of=of)


def count_cost(case: Case, of: Device | None = None) -> Cost:
    """What 29.97 DF and NDF part by, in labels; at 59.94 a label on a cable is a pair of pictures."""
    drop, full = (LabelRate(Rate(Fraction(30_000, 1001)), count) for count in (Count.DF, Count.NDF))
    a_second = divergence(drop, full, Fraction(1))
    says = (
        "the labels agree at the jam and are 2 apart after the first minute, 18 after ten and 108 after an hour (3.6 s)"
    )
    hourly = Amount("labels apart", 108.0, "labels an hour of labels")
    return over_the_day(case, says, a_second, hourly, labels=30, of=of)


@dataclass(frozen=True, slots=True)
class _Span:
    """A stretch of time over which labels part."""

    name: str
    words: str
    seconds: Fraction


def over_the_day(
    case: Case,
    says: str,
    a_second: Fraction,
    hourly: Amount,
    *,
    labels: int = 0,
    jammed: bool = True,
    of: Device | None = None,
) -> Cost:
    """A cost that grows with time, told over the longest take and the day: in seconds, and in labels where asked.

    What is right at the jam (`jammed`) grows from there, where the day says when that is; of a device (`of`) that no
    jam of the day is about, over the day.
    """
    amounts, parts = [hourly], []
    for span in _spans(case, of, jammed=jammed):
        apart = a_second * span.seconds
        amounts.append(Amount(f"apart {span.name}", float(apart), "s"))
        much = f"{say_number(apart * labels)} labels ({say_duration(apart)})" if labels else say_duration(apart)
        parts.append(f"{much} {span.words}")
    return Cost(f"{says}: {listed(parts)}" if parts else says, tuple(amounts), float(a_second))


def _spans(case: Case, of: Device | None, *, jammed: bool) -> Iterator[_Span]:
    """The longest take, and the day: from its first jam to the next, else to a break and to wrap, else as a whole."""
    take, day = case.take_seconds, case.setup.longest_day
    if take is not None:
        yield _Span("over the longest take", f"over the longest take of {say_duration(take)}", take)
    if day is None or day.length is None or day.wrap.value is None:
        return
    jams = [time for time in _jams(case, day, of) if time < day.wrap.value]
    if not jams or not jammed:
        yield _Span("over the day", f"over the day of {say_duration(day.length)}", day.length)
        return
    start, wrap = jams[0], day.wrap.value
    last, what = next(((time, "the next jam") for time in jams if time > start), (wrap, "wrap"))
    pause = next((time for time in _times(day, "break") if start < time < last), None)
    if pause is not None and last == wrap:
        yield _Span("at the break", f"at the break ({say_clock(pause)})", pause - start)
    words = f"at {what} ({say_clock(last)}), counted from the jam at {say_clock(start)}"
    yield _Span(f"at {what}", words, last - start)


def _times(day: Day, what: str) -> list[Fraction]:
    """When something happens on a day, in order."""
    return sorted(event.at.value for event in day.events if event.do.value == what and event.at.value is not None)


def _jams(case: Case, day: Day, device: Device | None) -> list[Fraction]:
    """When a device is given its time on a day, or gives it to others: from then on labels part that agreed."""
    given: dict[int, set[str]] = {}
    for jam in case.run.jams:
        given.setdefault(id(jam.event), set()).update((jam.target, jam.source))
    about = _upstream(case, device) if device else set()
    unled = device is not None and not case.timecode.arriving.get(device.key) and device.key not in case.label_givers
    times = set()
    for event in day.events:
        if event.do.value != "jam" or event.at.value is None:
            continue
        # Where no lead tells how a device is jammed, one of all is of it too.
        if device is None or not about.isdisjoint(given.get(id(event), ())) or (unled and event.of_all):
            times.add(event.at.value)
    return sorted(times)


def _upstream(case: Case, device: Device) -> set[str]:
    """A device, the one whose counter makes its labels, and the master at the end of its leads."""
    return {device.key, case.timecode.writer_of(device.key), case.timecode.root_of(device.key).device}


def conversion(one: LabelRate, other: LabelRate) -> str:
    """What it takes to bring pictures at one rate to the other."""
    ours, theirs = folded(one).rate, folded(other).rate
    speed = theirs.fps / ours.fps
    says = f"every shot at {ours.name} is converted to {theirs.name}"
    if abs(speed - 1) > OFF_SPEED:
        return f"{says}, with frames left out or made up each second"
    way, length = ("fast", "shorter") if speed > 1 else ("slow", "longer")
    # An hour that was shot lasts an hour over the speed that it is played at.
    by = abs(HOUR - HOUR / speed)
    return f"{says} or played {say_percent(abs(speed - 1))} {way}, an hour of it {say_duration(by)} {length}"


def pulled_cost(case: Case, own: Rate, wanted: Rate, becomes: str = "parts from the sound") -> Cost:
    """What a picture comes to that is played at another rate than its own while the sound is not pulled with it."""
    apart = abs(own.fps / wanted.fps - 1)
    picture = either("its picture", "each picture")
    says = f"played at {wanted.name} {picture} {becomes} by {say_number(apart * HOUR, 4)} s an hour"
    amounts, take = [Amount("picture beside sound", float(apart * HOUR), "s an hour")], case.take_seconds
    if take is not None:
        says += f", {say_duration(apart * take)} over the longest take of {say_duration(take)}"
        amounts.append(Amount("apart over the longest take", float(apart * take), "s"))
    return Cost(says, tuple(amounts), float(apart))
