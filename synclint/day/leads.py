"""Jams by a lead that is plugged for this alone, of a device whose link is lost for as long as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from synclint.day.moments import Carried
from synclint.rig.graphs import Feed
from synclint.rig.model import Device


def by_lead(
    key: str,
    former: str,
    devices: Mapping[str, Device],
    arriving: Iterable[Feed],
    time_of: Callable[[str], Carried | None],
) -> str | None:
    """The device from which one is jammed by a lead while it cannot hear its former source; None where from none.

    It is one from which a lead is there to jam, else the former source if it gives LTC, else another with its time
    that does, first of those that record. `time_of` tells the time of a device that is there and switched on.
    """
    meant = time_of(former)
    for feed in arriving:
        if feed.last.connected.value == "to jam" and feed.source != key and time_of(feed.source) is not None:
            return feed.source
    if meant is None or not any("LTC" in (port.takes.value or ()) for port in devices[key].ports.values()):
        return None
    for other in (former, *sorted(devices, key=lambda each: not devices[each].records)):
        time = time_of(other)
        if other == key or time is None or time.line != meant.line or key in time.through:
            continue
        if any("LTC" in (port.gives.value or ()) for port in devices[other].ports.values()):
            return other
    return None
