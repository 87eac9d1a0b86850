"""The lines of the wide picture before they have a place: what runs together, and between which rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from synclint.sheet.rig_content import Content
from synclint.sheet.rig_rows import Cell
from synclint.sheet.rig_scene import CHIP, SMALL, TEXT, chip_width, chips_of, in_rows
from synclint.sheet.rig_tracks import lanes_of
from synclint.sheet.rig_wires import Role, Way
from synclint.sheet.text_width import fitted, measured, wrapped

LINE = 13.0
"""How high a line of text beside a line is."""


@dataclass(frozen=True, slots=True)
class Form:
    """How wide boxes and labels may be."""

    box: float
    label: float


@dataclass(slots=True)
class Slot:
    """The end of a bundle at a box, with what stands on the line."""

    bundle: int
    group: int
    above: tuple[str, ...]
    below: tuple[str, ...]
    rows: tuple[tuple[tuple[str, str], ...], ...]
    y: float = 0.0

    @property
    def rise(self) -> float:
        """What it takes above the line."""
        return 4 + LINE * len(self.above)

    @property
    def fall(self) -> float:
        """What it takes below the line."""
        return 5 + LINE * len(self.below) + (CHIP + 1) * len(self.rows)

    @property
    def width(self) -> float:
        """How wide what stands on it is."""
        wide = [*(measured(each, TEXT) for each in self.above), *(measured(each, SMALL) for each in self.below)]
        return max([*wide, *(sum(chip_width(says) + 4 for says, _ in row) - 4 for row in self.rows)])


@dataclass(slots=True)
class Part:
    """What a line has in one column: its ends there, and the lane by which it gets there."""

    column: int
    slots: list[Slot] = field(default_factory=list)
    strip: int | None = None
    """The space between two rows in which its lane runs, above the row of that number; none where it has no lane."""
    entry: int | None = None
    """Where it enters a box from above, counted from the left: so does what goes back to the first column."""
    lane: int = 0
    y: float = 0.0
    """The height of the lane."""
    track: float = 0.0
    """Where it runs up or down before its ends: at first the number of the track, at last its place."""

    @property
    def height(self) -> float:
        """How much of its strip a lane takes that has its label below it."""
        return self.slots[0].rise + self.slots[0].fall


@dataclass(slots=True)
class Net:
    """A line with all its branches: what comes from one group by links of one kind and signal."""

    source: int
    role: Role
    way: Way
    parts: dict[int, Part] = field(default_factory=dict)
    stub: float = 0.0
    """At which height it leaves its source."""
    track: float = 0.0
    """Where it runs up or down behind its source, as in a part."""


def slot_of(content: Content, index: int, form: Form) -> Slot:
    """The end of a bundle, with its label set for a form."""
    label, room = content.labels[index], form.label
    rows = tuple(map(tuple, in_rows(chips_of(content.marks[index], loops=content.loops(index)), room)))
    together = f"{label.out} → {label.into}"
    ports = (together,) if measured(together, SMALL) <= room else (f"{label.out} →", label.into)
    return Slot(
        bundle=index,
        group=content.bundle(index).target,
        above=tuple(wrapped(label.signal, room, TEXT, most=2)),
        below=tuple(fitted(each, room, SMALL) for each in ports),
        rows=rows,
    )


def nets_of(content: Content, slots: Iterable[Slot], rows: Mapping[int, int], crossed: set[Cell]) -> list[Net]:
    """The lines of a picture with their strips and lanes."""
    plan, nets = content.plan, dict[tuple[object, ...], Net]()
    entries: dict[int, int] = {}
    for slot in slots:
        bundle, column = content.bundle(slot.bundle), plan.layers[slot.group]
        back = plan.goes_back(slot.bundle)
        # What goes back runs by itself, or a circle would not be seen as one.
        key = (bundle.source, bundle.role, bundle.way, bundle.wires[0].signal, slot.bundle if back else None)
        net = nets.setdefault(key, Net(bundle.source, bundle.role, bundle.way))
        part = net.parts.setdefault(column, Part(column))
        part.slots.append(slot)
        if back and column == 0:
            part.entry = entries.get(slot.group, 0)
            entries[slot.group] = part.entry + 1
    for net in nets.values():
        for part in net.parts.values():
            part.strip = _strip(net, part, plan.layers[net.source], rows, crossed)
    _give_lanes(nets.values(), plan.layers)
    return list(nets.values())


def _strip(net: Net, part: Part, start: int, rows: Mapping[int, int], crossed: set[Cell]) -> int | None:
    """Between which rows a line runs, if its ends are not in the next column."""
    own = rows[net.source]
    targets = [rows[slot.group] for slot in part.slots]
    if part.column == start + 1:
        return None
    between = [(own, layer) for layer in range(start + 1, part.column)]
    if part.column > start and own in targets and all(cell in crossed for cell in between):
        return None  # straight on
    if part.column <= start or own < min(targets):
        return min(targets)
    return max(targets) + 1 if own > max(targets) else own + 1


def _give_lanes(nets: Iterable[Net], layers: Mapping[int, int]) -> None:
    """Lanes side by side in each strip: those that pass on top, then those that enter a box below."""
    strips: dict[int, list[tuple[Net, Part]]] = {}
    for net in nets:
        for part in net.parts.values():
            if part.strip is not None:
                strips.setdefault(part.strip, []).append((net, part))
    for parts in strips.values():
        passing = [(net, part) for net, part in parts if part.entry is None]
        spans = [sorted((layers[net.source] + 1, part.column)) for net, part in passing]
        for (_, part), lane in zip(passing, lanes_of([(start, end) for start, end in spans]), strict=True):
            part.lane = lane
