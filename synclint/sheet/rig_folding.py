"""Devices that are wired and set alike, folded into one: the same kind, set the same, fed alike, and feeding alike.

Devices are told apart by what they are, and then again and again by what their neighbours turn out to be, until
nothing tells them apart any more (partition refinement). Each round looks only at the neighbours of what was told
apart in the last, so that a rig of thousands is folded as fast as it is read.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from synclint.rig.model import Setup
from synclint.sheet.rig_wires import Role, Way, Wire, stem

FEWEST = 3
"""So many devices, at least, are folded into one box: two are soon drawn, and better looked at one by one."""
MANY = 36
"""Beyond so many boxes pairs are folded too."""


@dataclass(frozen=True, slots=True)
class Group:
    """Devices that are drawn as one box; mostly a single one."""

    keys: tuple[str, ...]
    chained: bool = False
    """Whether they hand a reference on from one to the next, in this order."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """Lines of one kind between two groups, drawn as one."""

    source: int
    target: int
    wires: tuple[Wire, ...]

    @property
    def role(self) -> Role:
        """What they do."""
        return self.wires[0].role

    @property
    def way(self) -> Way:
        """How long they are there, and through what."""
        return self.wires[0].way

    @property
    def taken(self) -> bool:
        """Whether what they bring is followed, recorded or passed on."""
        return self.wires[0].taken

    @property
    def circling(self) -> bool:
        """Whether they are on a circle."""
        return any(wire.circling for wire in self.wires)

    @property
    def numbers(self) -> tuple[int, ...]:
        """The findings about them."""
        return tuple(sorted({number for wire in self.wires for number in wire.numbers}))


@dataclass(frozen=True, slots=True)
class Folded:
    """A rig of groups."""

    groups: tuple[Group, ...]
    bundles: tuple[Bundle, ...]


def folded(setup: Setup, wires: Sequence[Wire], look: Mapping[str, Hashable], alone: Iterable[str]) -> Folded:
    """Fold a rig; `look` is what tells devices apart at sight, and those in `alone` are never folded."""
    loops = _loops(setup)
    chains = _chains(wires, loops, look)
    edges = _edges(wires, chains, loops)
    few = FEWEST
    colours = _refined(look, edges, alone, few)
    if len(set(colours.values())) > MANY:
        colours = _refined(look, edges, alone, few - 1)
    return _made(colours, wires, chains)


def _refined(look: Mapping[str, Hashable], edges: _Edges, alone: Iterable[str], fewest: int) -> dict[str, int]:
    """The colours of devices, a colour a group; groups of less than `fewest` are taken apart, and what that tells."""
    painted = _Painted(look, edges)
    painted.take_apart(alone)
    while True:
        painted.refine()
        small = [key for members in painted.members if 1 < len(members) < fewest for key in members]
        if not small:
            return painted.colour
        painted.take_apart(small)


_Edges = Mapping[str, Sequence[tuple[Hashable, str]]]
"""For each device those that see it, each with how."""
_Loops = Mapping[tuple[str, str], str]


class _Painted:
    """Devices with the colours that tell them apart."""

    def __init__(self, look: Mapping[str, Hashable], edges: _Edges) -> None:
        self.edges = edges
        numbers: dict[Hashable, int] = {}
        self.colour = {key: numbers.setdefault(each, len(numbers)) for key, each in look.items()}
        self.members: list[dict[str, None]] = [{} for _ in numbers]
        for key, number in self.colour.items():
            self.members[number][key] = None
        self.pending = dict.fromkeys(range(len(numbers)))

    def take_apart(self, keys: Iterable[str]) -> None:
        """Give each of some devices a colour of its own."""
        for key in keys:
            if len(self.members[self.colour[key]]) > 1:
                self._paint([key])

    def refine(self) -> None:
        """Tell devices apart by their neighbours until these tell nothing more."""
        while self.pending:
            number, _ = self.pending.popitem()
            seen: dict[str, dict[Hashable, int]] = {}
            for key in self.members[number]:
                for how, other in self.edges.get(key, ()):
                    counts = seen.setdefault(other, {})
                    counts[how] = counts.get(how, 0) + 1
            self._tell_apart(seen)

    def _tell_apart(self, seen: Mapping[str, Mapping[Hashable, int]]) -> None:
        """Split the colours of devices by what each has of the neighbours that were looked at."""
        split: dict[int, dict[Hashable, list[str]]] = {}
        for key, counts in seen.items():
            parts = split.setdefault(self.colour[key], {})
            parts.setdefault(frozenset(counts.items()), []).append(key)
        for number, parts in split.items():
            rest = len(self.members[number]) - sum(map(len, parts.values()))
            told = sorted(parts.values(), key=len)  # the largest keeps its colour, so that little is looked at again
            if not rest or rest < len(told[-1]):
                kept = told.pop()
                if rest:
                    others = dict.fromkeys((*kept, *(key for part in told for key in part)))
                    told.append([key for key in self.members[number] if key not in others])
            for part in told:
                self._paint(part)

    def _paint(self, keys: Sequence[str]) -> None:
        """Give some devices of one colour a new one."""
        number = len(self.members)
        old = self.members[self.colour[keys[0]]]
        for key in keys:
            del old[key]
            self.colour[key] = number
        self.members.append(dict.fromkeys(keys))
        self.pending[number] = None


# --- a reference handed on from one to the next ---


def _loops(setup: Setup) -> dict[tuple[str, str], str]:
    """The loop-through sockets of devices, each with the port that it passes on."""
    return {
        (device.key, port.loop.value): port.key
        for device in setup.devices.values()
        if not device.through
        for port in device.ports.values()
        if port.loop.value
    }


def _chains(wires: Sequence[Wire], loops: _Loops, look: Mapping[str, Hashable]) -> dict[int, int]:
    """For each line that hands a reference on between devices alike, the line at the head of its chain, by index."""
    into = {(wire.target, wire.into): index for index, wire in reversed(list(enumerate(wires)))}
    found: dict[int, int | None] = {}
    for start in range(len(wires)):
        way: dict[int, None] = {}
        here = start
        while here not in found and here not in way:
            before = _before(wires[here], loops, into, look)
            if before is None:
                break
            way[here] = None
            here = before
        # One that goes round has no head, and what hangs on it neither.
        head = found.get(here, None if here in way else here)
        found |= dict.fromkeys(way, head)
    return {index: head for index, head in found.items() if head is not None}


def _before(wire: Wire, loops: _Loops, into: Mapping[tuple[str, str], int], look: Mapping[str, Hashable]) -> int | None:
    """The line that feeds the loop-through from which one goes on to a device alike."""
    port = loops.get((wire.source, wire.out))
    if port is None or look[wire.source] != look[wire.target] or port != wire.into:
        return None
    return into.get((wire.source, port))


def _edges(wires: Sequence[Wire], chains: Mapping[int, int], loops: _Loops) -> dict[str, list[tuple[Hashable, str]]]:
    """The lines as what neighbours see of each other; on a chain every member sees what feeds its head.

    That a device's loop-through goes on to one unlike it tells nothing of the device.
    """
    heads = set(chains.values())
    edges: dict[str, list[tuple[Hashable, str]]] = {}
    for index, wire in enumerate(wires):
        chained = index in heads or index in chains
        first = wires[chains.get(index, index)]
        how = (wire.role, wire.way, wire.signal, wire.taken, wire.numbers, stem(first.out), stem(wire.into), chained)
        edges.setdefault(first.source, []).append((("fed by", *how), wire.target))
        if index in chains or (wire.source, wire.out) not in loops:
            edges.setdefault(wire.target, []).append((("feeds", *how), first.source))
    return edges


def _made(colours: Mapping[str, int], wires: Sequence[Wire], chains: Mapping[int, int]) -> Folded:
    """The groups in the order of the file, and the bundles between them."""
    members: dict[int, list[str]] = {}
    for key, colour in colours.items():
        members.setdefault(colour, []).append(key)
    group_of = {key: index for index, keys in enumerate(members.values()) for key in keys}
    handed: dict[int, list[Wire]] = {}
    bundled: dict[Hashable, list[Wire]] = {}
    for index, wire in enumerate(wires):
        source, target = group_of[wire.source], group_of[wire.target]
        if source == target and index in chains:
            handed.setdefault(target, []).append(wire)
            continue
        how = (wire.role, wire.way, wire.signal, wire.taken, wire.numbers, stem(wire.out), stem(wire.into))
        bundled.setdefault((source, target, *how), []).append(wire)
    groups = tuple(
        Group(tuple(_in_order(keys, handed.get(index, ()))), index in handed)
        for index, keys in enumerate(members.values())
    )
    bundles = tuple(
        Bundle(group_of[each[0].source], group_of[each[0].target], tuple(each)) for each in bundled.values()
    )
    return Folded(groups, bundles)


def _in_order(keys: Sequence[str], handed: Iterable[Wire]) -> list[str]:
    """Members of a group, those of a chain in the order in which a reference goes along it."""
    onward: dict[str, list[str]] = {}
    for wire in handed:
        onward.setdefault(wire.source, []).append(wire.target)
    later = {key for keys_on in onward.values() for key in keys_on}
    ordered: dict[str, None] = {}
    pending = [key for key in reversed(keys) if key not in later]
    while pending:
        key = pending.pop()
        if key not in ordered:
            ordered[key] = None
            pending.extend(reversed(onward.get(key, ())))
    return list(dict.fromkeys((*ordered, *keys)))
