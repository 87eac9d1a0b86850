"""The rule about takes that outgrow a file."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, floor

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
    Record,
    SetValue,
    Source,
    Unjudged,
    either,
)
from synclint.rig.model import Device, SoundSide
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.spans import recorders
from synclint.trade.quantities import say_duration, say_frequency
from synclint.trade.sizes import say_size
from synclint.trade.speed import RIFF_LIMIT, SIGNED_RIFF_LIMIT, bytes_for, seconds_in

_BITS_WHY = "sound recorders write 24 bits unless set otherwise (common practice, no source)"
_FILES_WHY = "recorders write all tracks in one file unless set otherwise (common practice, no source)"
_ONE_EACH = "one per track"
_IN_ONE = "all tracks in one"


@rule(
    Record(
        name="take-longer-than-a-file",
        summary="The longest take is larger than a file can be, and splits",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "A RIFF file ends at 4 GiB: after 62 min with 8 tracks of 48 kHz and 24 bits, 41 min with 12. What follows "
            "is a second file, which may carry the first one's time stamp, none, or a gap of some frames. RF64 has no "
            "such end, and one file for each track reaches it later by as many times as there are tracks."
        ),
        sources=(
            Source(
                "4 GiB from the 32-bit size field of RIFF; EBU Tech 3306 and ITU-R BS.2088 not read", Confirmed.MEMORY
            ),
            Source("Bytes are tracks × bytes a sample × sample rate × seconds", Confirmed.ARITHMETIC),
        ),
        answers=("long take splits into chapters",),
    )
)
def take_longer_than_a_file(case: Case) -> Iterator[Yielded]:
    """Compare the time that fills a file with the longest take."""
    for device in recorders(case.setup):
        sound = device.sound
        # A camera's sound lies in its picture file, whose size is the picture's.
        if sound is None or (device.picture is not None and not sound.container.written):
            continue
        yield from _judged(case, device, sound)


def _judged(case: Case, device: Device, sound: SoundSide) -> Iterator[Yielded]:
    """Judge one recorder."""
    record = take_longer_than_a_file.record
    tracks, rate = _track_count(sound), sound.sample_rate
    take = device.longest_take if device.longest_take.value is not None else case.setup.longest_take
    limited = sound.container.value == "RIFF" or sound.limit.value is not None
    if rate.value is None or (sound.container.value is None and sound.container.written):
        return
    if tracks is None or tracks.value is None:
        if limited and take is not None:
            lacks = f"how many tracks {device.called} records (records: sound: track_count)"
            yield Unjudged(record, sound.place, lacks, (device.called,))
        return
    files = sound.files.else_assume(_IN_ONE, _FILES_WHY) if tracks.value > 1 else sound.files
    bits = sound.bit_depth.else_assume(24, _BITS_WHY)
    in_a_file = 1 if files.value == _ONE_EACH else tracks.value
    if bits.value is None or in_a_file == 0 or rate.value <= 0:
        return
    decided: tuple[Fact[object], ...] = tuple(
        fact for fact in (tracks, rate, bits, files, sound.container, sound.limit) if fact.value is not None
    )
    limit = _limit(sound)
    if limit is None:
        if take is not None and take.value is not None:
            yield from _unknown_end(device, sound, bytes_for(take.value, in_a_file, bits.value, rate.value))
        return
    full = seconds_in(limit, in_a_file, bits.value, rate.value)
    if take is None or take.value is None:
        if case.day_seconds is None or full < case.day_seconds:
            lacks = f"the longest take; a file of {device.called} is full after {_minutes(full)}"
            yield Unjudged(record, sound.place, lacks, (device.called,))
        return
    if take.value > full:
        yield _splits(device, sound, take, full, f"{_of(in_a_file)} at {say_frequency(rate.value)}", (take, *decided))


def _unknown_end(device: Device, sound: SoundSide, size: int) -> Iterator[Unjudged]:
    """Ask for the kind of file where a take is too large for one kind."""
    if sound.container.value is None and size > SIGNED_RIFF_LIMIT:
        lacks = (
            f"whether files of {device.called} are RIFF or RF64 (records: sound: container), with a take of "
            f"{say_size(size)} in one file"
        )
        yield Unjudged(take_longer_than_a_file.record, sound.place, lacks, (device.called,))


def _track_count(sound: SoundSide) -> Fact[int] | None:
    """How many tracks are recorded: as stated, else as many as are named."""
    if sound.track_count.written:
        return sound.track_count
    named = sound.tracks.value
    return Fact(len(named), sound.tracks.place, text=sound.tracks.text) if named else None


def _limit(sound: SoundSide) -> int | None:
    """The bytes at which a file ends, or None where nothing ends it."""
    ends = [sound.limit.value, RIFF_LIMIT if sound.container.value == "RIFF" else None]
    return min((end for end in ends if end is not None), default=None)


def _splits(
    device: Device, sound: SoundSide, take: Fact[Fraction], full: Fraction, what: str, decided: tuple[Fact[object], ...]
) -> Yielded:
    """The finding on a recorder whose longest take needs more than one file."""
    length = take.value or Fraction(0)
    count = ceil(length / full)
    by_limit = sound.limit.value is not None and _limit(sound) == sound.limit.value
    why = f"{say_size(sound.limit.value)} a file" if by_limit and sound.limit.value else "4 GiB of a RIFF file"
    return take_longer_than_a_file.record.finding(
        at=sound.limit.place if by_limit else sound.container.place,
        says=f"{WHO} {either('fills', 'fill')} a file in {_minutes(full)} ({what}, {why}), "
        f"and the longest take is {_minutes(length)}",
        who=(device.called,),
        cause=(full, length, what, by_limit),
        costs=Cost(
            f"the longest take comes in {count} files, and a second file may carry the first one's time stamp, none, "
            "or a gap of some frames",
            (Amount("a file is full after", float(full), "s"), Amount("files of the longest take", count, "files")),
            float(count),
        ),
        fix=_fix(sound, full, by_limit=by_limit),
        decided_by=decided,
        also=(Mention(take.place, f"the longest take, {say_duration(length)}"),),
    )


def _fix(sound: SoundSide, full: Fraction, *, by_limit: bool) -> Fix:
    """What keeps a take in one file, or the joint in order."""
    joint = f"plan a break before {_minutes(full)}, and test the joint of two files with post"
    if by_limit:
        return Fix(f"Set the size at which {WHO} {either('begins', 'begin')} a new file higher; else {joint}")
    edit: Edit = (
        SetValue(sound.container.place, "RF64") if _stands_in(sound) else AddKey(sound.place, "container", "RF64")
    )
    return Fix(f"Set {WHO} to RF64; else {joint}", (edit,))


def _stands_in(sound: SoundSide) -> bool:
    """Whether the container is written with the recorder's settings and not only in its kit."""
    return sound.container.place.path[:-1] == sound.place.path


def _minutes(seconds: Fraction) -> str:
    """A length in whole minutes, cut and not rounded, as a take is told: 62 min."""
    return f"{floor(seconds / 60)} min" if seconds >= 60 else say_duration(seconds)


def _of(tracks: int) -> str:
    return f"{tracks} tracks" if tracks > 1 else "1 track"


RULES = (take_longer_than_a_file,)
