"""The nearest legal word to a misspelt one, for "did you mean"."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

_MAX_LENGTH: Final = 64
_MAX_MISTAKES: Final = 3


def nearest(word: str, legal: Iterable[str]) -> str | None:
    """The legal word that `word` most probably stands for, or None where none is near; of equals, the first."""
    if not word or len(word) > _MAX_LENGTH:
        return None
    wanted = _plain(word)
    allowed = min(_MAX_MISTAKES, (len(wanted) + 1) // 3)
    best: str | None = None
    for candidate in legal:
        if candidate == word or len(candidate) > _MAX_LENGTH:
            continue
        distance = _distance(wanted, _plain(candidate), allowed)
        if distance <= allowed:
            best, allowed = candidate, distance - 1
            if allowed < 0:
                break
    return best


def _plain(word: str) -> str:
    """The word without what is easily confused: capitals, and `_`, `-` or a space between its parts."""
    return word.casefold().replace("_", " ").replace("-", " ")


def _distance(one: str, other: str, limit: int) -> int:
    """How many letters must be added, left out, replaced or swapped with their neighbour; past `limit` any more."""
    if abs(len(one) - len(other)) > limit:
        return limit + 1
    before: list[int] = []
    last = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        here = [row]
        for column, counterpart in enumerate(other, 1):
            cost = min(last[column] + 1, here[-1] + 1, last[column - 1] + (letter != counterpart))
            swapped = row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == counterpart
            here.append(min(cost, before[column - 2] + 1) if swapped else cost)
        if min(here) > limit:
            return limit + 1
        before, last = last, here
    return last[-1]
