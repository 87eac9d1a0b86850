"""LTC recorded with a lossy coding, and LTC sent over a radio that is made for sound."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
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
    Standing,
    Unjudged,
    either,
    listed,
    shortened,
)
from synclint.rig.assumed import RADIO_DELAY
from synclint.rig.model import Device, End, Link
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import LTC
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.quantities import say_duration, say_number

# --- lossy coding -----------------------------------------------------------------------------------------------

_WHOLE = re.compile(r"pcm|lossless|flac|alac|wave?\b", re.IGNORECASE)
"""Codings without loss."""
_SPEECH = re.compile(r"speech|voice|\bamr\b|\bgsm\b|\bg\.7\d\d|\bsilk\b", re.IGNORECASE)
"""Codings made for speech."""
_KBITS = re.compile(r"([0-9]{1,6}(?:\.[0-9]+)?) *kbit/s", re.IGNORECASE)

_SURVIVES_FROM = 128
"""From how many kbit/s on a general coding normally leaves LTC readable (common practice, no source)."""
_LOST_BELOW = 64


@rule(
    Record(
        name="timecode-in-lossy-sound",
        summary="LTC is recorded with a coding for speech or at a low bit rate",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A coding with loss keeps what the ear hears, and a decoder listens to edges. At 128 kbit/s and more LTC "
        "normally survives; below, and with codings for speech, it does in one clip and not in the next.",
        sources=(PRACTICE,),
        answers=("voice-grade or lossy coding",),
    )
)
def timecode_in_lossy_sound(case: Case) -> Iterator[Yielded]:
    """Compare the coding of each recording that keeps LTC as sound with what a decoder needs."""
    record = timecode_in_lossy_sound.record
    for device in case.setup.devices.values():
        sound = device.sound
        if sound is None or LTC not in (sound.tracks.value or {}).values() or not sound.coding.value:
            continue
        coding = sound.coding.value
        rate, speech = _KBITS.search(coding), _SPEECH.search(coding) is not None
        if _WHOLE.search(coding) and not speech:
            continue
        if rate is None and not speech:
            lacks = f"the bit rate of {shortened(coding)} on {device.called} (coding: AAC 128 kbit/s)"
            yield Unjudged(record, sound.coding.place, lacks, (device.called,))
        elif speech or (rate is not None and float(rate[1]) < _SURVIVES_FROM):
            yield _lossy(case, device, sound.coding, float(rate[1]) if rate is not None else None, speech=speech)
        else:
            says = (
                f"Have post read a test clip of 10 s of {WHO}: LTC in {shortened(coding)} normally survives, not always"
            )
            yield CheckLine(record, Mended.TEST_DAY, says, (device.called,), sound.coding.place)


def _lossy(case: Case, device: Device, coding: Fact[str], kbits: float | None, *, speech: bool) -> Finding:
    """The finding on a coding that LTC does not survive."""
    name = shortened(coding.value or "")
    grave = speech or (kbits is not None and kbits < _LOST_BELOW)
    why = "which is made for speech" if speech else f"and LTC wants {_SURVIVES_FROM} kbit/s or more"
    settable = coding.place.span.file == case.setup.file and "able" not in coding.place.path[2:]
    amounts = (Amount("bit rate", kbits, "kbit/s"),) if kbits is not None else ()
    return timecode_in_lossy_sound.record.finding(
        at=coding.place,
        level=Level.ERROR if grave else None,
        says=f"{WHO} {either('records', 'record')} LTC in {name}, {why}",
        who=(device.called,),
        cause=(name, settable),
        costs=Cost(
            f"the labels of {WHO} decode in one clip and not in the next, for {a_day(case)}",
            (*amounts, Amount("devices in doubt", 1, "devices")),
            -(kbits or 0.0),
        ),
        fix=Fix(
            f"Set the sound of {WHO} to linear PCM, and have post read a clip of 10 s",
            (SetValue(coding.place, "PCM"),) if settable else (),
        ),
        decided_by=(coding,),
    )


# --- sound radio ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Hop:
    """LTC on its way over a radio for sound: into the sender, over the air, out of the receiver to a device."""

    into: Link
    air: Link
    out: Link


@rule(
    Record(
        name="timecode-over-a-sound-radio",
        summary="LTC goes over a radio that is made for sound",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why="Squeezing and widening the level bends the edges of LTC, a drop-out cuts frames out of it, and a digital "
        "hop delays it by some 2 to 20 ms beside the picture. A generator on the camera has none of that.",
        sources=(Source("Sound radios and timecode, common practice, no source", Confirmed.PRACTICE),),
        answers=("timecode over a wireless sound hop",),
    )
)
def timecode_over_a_sound_radio(case: Case) -> Iterator[Yielded]:
    """Follow LTC into senders of sound, and out of what receives them."""
    for hop in _hops(case):
        yield _by_air(case, hop)


def _hops(case: Case) -> Iterator[_Hop]:
    air: dict[End, list[Link]] = {}
    leads: dict[End, list[Link]] = {}
    for link in case.setup.links:
        if link.by == "radio" and link.carries.value == "sound":
            air.setdefault(link.source, []).append(link)
        elif link.by == "lead":
            leads.setdefault(link.source, []).append(link)
    if not air:
        return
    for into in case.setup.links:
        device = case.setup.devices[into.target.device]
        if into.by != "lead" or into.carries.value != LTC:
            continue
        for sender in device.passes.get(into.target.port, ()):
            for hop in air.get(End(device.key, sender), ()):
                receiver = case.setup.devices[hop.target.device]
                outs = receiver.passes.get(hop.target.port, ())
                for out in (lead for each in outs for lead in leads.get(End(receiver.key, each), ())):
                    yield _Hop(into, hop, out)


def _by_air(case: Case, hop: _Hop) -> Finding:
    """The finding on LTC that arrives over a sound radio."""
    devices = case.setup.devices
    sender, receiver, end = (
        devices[hop.air.source.device],
        devices[hop.air.target.device],
        devices[hop.out.target.device],
    )
    rate = case.setup.project.rate.value
    compands = _compands(sender, hop.air.source, receiver, hop.air.target)
    delay, facts = _delay(case, sender, receiver, digital=not compands)
    frame = rate.rate.frame if rate is not None else None
    amounts = [Amount("late by", float(delay * 1000), "ms")] if delay is not None else []
    amounts += [Amount("late by", float(delay / frame), "frames")] if delay is not None and frame else []
    parts = []
    if delay:
        share = f" ({say_number(delay / frame)} frames)" if frame else ""
        about = "some 2 to 20 ms" if any(fact.assumed for fact in facts) else f"{say_duration(delay)}{share}"
        parts.append(f"its labels come {about} late")
    if compands:
        parts.append("the radio squeezes the level and bends its edges")
    parts.append("each drop-out cuts frames out of it")
    harmless = compands is False and delay is not None and frame is not None and delay < frame / 2
    return timecode_over_a_sound_radio.record.finding(
        at=hop.into.place,
        level=Level.WARNING if harmless and not any(fact.assumed for fact in facts) else None,
        says=f"{WHO} {either('gets its', 'get their')} LTC over a sound radio, from {sender.called} to "
        f"{receiver.called}",
        who=(end.called,),
        cause=("air", hop.air.source, compands, delay),
        also=(Mention(hop.air.place, "the radio"), Mention(hop.out.place, f"the lead to {end.called}")),
        costs=Cost(f"{listed(parts)}, for {a_day(case)}", tuple(amounts), float(delay or 0)),
        fix=Fix(
            f"Put a generator on {WHO} and jam it by lead, or by a radio for timecode; if the radio must carry LTC, "
            "send the scratch sound over it too, so that both are late alike"
        ),
        numbers_from=facts,
    )


def _delay(
    case: Case, sender: Device, receiver: Device, *, digital: bool
) -> tuple[Fraction | None, tuple[Fact[Any], ...]]:
    """How many seconds the hop takes; where nobody says, what a digital one usually does."""
    rate = case.setup.project.rate.value
    stated = [fact for fact in (sender.delay, receiver.delay) if fact.value is not None]
    known = [fact.value.in_seconds(rate.rate) for fact in stated if fact.value is not None and rate is not None]
    if known:
        return sum(known, Fraction(0)), tuple(stated)
    if not digital:
        return None, ()
    fact = Fact(RADIO_DELAY.usual, sender.place, Standing.ASSUMED, why=RADIO_DELAY.why)
    return RADIO_DELAY.usual / 1000, (fact,)


def _compands(sender: Device, out: End, receiver: Device, into: End) -> bool | None:
    """Whether the hop squeezes the level; None where neither end says."""
    ports = (sender.ports.get(out.port), receiver.ports.get(into.port))
    said = [port.electrics.compands.value for port in ports if port is not None]
    known = [each for each in said if each is not None]
    return any(known) if known else None


RULES: tuple[Rule, ...] = (timecode_in_lossy_sound, timecode_over_a_sound_radio)
