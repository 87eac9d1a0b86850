"""Circles in a network: which of its members follow each other round."""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def knots(edges: Mapping[str, Iterable[str]]) -> dict[str, int]:
    """For each member of a circle the number of its knot; what is on no circle is left out.

    A knot is a strongly connected part of the network with more than one member, or one that leads to itself.
    """
    onward = {key: [each for each in others if each in edges] for key, others in edges.items()}
    order: dict[str, int] = {}
    lowest: dict[str, int] = {}
    standing: dict[str, None] = {}
    found: dict[str, int] = {}
    for root, following in onward.items():
        if root in order:
            continue
        _enter(root, order, lowest, standing)
        way = [(root, iter(following))]
        while way:
            here, left = way[-1]
            for each in left:
                if each not in order:
                    _enter(each, order, lowest, standing)
                    way.append((each, iter(onward[each])))
                    break
                if each in standing:
                    lowest[here] = min(lowest[here], order[each])
            else:
                way.pop()
                if way:
                    lowest[way[-1][0]] = min(lowest[way[-1][0]], lowest[here])
                if lowest[here] == order[here]:
                    _leave(here, standing, onward, found)
    return found


def _enter(key: str, order: dict[str, int], lowest: dict[str, int], standing: dict[str, None]) -> None:
    order[key] = lowest[key] = len(order)
    standing[key] = None


def _leave(root: str, standing: dict[str, None], onward: Mapping[str, list[str]], found: dict[str, int]) -> None:
    """Take a finished part down; it is a knot if it goes round."""
    members = []
    while True:
        key, _ = standing.popitem()
        members.append(key)
        if key == root:
            break
    if len(members) > 1 or root in onward[root]:
        number = len(found)
        found.update(dict.fromkeys(members, number))
