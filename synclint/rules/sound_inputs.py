"""What a sound input does to LTC that comes in there: automatic gain, limiters, filters and the like."""

from __future__ import annotations

from collections.abc import Iterator
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
    Record,
    Source,
    Standing,
    Unjudged,
    either,
    listed,
)
from synclint.rig.assumed import MICROPHONE_NOMINAL
from synclint.rig.line_parts import InputKind
from synclint.rig.model import Device, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import Arrival, arrivals, line_of, lines_of, say_db, set_on_socket, socket
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.levels import dbu
from synclint.trade.quantities import say_number
from synclint.trade.rates import Rate

# --- automatic gain ---------------------------------------------------------------------------------------------


@rule(
    Record(
        name="automatic-gain-on-timecode",
        summary="An input that records LTC sets its gain itself",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="LTC never stops, so automatic gain settles on it. Where it is linked to the other channel, the scratch "
        "microphone goes down with it by tens of decibels; at each start it pumps, and the first labels are lost.",
        sources=(PRACTICE,),
        answers=("automatic gain on the timecode channel", "automatic gain linked to the scratch channel"),
    )
)
def automatic_gain_on_timecode(case: Case) -> Iterator[Yielded]:
    """Find inputs with automatic gain that LTC is recorded from; linked to what is recorded beside it is an error."""
    for arrival in arrivals(case):
        gain = arrival.port.electrics.gain
        if not arrival.as_sound:
            continue
        if gain.value is None and _may_be_automatic(arrival):
            lacks = f"whether the gain at {socket(arrival.device, arrival.port.key)} is fixed (ports: gain)"
            yield Unjudged(automatic_gain_on_timecode.record, arrival.port.place, lacks, (arrival.device.called,))
        elif gain.value == "automatic":
            yield _automatic(case, arrival, gain)


def _may_be_automatic(arrival: Arrival) -> bool:
    """Whether an input of which nobody says it is likely to set its gain itself: the microphone input of a camera."""
    return arrival.device.picture is not None and arrival.kind is InputKind.MICROPHONE


def _automatic(case: Case, arrival: Arrival, gain: Fact[str]) -> Finding:
    """The finding on automatic gain."""
    electrics, beside = arrival.port.electrics, listed(arrival.beside)
    linked = bool(electrics.gain_linked.value) and bool(beside)
    down, facts = _pulled_down(case, arrival)
    pull = f" by some {say_db(down)}" if down is not None else ""
    cost = "the gain pumps at each start, and the first labels of every clip are lost"
    if linked:
        cost = f"the LTC turns the {beside} down{pull}, so that it is no help where a label fails; {cost}"
    able = not (gain.written and "able" in gain.place.path[2:]) and gain.place.span.file == case.setup.file
    return automatic_gain_on_timecode.record.finding(
        at=gain.place,
        level=Level.ERROR if linked else None,
        says=f"{WHO} {either('records', 'record')} LTC from {arrival.port.key} with automatic gain"
        + (f" that is linked to the {beside} beside it" if linked else ""),
        who=(arrival.device.called,),
        cause=(arrival.port.key, linked, beside, able),
        costs=Cost(
            f"{cost}, for {a_day(case)}",
            (Amount("pulled down by", down, "dB"),) if down is not None else (),
            down or 0.0,
        ),
        fix=Fix(
            f"Set the gain of {WHO} by hand until LTC stands at -20 to -12 dBFS, and unlink the two channels",
            set_on_socket(case, arrival.port, gain, "gain", "fixed"),
        )
        if able
        else Fix(
            f"{WHO} {either('has', 'have')} no fixed gain there: feed LTC into another input, or take another body"
        ),
        numbers_from=facts,
    )


def _pulled_down(case: Case, arrival: Arrival) -> tuple[float | None, tuple[Fact[Any], ...]]:
    """By how much automatic gain that was made for a microphone goes down when it hears LTC instead."""
    line = line_of(case, arrival)
    stands = lines_of(case).stands(line, arrival.link.target) if line is not None else None
    if stands is None or not stands.volts:
        return None, ()
    down = dbu(stands.volts) - float(MICROPHONE_NOMINAL.usual)
    nominal = Fact(MICROPHONE_NOMINAL.usual, arrival.port.place, Standing.ASSUMED, why=MICROPHONE_NOMINAL.why)
    return (down if down > 0 else None), (*stands.rests_on, nominal)


# --- processing -------------------------------------------------------------------------------------------------

_REMOVES = frozenset({"noise reduction", "noise gate", "voice isolation"})
"""What takes LTC for noise and takes it out; the rest only bends it."""

_LIMITER_SLEEPS_BELOW = Fraction(-12)
"""LTC recorded no louder than this, in dBFS, does not reach the threshold of a limiter."""


@rule(
    Record(
        name="sound-processing-on-timecode",
        summary="LTC passes a limiter, a filter or noise reduction before it is recorded",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="LTC is a whistle of 40 to 80 times the frame rate with sharp edges. Noise reduction and voice isolation "
        "take it out as noise; limiters, filters and equalisers round or move its edges, and labels drop out.",
        sources=(
            Source("LTC has 80 bits a frame: zeros at 40, ones at 80 times the rate", Confirmed.LIBRARY),
            Source("Timecode is kept from sound processing, common practice, no source", Confirmed.PRACTICE),
        ),
        answers=("limiter, low cut, wind filter, noise reduction or equaliser on the timecode path",),
    )
)
def sound_processing_on_timecode(case: Case) -> Iterator[Yielded]:
    """Find what is switched on at the input that records LTC, and at what it passes on its way there."""
    for arrival in arrivals(case):
        if not arrival.as_sound:
            continue
        on = [each for each in _on_the_way(case, arrival) if _does_harm(each[1], arrival)]
        for device, port in on:
            yield _processed(case, arrival, device, port)
        own = arrival.port.electrics.processing
        if own.value is None and not on:
            yield CheckLine(
                sound_processing_on_timecode.record,
                Mended.MORNING,
                f"In the sound menu of {WHO} switch off limiter, low cut, wind filter and noise reduction for LTC",
                (arrival.device.called,),
                arrival.port.place,
            )


def _on_the_way(case: Case, arrival: Arrival) -> Iterator[tuple[Device, Port]]:
    """The inputs that LTC passes on its way to a device, its own the last."""
    for feed in case.timecode.arriving.get(arrival.device.key, ()):
        if feed.last is arrival.link:
            for link in feed.links[:-1]:
                device = case.setup.devices[link.target.device]
                port = device.ports.get(link.target.port)
                if port is not None:
                    yield device, port
    yield arrival.device, arrival.port


def _harmful(port: Port, arrival: Arrival) -> tuple[str, ...]:
    """What is switched on at an input that does LTC harm."""
    on = port.electrics.processing.value or ()
    at = arrival.port.electrics.recorded_at.value
    sleeps = at is not None and at <= _LIMITER_SLEEPS_BELOW
    return tuple(each for each in on if not (sleeps and each in ("limiter", "compressor")))


def _does_harm(port: Port, arrival: Arrival) -> bool:
    return bool(_harmful(port, arrival))


def _processed(case: Case, arrival: Arrival, device: Device, port: Port) -> Finding:
    """The finding on an input with something switched on."""
    harmful, on = _harmful(port, arrival), port.electrics.processing
    removes = [each for each in harmful if each in _REMOVES]
    left = tuple(each for each in on.value or () if each not in harmful)
    rate = _rate(case, arrival)
    low, high = (rate.fps * 40, rate.fps * 80) if rate is not None else (None, None)
    tones = f"the code lies between {_hertz(low)} and {_hertz(high)}: " if low and high else ""
    one = len(harmful) == 1
    does = f"{listed(harmful)} {'rounds or shifts' if one else 'round or shift'} its edges, and labels drop out"
    if removes:
        take = "takes" if len(removes) == 1 else "take"
        does = f"{listed(removes)} {take} that for noise and {take} it out"
    where = socket(device, port.key) if device is not arrival.device else f"{port.key} of {WHO}"
    return sound_processing_on_timecode.record.finding(
        at=on.place,
        level=None if removes else Level.WARNING,
        says=f"{listed(harmful)} {'is' if one else 'are'} switched on at {where}, where LTC comes in to be recorded",
        who=(arrival.device.called,),
        cause=(harmful, port.key, device.key if device is not arrival.device else ""),
        costs=Cost(
            f"{tones}{does}; clips of {WHO} may not decode, for {a_day(case)}",
            (Amount("lowest tone", float(low), "Hz"), Amount("highest tone", float(high), "Hz"))
            if low and high
            else (),
        ),
        fix=Fix(
            f"Switch {listed(harmful)} off at {where} and play a test clip back",
            set_on_socket(case, port, on, "processing", f"[{', '.join(left)}]"),
        ),
    )


def _rate(case: Case, arrival: Arrival) -> Rate | None:
    """The rate of the LTC words that arrive: above 30 frames a second one stands for two frames."""
    own = case.setup.devices[case.timecode.root_of(arrival.source.key).device].timecode.rate
    label = own.value or case.setup.project.rate.value
    return label.rate.counted if label is not None else None


def _hertz(value: Fraction) -> str:
    return f"{say_number(Fraction(round(value)), 4)} Hz"


RULES: tuple[Rule, ...] = (automatic_gain_on_timecode, sound_processing_on_timecode)
