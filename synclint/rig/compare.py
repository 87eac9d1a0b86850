"""What a setup has otherwise than an earlier version of it, in words of the rig."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.findings import shortened
from synclint.rig.model import Device, Link, Setup

_PROJECT = ("project", "units", "radio_groups", "networks")
"""What is compared key by key."""
_OF_AN_EVENT = ("at", "do", "of")
NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is otherwise: where, in words of the rig, and how."""

    where: str
    says: str


@dataclass(frozen=True, slots=True)
class Version:
    """A setup as it was written at some time, kits merged in, with the mapping at the root of its file."""

    setup: Setup
    root: MappingNode


def compare(old: Version, new: Version) -> tuple[Difference, ...]:
    """Every difference: of the project, the days, the devices, then the links; each list in the order of the file."""
    found = [*_of_project(old.root, new.root), *_of_days(old.root, new.root)]
    found += _of_devices(old.setup, new.setup)
    found += _of_links(old.setup, new.setup)
    return tuple(found)


# --- key by key ------------------------------------------------------------------------------------------------


def flat(node: Node | None, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], str]:
    """Every value below a node by its keys, as it is written; a list is one value."""
    if isinstance(node, MappingNode):
        found: dict[tuple[str, ...], str] = {}
        for key, entry in node.entries.items():
            found |= flat(entry.value, (*path, key))
        return found
    return {} if node is None or not path else {path: text_of(node)}


def text_of(node: Node | None) -> str:
    """A value as one writes it on a line."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, SequenceNode):
        return f"[{', '.join(map(text_of, node.items))}]"
    if isinstance(node, MappingNode):
        return f"{{{', '.join(f'{key}: {text_of(entry.value)}' for key, entry in node.entries.items())}}}"
    return ""


def _by_key(where: str, old: Node | None, new: Node | None) -> Iterator[Difference]:
    """The keys below two nodes that do not say the same."""
    was, now = flat(old), flat(new)
    for path in dict.fromkeys((*now, *was)):
        before, after = was.get(path), now.get(path)
        if before != after:
            yield Difference(where, f"{' '.join(path)}: {_change(before, after)}")


def _change(before: str | None, after: str | None) -> str:
    old = NOT_STATED if before is None else shortened(before)
    return f"{NOT_STATED if after is None else shortened(after)}, was {old}"


def _of_project(old: MappingNode, new: MappingNode) -> Iterator[Difference]:
    for key in _PROJECT:
        was, now = old.get(key), new.get(key)
        if key == "project":
            yield from _by_key("project", was, now)
            continue
        for name in dict.fromkeys((*_keys(now), *_keys(was))):
            where = f"{key.removesuffix('s').replace('_', ' ')} {name}"
            yield from _by_key(where, _below(was, name), _below(now, name))


def _keys(node: Node | None) -> tuple[str, ...]:
    return tuple(node.entries) if isinstance(node, MappingNode) else ()


def _below(node: Node | None, key: str) -> Node | None:
    return node.get(key) if isinstance(node, MappingNode) else None


# --- days ------------------------------------------------------------------------------------------------------


def _of_days(old: MappingNode, new: MappingNode) -> Iterator[Difference]:
    """Days are the same where they have one date, or one place in the list where nobody dates them."""
    was, now = _days(old), _days(new)
    for name in dict.fromkeys((*now, *was)):
        before, after = was.get(name), now.get(name)
        if before is None or after is None:
            yield Difference(name, "new day" if before is None else "day taken out")
            continue
        yield from _by_key(name, _without_events(before), _without_events(after))
        yield from _of_events(name, before.get("events"), after.get("events"))


def _days(root: MappingNode) -> dict[str, MappingNode]:
    days = root.get("days")
    nodes = [node for node in days.items if isinstance(node, MappingNode)] if isinstance(days, SequenceNode) else []
    return {text_of(node.get("date")) or f"day {number}": node for number, node in enumerate(nodes, 1)}


def _without_events(day: MappingNode) -> MappingNode:
    return MappingNode({key: entry for key, entry in day.entries.items() if key != "events"}, day.span)


def _of_events(day: str, old: Node | None, new: Node | None) -> Iterator[Difference]:
    """Events that are new, gone, or the same at another time."""
    was, now = Counter(_events(old)), Counter(_events(new))
    gone, come = list((was - now).elements()), list((now - was).elements())
    for event in come:
        moved = next((other for other in gone if other.what == event.what), None)
        if moved is not None:
            gone.remove(moved)
            yield Difference(day, f"{event.what}: at {event.at}, was at {moved.at}")
        else:
            yield Difference(day, f"new at {event.at}: {event.what}")
    for event in gone:
        yield Difference(day, f"no more at {event.at}: {event.what}")


@dataclass(frozen=True, slots=True)
class _Event:
    at: str
    what: str


def _events(node: Node | None) -> Iterator[_Event]:
    for item in node.items if isinstance(node, SequenceNode) else ():
        if isinstance(item, MappingNode):
            more = [f"{key} {text_of(item.get(key))}" for key in item.entries if key not in _OF_AN_EVENT]
            of = f" of {text_of(item.get('of'))}" if item.get("of") is not None else ""
            what = ", ".join([f"{text_of(item.get('do'))}{of}", *more])
            yield _Event(text_of(item.get("at")), what)


# --- devices and links -----------------------------------------------------------------------------------------


def _of_devices(old: Setup, new: Setup) -> Iterator[Difference]:
    for key in dict.fromkeys((*new.devices, *old.devices)):
        was, now = old.devices.get(key), new.devices.get(key)
        if was is None and now is not None:
            yield Difference(now.called, f"new device{_kind(now)}")
        elif was is not None and now is None:
            yield Difference(was.called, f"taken out{_kind(was)}")
        elif was is not None and now is not None:
            yield from _by_key(now.called, *(_set_only(device.settings) for device in (was, now)))
            yield from _by_key(f"{now.called}, what it can do", was.abilities, now.abilities)


def _set_only(settings: Node | None) -> Node | None:
    """The settings of a device, without the words by which it takes them over from another."""
    if not isinstance(settings, MappingNode):
        return settings
    return MappingNode({key: entry for key, entry in settings.entries.items() if key != "like"}, settings.span)


def _kind(device: Device) -> str:
    kind = device.kind.value or device.cls.value
    return f" ({kind})" if kind else ""


def _of_links(old: Setup, new: Setup) -> Iterator[Difference]:
    was, now = _links(old), _links(new)
    for ends in dict.fromkeys((*now, *was)):
        before, after = was.get(ends), now.get(ends)
        if before is not None and after is not None:
            yield from _of_link(_ends(new, after), before, after)
        elif after is not None:
            yield Difference(_ends(new, after), f"new: {_carried(after)}")
        elif before is not None:
            yield Difference(_ends(old, before), f"taken out: {_carried(before)}")


def _links(setup: Setup) -> Mapping[object, Link]:
    """The links by their ends and what they carry; one that is written twice counts once."""
    return {(link.source, link.target, link.carries.value, link.by): link for link in setup.links}


def _ends(setup: Setup, link: Link) -> str:
    """A link by its ends: `Sound bag tc_out to box_a jack`."""
    ends = (f"{setup.called(end.device)} {end.port}" for end in (link.source, link.target))
    return " to ".join(ends)


def _carried(link: Link) -> str:
    said = [link.carries.value or "a link", f"by {link.by}", link.connected.value or ""]
    return ", ".join(filter(None, said))


def _of_link(where: str, old: Link, new: Link) -> Iterator[Difference]:
    for name, before, after in _said_of(old, new):
        if before != after:
            yield Difference(where, f"{name}: {_change(before or None, after or None)}")


def _said_of(old: Link, new: Link) -> Iterable[tuple[str, str, str]]:
    """What is said of both, as it is written."""
    yield "connected", old.connected.text, new.connected.text
    yield "format", old.format.text, new.format.text
    if old.lead is not None and new.lead is not None:
        yield "lead", old.lead.kind.text, new.lead.kind.text
        yield "length", old.lead.length.text, new.lead.length.text
        yield "pad", old.lead.pad.text, new.lead.pad.text
