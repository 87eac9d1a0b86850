"""What a browser makes of a picture: where its texts and boxes come to lie, and what lies on what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page

LOOK = """
() => {
  const svg = document.querySelector('svg');
  const rect = (node) => { const r = node.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; };
  const devices = [...svg.querySelectorAll('g.device')];
  const of = (node) => devices.indexOf(node.closest('g.device'));
  const all = (query) => [...svg.querySelectorAll(query)].map((node) => ({
    says: node.textContent, kind: node.getAttribute('class'), at: rect(node), device: of(node),
    size: parseFloat(getComputedStyle(node).fontSize),
  }));
  return {
    svg: rect(svg), page: document.documentElement.scrollWidth,
    texts: all('text'), boxes: all('rect.box'), plates: all('rect.plate'),
  };
}
"""

NEAR = 0.6
"""So many pixels of overlap are the rounding of a browser."""


def look(page: Page, svg: str, width: int) -> dict[str, Any]:
    """Lay a picture out at the width of a window."""
    page.set_viewport_size({"width": width, "height": 800})
    page.set_content(f'<!doctype html><body style="margin:0">{svg}</body>')
    seen: dict[str, Any] = page.evaluate(LOOK)
    return seen


def overlap(one: list[float], other: list[float]) -> bool:
    """Whether two rectangles lie on each other."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > NEAR and down > NEAR


def within(one: list[float], other: list[float]) -> bool:
    """Whether a rectangle lies inside another."""
    return all(
        (one[0] >= other[0] - NEAR, one[1] >= other[1] - NEAR, one[2] <= other[2] + NEAR, one[3] <= other[3] + NEAR)
    )


def faults(seen: dict[str, Any]) -> list[str]:
    """What lies on what it must not lie on, in words."""
    found = []
    texts, boxes, plates = seen["texts"], seen["boxes"], seen["plates"]
    for index, text in enumerate(texts):
        found += [f"{text['says']!r} on {each['says']!r}" for each in texts[:index] if overlap(text["at"], each["at"])]
        if text["device"] < 0:
            found += [f"{text['says']!r} on box {each['device']}" for each in boxes if overlap(text["at"], each["at"])]
    for thing in (*texts, *plates):
        own = [box for box in boxes if box["device"] == thing["device"] >= 0]
        found += [f"{thing['says']!r} leaves its box" for box in own if not within(thing["at"], box["at"])]
        if not within(thing["at"], seen["svg"]):
            found.append(f"{thing['says']!r} leaves the picture")
    for index, box in enumerate(boxes):
        found += [
            f"box {box['device']} on {each['device']}" for each in boxes[:index] if overlap(box["at"], each["at"])
        ]
        if not within(box["at"], seen["svg"]):
            found.append(f"box {box['device']} leaves the picture")
    for index, plate in enumerate(plates):
        found += [f"a plate on another {plate['at']}" for each in plates[:index] if overlap(plate["at"], each["at"])]
        under = [text for text in texts if text["kind"] != "mark" and overlap(plate["at"], text["at"])]
        found += [f"a plate on {text['says']!r}" for text in under]
        if plate["device"] < 0:
            found += [f"a plate on box {each['device']}" for each in boxes if overlap(plate["at"], each["at"])]
    return found
