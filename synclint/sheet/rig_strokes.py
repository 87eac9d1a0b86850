"""The lines of the picture: single for timecode, double for a reference, a line within a double one for both.

Unbroken is a cable that stays on, dashed one to jam, dotted one to compare, and a wave is what goes through the air.
"""

from __future__ import annotations

from collections.abc import Sequence

from synclint.sheet.rig_scene import Stroke, Tip
from synclint.sheet.rig_wires import Role, Way
from synclint.sheet.svg import element, number, path

COLOURS = {Role.BOTH: "#54217a", Role.LABEL: "#0b3c7d", Role.PACE: "#8a3a00", Role.OTHER: "#777777"}
PAPER = "#ffffff"

_LAYERS: dict[Role, tuple[tuple[str, float], ...]] = {
    Role.LABEL: (("ink", 2.2),),
    Role.PACE: (("ink", 5.0), ("paper", 2.2)),
    Role.BOTH: (("ink", 7.0), ("paper", 4.4), ("ink", 1.8)),
    Role.OTHER: (("ink", 1.2),),
}
"""What is drawn on what: the colour, and how wide."""

_DASHES = {Way.JAM: "9 5", Way.COMPARE: "2.5 4"}
_WAVE, _HIGH = 8.0, 6.0
"""How long a wave is, and how far its tangents reach; it swings half of that to either side."""


def drawn_stroke(stroke: Stroke) -> str:
    """A line, over a broad white one, so that what it crosses seems to go below it."""
    waves = stroke.way in (Way.AIR, Way.NETWORK)
    course = " ".join(_wave(piece) if waves else _straight(piece) for piece in stroke.pieces)
    layers = _LAYERS[stroke.role]
    colour = COLOURS[stroke.role]
    parts = [element("path", d=course, stroke=PAPER, stroke_width=layers[0][1] + 4, fill="none")]
    for kind, width in layers:
        more: dict[str, str | float] = {}
        if kind == "ink" and stroke.way in _DASHES:
            more["stroke_dasharray"] = _DASHES[stroke.way]
        ink = colour if kind == "ink" else PAPER
        parts.append(element("path", d=course, stroke=ink, stroke_width=width, fill="none", **more))
    radius = layers[0][1] / 2 + 1.6
    parts += [element("circle", cx=x, cy=y, r=radius, fill=colour) for x, y in stroke.joints]
    return element("g", "".join(parts), class_="line")


def _straight(piece: Sequence[float]) -> str:
    x, y, far, end = map(number, piece)
    return f"M{x} {y}L{far} {end}"


def _wave(piece: Sequence[float]) -> str:
    """A piece as a wave; what is shorter than one stays straight."""
    x, y, far, end = piece
    length = abs(far - x) + abs(end - y)
    if length < _WAVE:
        return _straight(piece)
    halves = 2 * max(round(length / _WAVE), 1)
    along, down = (far - x) / halves, (end - y) / halves
    aside = (0.0, -_HIGH / 2) if far != x else (_HIGH / 2, 0.0)
    bend = f"q{number(along / 2 + aside[0])} {number(down / 2 + aside[1])} {number(along)} {number(down)}"
    return f"M{number(x)} {number(y)}{bend}{f't{number(along)} {number(down)}' * (halves - 1)}"


def drawn_tip(tip: Tip) -> str:
    """The end of a line."""
    colour = COLOURS[tip.role]
    if tip.starts:
        return element("circle", cx=tip.x, cy=tip.y, r=3.0, fill=PAPER, stroke=colour, stroke_width=1.5)
    along = {"right": (1, 0), "left": (-1, 0), "down": (0, 1)}[tip.turn]
    if not tip.taken:
        bar = (_off(tip, along, 5, -6), _off(tip, along, 5, 6))
        return element("path", d=path(bar), stroke=colour, stroke_width=2.6)
    high = 6.0 if tip.role in (Role.PACE, Role.BOTH) else 5.0
    arrow = (_off(tip, along, 1, 0), _off(tip, along, 10, -high), _off(tip, along, 10, high))
    return element("path", d=f"{path(arrow)}Z", fill=colour)


def _off(tip: Tip, along: tuple[int, int], back: float, aside: float) -> tuple[float, float]:
    """A point so far back from an end and so far aside of it."""
    return (tip.x - along[0] * back + along[1] * aside, tip.y - along[1] * back + along[0] * aside)
