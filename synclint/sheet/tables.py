"""The tables of the sheet, and how a text from a file becomes one line: what its forms share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from synclint.sheet.svg import visible
from synclint.sheet.values import DeviceLine, PostLine, Sheet


def one_line(text: str) -> str:
    """A text from a file on one line, with what an eye cannot see written out."""
    return visible(" ".join(text.split()))


@dataclass(frozen=True, slots=True)
class Table:
    """A table of lines, without the columns in which nothing stands."""

    heads: tuple[str, ...]
    rows: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]
    """Of each line whose it is, and what stands in the columns."""


def _gets(line: DeviceLine) -> str:
    return f"{line.gets}, {line.stays}" if line.gets and line.stays else line.gets


def _recorded(line: DeviceLine) -> str:
    return "; ".join(filter(None, (line.kept_on, line.level)))


_DEVICE_COLUMNS: Mapping[str, Callable[[Any], str]] = {
    "Runs": lambda line: line.runs,
    "Timecode arrives": _gets,
    "Reference": lambda line: line.reference,
    "Fixed offset": lambda line: line.offset,
    "Recorded on": _recorded,
    "Loses its time": lambda line: line.loses,
    "Jams": lambda line: ", ".join(line.jams),
}
_POST_COLUMNS: Mapping[str, Callable[[Any], str]] = {
    "Files": lambda line: line.files,
    "Label": lambda line: line.label,
    "Tracks": lambda line: line.track,
    "What to do": lambda line: line.do,
    "Offset": lambda line: line.offset,
}


def _table(columns: Mapping[str, Callable[[Any], str]], lines: Iterable[DeviceLine | PostLine]) -> Table:
    """The lines under those of the columns in which anything stands."""
    every = [(line.devices, {head: tell(line) for head, tell in columns.items()}) for line in lines]
    heads = tuple(head for head in columns if any(cells[head] for _, cells in every))
    return Table(heads, tuple((who, tuple(cells[head] for head in heads)) for who, cells in every))


def device_table(sheet: Sheet) -> Table:
    """A line a device."""
    return _table(_DEVICE_COLUMNS, sheet.devices)


def post_table(sheet: Sheet) -> Table:
    """A line a device that records."""
    return _table(_POST_COLUMNS, sheet.post)
