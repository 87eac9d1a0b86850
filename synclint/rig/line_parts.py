"""The parts that a line is made of: outputs, leads, pads and inputs, each as elements of an electrical network.

A socket is an end of a lead with the side that it is used on: a jack that is both in and out is two sockets. Its hot
contact is a node of the network; so is its cold one where it is balanced, else the cold one is ground.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import Any

from synclint.findings import Fact, Place, Standing, unknown
from synclint.rig.assumed import (
    AES_OHMS,
    BRIDGING_OHMS,
    LEAD_OHMS,
    LINE_OHMS,
    MICROPHONE_OHMS,
    OUTPUT_OHMS,
    Spread,
)
from synclint.rig.model import Device, Electrics, End, Link, Port, Setup
from synclint.trade.circuit import GROUND, Element, Node, Resistor, Source, balanced
from synclint.trade.levels import VIDEO_IMPEDANCE, open_circuit, pad
from synclint.trade.quantities import Level

PASSED_ON_WHY = (
    "a distribution box gives at each output the level that it gets, a 75 ohm one into 75 ohm (common practice, no "
    "source)"
)
"""On what it rests what a distribution box gives that states no level."""

Socket = tuple[End, bool]
"""An end of a lead, and whether it is used as an output."""

_SMALL_JACKS = frozenset({"small camera", "action camera", "drone camera", "phone"})
_SMALL_JACK = "3.5 mm"
_MOST_MICROPHONE = Fraction(1, 2)
"""An input that bears no more Vpp than this is one for microphones."""


class Bound(Enum):
    """Which of its values each assumed impedance has: the usual one, or that which gives the least or the most."""

    USUAL = "usual"
    LEAST = "least"
    MOST = "most"


class InputKind(Enum):
    """What an input is made for."""

    TIMECODE = "timecode input"
    MICROPHONE = "microphone input"
    LINE = "line input"
    SOUND = "sound input"
    """For microphones or for line: nobody says."""


@dataclass(frozen=True, slots=True)
class Lack:
    """A fact that nobody states: what it is, in words, and where it would stand."""

    says: str
    place: Place
    device: str


def input_kind(device: Device, port: Port) -> InputKind:
    """What an input is made for, by how it is set, what it takes, and what it feeds a microphone with."""
    electrics = port.electrics
    set_to = electrics.set_to.value or ""
    if set_to.startswith("microphone"):
        return InputKind.MICROPHONE
    if set_to.startswith("line"):
        return InputKind.LINE
    takes = port.takes.value
    if set_to.startswith("timecode") or takes is None or "sound" not in takes:
        return InputKind.TIMECODE
    feeds = (electrics.plug_in_power, electrics.phantom_power)
    if any(fact.value == "switched on" for fact in feeds) or (
        electrics.accepts.value is not None and electrics.accepts.value[1] <= _MOST_MICROPHONE
    ):
        return InputKind.MICROPHONE
    small = device.cls.value in _SMALL_JACKS and (electrics.connector.value or "").startswith(_SMALL_JACK)
    return InputKind.MICROPHONE if small else InputKind.SOUND


def termination(port: Port, *, looped: bool) -> Fact[bool]:
    """Whether a line is terminated at an input; `looped` says whether its loop-through is in use.

    An input that says only its impedance is one where that is about 75 ohm.
    """
    electrics = port.electrics
    if electrics.termination.written:
        on = electrics.termination.value in ("switched on", "plugged on")
        return Fact(on, electrics.termination.place, text=electrics.termination.text)
    able = electrics.able_termination
    on_by_itself = {"always": True, "never": False, "automatic": not looped}.get(able.value or "")
    if on_by_itself is not None:
        return Fact(on_by_itself, able.place, text=able.text)
    ohms = electrics.input_impedance
    if ohms.value is not None and able.value is None:
        return Fact(ohms.value <= 2 * VIDEO_IMPEDANCE, ohms.place, text=ohms.text)
    return unknown(port.place)


class Parts:
    """The sockets of a setup: which are joined by wire inside a device, and what each is."""

    def __init__(self, setup: Setup) -> None:
        """Find the sockets that loop-throughs and tees join."""
        self.setup = setup
        self._ties: dict[Socket, list[Socket]] = defaultdict(list)
        self._feeding: dict[End, End] = {}
        for device in setup.devices.values():
            for port in device.ports.values():
                if port.loop.value and port.timing.loop_through.value == "active":
                    self._feeding.setdefault(End(device.key, port.loop.value), End(device.key, port.key))
                elif port.loop.value:
                    self._tie((End(device.key, port.key), False), (End(device.key, port.loop.value), True))
            for into, outs in device.passes.items():
                for out in outs:
                    if device.passive.value:
                        self._tie((End(device.key, into), False), (End(device.key, out), True))
                    else:
                        self._feeding.setdefault(End(device.key, out), End(device.key, into))

    def _tie(self, one: Socket, other: Socket) -> None:
        self._ties[one].append(other)
        self._ties[other].append(one)

    def tied(self, socket: Socket) -> tuple[Socket, ...]:
        """The sockets that are one with this one by wire."""
        return tuple(self._ties.get(socket, ()))

    def port(self, end: End) -> Port | None:
        """The port at an end of a lead; None where nobody says anything of it."""
        device = self.setup.devices.get(end.device)
        return device.ports.get(end.port) if device else None

    def is_tee(self, end: End) -> bool:
        """Whether an input is that of a passive tee, which loads nothing itself."""
        device = self.setup.devices[end.device]
        return bool(device.passive.value) and end.port in device.passes

    def drives(self, end: End) -> bool:
        """Whether a socket that is fed is set to give timecode out."""
        port = self.port(end)
        return port is not None and port.electrics.set_to.value == "timecode out"

    def listens(self, end: End) -> bool:
        """Whether a socket that others are fed from is set to take timecode in."""
        port = self.port(end)
        return port is not None and port.electrics.set_to.value == "timecode in"

    def feeding(self, output: End) -> End | None:
        """The input of a distribution box or the like that an output of it is fed from."""
        return self._feeding.get(output)

    def no_level(self, output: End) -> Lack:
        """That nobody says which level an output gives."""
        device = self.setup.devices[output.device]
        port = device.ports.get(output.port)
        if port is not None and port.electrics.levels.value:
            says = f"which output level {device.called} is set to at {output.port} (ports: output)"
            return Lack(says, port.place, device.called)
        says = f"the level that {device.called} gives at {output.port} (level)"
        return Lack(says, port.place if port is not None else device.place, device.called)

    def emf(
        self, output: End, signal: str, level: Level | None, bound: Bound
    ) -> tuple[Fraction, Fact[Level] | None] | None:
        """The voltage of an output behind its impedance, and the fact that says it; None where none does."""
        port = self.port(output)
        stated = port.electrics.level if port is not None else None
        value = stated.value if stated is not None and stated.value is not None else level
        if value is None:
            return None
        return open_circuit(value, self.output_ohms(output, signal, bound)[0]), stated

    def output_ohms(self, output: End, signal: str, bound: Bound) -> tuple[Fraction, Fact[Fraction]]:
        """The impedance of an output, stated or assumed; the least one gives the most."""
        port = self.port(output)
        opposite = {Bound.LEAST: Bound.MOST, Bound.MOST: Bound.LEAST}.get(bound, bound)
        stated = port.electrics.source_impedance if port is not None else None
        return self._ohms(stated, OUTPUT_OHMS[signal], opposite, output)

    def input_ohms(self, end: End, signal: str, bound: Bound) -> tuple[Fraction, Fact[Fraction]]:
        """The impedance of an input without its termination, stated or assumed."""
        device, port = self.setup.devices[end.device], self.port(end)
        if signal == "AES reference":
            spread = AES_OHMS
        elif signal != "LTC":
            spread = BRIDGING_OHMS
        elif port is not None and input_kind(device, port) is InputKind.MICROPHONE:
            spread = MICROPHONE_OHMS
        else:
            spread = LINE_OHMS
        return self._ohms(port.electrics.input_impedance if port is not None else None, spread, bound, end)

    def _ohms(
        self, stated: Fact[Fraction] | None, spread: Spread, bound: Bound, end: End
    ) -> tuple[Fraction, Fact[Fraction]]:
        if stated is not None and stated.value is not None:
            return stated.value, stated
        place = stated.place if stated is not None else self.setup.devices[end.device].place
        return chosen(spread, bound), Fact(spread.usual, place, Standing.ASSUMED, why=spread.why)

    def passed_on(self, output: End, volts: Fraction) -> tuple[Fraction, Fact[Fraction]]:
        """The voltage behind an output of a distribution box: what it gets, once more into what it is made for."""
        port = self.port(output)
        ohms = port.electrics.source_impedance.value if port is not None else None
        emf = volts * 2 if ohms == VIDEO_IMPEDANCE else volts
        place = port.place if port is not None else self.setup.devices[output.device].place
        return emf, Fact(emf, place, Standing.ASSUMED, why=PASSED_ON_WHY)


def chosen(spread: Spread, bound: Bound) -> Fraction:
    """The value of a spread at a bound."""
    return {Bound.LEAST: spread.least, Bound.MOST: spread.most}.get(bound, spread.usual)


@dataclass
class Network:
    """The elements of one line, as they are gathered, with the facts that they come of and those that lack."""

    parts: Parts
    signal: str
    bound: Bound
    elements: list[Element] = field(default_factory=list)
    facts: list[Fact[Any]] = field(default_factory=list)
    lacks: list[Lack] = field(default_factory=list)
    _cold: dict[Socket, Node] = field(default_factory=dict)

    def contacts(self, socket: Socket) -> tuple[Node, Node]:
        """The nodes of a socket's hot and cold contact."""
        electrics = self._electrics(socket[0])
        is_balanced = electrics is not None and electrics.balanced.value
        cold = (socket, "cold") if is_balanced else GROUND
        return (socket, "hot"), self._cold.get(socket, cold)

    def _electrics(self, end: End) -> Electrics | None:
        port = self.parts.port(end)
        return port.electrics if port is not None else None

    def add_output(self, end: End, emf: Fraction, *, out: bool) -> None:
        """An output; of one that does not count the voltage is 0."""
        hot, cold = self.contacts((end, out))
        ohms, fact = self.parts.output_ohms(end, self.signal, self.bound)
        self.facts.append(fact)
        electrics = self._electrics(end)
        if cold == GROUND or (electrics is not None and electrics.transformer.value):
            self.elements.append(Source(hot, emf, ohms, return_node=cold))
        else:
            self.elements += balanced(hot, cold, emf, ohms)

    def add_lead(self, link: Link, padded: Fraction | None = None) -> None:
        """A lead with its pad, or another of so many decibels, its resistance and what it does with the cold leg."""
        hot, cold = self.contacts((link.source, True))
        far_hot, far_cold = self.contacts((link.target, False))
        lead = link.lead
        ohms = Fraction(0)
        if lead is not None and lead.length.value is not None:
            place, why = lead.length.place, LEAD_OHMS.why
            per_metre = chosen(
                LEAD_OHMS, {Bound.LEAST: Bound.MOST, Bound.MOST: Bound.LEAST}.get(self.bound, self.bound)
            )
            ohms = lead.length.value * per_metre
            self.facts += [lead.length, Fact(LEAD_OHMS.usual, place, Standing.ASSUMED, why=why)]
        near = hot
        own = lead.pad.value if lead is not None else None
        decibels = own if padded is None else padded
        if decibels:
            near = (id(link), "pad")
            self.elements += pad(hot, near, decibels, return_node=cold)
            self.facts += [lead.pad] if lead is not None and padded is None else []
        legs = 2 if GROUND not in (cold, far_cold) else 1
        self.elements.append(Resistor(near, far_hot, ohms / legs))
        self._add_cold_leg(link, cold, far_cold, ohms / legs)

    def _add_cold_leg(self, link: Link, cold: Node, far_cold: Node, ohms: Fraction) -> None:
        how = link.lead.cold_leg if link.lead is not None else None
        if cold == GROUND and far_cold == GROUND:
            return
        if GROUND not in (cold, far_cold):
            self.elements.append(Resistor(cold, far_cold, ohms))
            return
        if how is not None and how.value is not None:
            self.facts.append(how)
        if cold == GROUND:  # into a balanced input; its cold contact is joined to the shield unless a lead leaves it
            if how is None or how.value != "open":
                self.elements.append(Resistor(far_cold, GROUND, 0))
        elif how is None or how.value is None:
            called = self.parts.setup.called
            says = (
                f"what the lead from {called(link.source.device)} to {called(link.target.device)} does with the cold "
                "leg (links: cold_leg)"
            )
            self.lacks.append(Lack(says, link.place, called(link.target.device)))
        elif how.value == "to ground":
            self.elements.append(Resistor(cold, GROUND, 0))
        elif how.value == "transformer":
            # A transformer's far side stands between the legs of its near one.
            self._cold[link.target, False] = cold

    def add_tie(self, one: Socket, other: Socket) -> None:
        """A loop-through, or two sockets of a tee."""
        for near, far in zip(self.contacts(one), self.contacts(other), strict=True):
            if near != far:
                self.elements.append(Resistor(near, far, 0))

    def add_input(self, end: End, *, looped: bool) -> None:
        """An input with its termination."""
        hot, cold = self.contacts((end, False))
        ohms, fact = self.parts.input_ohms(end, self.signal, self.bound)
        self.facts.append(fact)
        electrics = self._electrics(end)
        floats = electrics is not None and bool(electrics.transformer.value)
        if cold == GROUND or floats or (end, False) in self._cold:
            self.elements.append(Resistor(hot, cold, ohms))
        else:
            self.elements += [Resistor(hot, GROUND, ohms / 2), Resistor(cold, GROUND, ohms / 2)]
        self._add_termination(end, hot, cold, looped=looped)

    def _add_termination(self, end: End, hot: Node, cold: Node, *, looped: bool) -> None:
        port = self.parts.port(end)
        ends = termination(port, looped=looped) if port is not None else None
        if ends is not None and ends.value:
            if port is None or ends.place != port.electrics.input_impedance.place:  # else it is that already
                self.elements.append(Resistor(hot, cold, VIDEO_IMPEDANCE))
            self.facts.append(ends)
        elif (ends is None or ends.value is None) and self._wants_termination(port):
            called = self.parts.setup.called(end.device)
            place = port.place if port is not None else self.parts.setup.devices[end.device].place
            says = f"whether the 75 ohm at {end.port} of {called} is switched on (ports: termination)"
            self.lacks.append(Lack(says, place, called))

    def _wants_termination(self, port: Port | None) -> bool:
        """Whether it counts that nobody says how a line is terminated: where it can be, or on a 75 ohm line."""
        if self.signal == "AES reference":
            return False
        return self.signal != "LTC" or (port is not None and port.electrics.able_termination.value is not None)
