"""What sockets, screens and trackers do to the timing of pictures and sound, as stated in setup and kit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.findings import Fact, Place, unknown
from synclint.rig.names import NameFormError, written_out
from synclint.rig.reading import Desk, Reader, truth
from synclint.rig.settings import able_to_set, as_set
from synclint.trade.phase import parse_phase
from synclint.trade.quantities import Offset, parse_offset
from synclint.trade.rates import Rate, parse_rate

ALL = "all"


@dataclass(frozen=True, slots=True)
class PortTiming:
    """What a socket does to the timing of what comes in or goes out."""

    loop_through: Fact[str]
    """`passive` or `active`, of an input that is passed on."""
    ten_field_mark: Fact[str]
    """`switched on` or `switched off`: whether an output bears the mark, or an input reads it."""
    able_ten_field_mark: Fact[str]
    sample_rate_converter: Fact[str]
    """`switched on` or `switched off`, of an input for digital sound."""
    able_sample_rate_converter: Fact[str]
    frame_synchroniser: Fact[bool]
    """Whether pictures are held until the device's own reference calls for them."""
    timed_within: Fact[Fraction]
    """How many seconds early or late against the device's reference a picture may arrive."""
    paces_pictures: Fact[bool]
    """Whether what arrives can pace pictures, and not only labels."""


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen before cameras: who films it, and when it changes; how often stands at the device."""

    place: Place
    filmed_by: Fact[tuple[str, ...]]
    """Keys of devices, ranges written out."""
    changes_at: Fact[Fraction]
    """How many seconds after its reference it changes from one picture to the next."""


@dataclass(frozen=True, slots=True)
class Tracking:
    """What a device tells as data of where cameras, lenses or people are."""

    place: Place
    of: Fact[tuple[str, ...]]
    """Keys of the cameras whose pictures the data belong to, ranges written out."""
    rate: Fact[Rate]
    """Readings a second."""
    delay: Fact[Offset]
    corrected_in: Fact[str]
    """`render node`, `post` or `nowhere`."""


def port_timing(port: Reader, set_to: Reader) -> PortTiming:
    """What a socket does to timing, from what it can do (`port`) and how it is set (`set_to`)."""
    return PortTiming(
        loop_through=port.text("loop_through"),
        ten_field_mark=as_set(port, set_to, "ten_field_mark"),
        able_ten_field_mark=able_to_set(port, set_to, "ten_field_mark"),
        sample_rate_converter=as_set(port, set_to, "sample_rate_converter"),
        able_sample_rate_converter=able_to_set(port, set_to, "sample_rate_converter"),
        frame_synchroniser=port.fact("frame_synchroniser", read=truth),
        timed_within=port.fact("timed_within", read=parse_phase),
        paces_pictures=port.fact("paces_pictures", read=truth),
    )


def screen_of(settings: Reader) -> Screen:
    """The screen of a device."""
    side = settings.below("screen")
    return Screen(
        place=side.place,
        filmed_by=_keys(side, "filmed_by"),
        changes_at=side.fact("changes_at", read=parse_phase),
    )


def tracking_of(settings: Reader) -> Tracking | None:
    """The data that a tracker gives; None of a device that is none."""
    if not isinstance(settings.node_at("tracking"), MappingNode):
        return None
    side = settings.below("tracking")
    return Tracking(
        place=side.place,
        of=_keys(side, "of"),
        rate=side.fact("rate", read=parse_rate),
        delay=side.fact("delay", read=parse_offset),
        corrected_in=side.text("corrected_in"),
    )


def _keys(reader: Reader, key: str) -> Fact[tuple[str, ...]]:
    """The devices that a word or a list of words names; which of them exist is looked at once all are known."""
    node = reader.node_at(key)
    names = _names(node)
    if node is None or not names:
        return unknown(reader.place)
    known: dict[tuple[int, object], Fact[tuple[str, ...]]] = reader.desk.facts
    if (id(node), _keys) not in known:
        found = dict.fromkeys(each for name in names for each in _written_out(reader.desk, name))
        known[id(node), _keys] = Fact(tuple(found), reader.desk.place(node), text="[]")
    return known[id(node), _keys]


def _written_out(desk: Desk, name: Scalar) -> tuple[str, ...]:
    """The devices that one name or range names; a range that cannot be read is told with the names that are not."""
    try:
        keys = written_out(name.text)
    except NameFormError:
        return ()
    return keys if desk.afford(len(keys), desk.place(name)) else ()


def _names(node: Node | None) -> list[Scalar]:
    items = node.items if isinstance(node, SequenceNode) else (node,)
    return [item for item in items if isinstance(item, Scalar) and item.value is not None]


def check_names(desk: Desk, node: Node | None, known: Mapping[str, object]) -> None:
    """Tell of a device that a screen or a tracker names and that there is not; `node` is that of all devices."""
    devices = node.entries if isinstance(node, MappingNode) else {}
    for entry in devices.values():
        for part, key in (("screen", "filmed_by"), ("tracking", "of")):
            side = entry.value.get(part) if isinstance(entry.value, MappingNode) else None
            for name in _names(side.get(key) if isinstance(side, MappingNode) else None):
                _check(desk, name, known)


def _check(desk: Desk, name: Scalar, known: Mapping[str, object]) -> None:
    keys = (name.text,) if ".." not in name.text else _written_out(desk, name) or (name.text,)
    missing = next((key for key in keys if key not in known and key != ALL), None)
    if missing is not None:
        desk.unknown_name(desk.place(name), "device", missing, known)
