"""Measurements of a kit's pieces, and calibrations of its types, that are too old to plan with."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from synclint.documents.nodes import Document, MappingNode, Scalar, SequenceNode, at, find
from synclint.documents.records import MEASUREMENT_TOO_OLD
from synclint.findings import WHO, Finding, Fix, Record, either
from synclint.trade.quantities import parse_date


def old_measurements(kit: Document, today: date) -> Iterator[Finding]:
    """The pieces of a kit that were measured more than 12 months before a day, all with one cause."""
    items = kit.root.get("items")
    for index, piece in enumerate(items.items if isinstance(items, SequenceNode) else ()):
        if not isinstance(piece, MappingNode):
            continue
        serial, measured = piece.get("serial"), piece.get("measured")
        if not isinstance(serial, Scalar) or not isinstance(measured, Scalar):
            continue
        day = _day(measured.text)
        if day is not None and today > a_year_after(day):
            yield MEASUREMENT_TOO_OLD.finding(
                at=at(measured, ("items", index, "measured")),
                says=f"{WHO} {either('was', 'were')} last measured more than 12 months before {today.isoformat()}",
                fix=Fix(f"Measure {WHO} against a reference before the next hire, and write the new day"),
                who=(serial.text,),
                cause="measured",
            )


def old_calibrations(kit: Document, today: date, record: Record) -> Iterator[Finding]:
    """The types of a kit whose clocks were calibrated more than 12 months before a day, all with one cause."""
    types = kit.root.get("types")
    for name in types.entries if isinstance(types, MappingNode) else ():
        calibrated = find(kit.root, ("types", name, "clock", "calibrated"))
        day = _day(calibrated.text) if isinstance(calibrated, Scalar) else None
        if calibrated is not None and day is not None and today > a_year_after(day):
            yield record.finding(
                at=at(calibrated, ("types", name, "clock", "calibrated")),
                says=f"the clock of {WHO} was calibrated more than 12 months before {today.isoformat()}",
                fix=Fix(f"Have {WHO} tuned against a reference before the next hire, and write the new day"),
                who=(name,),
                cause="calibrated",
            )


def _day(text: str) -> date | None:
    try:
        return parse_date(text)
    except ValueError:
        return None  # the schema has told


def a_year_after(day: date) -> date:
    """The same day of the next year; of a 29 February the last of that month."""
    if day.year == date.max.year:
        return date.max
    return day.replace(year=day.year + 1, day=28 if (day.month, day.day) == (2, 29) else day.day)
