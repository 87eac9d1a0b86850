"""What the comparisons of a log show of the clocks: readings that are off the line, and clocks worse than stated."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor

from synclint.day.measured import Measured, Reading, Relative
from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Record,
    Source,
    Unjudged,
    either,
)
from synclint.rules.day_windows import rest_of_day, set_anew
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import clock_of, in_frames, rolls_told
from synclint.trade.clocks import MILLION, Unknown, once, paced_by
from synclint.trade.fit import fit
from synclint.trade.quantities import say_duration, say_number, say_ppm

_SOURCES = (
    Source(
        "weighted least squares (Press and others, Numerical Recipes, Fitting Data to a Straight Line)",
        Confirmed.LIBRARY,
    ),
    Source("the variance of an error that is uniform over a width w is w² / 12", Confirmed.ARITHMETIC),
    Source("how well displays, clips and scopes are read is common practice, no source", Confirmed.PRACTICE),
)


@rule(
    Record(
        name="comparison-off-the-line",
        summary="A comparison in the log does not lie on the line of the others",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Two clocks that are left alone part at a steady rate, so what is read between two jams lies on a line. A "
        "reading that is farther from it than it can be read was misread, or the device was restarted or set anew, and "
        "then all that it has recorded since is off.",
        sources=_SOURCES,
        answers=("a device restarted and nobody noticed", "a comparison misread by a frame"),
    )
)
def comparison_off_the_line(case: Case) -> Iterator[Yielded]:
    """A finding for each two clocks whose readings since one jam do not fit on a line; what is of no use is told."""
    for each in case.measured.fits:
        reading, shift = each.off, each.shift
        if reading is not None and shift is not None and each.broken is not None:
            yield _off(case, each, reading, shift)
    for unused in case.measured.unused:
        event, called = unused.entry.event, case.setup.called(unused.device)
        lacks = f"what the comparison at {event.at.text} could be held against ({unused.why})"
        yield Unjudged(comparison_off_the_line.record, event.place, lacks, (called,))


def _off(case: Case, each: Measured, reading: Reading, shift: Fraction) -> Finding:
    """The finding on a reading that is off, and on those after it that are off with it."""
    other, alone = case.setup.called(each.against), each.broken.alone if each.broken else None
    at, far = clock_of(case, reading.at), f"{say_duration(abs(shift))} {'above' if shift > 0 else 'below'}"
    before = clock_of(case, max([each.since, *(one.at for one in each.readings if one.at < reading.at)]))
    read = f"{WHO} against {other} at {at}"
    says = {
        True: f"the reading of {read} is {far} the line of the others, before it and after it: it is misread",
        False: f"from {at} on all readings of {WHO} against {other} are {far} the line of those before: "
        f"{WHO} {either('was', 'were')} restarted or set anew after {before}",
        None: f"the reading of {read} is {far} the line of those before: it is misread, or {WHO} "
        f"{either('was', 'were')} restarted or set anew after {before}",
    }[alone]
    jam = f"jam {WHO} from {other}, film the slate, and tell post what was recorded after {before}"
    fix = {
        True: f"Correct the entry of {at}, or take it out",
        False: f"{jam[0].upper()}{jam[1:]}",
        None: f"Read {WHO} against {other} once more; if it is the same again, {jam}",
    }[alone]
    return comparison_off_the_line.record.finding(
        at=reading.entry.offset.place,
        says=says,
        who=(case.setup.called(each.device),),
        costs=_cost(case, each, reading, shift),
        fix=Fix(fix),
        numbers_from=each.facts,
    )


def _cost(case: Case, each: Measured, reading: Reading, shift: Fraction) -> Cost:
    """What the step is in frames, and what rests on it: recordings that are off, or a rate that comes out wrong."""
    amounts = [Amount("off the line", float(abs(shift) * 1000), "ms")]
    far = in_frames(case, abs(shift))
    if each.broken is not None and each.broken.alone and each.line is not None:
        wrong = fit(each.points).rate
        says = f"{far} that are no drift; with this reading the rate would come out as {say_ppm(wrong, signed=True)} "
        says += f"in place of {say_ppm(each.line.rate, signed=True)}"
        return Cost(says, (*amounts, Amount("rate with it", float(wrong), "ppm")), float(abs(shift)))
    before = max([each.since, *(one.at for one in each.readings if one.at < reading.at)])
    until, _ = set_anew(case, each.device, reading.at)
    rolls = [
        roll
        for roll in case.run.rolls
        if roll.end > before
        and roll.start < until
        and any(_rests_on(case, key, each.device, roll.start) for key in roll.devices)
    ]
    where = rolls_told(case, rolls) if rolls else f"all that {WHO} labelled after {clock_of(case, before)}"
    says = f"{far} in {where}{', unless it is misread' if each.broken and each.broken.alone is None else ''}"
    return Cost(says, (*amounts, Amount("rolls concerned", len(rolls), "rolls")), float(abs(shift)))


def _rests_on(case: Case, key: str, clock: str, at: Fraction) -> bool:
    """Whether a device shows the time of a clock at an instant."""
    time = case.run.at(key, at).time
    return key == clock or (time is not None and clock in time.through)


@rule(
    Record(
        name="clock-outside-its-accuracy",
        summary="A clock runs farther off than is stated of it, by the comparisons of the log",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Every plan of jams rests on what is stated of the clocks. Where the readings of the day leave no rate "
        "that the two were stated to keep, one of them is out of order, has aged or is very hot or cold, and the "
        "plan is wrong for the rest of the day.",
        sources=_SOURCES,
        answers=("a device drifts faster than its maker states", "a plan of jams that rests on a wrong figure"),
    )
)
def clock_outside_its_accuracy(case: Case) -> Iterator[Yielded]:
    """A finding for each two clocks whose measured rate is none that they are stated to keep."""
    for each in case.measured.relatives.values():
        if each.outside:
            yield _outside(case, each)
        elif each.stated is None:
            last = each.fits[-1]
            names = [case.setup.called(key) for key in last.lacking]
            lacks = f"how accurate the clock of {' and of '.join(names)} is"
            yield Unjudged(clock_outside_its_accuracy.record, last.readings[0].entry.event.place, lacks, tuple(names))


def _outside(case: Case, each: Relative) -> Finding:
    """The finding on two clocks; an error where it takes them out of the tolerance before the next jam."""
    rate, last = each.line.rate, each.fits[-1]
    reach, tolerance = each.line.interval[1] - rate, case.tolerance
    end, words = set_anew(case, each.device, last.since)
    apart = _apart(each, end - last.since)
    leaves = tolerance is not None and apart > tolerance
    single = len(each.fits) == 1 and len(last.kept) == 2
    doubt = f"; or {WHO} {either('was', 'were')} restarted or set anew after the jam, which one reading cannot tell"
    return clock_outside_its_accuracy.record.finding(
        at=last.readings[-1].entry.offset.place,
        level=Level.ERROR if leaves and not single else Level.WARNING,
        says=f"by the readings of the log {WHO} {_gains(rate)} {say_ppm(abs(rate))} (±{say_number(reach)}) on "
        f"{case.setup.called(each.against)}, where {_allowed(each, rate)}{doubt if single else ''}",
        who=(case.setup.called(each.device),),
        costs=Cost(
            f"{_an_hour(each)} up to {in_frames(case, apart)} from the jam at {clock_of(case, last.since)} to {words}"
            + _when(case, each, tolerance),
            (
                Amount("measured rate", float(rate), "ppm"),
                Amount("95 % to either side", float(reach), "ppm"),
                Amount("apart at the next jam or wrap", float(apart * 1000), "ms"),
            ),
            float(apart),
        ),
        fix=Fix(_cure(case, each, tolerance)),
        decided_by=[case.setup.devices[key].clock.accuracy for key in last.clocks],
        numbers_from=last.facts,
    )


def _apart(each: Relative, seconds: Fraction) -> Fraction:
    """How far apart two clocks may be some seconds after a jam, in seconds: what all forecasts go by."""
    jam = each.fits[-1].jam
    left = once(Unknown(("jam",), jam.offset - jam.within, jam.offset + jam.within))
    return (left + paced_by(each.oscillator, Fraction(0), seconds)).worst


def _holds(each: Relative, tolerance: Fraction) -> Fraction | None:
    """For how many seconds a jam keeps two clocks within a tolerance; None where not even at once.

    What is left of it goes down to either side at a steady rate.
    """
    jam, fixed, wander = each.fits[-1].jam, each.oscillator.fixed, each.oscillator.varying
    ahead, behind = tolerance - jam.offset - jam.within, tolerance + jam.offset - jam.within
    sides = ((ahead, fixed.high + wander), (behind, wander - fixed.low))
    spans = [left * MILLION / rate for left, rate in sides if rate > 0]
    return min(spans) if spans and min(ahead, behind) > 0 else None


def _an_hour(each: Relative) -> str:
    """What it comes to in an hour: as measured, and with what the two wander by."""
    measured = say_duration(abs(each.line.rate) * 3600 / MILLION)
    wander = each.oscillator.varying
    if not wander:
        return f"{measured} an hour,"
    most = max(each.oscillator.fixed.high, -each.oscillator.fixed.low) + wander
    more = say_duration(most * 3600 / MILLION)
    return f"{measured} an hour, {more} if the two wander by another {say_ppm(wander)} with temperature;"


def _gains(rate: Fraction) -> str:
    return either("gains", "gain") if rate > 0 else either("loses", "lose")


def _allowed(each: Relative, rate: Fraction) -> str:
    """What is stated of the two on the side on which they are off."""
    stated = each.stated
    if stated is None or not (stated.low or stated.high or stated.wander):
        return "one clock paces both"
    limit = stated.high + stated.wander if rate > 0 else stated.low - stated.wander
    if (limit > 0) != (rate > 0):
        return f"what is stated of the two is {say_ppm(limit, signed=True)} or {'less' if rate > 0 else 'more'}"
    return f"what is stated of the two comes to {say_ppm(abs(limit))} at most"


def _when(case: Case, each: Relative, tolerance: Fraction | None) -> str:
    """When the tolerance is left, if it is on that day."""
    holds = _holds(each, tolerance) if tolerance is not None else None
    if holds is None:
        return ""
    at = each.fits[-1].since + holds
    return f"; the tolerance may be left by {clock_of(case, at)}" if at <= rest_of_day(case, at - holds) else ""


def _cure(case: Case, each: Relative, tolerance: Fraction | None) -> str:
    """A spare, or jams often enough."""
    holds = _holds(each, tolerance) if tolerance is not None else None
    often = f", or jam {WHO} from {case.setup.called(each.against)} again at least every " if holds is not None else ""
    every = say_duration(Fraction(floor(holds / 60) * 60) if holds >= 60 else holds) if holds is not None else ""
    return f"Put a spare in the place of {WHO}{often}{every}, and let the rental house measure {WHO}"


RULES: tuple[Rule, ...] = (comparison_off_the_line, clock_outside_its_accuracy)
