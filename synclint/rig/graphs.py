"""The two graphs of a rig: which device labels which, and which oscillator paces which.

Both are made of feeds: what arrives at the port that a device listens to, followed back through splitters, converters
and loop-through sockets to the device that gives it.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

from synclint.rig.model import OWN_CLOCK, Device, End, Link, Setup

if TYPE_CHECKING:
    import networkx as nx

OUTSIDE_TIME = frozenset({"GNSS"})
"""What brings time from outside the rig: a port that takes it needs no lead."""

_NO_PACE = frozenset({"LTC", "MTC", "data timecode", "timecode", "record trigger", "tracking data"})
"""Carriers that no device can take its pace from, whatever port they arrive at; a radio that steers brings `clock`."""


class Ending(Enum):
    """Where a chain of feeds comes to its end."""

    OWN_CLOCK = "own clock"
    OUTSIDE = "outside time"
    NOTHING = "nothing arrives"
    LOOP = "loop"
    UNSTATED = "unstated"


@dataclass(frozen=True, slots=True)
class Feed:
    """What reaches a device at one of its ports: from which device, along which links."""

    source: str
    target: str
    port: str
    links: tuple[Link, ...]
    """From the source to the target, in order; more than one where through-things lie between."""

    @property
    def last(self) -> Link:
        """The link that arrives at the target."""
        return self.links[-1]


@dataclass(frozen=True, slots=True)
class Root:
    """The end of a device's chain of feeds."""

    device: str
    """The device at which the chain ends: the root itself, or the last one that waits for something."""
    ending: Ending

    @property
    def generates(self) -> bool:
        """Whether there is a clock at the end of the chain."""
        return self.ending in (Ending.OWN_CLOCK, Ending.OUTSIDE)


class _Graph:
    """What the two graphs share: feeds along links of a kind, and the chains they make."""

    def __init__(self, setup: Setup, carries: Callable[[Link], bool], source: Callable[[Device], str | None]) -> None:
        self.setup = setup
        self._source = source
        self._into: Mapping[End, list[Link]] = defaultdict(list)
        for link in setup.links:
            if carries(link):
                self._into[link.target].append(link)
        self._feeds: dict[End, tuple[Feed, ...]] = {}
        self._passed: dict[End, tuple[str, ...]] = {}
        for device in setup.devices.values():
            for into, outs in device.passes.items():
                for out in outs:
                    end = End(device.key, out)
                    self._passed[end] = (*self._passed.get(end, ()), into)
            for port in device.ports.values():
                if port.loop.value:
                    self._passed[End(device.key, port.loop.value)] = (port.key,)

    def feeds_at(self, end: End) -> tuple[Feed, ...]:
        """What reaches a port, each with the links it comes along."""
        if end not in self._feeds:
            self._feeds[end] = tuple(self._walk_back(end))
        return self._feeds[end]

    def _walk_back(self, end: End) -> Iterator[Feed]:
        onward: dict[End, Link | None] = {end: None}
        """For each socket come upon, the link that leads on from it towards the end."""
        pending = deque([end])
        straight = True
        while pending:
            here = pending.popleft()
            if straight and here in self._feeds:  # along a line of loops the rest has been followed before
                on = onward[here]
                rest = tuple(_along(on, onward)) if on is not None else ()
                yield from (Feed(feed.source, end.device, end.port, (*feed.links, *rest)) for feed in self._feeds[here])
                return
            links = self._into.get(here, ())
            straight = straight and len(links) == 1 and len(self._behind(links[0]) or ()) == 1
            for link in links:
                inputs = self._behind(link)
                if inputs is None:
                    yield Feed(link.source.device, end.device, end.port, tuple(_along(link, onward)))
                for port in inputs or ():
                    socket = End(link.source.device, port)
                    if socket not in onward:
                        onward[socket] = link
                        pending.append(socket)

    def _behind(self, link: Link) -> tuple[str, ...] | None:
        """The inputs that what leaves a socket came in at; None where the device itself gives it."""
        inputs = self._passed.get(link.source)
        return () if inputs is None and self._is_through(link.source.device) else inputs

    def _is_through(self, key: str) -> bool:
        device = self.setup.devices.get(key)
        return device is not None and device.through

    @cached_property
    def listened(self) -> Mapping[str, tuple[Feed, ...]]:
        """For each device that listens to one of its ports, what reaches it there."""
        found = {}
        for device in self.setup.devices.values():
            port = self._source(device)
            if port is not None and port != OWN_CLOCK and not device.through:
                found[device.key] = followed(self.feeds_at(End(device.key, port)))
        return found

    @cached_property
    def _roots(self) -> dict[str, Root]:
        return {}

    def root_of(self, key: str) -> Root:
        """The clock at the end of a device's chain; where several feed one port, that of the first written."""
        chain: list[str] = []
        on_chain: set[str] = set()
        current = key
        while current not in self._roots:
            if current in on_chain:
                ending = Root(current, Ending.LOOP)
                break
            chain.append(current)
            on_chain.add(current)
            step = self._step(current)
            if isinstance(step, Root):
                ending = step
                break
            current = step
        else:
            ending = self._roots[current]
        self._roots.update((each, ending) for each in chain)
        return ending

    def _step(self, key: str) -> Root | str:
        """The device that feeds this one, or where the chain ends."""
        device = self.setup.devices[key]
        source = self._source(device)
        if source is None:
            return Root(key, Ending.UNSTATED)
        if source == OWN_CLOCK:
            return Root(key, Ending.OWN_CLOCK)
        feeds = self.listened.get(key, ())
        if feeds:
            return feeds[0].source
        port = device.ports.get(source)
        if port is not None and OUTSIDE_TIME.intersection(port.takes.value or ()):
            return Root(key, Ending.OUTSIDE)
        return Root(key, Ending.NOTHING)

    @cached_property
    def followers(self) -> Mapping[str, tuple[str, ...]]:
        """For each clock at the root of something, the devices whose chain ends there, itself left out."""
        found: dict[str, list[str]] = {}
        for key in self.listened:
            root = self.root_of(key)
            if root.generates and root.device != key:
                found.setdefault(root.device, []).append(key)
        return {key: tuple(keys) for key, keys in found.items()}

    def cycles(self, keep: Callable[[Feed], bool] = lambda _: True) -> list[tuple[str, ...]]:
        """One shortest cycle of every knot of devices that follow each other, in a stable order."""
        edges = {
            key: tuple(dict.fromkeys(feed.source for feed in feeds if keep(feed)))
            for key, feeds in self.listened.items()
        }
        return shortest_cycles(edges)


def _along(link: Link, onward: Mapping[End, Link | None]) -> Iterator[Link]:
    """A link and those that lead on from it to the end."""
    following: Link | None = link
    while following is not None:
        yield following
        following = onward[following.target]


def followed(feeds: tuple[Feed, ...]) -> tuple[Feed, ...]:
    """The feeds that a device follows: one plugged only to compare makes no follower while anything else arrives."""
    return tuple(feed for feed in feeds if not feed.last.only_compares) or feeds


class TimecodeGraph(_Graph):
    """Which device labels which."""

    def __init__(self, setup: Setup) -> None:
        """Make the graph of a setup's timecode."""
        super().__init__(setup, lambda link: link.carries_label, lambda device: device.timecode.source.value)

    @cached_property
    def arriving(self) -> Mapping[str, tuple[Feed, ...]]:
        """For each device, what reaches any of its ports, listened to or not."""
        found: dict[str, list[Feed]] = {}
        for end in self._into:
            if end.device in self.setup.devices and not self._is_through(end.device):
                found.setdefault(end.device, []).extend(self.feeds_at(end))
        return {key: tuple(feeds) for key, feeds in found.items()}

    def follows_continuously(self, key: str) -> bool:
        """Whether a device follows what it listens to for as long as it is plugged."""
        timecode = self.setup.devices[key].timecode
        if timecode.source.value in (None, OWN_CLOCK):
            return False
        if timecode.mode.value is not None:
            # A device in free run that is set to a port runs with what arrives there.
            return timecode.mode.value in ("continuous", "free run")
        # Mode unsaid: a lead that stays on is followed, one that is there to jam is not.
        return any(feed.last.connected.value == "all day" for feed in self.listened.get(key, ()))

    @cached_property
    def _writers(self) -> dict[str, str]:
        return {}

    def writer_of(self, key: str) -> str:
        """The device whose own counter makes the labels that reach this one: the first upstream that runs by itself."""
        chain: dict[str, None] = {}
        current = key
        while current not in self._writers and current not in chain and self.follows_continuously(current):
            chain[current] = None
            step = self._step(current)
            if isinstance(step, Root):
                break
            current = step
        writer = self._writers.get(current, current)
        round_again = False
        for each in chain:
            # Where a chain comes round, those of the circle are each their own: it is entered anywhere.
            round_again = round_again or each == current
            self._writers[each] = each if round_again else writer
        return self._writers.get(key, writer)


class ClockGraph(_Graph):
    """Which oscillator paces which device."""

    def __init__(self, setup: Setup) -> None:
        """Make the graph of a setup's references."""
        super().__init__(
            setup,
            lambda link: link.carries.value not in _NO_PACE,
            paced_from,
        )
        self._loops = {
            End(device.key, port.loop.value)
            for device in setup.devices.values()
            for port in device.ports.values()
            if port.loop.value
        }

    def _behind(self, link: Link) -> tuple[str, ...] | None:
        """The inputs that the pace of what leaves a socket came in at; None where the device itself gives it.

        What times pictures or digital sound anew, as a mixer of pictures does, sends them on at its own pace.
        """
        device = self.setup.devices.get(link.source.device)
        source = device.clock.source if device is not None and device.through else None
        anew = link.carries.value in _TIMED_ANEW and link.source not in self._loops
        if source is None or source.value is None or not source.stated or not anew:
            return super()._behind(link)
        return None if source.value == OWN_CLOCK else (source.value,)


_PICTURES = frozenset({"picture", "SDI timecode", "HDMI timecode"})
"""What brings whole pictures, with their pace."""


_TIMED_ANEW = _PICTURES | {"digital sound"}
"""What a through-thing that has a clock or a reference sends on at its own pace."""


class PictureGraph(_Graph):
    """Whose pictures reach which input."""

    def __init__(self, setup: Setup) -> None:
        """Make the graph of a setup's pictures."""
        super().__init__(setup, lambda link: link.carries.value in _PICTURES, lambda _: None)


def paced_from(device: Device) -> str | None:
    """The port that paces a device: as stated; and a recorder of pictures records those that come in, at their pace."""
    source, port = device.clock.source, device.ports.get(device.timecode.source.value or "")
    if source.assumed and device.cls.value == "video recorder" and port is not None:
        return port.key if not _PICTURES.isdisjoint(port.takes.value or ()) else source.value
    return source.value


def shortest_cycles(edges: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """One shortest cycle for each strongly connected knot of a graph, each from its first member by name.

    Networks without a cycle are told by peeling and never load the graph library.
    """
    left = _peeled(edges)
    if not left:
        return []
    import networkx as nx  # noqa: PLC0415 - 90 ms that only a rig with a loop pays for

    # By name and not as written: the same rig has the same cycles in whatever order its file lists it.
    order = {key: index for index, key in enumerate(sorted(edges))}
    inside = {key: sorted(source for source in edges[key] if source in left) for key in sorted(left)}
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_edges_from((key, source) for key, sources in inside.items() for source in sources)
    knots = (sorted(knot, key=order.__getitem__) for knot in nx.strongly_connected_components(graph))
    found = (_shortest_through(inside, knot, order) for knot in knots)
    return sorted((cycle for cycle in found if cycle), key=lambda cycle: order[cycle[0]])


def _peeled(edges: Mapping[str, Iterable[str]]) -> set[str]:
    """The devices left when all that lead to an end are taken away again and again."""
    waiting = {key: {source for source in sources if source in edges} for key, sources in edges.items()}
    dependents: dict[str, list[str]] = {}
    for key, sources in waiting.items():
        for source in sources:
            dependents.setdefault(source, []).append(key)
    done = [key for key, sources in waiting.items() if not sources]
    while done:
        ended = done.pop()
        del waiting[ended]
        for key in dependents.get(ended, ()):
            waiting[key].discard(ended)
            if not waiting[key]:
                done.append(key)
    return set(waiting)


def _shortest_through(
    edges: Mapping[str, Iterable[str]], members: list[str], order: Mapping[str, int]
) -> tuple[str, ...]:
    """The shortest cycle of a knot, told from its first member by name; none for one that has none."""
    knot = set(members)
    best: list[str] = []
    for member in members[:_KNOT_STARTS]:
        way = _way_back(edges, knot, member)
        if way and (not best or len(way) < len(best)):
            best = way
        if len(best) == 1:
            break
    if not best:
        return ()
    first = best.index(min(best, key=order.__getitem__))
    # Feeds are followed upstream; the way the signal runs is told the other way round.
    return tuple(reversed(best[first + 1 :] + best[: first + 1]))


def _way_back(edges: Mapping[str, Iterable[str]], knot: set[str], start: str) -> list[str]:
    """The shortest way along a knot's edges from a member back to itself, beginning with it; empty where none is."""
    came_from: dict[str, str] = {}
    pending = deque([start])
    while pending:
        here = pending.popleft()
        for following in edges[here]:
            if following == start:
                way = [here]
                while here != start:
                    here = came_from[here]
                    way.append(here)
                return way[::-1]
            if following in knot and following not in came_from:
                came_from[following] = here
                pending.append(following)
    return []


_KNOT_STARTS = 50
"""From how many members of a knot the shortest cycle is looked for; it bounds the work on a rig that is all knot."""
