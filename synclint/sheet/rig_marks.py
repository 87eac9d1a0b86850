"""Where in the picture the findings stand: the devices and the links that each is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from synclint.findings import Finding, Path
from synclint.rig.model import Device, Link, Setup

_LINKS = ("links", "radio_groups", "networks")


@dataclass(frozen=True, slots=True)
class Marks:
    """The numbers of the findings, from 1 in the order given, by what they are about."""

    devices: Mapping[str, tuple[int, ...]]
    links: Mapping[int, tuple[int, ...]]
    """By the index of the link in the setup."""


def marks_of(setup: Setup, findings: Sequence[Finding]) -> Marks:
    """Where the findings stand."""
    finder = _Finder(setup)
    devices: dict[str, dict[int, None]] = {}
    links: dict[int, dict[int, None]] = {}
    for number, finding in enumerate(findings, 1):
        for key in finder.devices_of(finding):
            devices.setdefault(key, {})[number] = None
        for index in finder.links_of(finding):
            links.setdefault(index, {})[number] = None
    return Marks(
        {key: tuple(numbers) for key, numbers in devices.items()},
        {index: tuple(numbers) for index, numbers in links.items()},
    )


class _Finder:
    """Finds what a place of the file is in the picture."""

    def __init__(self, setup: Setup) -> None:
        self.setup = setup
        self.called: dict[str, list[str]] = {}
        self.at: dict[Path, list[str]] = {}
        for device in setup.devices.values():
            for name in dict.fromkeys((device.called, device.key)):
                self.called.setdefault(name, []).append(device.key)
            self.at.setdefault(device.place.path[:2], []).append(device.key)

    @cached_property
    def linked_at(self) -> dict[Path, list[int]]:
        """The links by what they are written in."""
        found: dict[Path, list[int]] = {}
        for index, link in enumerate(self.setup.links):
            found.setdefault(link.place.path[:2], []).append(index)
        return found

    def devices_of(self, finding: Finding) -> Iterable[str]:
        """The devices that a finding is about: those it names, and those at whose settings it points."""
        named = self._named(finding)
        found = dict.fromkeys(named)
        for path in _paths(finding):
            if path[:1] != ("devices",):
                continue
            standing = self.at.get(path[:2], [])
            meant = [key for key in standing if key in found]
            if not meant and not any(path[:2] in _homes(self.setup.devices[key]) for key in named):
                found |= dict.fromkeys(standing)
        return found

    def links_of(self, finding: Finding) -> Iterable[int]:
        """The links at which a finding points; where it names devices, of many links only those of these."""
        named = dict.fromkeys(self._named(finding))
        found: dict[int, None] = {}
        for path in _paths(finding):
            if path[:1] and path[0] in _LINKS:
                standing = self.linked_at.get(path[:2], [])
                theirs = [index for index in standing if _touches(self.setup.links[index], named)]
                found |= dict.fromkeys(theirs or standing)
        return found

    def _named(self, finding: Finding) -> Sequence[str]:
        return [key for name in finding.who for key in self.called.get(name, ())]


def _paths(finding: Finding) -> Iterator[Path]:
    yield finding.at.path
    yield from (mention.place.path for mention in finding.also)


def _homes(device: Device) -> set[Path]:
    """The devices, by their places, in whose settings a device's own stand: itself, and those that it is like."""
    sides = [device.timecode.place, device.clock.place, device.power.place]
    sides += [port.place for port in device.ports.values()]
    sides += [side.place for side in (device.picture, device.sound) if side is not None]
    facts = (device.timecode.source, device.timecode.mode, device.timecode.rate, device.clock.source)
    return {place.path[:2] for place in (*sides, *(fact.place for fact in facts))}


def _touches(link: Link, named: Mapping[str, None]) -> bool:
    return link.source.device in named or link.target.device in named
