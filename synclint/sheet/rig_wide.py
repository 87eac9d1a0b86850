"""The wide picture: a column a layer, from the masters on the left to the right, and lines in the gaps between.

All groups stand on one grid of rows, so that lines may run between two rows from any column to any other. What stands
on a line stands at its end, left of the box that it leads to, where no other line comes.
"""

from __future__ import annotations

from synclint.sheet.rig_content import Content
from synclint.sheet.rig_nets import LINE, Form, Net, Part, Slot, nets_of, slot_of
from synclint.sheet.rig_rows import rows_of
from synclint.sheet.rig_scene import PAD, SMALL, Box, Scene, Stroke, Text, Tip, block_of, row_of
from synclint.sheet.rig_tracks import Upright, tracks_of
from synclint.sheet.rig_uprights import Branch, Piece, upright

EDGE = 8.0
"""Left free around the picture."""
TRACK, LANE = 9.0, 9.0
"""Between two lines side by side."""
ARROW = 13.0
STRIP = 12.0
"""Between two rows, besides what runs there."""
LEAST_ROW = 34.0
"""From one row to the next, at least."""
NARROWEST = 70.0
"""No column with its gap is narrower than so much."""
LONGER = 70.0
"""By so much, at most, is a gap widened where there is room."""
ENTRY, BESIDE = 12.0, 14.0
"""Where the first line enters a box from above, and how far from it the next."""

FORMS = tuple(
    Form(box, label)
    for box, label in ((200, 190), (170, 150), (150, 130), (136, 112), (124, 98), (112, 88), (102, 78), (94, 68))
)
"""From the roomiest to the tightest."""


def wide_scene(content: Content, width: float) -> Scene | None:
    """The picture in columns, in the roomiest form that fits the width; None where none does."""
    if not content.plan.order:
        return Scene(width)
    if (max(content.plan.layers.values()) + 1) * NARROWEST > width:
        return None
    for form in FORMS:
        picture = Wide(content, form)
        if picture.needs() <= width:
            return picture.scene(width)
    return None


class Wide:
    """One picture in one form."""

    def __init__(self, content: Content, form: Form) -> None:
        """Lay a picture out, but for the places of its columns."""
        self.content = content
        self.plan = content.plan
        self.columns = max(self.plan.layers.values()) + 1
        self.rows, self.crossed = rows_of(self.plan)
        self.row_count = max(self.rows.values()) + 1
        self.blocks = {group: block_of(content.boxes[group], form.box - 2 * PAD) for group in self.plan.order}
        every = [slot_of(content, index, form) for group in self.plan.order for index in self.plan.arriving[group]]
        self.nets = nets_of(content, every, self.rows, self.crossed)
        self.parts = [(net, part) for net in self.nets for part in net.parts.values()]
        from_above = {id(part.slots[0]) for _, part in self.parts if part.entry is not None}
        self.slots: dict[int, list[Slot]] = {group: [] for group in self.plan.order}
        for slot in every:
            if id(slot) not in from_above:
                self.slots[slot.group].append(slot)
        self.heights = {group: self._height(group) for group in self.plan.order}
        self.tops = self._tops()
        self._place_lines()
        self._place_tracks()

    # --- heights ---

    def _height(self, group: int) -> float:
        """How high a box is: for what stands in it, for what arrives, and for what leaves."""
        leaving = sum(net.source == group for net in self.nets)
        arriving = sum(slot.rise + slot.fall for slot in self.slots[group])
        return max(self.blocks[group].height, arriving, 10 + 7.0 * leaving)

    def _lanes_above(self, row: int) -> float:
        """How high the lanes between a row and the one above it are."""
        parts = [part for _, part in self.parts if part.strip == row]
        lanes = max((part.lane + 1 for part in parts if part.entry is None), default=0)
        return lanes * LANE + sum(part.height for part in parts if part.entry is not None)

    def _tops(self) -> list[float]:
        """Where each row begins; and at last where all ends.

        A box reaches down past the rows in which nothing stands below it and nothing runs.
        """
        lanes = [self._lanes_above(row) for row in range(self.row_count + 1)]
        held = {(row, self.plan.layers[group]) for group, row in self.rows.items()} | self.crossed
        tops: list[float] = []
        below: list[float] = [2.0] * (self.row_count + 1)
        for row in range(self.row_count):
            top = max(below[row], tops[-1] + LEAST_ROW if tops else 0.0) + lanes[row]
            tops.append(top)
            for group in (each for each, its in self.rows.items() if its == row):
                layer = self.plan.layers[group]
                stops = (each for each in range(row + 1, self.row_count) if (each, layer) in held or lanes[each] > 0)
                stop = next(stops, self.row_count)
                below[stop] = max(below[stop], top + self.heights[group] + STRIP)
        end = max(below[self.row_count], tops[-1] + LEAST_ROW)
        return [*tops, end + lanes[self.row_count]]

    def _place_lines(self) -> None:
        """The height of each slot, lane and stub."""
        for group, slots in self.slots.items():
            y = self.tops[self.rows[group]]
            for slot in slots:
                slot.y = y + slot.rise
                y += slot.rise + slot.fall
        for strip in dict.fromkeys(part.strip for _, part in self.parts if part.strip is not None):
            parts = [part for _, part in self.parts if part.strip == strip]
            y = self.tops[strip]
            for part in sorted((each for each in parts if each.entry is not None), key=lambda each: -(each.entry or 0)):
                y -= part.height
                part.y = part.slots[0].y = y
            passing = [part for part in parts if part.entry is None]
            highest = max((part.lane for part in passing), default=0)
            for part in passing:
                part.y = y - 8 - LANE * (highest - part.lane)
        used: dict[int, list[float]] = {}
        for net in sorted(self.nets, key=lambda each: all(part.strip is not None for part in each.parts.values())):
            net.stub = self._stub(net, used.setdefault(net.source, []))

    def _stub(self, net: Net, used: list[float]) -> float:
        """At which height a line leaves its source: straight on where it can, and never where another one arrives."""
        row, column = self.rows[net.source], self.plan.layers[net.source]
        top, bottom = self.tops[row], self.tops[row] + self.heights[net.source]
        straight = [slot for part in net.parts.values() if part.strip is None for slot in part.slots]
        for slot in straight:
            if self.rows[slot.group] == row and slot.y < bottom - 3 and slot.y not in used:
                used.append(slot.y)
                return slot.y
        near = [
            slot.y for group, slots in self.slots.items() if self.plan.layers[group] == column + 1 for slot in slots
        ]
        free = [top + 6 + step for step in range(int(bottom - top - 10))]
        apart = [y for y in free if all(abs(y - other) >= 4 for other in (*near, *used))]
        ends = [slot.y if part.strip is None else part.y for part in net.parts.values() for slot in part.slots]
        middle = sum(ends) / len(ends)
        y = min(apart, key=lambda each: abs(each - middle)) if apart else max((*used, top + 4)) + 1.3
        used.append(y)
        return y

    # --- widths ---

    def _place_tracks(self) -> None:
        """In which track of which gap each line runs up or down."""
        self.uprights: dict[int, list[tuple[Net | Part, Upright]]] = {gap: [] for gap in range(self.columns + 1)}
        for net in self.nets:
            start = self.plan.layers[net.source] + 1
            left, right = [net.stub], list[float]()
            for part in net.parts.values():
                ends = tuple(slot.y for slot in part.slots)
                if part.column == start:
                    right += ends
                    continue
                if part.strip is None:
                    part.y = net.stub
                back = part.column < start
                (left if back else right).append(part.y)
                if part.entry is None:
                    last = Upright((), (part.y, *ends)) if back else Upright((part.y,), ends)
                    self.uprights[part.column].append((part, last))
            self.uprights[start].append((net, Upright(tuple(left), tuple(right))))
        self.track_count = {}
        for gap, uprights in self.uprights.items():
            tracks = tracks_of([each for _, each in uprights])
            for (line, _), track in zip(uprights, tracks, strict=True):
                line.track = track
            self.track_count[gap] = max(tracks, default=-1) + 1

    def _gap(self, gap: int) -> tuple[float, float]:
        """How much room the lines of a gap take, and what stands on them."""
        ending = (slot for group, slots in self.slots.items() if self.plan.layers[group] == gap for slot in slots)
        labels = max((slot.width for slot in ending), default=0.0)
        lines = 6 + TRACK * self.track_count[gap] if self.track_count[gap] else 0.0
        return lines, labels + ARROW + 4 if labels else 0.0

    def _column(self, column: int) -> float:
        """How wide a column is."""
        wide = [self.blocks[group].width + 2 * PAD for group, its in self.plan.layers.items() if its == column]
        if column == 0:
            wide += [_entry(part) + part.slots[0].width + 6 for _, part in self.parts if part.entry is not None]
        return max(wide)

    def needs(self) -> float:
        """How wide the picture is at the least."""
        gaps = sum(sum(self._gap(gap)) for gap in range(self.columns + 1))
        return gaps + sum(self._column(column) for column in range(self.columns)) + 2 * EDGE

    # --- the shapes ---

    def scene(self, width: float) -> Scene:
        """The picture, spread over the width."""
        scene, x = Scene(width), EDGE
        gaps = [self._gap(gap) for gap in range(self.columns + 1)]
        filled = sum(labels > 0 for _, labels in gaps)
        spare = min((width - self.needs()) / filled, LONGER) if filled else 0.0
        columns: dict[int, float] = {}
        labels_at: dict[int, float] = {}
        for gap, (lines, labels) in enumerate(gaps):
            for line, _ in self.uprights[gap]:
                line.track = x + 8 + TRACK * line.track
            labels_at[gap] = x + lines + 4
            x += lines + labels + (spare if labels else 0.0)
            columns[gap] = x
            x += self._column(gap) if gap < self.columns else 0.0
        scene.boxes += [self._box(group, columns[self.plan.layers[group]]) for group in self.plan.order]
        rights = {group: box.right for group, box in zip(self.plan.order, scene.boxes, strict=True)}
        for net in self.nets:
            scene.strokes.append(self._stroke(net, rights[net.source], columns))
        for _, part in self.parts:
            for slot in part.slots:
                self._label(scene, part, slot, labels_at[part.column], columns[part.column])
        scene.height = self.tops[-1]
        return scene

    def _box(self, group: int, x: float) -> Box:
        block, y, words = self.blocks[group], self.tops[self.rows[group]], self.content.boxes[group]
        width = block.width + 2 * PAD if words.through else self._column(self.plan.layers[group])
        return Box(x, y, width, self.heights[group], words, *block.placed(x, y))

    def _stroke(self, net: Net, right: float, columns: dict[int, float]) -> Stroke:
        """The pieces of a line."""
        start = self.plan.layers[net.source] + 1
        first: list[Branch] = [(net.stub, right)]
        pieces: list[Piece] = []
        joints: list[tuple[float, float]] = []
        for part in net.parts.values():
            end = columns[part.column]
            ends: list[Branch] = [(slot.y, end - 7) for slot in part.slots]
            if part.column == start:
                first += ends
            elif part.entry is not None:
                x = end + _entry(part)
                first.append((part.y, x))
                pieces.append((x, part.y, x, self._entered(part) - 7))
            else:
                first.append((part.y, part.track))
                more = upright(part.track, ends, through=part.y)
                pieces, joints = pieces + more[0], joints + more[1]
        more = upright(net.track, first)
        return Stroke(net.role, net.way, tuple(more[0] + pieces), tuple(more[1] + joints))

    def _entered(self, part: Part) -> float:
        """The upper edge of the box that is entered from above."""
        return self.tops[self.rows[part.slots[0].group]]

    def _label(self, scene: Scene, part: Part, slot: Slot, x: float, end: float) -> None:
        """What stands on a line at its end, and the end itself."""
        bundle, y = self.content.bundle(slot.bundle), slot.y
        if part.entry is None:
            scene.tips.append(Tip(end, y, bundle.role, bundle.taken))
            y -= LINE * len(slot.above) - 8
            texts = [Text(x, y + LINE * index, line) for index, line in enumerate(slot.above)]
            y = slot.y
        else:
            x = end + _entry(part) + 7
            scene.tips.append(Tip(x - 7, self._entered(part), bundle.role, bundle.taken, turn="down"))
            texts = [Text(x, y + LINE * (index + 1), line) for index, line in enumerate(slot.above)]
            y += LINE * len(slot.above)
        for line in slot.below:
            y += LINE
            texts.append(Text(x, y, line, SMALL))
        scene.texts += texts
        for row in slot.rows:
            scene.chips.extend(row_of(row, x, y + 4))
            y += 16


def _entry(part: Part) -> float:
    """How far from the left of a box a line enters it from above."""
    return ENTRY + BESIDE * (part.entry or 0)
