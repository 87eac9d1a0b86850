"""The narrow picture: a box below the other, each set in below the one it hangs on, as a phone or a column can hold it.

A line from above arrives at the left of a box, beside the words that belong to it. All other lines run up and down at
the right of the boxes as far as there is room; where there is none the words say where the line comes from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from synclint.sheet.rig_content import Content
from synclint.sheet.rig_scene import (
    CHIP,
    PAD,
    TEXT,
    TEXT_LINE,
    Block,
    Box,
    Scene,
    Stroke,
    Text,
    Tip,
    chip_width,
    chips_of,
    flat_block_of,
    in_rows,
    row_of,
)
from synclint.sheet.rig_tracks import lanes_of
from synclint.sheet.rig_wires import Role, Way
from synclint.sheet.text_width import measured, wrapped

EDGE = 8.0
STEP = 30.0
"""By how much a box is set in below the one it hangs on."""
NARROWEST, WIDEST = 170.0, 500.0
"""How wide a box is, at least and at most."""
LANE, TRUNK = 9.0, 8.0
"""Between two lines side by side, at the right and at the left of boxes."""
BETWEEN, APART = 9.0, 18.0
"""Between two boxes, and before one that hangs on nothing above."""
STUB = 24.0
"""How long a line is that only tells its kind, because there is no room to lead it to where it comes from."""
MOST_TRUNKS = 2
"""So many kinds of line run down from one box; there is no room for more before the boxes below it."""


@dataclass(slots=True)
class _Arrival:
    """A bundle that arrives at a box, with what is said beside its end."""

    bundle: int
    side: str
    """`left` from the box above, `right` along a lane, `stub` from the right too, where the words say from whom."""
    texts: tuple[str, ...]
    rows: tuple[tuple[tuple[str, str], ...], ...]
    y: float = 0.0

    @property
    def height(self) -> float:
        return TEXT_LINE * len(self.texts) + (CHIP + 1) * len(self.rows) + 2


@dataclass(slots=True)
class _Line:
    """What runs from one box along a trunk or a lane to others."""

    source: int
    role: Role
    way: Way
    lane: int
    arrivals: list[tuple[int, _Arrival]] = field(default_factory=list)


def narrow_scene(content: Content, width: float) -> Scene:
    """The picture as a column of boxes."""
    if not content.plan.order:
        return Scene(width)
    return _Narrow(content, width).scene()


class _Narrow:
    """One picture."""

    def __init__(self, content: Content, width: float) -> None:
        self.content = content
        self.width = width
        plan = content.plan
        self.place = {group: index for index, group in enumerate(plan.order)}
        self.lanes = self._lanes(4 if width <= 480 else 8)
        self.leaves: dict[tuple[object, ...], float] = {}
        self.depths = self._depths()
        lanes = max(self.lanes.values(), default=-1) + 1
        margin = LANE * lanes + 12 if lanes else 0.0
        self.deepest = max(int((width - 2 * EDGE - margin - STUB - NARROWEST) / STEP), 0)
        self.sides = self._sides()
        self.stubs = STUB if "stub" in self.sides.values() else 0.0
        room = width - 2 * EDGE - margin - self.stubs
        self.left = {group: EDGE + STEP * min(depth, self.deepest) for group, depth in self.depths.items()}
        self.right = EDGE + min(room, max(self.left.values()) - EDGE + WIDEST)

    def _sides(self) -> dict[int, str]:
        """On which side each bundle arrives, and whether it is led there at all."""
        plan, trunks, sides = self.content.plan, dict[int, set[tuple[Role, Way]]](), dict[int, str]()
        for index in (index for group in plan.order for index in plan.arriving[group]):
            bundle = self.content.bundle(index)
            if plan.parent.get(bundle.target) != index:
                sides[index] = "right" if self._lane_key(index) in self.lanes else "stub"
                continue
            kinds = trunks.setdefault(bundle.source, set())
            fits = (bundle.role, bundle.way) in kinds or len(kinds) < MOST_TRUNKS
            if fits and self.depths[bundle.source] < self.deepest:
                kinds.add((bundle.role, bundle.way))
                sides[index] = "left"
            else:
                sides[index] = "stub"
        return sides

    def _depths(self) -> dict[int, int]:
        plan, depths = self.content.plan, dict[int, int]()
        for group in plan.order:
            above = plan.folded.bundles[plan.parent[group]].source if group in plan.parent else None
            depths[group] = 0 if above is None else depths[above] + 1
        return depths

    def _lanes(self, most: int) -> dict[tuple[object, ...], int]:
        """The lane of each line that is no branch of the tree, what goes round first; what finds none has none."""
        plan, spans = self.content.plan, dict[tuple[object, ...], tuple[int, int]]()
        others = [index for index in plan.drawn if plan.parent.get(self.content.bundle(index).target) != index]
        urgent = (Role.PACE, Role.BOTH, Role.LABEL, Role.OTHER)
        others.sort(key=lambda each: (not self.content.loops(each), urgent.index(self.content.bundle(each).role), each))
        for index in others:
            bundle, key = self.content.bundle(index), self._lane_key(index)
            ends = (self.place[bundle.source], self.place[bundle.target])
            start, end = spans.get(key, (min(ends), max(ends)))
            spans[key] = (min(start, *ends), max(end, *ends))
        found: dict[tuple[object, ...], int] = {}
        kept: list[tuple[int, int]] = []
        for key, span in spans.items():
            lane = lanes_of([*kept, span])[-1]
            if lane < most:
                kept.append(span)
                found[key] = lane
        return found

    def _lane_key(self, index: int) -> tuple[object, ...]:
        """What runs together: links of one kind from one source, but each that goes round by itself."""
        bundle = self.content.bundle(index)
        signal = bundle.wires[0].signal
        return (bundle.source, bundle.role, bundle.way, signal, index if self.content.loops(index) else None)

    # --- the shapes ---

    def scene(self) -> Scene:
        """The picture."""
        scene, plan, y = Scene(self.width), self.content.plan, 2.0
        lines: dict[tuple[object, ...], _Line] = {}
        boxes: dict[int, Box] = {}
        for group in plan.order:
            if boxes:
                y += APART if group not in plan.parent else BETWEEN
            arrivals = list(self._arrivals(group))
            for each in arrivals:
                self._join(lines, group, each)
            boxes[group] = self._box(group, arrivals, y)
            y += boxes[group].height
        scene.boxes.extend(boxes.values())
        for line in lines.values():
            self._run(scene, line, boxes)
        scene.height = y + BETWEEN
        return scene

    def _leaving(self, group: int) -> list[tuple[object, ...]]:
        """The lanes that begin at a box."""
        return [key for key in self.lanes if key[0] == group]

    def _arrivals(self, group: int) -> Iterator[_Arrival]:
        plan = self.content.plan
        room = self.right - self.left[group] - 2 * PAD
        for index in plan.arriving[group]:
            bundle, label = self.content.bundle(index), self.content.labels[index]
            side = self.sides[index]
            whence = f" from {self.content.boxes[bundle.source].headline}" if side == "stub" else ""
            texts = self._said(f"{label.signal}{whence}", f"{label.out} → {label.into}", room)
            chips = chips_of(self.content.marks[index], loops=self.content.loops(index))
            yield _Arrival(index, side, texts, tuple(map(tuple, in_rows(chips, room))))

    def _said(self, signal: str, ports: str, room: float) -> tuple[str, ...]:
        """What stands beside the end of a line: on one line of text if it fits."""
        together = wrapped(f"{signal}: {ports}", room, TEXT)
        if len(together) == 1:
            return tuple(together)
        return (*wrapped(signal, room, TEXT, most=2), *wrapped(ports, room, TEXT, most=2))

    def _box(self, group: int, arrivals: list[_Arrival], y: float) -> Box:
        """A box with all that stands in it."""
        x, words = self.left[group], self.content.boxes[group]
        block: Block = flat_block_of(words, self.right - x - 2 * PAD)
        placed_texts, placed_chips = block.placed(x, y)
        texts, chips = list(placed_texts), list(placed_chips)
        bottom = y + block.height - 3
        for each in arrivals:
            if self._beside(arrivals, each, self.right - x - 2 * PAD):
                bottom -= each.height
            each.y = bottom + TEXT_LINE - 7
            for line in each.texts:
                bottom += TEXT_LINE
                at = x + PAD if each.side == "left" else self.right - PAD
                texts.append(Text(at, bottom - 3, line, pale=True, right=each.side != "left"))
            for row in each.rows:
                start = x + PAD
                if each.side != "left":
                    start = self.right - PAD - sum(chip_width(says) + 4 for says, _ in row) + 4
                chips.extend(row_of(row, start, bottom + 1))
                bottom += CHIP + 1
            bottom += 2
        height = self._leave(group, y, bottom - y + 4, [each.y for each in arrivals if each.side != "left"])
        return Box(x, y, self.right - x, height, words, tuple(texts), tuple(chips))

    def _leave(self, group: int, top: float, height: float, taken: list[float]) -> float:
        """Find where each lane leaves a box, apart from what arrives there, and say how high the box must be for it."""
        keys = self._leaving(group)
        while True:
            free = [top + height - 7 - 8 * step for step in range(int((height - 10) / 8))]
            free = [y for y in free if all(abs(y - other) >= 7 for other in taken)]
            if len(free) >= len(keys):
                self.leaves |= dict(zip(keys, reversed(free[: len(keys)]), strict=True))
                return height
            height += 8

    @staticmethod
    def _beside(arrivals: list[_Arrival], arrival: _Arrival, room: float) -> bool:
        """Whether an arrival at the right stands on the line of the one before it, which is at the left."""
        before = arrivals[arrivals.index(arrival) - 1] if arrival is not arrivals[0] else None
        if before is None or before.side != "left" or arrival.side == "left":
            return False
        if len(before.texts) + len(arrival.texts) > 2 or before.rows or arrival.rows:
            return False
        return sum(measured(each.texts[0], TEXT) for each in (before, arrival)) + 24 <= room

    def _join(self, lines: dict[tuple[object, ...], _Line], group: int, arrival: _Arrival) -> None:
        """Let an arrival be an end of its line."""
        bundle = self.content.bundle(arrival.bundle)
        key: tuple[object, ...] = (arrival.side, bundle.source, bundle.role, bundle.way)
        lane = 0
        if arrival.side == "right":
            key = (arrival.side, *self._lane_key(arrival.bundle))
            lane = self.lanes[self._lane_key(arrival.bundle)]
        elif arrival.side == "left":
            lane = sum(each[:2] == key[:2] for each in lines if each != key)
        else:
            key = (arrival.side, arrival.bundle)
        line = lines.setdefault(key, _Line(bundle.source, bundle.role, bundle.way, lane))
        line.arrivals.append((group, arrival))

    def _run(self, scene: Scene, line: _Line, boxes: dict[int, Box]) -> None:
        """Draw a line with its ends."""
        source, heights = boxes[line.source], [arrival.y for _, arrival in line.arrivals]
        side = line.arrivals[0][1].side
        pieces, joints = [], []
        if side == "left":
            x = source.x + 9 + TRUNK * line.lane
            pieces.append((x, source.y + source.height, x, max(heights)))
            pieces += [(x, each.y, boxes[group].x - 7, each.y) for group, each in line.arrivals]
            joints = [(x, y) for y in sorted(heights)[:-1]]
        elif side == "right":
            x = self.right + 15 + self.stubs + LANE * line.lane
            leaves = self.leaves[self._lane_key(line.arrivals[0][1].bundle)]
            ends = sorted({leaves, *heights})
            pieces.append((x, ends[0], x, ends[-1]))
            pieces.append((self.right, leaves, x, leaves))
            pieces += [(self.right + 7, y, x, y) for y in heights]
            joints = [(x, y) for y in ends[1:-1]]
        else:
            pieces = [(self.right + 8, each.y, self.right + STUB - 4, each.y) for _, each in line.arrivals]
        scene.strokes.append(Stroke(line.role, line.way, tuple(pieces), tuple(joints)))
        for group, arrival in line.arrivals:
            bundle = self.content.bundle(arrival.bundle)
            x, turn = (boxes[group].x, "right") if side == "left" else (self.right, "left")
            scene.tips.append(Tip(x, arrival.y, bundle.role, bundle.taken, turn=turn))
            if side == "stub":
                scene.tips.append(Tip(x + STUB - 4, arrival.y, bundle.role, taken=True, starts=True))
