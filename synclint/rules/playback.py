"""What is sung to: the speed of the playback, and its timecode where it must not be heard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Edit,
    Fact,
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
from synclint.rig.model import Device, End, Link
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import rolls_told
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_number
from synclint.trade.rates import Rate
from synclint.trade.speed import playback_speed

PLAYBACK = "playback device"
_LOUD = "loudspeaker"
_DESK = "audio console"
_SOUND = frozenset({"sound", "digital sound"})
_CODE = "LTC"

_OFF_SPEED = Fraction(5, 100)
"""Beyond this a picture is slow or fast motion by intent; 24 to 25 is a conversion."""

_SONG = Fraction(240)
"""Seconds of a song by which a cost is told where nobody says how long a roll is."""

_AS_IT_STANDS = "what is played runs at its own speed unless stated (common practice, no source)"
_RATIO = Source("speed of playback = shot at ÷ played at: exact arithmetic", Confirmed.ARITHMETIC)


# --- at what speed ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Sung:
    """A camera that shoots to a playback."""

    player: Device
    camera: Device
    shot: Fact[Rate]
    played: Fact[Rate]
    roll: Roll | None

    @property
    def wanted(self) -> Fraction | None:
        """The speed at which the playback has to run for this camera."""
        if self.shot.value is None or self.played.value is None:
            return None
        return playback_speed(self.shot.value.fps, self.played.value.fps)

    @property
    def off_speed(self) -> bool:
        """Whether the playback runs at a wholly different speed: one of the two is not meant for the other."""
        wanted, speed = self.wanted, self.speed.value
        return wanted is not None and speed is not None and abs(wanted / speed - 1) > _OFF_SPEED

    @property
    def speed(self) -> Fact[Fraction]:
        """The speed at which it runs."""
        return self.player.plays_speed.else_assume(Fraction(1), _AS_IT_STANDS)


def plays(device: Device) -> bool:
    """Whether a device plays back what is sung or acted to."""
    facts = (device.plays_speed, device.plays_timecode, device.plays_tracks)
    return device.cls.value == PLAYBACK or any(fact.written for fact in facts)


@rule(
    Record(
        name="playback-at-the-wrong-speed",
        summary="What is sung to is not played at the rate of the shoot over the rate of the file",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "A picture shot at 24 and played at 23.976 is slowed by a thousandth, so the song must run a thousandth "
            "fast on set. For slow motion it is the same sum: 48 for 23.976 wants 2.002 times, 47.952 exactly twice. "
            "The beginning of the song is always right; its end is not."
        ),
        sources=(_RATIO, PRACTICE),
        answers=("playback speed not equal to shooting rate over finishing rate",),
    )
)
def playback_at_the_wrong_speed(case: Case) -> Iterator[Yielded]:
    """Compare the speed of a playback with that which each camera that shoots to it needs."""
    record = playback_at_the_wrong_speed.record
    for key, device in case.setup.devices.items():
        if not plays(device):
            continue
        told: set[object] = set()
        for sung in _meant(list(_sung(case, key))):
            wanted, speed = sung.wanted, sung.speed
            if wanted is None or speed.value is None or (wanted != 1 and sung.played.assumed):
                continue
            off = abs(speed.value - wanted)
            length = sung.roll.length if sung.roll is not None else case.take_seconds or _SONG / wanted
            like = (sung.camera.key, wanted, speed.place, sung.roll is None)
            if off * length > (case.tolerance or Fraction(1, 25)) and like not in told:
                told.add(like)
                yield _finding(case, sung, wanted, speed)
        if not told and _nobody_says_who(case, key):
            lacks = f"which rolls are shot to what {device.called} plays (days: events: do: roll, of)"
            yield Unjudged(record, device.place, lacks, (device.called,))


def _sung(case: Case, key: str) -> Iterator[_Sung]:
    """The cameras that shoot to a playback: those of its rolls; without any rolls, those of its unit."""
    for roll in case.run.rolls:
        if key in roll.devices:
            player = case.run.at(key, roll.start).device
            for each in roll.devices:
                yield from _camera(player, case.run.at(each, roll.start).device, roll)
    if not case.run.rolls:
        for each in case.domains.get(case.domain_of(key), ()):
            yield from _camera(case.setup.devices[key], case.setup.devices[each], None)


def _camera(player: Device, device: Device, roll: Roll | None) -> Iterator[_Sung]:
    picture = device.picture
    if picture is not None and not picture.variable.value and not device.trigger.value and device is not player:
        yield _Sung(player, device, picture.shot_at, picture.played_at, roll)


def _meant(sung: list[_Sung]) -> Iterator[_Sung]:
    """The cameras that are there for their lips: not one in slow motion beside one that the playback is right for."""
    for each in sung:
        beside = [other for other in sung if other.roll is each.roll and other is not each]
        right = any(other.wanted == other.speed.value for other in beside)
        unsaid = each.roll is None and (each.speed.assumed or any(other.wanted != each.wanted for other in beside))
        if not (each.off_speed and (right or unsaid)):
            yield each


def _nobody_says_who(case: Case, key: str) -> bool:
    """Whether no roll is said to be shot to a playback that some camera would need at another speed."""
    if any(key in roll.devices for roll in case.run.rolls):
        return False
    player = case.setup.devices[key]
    cameras = (case.setup.devices[each] for each in case.domains.get(case.domain_of(key), ()))
    sung = (each for device in cameras for each in _camera(player, device, None))
    return any(each.wanted is not None and each.wanted != each.speed.value for each in sung)


def _finding(case: Case, sung: _Sung, wanted: Fraction, speed: Fact[Fraction]) -> Finding:
    """The finding on a playback that runs too fast or too slow for a camera."""
    player, runs = sung.player, speed.value or Fraction(1)
    shot = sung.shot.value.name if sung.shot.value else "?"
    played = sung.played.value.name if sung.played.value else "?"
    when = f" in {rolls_told(case, [sung.roll])}" if sung.roll is not None else ""
    how = "as it stands" if speed.assumed else f"at {say_speed(runs)}"
    return playback_at_the_wrong_speed.record.finding(
        at=speed.place if speed.stated else player.place,
        says=f"{player.called} plays {how}{when} to {WHO}, shot at {shot} for {played}, which "
        f"{either('needs', 'need')} {say_speed(wanted)}",
        who=(sung.camera.called,),
        cause=("playback", player.key, runs, wanted, sung.roll.start if sung.roll else None),
        costs=_cost(case, sung, wanted, runs),
        fix=Fix(
            f"Play a version made at {say_speed(wanted)} ({shot} ÷ {played}), with the ratio in the name of the file, "
            "and test one verse against a clip",
            _set_speed(player, speed, wanted),
        ),
        decided_by=(speed, sung.shot, sung.played),
        also=(Mention(sung.shot.place, f"{sung.camera.called} shoots at {shot}"),),
        mended=Mended.SET if speed.place.path[:1] == ("days",) else None,
    )


def say_speed(speed: Fraction) -> str:
    """A speed of playback: `1.001 times`, `normal speed`, `twice the speed`."""
    named = {Fraction(1): "normal speed", Fraction(2): "exactly twice the speed"}
    return named.get(speed) or f"{say_number(speed, 6)} times normal speed"


def _cost(case: Case, sung: _Sung, wanted: Fraction, runs: Fraction) -> Cost:
    """How far song and picture are apart at the end."""
    real = sung.roll.length if sung.roll is not None else case.take_seconds
    film = real * wanted if real is not None else _SONG
    apart = film * abs(runs / wanted - 1)
    what = f"a song of {say_duration(film)}"
    if sung.roll is not None:
        what = f"the {say_duration(film)} of film that the roll makes"
    elif real is not None:
        what = f"the longest take of {say_duration(real)}"
    side = "after" if runs < wanted else "before"
    rate = sung.played.value
    frames = f" ({say_number(apart * rate.fps, 2)} frames at {rate.name})" if rate is not None else ""
    return Cost(
        f"at the end of {what} the lips are {say_duration(apart)}{frames} {side} the song",
        (
            Amount("song and lips apart", float(apart * 1000), "ms"),
            Amount("speed wanted", float(wanted), "times"),
        ),
        float(apart),
    )


def _set_speed(player: Device, speed: Fact[Fraction], wanted: Fraction) -> tuple[Edit, ...]:
    """The edit that gives a playback the speed that is wanted."""
    if speed.stated:
        return (SetValue(speed.place, str(wanted)),)
    if speed.place.path[-1:] == ("plays",):
        return (AddKey(speed.place, "speed", str(wanted)),)
    return (AddKey(player.handover.place, "plays", f"{{speed: {wanted}}}"),)


# --- what is heard ---------------------------------------------------------------------------------------------


@rule(
    Record(
        name="timecode-into-the-loudspeakers",
        summary="An output of the playback that carries its timecode track goes to loudspeakers",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why=(
            "Timecode as sound is a shrill tone at the level of the music. From a jack with music on one side and "
            "timecode on the other it reaches whatever that jack feeds, and a fader, a tone control or a time stretch "
            "on its way makes it unreadable as well. It startles people and can hurt ears: check lines at low level "
            "with nobody near the loudspeakers, and keep to the local rules on sound level."
        ),
        sources=(PRACTICE,),
        answers=("LTC of the playback file reaches loudspeakers",),
    )
)
def timecode_into_the_loudspeakers(case: Case) -> Iterator[Yielded]:
    """A lead for sound from an output with the timecode track leads to a loudspeaker, over a console or not."""
    record = timecode_into_the_loudspeakers.record
    for device in case.setup.devices.values():
        tracks = device.plays_tracks.value or {}
        code = [track for track, what in tracks.items() if "ltc" in what.lower() or "timecode" in what.lower()]
        for link in case.setup.links if code else ():
            if link.source.device != device.key or link.carries.value not in {*_SOUND, _CODE}:
                continue
            ends, desks = _reached(case, link)
            with_code = _carries(device, link, code)
            if with_code is None and (ends or desks):
                lacks = f"which tracks come out of {link.source} (able: ports: channels)"
                yield Unjudged(record, device.place, lacks, (device.called,))
            elif with_code and ends:
                yield _heard(case, device, link, code, (ends, desks))
            elif with_code and desks:
                says = f"{listed(desks)}: the timecode of {WHO} comes in with the music: mute and tape its fader"
                yield CheckLine(record, Mended.MORNING, says, (device.called,), link.place)


def _carries(device: Device, link: Link, code: list[str]) -> bool | None:
    """Whether the timecode track comes out of the socket that a lead begins at; None where nobody says."""
    port = device.ports.get(link.source.port)
    channels = port.electrics.channels.value if port is not None else None
    if link.carries.value == _CODE:
        return True
    if channels:
        return not set(code).isdisjoint(channels.values())
    if port is not None and "LTC" in (port.gives.value or ()):
        return True
    others = [each for each in device.ports.values() if each.gives.value and each is not port]
    return None if others or port is None else True


def _reached(case: Case, link: Link) -> tuple[list[str], list[str]]:
    """The loudspeakers that a lead for sound leads to, and the consoles on the way."""
    ends: dict[str, None] = {}
    desks: dict[str, None] = {}
    pending, seen = [link.target], {link.target}
    while pending:
        here = pending.pop()
        device = case.setup.devices[here.device]
        if device.cls.value == _LOUD:
            ends[device.called] = None
        if device.cls.value == _DESK:
            desks[device.called] = None
        for each in case.setup.links:
            onward = each.source.device == here.device and each.carries.value in _SOUND and each.target not in seen
            if onward and _leads_on(device, here, each):
                seen.add(each.target)
                pending.append(each.target)
    return list(ends), list(desks)


def _leads_on(device: Device, here: End, onward: Link) -> bool:
    """Whether what comes in at a socket goes out by a lead: along what a through-thing passes, and out of a console."""
    if device.through:
        return onward.source.port in device.passes.get(here.port, ())
    return device.cls.value == _DESK


def _alone(device: Device, link: Link, code: list[str]) -> bool:
    """Whether nothing but timecode comes along a lead."""
    port = device.ports.get(link.source.port)
    channels = port.electrics.channels.value if port is not None else None
    return link.carries.value == _CODE or (bool(channels) and set((channels or {}).values()) <= set(code))


def _heard(case: Case, device: Device, link: Link, code: list[str], way: tuple[list[str], list[str]]) -> Finding:
    """The finding on timecode that is heard; on a channel of its own at a console that is a matter of its faders."""
    ends, desks = way
    faded = bool(desks) and _alone(device, link, code)
    between = case.setup.called(link.target.device)
    by = "" if between in ends else f" by way of {between}"
    count = len(ends)
    return timecode_into_the_loudspeakers.record.finding(
        at=link.place,
        level=Level.WARNING if faded else None,
        says=f"{WHO} {either('plays', 'play')} LTC on track {code[0]}, and {link.source} sends it "
        f"{'' if _alone(device, link, code) else 'with the music '}to {listed(ends)}{by}",
        who=(device.called,),
        cause=("heard", link.place),
        costs=Cost(
            f"with its fader up the tone comes out of {listed(ends)} before everybody on set, who may be startled or "
            "hurt"
            if faded
            else f"the tone comes out of {listed(ends)} at the level of the music, before everybody on set, who may be "
            "startled or hurt; and the code follows every fader that the music goes through",
            (Amount("loudspeakers with timecode", count, "devices"),),
        ),
        fix=Fix(
            f"Take the LTC of {WHO} out of the mains at {listed(desks)}, mute and tape its fader, and check the line "
            "with the loudspeakers off"
            if faded
            else f"Take music and LTC from {WHO} by an output each, the LTC straight to what reads it; check the lines "
            "at low level with nobody near the loudspeakers"
        ),
        decided_by=(device.plays_tracks,),
        also=(Mention(device.plays_tracks.place, f"LTC is on track {code[0]}"),),
    )


RULES: tuple[Rule, ...] = (playback_at_the_wrong_speed, timecode_into_the_loudspeakers)
