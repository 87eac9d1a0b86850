"""Rules about sample rates that differ, and about headers that say another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from math import log2

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Fact,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Source,
    either,
    listed,
)
from synclint.rig.model import Device, SoundSide
from synclint.rules.framework import MAIN_UNIT, Case, Yielded, rule
from synclint.rules.label_rates import HOUR
from synclint.rules.spans import PULLS, nearly, recorders, say_speed, take_of
from synclint.trade.quantities import say_duration, say_frequency, say_number

PLAYBACK = "playback device"

_USUAL_RATE = Fraction(48_000)
_GUIDES = frozenset({"LTC", "scratch"})

_WRONG_HEADER = Fraction(5, 100)
"""Beyond this a header does not pull, it says another sample rate."""

_READ_WRONG = Source("44.1 kHz read as 48 kHz is 48/44.1 times as fast", Confirmed.ARITHMETIC)
_CONVERSION = Source(
    "Sample rates are converted in post as a matter of routine; common practice, no source", Confirmed.PRACTICE
)


def same_family(first: Fraction, second: Fraction) -> bool:
    """Whether two sample rates are one but for a pull of a thousandth."""
    return any(nearly(first, second * pull) for pull in (Fraction(1), *PULLS))


@rule(
    Record(
        name="mixed-sample-rates",
        summary="A device records or plays at another sample rate than the rest",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.RENTAL,
        why=(
            "Conversion is routine, a wrong header is not: 44.1 kHz read as 48 kHz plays 8.8 % fast, an hour becomes "
            "55 min. Music prepared at 44.1 kHz and played by a rig forced to 48 kHz does the same on set."
        ),
        sources=(_READ_WRONG, _CONVERSION),
        answers=("mixed sample rates", "music at 44.1 kHz played by a rig at 48 kHz"),
    )
)
def mixed_sample_rates(case: Case) -> Iterator[Yielded]:
    """Compare each device's sample rate with the one agreed on, or where none is with what most have."""
    usual = case.once(_Usual)
    for device in recorders(case.setup):
        sound = device.sound
        if sound is None or not sound.sample_rate.value or _header_lies(sound):
            continue
        wanted = usual.of(case.domain_of(device.key))
        if wanted is None or not wanted.value or same_family(sound.sample_rate.value, wanted.value):
            continue
        if not _only_guides(device, sound) or _can(sound, wanted.value):
            yield _odd_one(case, device, sound, wanted)


def _only_guides(device: Device, sound: SoundSide) -> bool:
    """Whether a camera's sound is there to be read and not to be used: scratch, LTC, and where nobody says what."""
    return device.picture is not None and {*(sound.tracks.value or {}).values()} <= _GUIDES


def _can(sound: SoundSide, sample_rate: Fraction) -> bool:
    """Whether a device can be set to a sample rate; one whose sample rates nobody lists can."""
    able = sound.able_sample_rates.value
    return not able or any(same_family(each, sample_rate) for each in able if each)


class _Usual:
    """The sample rate that devices ought to have, by the unit whose timecode they share."""

    def __init__(self, case: Case) -> None:
        """Gather what is recorded at."""
        project = case.setup.project
        self._agreed = next((fact for fact in (project.sample_rate, project.post_sample_rate) if fact.written), None)
        self._had: dict[str, list[Fact[Fraction]]] = {}
        self._most: dict[str, Fact[Fraction] | None] = {}
        for device in recorders(case.setup):
            if device.sound is not None and device.sound.sample_rate.value:
                self._had.setdefault(case.domain_of(device.key), []).append(device.sound.sample_rate)

    def of(self, unit: str) -> Fact[Fraction] | None:
        """What was agreed on, else what most have; a unit by itself is compared with the others as a unit."""
        if unit == MAIN_UNIT and self._agreed is not None:
            return self._agreed
        if unit not in self._most:
            facts = self._had.get(unit, [])
            counts = Counter(fact.value for fact in facts)
            # Of two that are equally common 48 kHz is the likelier to be meant.
            self._most[unit] = max(
                facts, key=lambda fact: (counts[fact.value], fact.value == _USUAL_RATE), default=None
            )
        return self._most[unit]


def _odd_one(case: Case, device: Device, sound: SoundSide, usual: Fact[Fraction]) -> Yielded:
    """The finding on a device with another sample rate."""
    has = sound.sample_rate
    own, other = has.value or Fraction(1), usual.value or Fraction(1)
    plays, guides = device.cls.value == PLAYBACK, _only_guides(device, sound)
    rest = "the project works" if usual.place == case.setup.project.sample_rate.place else "the rest works"
    verb = either("plays", "play") if plays else either("records", "record")
    what = f" {listed(sorted({*(sound.tracks.value or {}).values()})) or 'sound'}" if guides else ""
    how = (
        "played as it stands, the music runs"
        if plays
        else f"converted, it does no harm; read as {say_frequency(other)} without conversion, it plays"
    )
    fix = _alike(device, sound, other)
    return mixed_sample_rates.record.finding(
        at=has.place,
        says=f"{WHO} {verb}{what} at {say_frequency(own)} where {rest} at {say_frequency(other)}",
        level=Level.ERROR if plays else Level.NOTE if guides else None,
        who=(device.called,),
        cause=(own, other, plays, what, fix.says),
        costs=misread(own, other, take_of(case, device), how),
        fix=fix,
        decided_by=(has, usual),
        also=(Mention(usual.place, f"{rest} at {say_frequency(other)}"),),
    )


def _alike(device: Device, sound: SoundSide, wanted: Fraction) -> Fix:
    """What to do so that a device's sample rate does no harm."""
    name = say_frequency(wanted)
    if device.cls.value == PLAYBACK:
        says = f"Convert the files that {WHO} {either('plays', 'play')} to {name} beforehand"
    elif _can(sound, wanted):
        says = f"Set {WHO} to {name}, or tell post which files to convert"
    else:
        return Fix(f"Tell post to convert the files of {WHO}, which {either('has', 'have')} no {name}")
    return Fix(says, (SetValue(sound.sample_rate.place, name),))


def misread(own: Fraction, other: Fraction, take: Fact[Fraction] | None, how: str) -> Cost:
    """What files of one sample rate come to where they are read at another; `how` opens the sentence."""
    speed = other / own
    tones = abs(12 * log2(speed))
    an_hour = HOUR / speed
    says = (
        f"{how} {say_speed(speed)} and {say_number(Fraction(round(tones * 100), 100))} semitones "
        f"{'up' if speed > 1 else 'down'}: "
        f"an hour becomes {say_duration(an_hour)}"
    )
    amounts = [Amount("speed", float(speed), "times"), Amount("an hour becomes", float(an_hour / 60), "min")]
    shift = abs(HOUR - an_hour)
    if take is not None and take.value is not None:
        shift = abs(take.value - take.value / speed)
        when = "early" if speed > 1 else "late"
        says += f", the longest take of {say_duration(take.value)} ends {say_duration(shift)} {when}"
        amounts.append(Amount("the longest take ends off by", float(shift), "s"))
    return Cost(says, tuple(amounts), float(shift))


def _header_lies(sound: SoundSide) -> bool:
    """Whether the header says a sample rate that no pull makes of the recorded one."""
    rate, stamped = sound.sample_rate.value, sound.stamped.value
    if not rate or not stamped:
        return False
    return abs(stamped / rate - 1) > _WRONG_HEADER


@rule(
    Record(
        name="header-with-another-sample-rate",
        summary="Files are stamped with a sample rate far from the recorded one",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A player believes the header: what is recorded at 44.1 kHz and stamped 48 kHz plays 8.8 % fast.",
        sources=(_READ_WRONG,),
        answers=("wrong sample rate in the header", "stamped rate unlike the recorded one"),
    )
)
def header_with_another_sample_rate(case: Case) -> Iterator[Yielded]:
    """Compare what a file's header says with what was recorded; a pull of some per cent is another rule's."""
    for device in recorders(case.setup):
        sound = device.sound
        if sound is None or not _header_lies(sound):
            continue
        own, stamped = sound.sample_rate.value or Fraction(1), sound.stamped.value or Fraction(1)
        fix = _truthful(case, device, sound)
        yield header_with_another_sample_rate.record.finding(
            at=sound.stamped.place,
            says=f"{WHO} {either('records', 'record')} at {say_frequency(own)} and "
            f"{either('stamps its', 'stamp their')} files {say_frequency(stamped)}",
            who=(device.called,),
            cause=(own, stamped, fix.says),
            costs=misread(own, stamped, take_of(case, device), "a player that believes the header plays it"),
            fix=fix,
            decided_by=(sound.sample_rate, sound.stamped),
            also=(Mention(sound.sample_rate.place, "the recorded sample rate"),),
        )


def _truthful(case: Case, device: Device, sound: SoundSide) -> Fix:
    """What makes header and recording agree: the recording goes by the header where all the others record so."""
    own, stamped = sound.sample_rate.value or Fraction(1), sound.stamped.value or Fraction(1)
    usual = case.once(_Usual).of(case.domain_of(device.key))
    repair = f"repair the headers of files that exist to say {say_frequency(own)}"
    if usual is not None and usual.value == stamped and usual.place != sound.sample_rate.place and _can(sound, stamped):
        edit = SetValue(sound.sample_rate.place, say_frequency(stamped))
        return Fix(f"Record on {WHO} at {say_frequency(stamped)}, and {repair}", (edit,))
    edit = SetValue(sound.stamped.place, say_frequency(own))
    return Fix(f"Have the files of {WHO} stamped {say_frequency(own)}, and {repair}", (edit,))


@rule(
    Record(
        name="post-reads-another-sample-rate",
        summary="Post works at another sample rate than the shoot",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "Every sound file is converted, which is routine as long as the tool reads the header and does not force "
            "its own rate on the samples. It is cheaper to agree on one sample rate before the first day."
        ),
        sources=(_READ_WRONG, _CONVERSION),
        answers=("post works at another sample rate",),
    )
)
def post_reads_another_sample_rate(case: Case) -> Iterator[Yielded]:
    """Compare post's sample rate with the project's."""
    project = case.setup.project
    shoot, post = project.sample_rate, project.post_sample_rate
    if not shoot.value or not post.value or same_family(shoot.value, post.value):
        return
    yield post_reads_another_sample_rate.record.finding(
        at=post.place,
        says=f"post works at {say_frequency(post.value)} and the shoot records at {say_frequency(shoot.value)}",
        costs=misread(
            shoot.value,
            post.value,
            case.setup.longest_take,
            f"read as {say_frequency(post.value)} without conversion, the sound plays",
        ),
        fix=_agreed(shoot.value, post),
        decided_by=(shoot, post),
        also=(Mention(shoot.place, f"the shoot records at {say_frequency(shoot.value)}"),),
    )


def _agreed(shoot: Fraction, post: Fact[Fraction]) -> Fix:
    """How shoot and post come to one sample rate: 48 kHz, where either has it."""
    works = post.value or Fraction(1)
    if works == _USUAL_RATE:
        return Fix(
            f"Record at {say_frequency(works)}; where it must be {say_frequency(shoot)}, send post a test file before "
            "the first day"
        )
    return Fix(
        f"Ask post to open its project at {say_frequency(shoot)}; where it must stay at {say_frequency(works)}, send "
        "a test file before the first day",
        (SetValue(post.place, say_frequency(shoot)),),
    )


RULES = (mixed_sample_rates, header_with_another_sample_rate, post_reads_another_sample_rate)
