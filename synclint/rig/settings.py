"""How the options of a socket are set, and where a setting of it is to be written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from synclint.findings import Fact, Place, unknown
from synclint.rig.reading import Reader

FIXED: Final[Mapping[str, str]] = {"always": "switched on", "never": "switched off"}
"""What a switch that nobody can throw comes to."""


def where_set(settings: Reader, set_to: Reader, name: str) -> tuple[Place, tuple[str, ...]]:
    """Where a setting of a socket is to be written, and the keys that lead from there to it.

    What a device takes over from another one (`like`) stands there; a setting of its own belongs below its own name.
    """
    own, ports = settings.place.path, settings.below("ports")
    for reader, below in ((set_to, ()), (ports, (name,))):
        if reader.node is not None and reader.place.path[: len(own)] == own and reader.place.path != own:
            return reader.place, below
    return settings.place, ("ports", name)


def as_set(port: Reader, set_to: Reader, key: str, fixed: Mapping[str, str] = FIXED) -> Fact[str]:
    """How an option is set, or how it stands where it cannot be; unknown where it can be set and nobody says."""
    stated = set_to.text(key)
    if stated.written:
        return stated
    able = port.text(key)
    stands = fixed.get(able.value or "")
    return Fact(stands, able.place, text=able.text) if stands is not None else unknown(able.place)


def able_to_set(port: Reader, set_to: Reader, key: str) -> Fact[str]:
    """How an option can be set; where the settings alone name a port, nobody says what it can do."""
    return unknown(port.place) if set_to.node is port.node else port.text(key)
