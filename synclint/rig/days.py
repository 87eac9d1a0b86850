"""The days of a setup and their events, as written and in the order written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.documents.records import WRONG_VALUE
from synclint.findings import Fact, Fix, SetValue, shortened
from synclint.rig.devices import read_patch
from synclint.rig.model import Day, Device, Event
from synclint.rig.names import NameFormError, written_out
from synclint.rig.reading import Desk, Reader, no_edit, whole
from synclint.rig.wiring import ends_named
from synclint.trade.calendar import ZoneError, morrow, zone_named, zone_names
from synclint.trade.quantities import parse_clock_time, parse_date, parse_duration, parse_temperature_range

ALL = "all"

_OUTSIDE_SOURCES = frozenset({"wall clock"})
"""What an event may take its time from besides a device."""


def build_days(desk: Desk, root: MappingNode, devices: Mapping[str, Device]) -> tuple[Day, ...]:
    """The days in the order written."""
    written = root.get("days")
    days = tuple(
        _day(desk, item, devices)
        for item in (written.items if isinstance(written, SequenceNode) else ())
        if isinstance(item, MappingNode)
    )
    _check_dates(desk, days)
    return days


def _check_dates(desk: Desk, days: Iterable[Day]) -> None:
    """Tell of a day with the date of an earlier one, and of one that stands below a later one.

    A day without a date is the morrow of the day above it.
    """
    numbers: dict[date, int] = {}
    last: date | None = None
    for number, day in enumerate(days, 1):
        on, fact = day.date.value, day.date
        if on is not None and on in numbers:
            says = f"day {number} has the date of day {numbers[on]}, {fact.text}"
            desk.tell(WRONG_VALUE, fact.place, says, Fix("Give each day a date of its own, or write both as one day"))
        elif on is not None and last is not None and on < last:
            says = f"day {number}, {fact.text}, stands below a later day, {last}"
            desk.tell(
                WRONG_VALUE,
                fact.place,
                says,
                Fix("Write the date as it is meant, or the days in the order of their dates"),
            )
        last = on or (morrow(last) if last is not None and not fact.written else None)
        if last is not None:
            numbers.setdefault(last, number)


def read_zone(reader: Reader, *keys: str) -> Fact[str]:
    """A time zone as written; one that the tz database does not have is told, with the nearest that it has."""
    zone = reader.text(*keys)
    try:
        zone_named(zone.value or "UTC")
    except ZoneError as error:
        reader.desk.wrong_word(zone.place, zone.text, str(error), zone_names(), "Europe/Lisbon")
    return zone


def _day(desk: Desk, node: MappingNode, devices: Mapping[str, Device]) -> Day:
    """One day; a wrap before the call is told."""
    reader = Reader(desk, node, desk.place(node))
    call, wrap = (reader.fact(key, read=parse_clock_time) for key in ("call", "wrap"))
    if call.value is not None and wrap.value is not None and wrap.value <= call.value:
        says = f"the day wraps at {wrap.text}, before its call at {call.text}; past midnight, write {wrap.text} +1"
        desk.tell(WRONG_VALUE, wrap.place, says)
    return Day(
        place=reader.place,
        date=reader.fact("date", read=parse_date),
        zone=read_zone(reader, "zone"),
        call=call,
        wrap=wrap,
        longest_take=reader.fact("longest_take", read=parse_duration),
        shortest_take=reader.fact("shortest_take", read=parse_duration),
        clips=reader.fact("clips", read=whole),
        temperature=reader.fact("temperature", read=parse_temperature_range),
        events=tuple(_events(desk, node.get("events"), devices)),
    )


def _events(desk: Desk, node: Node | None, devices: Mapping[str, Device]) -> Iterator[Event]:
    """The events of a day; names of devices that do not exist are told."""
    written_out_before: dict[tuple[str, ...], tuple[str, ...]] = {}
    for item in node.items if isinstance(node, SequenceNode) else ():
        if not isinstance(item, MappingNode):
            continue
        reader = Reader(desk, item, desk.place(item))
        names = [name for name in named(item.get("of")) if "." not in name.text.replace("..", "")]
        read_zone(reader, "zone")
        ends = reader.text("do").value == "link lost"  # what it names are the ends of links and no devices
        for key in ("from", "to") if ends else ():
            ends_named(desk, item.get(key), devices)
        for key in ("against", "from") if not ends else ():
            name = item.get(key)
            if isinstance(name, Scalar) and name.text not in devices and name.text not in _OUTSIDE_SOURCES:
                desk.unknown_name(desk.place(name), "device", name.text, (*devices, *_OUTSIDE_SOURCES))
        yield Event(
            place=reader.place,
            do=reader.text("do"),
            at=reader.fact("at", read=parse_clock_time),
            until=reader.fact("until", read=parse_clock_time),
            of=_devices_of(desk, names, devices, written_out_before),
            of_all=any(name.text == ALL for name in names),
            node=item,
            patch=read_patch(desk, item.get("to"), reader.place) if reader.text("do").value == "set" else None,
        )


def _devices_of(
    desk: Desk, names: list[Scalar], devices: Mapping[str, Device], before: dict[tuple[str, ...], tuple[str, ...]]
) -> tuple[str, ...]:
    """The devices of an event, each once; many events of `all` share one list."""
    texts = tuple(name.text for name in names)
    if texts not in before:
        problems = len(desk.problems)
        keys = tuple(dict.fromkeys(device_keys(desk, names, devices)))
        if len(desk.problems) > problems:
            return keys  # so that a wrong name is told of the next event as well
        before[texts] = keys
    return before[texts]


def named(node: Node | None) -> Iterator[Scalar]:
    """The names that a word or a list of words holds."""
    for item in node.items if isinstance(node, SequenceNode) else (node,):
        if isinstance(item, Scalar) and item.value is not None:
            yield item


def device_keys(desk: Desk, names: Iterable[Scalar], devices: Mapping[str, Device]) -> Iterator[str]:
    """The keys of the devices named, ranges and `all` written out; unknown ones are told."""
    for name in names:
        if name.text == ALL:
            if desk.afford(len(devices), desk.place(name)):
                yield from devices
            continue
        try:
            keys = written_out(name.text)
        except NameFormError as error:
            desk.names_resolve = False
            desk.tell(WRONG_VALUE, desk.place(name), f"{shortened(name.text)}: {error}")
            continue
        if not desk.afford(len(keys), desk.place(name)):
            return
        for key in keys:
            if key not in devices:
                edit = SetValue if key == name.text else no_edit
                desk.unknown_name(desk.place(name), "device", key, (*devices, ALL), edit=edit)
                break
            yield key
