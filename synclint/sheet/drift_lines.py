"""What the picture of drift is laid out from: lines with their styles and labels, lanes, places and scales."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor, log10

from synclint.drift.values import Curve, Panel, Vertex
from synclint.drift.words import milliseconds, said

MOST_LINES = 7
"""How many lines are told apart; more are drawn alike, the worst excepted."""

_STYLES = (
    ("#1a1a1a", "", 2.4),
    ("#0b4f8a", "9 4", 2.4),
    ("#8a2b0b", "2 4", 3.0),
    ("#1f6336", "11 4 2 4", 2.4),
    ("#6a2c82", "17 5", 2.4),
    ("#6b5000", "5 3", 1.8),
    ("#333333", "12 3 2 3 2 3", 1.8),
)
_REST = ("#8c8c8c", "", 1.0)


@dataclass(frozen=True, slots=True)
class Line:
    """A line as it is drawn: whose, in which style, with what at its end."""

    curve: Curve
    style: tuple[str, str, float]
    label: str
    peak: Fraction
    says: str


def said_ms(seconds: Fraction | None) -> str:
    """An offset as the picture says it, to a tenth of a millisecond."""
    size = seconds or Fraction(0)
    return f"{milliseconds(size)} ms" if size < 1 else said(size)


def peak_of(vertices: Iterable[Vertex]) -> Vertex | None:
    """The highest point of a line, the first of several."""
    return max(
        (each for each in vertices if each.seconds is not None), key=lambda each: each.seconds or 0, default=None
    )


def clock_of(panel: Panel, at: Fraction) -> str:
    """An instant by the hours of its panel."""
    if not panel.hours:
        return "an unknown hour"
    past = (each for each in panel.hours if each.at <= at)
    last = max(past, key=lambda each: each.at, default=panel.hours[0])
    minutes, seconds = divmod(floor(at - last.at), 60)
    hours, minutes = divmod(last.hour * 60 + minutes, 60)
    told = f"{hours % 24:02}:{minutes:02}"
    return f"{told}:{seconds:02}" if seconds else told


def next_place(places: Iterable[float]) -> float:
    """The first place of some, or none."""
    return min(places, default=float("inf"))


def step_of(highest: float) -> float:
    """A round step of a scale with four to nine of them."""
    power = 10.0 ** floor(log10(highest / 4))
    return max(step for step in (power, 2 * power, 5 * power) if highest / step >= 4)


def unbroken(curve: Curve) -> Iterator[list[Vertex]]:
    """The stretches of a line that have a bound."""
    stretch: list[Vertex] = []
    for vertex in curve.vertices:
        if vertex.seconds is None:
            if stretch:
                yield stretch
            stretch = []
        else:
            stretch.append(vertex)
    if stretch:
        yield stretch


def last_of(curve: Curve) -> float:
    """Where a line ends."""
    return float(next((each.seconds for each in reversed(curve.vertices) if each.seconds is not None), 0))


def lines_of(panel: Panel) -> Iterator[Line]:
    """The lines in the order of their peaks, the highest first; of many the lower ones share a style and a label."""
    peaks = [(peak_of(curve.vertices), curve) for curve in panel.curves]
    known = [(peak, curve) for peak, curve in peaks if peak is not None]
    known.sort(key=lambda each: -(each[0].seconds or 0))
    apart = len(known) if len(known) <= MOST_LINES else MOST_LINES - 1
    for index, (peak, curve) in enumerate(known):
        seconds = peak.seconds or Fraction(0)
        if index < apart:
            says = f"{said_ms(seconds)} at {clock_of(panel, peak.at)}"
            yield Line(curve, _STYLES[index], names_of(curve.devices), seconds, says)
        else:
            rest = sum(len(each.devices) for _, each in known[apart:])
            label = f"{rest} more" if index == apart else ""
            yield Line(curve, _REST, label, seconds, f"at most {said_ms(seconds)}")


def names_of(devices: Sequence[str]) -> str:
    """Whose line it is: one or two by name, more by their number."""
    if len(devices) <= 1 or len(", ".join(devices)) <= 16:
        return ", ".join(devices)
    return f"{devices[0]} +{len(devices) - 1}"


def lanes_of(panel: Panel) -> list[tuple[Fraction, Fraction, str]]:
    """The stretches without a bound, those of one cause and time together: from when to when, and what is said."""
    found: dict[tuple[Fraction, Fraction, str], list[str]] = {}
    for curve in panel.curves:
        for blank in curve.blanks:
            if blank.unknown:
                found.setdefault((blank.start, blank.end, blank.why), []).extend(curve.devices)
    every = sum(len(curve.devices) for curve in panel.curves)
    lanes = []
    for (start, end, why), who in found.items():
        whom = "all" if len(who) == every > 1 else names_of(who)
        lanes.append((start, end, f"no bound: {whom}, {why.removeprefix('no bound: ')}"))
    return sorted(lanes, key=lambda lane: (lane[0], lane[1]))


def apart(wanted: Sequence[float], gap: float, top: float, bottom: float) -> list[float]:
    """Places for labels, in order, as near to where they are wanted as they can be without lying on each other."""
    places: list[float] = []
    for y in wanted:
        places.append(max(y, places[-1] + gap if places else top))
    limit = bottom
    for index in reversed(range(len(places))):
        places[index] = min(places[index], limit)
        limit = places[index] - gap
    return places
