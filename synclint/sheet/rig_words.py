"""The words of the picture: what stands in a box, on a line, and in the legend."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from synclint.findings import Level, listed
from synclint.rig.graphs import ClockGraph, Ending, TimecodeGraph, paced_from
from synclint.rig.model import OWN_CLOCK, Device, Setup
from synclint.sheet.rig_folding import Bundle, Group
from synclint.sheet.rig_wires import Way

_THROUGH = "through-thing"
HANGS_ON_NOTHING = "hangs on nothing"
LOOP = "LOOP"


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of each device, in the words of its box; devices of which the same is said look alike."""

    tags: tuple[str, ...]
    """What it is meant to be: `MASTER`, `CLOCK MASTER`."""
    lines: tuple[str, ...]
    """How it runs."""
    kind: str
    """What it is, such as `timecode box`."""


class Speaker:
    """Says what devices are and how they run."""

    def __init__(self, setup: Setup, timecode: TimecodeGraph, clock: ClockGraph) -> None:
        self.setup = setup
        self.timecode = timecode
        self.clock = clock
        self.masters = masters_of(setup)

    def tell(self, device: Device) -> Told:
        """What stands in the box of a device."""
        tags = tuple(tag for tag, key in self.masters if key == device.key)
        cls = device.cls.value if device.cls.value != _THROUGH else None
        kind = (device.kind.value or cls or "").replace("_", " ")
        lines = [kind or "passes it on"] if device.through else [*self._label(device, tags), *self._pace(device)]
        if not any(lines) and device.clock.source.value == OWN_CLOCK:
            lines = [OWN_CLOCK]
        if device.unit.value is not None:
            lines.append(f"unit {device.unit.value}")
        return Told(tags, tuple(filter(None, lines)), kind)

    def _label(self, device: Device, tags: Sequence[str]) -> Iterable[str]:
        side = device.timecode
        source, mode = side.source.value, side.mode.value or ""
        if source is None:
            tracks = [each for each in device.timecode_on.value or () if each not in ("file", "none")]
            yield f"timecode on {listed(tracks)}" if tracks else mode
        elif source == OWN_CLOCK:
            yield f"own clock, {mode}" if mode else "own clock"
        else:
            ending = self.timecode.root_of(device.key)
            waits = ending.device == device.key and ending.ending is Ending.NOTHING
            outside = ending.device == device.key and ending.ending is Ending.OUTSIDE
            yield f"time from outside, at {source}" if outside else mode or f"follows {source}"
            if waits:
                yield f"nothing arrives at {source}"
        project, own = self.setup.project.rate.value, side.rate.value
        if own is not None and (tags or own != project):
            yield f"rate {own.name}"

    def _pace(self, device: Device) -> Iterable[str]:
        source = paced_from(device)
        if source is None or source == OWN_CLOCK or self.clock.listened.get(device.key):
            return
        if self.clock.root_of(device.key).ending is Ending.NOTHING:
            yield f"no reference at {source}"
        elif source != device.timecode.source.value:
            yield f"pace from outside, at {source}"


def masters_of(setup: Setup) -> list[tuple[str, str]]:
    """What the project and its units mean to be masters, each with the word for it."""
    found = [("MASTER", setup.project.master_timecode.value), ("CLOCK MASTER", setup.project.master_clock.value)]
    found += [(f"MASTER of {unit.key}", unit.master.value) for unit in setup.units.values()]
    return [(tag, key) for tag, key in found if key is not None and key in setup.devices]


_NUMBERED = re.compile(r"(.*?)(\d{1,9})", re.DOTALL)


def names_of(names: Sequence[str]) -> str:
    """The names of a group: `cam_1 … cam_8` of a range, else the first ones."""
    if len(names) == 1:
        return names[0]
    first, last = _NUMBERED.fullmatch(names[0]), _NUMBERED.fullmatch(names[-1])
    if first and last and first[1] == last[1] and int(last[2]) - int(first[2]) == len(names) - 1:
        return f"{names[0]} … {names[-1]}"
    return listed(names, 3) if len(names) <= 3 else f"{names[0]}, {names[1]} … {names[-1]}"


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on a line."""

    signal: str
    out: str
    into: str


_HOW = {Way.JAM: "to jam", Way.COMPARE: "to compare", Way.AIR: "radio", Way.NETWORK: "network"}


def label_of(bundle: Bundle, groups: Sequence[Group], setup: Setup) -> Label:
    """What stands on the line of a bundle."""
    wires, source, target = bundle.wires, groups[bundle.source], groups[bundle.target]
    compares = bundle.way is Way.COMPARE
    says = [wires[0].signal, _HOW.get(bundle.way, ""), "" if bundle.taken or compares else "not followed"]
    each = len(wires) // len(target.keys) if len(target.keys) and len(wires) % len(target.keys) == 0 else 0
    if each > 1:
        says.append(f"{each} each")
    if target.chained and len(wires) < len(target.keys):
        says.append("loop-through")
    senders = dict.fromkeys(wire.source for wire in wires)
    outs = _ports(wire.out for wire in wires)
    if len(senders) == 1 and len(source.keys) > 1:
        outs = f"{setup.called(next(iter(senders)))}: {outs}"
    return Label(", ".join(filter(None, says)), outs, _ports(wire.into for wire in wires))


def _ports(names: Iterable[str]) -> str:
    """Ports as a label says them: `out_1…8`."""
    every = list(dict.fromkeys(names))
    first, last = (_NUMBERED.fullmatch(each) for each in (every[0], every[-1]))
    if len(every) == 1:
        return every[0]
    return f"{every[0]}…{last[2] if first and last and first[1] == last[1] else f' {every[-1]}'}"


def marks_said(numbers: Iterable[int], levels: Sequence[Level]) -> list[tuple[Level, str]]:
    """The marks of some findings, one a level, the worst first: `1, 4 ERROR`."""
    told: dict[Level, list[int]] = {}
    for number in numbers:
        told.setdefault(levels[number - 1], []).append(number)
    return [(level, _numbered(told[level], level)) for level in Level if level in told]


MOST_NUMBERS = 3


def _numbered(numbers: Sequence[int], level: Level) -> str:
    shown = numbers if len(numbers) <= MOST_NUMBERS else numbers[: MOST_NUMBERS - 1]
    more = f" +{len(numbers) - len(shown)}" if len(shown) < len(numbers) else ""
    return f"{', '.join(map(str, shown))}{more} {level.value.upper()}"
