"""Who stands where: in which layer each group is, under which other it hangs, and in what order they are drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from synclint.sheet.rig_folding import Bundle, Folded
from synclint.sheet.rig_wires import Role, Way

MOST_GROUPS = 150
"""So many boxes are drawn; no page shows more, and what is beyond is counted."""


@dataclass(frozen=True)
class Plan:
    """Groups by their numbers, bundles by theirs, and how they are to be drawn."""

    folded: Folded
    layers: Mapping[int, int]
    """Of each group that is drawn and hangs on something, or has something hang on it: 0 for the masters."""
    parent: Mapping[int, int]
    """The bundle by which a group hangs in the tree; none of a root."""
    order: tuple[int, ...]
    """The groups in the order of the tree, each root with all that hangs on it."""
    orphans: tuple[int, ...]
    """The groups that no line leads to or from."""
    cut: tuple[int, ...]
    """The groups that are too many to be drawn."""

    @cached_property
    def children(self) -> Mapping[int, tuple[int, ...]]:
        """For each group those that hang on it in the tree, in order."""
        found: dict[int, list[int]] = {}
        for group in self.order:
            if group in self.parent:
                found.setdefault(self.folded.bundles[self.parent[group]].source, []).append(group)
        return {group: tuple(others) for group, others in found.items()}

    @cached_property
    def arriving(self) -> Mapping[int, tuple[int, ...]]:
        """For each group the bundles that lead to it, the one by which it hangs first."""
        found: dict[int, list[int]] = {group: [] for group in self.order}
        for index in self.drawn:
            found[self.folded.bundles[index].target].append(index)
        return {
            group: tuple(sorted(every, key=lambda index: (self.parent.get(group) != index, self._rank(index), index)))
            for group, every in found.items()
        }

    def _rank(self, index: int) -> int:
        return _rank(self.folded.bundles[index])

    @cached_property
    def drawn(self) -> tuple[int, ...]:
        """The bundles both of whose ends are drawn."""
        return tuple(
            index
            for index, bundle in enumerate(self.folded.bundles)
            if bundle.source in self.layers and bundle.target in self.layers
        )

    def goes_back(self, index: int) -> bool:
        """Whether a bundle leads to a layer that is not below the one it comes from."""
        bundle = self.folded.bundles[index]
        return self.layers[bundle.target] <= self.layers[bundle.source]


def plan_of(
    folded: Folded,
    masters: Iterable[int],
    important: Iterable[int] = (),
    hidden: Iterable[int] = (),
    most: int = MOST_GROUPS,
) -> Plan:
    """The plan of a folded rig.

    `masters` are the groups meant to be such; those that are `important` are cut last; those that are `hidden` are no
    orphans though no line leads to them.
    """
    masters = tuple(dict.fromkeys(masters))
    linked = dict.fromkeys(group for bundle in folded.bundles for group in (bundle.source, bundle.target))
    kept = _kept(folded, masters, tuple(important), most) if len(linked) > most else linked
    bundles = [
        (index, bundle)
        for index, bundle in enumerate(folded.bundles)
        if bundle.source in kept and bundle.target in kept
    ]
    forward = _forward(bundles, masters)
    layers = _layers(kept, [bundle for _, bundle in forward])
    parent = _parents(forward, layers)
    unseen = {*hidden, *linked}
    orphans = [group for group in range(len(folded.groups)) if group not in unseen]
    return Plan(
        folded=folded,
        layers=layers,
        parent=parent,
        order=tuple(_in_order(folded, layers, parent, masters)),
        orphans=tuple(orphans[:most]),
        cut=(*(group for group in linked if group not in kept), *orphans[most:]),
    )


def _rank(bundle: Bundle) -> int:
    """How much a bundle tells of where its target belongs, what tells most first."""
    if bundle.way is Way.COMPARE:
        return 5
    by_role = {Role.BOTH: 0, Role.LABEL: 0, Role.PACE: 1, Role.OTHER: 4}[bundle.role]
    return by_role if bundle.taken or bundle.role is Role.OTHER else by_role + 2


def _kept(folded: Folded, masters: Sequence[int], important: Sequence[int], most: int) -> dict[int, int]:
    """The groups that are drawn of too many: what is important with all above it, then from the masters down."""
    above: dict[int, int] = {}
    below: dict[int, list[int]] = {}
    for bundle in sorted(folded.bundles, key=_rank):
        if bundle.source != bundle.target:
            above.setdefault(bundle.target, bundle.source)
            below.setdefault(bundle.source, []).append(bundle.target)
    kept: dict[int, int] = {}
    for group in important:
        way: dict[int, None] = {}
        here: int | None = group
        while here is not None and here not in way and here not in kept and len(kept) + len(way) < most // 2:
            way[here] = None
            here = above.get(here)
        kept |= dict.fromkeys(way, 0)
    pending = [*reversed(list(below)), *reversed([group for group in below if group not in above]), *reversed(masters)]
    seen: set[int] = set()
    while pending and len(kept) < most:
        group = pending.pop()
        if group not in seen:
            seen.add(group)
            kept.setdefault(group, 0)
            pending.extend(reversed(below.get(group, ())))
    return dict.fromkeys(sorted(kept), 0)


def _forward(bundles: Sequence[tuple[int, Bundle]], masters: Sequence[int]) -> list[tuple[int, Bundle]]:
    """The bundles along which layers go down: none closes a circle, and what tells most is asked first."""
    onward: dict[int, list[int]] = {}
    forward: list[tuple[int, Bundle]] = []
    placed = dict.fromkeys(masters)
    reaching = sorted(bundles, key=lambda each: (_rank(each[1]), each[1].target in placed, each[0]))
    for index, bundle in reaching:
        source, target = bundle.source, bundle.target
        if _rank(bundle) > 1 and target in placed:
            continue  # it has its place from better
        if source != target and not _leads(onward, target, source):
            onward.setdefault(source, []).append(target)
            forward.append((index, bundle))
            placed.setdefault(target)
    return forward


def _leads(onward: Mapping[int, Sequence[int]], start: int, end: int) -> bool:
    """Whether one group is above another already."""
    seen, pending = {start}, [start]
    while pending:
        here = pending.pop()
        if here == end:
            return True
        fresh = [each for each in onward.get(here, ()) if each not in seen]
        seen.update(fresh)
        pending.extend(fresh)
    return False


def _layers(kept: Iterable[int], bundles: Sequence[Bundle]) -> dict[int, int]:
    """How far each group is from the masters, by the longest way."""
    layers = dict.fromkeys(kept, 0)
    onward: dict[int, list[int]] = {}
    waiting = dict.fromkeys(layers, 0)
    for bundle in bundles:
        onward.setdefault(bundle.source, []).append(bundle.target)
        waiting[bundle.target] += 1
    ready = [group for group, count in waiting.items() if not count]
    while ready:
        here = ready.pop()
        for each in onward.get(here, ()):
            layers[each] = max(layers[each], layers[here] + 1)
            waiting[each] -= 1
            if not waiting[each]:
                ready.append(each)
    return layers


def _parents(forward: Sequence[tuple[int, Bundle]], layers: Mapping[int, int]) -> dict[int, int]:
    """The bundle by which each group hangs in the tree: what labels it before what paces it, the nearest first."""
    best: dict[int, tuple[int, int, int]] = {}
    for index, bundle in forward:
        rank = (_rank(bundle), -layers[bundle.source], index)
        best[bundle.target] = min(best.get(bundle.target, rank), rank)
    return {group: rank[-1] for group, rank in best.items()}


def _in_order(
    folded: Folded, layers: Mapping[int, int], parent: Mapping[int, int], masters: Sequence[int]
) -> Iterator[int]:
    """Every group after the one it hangs on: the masters first, then as in the file."""
    below: dict[int, list[int]] = {}
    for group in layers:
        if group in parent:
            below.setdefault(folded.bundles[parent[group]].source, []).append(group)
    roots = [group for group in layers if group not in parent]
    first = [group for group in masters if group in roots]
    # What has much hanging on it stands before what merely sets a pace somewhere.
    rest = sorted((group for group in roots if group not in first), key=lambda group: (group not in below, group))
    pending = [*reversed([*first, *rest])]
    while pending:
        group = pending.pop()
        yield group
        pending.extend(sorted(below.get(group, ()), reverse=True))
