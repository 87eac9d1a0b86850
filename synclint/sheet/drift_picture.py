"""The day's drift as a picture: each device's worst offset against the master over the clock, one panel a day.

It reads in black and white (each line has a pattern of its own and its name at its end), by a screen reader (the title
and the description tell what it shows), at the width of a phone, and it is the same text for the same values.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from synclint.drift.values import Drift, Mark, Panel, Vertex
from synclint.drift.words import tolerance
from synclint.findings import listed
from synclint.sheet.drift_lines import (
    Line,
    apart,
    clock_of,
    lanes_of,
    last_of,
    lines_of,
    names_of,
    next_place,
    peak_of,
    said_ms,
    step_of,
    unbroken,
)
from synclint.sheet.svg import element, number, path, shown
from synclint.sheet.text_width import fitted, measured, wrapped

WIDTH = 600.0
NARROW, LEAST = 480.0, 300.0
"""Up to the one width the names of the lines stand below; below the other nothing can be read."""
LEFT, RIGHT, NARROW_RIGHT = 50.0, 150.0, 24.0
HEAD, PLOT, NARROW_PLOT, LANE, ROW, NAMED = 52.0, 230.0, 180.0, 19.0, 20.0, 18.0
SIZE, SMALL = 15.0, 13.0
MOST_TOLERANCES = 4
"""The scale ends at so many tolerances, or the line that matters would lie on the floor."""

INK, PALE, PAPER = "#1a1a1a", "#555555", "#ffffff"


def draw(drift: Drift, *, width: float = WIDTH, name: str = "drift") -> str:
    """The picture as the text of an SVG file, `width` pixels wide (at least 300) with type of 11 to 16 pixels.

    A page that holds the picture twice gives each its own `name`.
    """
    drawn, top, width = [], 0.0, max(width, LEAST)
    for index, panel in enumerate(drift.panels):
        picture = _Picture(drift, panel, top, width, name, index)
        drawn += list(picture.draw())
        top = picture.bottom
    if not drift.panels:
        drawn.append(_text(LEFT, 30, "No day is told of, so there is nothing to draw."))
        top = 50.0
    title = element("title", shown(_title(drift)), id=f"{name}-title")
    desc = element("desc", shown(told(drift)), id=f"{name}-desc")
    paper = element("rect", width=width, height=top, fill=PAPER)
    body = "\n".join([title, desc, *_defs(name), *drawn])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(top)}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" font-family="Verdana, \'DejaVu Sans\', sans-serif" '
        f'font-size="{number(SIZE)}" fill="{INK}" style="max-width:60rem">\n{paper}\n{body}\n</svg>\n'
    )


def _defs(name: str) -> Iterator[str]:
    """The two hatchings: breaks rise, what has no bound is crossed."""
    rise = element("path", d="M0 8L8 0M-2 2L2 -2M6 10L10 6", stroke="#9a9a9a", stroke_width=1.0)
    cross = element("path", d="M0 0L7 7M7 0L0 7", stroke=INK, stroke_width=1.1)
    yield element(
        "defs",
        element("pattern", rise, id=f"{name}-break", width=8.0, height=8.0, patternUnits="userSpaceOnUse")
        + element("pattern", cross, id=f"{name}-unknown", width=7.0, height=7.0, patternUnits="userSpaceOnUse"),
    )


# --- what it says to those who do not see it -------------------------------------------------------------------


def _title(drift: Drift) -> str:
    return f"Drift of {drift.title}: the worst offset of each device against {listed(drift.masters)}"


def told(drift: Drift) -> str:
    """All that the picture shows, as sentences."""
    told = [f"The tolerance is {tolerance(drift)}." if drift.tolerance is not None else "No tolerance is known."]
    for panel in drift.panels:
        zone = f", clock time of {panel.zone}" if panel.zone else ""
        told.append(f"{panel.title}{zone}.")
        for curve in panel.curves:
            peak = peak_of(curve.vertices)
            if peak is not None:
                told.append(f"{listed(curve.devices)}: at most {said_ms(peak.seconds)}, at {clock_of(panel, peak.at)}.")
            for blank in curve.blanks:
                span = f"from {clock_of(panel, blank.start)} to {clock_of(panel, blank.end)}"
                told.append(f"{listed(curve.devices)} {span}: {blank.why}.")
        told += [f"{mark.says[:1].upper()}{mark.says[1:]}." for mark in panel.jams]
        told += [f"Break from {clock_of(panel, each.start)} to {clock_of(panel, each.end)}." for each in panel.breaks]
        told += [f"Measured: {point.says}." for point in panel.points]
    return " ".join(told)


# --- a panel ---------------------------------------------------------------------------------------------------


class _Picture:
    """One day; one use only."""

    def __init__(self, drift: Drift, panel: Panel, top: float, width: float, name: str, index: int) -> None:
        self.drift = drift
        self.panel = panel
        self.name = name
        self.index = index
        self.width = width
        self.narrow = width <= NARROW
        self.right = width - (NARROW_RIGHT if self.narrow else RIGHT)
        self.lanes = [(*lane, self._lines_of_lane(*lane)) for lane in lanes_of(panel)]
        self.top = top + HEAD + sum(self._lane_height(lines) for *_, lines in self.lanes)
        self.plot = NARROW_PLOT if self.narrow else PLOT
        self.floor = self.top + self.plot
        self.lines = list(lines_of(panel))
        self.ceiling = self._ceiling()
        rows = [("jams", panel.jams), ("takes", panel.takes)]
        self.rows = [row for row in rows if row[1]]
        self.below = self.floor + 24 + ROW * len(self.rows) + (ROW if panel.points else 0) + 14
        self.named = [(line, self._lines_of_name(line)) for line in self.lines if line.label and self.narrow]
        self.bottom = self.below + sum(NAMED * len(lines) for _, lines in self.named) + (8 if self.named else 0)
        self.head = top

    def _lines_of_lane(self, start: Fraction, end: Fraction, says: str) -> list[str]:
        """What is said of a lane in lines of its own, where there is no room beside it."""
        room = max(self.width - self.x(end) - 8, self.x(start) - 8)
        return wrapped(says, self.width - 16, SMALL) if self.narrow and measured(says, SMALL) > room else []

    def _lines_of_name(self, line: Line) -> list[str]:
        """What stands below for a line."""
        return wrapped(f"{line.label}: {line.says}", self.width - LEFT - 8, SMALL, most=2)

    @staticmethod
    def _lane_height(lines: Sequence[str]) -> float:
        return LANE + (SMALL + 3) * len(lines)

    def _ceiling(self) -> float:
        """The largest offset that the scale shows, in seconds."""
        highest = max((float(line.peak) for line in self.lines), default=0.0)
        highest = max(highest, *(float(abs(each.seconds)) for each in self.panel.points), 0.0)
        limit = float(self.drift.tolerance or 0)
        if not limit:
            return highest * 1.1 or 1.0
        return max(limit * 1.3, min(highest * 1.1, limit * MOST_TOLERANCES))

    def x(self, at: Fraction) -> float:
        """Where an instant lies."""
        panel = self.panel
        share = float((min(max(at, panel.start), panel.end) - panel.start) / (panel.end - panel.start))
        return LEFT + share * (self.right - LEFT)

    def y(self, seconds: float) -> float:
        """Where an offset lies; one beyond the scale a little above it."""
        return self.floor - min(seconds / self.ceiling, 1.02) * self.plot

    def draw(self) -> Iterator[str]:
        """The whole panel, from behind to the front."""
        yield from self._heading()
        yield from self._breaks()
        yield from self._scale()
        yield from self._hours()
        yield from self._jams()
        yield from self._blanks()
        yield from self._curves()
        yield from self._limit()
        yield from self._points()
        yield from self._rows()

    def _heading(self) -> Iterator[str]:
        zone = f", {self.panel.zone}" if self.panel.zone else ""
        title = f"{self.panel.title}{zone}"
        yield _text(8, self.head + 22, fitted(title, self.width - 16, SIZE + 1), font_size=SIZE + 1, font_weight="bold")
        says = f"worst offset against {listed(self.drift.masters)}, in ms"
        yield _text(8, self.head + 42, fitted(says, self.width - 16, SMALL), font_size=SMALL, fill=PALE)

    def _breaks(self) -> Iterator[str]:
        taken = 0.0
        for mark in self.panel.breaks:
            x, right = self.x(mark.start), self.x(mark.end)
            yield element("rect", x=x, y=self.top, width=right - x, height=self.plot, fill=f"url(#{self.name}-break)")
            middle = (x + right) / 2
            if middle - measured("break", SMALL) / 2 > taken:
                yield _text(middle, self.top + 15, "break", text_anchor="middle", font_size=SMALL, **_HALO)
                taken = middle + measured("break", SMALL) / 2

    def _scale(self) -> Iterator[str]:
        """The frame of the plot and the numbers beside it."""
        right, step = self.right, step_of(self.ceiling * 1000)
        for index in range(int(self.ceiling * 1000 / step) + 1):
            y = self.y(index * step / 1000)
            yield element("path", d=path(((LEFT, y), (right, y))), stroke="#dcdcdc", stroke_width=1.0)
            yield _text(LEFT - 6, y + 5, number(index * step), text_anchor="end", font_size=SMALL)
        frame = ((LEFT, self.top), (LEFT, self.floor), (right, self.floor))
        yield element("path", d=path(frame), stroke=INK, stroke_width=1.2, fill="none")

    def _hours(self) -> Iterator[str]:
        hours = self.panel.hours
        room = self.right - LEFT
        steps = (1, 2, 3, 4, 6, 12, 24)
        step = next((every for every in steps if len(hours) / every * (measured("00:00", SMALL) + 10) <= room), 24)
        for each in hours:
            x = self.x(each.at)
            told = each.hour % step == 0
            yield element(
                "path", d=path(((x, self.floor), (x, self.floor + (6 if told else 3)))), stroke=INK, stroke_width=1.0
            )
            if told:
                yield _text(x, self.floor + 19, f"{each.hour:02}:00", text_anchor="middle", font_size=SMALL)

    def _jams(self) -> Iterator[str]:
        for mark in self.panel.jams:
            x = self.x(mark.start)
            yield element("path", d=path(((x, self.top), (x, self.floor))), stroke=INK, stroke_width=1.0)

    def _blanks(self) -> Iterator[str]:
        """What has no bound lies above the scale, a lane for each."""
        y = self.top - sum(self._lane_height(lines) for *_, lines in self.lanes)
        for start, end, says, lines in self.lanes:
            for line in lines:
                yield _text(8, y + 13, line, font_size=SMALL)
                y += SMALL + 3
            x, right = self.x(start), max(self.x(end), self.x(start) + 3)
            fill = f"url(#{self.name}-unknown)"
            yield element("rect", x=x, y=y + 2, width=right - x, height=LANE - 5, fill=fill, stroke=INK)
            if not lines:
                yield self._beside(says, x, right, y + 13)
            y += LANE

    def _beside(self, says: str, x: float, right: float, y: float) -> str:
        """What is said of a lane, on that side of it where there is more room."""
        behind, before = self.width - right - 8, x - 8
        if behind >= min(before, measured(says, SMALL)) or behind >= before:
            return _text(right + 5, y, fitted(says, behind, SMALL), font_size=SMALL, **_HALO)
        return _text(x - 5, y, fitted(says, before, SMALL), text_anchor="end", font_size=SMALL, **_HALO)

    def _curves(self) -> Iterator[str]:
        clip = element("rect", x=LEFT, y=self.top - 2, width=self.right - LEFT + 2, height=self.plot + 4)
        yield element("clipPath", clip, id=f"{self.name}{self.index}-plot")
        drawn = [self._stroke(line, stretch) for line in self.lines for stretch in unbroken(line.curve)]
        yield element("g", "".join(drawn), clip_path=f"url(#{self.name}{self.index}-plot)", fill="none")
        yield from self._breaks_off()
        yield from self._labels_below() if self.narrow else self._labels()

    def _labels_below(self) -> Iterator[str]:
        """The name of each line below all else, with a piece of it."""
        y = self.below
        for line, says in self.named:
            color, dash, width = line.style
            more = {"stroke_dasharray": dash} if dash else {}
            piece = path(((8, y + 14), (LEFT - 8, y + 14)))
            yield element("path", d=piece, stroke=color, stroke_width=width, fill="none", **more)
            for each in says:
                yield _text(LEFT, y + 13, each, font_size=SMALL)
                y += NAMED

    def _stroke(self, line: Line, stretch: Sequence[Vertex]) -> str:
        color, dash, width = line.style
        points = [(self.x(each.at), self._true_y(each.seconds)) for each in stretch]
        more = {"stroke_dasharray": dash} if dash else {}
        return element("path", d=path(points), stroke=color, stroke_width=width, stroke_linejoin="round", **more)

    def _breaks_off(self) -> Iterator[str]:
        """A cross where a line ends because nobody knows on."""
        for line in self.lines:
            for blank in line.curve.blanks:
                ends = [
                    each.seconds for each in line.curve.vertices if each.at == blank.start and each.seconds is not None
                ]
                if blank.unknown and ends:
                    x, y = self.x(blank.start), self.y(float(ends[0]))
                    cross = f"{path(((x - 4, y - 4), (x + 4, y + 4)))} {path(((x - 4, y + 4), (x + 4, y - 4)))}"
                    yield element("path", d=cross, stroke=line.style[0], stroke_width=2.0)

    def _true_y(self, seconds: Fraction | None) -> float:
        """Where an offset lies, beyond the scale too, so that a line leaves it where it does."""
        return self.floor - float(seconds or 0) / self.ceiling * self.plot

    def _labels(self) -> Iterator[str]:
        """The name of each line at its end, moved apart where they would lie on each other."""
        named = [line for line in self.lines if line.label]
        wanted = [(self.y(last_of(line.curve)), line) for line in named]
        wanted.sort(key=lambda each: each[0])
        places = apart([y for y, _ in wanted], 2 * SMALL + 5, self.top + 15, self.floor - 10)
        right = self.right
        for (end, line), y in zip(wanted, places, strict=True):
            color, dash, width = line.style
            more = {"stroke_dasharray": dash} if dash else {}
            # Of a line that breaks off before the end there is nothing to lead to: a piece of it tells which it is.
            ends = line.curve.vertices[-1].seconds is not None
            leader = ((right + 2, end), (right + 10, y), (right + 24, y)) if ends else ((right + 6, y), (right + 24, y))
            yield element("path", d=path(leader), stroke=color, stroke_width=width, fill="none", **more)
            room, ink = RIGHT - 32, color if dash else INK
            yield _text(right + 28, y + 1, fitted(line.label, room, SMALL), font_size=SMALL, fill=ink)
            yield _text(right + 28, y + SMALL + 2, fitted(line.says, room, SMALL - 1), font_size=SMALL - 1, fill=PALE)

    def _limit(self) -> Iterator[str]:
        """The tolerance, with its name on it."""
        if self.drift.tolerance is None:
            return
        y = self.y(float(self.drift.tolerance))
        yield element(
            "path", d=path(((LEFT, y), (self.right, y))), stroke=INK, stroke_width=1.6, stroke_dasharray="1 0"
        )
        yield element("path", d=path(((LEFT, y - 3), (self.right, y - 3))), stroke=INK, stroke_width=0.8)
        yield _text(LEFT + 6, y - 8, f"tolerance {tolerance(self.drift)}", font_size=SMALL, **_HALO)

    def _points(self) -> Iterator[str]:
        taken: list[tuple[float, float]] = []
        for point in self.panel.points:
            x, size, reading = self.x(point.at), float(abs(point.seconds)), float(point.reading)
            low, high = self.y(max(size - reading, 0.0)), self.y(size + reading)
            yield element("path", d=path(((x, low), (x, high))), stroke=INK, stroke_width=1.2)
            yield element(
                "circle", element("title", shown(point.says)), cx=x, cy=self.y(size), r=4.0, fill=PAPER, stroke=INK,
                stroke_width=1.6,
            )  # fmt: skip
            # Beside the circle, on the side where the plot goes on.
            late = x > self.right - 60
            where = (x - 7 if late else x + 7, self.y(size) - 5)
            if all(abs(where[0] - left) > 52 or abs(where[1] - low) > SMALL for left, low in taken):
                name = fitted(names_of(point.devices), 90, SMALL - 2)
                anchor = "end" if late else "start"
                yield _text(*where, name, font_size=SMALL - 2, text_anchor=anchor, **_HALO)
                taken.append(where)

    def _rows(self) -> Iterator[str]:
        """Jams and takes below the hours, and what the circles are."""
        y = self.floor + 24
        for title, marks in self.rows:
            yield _text(LEFT - 6, y + 14, title, text_anchor="end", font_size=SMALL - 1)
            yield from self._jam_row(marks, y) if title == "jams" else self._take_row(marks, y)
            y += ROW
        if self.panel.points:
            yield element("circle", cx=LEFT + 6, cy=y + 10, r=4.0, fill=PAPER, stroke=INK, stroke_width=1.6)
            yield _text(LEFT + 16, y + 14, "measured, with how far the reading may be off", font_size=SMALL - 1)

    def _jam_row(self, marks: Sequence[Mark], y: float) -> Iterator[str]:
        taken = 0.0
        for mark in marks:
            x = self.x(mark.start)
            yield element("path", d=f"{path(((x, y + 3), (x - 5, y + 13), (x + 5, y + 13)))}Z", fill=INK)
            says = fitted(mark.says.removeprefix("jam "), 200, SMALL - 1)
            behind = min(next_place(self.x(each.start) for each in marks if each.start > mark.start), self.width)
            says = says if x + 12 + measured(says, SMALL - 1) < behind else says.partition(",")[0]
            if x >= taken and x + 8 + measured(says, SMALL - 1) < behind:
                yield _text(x + 8, y + 13, says, font_size=SMALL - 1)
                taken = x + 8 + measured(says, SMALL - 1)

    def _take_row(self, marks: Sequence[Mark], y: float) -> Iterator[str]:
        taken = 0.0
        for mark in marks:
            x, right = self.x(mark.start), self.x(mark.end)
            yield element("rect", x=x, y=y + 4, width=max(right - x, 1.5), height=9.0, fill="#4d4d4d")
            behind = min(next_place(self.x(each.start) for each in marks if each.start > mark.start), self.width)
            if x >= taken and right + 6 + measured(mark.says, SMALL - 1) < behind and mark.says != "roll":
                yield _text(right + 4, y + 13, mark.says, font_size=SMALL - 1)
                taken = right + 6 + measured(mark.says, SMALL - 1)


_HALO: dict[str, str | float] = {
    "paint_order": "stroke",
    "stroke": PAPER,
    "stroke_width": 4.0,
    "stroke_linejoin": "round",
}


def _text(x: float, y: float, says: str, /, **attributes: str | float) -> str:
    return element("text", shown(says), x=x, y=y, **attributes)
