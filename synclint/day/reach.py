"""Who is there and switched on, and what reaches whom, at a moment of the days."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from synclint.day.leads import by_lead
from synclint.day.moments import Carried
from synclint.findings import Place
from synclint.rig.graphs import OUTSIDE_TIME, Feed, TimecodeGraph
from synclint.rig.model import OWN_CLOCK, Device, End, Setup


def records_ltc(device: Device) -> bool:
    """Whether a device without timecode of its own records LTC as sound on one of its tracks."""
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    return device.timecode.source.value is None and "LTC" in tracks.values()


def hears_outside(device: Device) -> bool:
    """Whether a device listens to a port at which time comes in from outside the rig."""
    port = device.ports.get(device.timecode.source.value or "")
    return port is not None and not OUTSIDE_TIME.isdisjoint(port.takes.value or ())


class Reach:
    """The devices as they are set, switched and plugged at this moment."""

    def __init__(self, setup: Setup, graph: TimecodeGraph, late: frozenset[str]) -> None:
        """Begin with all as the setup has it; who is late is not there yet."""
        self.graph = graph
        self.devices: dict[str, Device] = {key: each for key, each in setup.devices.items() if not each.through}
        self.present = {key: key not in late for key in self.devices}
        self.powered = dict.fromkeys(self.devices, True)
        self.off_since: dict[str, Fraction] = {}
        self.offs = dict.fromkeys(self.devices, 0)
        """How many events hold each device switched off."""
        self.lost: dict[int, frozenset[int]] = {}
        """For each event that holds links lost, which (both by identity)."""
        self.feeds: dict[str, tuple[Feed, ...]] = {}
        self._hearers: dict[str, set[str]] = {}
        for key in self.devices:
            self.listen(key)

    def listen(self, key: str) -> None:
        """Find what reaches the port that a device listens to, as it is set now."""
        self.feeds[key] = self._listened(self.devices[key])
        for feed in self.feeds[key]:
            self._hearers.setdefault(feed.source, set()).add(key)

    def _listened(self, device: Device) -> tuple[Feed, ...]:
        """What reaches the port that a device listens to, in an order that does not hang on the file's."""
        source = device.timecode.source.value
        if source == OWN_CLOCK or (source is None and not records_ltc(device)):
            return ()
        feeds = self.graph.arriving.get(device.key, ()) if source is None else self._at_port(device, source)
        return tuple(sorted(feeds, key=_order))

    def _at_port(self, device: Device, port: str) -> tuple[Feed, ...]:
        return self.graph.feeds_at(End(device.key, port))

    def follows(self, device: Device) -> bool:
        """Whether a device follows live what it listens to."""
        source, mode = device.timecode.source.value, device.timecode.mode.value
        if source is None:
            return records_ltc(device)
        if source == OWN_CLOCK:
            return False
        if mode is None:
            return any(feed.last.connected.value == "all day" for feed in self.feeds[device.key])
        return mode in ("continuous", "free run")

    def live_feed(self, key: str) -> Feed | None:
        """The feed at the port that a device listens to, if one is alive."""
        for feed in self.feeds[key]:
            # A lead that is there to jam or to compare is not plugged in between.
            plugged = feed.last.connected.value in (None, "all day")
            if plugged and self.working(feed.source) and not self.is_lost(feed):
                return feed
        return None

    def followed(self, key: str) -> str | None:
        """The device that another one follows live."""
        feed = self.live_feed(key) if self.follows(self.devices[key]) else None
        return feed.source if feed else None

    def is_lost(self, feed: Feed) -> bool:
        """Whether one of the links along which a feed comes is lost."""
        return any(id(link) in links for links in self.lost.values() for link in feed.links)

    def working(self, key: str) -> bool:
        """Whether a device is there and switched on."""
        return key in self.present and self.present[key] and self.powered[key]

    def switch_off(self, key: str, at: Fraction) -> None:
        """Switch a device off; several events may hold it so."""
        self.powered[key] = False
        self.offs[key] += 1
        self.off_since.setdefault(key, at)

    def switch_on(self, key: str, at: Fraction) -> Fraction | None:
        """End what held a device off: for how long it was, or None where another event still holds it."""
        self.offs[key] -= 1
        if self.offs[key]:
            return None
        self.powered[key] = True
        return at - self.off_since.pop(key, at)

    def all_to_jam(self) -> list[str]:
        """Every device that is there and has a link `to jam` at the port it listens to."""
        return [
            key
            for key in self.devices
            if self.working(key) and any(feed.last.connected.value == "to jam" for feed in self.feeds[key])
        ]

    def cut_off(self, time_of: Callable[[str], Carried | None]) -> dict[str, str]:
        """The devices whose link is lost, each with the one that it can be jammed from by a lead meanwhile."""
        found: dict[str, str] = {}
        for key, device in self.devices.items():
            lost = [feed for feed in self.feeds[key] if self.is_lost(feed)]
            if lost and self.working(key) and self.follows(device) and self.live_feed(key) is None:
                source = by_lead(key, lost[0].source, self.devices, self.graph.arriving.get(key, ()), time_of)
                found |= {key: source} if source is not None else {}
        return found

    def jam_source(self, key: str) -> str | None:
        """What a device is jammed from: the lead that is there to jam, else whatever reaches it and is not lost."""
        feeds = [feed for feed in self.feeds[key] if not self.is_lost(feed)]
        feeds.sort(key=lambda feed: feed.last.connected.value != "to jam")
        return feeds[0].source if feeds else None

    def hearers(self, links: frozenset[int]) -> Iterator[str]:
        """The devices that hear something along one of these links (by identity)."""
        for key, feeds in self.feeds.items():
            if any(id(link) in links for feed in feeds for link in feed.links):
                yield key

    def downstream(self, causes: Mapping[str, Place]) -> dict[str, Place]:
        """Devices with what changed them, and all that may follow them live, with the same."""
        found = {key: cause for key, cause in causes.items() if key in self.devices}
        pending = list(found)
        while pending:
            current = pending.pop()
            for hearer in sorted(self._hearers.get(current, ())):
                if hearer not in found and self.follows(self.devices[hearer]):
                    found[hearer] = found[current]
                    pending.append(hearer)
        return found


def _order(feed: Feed) -> tuple[bool, str, str, str]:
    return (feed.last.only_compares, feed.source, str(feed.last.source), str(feed.last.target))
