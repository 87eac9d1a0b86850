"""What stands around the picture: its title, what hangs on nothing, the legend, and the findings in words."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.sheet.rig_content import MOST_FINDINGS, Content
from synclint.sheet.rig_scene import (
    CHIP,
    PAD,
    SMALL,
    TEXT,
    TEXT_LINE,
    Box,
    Chip,
    Scene,
    Stroke,
    Text,
    Tip,
    block_of,
    chip_width,
)
from synclint.sheet.rig_wires import Role, Way
from synclint.sheet.rig_words import HANGS_ON_NOTHING
from synclint.sheet.text_width import measured, wrapped

EDGE = 8.0
SAMPLE = 44.0
"""How long a line of the legend is."""


def headed(scene: Scene, content: Content) -> float:
    """Where the picture begins, below its title."""
    y = 4.0
    for line in wrapped(content.title, scene.width - 2 * EDGE, 15, bold=True, most=2):
        y += 19
        scene.texts.append(Text(EDGE, y - 2, line, 15, bold=True))
    for line in wrapped("Who labels whom, and who paces whom", scene.width - 2 * EDGE, TEXT, most=2):
        y += TEXT_LINE
        scene.texts.append(Text(EDGE, y, line, TEXT, pale=True))
    return y + 12


def add_orphans(scene: Scene, content: Content) -> None:
    """A row of the devices that no line leads to or from."""
    orphans = content.plan.orphans
    if not orphans:
        return
    scene.height += 8
    scene.texts.append(Text(EDGE, scene.height + 14, HANGS_ON_NOTHING.capitalize(), 13, bold=True))
    x, y, high = EDGE, scene.height + 24, 0.0
    most = min(180.0, scene.width - 2 * EDGE - 2 * PAD)
    for group in orphans:
        words = content.boxes[group]
        block = block_of(words, most)
        wide = block.width + 2 * PAD
        if x > EDGE and x + wide > scene.width - EDGE:
            x, y, high = EDGE, y + high + 10, 0.0
        texts, chips = block.placed(x, y)
        scene.boxes.append(Box(x, y, wide, block.height, words, texts, chips, loose=True))
        x, high = x + wide + 10, max(high, block.height)
    scene.height = y + high + 12


def add_legend(scene: Scene) -> None:
    """The lines that occur, with what they mean."""
    entries = [*_lines(scene)]
    bars = any(not tip.taken for tip in scene.tips)
    if not entries:
        return
    y = scene.height + 20
    scene.texts.append(Text(EDGE, y, "Lines", TEXT, bold=True))
    wide = max(measured(says, TEXT) for _, _, says in entries) + SAMPLE + 30
    columns = max(int((scene.width - 2 * EDGE) / wide), 1)
    y += 4
    for index, (role, way, says) in enumerate(entries):
        x = EDGE + (index % columns) * wide
        scene.strokes.append(Stroke(role, way, ((x, y + 10, x + SAMPLE - 7, y + 10),)))
        scene.tips.append(Tip(x + SAMPLE, y + 10, role, taken=True))
        lines = wrapped(says, scene.width - EDGE - x - SAMPLE - 8, TEXT)
        scene.texts += [Text(x + SAMPLE + 8, y + 14 + TEXT_LINE * line, each) for line, each in enumerate(lines)]
        if index % columns == columns - 1 or index == len(entries) - 1:
            y += 18 + TEXT_LINE * (len(lines) - 1)
    told = [*(["A bar instead of an arrow: it arrives, and the device does not follow it."] if bars else ())]
    told += ["A double edge: several devices alike."] if any(box.words.count > 1 for box in scene.boxes) else []
    told += (
        ["Grey with round corners: passes on what comes in."] if any(box.words.through for box in scene.boxes) else []
    )
    told += ["Heavy edge: meant to be a master."] if any(box.words.told.tags for box in scene.boxes) else []
    y = _paragraph(scene, " ".join(told), y + 4) if told else y
    scene.height = y + 6


def _lines(scene: Scene) -> Iterator[tuple[Role, Way, str]]:
    """Each kind of line that is drawn, in a fixed order."""
    drawn = {(stroke.role, stroke.way) for stroke in scene.strokes}
    for role in Role:
        for way in Way:
            if (role, way) in drawn:
                yield role, way, f"{role.value}: {way.value}"


def add_notes(scene: Scene, content: Content) -> None:
    """What is not drawn."""
    for note in content.notes:
        scene.height = _paragraph(scene, note, scene.height + 4)


def _paragraph(scene: Scene, says: str, y: float) -> float:
    for line in wrapped(says, scene.width - 2 * EDGE, TEXT):
        y += TEXT_LINE
        scene.texts.append(Text(EDGE, y, line, pale=True))
    return y + 4


def add_findings(scene: Scene, content: Content) -> None:
    """The findings by number, each a sentence."""
    y = scene.height + 10
    for number, level, sentence in content.findings[:MOST_FINDINGS]:
        says = f"{number} {level.value.upper()}"
        x = EDGE + chip_width(says) + 8
        scene.chips.append(Chip(EDGE, y, says, level.value))
        for line in wrapped(f"{sentence}.", scene.width - EDGE - x, TEXT):
            scene.texts.append(Text(x, y + 11, line))
            y += TEXT_LINE
        y += CHIP - TEXT_LINE + 5
    more = len(content.findings) - MOST_FINDINGS
    if more > 0:
        y = _paragraph(scene, f"And {more} more findings: see the report.", y)
    scene.height = y + (6 if content.findings else 0)


def add_small(scene: Scene, says: str) -> None:
    """A line that stands where there is nothing to draw."""
    scene.texts.append(Text(EDGE, scene.height + TEXT_LINE, says, SMALL + 1))
    scene.height += 2 * TEXT_LINE
