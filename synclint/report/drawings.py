"""The rate strip and the two trees, as they stand on a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from synclint.findings import listed
from synclint.overview import Branch, Overview, RateRow
from synclint.report import trees
from synclint.report.page import HEADING, ODD, PLAIN, QUIET, Page, Piece, padded, wide
from synclint.report.words import clipped, counted, named, short

SIDE_BY_SIDE = 130
"""From this width on the two trees stand beside each other."""
NAMES_WIDTH, LEAST_NAMES = 44, 14
LONGEST_CELL = 30
MOST_ROWS = 40
_COLUMNS = ("timecode", "picture", "sound")
_GAP = "   "

Lines = list[list[Piece]]


# --- rates -----------------------------------------------------------------------------------------------------


def write_rates(page: Page, rates: Sequence[RateRow]) -> None:
    """Every device's rates in one table; what is unlike the project is said in words."""
    if not rates:
        return
    rows = _worth_showing(rates)
    cells, widths = _cells(rows, page.width or 200)
    names = [named(row.devices) for row in rows]
    room = (page.width or 200) - 2 - sum(widths) - len(_GAP) * len(widths)
    first = min(max(map(wide, names)), NAMES_WIDTH, max(room, LEAST_NAMES))
    page.heading("Rates")
    page.line((" " * (2 + first), PLAIN), (_row(_COLUMNS, widths), QUIET))
    for row, name, values in zip(rows, names, cells, strict=True):
        mark = f"unlike the project: {listed(row.odd)}" if row.odd else ""
        line = _row(values, widths)
        beside = mark and wide(line) + 2 + first + len(_GAP) + len(mark) <= (page.width or 200)
        style = ODD if row.odd else PLAIN
        top, *more = page.fold(name, first)
        page.line(("  " + padded(top, first), style), (line, PLAIN), (_GAP + mark if beside else "", ODD))
        for under in more:
            page.line(("  " + under, style))
        if mark and not beside:
            page.paragraph((mark, ODD), lead=[("    ", PLAIN)])
    if len(rows) < len(rates):
        page.line((f"  and {counted(len(rates) - len(rows), 'row')} more", QUIET))


def _worth_showing(rates: Sequence[RateRow]) -> list[RateRow]:
    """The rows that fit, in their order; the odd ones come before the rest where not all do."""
    first = sorted(range(len(rates)), key=lambda index: (not rates[index].odd, index))[:MOST_ROWS]
    return [rates[index] for index in sorted(first)]


def _cells(rows: Sequence[RateRow], width: int) -> tuple[list[list[str]], list[int]]:
    """The cells beside the names and the widths of their columns; they are cut where they leave names no room."""
    share = (width - 2 - LEAST_NAMES) // len(_COLUMNS) - len(_GAP)
    for limit in (LONGEST_CELL, max(share, 10)):
        cells = [[short(cell, limit) for cell in (row.timecode, row.picture, row.sound)] for row in rows]
        widths = [max(map(wide, column)) for column in zip(_COLUMNS, *cells, strict=True)]
        if sum(widths) <= share * len(_COLUMNS):
            break
    return cells, widths


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    return "".join(_GAP + padded(cell, width) for cell, width in zip(cells, widths, strict=True))


# --- who follows whom ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One tree with its title, and the devices in no branch of it with what is said of them."""

    title: str
    branches: Sequence[Branch]
    alone: str
    loose: Sequence[str]


def write_trees(page: Page, overview: Overview) -> None:
    """Who labels whom and who paces whom, beside each other where there is room."""
    drawn = [
        _Drawn("Who labels whom", overview.timecode_tree, "hangs on nothing", overview.timecode_loose),
        _Drawn("Who paces whom", overview.clock_tree, "each on its own clock", overview.clock_loose),
    ]
    beside = page.width is not None and page.width >= SIDE_BY_SIDE
    width = (page.width - 4) // 2 if page.width and beside else page.width or 200
    blocks = [_tree(page, what, width) for what in drawn if what.branches or what.loose]
    if len(blocks) == 2 and beside:
        page.gap()
        for left, right in zip_longest(*blocks, fillvalue=[]):
            used = sum(wide(text) for text, _ in left)
            page.line(*left, (" " * (width + 4 - used), PLAIN), *right)
        return
    for block in blocks:
        page.gap()
        for line in block:
            page.line(*line)


def _tree(page: Page, drawn: _Drawn, width: int) -> Lines:
    """The lines of one tree: names with their guides, and how each hangs there in a column of its own."""
    lines: Lines = [[(drawn.title.upper(), HEADING)]]
    rows, left_out = trees.rows(drawn.branches)
    names = [named(row.devices) for row in rows]
    longest = max((wide(row.lead) + wide(name) for row, name in zip(rows, names, strict=True)), default=0)
    column = min(longest, max(width // 2 - 4, 20), NAMES_WIDTH)
    for row, name in zip(rows, names, strict=True):
        left = [name] if wide(row.lead) + wide(name) <= column else page.fold(name, column - wide(row.under))
        right = page.fold(clipped(row.how, 160), width - column - 5) if row.how else [""]
        for number, (who, how) in enumerate(zip_longest(left, right, fillvalue="")):
            guide = row.lead if number == 0 else row.under
            gap = " " * max(column - wide(guide) - wide(who), 0)
            lines.append([("  ", PLAIN), (guide, QUIET), (who + gap, PLAIN), (_GAP + how, QUIET)])
    if left_out:
        lines.append([(f"  and {counted(left_out, 'device')} more, not drawn", QUIET)])
    if drawn.loose:
        lead = f"  {drawn.alone}: "
        for number, text in enumerate(page.fold(named(drawn.loose, limit=16), width - len(lead))):
            lines.append([(" " * len(lead) if number else lead, ODD), (text, ODD)])
    return lines
