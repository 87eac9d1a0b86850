"""Radio groups as they are written: which group, channel and band their members are set to."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.documents.nodes import MappingNode
from synclint.rig.model import RadioGroup
from synclint.rig.reading import Desk, Reader
from synclint.trade.quantities import parse_duration, parse_frequency_range, parse_offset


def read_groups(desk: Desk, root: MappingNode) -> Iterator[RadioGroup]:
    """The radio groups of a setup, in the order written; who is in them stands in their links."""
    written = root.get("radio_groups")
    for key, entry in written.entries.items() if isinstance(written, MappingNode) else ():
        if not isinstance(entry.value, MappingNode):
            continue
        reader = Reader(desk, entry.value, desk.place(entry.value))
        yield RadioGroup(
            key=key,
            place=reader.place,
            group=reader.text("group"),
            channel=reader.text("channel"),
            band=reader.fact("band", read=parse_frequency_range),
            resync_every=reader.fact("resync", "every", read=parse_duration),
            resync_sets=reader.text("resync", "sets"),
            delay=reader.fact("delay", read=parse_offset),
        )
