"""The timecode and clock trees as rows that any form of report can draw."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from synclint.overview import Branch

DEEPEST = 12
"""Chains are drawn so far down; what hangs below is counted."""
MOST_ROWS = 60

_BRANCH, _LAST, _PAST, _BLANK = "├ ", "└ ", "│ ", "  "


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a tree: what stands before it, before its continuation, the devices, and how they hang there."""

    lead: str
    under: str
    devices: tuple[str, ...]
    how: str


def flat(trees: Sequence[Branch]) -> Iterator[tuple[int, Branch]]:
    """Every branch with its depth, in the order of drawing; without recursion, for chains may be long."""
    stack = [(0, branch) for branch in reversed(trees)]
    while stack:
        depth, branch = stack.pop()
        yield depth, branch
        stack.extend((depth + 1, below) for below in reversed(branch.below))


def rows(trees: Sequence[Branch]) -> tuple[list[Row], int]:
    """The rows of a drawing of bounded size, and how many devices are left out of it."""
    drawn: list[Row] = []
    left_out = 0
    stack = [("", "", 0, branch) for branch in reversed(trees)]
    while stack:
        lead, under, depth, branch = stack.pop()
        if depth > DEEPEST or len(drawn) >= MOST_ROWS:
            left_out += sum(len(below.devices) for _, below in flat([branch]))
            continue
        drawn.append(Row(lead, under + (_PAST if branch.below else _BLANK), branch.devices, branch.how))
        for number, below in reversed(list(enumerate(branch.below, 1))):
            last = number == len(branch.below)
            turn = _LAST if last else _BRANCH
            stack.append((under + turn, under + (_BLANK if last else _PAST), depth + 1, below))
    return drawn, left_out
