"""In which row of the wide picture each group stands: a group in the row of the first that hangs on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import count, pairwise

from synclint.sheet.rig_layers import Plan

Cell = tuple[int, int]
"""A row and a layer."""


def rows_of(plan: Plan) -> tuple[dict[int, int], set[Cell]]:
    """The row of each group, and the cells that a straight line crosses on its way.

    No two groups of a layer share a row, and those that hang on one stand below each other in their order; for the
    rest each goes as high as there is room. A root on which nothing hangs in the tree, such as a sync generator whose
    followers are labelled by others, goes beside what it feeds.
    """
    rows: dict[int, int] = {}
    taken: set[Cell] = set()
    crossed: set[Cell] = set()
    lone = [group for group in plan.order if group not in plan.parent and group not in plan.children]
    last: dict[int | None, int] = {}
    """For each group the row of what was last hung on it."""
    for group in plan.order:
        if group in rows or group in lone:
            continue
        above = plan.folded.bundles[plan.parent[group]].source if group in plan.parent else None
        chain = list(_chain(plan, group))
        # What hangs on one master is never mixed with what hangs on another.
        least = max(rows.values(), default=-1) + 1 if above is None else last.get(above, rows[above]) + 1
        row = next(each for each in count(least) if taken.isdisjoint(_cells(plan, chain, each)))
        rows |= dict.fromkeys(chain, row)
        last[above] = row
        crossed |= {cell for cell in _cells(plan, chain, row) if cell[1] not in {plan.layers[each] for each in chain}}
        taken |= set(_cells(plan, chain, row))
    for group in lone:
        rows[group] = _beside(plan, group, rows, taken)
        taken.add((rows[group], plan.layers[group]))
    return rows, crossed


def _chain(plan: Plan, group: int) -> Iterator[int]:
    """A group, the first that hangs on it, the first that hangs on that, and so on: they share a row."""
    here: int | None = group
    while here is not None:
        yield here
        here = next(iter(plan.children.get(here, ())), None)


def _cells(plan: Plan, chain: Iterable[int], row: int) -> Iterator[Cell]:
    """The cells of a row that a chain takes: those it stands in, and those between."""
    layers = [plan.layers[group] for group in chain]
    yield (row, layers[0])
    for start, end in pairwise(layers):
        yield from ((row, layer) for layer in range(start + 1, end + 1))


def _beside(plan: Plan, group: int, rows: Mapping[int, int], taken: set[Cell]) -> int:
    """The free row nearest to what a group feeds or is fed by; a new one where none is free."""
    bundles = [plan.folded.bundles[index] for index in plan.drawn]
    ends = [end for each in bundles if group in (each.source, each.target) for end in (each.source, each.target)]
    near = [rows[end] for end in ends if end in rows]
    end = max(rows.values(), default=-1) + 1
    free = [row for row in range(end + 1) if (row, plan.layers[group]) not in taken]
    middle = sum(near) / len(near) if near else end
    return min(free, key=lambda row: (abs(row - middle), row))
