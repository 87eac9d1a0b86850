"""LTC that leaks into sound: in one cable with it, or on the track next to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from synclint.findings import (
    WHO,
    Amount,
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
    Standing,
    either,
    listed,
    shortened,
)
from synclint.rig.assumed import MICROPHONE_NOMINAL, SEPARATION
from synclint.rig.line_parts import InputKind, input_kind
from synclint.rig.model import Device, Link, SoundSide
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import (
    LTC,
    Arrival,
    arrivals,
    flow,
    line_of,
    lines_of,
    on_lead,
    say_db,
    say_dbfs,
    say_dbu,
)
from synclint.rules.timecode_tracks import TARGET
from synclint.rules.wording import PRACTICE
from synclint.trade.levels import dbu
from synclint.trade.quantities import say_number

_FREE = frozenset({LTC, "scratch", "none", "empty", "nothing"})
"""What may lie beside LTC: nobody uses it as sound."""

_AUDIBLE_FROM = Fraction(-70)
"""From this level on, in dBFS, a whistle is heard in a quiet scene once dialogue has been brought up."""

_HIDDEN_BY = 60.0
"""A whistle so many decibels below speech is not heard any more."""


@rule(
    Record(
        name="timecode-leaks-into-sound",
        summary="LTC shares a cable with sound, or lies on the track beside sound that is used",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="LTC at -12 dBFS with 50 dB between neighbours leaves a chirp at -62 dBFS, between 1 and 5 kHz where the "
        "ear is keenest; quiet scenes brought up in the mix let it be heard.",
        sources=(PRACTICE,),
        answers=("timecode in one cable with sound", "timecode on the track beside dialogue"),
    )
)
def timecode_leaks_into_sound(case: Case) -> Iterator[Yielded]:
    """Join what shares a cable, and what lies on neighbouring tracks, with how loud LTC is there."""
    yield from _in_one_cable(case)
    for arrival in arrivals(case):
        device = arrival.device
        if arrival.as_sound and device.sound is not None:
            yield from _beside_on_tracks(case, arrival, device, device.sound)


# --- in one cable -----------------------------------------------------------------------------------------------


def _in_one_cable(case: Case) -> Iterator[Finding]:
    sound: dict[str, list[Link]] = {}
    for link in case.setup.links:
        name = link.lead.cable.value if link.lead is not None else None
        if name is not None and link.carries.value == "sound":
            sound.setdefault(name, []).append(link)
    for arrival in arrivals(case) if sound else ():
        lead = arrival.link.lead
        name = lead.cable.value if lead is not None else None
        for link in sound.get(name or "", ()):
            found = _shared(case, arrival, link, name or "")
            if found is not None:
                yield found


def _shared(case: Case, arrival: Arrival, beside: Link, name: str) -> Finding | None:
    """The finding on LTC in one cable with a microphone, where its leak is heard."""
    device = case.setup.devices[beside.target.device]
    port = device.ports.get(beside.target.port)
    if port is None or input_kind(device, port) is InputKind.LINE:
        return None
    line = line_of(case, arrival)
    stands = lines_of(case).stands(line, arrival.link.target) if line is not None else None
    volts = stands.volts if stands is not None else None
    if not volts:
        return None
    leak = dbu(volts) - float(SEPARATION.usual)
    below = float(MICROPHONE_NOMINAL.usual) - leak
    if below >= _HIDDEN_BY:
        return None
    place = beside.lead.cable.place if beside.lead is not None else beside.place
    facts: list[Fact[Any]] = [
        Fact(spread.usual, place, Standing.ASSUMED, why=spread.why) for spread in (SEPARATION, MICROPHONE_NOMINAL)
    ]
    apart = f"{say_number(Fraction(round(abs(below) * 10), 10))} dB {'below' if below >= 0 else 'above'} speech"
    return timecode_leaks_into_sound.record.finding(
        at=arrival.link.place,
        says=f"the LTC from {arrival.source.called} to {WHO} runs in one cable ({shortened(name)}) with the microphone "
        f"{case.setup.called(beside.source.device)}",
        who=(arrival.device.called,),
        cause=("cable", name, beside.target),
        also=(Mention(beside.place, "the microphone's lead"),),
        costs=Cost(
            f"the LTC at {say_dbu(volts)} leaves some {say_number(Fraction(round(leak)))} dBu on the microphone's "
            f"wires, {apart}: a chirp under every line that {device.called} records",
            (Amount("leak below speech", below, "dB"), Amount("leak", leak, "dBu")),
            -below,
        ),
        fix=Fix(
            f"Run LTC to {WHO} in a lead of its own, as low as it still decodes, and listen on headphones at take 1",
            _own_cable(case, arrival),
        ),
        decided_by=facts,
    )


def _own_cable(case: Case, arrival: Arrival) -> tuple[Edit, ...]:
    lead = arrival.link.lead
    return on_lead(case, arrival.link, lead.cable if lead is not None else None, "cable", "own lead for timecode")


# --- on neighbouring tracks -------------------------------------------------------------------------------------


def _beside_on_tracks(case: Case, arrival: Arrival, device: Device, sound: SoundSide) -> Iterator[Finding]:
    tracks = sound.tracks.value or {}
    used = [track for track, what in tracks.items() if what not in _FREE and _next_to_timecode(track, tracks)]
    if not used:
        return
    at = arrival.port.electrics.recorded_at.else_assume(TARGET[1], f"LTC is recorded at {say_dbfs(TARGET[1])} at most")
    apart = sound.separation.else_assume(SEPARATION.usual, SEPARATION.why)
    if at.value is None or apart.value is None:
        return
    leak = at.value - apart.value
    if leak < _AUDIBLE_FROM:
        return
    what = listed(dict.fromkeys(tracks[track] for track in used))
    far = _far_track(tracks, sound)
    jack = set(tracks) <= {"left", "right"}
    yield timecode_leaks_into_sound.record.finding(
        at=sound.tracks.place,
        # Of a recorder with many tracks nobody says that they leak; the two sides of one jack do.
        level=Level.NOTE if apart.assumed and not jack else None,
        says=f"{WHO} {either('records', 'record')} LTC on the track beside {what}",
        who=(device.called,),
        cause=("tracks", what, leak, far),
        costs=Cost(
            f"the LTC at {say_dbfs(at.value)} with {say_db(float(apart.value))} between neighbours leaves a chirp at "
            f"{say_dbfs(leak)} in the {what}, heard in quiet scenes once dialogue is brought up",
            (Amount("leak", float(leak), "dBFS"),),
            float(leak),
        ),
        fix=_moved(case, device, sound, far),
        decided_by=(apart,),
        numbers_from=(at,),
    )


def _next_to_timecode(track: str, tracks: Mapping[str, str]) -> bool:
    """Whether a track has one with LTC as its neighbour."""
    if track in ("left", "right"):
        return tracks.get({"left": "right", "right": "left"}[track]) == LTC
    number = _number(track)
    return any(_number(other) in (number - 1, number + 1) and what == LTC for other, what in tracks.items())


def _number(track: str) -> int:
    return int(track.removeprefix("track ")) if track.startswith("track ") else -9


def _far_track(tracks: Mapping[str, str], sound: SoundSide) -> str | None:
    """A free track with no sound on either side, to which LTC can move."""
    count = sound.track_count.value or 0
    taken = {_number(track) for track, what in tracks.items() if what != LTC and what not in _FREE}
    busy = {_number(track) for track in tracks}
    free = (n for n in range(count, 0, -1) if n not in busy and not {n - 1, n + 1} & taken)
    number = next(free, None)
    return f"track {number}" if number is not None else None


def _moved(case: Case, device: Device, sound: SoundSide, far: str | None) -> Fix:
    """LTC on a track further away, or lower."""
    if far is None:
        return Fix(
            f"Lower LTC on {WHO} to the lowest that decodes and listen on headphones at take 1, or give the track "
            "beside it to scratch only"
        )
    tracks = {track: what for track, what in (sound.tracks.value or {}).items() if what != LTC}
    edits: tuple[Edit, ...] = ()
    if sound.tracks.place.span.file == case.setup.file:
        edits = (SetValue(sound.tracks.place, flow({**tracks, far: LTC})),)
        on, moved = device.timecode_on, [track for track, what in (sound.tracks.value or {}).items() if what == LTC]
        if set(moved) & set(on.value or ()):
            kept = [each for each in on.value or () if each not in moved]
            edits = (*edits, SetValue(on.place, f"[{', '.join([*kept, far])}]"))
    return Fix(f"Move LTC on {WHO} to {far}, tell post, and listen on headphones at take 1", edits)


RULES: tuple[Rule, ...] = (timecode_leaks_into_sound,)
