"""The rig as a picture: who labels whom and who paces whom, with the findings where they are.

It is made for black on white: what a line does, how long it is there and whether it goes through a cable are told by
the form of the line, and colour only repeats it. It holds everything a screen reader needs as text, asks for nothing
from elsewhere, and is the same text for the same rig.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from synclint.findings import Finding
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.model import Setup
from synclint.sheet.rig_content import Content, content_of
from synclint.sheet.rig_footer import add_findings, add_legend, add_notes, add_orphans, add_small, headed
from synclint.sheet.rig_narrow import narrow_scene
from synclint.sheet.rig_scene import SMALL, Box, Chip, Scene, Stroke, Text
from synclint.sheet.rig_strokes import COLOURS, drawn_stroke, drawn_tip
from synclint.sheet.rig_told import described
from synclint.sheet.rig_wide import wide_scene
from synclint.sheet.svg import element, number, path, shown
from synclint.sheet.text_width import surely

WIDTH = 960.0
NARROW = 480.0
"""Up to this width the boxes always stand one below the other."""
LEAST = 320.0

INK, PALE, PAPER, GREY = "#111111", "#444444", "#ffffff", "#ececec"


def rig_picture(
    setup: Setup,
    timecode: TimecodeGraph,
    clock: ClockGraph,
    findings: Sequence[Finding] = (),
    *,
    width: float = WIDTH,
    name: str = "rig",
) -> str:
    """The picture as the text of an SVG file, `width` pixels wide (at least 320) with type of 10 to 15 pixels.

    The findings are marked with their numbers, from 1 in the order given, and written out below. A page that holds
    the picture twice gives each its own `name`.
    """
    content = content_of(setup, timecode, clock, findings)
    return drawn(content, scene_of(content, max(width, LEAST)), name)


def scene_of(content: Content, width: float) -> Scene:
    """The shapes of the picture: in columns where that fits, else one box below the other."""
    body = (wide_scene(content, width) if width > NARROW else None) or narrow_scene(content, width)
    scene = Scene(width)
    top = headed(scene, content)
    _take(scene, body, top)
    scene.height = top + body.height
    if not content.boxes:
        add_small(scene, "No device is written in this setup, so there is nothing to draw.")
    add_orphans(scene, content)
    add_legend(scene)
    add_notes(scene, content)
    add_findings(scene, content)
    return scene


def _take(scene: Scene, body: Scene, down: float) -> None:
    """Put what is drawn of the rig below what is there."""
    for box in body.boxes:
        texts = tuple(replace(each, y=each.y + down) for each in box.texts)
        chips = tuple(replace(each, y=each.y + down) for each in box.chips)
        scene.boxes.append(replace(box, y=box.y + down, texts=texts, chips=chips))
    for stroke in body.strokes:
        pieces = tuple((x, y + down, far, end + down) for x, y, far, end in stroke.pieces)
        scene.strokes.append(replace(stroke, pieces=pieces, joints=tuple((x, y + down) for x, y in stroke.joints)))
    scene.tips.extend(replace(tip, y=tip.y + down) for tip in body.tips)
    scene.texts.extend(replace(text, y=text.y + down) for text in body.texts)
    scene.chips.extend(replace(chip, y=chip.y + down) for chip in body.chips)


def drawn(content: Content, scene: Scene, name: str) -> str:
    """The text of the SVG file."""
    width, height = number(scene.width), number(scene.height)
    title = f"Rig of {content.title}: who labels whom, and who paces whom"
    body = "\n".join(
        [
            element("title", shown(title), id=f"{name}-title"),
            element("desc", shown(described(content)), id=f"{name}-desc"),
            element("rect", x=0.0, y=0.0, width=scene.width, height=scene.height, fill=PAPER),
            *(drawn_stroke(stroke) for stroke in _from_behind(scene.strokes)),
            *(drawn_tip(tip) for tip in scene.tips),
            *(_box(box) for box in scene.boxes),
            *(_text(text, "label") for text in scene.texts),
            *(part for chip in scene.chips for part in _chip(chip)),
        ]
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'role="img" aria-labelledby="{name}-title" aria-describedby="{name}-desc" font-family="sans-serif" '
        f'fill="{INK}" style="max-width:100%;height:auto;direction:ltr">\n{body}\n</svg>\n'
    )


def _from_behind(strokes: Sequence[Stroke]) -> Iterator[Stroke]:
    """The lines in the order of drawing: what matters more lies on top."""
    yield from sorted(strokes, key=lambda stroke: (-list(COLOURS).index(stroke.role),))


def _box(box: Box) -> str:
    """A box with all that stands in it; the full names are told to who points at it."""
    words = box.words
    through, master = words.through, bool(words.told.tags)
    parts = [element("title", shown(words.every))]
    if words.count > 1:
        edge = (
            (box.x + 4, box.y + box.height + 3),
            (box.right + 3, box.y + box.height + 3),
            (box.right + 3, box.y + 4),
        )
        parts.append(element("path", d=path(edge), fill="none", stroke=INK, stroke_width=1.3))
    more: dict[str, str | float] = {"stroke_dasharray": "2 3"} if box.loose else {}
    parts.append(
        element(
            "rect",
            class_="box",
            x=box.x,
            y=box.y,
            width=box.width,
            height=box.height,
            rx=9.0 if through else 1.5,
            fill=GREY if through else PAPER,
            stroke=INK,
            stroke_width=2.8 if master else 1.3,
            **more,
        )
    )
    parts += [_text(text, "name" if text.bold else "word") for text in box.texts]
    parts += [part for chip in box.chips for part in _chip(chip)]
    return element("g", "".join(parts), class_="device")


def _text(text: Text, kind: str) -> str:
    more: dict[str, str | float] = {"font_weight": "bold"} if text.bold else {}
    if text.pale:
        more["fill"] = PALE
    if text.right:
        more["text_anchor"] = "end"
    if not surely(text.says):
        more |= {"textLength": text.width, "lengthAdjust": "spacingAndGlyphs"}
    return element("text", shown(text.says), class_=kind, x=text.x, y=text.y, font_size=text.size, **more)


_PLATES = {
    "error": ("#9c0014", "#9c0014", "#ffffff", 1.0),
    "loop": (INK, INK, "#ffffff", 1.0),
    "warning": (PAPER, INK, INK, 2.0),
    "note": (PAPER, PALE, INK, 0.8),
}
"""Of each mark its ground, its edge, its ink and how heavy the edge is."""


def _chip(chip: Chip) -> Iterator[str]:
    ground, edge, ink, weight = _PLATES[chip.kind]
    yield element(
        "rect", class_="plate", x=chip.x + 1, y=chip.y + 1, width=chip.width - 2, height=13.0, rx=2.0, fill=ground,
        stroke=edge, stroke_width=weight,
    )  # fmt: skip
    yield element(
        "text", shown(chip.says), class_="mark", x=chip.x + 5, y=chip.y + 11, font_size=SMALL, font_weight="bold",
        fill=ink,
    )  # fmt: skip
