"""Names as a setup writes them: devices, ports, and ranges of both."""

from __future__ import annotations

import re
from dataclasses import dataclass

LONGEST_RANGE = 20_000
"""More devices than any shoot has; a range past it is a slip of the pen or worse."""
_MOST_DIGITS = 9
"""So that a hostile number is never read; numbers padded with zeros may be longer than any count."""

_NAME = r"[a-z][a-z0-9_]*"
_RANGE = re.compile(rf"({_NAME}?)([0-9]+)\.\.({_NAME}?)([0-9]+)")
_REFERENCE = re.compile(rf"({_NAME}(?:\.\.{_NAME})?)\.({_NAME}(?:\.\.{_NAME})?)")


class NameFormError(ValueError):
    """A name or range that cannot be read; the message says why, in words for the setup's author."""


def written_out(name: str) -> tuple[str, ...]:
    """A name as it stands, or all the names of a range such as `cam_1..cam_8`.

    Raises NameFormError for a range that runs backwards, changes its stem or is longer than any shoot.
    """
    if ".." not in name:
        return (name,)
    match = _RANGE.fullmatch(name)
    if match is None or match[1] != match[3]:
        raise NameFormError("a range names its first and last member in full, such as cam_1..cam_8")
    stem, first, last = match[1], match[2], match[4]
    digits = max(len(first), len(last))
    if digits > _MOST_DIGITS or not int(first) <= int(last) < int(first) + LONGEST_RANGE:
        raise NameFormError(f"a range runs upwards and holds at most {LONGEST_RANGE} names")
    width = len(first) if first.startswith("0") else 0
    return tuple(f"{stem}{number:0{width}}" for number in range(int(first), int(last) + 1))


@dataclass(frozen=True, slots=True)
class Reference:
    """What `device.port` names once ranges are written out."""

    devices: tuple[str, ...]
    ports: tuple[str, ...]


def read_reference(text: str) -> Reference:
    """Read `bag.tc_out`, `cam_1..cam_8.tc_in` or `dist.out_1..out_8`; raises NameFormError."""
    match = _REFERENCE.fullmatch(text)
    if match is None:
        raise NameFormError("an end of a link is a device and its port, such as bag.tc_out")
    devices, ports = written_out(match[1]), written_out(match[2])
    if len(devices) > 1 and len(ports) > 1:
        raise NameFormError("one end may be a range of devices or of ports, not of both")
    return Reference(devices, ports)
