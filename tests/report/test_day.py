"""The section on the day, as it stands on a page and in the report for machines."""

import io
import json
from dataclasses import replace

from synclint.day.telling import DayLine, DayTold
from synclint.findings import Level
from synclint.overview import Overview
from synclint.report import json_report, terminal
from synclint.result import Report

DAY = DayTold(
    (
        DayLine(("Sound bag",), "set by hand 06:50 from wall clock"),
        DayLine(("box_1", "box_2", "box_3"), "jammed 07:00 and 12:42 from Sound bag"),
    ),
    ("12:42 to 19:00: box_1 jammed at 12:42; box_2 jammed at 07:00",),
    ("set rates", "jam box_1..box_3 from Sound bag (07:00)"),
)


def printed(day: DayTold) -> str:
    stream = io.StringIO()
    report = Report("x.setup.yaml", "setup", overview=Overview("A day", day=day))
    terminal.write([report], stream, show=Level.NOTE, color="never", skipped=0)
    return stream.getvalue()


def test_the_day_stands_below_the_trees() -> None:
    assert """\
THE DAY
  Sound bag      set by hand 06:50 from wall clock
  box_1..box_3   jammed 07:00 and 12:42 from Sound bag
  Jammed at different times
    - 12:42 to 19:00: box_1 jammed at 12:42; box_2 jammed at 07:00
  Set up in this order
    1. set rates
    2. jam box_1..box_3 from Sound bag (07:00)
""" in printed(DAY)


def test_where_there_is_nothing_to_tell_there_is_no_section() -> None:
    assert "THE DAY" not in printed(DayTold())
    assert "Set up in this order" not in printed(replace(DAY, morning=()))


def test_long_days_are_cut_with_a_word_on_how_much_is_left_out() -> None:
    lines = tuple(DayLine((f"device {number}",), "jammed 07:00 from bag") for number in range(50))
    assert "and 10 more devices" in printed(DayTold(lines))


def test_what_stands_in_a_name_does_not_reach_the_terminal() -> None:
    assert "\x1b" not in printed(DayTold((DayLine(("a\x1b[31mb",), "off 12:10 (\x1b[2J)"),)))


def test_machines_get_the_same() -> None:
    stream = io.StringIO()
    report = Report("x.setup.yaml", "setup", overview=Overview("A day", day=DAY))
    json_report.write([report], stream, show=Level.NOTE, color="never", skipped=0)
    assert json.loads(stream.getvalue())["files"][0]["overview"]["day"] == {
        "devices": [{"devices": list(line.devices), "says": line.says} for line in DAY.devices],
        "generations": list(DAY.generations),
        "morning": list(DAY.morning),
    }
