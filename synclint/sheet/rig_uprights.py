"""The pieces of a line that runs up or down a gap and goes off to both sides."""

from __future__ import annotations

from collections.abc import Sequence

Piece = tuple[float, float, float, float]
Branch = tuple[float, float]
"""At which height a line goes off, and how far."""


def upright(
    x: float, branches: Sequence[Branch], *, through: float | None = None
) -> tuple[list[Piece], list[tuple[float, float]]]:
    """The pieces of a line at `x` with its branches, and the joints where it branches.

    `through` is the height at which it is come to by something that is drawn elsewhere. Where all is at one height the
    line is straight and has no joints.
    """
    heights = sorted({*(y for y, _ in branches), *([] if through is None else [through])})
    if len(heights) == 1 and through is None and len(branches) == 2:
        (y, start), (_, end) = sorted(branches, key=lambda branch: branch[1])
        return [(start, y, end, y)], []
    pieces = [(x, heights[0], x, heights[-1])] if len(heights) > 1 else []
    pieces += [(min(x, far), y, max(x, far), y) for y, far in branches]
    joints = []
    for index, y in enumerate(heights):
        ways = sum(each == y for each, _ in branches) + (through == y)
        if ways + (index > 0) + (index < len(heights) - 1) > 2:
            joints.append((x, y))
    return pieces, joints
