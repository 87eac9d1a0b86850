"""Which links of a rig are drawn, and as what: what labels, what paces, what does both, and what is left out."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from synclint.rig.graphs import ClockGraph, Feed, TimecodeGraph, paced_from
from synclint.rig.model import Link, Setup
from synclint.sheet.rig_knots import knots


class Role(Enum):
    """What a link does for the device at its end; the value is how the legend says it."""

    LABEL = "timecode"
    PACE = "reference (sets the pace)"
    BOTH = "timecode and pace in one"
    OTHER = "neither timecode nor reference"


class Way(Enum):
    """How long a link is there, and through what; the value is how the legend says it."""

    ALL_DAY = "cable that stays on"
    JAM = "cable to jam, then pulled"
    COMPARE = "cable to compare only"
    AIR = "through the air"
    NETWORK = "through a network"


_REFERENCES = frozenset({"black burst", "tri-level", "word clock", "AES reference", "clock"})
"""Carriers that bring nothing but a pace."""


@dataclass(frozen=True, slots=True)
class Wire:
    """A link as it is drawn: one line from an output to an input."""

    source: str
    target: str
    out: str
    into: str
    role: Role
    way: Way
    signal: str
    taken: bool = True
    """Whether the device at its end follows it, records it or passes it on."""
    circling: bool = False
    """Whether it is on a circle of devices that follow each other."""
    numbers: tuple[int, ...] = ()
    """The findings that are about it."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """All lines of a picture, and what is not drawn."""

    wires: tuple[Wire, ...]
    left_out: Mapping[str, int]
    """How many links are left out, by what they carry."""
    only_others: frozenset[str]
    """Through-things that nothing passes but what is left out."""


def wiring_of(
    setup: Setup, timecode: TimecodeGraph, clock: ClockGraph, marked: Mapping[int, Sequence[int]] | None = None
) -> Wiring:
    """The lines of a rig; `marked` are the numbers of the findings about a link, by its index.

    Links that neither label nor pace are left out, but where a finding is about them.
    """
    marked = marked or {}
    told = _Told(setup, timecode, clock)
    left_out: Counter[str] = Counter()
    joined: dict[tuple[str, ...], list[tuple[Link, Role, tuple[int, ...]]]] = {}
    others: dict[str, None] = {}
    for index, link in enumerate(setup.links):
        role, numbers = told.role(link), tuple(marked.get(index, ()))
        if role is Role.OTHER and link.carries.value is not None and not numbers:
            left_out[link.carries.value] += 1
            others |= dict.fromkeys((link.source.device, link.target.device))
            continue
        ends = (link.source.device, link.source.port, link.target.device, link.target.port)
        joined.setdefault((*ends, link.by, link.connected.value or ""), []).append((link, role, numbers))
    wires = tuple(told.wire(links) for links in joined.values())
    drawn = {key for wire in wires for key in (wire.source, wire.target)}
    only = frozenset(key for key in others if key not in drawn and setup.devices[key].through)
    return Wiring(wires, dict(left_out), only)


class _Told:
    """What the two graphs tell of links."""

    def __init__(self, setup: Setup, timecode: TimecodeGraph, clock: ClockGraph) -> None:
        self.setup = setup
        self.labelling = _on_feeds(timecode.listened.values())
        self.pacing = _on_feeds(clock.listened.values())
        self.circling = {*_circling(timecode.listened), *_circling(clock.listened)}
        self.paced_from = {key: paced_from(device) for key, device in setup.devices.items()}

    def role(self, link: Link) -> Role:
        """What a link does."""
        carries = link.carries.value
        paces = id(link) in self.pacing or carries in _REFERENCES
        if not link.carries_label:
            return Role.PACE if paces else Role.OTHER
        if not paces:
            return Role.LABEL
        # Pictures or packets that pace a device bring labels too, which it may take from elsewhere.
        elsewhere = self.setup.devices[link.target.device].timecode.source.value is not None
        return Role.PACE if id(link) not in self.labelling and elsewhere else Role.BOTH

    def wire(self, links: Sequence[tuple[Link, Role, tuple[int, ...]]]) -> Wire:
        """One line for the links of one lead or hop."""
        first = links[0][0]
        role = _together({role for _, role, _ in links})
        signals = {link.carries.value or "signal not stated" for link, each, _ in links if each is not Role.OTHER}
        if role is Role.OTHER:
            signals = {link.carries.value or "signal not stated" for link, _, _ in links}
        return Wire(
            source=first.source.device,
            target=first.target.device,
            out=first.source.port,
            into=first.target.port,
            role=role,
            way=_way(first),
            signal=" + ".join(sorted(signals, reverse=True)),
            taken=any(self._taken(link) for link, _, _ in links),
            circling=any(id(link) in self.circling for link, _, _ in links),
            numbers=tuple(sorted({number for _, _, numbers in links for number in numbers})),
        )

    def _taken(self, link: Link) -> bool:
        if id(link) in self.labelling or id(link) in self.pacing:
            return True
        device = self.setup.devices[link.target.device]
        if device.through:
            return True
        if link.only_compares:
            return True  # that nobody follows it is what it is for
        if link.carries_label and device.timecode.source.value is None:
            return True  # it is recorded as sound, or nobody says what is listened to
        return link.target.port in (device.timecode.source.value, self.paced_from[device.key])


def _together(roles: set[Role]) -> Role:
    """What several signals on one lead do."""
    if {Role.LABEL, Role.PACE} <= roles:
        return Role.BOTH
    return next(each for each in (Role.BOTH, Role.LABEL, Role.PACE, Role.OTHER) if each in roles)


def _way(link: Link) -> Way:
    if link.by != "lead":
        return Way.NETWORK if link.by == "network" else Way.AIR
    return {"to jam": Way.JAM, "to compare": Way.COMPARE}.get(link.connected.value or "", Way.ALL_DAY)


def _on_feeds(listened: Iterable[Sequence[Feed]]) -> set[int]:
    """The links, by identity, along which something comes that is followed."""
    return {id(link) for feeds in listened for feed in feeds if not feed.last.only_compares for link in feed.links}


def _circling(listened: Mapping[str, Sequence[Feed]]) -> Iterator[int]:
    """The links, by identity, of the circles of devices that follow each other."""
    knot = knots({key: [feed.source for feed in feeds] for key, feeds in listened.items()})
    for key, feeds in listened.items():
        for feed in feeds:
            if key in knot and knot.get(feed.source) == knot[key]:
                yield from map(id, feed.links)


_NUMBER = re.compile(r"\d+")


def stem(port: str) -> str:
    """A port's name with its number left open, so that `out_1` and `out_2` are of one kind."""
    return _NUMBER.sub("#", port)
