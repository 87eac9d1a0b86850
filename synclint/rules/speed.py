"""Rules about the speed at which recordings are played, and about what paces the sound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    Confirmed,
    Cost,
    Edit,
    Fact,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Device, PictureSide, SoundSide
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.label_rates import HOUR
from synclint.rules.spans import PULLS, nearly, recorders, say_percent, take_of
from synclint.trade.quantities import say_duration, say_frequency
from synclint.trade.rates import Rate
from synclint.trade.speed import parting, speed_ratio

OFF_SPEED = Fraction(5, 100)
"""Beyond this a picture is off-speed by intent; 24 to 25 and 23.976 to 25 (4.3 %) are conversions."""

_NOTICED = Fraction(5, 10_000)
"""Without a longest take: from half a thousandth on every take of some minutes parts visibly (our own line)."""

_UNCLEAR = Fraction(10, 1_000_000)
"""Without a longest take: below this no take of a day parts by a frame (1 ppm takes 11 h 35 min for one)."""

_NO_TOLERANCE = Fraction(1, 2)
"""Seconds that no tolerance anybody would state lets pass; below, an assumed tolerance has decided."""

_PULL_FIGURES = Source(
    "AES5-2018, Annex A (1000/1001 and 1001/1000), read in code that follows it", Confirmed.TABULATED
)
_SUM = Source("0.1 % is 3.6 s an hour", Confirmed.ARITHMETIC)


@dataclass(frozen=True, slots=True)
class Taken:
    """A recording with the speed at which it will be played, 1 being life."""

    device: Device
    ratio: Fraction
    facts: tuple[Fact[Rate] | Fact[Fraction], ...]
    """What it was taken at, and what it is played at."""
    is_picture: bool

    @property
    def at(self) -> Place:
        """What to look at first."""
        taken, played = self.facts
        return played.place if played.place != taken.place and self.ratio != 1 else taken.place

    @property
    def values(self) -> tuple[object, ...]:
        """What it was taken and is played at."""
        return tuple(fact.value for fact in self.facts)


@rule(
    Record(
        name="pull-not-matched-by-the-picture",
        summary="Sound and picture of one unit are played at different speeds",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "A picture shot at 24 and played at 23.976 needs sound that is slowed with it (recorded at 48.048 kHz and "
            "stamped 48 kHz); a picture that is played as shot needs sound that is left alone. Where the two are "
            "mixed, sound and picture start together and part by 3.6 s an hour, which looks like a bad clock."
        ),
        sources=(_PULL_FIGURES, _SUM),
        answers=("pull-up or pull-down engaged that post does not expect", "stamped rate unlike the recorded one"),
    )
)
def pull_not_matched_by_the_picture(case: Case) -> Iterator[Yielded]:
    """Compare the speed of every recording with that of its unit's pictures."""
    record = pull_not_matched_by_the_picture.record
    by_unit: dict[str, list[Taken]] = {}
    for device in recorders(case.setup):
        taken = _taken(device, record)
        if isinstance(taken, Unjudged):
            yield taken
        elif taken is not None:
            by_unit.setdefault(case.domain_of(device.key), []).append(taken)
    for unit, recordings in by_unit.items():
        yield from _in_unit(case, unit, recordings)


def _taken(device: Device, record: Record) -> Taken | Unjudged | None:
    """The speed of what a device records; None where it is not told or is off-speed by intent.

    A camera's own sound lies in one file with its picture and goes along with it.
    """
    if device.picture is not None:
        return _picture_taken(device, device.picture, record)
    if device.sound is not None and device.cls.value != "playback device":
        return _sound_taken(device, device.sound, record)
    return None


def _picture_taken(device: Device, side: PictureSide, record: Record) -> Taken | Unjudged | None:
    shot, played = side.shot_at, side.played_at
    if side.variable.value or shot.value is None or (played.value is None and played.written):
        return None
    ratio = speed_ratio((played.value or shot.value).fps, shot.value.fps)
    if abs(ratio - 1) > OFF_SPEED:
        return None
    if played.assumed and ratio != 1:
        lacks = f"the rate that files of {device.called} are played at (records: picture: played_at)"
        return Unjudged(record, shot.place, lacks, (device.called,))
    return Taken(device, ratio, (shot, played), is_picture=True)


def _sound_taken(device: Device, side: SoundSide, record: Record) -> Taken | Unjudged | None:
    rate, stamped = side.sample_rate, side.stamped
    if not rate.value or not stamped.value:
        return None
    ratio = speed_ratio(stamped.value, rate.value)
    if abs(ratio - 1) > OFF_SPEED:
        return None  # a wrong header, which another rule tells
    if stamped.place == rate.place and _pulled(rate.value):
        # Machines that pull mostly stamp the plain rate, and not all do: the two part by 0.1 %.
        lacks = f"the sample rate that file headers of {device.called} say (records: sound: stamped)"
        return Unjudged(record, rate.place, lacks, (device.called,))
    return Taken(device, ratio, (rate, stamped), is_picture=False)


_STANDARD = tuple(Fraction(hertz) for hertz in (32_000, 44_100, 48_000, 88_200, 96_000, 176_400, 192_000))


def _pulled(sample_rate: Fraction) -> bool:
    """Whether a sample rate is a standard one pulled up or down."""
    return any(nearly(sample_rate, base * pull) for base in _STANDARD for pull in PULLS)


def _in_unit(case: Case, unit: str, recordings: list[Taken]) -> Iterator[Yielded]:
    """Compare the recordings of a unit with the speed that most of its pictures have."""
    record = pull_not_matched_by_the_picture.record
    pictures = [each for each in recordings if each.is_picture]
    if not pictures:
        for each in recordings:
            if each.ratio != 1 and not nearly(each.ratio, Fraction(1)):
                lacks = f"the rates that the pictures beside {each.device.called} are shot and played at"
                yield Unjudged(record, each.at, lacks, (each.device.called,))
        return
    usual = Counter(each.ratio for each in pictures).most_common(1)[0][0]
    beside = [each for each in pictures if each.ratio == usual]
    for each in recordings:
        if each.ratio != usual:
            yield from _compared(case, unit, each, beside)


def _compared(case: Case, unit: str, odd: Taken, beside: list[Taken]) -> Iterator[Yielded]:
    """Judge a recording whose speed is not that of the pictures it is cut with."""
    record = pull_not_matched_by_the_picture.record
    apart = parting(odd.ratio, beside[0].ratio, Fraction(1))
    take = take_of(case, odd.device)
    tolerance = _tolerance(case, beside[0])
    pictures = f"picture{'s' if len(beside) > 1 else ''} of {listed(each.device.called for each in beside)}"
    if take is None or take.value is None:
        if _UNCLEAR < apart < _NOTICED:
            yield Unjudged(record, odd.at, "the longest take of the day", (odd.device.called,))
        if apart < _NOTICED:
            return
    elif apart * take.value <= tolerance:
        return
    fix = _matching(odd, beside)
    decided: list[Fact[object]] = [*odd.facts, *beside[0].facts]
    if take is not None and take.value is not None:
        decided.append(take)
        if apart * take.value < _NO_TOLERANCE:
            decided.append(case.setup.project.tolerance)
    yield record.finding(
        at=odd.at,
        says=f"{WHO}, {_as_taken(odd)}, {either('plays', 'play')} {_speed(odd)} beside the {pictures}, "
        f"which {'play' if len(beside) > 1 else 'plays'} {_speed(beside[0])}",
        who=(odd.device.called,),
        cause=(unit, odd.is_picture, odd.values, beside[0].ratio, fix.says),
        costs=_parting_cost(apart, take, tolerance, odd_is_faster=odd.ratio > beside[0].ratio),
        fix=fix,
        decided_by=[fact for fact in decided if fact.value is not None],
        also=(Mention(beside[0].at, f"the {pictures}, {_as_taken(beside[0])}"),),
    )


def _tolerance(case: Case, beside: Taken) -> Fraction:
    """What two recordings may be apart in seconds, frames lasting as in the project, else as in the picture played."""
    project = case.setup.project
    played = beside.facts[1].value or beside.facts[0].value
    rate = project.rate.value.rate if project.rate.value else played
    if project.tolerance.value is None or not isinstance(rate, Rate):
        return Fraction(0)
    return project.tolerance.value.in_seconds(rate)


def _parting_cost(apart: Fraction, take: Fact[Fraction] | None, tolerance: Fraction, *, odd_is_faster: bool) -> Cost:
    """What a difference of speed comes to in an hour and in the longest take."""
    an_hour = apart * HOUR
    # 4 % slow lasts 4.17 % longer: the share is of what the odd one plays in that time.
    lasts = "the slower lasts" if odd_is_faster else "the faster lasts"
    says = (
        f"as played, {lasts} {say_percent(apart)} {'longer' if odd_is_faster else 'less'}: "
        f"they part by {say_duration(an_hour)} an hour"
    )
    amounts = [Amount("parting", float(an_hour), "s an hour")]
    weight = an_hour
    if take is not None and take.value is not None:
        weight = apart * take.value
        says += f", {say_duration(weight)} over the longest take of {say_duration(take.value)}"
        amounts.append(Amount("parting over the longest take", float(weight), "s"))
    if tolerance:
        says += f", and more than the tolerance after {say_duration(tolerance / apart)}"
    return Cost(says, tuple(amounts), float(weight))


def _as_taken(taken: Taken) -> str:
    """What a recording was taken and is played at: `recorded at 48.048 kHz and stamped 48 kHz`."""
    first, second = taken.values
    if isinstance(first, Rate):
        played = second.name if isinstance(second, Rate) else first.name
        return f"shot at {first.name} and played at {played}"
    if not isinstance(first, Fraction) or not isinstance(second, Fraction):
        return "as set"
    said = f"recorded at {say_frequency(first)}"
    return said if first == second else f"{said} and stamped {say_frequency(second)}"


def _speed(taken: Taken) -> str:
    """The speed of a recording in words."""
    if taken.ratio == 1:
        return "at true speed"
    return f"{say_percent(abs(taken.ratio - 1))} {'slow' if taken.ratio < 1 else 'fast'}"


def _matching(odd: Taken, beside: list[Taken]) -> Fix:
    """What to set so that a recording is played at the speed of the pictures."""
    wanted = beside[0]
    if odd.is_picture:
        first, second = wanted.facts[0].value, wanted.facts[1].value or wanted.facts[0].value
        if not isinstance(first, Rate) or not isinstance(second, Rate):
            return Fix(f"Shoot and play {WHO} as {wanted.device.called}")
        edits = (*_set(odd.facts[0], first.name), *_set(odd.facts[1], second.name))
        return Fix(f"Shoot {first.name} on {WHO}, played at {second.name} like the others", edits)
    base = _base(odd.facts[1].value)
    sample = base / wanted.ratio
    sample = Fraction(round(sample)) if nearly(Fraction(round(sample)), sample) else sample
    pulls = any(nearly(wanted.ratio, pull) for pull in PULLS) and _can(odd, sample)
    if wanted.ratio != 1 and not pulls:
        plays = tuple(edit for each in beside for edit in _set(each.facts[1], _rate_name(each.facts[0].value)))
        share = say_percent(abs(wanted.ratio - 1))
        does = "slow" if wanted.ratio < 1 else "speed up"
        return Fix(
            f"Play the picture at the rate it was shot at, or have post {does} the sound by {share} with it", plays
        )
    if wanted.ratio == 1:
        says = f"Switch the pull off on {WHO}: record at {say_frequency(base)}, stamped the same"
        return Fix(says, _sample_edits(odd, base, base))
    says = (
        f"Record on {WHO} at {say_frequency(sample)}, stamped {say_frequency(base)}, where post asks for it in writing"
    )
    return Fix(f"{says}; else play the picture at the rate it was shot at", _sample_edits(odd, sample, base))


def _can(recording: Taken, sample_rate: Fraction) -> bool:
    """Whether a recorder can be set to a pulled sample rate; one whose sample rates nobody lists can."""
    sound = recording.device.sound
    able = sound.able_sample_rates.value if sound is not None else None
    return not able or any(nearly(each, sample_rate) for each in able)


def _base(sample_rate: object) -> Fraction:
    """The standard sample rate that a rate is or was pulled from."""
    if not isinstance(sample_rate, Fraction):
        return Fraction(48_000)
    return min(_STANDARD, key=lambda base: abs(sample_rate / base - 1))


def _rate_name(value: object) -> str:
    return value.name if isinstance(value, Rate) else str(value)


def _set(fact: Fact[Rate] | Fact[Fraction], value: str) -> tuple[Edit, ...]:
    return (SetValue(fact.place, value),) if fact.stated and fact.text != value else ()


def _sample_edits(odd: Taken, sample: Fraction, stamped: Fraction) -> tuple[Edit, ...]:
    """The edits that make a recorder take one sample rate and stamp another."""
    rate, header = odd.facts
    edits = list(_set(rate, say_frequency(sample)))
    sound = odd.device.sound
    if header.place != rate.place:
        edits += _set(header, say_frequency(stamped))
    elif stamped != sample and sound is not None:
        edits.append(AddKey(sound.place, "stamped", say_frequency(stamped)))
    return tuple(edits)


RULES = (pull_not_matched_by_the_picture,)
