"""A setup and its kits, as documents, to the frozen model of the rig."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from synclint.documents.nodes import Document, MappingNode, SequenceNode
from synclint.findings import Finding, unknown
from synclint.rig.assumed import TOLERANCE_WHY
from synclint.rig.days import build_days, device_keys, named, read_zone
from synclint.rig.devices import build_devices
from synclint.rig.kits import shelve
from synclint.rig.model import SUPPLIES, Acceptance, Device, Project, Setup, Unit
from synclint.rig.post import with_what_post_was_told
from synclint.rig.radio import read_groups
from synclint.rig.reading import Desk, Reader, truth, whole
from synclint.rig.wiring import wire
from synclint.trade.quantities import Offset, parse_date, parse_frequency, parse_offset
from synclint.trade.rates import parse_label_rate

_NO_MASTER = "none"
_MAIN_UNIT = "main"


@dataclass(frozen=True, slots=True)
class Built:
    """A setup as a rig, with what is wrong in its files."""

    setup: Setup
    problems: tuple[Finding, ...]
    names_resolve: bool
    """Whether every name is declared; where not, the rig has holes and no rule can be sure of it."""


def build(document: Document, kits: Iterable[Document], *, kits_complete: bool = True) -> Built:
    """Build the rig that a setup describes, with its kits merged in.

    Where a kit could not be read (`kits_complete`), what stands in none of the others is not told: it may be in that.
    """
    desk = Desk()
    kits = tuple(kits)
    for each in (document, *kits):
        desk.register(each)
    root = document.root
    reader = Reader(desk, root, desk.place(root))
    project = _project(desk, root)
    shelf = replace(shelve(desk, kits), complete=kits_complete)
    devices = build_devices(desk, root, shelf, project.rate)
    project = with_what_post_was_told(desk, root, project, devices)
    _check_masters(desk, project, devices)
    _check_supplies(desk, devices)
    units = dict(_units(desk, root, devices))
    for device in devices.values():
        if device.unit.value is not None and device.unit.value not in units and device.unit.value != _MAIN_UNIT:
            desk.unknown_name(device.unit.place, "unit", device.unit.value, (*units, _MAIN_UNIT))
    setup = Setup(
        file=document.file,
        place=reader.place,
        title=reader.text("title"),
        revision=reader.text("revision"),
        project=project,
        days=build_days(desk, root, devices),
        devices=devices,
        links=wire(desk, root, devices),
        units=units,
        accepted=tuple(_accepted(desk, root, devices)),
        radio_groups=tuple(read_groups(desk, root)),
    )
    return Built(setup, tuple(dict.fromkeys(desk.problems)), desk.names_resolve)


def check_kit(document: Document) -> tuple[Finding, ...]:
    """What is wrong among the names of a kit by itself."""
    desk = Desk()
    desk.register(document)
    shelve(desk, (document,))
    return tuple(dict.fromkeys(desk.problems))


def _tolerance(text: str) -> Offset:
    """What is tolerated; raises ValueError for less than nothing."""
    offset = parse_offset(text)
    if (offset.frames or offset.seconds or 0) < 0:
        raise ValueError("a tolerance is not below zero")
    return offset


def _project(desk: Desk, root: MappingNode) -> Project:
    """What the whole shoot agreed on; a tolerance that nobody states is assumed."""
    reader = Reader(desk, root, desk.place(root)).below("project")
    post = reader.below("post")
    return Project(
        place=reader.place,
        rate=reader.fact("rate", read=parse_label_rate),
        sample_rate=reader.fact("sample_rate", read=parse_frequency),
        timecode_as=reader.text("timecode", "as"),
        zone=read_zone(reader, "timecode", "zone"),
        tolerance=reader.fact("tolerance", read=_tolerance).else_assume(_ONE_FRAME, TOLERANCE_WHY),
        master_timecode=reader.text("master", "timecode"),
        master_clock=reader.text("master", "clock"),
        post_rate=post.fact("rate", read=parse_label_rate),
        post_sample_rate=post.fact("sample_rate", read=parse_frequency),
        post_time_stamp_bits=post.fact("time_stamp_bits", read=whole),
        post_reads_audio_timecode=post.fact("reads_audio_timecode", read=truth),
        post_audio_timecode_tried=post.fact("audio_timecode_tried", read=parse_date),
        post_second_way=post.words("second_way", read=str),
        post_sync_by=post.words("sync_by", read=str),
        dailies_keep=post.words("dailies", "keep", read=str),
        dailies_read_audio_timecode=post.fact("dailies", "read_audio_timecode", read=truth),
        post_corrects=unknown(post.place),
        post_song_timecode_on=unknown(post.place),
        logged_by=reader.text("logged_by"),
    )


_ONE_FRAME = parse_offset("1 frame")


def _check_masters(desk: Desk, project: Project, devices: Mapping[str, Device]) -> None:
    """Tell of a declared master that is no device."""
    for master in (project.master_timecode, project.master_clock):
        if master.value is not None and master.value != _NO_MASTER and master.value not in devices:
            desk.unknown_name(master.place, "device", master.value, (*devices, _NO_MASTER))


def _check_supplies(desk: Desk, devices: Mapping[str, Device]) -> None:
    """Tell of a device that is fed by one that is none."""
    for device in devices.values():
        feeder = device.power.source
        if feeder.value is not None and feeder.value not in devices and feeder.value not in SUPPLIES:
            desk.unknown_name(feeder.place, "device", feeder.value, (*devices, *SUPPLIES))


def _units(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> Iterator[tuple[str, Unit]]:
    """The crews with a master of their own."""
    written = root.get("units")
    keys = written.entries if isinstance(written, MappingNode) else {}
    for key, entry in keys.items():
        reader = Reader(desk, entry.value, desk.place(entry.value))
        unit = Unit(
            key=key,
            place=reader.place,
            master=reader.text("master"),
            cut_with=reader.words("cut_with", read=str),
            shares_timecode=reader.fact("shares_timecode", read=truth),
        )
        if unit.master.value is not None and unit.master.value not in devices:
            desk.unknown_name(unit.master.place, "device", unit.master.value, devices)
        for other in named(reader.node_at("cut_with")):
            if other.text not in keys and other.text != _MAIN_UNIT:
                desk.unknown_name(desk.place(other), "unit", other.text, (*keys, _MAIN_UNIT))
        yield key, unit


def _accepted(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> Iterator[Acceptance]:
    """The findings that somebody decided to live with."""
    written = root.get("accepted")
    for item in written.items if isinstance(written, SequenceNode) else ():
        if not isinstance(item, MappingNode):
            continue
        reader = Reader(desk, item, desk.place(item))
        yield Acceptance(
            place=reader.place,
            rule=reader.text("rule"),
            device=reader.text("device"),
            devices=tuple(device_keys(desk, named(item.get("device")), devices)),
            at=reader.text("at"),
            why=reader.text("why"),
            by=reader.text("by"),
            until=reader.fact("until", read=parse_date),
        )
