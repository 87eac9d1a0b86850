"""A log of the day, read against the setup it belongs to: what was jammed when, and what the comparisons showed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import PurePath

from synclint.documents.nodes import Document, MappingNode, Node, SequenceNode
from synclint.documents.records import MISSING_KEY, WRONG_VALUE
from synclint.findings import Fact, Finding, Fix, Place
from synclint.rig.days import ALL, device_keys, named
from synclint.rig.model import Device, Event, Setup
from synclint.rig.reading import Desk, Reader
from synclint.trade.quantities import Offset, parse_clock_time, parse_date, parse_offset

KINDS = frozenset({"jam", "compare", "power off"})
"""What may stand in a log; what else is written there is refused, and nothing comes of it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the log: a jam or a comparison that took place, or a device that was off."""

    event: Event
    """The same as an event of the day; it stands in the log."""
    day: int
    """Which day of the setup it was on, counted from 0."""
    offset: Fact[Offset]
    """Of a comparison, by how much the devices were ahead of what they were compared with."""
    against: Fact[str]
    read_by: Fact[str]
    within: Fact[Offset]
    """How far off the reading may be, to either side, where it is stated."""

    @property
    def jams(self) -> bool:
        """Whether it is a jam."""
        return self.event.do.value == "jam"

    @property
    def compares(self) -> bool:
        """Whether it is a comparison."""
        return self.event.do.value == "compare"


@dataclass(frozen=True, slots=True)
class Log:
    """What was done on the days of a setup, in the order written."""

    file: str
    place: Place
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class BuiltLog:
    """A log with what is wrong in its file."""

    log: Log
    problems: tuple[Finding, ...]
    names_resolve: bool
    """Whether every name is one of the setup; where not, the log is of another rig, or mistyped."""


def read_log(document: Document, setup: Setup) -> BuiltLog:
    """Read a log against its setup: every device that it names must be one of it, and every day."""
    desk = Desk()
    desk.register(document)
    root = document.root
    reader = Reader(desk, root, desk.place(root))
    _check_setup(desk, reader.text("setup"), setup)
    written = root.get("entries")
    entries = tuple(_entries(desk, written.items if isinstance(written, SequenceNode) else (), setup))
    log = Log(document.file, reader.place, entries)
    return BuiltLog(log, tuple(dict.fromkeys(desk.problems)), desk.names_resolve)


def _check_setup(desk: Desk, said: Fact[str], setup: Setup) -> None:
    """Tell of a log that says it belongs to another setup than the one that it is read with."""
    if said.value is None or setup.file == "-":
        return
    of, checked = PurePath(said.value.replace("\\", "/")).name, PurePath(setup.file).name
    if of != checked:
        desk.tell(WRONG_VALUE, said.place, f"this log belongs to {of}, and it is read with {checked}")


def _entries(desk: Desk, items: Iterable[Node], setup: Setup) -> Iterator[Entry]:
    """The entries in the order written; one of which nobody can tell on which day it was is told and left out."""
    dates = {day.date.value: index for index, day in enumerate(setup.days) if day.date.value is not None}
    for item in items:
        if not isinstance(item, MappingNode):
            continue
        reader = Reader(desk, item, desk.place(item))
        day = _day_of(desk, reader, dates, len(setup.days))
        names = list(named(item.get("of")))
        sources = [reader.text("from"), reader.text("against")]
        for source in sources:
            if source.value is not None and source.value not in setup.devices:
                desk.unknown_name(source.place, "device", source.value, setup.devices)
        event = Event(
            place=reader.place,
            do=reader.text("do"),
            at=reader.fact("at", read=parse_clock_time),
            until=reader.fact("until", read=parse_clock_time),
            of=tuple(dict.fromkeys(device_keys(desk, names, setup.devices))),
            of_all=any(name.text == ALL for name in names),
            node=item,
        )
        if day is not None and event.do.value in KINDS and event.at.value is not None:
            yield _entry(desk, reader, event, day, setup.devices)


def _entry(desk: Desk, reader: Reader, event: Event, day: int, devices: Mapping[str, Device]) -> Entry:
    """One entry; a reading that is said to be perfect, or a device that is compared with itself, is told."""
    entry = Entry(
        event=event,
        day=day,
        offset=reader.fact("offset", read=parse_offset),
        against=reader.text("against"),
        read_by=reader.text("read_by"),
        within=reader.fact("within", read=parse_offset),
    )
    within = entry.within.value
    if within is not None and (within.frames or within.seconds or Fraction(0)) <= 0:
        desk.tell(WRONG_VALUE, entry.within.place, "no reading is perfect: say how far off it may be, such as 0.1 ms")
    other = entry.against if entry.compares else reader.text("from")
    if other.value is not None and event.of == (other.value,) and other.value in devices:
        what = "compared with" if entry.compares else "jammed from"
        desk.tell(WRONG_VALUE, other.place, f"{other.value} is {what} itself")
    return entry


def _day_of(desk: Desk, reader: Reader, dates: Mapping[date, int], days: int) -> int | None:
    """Which day of the setup an entry was on; None where it cannot be told, which is said."""
    said = reader.fact("date", read=parse_date)
    if said.value is not None:
        if said.value in dates:
            return dates[said.value]
        if days == 1 and not dates:
            return 0  # a day without a date takes any
        known = ", ".join(str(each) for each in dates) or "none with a date"
        desk.tell(WRONG_VALUE, said.place, f"{said.text} is not a day of the setup; its days are {known}")
    elif days == 1:
        return 0
    elif not said.written:
        says = f"the setup has {days or 'no'} days, and this entry does not say on which it was"
        desk.tell(MISSING_KEY, reader.place, says, Fix("Add the date, such as date: 2026-06-14"))
    return None
