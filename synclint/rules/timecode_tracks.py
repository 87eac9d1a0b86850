"""On which tracks LTC is recorded, how loud, and what is left beside it to lay clips by when it does not decode."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
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
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.plugs import side_of
from synclint.rules.timecode_leads import (
    LTC,
    Arrival,
    arrivals,
    flow,
    say_db,
    say_dbfs,
    set_on_socket,
)
from synclint.rules.wording import PRACTICE

# --- how loud ---------------------------------------------------------------------------------------------------

TARGET = (Fraction(-20), Fraction(-12))
"""Where recorded LTC belongs, in dBFS."""

_CLIPS_FROM = Fraction(-3)
_LOST_BELOW = Fraction(-40)


@rule(
    Record(
        name="timecode-recorded-off-target",
        summary="LTC is recorded far above or below -20 to -12 dBFS",
        level=Level.NOTE,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="Near full scale the edges clip and spill into the next track; far below it noise moves them. Between -20 "
        "and -12 dBFS, with the gain fixed, both are far away.",
        sources=(PRACTICE,),
        answers=("timecode recorded too hot or too low",),
    )
)
def timecode_recorded_off_target(case: Case) -> Iterator[Yielded]:
    """Compare the level at which LTC is recorded with where it belongs."""
    low, high = TARGET
    for arrival in arrivals(case):
        at = arrival.port.electrics.recorded_at
        if at.value is None or not arrival.as_sound or low <= at.value <= high:
            continue
        hot = at.value > high
        off = at.value - high if hot else low - at.value
        grave = at.value > _CLIPS_FROM or at.value < _LOST_BELOW
        what = "its edges clip, and it spills into the sound beside it" if hot else "noise moves its edges"
        yield timecode_recorded_off_target.record.finding(
            at=at.place,
            level=Level.WARNING if grave else None,
            says=f"{WHO} {either('records', 'record')} LTC at {say_dbfs(at.value)}, and it belongs between "
            f"{say_dbfs(low)} and {say_dbfs(high)}",
            who=(arrival.device.called,),
            cause=(at.value,),
            costs=Cost(
                f"{say_db(float(off))} {'above' if hot else 'below'} the target {what}; a decoder may skip labels in "
                "any clip",
                (Amount("off the target", float(off), "dB"),),
                float(off),
            ),
            fix=Fix(
                f"Set the gain of {WHO} by hand until LTC stands at {say_dbfs(_MIDDLE)}, and leave it there",
                set_on_socket(case, arrival.port, at, "recorded_at", say_dbfs(_MIDDLE)),
            ),
        )


_MIDDLE = Fraction(-16)


# --- on which track ---------------------------------------------------------------------------------------------

_OTHER_SIDE = {"left": "right", "right": "left"}


@rule(
    Record(
        name="timecode-track-not-declared",
        summary="LTC is recorded as sound, and nothing says on which track",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="An assistant who is not told decodes the wrong track and gives up, or leaves the whistle in the mix. One "
        "side for all cameras, written on the sheet, saves both.",
        sources=(PRACTICE,),
        answers=("timecode channel not declared",),
    )
)
def timecode_track_not_declared(case: Case) -> Iterator[Yielded]:
    """Find devices that LTC is fed to as sound whose label is said to be elsewhere."""
    for arrival in arrivals(case):
        device, on = arrival.device, arrival.device.timecode_on
        elsewhere = on.value is not None and not set(on.value) - {"file", "none"}
        if arrival.as_sound and elsewhere and LTC not in arrival.tracks.values() and not arrival.link.only_compares:
            yield _not_declared(case, arrival, device)


def _not_declared(case: Case, arrival: Arrival, device: Device) -> Finding:
    """The finding on a track that nobody names."""
    side, sound, on = side_of(arrival) or "left", device.sound, device.timecode_on
    count = (sound.track_count.value if sound is not None else None) or max(2, len(arrival.tracks))
    tracks = flow({**arrival.tracks, _OTHER_SIDE.get(side, "right"): "scratch", side: LTC})
    edits: list[Edit] = []
    if sound is not None and sound.place.span.file == case.setup.file:
        stated = sound.tracks.written
        edits.append(SetValue(sound.tracks.place, tracks) if stated else AddKey(sound.place, "tracks", tracks))
    if on.place.span.file == case.setup.file:
        kept = ", ".join([*(each for each in on.value or () if each != "none"), side])
        edits.append(SetValue(on.place, f"[{kept}]"))
    says = listed(on.value or ())
    return timecode_track_not_declared.record.finding(
        at=on.place,
        says=f"{arrival.source.called} feeds LTC to {arrival.port.key} of {WHO}, and the sheet looks for labels on "
        f"{says} and names no track",
        who=(device.called,),
        cause=(arrival.source.cls.value, says, side),
        also=(Mention(arrival.link.place, "the lead with LTC"),),
        costs=Cost(
            f"post tries {count} tracks of {WHO} or leaves LTC unread, and it whistles in the cut until somebody mutes "
            "it",
            (Amount("tracks to try", count, "tracks"),),
            count,
        ),
        fix=Fix(
            f"Write on which track of {WHO} LTC lies, {side} by the lead, and put scratch on the other", tuple(edits)
        ),
    )


# --- nothing beside it ------------------------------------------------------------------------------------------

_IN_PICTURE = frozenset({"slate", "clap", "display in picture", "flash"})
"""Ways to lay a clip that need no sound of its own."""


@rule(
    Record(
        name="nothing-beside-the-timecode",
        summary="All tracks of a camera hold LTC, and no scratch sound is left",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="With LTC on both sides there is nothing to check it against, and nothing to lay the clip by when it does "
        "not decode. One side is enough; the other belongs to a microphone.",
        sources=(PRACTICE,),
        answers=("no scratch sound left beside the timecode",),
    )
)
def nothing_beside_the_timecode(case: Case) -> Iterator[Yielded]:
    """Find cameras with LTC on every track; where a slate or a display is planned as well it is a note."""
    planned = case.setup.project.post_second_way.value or ()
    spare = [way for way in planned if way in _IN_PICTURE]
    for device in case.setup.devices.values():
        tracks = (device.sound.tracks.value if device.sound else None) or {}
        if device.picture is None or device.trigger.value or len(tracks) < 2 or set(tracks.values()) != {LTC}:
            continue
        yield _nothing_beside(case, device, len(tracks), spare)


def _nothing_beside(case: Case, device: Device, count: int, spare: list[str]) -> Finding:
    """The finding on a camera without scratch sound."""
    fact = device.sound.tracks if device.sound is not None else None
    tracks = dict(fact.value or {}) if fact is not None else {}
    last = list(tracks)[-1]
    edits: tuple[Edit, ...] = ()
    if fact is not None and fact.place.span.file == case.setup.file:
        edits = (SetValue(fact.place, flow({**tracks, last: "scratch"})),)
        on = device.timecode_on
        if on.written and last in (on.value or ()):
            edits = (*edits, SetValue(on.place, f"[{', '.join(each for each in on.value or () if each != last)}]"))
    left = f"only the {listed(spare)} is left" if spare else "nothing is left to lay the clip by"
    return nothing_beside_the_timecode.record.finding(
        at=fact.place if fact is not None else device.place,
        level=Level.NOTE if spare else None,
        says=f"{'both' if count == 2 else f'all {count}'} tracks of {WHO} hold LTC, and no scratch sound is recorded",
        who=(device.called,),
        cause=(tuple(tracks), bool(spare)),
        costs=Cost(
            f"where a clip of {WHO} does not decode, {left}; where it decodes wrongly, nobody can hear that",
            (Amount("tracks of timecode", count, "tracks"),),
        ),
        fix=Fix(f"Give {last} of {WHO} to a microphone, and write scratch there", edits),
    )


# --- one side for all -------------------------------------------------------------------------------------------


@rule(
    Record(
        name="timecode-on-different-sides",
        summary="Cameras of one rig record LTC on different sides",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.MORNING,
        why="Whoever decodes a batch sets one side for all of it; the odd camera out comes back without labels.",
        sources=(PRACTICE,),
        answers=("timecode on different sides",),
    )
)
def timecode_on_different_sides(case: Case) -> Iterator[Yielded]:
    """Compare the side on which each camera records LTC with that of most."""
    sides: dict[str, str] = {}
    for device in case.setup.devices.values():
        tracks = (device.sound.tracks.value if device.sound else None) or {}
        on = [track for track, what in tracks.items() if what == LTC and track in _OTHER_SIDE]
        if device.picture is not None and len(on) == 1 and not device.trigger.value:
            sides[device.key] = on[0]
    counts = Counter(sides.values())
    usual = next(iter(side for side, _ in counts.most_common()), None)  # of two as common, that written first
    for key, side in sides.items():
        if usual is not None and side != usual:
            yield _other_side(case.setup.devices[key], side, usual)


def _other_side(device: Device, side: str, usual: str) -> Finding:
    """The finding on a camera whose LTC is not where the others have it."""
    fact = device.sound.tracks if device.sound is not None else None
    return timecode_on_different_sides.record.finding(
        at=fact.place if fact is not None else device.place,
        says=f"{WHO} {either('records', 'record')} LTC on the {side} and the other cameras on the {usual}",
        who=(device.called,),
        cause=(side, usual),
        costs=Cost(
            f"clips of {WHO} come back from a batch without labels and are decoded a second time",
            (Amount("cameras to decode apart", 1, "devices"),),
        ),
        fix=Fix(f"Take a lead to {WHO} that brings LTC to {usual}, or mark {either('it', 'them')} on the sheet"),
    )


RULES: tuple[Rule, ...] = (
    timecode_recorded_off_target,
    timecode_track_not_declared,
    nothing_beside_the_timecode,
    timecode_on_different_sides,
)
