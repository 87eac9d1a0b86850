"""What is drawn, and where: the shapes of a picture, in the units of its width."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from synclint.sheet.rig_content import BoxWords, Mark
from synclint.sheet.rig_wires import Role, Way
from synclint.sheet.rig_words import LOOP
from synclint.sheet.text_width import measured, wrapped

NAME, TEXT, SMALL = 13.0, 11.0, 10.0
"""The sizes of type: names, all else, and what stands in marks."""
NAME_LINE, TEXT_LINE, CHIP = 17.0, 14.0, 15.0
"""How high a line of each is; a mark, with the space below it."""
PAD = 8.0
"""Between the edge of a box and what stands in it."""


@dataclass(frozen=True, slots=True)
class Text:
    """A text; `x` is its beginning, or its end where it is set to the right, `y` its base line."""

    x: float
    y: float
    says: str
    size: float = TEXT
    bold: bool = False
    pale: bool = False
    right: bool = False

    @property
    def width(self) -> float:
        """How wide it is, about."""
        return measured(self.says, self.size, bold=self.bold)


@dataclass(frozen=True, slots=True)
class Chip:
    """A mark: a small plate with a word; its corner is the upper left one."""

    x: float
    y: float
    says: str
    kind: str
    """The level word of a finding, or `loop`."""

    @property
    def width(self) -> float:
        """How wide it is."""
        return chip_width(self.says)


@dataclass(frozen=True, slots=True)
class Box:
    """A device, or several."""

    x: float
    y: float
    width: float
    height: float
    words: BoxWords
    texts: tuple[Text, ...]
    chips: tuple[Chip, ...]
    loose: bool = False

    @property
    def right(self) -> float:
        """Where it ends."""
        return self.x + self.width


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line with all its branches: straight pieces, and the joints where it branches."""

    role: Role
    way: Way
    pieces: tuple[tuple[float, float, float, float], ...]
    joints: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Tip:
    """The end of a line at a device: an arrow, or a bar where nobody listens."""

    x: float
    y: float
    role: Role
    taken: bool
    turn: str = "right"
    """Where it points to: `right`, `left` or `down`."""
    starts: bool = False
    """Whether it is no end but where a stub begins."""


@dataclass(slots=True)
class Scene:
    """A picture as shapes."""

    width: float
    height: float = 0.0
    boxes: list[Box] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    tips: list[Tip] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    chips: list[Chip] = field(default_factory=list)


def chip_width(says: str) -> float:
    """How wide a mark is."""
    return measured(says, SMALL, bold=True) + 10


def chips_of(marks: Sequence[Mark], *, loops: bool = False) -> list[tuple[str, str]]:
    """The words and kinds of marks."""
    return [*([(LOOP, "loop")] if loops else []), *((says, level.value) for level, says in marks)]


def in_rows(chips: Sequence[tuple[str, str]], room: float) -> Iterator[list[tuple[str, str]]]:
    """Marks in rows that fit a room; one that is too wide has a row of its own."""
    row: list[tuple[str, str]] = []
    taken = 0.0
    for chip in chips:
        wide = chip_width(chip[0]) + 4
        if row and taken + wide > room + 4:
            yield row
            row, taken = [], 0.0
        row.append(chip)
        taken += wide
    if row:
        yield row


def row_of(chips: Sequence[tuple[str, str]], x: float, y: float) -> Iterator[Chip]:
    """A row of marks, placed."""
    for says, kind in chips:
        yield Chip(x, y, says, kind)
        x += chip_width(says) + 4


@dataclass(frozen=True, slots=True)
class Block:
    """What stands in a box, set for a room: its lines from the top, and its marks below."""

    lines: tuple[tuple[str, float, bool], ...]
    """The text, its size, and whether it is bold."""
    rows: tuple[tuple[tuple[str, str], ...], ...]
    width: float
    height: float
    beside: str = ""
    """What stands on the last line, behind what is bold."""
    marks_beside: bool = False
    """Whether the marks stand there too."""

    def placed(self, x: float, y: float) -> tuple[tuple[Text, ...], tuple[Chip, ...]]:
        """The texts and marks of a box whose corner is here."""
        texts: list[Text] = []
        chips: list[Chip] = []
        top = y + 5
        for says, size, bold in self.lines:
            high = _line(size)
            texts.append(Text(x + PAD, top + high - 4, says, size, bold))
            top += high
        if self.beside:
            last = texts[-1]
            texts.append(Text(last.x + last.width + GAP, last.y, self.beside))
        for row in self.rows:
            if self.marks_beside:
                return tuple(texts), tuple(row_of(row, texts[-1].x + texts[-1].width + GAP, top - 14))
            chips += row_of(row, x + PAD, top + 1)
            top += CHIP + 1
        return tuple(texts), tuple(chips)


GAP = 9.0
"""Between what stands beside each other on a line."""


def _line(size: float) -> float:
    return NAME_LINE if size == NAME else TEXT_LINE


def block_of(words: BoxWords, room: float) -> Block:
    """What stands in a box that may be so wide inside, one thing below the other."""
    lines = _headlines(words, room)
    for line in words.lines:
        lines += [(each, TEXT, False) for each in wrapped(line, room, TEXT, most=2)]
    rows = tuple(map(tuple, in_rows(chips_of(words.marks), room)))
    widest = max([0.0, *(measured(says, size, bold=bold) for says, size, bold in lines)])
    widest = max([widest, *(sum(chip_width(says) + 4 for says, _ in row) - 4 for row in rows)])
    height = 10 + sum(_line(size) for _, size, _ in lines) + len(rows) * (CHIP + 1)
    return Block(tuple(lines), rows, widest, height)


def flat_block_of(words: BoxWords, room: float) -> Block:
    """What stands in a box that is rather wide than high: as much as fits on the line of its name."""
    lines = _headlines(words, room)
    last = lines[-1]
    left = room - measured(last[0], last[1], bold=True) - GAP
    said = ", ".join(words.lines)
    beside = said if measured(said, TEXT) <= left else ""
    if beside != said:
        lines += [(each, TEXT, False) for each in wrapped(said, room, TEXT, most=3)]
    rows = tuple(map(tuple, in_rows(chips_of(words.marks), room)))
    left -= measured(beside, TEXT) + GAP
    marks = len(rows) == 1 and beside == said and sum(chip_width(says) + 4 for says, _ in rows[0]) <= left
    height = 10 + sum(_line(size) for _, size, _ in lines) + (0 if marks else len(rows) * (CHIP + 1))
    return Block(tuple(lines), rows, room, height, beside, marks)


def _headlines(words: BoxWords, room: float) -> list[tuple[str, float, bool]]:
    """What stands in bold at the top of a box: what it is meant to be, and its name."""
    lines: list[tuple[str, float, bool]] = []
    for tag in words.told.tags:
        lines += [(line, SMALL, True) for line in wrapped(tag, room, SMALL, bold=True, most=2)]
    size = TEXT if words.through else NAME
    return [*lines, *((line, size, True) for line in wrapped(words.headline, room, size, bold=True, most=3))]
