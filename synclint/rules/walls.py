"""Who belongs to a screen that is filmed: its cameras, the render nodes behind it, and the trackers of the cameras."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from synclint.rig.graphs import PictureGraph
from synclint.rig.model import Device, Link
from synclint.rig.timing import ALL
from synclint.rules.framework import Case


@dataclass(frozen=True, slots=True)
class Wall:
    """A screen before cameras, with all that its picture comes of."""

    screen: Device
    cameras: tuple[Device, ...]
    nodes: tuple[Device, ...]
    """What gives it its pictures."""
    trackers: tuple[Device, ...]
    leads: tuple[Link, ...]
    """All that is plugged into the screen."""

    @property
    def members(self) -> tuple[Device, ...]:
        """All of them, each once."""
        found = {device.key: device for device in (self.screen, *self.cameras, *self.nodes, *self.trackers)}
        return tuple(found.values())


def walls(case: Case) -> tuple[Wall, ...]:
    """All screens of which somebody says who films them."""
    return case.once(_walls)


def _walls(case: Case) -> tuple[Wall, ...]:
    devices = case.setup.devices
    screens = [device for device in devices.values() if device.screen.filmed_by.value]
    if not screens:
        return ()
    graph = PictureGraph(case.setup)
    trackers = [device for device in devices.values() if device.tracking is not None]
    leads: dict[str, list[Link]] = {}
    for link in case.setup.links:
        leads.setdefault(link.target.device, []).append(link)
    return tuple(_wall(case, screen, graph, trackers, tuple(leads.get(screen.key, ()))) for screen in screens)


def _wall(case: Case, screen: Device, graph: PictureGraph, trackers: Iterable[Device], leads: tuple[Link, ...]) -> Wall:
    devices = case.setup.devices
    cameras = cameras_named(case, screen.screen.filmed_by.value or ())
    sources = dict.fromkeys(feed.source for link in leads for feed in graph.feeds_at(link.target))
    keys = {camera.key for camera in cameras}
    return Wall(
        screen=screen,
        cameras=cameras,
        nodes=tuple(devices[key] for key in sources if key not in keys and key != screen.key),
        trackers=tuple(device for device in trackers if not keys.isdisjoint(tracked(case, device))),
        leads=leads,
    )


def cameras_named(case: Case, keys: tuple[str, ...]) -> tuple[Device, ...]:
    """The devices that take pictures among some keys; of `all`, every one."""
    devices = case.setup.devices
    named = devices.values() if ALL in keys else (devices[key] for key in keys if key in devices)
    return tuple(device for device in named if device.picture is not None)


def tracked(case: Case, device: Device) -> tuple[str, ...]:
    """The cameras that a tracker's data belong to; none of any other device."""
    of = device.tracking.of.value if device.tracking is not None else None
    return tuple(camera.key for camera in cameras_named(case, of)) if of else ()
