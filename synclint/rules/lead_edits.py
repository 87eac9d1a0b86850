"""What is written on the leads of a setup so that a fault is mended: how long one is plugged, where one goes."""

from __future__ import annotations

from collections.abc import Iterable

from synclint.findings import AddItem, AddKey, Edit, SetValue
from synclint.rig.graphs import Feed
from synclint.rig.model import Link
from synclint.rules.framework import Case


def plugged(case: Case, feeds: Iterable[Feed], connected: str) -> tuple[Edit, ...]:
    """The last leads of some feeds, plugged for so long; those that stand in one line with others are left alone."""
    edits: list[Edit] = []
    for link in (feed.last for feed in feeds):
        alone = sum(other.place == link.place for other in case.setup.links) == 1
        if link.by != "lead" or not alone:
            continue
        if link.connected.stated:
            edits.append(SetValue(link.connected.place, connected))
        else:
            edits.append(AddKey(link.place, "connected", connected))
    return tuple(dict.fromkeys(edits))


def jam_lead(case: Case, source: str, target: str) -> tuple[Edit, ...]:
    """A lead to jam from a device to a port, beside those that go out from it already, or in a line of its own."""
    for link in case.setup.links:
        if link.source.device == source and _is_to_jam(link) and not _is_in_pairs(case, link):
            return (AddItem(link.place, target, "to"),)
    ports = case.setup.devices[source].ports.values()
    port = next((port.key for port in ports if "LTC" in (port.gives.value or ())), None)
    if port is None:
        return ()
    written = f"{{from: {source}.{port}, to: {target}, carries: LTC, connected: to jam}}"
    return (AddItem(case.setup.place, written, "links"),)


def _is_to_jam(link: Link) -> bool:
    return link.by == "lead" and link.carries.value == "LTC" and link.connected.value == "to jam"


def _is_in_pairs(case: Case, link: Link) -> bool:
    """Whether the line of a lead has several outputs, each with an input of its own."""
    return len({other.source for other in case.setup.links if other.place == link.place}) > 1
