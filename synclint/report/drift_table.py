"""The table of drift on a page: a column for each moment of the day, the worst case before it and from it on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from synclint.drift import words
from synclint.drift.values import Bound, Cell, Drift, LongTake, Moment, PairRow, Row
from synclint.findings import listed
from synclint.report.page import ODD, PLAIN, QUIET, Page, padded, wide
from synclint.report.words import counted, named, short

MOST_MOMENTS = 24
"""How many moments of a day are shown; beginnings and ends of takes give way to the others."""
MOST_ROWS = 40
LONGEST_WORD = 12
NAMES_WIDTH = 30
NO_BOUND = "–"
IN_FRAMES = "  in frames"
BEYOND = "!"
_GAP = "  "


@dataclass(frozen=True, slots=True)
class _Line:
    """A row of the table before it is set: whose, at each moment, and at the end of the longest take."""

    name: str
    cells: tuple[Cell, ...]
    long_take: LongTake | None


@dataclass(frozen=True, slots=True)
class _Column:
    """A moment with the cells of all rows, in milliseconds and in frames."""

    heads: tuple[str, str]
    cells: list[str]
    frames: list[str]

    @property
    def width(self) -> int:
        return max(map(wide, (*self.heads, *self.cells, *self.frames)))


def write_devices(page: Page, drift: Drift) -> None:
    """Every device against its master."""
    for against, group in groupby(sorted(drift.rows, key=lambda row: row.against), key=lambda row: row.against):
        rows = list(group)
        page.heading(f"Against {against}")
        lines = [_Line(named(row.devices), row.cells, row.long_take) for row in rows[:MOST_ROWS]]
        _write(page, drift, lines)
        _more(page, len(rows), "row")
        for text in _reasons(rows, drift.moments):
            page.paragraph((text, PLAIN), lead=[("  ", PLAIN)])


def write_pairs(page: Page, drift: Drift) -> None:
    """The worst pair of each kind."""
    if not drift.pairs:
        return
    page.heading("The worst pairs")
    _write(page, drift, [_Line(_pair_name(row), row.cells, row.long_take) for row in drift.pairs])
    for row in drift.pairs:
        peak = f"{_ms(row.peak.seconds, drift)} at {row.peak.clock}{', while they roll' if row.rolling else ''}"
        page.paragraph((f"{row.kind}: {row.first} and {row.second}, at most {peak}{_no_bound_at(row)}", PLAIN))


def _no_bound_at(row: PairRow) -> str:
    """When the two of a pair have no bound, which no worst case tells."""
    if not row.unbounded:
        return ""
    times = listed(row.unbounded, limit=12)
    takes = "take" if len(row.unbounded) == 1 else "takes"
    return f"; {f'in the {takes} at {times}' if row.rolling else f'from {times}'} they have no bound"


def _pair_name(row: PairRow) -> str:
    return f"{short(row.first, 20)}, {short(row.second, 20)}"


def _ms(seconds: Fraction, drift: Drift) -> str:
    """An offset in milliseconds and in frames."""
    said = words.said(seconds)
    return f"{said} ({words.frames(seconds, drift.frame)} frames)" if drift.frame else said


# --- setting it ------------------------------------------------------------------------------------------------


def _write(page: Page, drift: Drift, lines: Sequence[_Line]) -> None:
    """The table, in as many pieces as the width asks for; each day has pieces of its own."""
    names = min(max(wide(each) for each in (IN_FRAMES, *(line.name for line in lines))), NAMES_WIDTH)
    room = (page.width or 10_000) - 2 - names
    days = [list(group) for _, group in groupby(enumerate(drift.moments), key=lambda each: each[1].day)]
    for number, day in enumerate(days):
        columns = [_column(drift, lines, index, moment) for index, moment in _worth_showing(day)]
        if number == len(days) - 1 and any(line.long_take for line in lines):
            columns.append(_take_column(drift, lines))
        title = day[0][1].day if len(days) > 1 else ""
        for piece in _pieces(columns, room):
            _write_piece(page, lines, names, piece, title)
        if len(day) > MOST_MOMENTS:
            left_out = counted(len(day) - MOST_MOMENTS, "moment")
            page.line((f"  {left_out} of {title or 'the day'} not shown; --report json has them all", QUIET))


def _worth_showing(day: Sequence[tuple[int, Moment]]) -> list[tuple[int, Moment]]:
    """The moments that fit, in their order."""
    takes = [each for each in day if each[1].what == "cut" or each[1].what.startswith(("roll", "scene"))]
    rest = [each for each in day if each not in takes]
    kept = [*rest, *reversed(takes)][:MOST_MOMENTS]
    return sorted(kept, key=lambda each: each[1].at)


def _pieces(columns: Sequence[_Column], room: int) -> Iterator[list[_Column]]:
    piece: list[_Column] = []
    for column in columns:
        if piece and sum(each.width + len(_GAP) for each in (*piece, column)) > room:
            yield piece
            piece = []
        piece.append(column)
    if piece:
        yield piece


def _write_piece(page: Page, lines: Sequence[_Line], names: int, piece: Sequence[_Column], title: str) -> None:
    for number in (0, 1):
        head = "".join(_GAP + padded(column.heads[number], column.width) for column in piece)
        page.line((f"  {padded(title if number == 0 else '', names)}{head}", QUIET))
    for index, line in enumerate(lines):
        if not any(column.cells[index] for column in piece):
            continue
        *above, last = page.fold(line.name, names) if wide(line.name) > names else [line.name]
        for text in above:
            page.line((f"  {text}", PLAIN))
        cells = [(_GAP + padded(each.cells[index], each.width), _style(each.cells[index])) for each in piece]
        page.line((f"  {padded(last, names)}", PLAIN), *cells)
        frames = "".join(_GAP + padded(column.frames[index], column.width) for column in piece)
        if frames.strip():
            page.line((f"  {padded(IN_FRAMES, names)}{frames}", QUIET))
    page.gap()


def _style(cell: str) -> str:
    return ODD if cell.endswith(BEYOND) else PLAIN


def _column(drift: Drift, lines: Sequence[_Line], index: int, moment: Moment) -> _Column:
    cells = [_said(line.cells[index], drift) for line in lines]
    frames = [_frames(line.cells[index].widest, drift) for line in lines]
    return _Column((moment.clock, short(moment.what, LONGEST_WORD)), cells, frames)


def _take_column(drift: Drift, lines: Sequence[_Line]) -> _Column:
    cells, frames = [], []
    for line in lines:
        take = line.long_take
        cells.append(
            "" if take is None else _bound(take.total, drift) + _shorter(take, drift) + _mark(take.total, drift)
        )
        frames.append("" if take is None else _frames(take.total.seconds, drift))
    length = words.said(drift.long_take) if drift.long_take else ""
    return _Column(("end of a", f"{length} take"), cells, frames)


def _shorter(take: LongTake, drift: Drift) -> str:
    """What is said of a device whose own takes are shorter."""
    return "" if take.length == drift.long_take else f" in {words.said(take.length)}"


def _said(cell: Cell, drift: Drift) -> str:
    """A cell: one value, or that before the moment and that from it on."""
    before, after = _bound(cell.before, drift), _bound(cell.after, drift)
    widest = Bound(cell.widest)
    return (before if before == after else f"{before} → {after}") + _mark(widest, drift)


def _bound(bound: Bound, drift: Drift) -> str:  # noqa: ARG001 - of one form with the others
    if bound.seconds is not None:
        return words.milliseconds(bound.seconds)
    return NO_BOUND if bound.why.startswith("no bound") else "off"


def _mark(bound: Bound, drift: Drift) -> str:
    beyond = bound.seconds is not None and drift.tolerance is not None and bound.seconds > drift.tolerance
    return f" {BEYOND}" if beyond else ""


def _frames(seconds: Fraction | None, drift: Drift) -> str:
    return words.frames(seconds, drift.frame) if seconds is not None and drift.frame else ""


def _reasons(rows: Sequence[Row], moments: Sequence[Moment]) -> Iterator[str]:
    """Why there is no bound where there is none, the devices and moments of one reason together."""
    found: dict[str, dict[str, None]] = {}
    until: dict[str, set[str]] = {}
    for row in rows:
        for cell, moment in zip(row.cells, moments, strict=True):
            for bound, when in ((cell.before, f"up to {moment.clock}"), (cell.after, f"from {moment.clock} on")):
                if bound.seconds is None and bound.why.startswith("no bound"):
                    found.setdefault(bound.why, {}).update(dict.fromkeys(row.devices))
                    until.setdefault(bound.why, set()).add(when)
    for why, who in found.items():
        reason = why.removeprefix("no bound: ")
        yield f"{NO_BOUND} no bound, {reason}: {named(tuple(who))}"


def _more(page: Page, count: int, what: str) -> None:
    if count > MOST_ROWS:
        page.line(
            (f"  and {counted(count - MOST_ROWS, f'more {what}', f'more {what}s')}; --report json has them all", QUIET)
        )
