"""What lies on what in a scene, by its own measures: lines too, which a browser would not tell apart."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.sheet.rig_scene import Box, Chip, Scene, Stroke, Text

Area = tuple[float, float, float, float]


def area(thing: Text | Chip | Box) -> Area:
    """From left and top to right and bottom."""
    if isinstance(thing, Text):
        left = thing.x - (thing.width if thing.right else 0)
        return (left, thing.y - thing.size * 0.76, left + thing.width, thing.y + thing.size * 0.22)
    if isinstance(thing, Chip):
        return (thing.x, thing.y, thing.x + thing.width, thing.y + 14)
    return (thing.x, thing.y, thing.x + thing.width, thing.y + thing.height)


def clash(one: Area, other: Area) -> bool:
    """Whether two areas lie on each other."""
    return min(one[2], other[2]) - max(one[0], other[0]) > 0.1 and min(one[3], other[3]) - max(one[1], other[1]) > 0.1


def pieces(stroke: Stroke) -> Iterator[Area]:
    """The pieces of a line as areas without breadth."""
    for x, y, far, end in stroke.pieces:
        yield (min(x, far), min(y, end), max(x, far), max(y, end))


def crosses(piece: Area, other: Area) -> bool:
    """Whether a piece of a line goes through an area."""
    return (
        piece[0] < other[2] - 0.2
        and piece[2] > other[0] + 0.2
        and piece[1] < other[3] - 0.2
        and piece[3] > other[1] + 0.2
    )


def faults(scene: Scene) -> list[str]:
    """What lies on what it must not lie on, in words."""
    found = []
    things: list[tuple[Text | Chip, int]] = []
    for number, box in enumerate(scene.boxes):
        things += [*((text, number) for text in box.texts), *((chip, number) for chip in box.chips)]
    things += [*((text, -1) for text in scene.texts), *((chip, -1) for chip in scene.chips)]
    for index, (thing, own) in enumerate(things):
        found += [f"{thing.says} on {each.says}" for each, _ in things[:index] if clash(area(thing), area(each))]
        for number, box in enumerate(scene.boxes):
            if number != own and clash(area(thing), area(box)):
                found.append(f"{thing.says} on box {number}")
        if own >= 0 and not inside(area(thing), area(scene.boxes[own])):
            found.append(f"{thing.says} leaves its box")
        if not inside(area(thing), (0, 0, scene.width, scene.height)):
            found.append(f"{thing.says} leaves the picture")
    for index, box in enumerate(scene.boxes):
        found += [f"box {index} on box {other}" for other in range(index) if clash(area(box), area(scene.boxes[other]))]
        if not inside(area(box), (0, 0, scene.width, scene.height)):
            found.append(f"box {index} leaves the picture")
    for stroke in scene.strokes:
        for piece in pieces(stroke):
            found += [f"{piece} through {each.says}" for each, _ in things if crosses(piece, area(each))]
            found += [f"{piece} through a box" for box in scene.boxes if crosses(piece, area(box))]
    return [*found, *shared(scene)]


def inside(one: Area, other: Area) -> bool:
    """Whether an area is within another."""
    return (
        one[0] >= other[0] - 0.1 and one[1] >= other[1] - 0.1 and one[2] <= other[2] + 0.1 and one[3] <= other[3] + 0.1
    )


def shared(scene: Scene) -> Iterator[str]:
    """Lines that run in one another, so that nobody could tell them apart."""
    flat: list[tuple[int, Area]] = [
        (number, piece) for number, each in enumerate(scene.strokes) for piece in pieces(each)
    ]
    for index, (one, piece) in enumerate(flat):
        for other, before in flat[:index]:
            if one == other:
                continue
            level = piece[1] == piece[3] and before[1] == before[3] and abs(piece[1] - before[1]) < 1.2
            upright = piece[0] == piece[2] and before[0] == before[2] and abs(piece[0] - before[0]) < 1.2
            across = min(piece[2], before[2]) - max(piece[0], before[0]) > 0.5
            down = min(piece[3], before[3]) - max(piece[1], before[1]) > 0.5
            if (level and across) or (upright and down):
                yield f"line {one} in line {other}: {piece} and {before}"
