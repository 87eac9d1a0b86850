"""References that are plugged into a device and that it does not listen to, and who would pace whom if it did."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from synclint.findings import WHO, Fix, either
from synclint.rig.graphs import Feed, Root
from synclint.rig.model import OWN_CLOCK, Device, End
from synclint.rules.framework import Case
from synclint.rules.references_used import reference_edit

REFERENCES = frozenset({"black burst", "tri-level", "word clock", "AES reference"})
"""What is plugged to bring a pace and nothing else."""


def unheard(case: Case) -> Mapping[str, Feed]:
    """For each device that runs by its own clock, the reference that reaches it all the same."""
    return case.once(_unheard)


def _unheard(case: Case) -> dict[str, Feed]:
    return dict(_find(case))


def _find(case: Case) -> Iterator[tuple[str, Feed]]:
    meant = case.setup.project.master_clock.value
    fed: dict[str, dict[End, None]] = {}
    for link in case.setup.links:
        if link.carries.value in REFERENCES:
            fed.setdefault(link.target.device, {})[link.target] = None
    for key, device in case.setup.devices.items():
        if device.clock.source.value != OWN_CLOCK or not device.clock.source.stated or key == meant:
            continue
        # What a device only passes on is for those behind it.
        ends = [end for end in fed.get(key, ()) if end.port not in device.passes]
        feeds = (feed for end in ends for feed in case.clock.feeds_at(end))
        found = next((feed for feed in feeds if _paces(case, key, feed)), None)
        if found is not None:
            yield key, found


def _paces(case: Case, key: str, feed: Feed) -> bool:
    """Whether a feed is there to pace a device: it stays plugged, and another device's clock is behind it."""
    stays = feed.last.connected.value in (None, "all day") and not feed.last.only_compares
    root = case.clock.root_of(feed.source)
    return stays and feed.last.carries.value in REFERENCES and root.generates and root.device != key


def would_pace(case: Case, key: str) -> Root:
    """The clock that would be at the root of a device if everybody listened to the reference that is plugged in."""
    root, heard = case.clock.root_of(key), set[str]()
    while root.device in unheard(case) and root.device not in heard:
        heard.add(root.device)
        root = case.clock.root_of(unheard(case)[root.device].source)
    return root


def only_unheard(case: Case, one: str, other: str) -> bool:
    """Whether two devices go by two clocks only because a reference is not listened to, which is told for itself."""
    if one not in case.setup.devices or other not in case.setup.devices:
        return False
    apart = case.clock.root_of(one) != case.clock.root_of(other)
    return apart and would_pace(case, one) == would_pace(case, other)


def locked_together(case: Case, cameras: tuple[Device, ...]) -> Root | None:
    """The clock that paces most of some cameras, a reference or a camera with others on it; of equals the master."""
    counts = Counter(root for camera in cameras if (root := case.clock.root_of(camera.key)).generates)
    master = case.setup.project.master_clock.value
    own = {camera.key for camera in cameras}
    most = max(counts, key=lambda root: (counts[root], root.device == master, root.device not in own), default=None)
    by_itself = most is not None and counts[most] == 1 and most.device in own
    return None if by_itself else most


def locked_too(case: Case, device: Device, rest: Root | None, or_else: str) -> Fix:
    """To lock a loose camera: by the reference that is plugged already, or by one to come; or else what."""
    paces = case.setup.devices[case.clock.root_of(device.key).device]
    feed = unheard(case).get(paces.key)
    if feed is not None and rest == would_pace(case, device.key):
        says = f"Set {WHO} to the {feed.last.carries.value} that arrives at {feed.port}, {or_else}"
        return Fix(says, (reference_edit(paces, feed.port),))
    if rest is not None:
        return Fix(f"Lock {WHO} to {case.setup.called(rest.device)}, as the rest is, {or_else}")
    return Fix(f"Lock {WHO} and the cameras beside {either('it', 'them')} to one reference, {or_else}")
