"""Where lines run in the gaps between columns: side by side, in the order in which they cross each other least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

ROOM = 5.0
"""Lines that end so near to each other do not run in one track."""
_MOST_ORDERED = 60


@dataclass(frozen=True, slots=True)
class Upright:
    """The upright part of a line: at which heights it goes off to the left and to the right."""

    left: tuple[float, ...]
    right: tuple[float, ...]

    @property
    def top(self) -> float:
        """Its upper end."""
        return min((*self.left, *self.right))

    @property
    def bottom(self) -> float:
        """Its lower end."""
        return max((*self.left, *self.right))

    @property
    def flat(self) -> bool:
        """Whether it has no length: the line goes straight on."""
        return self.bottom - self.top < 0.01

    def meets(self, other: Upright) -> bool:
        """Whether the two cannot run one above the other."""
        return self.top < other.bottom + ROOM and other.top < self.bottom + ROOM


def crossings(first: Upright, second: Upright) -> int:
    """How often two lines cross where the first runs to the left of the second."""
    over = sum(second.top < y < second.bottom for y in first.right)
    return over + sum(first.top < y < first.bottom for y in second.left)


def tracks_of(uprights: Sequence[Upright]) -> list[int]:
    """The track of each, counted from the left; those that do not meet share one."""
    order = [index for index, each in enumerate(uprights) if not each.flat]
    if len(order) <= _MOST_ORDERED:
        _sort(order, uprights)
    tracks = [0] * len(uprights)
    for place, index in enumerate(order):
        before = [tracks[other] for other in order[:place] if uprights[other].meets(uprights[index])]
        tracks[index] = max(before, default=-1) + 1
    return tracks


def _sort(order: list[int], uprights: Sequence[Upright]) -> None:
    """Change neighbours as long as that saves crossings; it ends, for each change saves some."""
    for _ in range(len(order)):
        changed = False
        for place in range(len(order) - 1):
            one, other = uprights[order[place]], uprights[order[place + 1]]
            if crossings(other, one) < crossings(one, other):
                order[place], order[place + 1] = order[place + 1], order[place]
                changed = True
        if not changed:
            return


def lanes_of(spans: Sequence[tuple[int, int]]) -> list[int]:
    """The lane of each span from one gap to another, from the top; spans that touch do not share one."""
    lanes: list[int] = []
    for index, (start, end) in enumerate(spans):
        near = {lanes[other] for other in range(index) if spans[other][0] <= end and start <= spans[other][1]}
        lanes.append(next(lane for lane in range(index + 1) if lane not in near))
    return lanes
