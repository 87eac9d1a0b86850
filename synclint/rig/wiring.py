"""Links, radio groups and networks: what is written, with its ranges, to one Link for every hop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import takewhile

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.documents.records import WRONG_VALUE
from synclint.findings import Fact, Place, SetValue, shortened, unknown
from synclint.rig.model import Device, End, Lead, Link
from synclint.rig.names import NameFormError, read_reference
from synclint.rig.reading import LINK_WORK, Desk, NameEdit, Reader, no_edit, truth
from synclint.rig.sockets import mapping_of
from synclint.trade.quantities import parse_decibels, parse_length


def wire(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> tuple[Link, ...]:
    """Every hop of every lead, radio group and network of a setup."""
    return tuple(takewhile(lambda link: desk.afford(LINK_WORK, link.place), _hops_of_all(desk, root, devices)))


def _hops_of_all(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> Iterator[Link]:
    """The links of leads, groups and networks, one by one."""
    yield from _leads(desk, root, devices)
    for key, maker in (("radio_groups", _group), ("networks", _network)):
        groups = root.get(key)
        for entry in groups.entries.values() if isinstance(groups, MappingNode) else ():
            if isinstance(entry.value, MappingNode):
                yield from maker(desk, entry.value, devices)


def _leads(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> Iterator[Link]:
    """The links that are written one by one."""
    written = root.get("links")
    for item in written.items if isinstance(written, SequenceNode) else ():
        if not isinstance(item, MappingNode):
            continue
        reader = Reader(desk, item, desk.place(item))
        sources, targets = (ends_named(desk, item.get(key), devices) for key in ("from", "to"))
        carries, connected = reader.text("carries"), reader.text("connected")
        lead = Lead(
            kind=reader.text("lead"),
            length=reader.fact("length", read=parse_length),
            pad=reader.fact("pad", read=parse_decibels),
            cold_leg=reader.text("cold_leg"),
            wiring=mapping_of(reader, "wiring"),
            cable=reader.text("cable"),
            dc_blocked=reader.fact("dc_blocked", read=truth),
        )
        for source, target in _pairs(desk, item, sources, targets):
            yield Link(
                source=source,
                target=target,
                place=reader.place,
                carries=carries,
                connected=connected,
                format=reader.text("format"),
                lead=lead,
            )


def _pairs(desk: Desk, item: MappingNode, sources: list[End], targets: list[End]) -> Iterator[tuple[End, End]]:
    """Which source goes to which target: one to all, or pairwise."""
    if len(sources) == 1:
        yield from ((sources[0], target) for target in targets)
    elif len(sources) == len(targets):
        yield from zip(sources, targets, strict=True)
    elif sources and targets:
        says = (
            f"{len(sources)} outputs cannot be paired with {len(targets)} inputs; write as many of one as of the other"
        )
        desk.names_resolve = False  # the leads that are meant are not known
        desk.tell(WRONG_VALUE, desk.place(item), says)


def ends_named(desk: Desk, node: Node | None, devices: Mapping[str, Device]) -> list[End]:
    """The ends that a reference or a list of them names; where one is unknown it is told, and there are none."""
    found: list[End] = []
    whole = True
    for item in node.items if isinstance(node, SequenceNode) else (node,):
        if not isinstance(item, Scalar):
            continue
        try:
            reference = read_reference(item.text)
        except NameFormError as error:
            desk.names_resolve = False
            desk.tell(WRONG_VALUE, desk.place(item), f"{shortened(item.text)}: {error}")
            whole = False
            continue
        if not desk.afford(len(reference.devices) * len(reference.ports), desk.place(item)):
            return []
        missing = next((key for key in reference.devices if key not in devices), None)
        if missing is not None:
            port = item.text.partition(f"{missing}.")[2]
            edit = _as_device(port) if reference.devices == (missing,) else no_edit
            desk.unknown_name(desk.place(item), "device", missing, devices, edit=edit)
        elif all(_has(desk, item, devices[key], reference.ports) for key in reference.devices):
            found += [End(key, port) for key in reference.devices for port in reference.ports]
            continue
        whole = False
    return found if whole else []


def _as_device(port: str) -> NameEdit:
    """The edit of a link's end that puts another device before the port."""
    return lambda place, name: SetValue(place, f"{name}.{port}")


def _as_port(device: str) -> NameEdit:
    """The edit of a link's end that puts another port after the device."""
    return lambda place, name: SetValue(place, f"{device}.{name}")


def _has(desk: Desk, node: Scalar, device: Device, ports: tuple[str, ...]) -> bool:
    """Whether a device has some ports; one whose ports nobody lists has any that a link names."""
    listed = port_names(device)
    port = next((port for port in ports if port not in listed), None) if listed else None
    if port is None:
        return True
    edit = _as_port(device.key) if node.text == f"{device.key}.{port}" else no_edit
    desk.unknown_port(desk.place(node), device.key, port, listed, edit)
    return False


def port_names(device: Device) -> dict[str, None]:
    """All sockets of a device: its ports, its loop-throughs, and what a through-thing passes between."""
    loops = (port.loop.value for port in device.ports.values() if port.loop.value)
    passed = (out for outs in device.passes.values() for out in outs)
    return dict.fromkeys((*device.ports, *loops, *device.passes, *passed))


_ALL_DAY = "all day"


def _group(desk: Desk, node: MappingNode, devices: Mapping[str, Device]) -> Iterator[Link]:
    """A radio group: its sender reaches every receiver, all day."""
    reader = Reader(desk, node, desk.place(node))
    carries = reader.text("carries")
    if reader.text("resync", "sets").value == "clock":
        # A radio that steers the clock brings a pace with its timecode.
        carries = Fact("clock", carries.place, text=carries.text)
        timecode = reader.text("carries")
        yield from _hops(desk, node, devices, "sends", "receives", timecode, reader.place, "radio")
    yield from _hops(desk, node, devices, "sends", "receives", carries, reader.place, "radio")


def _network(desk: Desk, node: MappingNode, devices: Mapping[str, Device]) -> Iterator[Link]:
    """A network: every leader may reach every member and every other leader."""
    reader = Reader(desk, node, desk.place(node))
    carries = reader.text("carries")
    known: set[tuple[End, End]] = set()
    for into in ("members", "leaders"):
        for link in _hops(desk, node, devices, "leaders", into, carries, reader.place, "network"):
            if (link.source, link.target) not in known:  # a leader may be written among the members too
                known.add((link.source, link.target))
                yield link


def _hops(
    desk: Desk,
    node: MappingNode,
    devices: Mapping[str, Device],
    out: str,
    into: str,
    carries: Fact[str],
    place: Place,
    by: str,
) -> Iterator[Link]:
    """One link from each sender of a group to each of its receivers."""
    sources = ends_named(desk, node.get(out), devices)
    targets = sources if into == out else ends_named(desk, node.get(into), devices)
    connected = Fact(_ALL_DAY, place, text=_ALL_DAY)
    nothing: Fact[str] = unknown(place)
    for source in sources:
        for target in targets:
            if target != source:
                yield Link(
                    source=source,
                    target=target,
                    place=place,
                    carries=carries,
                    connected=connected,
                    format=nothing,
                    by=by,
                )
