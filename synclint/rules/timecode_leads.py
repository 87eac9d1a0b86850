"""What the rules about leads with timecode say alike: where LTC arrives by wire, on which contact, and how loud."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from synclint.findings import AddKey, Edit, Fact, Place, SetValue
from synclint.rig.line_parts import InputKind, input_kind
from synclint.rig.lines import Line, Lines
from synclint.rig.model import Device, Link, Port
from synclint.rules.framework import Case
from synclint.trade.levels import dbu
from synclint.trade.quantities import say_number

LTC = "LTC"


@dataclass(frozen=True, slots=True)
class Arrival:
    """A lead that brings LTC to a socket of a device."""

    link: Link
    device: Device
    port: Port
    source: Device
    output: Port | None
    """The socket that it comes from, where anybody says something of it."""

    @property
    def kind(self) -> InputKind:
        """What the input is made for."""
        return input_kind(self.device, self.port)

    @property
    def as_sound(self) -> bool:
        """Whether the device records it as sound, and does not read it."""
        reads = self.device.timecode.source.value == self.port.key
        return self.device.sound is not None and "sound" in (self.port.takes.value or ()) and not reads

    @property
    def tracks(self) -> Mapping[str, str]:
        """What stands on the device's tracks, as far as anybody says."""
        return (self.device.sound.tracks.value if self.device.sound else None) or {}

    @property
    def beside(self) -> tuple[str, ...]:
        """What stands on tracks beside the timecode."""
        return tuple(dict.fromkeys(what for what in self.tracks.values() if what != LTC))


def arrivals(case: Case) -> tuple[Arrival, ...]:
    """Every lead that brings LTC to a socket of a device that records or runs, in the order of the file."""
    return case.once(_arrivals)


def _arrivals(case: Case) -> tuple[Arrival, ...]:
    return tuple(_find(case))


def _find(case: Case) -> Iterator[Arrival]:
    devices = case.setup.devices
    for link in case.setup.links:
        if link.by != "lead" or link.carries.value != LTC:
            continue
        device, source = devices[link.target.device], devices[link.source.device]
        port = device.ports.get(link.target.port)
        if port is not None and not device.through:
            yield Arrival(link, device, port, source, source.ports.get(link.source.port))


def lines_of(case: Case) -> Lines:
    """What is joined by wire, of this case."""
    return case.once(_lines)


def _lines(case: Case) -> Lines:
    return Lines(case.setup)


def line_of(case: Case, arrival: Arrival) -> Line | None:
    """The line that a lead is part of; None where it is not to be judged, because what drives it is not clear."""
    line = lines_of(case).of(arrival.link)
    clear = line is not None and len(line.outputs) == 1 and arrival.link.target not in line.outputs
    return line if clear else None


# --- in words ---------------------------------------------------------------------------------------------------


def say_vpp(volts: Fraction) -> str:
    """A voltage as it is read off a scope: 1 Vpp, 667 mVpp, 4.7 mVpp."""
    return f"{say_number(volts)} Vpp" if volts >= 1 else f"{say_number(volts * 1000)} mVpp"


def say_db(decibels: float) -> str:
    """Decibels to a tenth: 6 dB, 8.2 dB."""
    return f"{say_number(Fraction(round(decibels * 10), 10))} dB"


def say_dbu(volts: Fraction) -> str:
    """A square wave in dBu: -3.8 dBu."""
    tenths = round(dbu(volts) * 10)
    return f"{'-' if tenths < 0 else ''}{say_number(Fraction(abs(tenths), 10))} dBu"


def say_dbfs(value: Fraction) -> str:
    """A level against full scale: -18 dBFS."""
    return f"{'-' if value < 0 else ''}{say_number(abs(value))} dBFS"


def socket(device: Device, port: str) -> str:
    """A socket of a device as a sentence names it: `mic_in of Camera B`."""
    return f"{port} of {device.called}"


# --- edits ------------------------------------------------------------------------------------------------------


def set_on_socket(case: Case, port: Port, fact: Fact[Any], key: str, value: str) -> tuple[Edit, ...]:
    """The edit that sets something on a socket in the setup, whether or not anything was set there.

    What a device takes over from another one is not changed there, but set anew below its own name.
    """
    place, missing = port.electrics.set_at
    if place.span.file != case.setup.file:
        return ()
    inside = fact.place.path[: len(place.path)] == place.path and "able" not in fact.place.path[2:]
    if fact.written and inside and fact.place.span.file == case.setup.file:
        return (SetValue(fact.place, value),)
    if not missing:
        return (AddKey(place, key, value),)
    name, *below = missing
    written = f"{{{key}: {value}}}"
    for step in reversed(below):
        written = f"{{{step}: {written}}}"
    return (AddKey(place, name, written),)


def _written_as_one(case: Case) -> Counter[Place]:
    """How many leads stand at each place: a list of inputs is one place."""
    return Counter(link.place for link in case.setup.links)


def on_lead(case: Case, link: Link, fact: Fact[Any] | None, key: str, value: str) -> tuple[Edit, ...]:
    """The edit that says something of a lead; none where several leads are written as one."""
    if case.once(_written_as_one)[link.place] > 1 or link.place.span.file != case.setup.file:
        return ()
    if fact is not None and fact.written:
        return (SetValue(fact.place, value),)
    return (AddKey(link.place, key, value),)


def flow(mapping: Mapping[str, str]) -> str:
    """A mapping of words as it is written on one line: `{left: LTC, right: scratch}`."""
    return "{" + ", ".join(f"{key}: {_plain(value)}" for key, value in sorted(mapping.items())) + "}"


def _plain(text: str) -> str:
    """A text as YAML takes it: bare where it is plain words, else in quotes."""
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)


_PLAIN = re.compile(r"[A-Za-z](?:[A-Za-z0-9 ._/-]*[A-Za-z0-9])?")
