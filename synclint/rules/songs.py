"""The timecode of a song beside that of the day: told apart, at a rate that fits, and nobody's source of the time."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    AddItem,
    AddKey,
    Amount,
    Confirmed,
    Cost,
    Edit,
    Finding,
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
    listed,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import Relation, Standard, clear, meant, relation, standards
from synclint.rules.moments import rolls_told
from synclint.rules.song_code import on_song_code, song_of, song_sources
from synclint.rules.wording import PRACTICE
from synclint.trade.labels import label_speed
from synclint.trade.quantities import say_duration
from synclint.trade.rates import LabelRate, Rate

_SONG = Fraction(240)
"""Seconds of a song by which a cost is told."""

_OFF_SPEED = Fraction(5, 100)
"""From which change of speed on the picture is slow or fast motion, and the song's code is read once it is played."""

_LABELS = Source("what labels of two rates gain on each other: exact arithmetic", Confirmed.ARITHMETIC)


def _shows(device: Device) -> bool:
    """Whether a device shows its time to the cameras."""
    return device.cls.value == "timecode slate" or device.screen_timecode.value is True


def _keeps_it(device: Device) -> bool:
    """Whether a device writes its time into its files."""
    on = device.timecode_on.value
    return device.records and not device.trigger.value and (on is None or "file" in on)


def _rolls(case: Case, key: str) -> list[Roll]:
    """The rolls that are shot to a playback."""
    return [roll for roll in case.run.rolls if key in roll.devices]


# --- shown, and not told apart ---------------------------------------------------------------------------------


@rule(
    Record(
        name="song-timecode-not-told-apart",
        summary="A slate shows the timecode of a song while files carry that of the day, and post is not told",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.POST,
        why=(
            "Song code on the slate is how clips of a song are laid on the song, and it is a second family of numbers "
            "in one bin. Who is not told which is which groups by the wrong one, and nothing lines up."
        ),
        sources=(PRACTICE,),
        answers=("song timecode and day timecode mixed up",),
    )
)
def song_timecode_not_told_apart(case: Case) -> Iterator[Yielded]:
    """A slate or screen on a song's code, beside recordings that carry another time, that post was not told of."""
    told = case.setup.project.post_song_timecode_on
    for key in sorted(on_song_code(case), key=list(case.setup.devices).index):
        device = case.setup.devices[key]
        source = song_of(case, key)
        if source is None or not _shows(device) or key in (told.value or ()):
            continue
        unit = case.domains.get(case.domain_of(key), ())
        files = [each for each in unit if _keeps_it(case.setup.devices[each]) and each not in on_song_code(case)]
        if files:
            yield _mixed(case, device, source, files)


def _mixed(case: Case, device: Device, source: str, files: list[str]) -> Finding:
    """The finding on a slate with song code."""
    told = case.setup.project.post_song_timecode_on
    rolls = _rolls(case, source)
    clips = sum(key in files for roll in rolls for key in roll.devices)
    what = f"{clips} clips of {rolls_told(case, rolls)} show another time than their files bear"
    what = what if clips else "every clip shot to the song shows another time than its file bears"
    amounts = Amount("clips with two times", clips, "clips") if clips else Amount("slates on song code", 1, "devices")
    edits: tuple[Edit, ...] = (AddItem(told.place, device.key),) if told.written else (_tell_post(case, device.key),)
    return song_timecode_not_told_apart.record.finding(
        at=device.timecode.source.place,
        says=f"{WHO} {either('shows', 'show')} the timecode of the song from {case.setup.called(source)} while files "
        f"of {listed(map(case.setup.called, files))} carry that of the day, and nothing tells post which is which",
        who=(device.called,),
        cause=("song shown", source, tuple(files)),
        costs=Cost(f"{what}; grouped by the wrong one, none finds its place", (amounts,)),
        fix=Fix(
            f"Tell post that {WHO} {either('shows', 'show')} the song and the files carry the day "
            "(project: post: song_timecode_on), and say it on the sound report of each take",
            edits,
        ),
    )


def _tell_post(case: Case, key: str) -> AddKey:
    """The edit that tells post where the song's code is."""
    place = case.setup.project.post_song_timecode_on.place
    if place.path[-1:] == ("post",):
        return AddKey(place, "song_timecode_on", f"[{key}]")
    if place.path[-1:] == ("project",):
        return AddKey(place, "post", f"{{song_timecode_on: [{key}]}}")
    return AddKey(case.setup.place, "project", f"{{post: {{song_timecode_on: [{key}]}}}}")


# --- at another rate -------------------------------------------------------------------------------------------


@rule(
    Record(
        name="song-timecode-at-another-rate",
        summary="The timecode of a song counts at a rate whose seconds do not agree with the cameras'",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "Clips are laid on the song by its code, which then has to count as the pictures play: 30 or 25 against "
            "23.976 gains 3.6 s an hour, and the clip starts in the right place and drifts off the beat."
        ),
        sources=(_LABELS, PRACTICE),
        answers=("song timecode and day timecode at different rates",),
    )
)
def song_timecode_at_another_rate(case: Case) -> Iterator[Yielded]:
    """Compare the rate of a song's code, as it is played, with that which the unit's cameras count at."""
    record = song_timecode_at_another_rate.record
    for key in sorted(song_sources(case), key=list(case.setup.devices).index):
        device = case.setup.devices[key]
        if key not in case.label_givers:
            continue  # nobody hears it
        standard = standards(case).get(case.domain_of(key))
        own = meant(device, device.timecode.rate)
        if own is None or not clear(own):
            if not device.timecode.rate.written:
                lacks = f"at what rate the timecode counts that {device.called} plays (timecode: rate)"
                yield Unjudged(record, device.place, lacks, (device.called,))
            continue
        wanted = _as_played(device, standard) if standard is not None else None
        if standard is None or wanted is None:
            continue
        if relation(own, wanted) not in (Relation.SAME, Relation.TWINS, Relation.WHOLE):
            yield _other_rate(device, own, wanted, standard)


def _as_played(device: Device, standard: Standard) -> LabelRate | None:
    """What a song's code has to count at in its file, so that it counts as the cameras do once it is played."""
    speed = device.plays_speed.value or Fraction(1)
    if abs(speed - 1) > _OFF_SPEED:
        return standard.rate
    rate = Rate(standard.rate.rate.fps / speed)
    return LabelRate(rate, standard.rate.count) if rate.counted.fps in _COUNTED else None


_COUNTED = frozenset({Fraction(24), Fraction(24_000, 1001), Fraction(25), Fraction(30), Fraction(30_000, 1001)})


def _other_rate(device: Device, own: LabelRate, wanted: LabelRate, standard: Standard) -> Finding:
    """The finding on song code that does not count as the pictures play."""
    apart = abs(label_speed(own) / label_speed(wanted) - 1)
    an_hour, song = apart * 3600, apart * _SONG
    frames = song * wanted.rate.fps
    return song_timecode_at_another_rate.record.finding(
        at=device.timecode.rate.place,
        says=f"the timecode that {WHO} {either('plays', 'play')} counts at {own.name}, and {standard.by} at "
        f"{standard.rate.name}",
        who=(device.called,),
        cause=("song rate", own, wanted),
        costs=Cost(
            f"they part by {say_duration(an_hour)} an hour: at the end of a song of four minutes the picture is "
            f"{say_duration(song)} ({float(frames):.1f} frames) off the song",
            (
                Amount("parting", float(an_hour), "s an hour"),
                Amount("off at the end of a song", float(song * 1000), "ms"),
            ),
            float(an_hour),
        ),
        fix=Fix(
            f"Have the files of {WHO} made with timecode at {wanted.name}",
            (SetValue(device.timecode.rate.place, wanted.name),) if device.timecode.rate.stated else (),
        ),
        decided_by=(device.timecode.rate, standard.fact),
        also=(Mention(standard.fact.place, f"{standard.by} counts at {standard.rate.name}"),),
    )


# --- taken for the time of the day -----------------------------------------------------------------------------


@rule(
    Record(
        name="show-code-as-jam-source",
        summary="Devices take their time from a playback whose timecode stops and jumps",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "The code of a show stops between songs, goes back for a repeat and jumps to the next number. Files "
            "labelled by it bear numbers twice, or run on by themselves while it stands. Cameras carry the time of "
            "the day; the code of the show belongs on a track of a recorder."
        ),
        sources=(PRACTICE,),
        answers=("show LTC used as the jam source for cameras",),
    )
)
def show_code_as_jam_source(case: Case) -> Iterator[Yielded]:
    """A recording, or a box that labels one, is jammed from the code of a playback or follows it."""
    record = show_code_as_jam_source.record
    by_source: dict[str, list[str]] = {}
    for key in sorted(on_song_code(case), key=list(case.setup.devices).index):
        source, device = song_of(case, key), case.setup.devices[key]
        if source is not None and not _shows(device) and (_keeps_it(device) or key in case.label_givers):
            by_source.setdefault(source, []).append(key)
    for source, keys in by_source.items():
        player = case.setup.devices[source]
        if player.plays_continuous.value is None:
            lacks = f"whether the timecode that {player.called} plays runs on without a stop (plays: continuous)"
            yield Unjudged(record, player.plays_timecode.place, lacks, (player.called,))
            continue
        yield _show_code(case, player, keys)


def _show_code(case: Case, player: Device, keys: list[str]) -> Finding:
    """The finding on all that a show labels."""
    first = case.setup.devices[keys[0]]
    rolls = _rolls(case, player.key)
    labelled = [key for key in keys if _keeps_it(case.setup.devices[key])]
    files = listed(map(case.setup.called, labelled)) or "what they feed"
    again = f"{len(rolls)} takes ({rolls_told(case, rolls)})" if len(rolls) > 1 else "every repeat of a number"
    amounts = [Amount("devices on show code", len(keys), "devices")]
    amounts += [Amount("takes with one set of labels", len(rolls), "takes")] if len(rolls) > 1 else []
    meant = case.setup.project.master_timecode.value
    day = "a generator that runs on"
    if meant is not None and meant in case.setup.devices and meant != player.key:
        day = case.setup.called(meant)
    code = player.plays_timecode.value or "show"
    other = {key: _other_port(case, key) for key in keys}
    edits = tuple(SetValue(case.setup.devices[key].timecode.source.place, port) for key, port in other.items() if port)
    return show_code_as_jam_source.record.finding(
        at=first.timecode.source.place,
        says=f"{WHO} {either('takes', 'take')} the time from {player.called}, whose {code} code stops between numbers "
        "and jumps",
        who=tuple(case.setup.called(key) for key in keys),
        costs=Cost(
            f"files of {files} bear the same labels for {again}, go backwards at a jump and run on alone while the "
            "code stands",
            tuple(amounts),
            len(keys),
        ),
        fix=Fix(
            f"Jam {WHO} from {day}, and record the code of {player.called} on a track of a recorder",
            edits if len(edits) == len(keys) else (),
        ),
        decided_by=(player.plays_continuous,),
        also=(Mention(player.plays_continuous.place, "it is not continuous"),),
    )


def _other_port(case: Case, key: str) -> str | None:
    """A port of a device at which another timecode arrives."""
    sources = song_sources(case)
    feeds = case.timecode.arriving.get(key, ())
    return next((feed.port for feed in feeds if case.timecode.root_of(feed.source).device not in sources), None)


RULES: tuple[Rule, ...] = (song_timecode_not_told_apart, song_timecode_at_another_rate, show_code_as_jam_source)
