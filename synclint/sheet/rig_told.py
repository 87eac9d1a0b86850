"""The picture told as text, for who does not see it."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import listed
from synclint.sheet.rig_content import MOST_FINDINGS, Content
from synclint.sheet.rig_words import HANGS_ON_NOTHING


def described(content: Content) -> str:
    """All that the picture shows, as sentences."""
    return " ".join(_sentences(content))


def _sentences(content: Content) -> Iterator[str]:
    plan = content.plan
    for group in plan.order:
        yield f"{_device(content, group)}."
        for index in plan.arriving[group]:
            yield f"{_line(content, index)}."
    if plan.orphans:
        yield f"{HANGS_ON_NOTHING.capitalize()}: {'; '.join(_device(content, group) for group in plan.orphans)}."
    yield from content.notes
    for number, level, sentence in content.findings[:MOST_FINDINGS]:
        yield f"{number} {level.value.upper()}: {sentence}."
    if len(content.findings) > MOST_FINDINGS:
        yield f"And {len(content.findings) - MOST_FINDINGS} more findings: see the report."


def _device(content: Content, group: int) -> str:
    """A device and how it runs."""
    words = content.boxes[group]
    told = [*words.told.tags, *words.lines, *(says for _, says in words.marks)]
    name = words.every if words.count == 1 else f"{words.count} devices alike, {words.every}"
    return f"{name} ({listed(told, 20)})" if told else name


def _line(content: Content, index: int) -> str:
    """A line and where it comes from."""
    bundle, label = content.bundle(index), content.labels[index]
    source, target = content.boxes[bundle.source].name, content.boxes[bundle.target].name
    does = (
        f"{target}: {bundle.role.value}, {bundle.way.value}, from {source}, {label.signal}, {label.out} to {label.into}"
    )
    loop = " LOOP: it comes back here" if content.loops(index) else ""
    marks = "".join(f", {says}" for _, says in content.marks[index])
    return f"{does}{marks}{loop}"
