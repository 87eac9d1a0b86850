"""The devices of a setup: what is written of each, with what it takes over from another and from its kit type."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.documents.records import CLASHING_NAMES
from synclint.findings import Fact, Mention, Place, shortened, unknown
from synclint.rig.kits import Shelf, chain
from synclint.rig.model import OWN_CLOCK, Device, Patch, PictureSide, SoundSide, TimecodeSide
from synclint.rig.names import NameFormError, written_out
from synclint.rig.pace_and_power import clock_side, power_side
from synclint.rig.reading import (
    DEVICE_WORK,
    Desk,
    Reader,
    first_written,
    overlaid,
    truth,
    whole,
    without,
)
from synclint.rig.recordings import read_handover
from synclint.rig.sockets import mapping_of, ports_of
from synclint.rig.timing import check_names, screen_of, tracking_of
from synclint.trade.exposure import parse_shutter
from synclint.trade.phase import parse_phase
from synclint.trade.quantities import parse_date, parse_decibels, parse_duration, parse_frequency, parse_offset
from synclint.trade.rates import LabelRate, Rate, parse_label_rate, parse_rate
from synclint.trade.sizes import parse_size

_NOT_TAKEN_OVER = frozenset({"name", "item", "serial", "like"})
_VARIABLE = "variable"


@dataclass(frozen=True, slots=True)
class _Layers:
    """A device's settings and abilities, each merged from wherever they stand."""

    settings: Node | None
    abilities: Node | None


def build_devices(desk: Desk, root: MappingNode, shelf: Shelf, project_rate: Fact[LabelRate]) -> dict[str, Device]:
    """Every device of a setup by its key, ranges written out."""
    written = dict(_written(desk, root))
    layers: dict[str, _Layers] = {}
    devices = {}
    for key, own in written.items():
        for each in chain(desk, written, key, "like", "device", layers):
            layers[each] = _layers(desk, written[each], layers, shelf)
        devices[key] = _device(desk, key, own, layers[key], shelf, project_rate)
    _tell_same_names(desk, devices)
    check_names(desk, root.get("devices"), devices)
    return devices


def _written(desk: Desk, root: MappingNode) -> Iterator[tuple[str, MappingNode]]:
    """Keys and nodes of the devices as written; ranges that overlap are told."""
    nodes = root.get("devices")
    first: dict[str, str] = {}
    if not isinstance(nodes, MappingNode):
        return
    for name, entry in nodes.entries.items():
        if not isinstance(entry.value, MappingNode):
            continue
        try:
            keys = written_out(name)
        except NameFormError as error:
            desk.names_resolve = False
            desk.tell(CLASHING_NAMES, desk.key_place(nodes, name), f"{shortened(name)}: {error}")
            continue
        if not desk.afford(DEVICE_WORK * len(keys), desk.place(entry.value)):
            return
        taken = next((key for key in keys if key in first), None)
        if taken is not None:
            says = f"{taken} is declared twice, here and by {first[taken]}"
            desk.tell(CLASHING_NAMES, desk.key_place(nodes, name), says)
            desk.names_resolve = False
            continue
        desk.name_places[id(entry.value)] = desk.key_place(nodes, name)
        for key in keys:
            first[key] = name
            yield key, entry.value


def _layers(desk: Desk, own: MappingNode, layers: Mapping[str, _Layers], shelf: Shelf) -> _Layers:
    """What a device states, over what the device it is like states."""
    like = own.get("like")
    under = layers.get(like.text) if isinstance(like, Scalar) else None
    base = without(desk, _with_type(desk, under.settings, shelf), _NOT_TAKEN_OVER) if under else None
    settings = overlaid(desk, base, without(desk, own, frozenset({"able"})))
    return _Layers(settings, overlaid(desk, under.abilities if under else None, own.get("able")))


def _with_type(desk: Desk, settings: Node | None, shelf: Shelf) -> Node | None:
    """Settings with the type that only the numbered piece says, so that it is taken over though the piece is not."""
    item = settings.get("item") if isinstance(settings, MappingNode) else None
    piece = shelf.items.get(item.text) if isinstance(item, Scalar) else None
    if (
        not isinstance(settings, MappingNode)
        or piece is None
        or "type" in settings.entries
        or "type" not in piece.entries
    ):
        return settings
    return desk.adopt(MappingNode({**settings.entries, "type": piece.entries["type"]}, settings.span), settings)


def _device(
    desk: Desk, key: str, own: MappingNode, layers: _Layers, shelf: Shelf, project_rate: Fact[LabelRate]
) -> Device:
    """One device from its layers."""
    place = desk.place(own)
    settings = Reader(desk, layers.settings, place)
    piece = _piece(desk, settings, shelf)
    kind = _kind(desk, settings, piece, shelf)
    abilities = Reader(desk, overlaid(desk, shelf.types.get(kind.value or ""), layers.abilities), place)
    cls = first_written(settings.text("class"), abilities.text("class"))
    name = settings.text("name") if place.path[-1:] == (key,) else unknown(place)  # a range shares one name
    timecode_on = first_written(
        settings.words("records", "timecode_on", read=str), settings.words("timecode_on", read=str)
    )
    passes = settings.node_at("passes") or abilities.node_at("passes")
    timecode = _timecode(settings, abilities)
    device = Device(
        key=key,
        called=name.value or key,
        place=desk.name_places[id(own)],
        kind=kind,
        cls=cls,
        unit=settings.text("unit"),
        timecode=timecode,
        clock=clock_side(
            settings,
            Reader(desk, layers.abilities, place),
            abilities,
            piece,
            cls,
            through=isinstance(passes, MappingNode),
        ),
        power=power_side(settings, abilities),
        picture=_picture(settings, abilities, timecode.rate, project_rate),
        sound=_sound(settings, abilities),
        timecode_on=timecode_on,
        ports=ports_of(desk, key, settings, abilities),
        passes=_passes(desk, passes),
        passes_timecode=first_written(
            settings.words("passes_timecode", read=str), abilities.words("passes_timecode", read=str)
        ),
        passive=first_written(settings.fact("passive", read=truth), abilities.fact("passive", read=truth)),
        trigger=settings.fact("trigger", read=truth),
        offset=settings.fact("offset", "amount", read=parse_offset),
        offset_corrected_in=settings.below("offset").text("corrected_in"),
        offset_entered=settings.below("offset").fact("entered", read=parse_offset),
        longest_take=settings.fact("longest_take", read=parse_duration),
        offset_tested=settings.below("offset").fact("tested", read=parse_date),
        delay=first_written(settings.fact("delay", read=parse_offset), abilities.fact("delay", read=parse_offset)),
        plays_tracks=mapping_of(settings.below("plays"), "tracks"),
        plays_speed=settings.below("plays").fact("speed", read=_speed),
        plays_timecode=settings.below("plays").text("timecode"),
        plays_continuous=settings.below("plays").fact("continuous", read=truth),
        screen_timecode=settings.fact("screen", "timecode", read=truth),
        screen_refresh=settings.fact("screen", "refresh", read=parse_rate),
        screen=screen_of(settings),
        tracking=tracking_of(settings),
        handover=read_handover(desk, own, settings, abilities, timecode_on),
        rate_names=_rate_names(abilities),
        settings=layers.settings,
        abilities=abilities.node,
    )
    _check_own_ports(desk, device)
    return device


def read_patch(desk: Desk, node: Node | None, place: Place) -> Patch | None:
    """The settings that a `set` event names, read as a device's are."""
    if not isinstance(node, MappingNode):
        return None
    settings, nothing = Reader(desk, node, place), Reader(desk, None, place)
    return Patch(
        timecode=_timecode(settings, nothing),
        clock=clock_side(settings, nothing, nothing, None, unknown(place), through=True),
        picture=_picture(settings, nothing, unknown(place), unknown(place)),
        sound=_sound(settings, nothing),
        timecode_on=settings.words("records", "timecode_on", read=str),
        trigger=settings.fact("trigger", read=truth),
        plays_speed=settings.fact("plays", "speed", read=_speed),
    )


def _piece(desk: Desk, settings: Reader, shelf: Shelf) -> MappingNode | None:
    """The numbered piece on the shelf that a device is."""
    serial = settings.text("item")
    if serial.value is None:
        return None
    if serial.value not in shelf.items and shelf.complete:
        desk.unknown_name(serial.place, "numbered piece", serial.value, shelf.items)
    return shelf.items.get(serial.value)


def _kind(desk: Desk, settings: Reader, piece: MappingNode | None, shelf: Shelf) -> Fact[str]:
    """The kit type of a device; one that no kit lists is told."""
    kind = settings.text("type")
    if kind.value is None and piece is not None:
        kind = Reader(desk, piece, settings.place).text("type")
    elif kind.value is not None and kind.value not in shelf.types and shelf.complete:
        note = "" if shelf.types else "; no kit is named under kits:"
        desk.unknown_name(kind.place, "type of the kits", kind.value, shelf.types, note)
    return kind


def _timecode(settings: Reader, abilities: Reader) -> TimecodeSide:
    """How a device is labelled, and how it can be."""
    side = settings.below("timecode")
    return TimecodeSide(
        place=side.place,
        source=side.text("from"),
        mode=side.text("mode"),
        rate=side.fact("rate", read=parse_label_rate),
        able_rates=abilities.words("timecode", "rates", read=parse_label_rate),
        able_modes=abilities.words("timecode", "modes", read=str),
        loses_time_on=abilities.words("timecode", "loses_time_on", read=str),
        keeps_time_off=abilities.fact("timecode", "keeps_time_off", read=parse_duration),
        at_power_up=abilities.text("timecode", "at_power_up"),
        jam_error=abilities.fact("timecode", "jam_error", read=parse_offset),
    )


def _picture(
    settings: Reader, abilities: Reader, own: Fact[LabelRate], project_rate: Fact[LabelRate]
) -> PictureSide | None:
    """The picture that a device records, or None where it records none."""
    node = settings.node_at("records", "picture") or abilities.node_at("records", "picture")
    if node is None:
        return None
    side = settings.below("records").below("picture")
    variable = side.text("shot_at").value == _VARIABLE
    shot_at: Fact[Rate] = unknown(side.place) if variable else side.fact("shot_at", read=parse_rate)
    played_at = side.fact("played_at", read=parse_rate)
    if shot_at.value is not None and own.value is not None and own.value.rate == shot_at.value:
        played_at = played_at.else_assume(shot_at.value, "files play as a camera shoots and counts unless stated")
    elif shot_at.value is not None and project_rate.value is not None:
        played_at = played_at.else_assume(project_rate.value.rate, "files play at the project's rate unless stated")
    return PictureSide(
        place=side.place,
        shot_at=shot_at,
        played_at=played_at,
        variable=Fact(variable, side.place, text=str(variable)),
        shutter=side.fact("shutter", read=parse_shutter),
        readout=abilities.fact("records", "picture", "readout", read=parse_phase),
    )


def _sound(settings: Reader, abilities: Reader) -> SoundSide | None:
    """The sound that a device records, or None where it records none."""
    node = settings.node_at("records", "sound")
    if node is None:
        node = abilities.node_at("records", "sound")
    if not isinstance(node, MappingNode):
        return None  # absent, or `sound: none`
    side, able = settings.below("records").below("sound"), abilities.below("records").below("sound")
    sample_rate = side.fact("sample_rate", read=parse_frequency)
    stamped = side.fact("stamped", read=parse_frequency)
    limit, track_count = side.fact("limit", read=parse_size), side.fact("track_count", read=whole)
    return SoundSide(
        place=side.place,
        sample_rate=sample_rate,
        # A header says what the file was recorded at unless somebody set it to say otherwise.
        stamped=stamped if stamped.written else sample_rate,
        bit_depth=first_written(side.fact("bit_depth", read=whole), able.fact("bit_depth", read=whole)),
        container=first_written(side.text("container"), able.text("container")),
        files=first_written(side.text("files"), able.text("files")),
        limit=limit if limit.written else able.fact("limit", read=parse_size),
        track_count=track_count if track_count.written else able.fact("track_count", read=whole),
        tracks=_tracks(side),
        able_sample_rates=able.words("sample_rates", read=parse_frequency),
        coding=first_written(side.text("coding"), able.text("coding")),
        separation=able.fact("separation", read=parse_decibels),
        lag=able.fact("lag", read=parse_offset),
    )


def _tracks(side: Reader) -> Fact[Mapping[str, str]]:
    """What stands on each track."""
    node = side.node_at("tracks")
    if not isinstance(node, MappingNode):
        return unknown(side.place)
    found = {key: entry.value.text for key, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    return Fact(found, side.desk.place(node), text="{}")


def _check_own_ports(desk: Desk, device: Device) -> None:
    """Tell of a device that listens to a port that it does not have."""
    for source in (device.timecode.source, device.clock.source):
        name = source.value
        if name is None or name == OWN_CLOCK or source.assumed or not device.ports or name in device.ports:
            continue
        desk.unknown_port(source.place, device.key, name, device.ports, besides=(OWN_CLOCK,))


def _passes(desk: Desk, node: Node | None) -> dict[str, tuple[str, ...]]:
    """A through-thing's inputs with the outputs they feed, ranges written out."""
    found: dict[str, tuple[str, ...]] = {}
    for into, entry in node.entries.items() if isinstance(node, MappingNode) else ():
        outs: list[str] = []
        value = entry.value
        for item in value.items if isinstance(value, SequenceNode) else (value,):
            if isinstance(item, Scalar):
                outs += _outs(desk, item)
        found[into] = tuple(outs)
    return found


def _outs(desk: Desk, item: Scalar) -> tuple[str, ...]:
    """The outputs that one name or range names."""
    if not desk.afford(0, desk.place(item)):
        return ()
    try:
        names = written_out(item.text)
        return names if desk.afford(len(names), desk.place(item)) else ()
    except NameFormError as error:
        if desk.first_time(item):
            desk.names_resolve = False
            desk.tell(CLASHING_NAMES, desk.place(item), f"{shortened(item.text)}: {error}")
        return ()


def _rate_names(abilities: Reader) -> dict[str, str]:
    """What the menu's rounded rate names mean on this type."""
    return {
        key: entry.value.text
        for key, entry in abilities.below("rate_names").entries()
        if isinstance(entry.value, Scalar)
    }


def _speed(text: str) -> Fraction:
    """A playback speed such as 1001/1000 or 2.002; raises ValueError."""
    try:
        speed = Fraction(text if len(text) <= 20 else "x")
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"{shortened(text)} is not a speed; write a ratio such as 1001/1000") from None
    if speed <= 0:
        raise ValueError("a playback speed is above zero")
    return speed


def _tell_same_names(desk: Desk, devices: Mapping[str, Device]) -> None:
    """Tell of two devices with one name: on the sheet nobody could tell which is meant."""
    first: dict[str, Device] = {}
    for device in devices.values():
        other = first.setdefault(device.called, device)
        if other is not device and other.place != device.place:
            mention = Mention(other.place, other.key)
            says = f"{other.key} and {device.key} are both called {shortened(device.called)}"
            desk.problems.append(CLASHING_NAMES.finding(at=device.place, says=says, also=(mention,)))
