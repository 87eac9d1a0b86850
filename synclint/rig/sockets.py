"""The sockets of a device: what each takes and gives, what it does to a level, and how it is set."""

from __future__ import annotations

from collections.abc import Mapping

from synclint.documents.nodes import MappingNode, Node, Scalar
from synclint.findings import Fact, RenameKey, unknown
from synclint.rig.model import Electrics, Port
from synclint.rig.reading import Desk, Reader, first_written, truth
from synclint.trade.quantities import Level, parse_resistance, parse_voltage, parse_voltage_range

_ALWAYS = {"always": "switched on", "never": "switched off"}
"""What a switch that nobody can throw comes to."""
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
            electrics=_electrics(port, set_to),
        )
    return found


def _check_set_ports(desk: Desk, key: str, node: Node | None, names: Mapping[str, None]) -> None:
    """Tell of settings for a port that the device does not have."""
    if not isinstance(node, MappingNode):
        return
    for name in node.entries:
        if name not in names:
            desk.unknown_port(desk.key_place(node, name), key, name, names, RenameKey)


def _electrics(port: Reader, set_to: Reader) -> Electrics:
    """What a socket does to a signal, from what it can do and how it is set."""
    return Electrics(
        place=port.place,
        connector=port.text("connector"),
        timecode_at=port.text("timecode_at"),
        channels=_channels(port),
        balanced=port.fact("balanced", read=truth),
        accepts=port.fact("accepts", read=parse_voltage_range),
        level=_level(port, set_to),
        source_impedance=port.fact("source_impedance", read=parse_resistance),
        input_impedance=port.fact("input_impedance", read=parse_resistance),
        dc_blocked=port.fact("dc_blocked", read=truth),
        able_termination=unknown(port.place) if set_to.node is port.node else port.text("termination"),
        termination=set_to.text("termination"),
        plug_in_power=_as_set(port, set_to, "plug_in_power", _ALWAYS),
        phantom_power=_as_set(port, set_to, "phantom_power", _ALWAYS),
        gain=_as_set(port, set_to, "gain", _ONLY_GAIN),
        gain_linked=set_to.fact("gain_linked", read=truth),
    )


def _as_set(port: Reader, set_to: Reader, key: str, only: Mapping[str, str]) -> Fact[str]:
    """How a switch stands: as it is set, or in the one position that it has; else unknown."""
    stated = set_to.text(key)
    if stated.written:
        return stated
    able = port.text(key)
    fixed = only.get(able.value or "")
    return Fact(fixed, able.place, text=able.text) if fixed is not None else unknown(able.place)


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


def _channels(port: Reader) -> Fact[Mapping[str, str]]:
    """Which contact goes to which channel."""
    node = port.node_at("channels")
    if not isinstance(node, MappingNode):
        return unknown(port.place)
    found = {key: entry.value.text for key, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    return Fact(found, port.desk.place(node), text="{}")
