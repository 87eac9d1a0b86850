"""The day on a page: what happens to each device's time, jams of different times, the morning's order."""

from __future__ import annotations

from collections.abc import Sequence

from synclint.overview import Overview
from synclint.report.page import HEADING, PLAIN, QUIET, Page, padded, wide
from synclint.report.words import clipped, counted, named, one_line

MOST_LINES = 40
NAMES_WIDTH = 34
LONGEST_LINE = 600


def write_day(page: Page, overview: Overview) -> None:
    """The section on the day, where there is something to tell."""
    day = overview.day
    if not (day.devices or day.generations or day.morning):
        return
    page.heading("The day")
    names = [named(line.devices) for line in day.devices[:MOST_LINES]]
    column = min(max(map(wide, names), default=0), NAMES_WIDTH)
    for line, name in zip(day.devices, names, strict=False):
        *above, last = page.fold(name, column)
        for text in above:
            page.line((f"  {text}", PLAIN))
        page.paragraph(
            (clipped(one_line(line.says), LONGEST_LINE), PLAIN), lead=[(f"  {padded(last, column)}   ", PLAIN)]
        )
    _more(page, len(day.devices), "device")
    _listed(page, "Jammed at different times", day.generations, "stretch")
    _listed(page, "Set up in this order", day.morning, "step", numbered=True)


def _listed(page: Page, title: str, texts: Sequence[str], what: str, *, numbered: bool = False) -> None:
    """A list under a heading of its own."""
    if not texts:
        return
    page.line((f"  {title}", HEADING))
    for number, text in enumerate(texts[:MOST_LINES], 1):
        mark = f"    {number}. " if numbered else "    - "
        page.paragraph((clipped(one_line(text), LONGEST_LINE), PLAIN), lead=[(mark, PLAIN)])
    _more(page, len(texts), what)


def _more(page: Page, count: int, what: str) -> None:
    if count > MOST_LINES:
        page.line((f"    and {counted(count - MOST_LINES, f'more {what}', f'more {what}s')}", QUIET))
