"""Video references: the lines, the rate and the scan that the name of a reference format says.

A reference is named by its lines and by its field or frame rate: 525/59.94 for black burst, 1080/59.94i or
1080/23.98 PsF for tri-level.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from synclint.trade.rates import Rate, parse_rate

TEXT_LIMIT: Final = 40
"""Characters that the name of a reference may have."""

_LINES: Final = ("480", "486", "525", "576", "625", "720", "1080", "2160")

# 1080/59.94i and 1080 59.94i, and the other order, 1080i/59.94 and 1080i59.94.
_FORMAT: Final = re.compile(
    rf"(?P<lines>{'|'.join(_LINES)})"
    r"(?: *(?P<before>psf|i|p) */? *|/ *| +/? *)"
    r"(?P<rate>[0-9]{1,3}(?:\.[0-9]{1,3})?|[0-9]{1,6}/1001)"
    r" *(?P<after>psf|i|p)?",
    re.IGNORECASE | re.ASCII,
)


class Scan(StrEnum):
    """How a picture is read out: in two fields, at once, or at once and sent as two segments."""

    INTERLACED = "i"
    PROGRESSIVE = "p"
    SEGMENTED = "PsF"


class ReferenceFormatError(ValueError):
    """A text that names no reference format, with the text in `text`."""

    def __init__(self, text: str) -> None:
        """Show the form."""
        shown = text[:TEXT_LIMIT] if text.isprintable() else ascii(text[:TEXT_LIMIT])
        super().__init__(
            f"{shown} is not a reference format: write one such as 1080/59.94i, 1080/23.98 PsF or 525/59.94"
        )
        self.text = text[:TEXT_LIMIT]


@dataclass(frozen=True, slots=True)
class Reference:
    """A reference format: its lines, its field or frame rate as named, and its scan where the name says it."""

    lines: int
    rate: Rate
    scan: Scan | None

    @property
    def name(self) -> str:
        """As it is written: 1080/59.94i, 1080/23.976 PsF, 525/59.94."""
        after = "" if self.scan is None else f" {self.scan}" if self.scan is Scan.SEGMENTED else str(self.scan)
        return f"{self.lines}/{self.rate.name}{after}"


def parse_reference(text: str) -> Reference:
    """Read the name of a reference format: 1080/59.94i, 1080/23.98 PsF, 720/50p, 525/59.94, 625/50.

    The rate is the one named, a field rate where pictures are interlaced, and here 24p is plain 24: the trade writes
    1080/23.98p for the other. Raises ReferenceFormatError.
    """
    match = _FORMAT.fullmatch(text.strip(" ")) if len(text) <= TEXT_LIMIT else None
    if match is None or (match["before"] and match["after"]):
        raise ReferenceFormatError(text)
    scan = (match["before"] or match["after"] or "").lower()
    try:
        rate = parse_rate(match["rate"])
    except ValueError:
        raise ReferenceFormatError(text) from None
    return Reference(
        int(match["lines"]), rate, {"i": Scan.INTERLACED, "p": Scan.PROGRESSIVE, "psf": Scan.SEGMENTED}.get(scan)
    )
