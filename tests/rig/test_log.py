"""A log is read against its setup: names, days, and readings that say too much."""

from fractions import Fraction as F

import pytest

from synclint.findings import SetValue
from synclint.rig.log import BuiltLog
from synclint.trade.quantities import Offset
from tests.day.logged import log_text, read, rigged
from tests.rig.building import sound


def told(built: BuiltLog) -> list[tuple[str, str]]:
    return [(finding.sentence, str(finding.at)) for finding in built.problems]


def test_entries_are_read_with_their_places() -> None:
    days = rigged()
    built = read(
        days.case.setup,
        log_text("""
            {at: 07:04, do: jam, of: [box_a, box_b], from: bag}
            {at: 12:38, do: compare, of: box_a, against: bag, offset: -1/2 frame, read_by: display, within: 2 ms}
        """),
    )
    assert told(built) == []
    assert built.names_resolve
    jam, comparison = built.log.entries
    assert (jam.jams, jam.compares, jam.event.of, jam.event.words("from")) == (
        True,
        False,
        ("box_a", "box_b"),
        ("bag",),
    )
    assert (comparison.compares, comparison.against.value, comparison.read_by.value) == (True, "bag", "display")
    assert comparison.offset.value == Offset(frames=F(-1, 2))
    assert comparison.within.value == Offset(seconds=F(2, 1000))
    assert str(comparison.offset.place) == "entries/1/offset"
    assert comparison.offset.place.span.file == "day.log.yaml"


def test_a_name_of_no_device_is_told_with_the_nearest() -> None:
    built = read(
        rigged().case.setup,
        log_text("""
            {at: 07:04, do: jam, of: [box_c], from: bagg}
            {at: 07:09, do: compare, of: [box_a], against: bog, offset: 0 ms, read_by: scope}
        """),
    )
    assert not built.names_resolve
    assert told(built) == [
        ("bagg is not a device (did you mean bag?)", "entries/0/from"),
        ("box_c is not a device (did you mean box_a?)", "entries/0/of/0"),
        ("bog is not a device (did you mean bag?)", "entries/1/against"),
    ]
    assert built.problems[0].fix is not None
    assert built.problems[0].fix.edits == (SetValue(built.problems[0].at, "bag"),)


@pytest.mark.parametrize(
    ("entry", "says", "at"),
    [
        (
            "{at: 07:04, do: compare, of: [box_a], against: bag, offset: 0 ms, read_by: scope, within: 0 ms}",
            "no reading is perfect: say how far off it may be, such as 0.1 ms",
            "entries/0/within",
        ),
        (
            "{at: 07:04, do: compare, of: [bag], against: bag, offset: 0 ms, read_by: scope}",
            "bag is compared with itself",
            "entries/0/against",
        ),
        ("{at: 07:04, do: jam, of: [bag], from: bag}", "bag is jammed from itself", "entries/0/from"),
        (
            "{at: 07:04, date: 2026-06-15, do: jam, of: [box_a]}",
            "2026-06-15 is not a day of the setup; its days are 2026-06-14",
            "entries/0/date",
        ),
    ],
)
def test_what_cannot_be(entry: str, says: str, at: str) -> None:
    assert told(read(rigged().case.setup, log_text(entry))) == [(says, at)]


def test_a_log_of_another_setup_is_told() -> None:
    setup = rigged().case.setup
    assert told(read(setup, log_text("{at: 07:04, do: jam, of: [box_a]}", "setup: ../day_4/rig.setup.yaml\n"))) == []
    (problem,) = told(read(setup, log_text("{at: 07:04, do: jam, of: [box_a]}", "setup: day_5.setup.yaml\n")))
    assert problem == ("this log belongs to day_5.setup.yaml, and it is read with rig.setup.yaml", "setup")


TWO_DAYS = """\
days: [{date: 2026-06-14, call: 07:00}, {date: 2026-06-15, call: 07:00}]
devices: {cam: {}}
"""


def test_of_several_days_an_entry_says_on_which_it_was() -> None:
    setup = sound(TWO_DAYS).setup
    built = read(setup, log_text("{at: 07:04, date: 2026-06-15, do: jam, of: [cam]}\n{at: 07:05, do: jam, of: [cam]}"))
    assert [entry.day for entry in built.log.entries] == [1]
    assert told(built) == [("the setup has 2 days, and this entry does not say on which it was", "entries/1")]


def test_a_day_without_a_date_takes_any() -> None:
    setup = sound("days: [{call: 07:00}]\ndevices: {cam: {}}\n").setup
    assert len(read(setup, log_text("{at: 07:04, date: 2026-06-15, do: jam, of: [cam]}")).log.entries) == 1


def test_a_setup_without_days_has_none_for_an_entry() -> None:
    built = read(sound("devices: {cam: {}}\n").setup, log_text("{at: 07:04, do: jam, of: [cam]}"))
    assert told(built) == [("the setup has no days, and this entry does not say on which it was", "entries/0")]
