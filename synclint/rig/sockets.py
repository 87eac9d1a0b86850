"""The sockets of a device: what each takes and gives, what it does to a level, and how it is set."""

from __future__ import annotations

from collections.abc import Mapping

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.findings import Fact, Place, RenameKey, unknown
from synclint.rig.model import Electrics, Port
from synclint.rig.pace_and_power import idle_time
from synclint.rig.reading import Desk, Reader, first_written, truth
from synclint.rig.settings import able_to_set, as_set, where_set
from synclint.rig.timing import port_timing
from synclint.trade.quantities import Level, parse_full_scale, parse_resistance, parse_voltage, parse_voltage_range

_ONLY_GAIN = {"automatic": "automatic", "fixed": "fixed"}


def ports_of(desk: Desk, key: str, settings: Reader, abilities: Reader) -> dict[str, Port]:
    """The ports that the abilities or the settings of a device name."""
    able = abilities.below("ports")
    names = dict.fromkeys(name for name, _ in able.entries())
    if not names:
        names = dict.fromkeys(name for name, _ in settings.below("ports").entries())
    else:
        _check_set_ports(desk, key, settings.node_at("ports"), names)
    found = {}
    for name in names:
        port = able.below(name) if able.node_at(name) else Reader(desk, settings.node_at("ports", name), settings.place)
        set_to = settings.below("ports").below(name)
        found[name] = Port(
            key=name,
            device=key,
            place=port.place,
            takes=first_written(set_to.words("in", read=str), port.words("in", read=str)),
            gives=first_written(set_to.words("out", read=str), port.words("out", read=str)),
            formats=port.words("formats", read=str),
            loop=port.text("loop"),
            electrics=_electrics(port, set_to, where_set(settings, set_to, name)),
            timing=port_timing(port, set_to),
            sleeps_after=first_written(
                set_to.fact("sleeps_after", read=idle_time), port.fact("sleeps_after", read=idle_time)
            ),
        )
    return found


def _check_set_ports(desk: Desk, key: str, node: Node | None, names: Mapping[str, None]) -> None:
    """Tell of settings for a port that the device does not have."""
    if not isinstance(node, MappingNode):
        return
    for name in node.entries:
        if name not in names:
            desk.unknown_port(desk.key_place(node, name), key, name, names, RenameKey)


def _electrics(port: Reader, set_to: Reader, set_at: tuple[Place, tuple[str, ...]]) -> Electrics:
    """What a socket does to a signal, from what it can do and how it is set."""
    return Electrics(
        place=port.place,
        connector=port.text("connector"),
        timecode_at=port.text("timecode_at"),
        channels=mapping_of(port, "channels"),
        balanced=port.fact("balanced", read=truth),
        accepts=port.fact("accepts", read=parse_voltage_range),
        level=_level(port, set_to),
        levels=_levels(port),
        output=set_to.text("output"),
        set_at=set_at,
        source_impedance=port.fact("source_impedance", read=parse_resistance),
        input_impedance=port.fact("input_impedance", read=parse_resistance),
        dc_blocked=port.fact("dc_blocked", read=truth),
        able_termination=able_to_set(port, set_to, "termination"),
        termination=set_to.text("termination"),
        plug_in_power=as_set(port, set_to, "plug_in_power"),
        phantom_power=as_set(port, set_to, "phantom_power"),
        gain=as_set(port, set_to, "gain", _ONLY_GAIN),
        gain_linked=set_to.fact("gain_linked", read=truth),
        transformer=port.fact("transformer", read=truth),
        set_to=set_to.text("set_to"),
        processing=first_written(set_to.words("processing", read=str), port.words("processing", read=str)),
        recorded_at=set_to.fact("recorded_at", read=parse_full_scale),
        pins=mapping_of(port, "pins"),
        compands=port.fact("compands", read=truth),
    )


def _levels(port: Reader) -> Fact[Mapping[str, Level]]:
    """The levels of an output that has several, by their names; those that cannot be read are left out."""
    node = port.node_at("level")
    if not isinstance(node, MappingNode):
        return unknown(port.place)
    named = {name: port.below("level").fact(name, read=parse_voltage).value for name in node.entries}
    known = {name: level for name, level in named.items() if level is not None}
    return Fact(known, port.desk.place(node), text="{}")


def _level(port: Reader, set_to: Reader) -> Fact[Level]:
    """What an output gives: its one level, or of its named ones that which `output:` picks."""
    node = port.node_at("level")
    if not isinstance(node, MappingNode):
        return port.fact("level", read=parse_voltage)
    picked = set_to.text("output")
    if picked.value is None:
        only = next(iter(node.entries)) if len(node.entries) == 1 else ""
        return port.below("level").fact(only, read=parse_voltage)
    return port.below("level").fact(picked.value, read=parse_voltage)


def _as_written(reader: Reader, node: Node | None) -> Fact[Mapping[str, str]]:
    """A fact that cannot be read, or that nobody wrote."""
    if not isinstance(node, (Scalar, SequenceNode)) or (isinstance(node, Scalar) and node.plain and node.value is None):
        return unknown(reader.place)
    return unknown(reader.desk.place(node), node.text if isinstance(node, Scalar) else "[]")


def mapping_of(reader: Reader, key: str) -> Fact[Mapping[str, str]]:
    """The words under the keys of a mapping, such as the channel of each contact."""
    node = reader.node_at(key)
    if not isinstance(node, MappingNode):
        return _as_written(reader, node)
    found = {name: entry.value.text for name, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    return Fact(found, reader.desk.place(node), text="{}")
